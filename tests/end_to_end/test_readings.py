"""A long run with repeat readings, through real workbooks of both formats: the same figures, and charts with them."""

import re
import zipfile

import pytest
from odf.opendocument import load
from odf.table import Table
from openpyxl import load_workbook

from sheetkit import refresh

STOCK = [
    ["E1", "white ash", 20, 3, 2.6, None, None, None, None, None, None],
    ["A1", "purpleheart", 20, 3, 1.482, None, None, None, None, None, 0.652],
]
TARGETS = [["P", "white ash", 0.041, 0.001, 8], ["P", "purpleheart", 0.0412, 0.002, 7]]
PANELS = [["P", 9, 2.5]]
SHOP = [("Caliper division", 0.0001), ("Kerf allowance", 0.036)]
STRIPS = (0.0410, 0.0412, 0.0414, 0.0411, 0.0413, 0.0412, 0.0410, 0.0414, 0.0412, 0.0412)
GAUGE = """
A1 0.29 -0.56 1.34 0.47 -0.80 0.02 0.59 -0.31 2.26 -1.36
A2 0.41 -0.68 1.17 0.50 -0.92 -0.11 0.75 -0.20 1.99 -1.25
A3 0.64 -0.58 1.27 0.64 -0.84 -0.21 0.66 -0.17 2.01 -1.31
B1 0.08 -0.47 1.19 0.01 -0.56 -0.20 0.47 -0.63 1.80 -1.68
B2 0.25 -1.22 0.94 1.03 -1.20 0.22 0.55 0.08 2.12 -1.62
B3 0.07 -0.68 1.34 0.20 -1.28 0.06 0.83 -0.34 2.19 -1.50
C1 0.04 -1.38 0.88 0.14 -1.46 -0.29 0.02 -0.46 1.77 -1.49
C2 -0.11 -1.13 1.09 0.20 -1.07 -0.67 0.01 -0.56 1.45 -1.77
C3 -0.15 -0.96 0.67 0.11 -1.45 -0.49 0.21 -0.49 1.87 -2.16
"""
"""AIAG, Measurement Systems Analysis (from memory, confirmed by the published figures), as ten-thousandths of an inch
about 0.041: 10 slices, 3 persons, 3 readings."""

BEHIND = {"Dial settings": "Numbers behind the chart", "Thickness check": "Numbers behind the charts"}
"""Heading of the numbers that charts are drawn from, by sheet."""


def measurements():
    """Case A06 with its four corners and middle alike, then the ten strips of case A03."""
    drifting = [
        [f"E1-{number}", "E1", 0.040, *[reading] * 5]
        for number, reading in enumerate((0.0400, 0.0402, 0.0404, 0.0406, 0.0408, 0.0410), start=1)
    ]
    return drifting + [[f"A1-{number}", "A1", 0.042, *[strip] * 5] for number, strip in enumerate(STRIPS, start=1)]


def repeats():
    rows = [line.split() for line in GAUGE.split("\n") if line.strip()]
    return [
        [f"E1-{piece}", hand[0], None, round(0.041 + float(value) / 10_000, 8)]
        for hand, *values in rows
        for piece, value in enumerate(values, start=1)
    ]


@pytest.fixture(scope="module", params=[".xlsx", ".ods"])
def job(request, fill, tmp_path_factory):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS, "Measurements": measurements(), "Repeats": repeats()}
    path = fill(tmp_path_factory.mktemp("readings") / f"job{request.param}", rows, {"Shop": dict(SHOP)})
    refresh(path)
    return path


def record(cells, heading, **wanted):
    """The first row below a heading row that holds this heading, as {heading: value}, with these values in it."""
    top = next(row for (row, _), value in sorted(cells.items()) if value == heading)
    names = {column: value for (row, column), value in cells.items() if row == top}
    for row in range(top + 1, top + 200):
        found = {name: cells.get((row, column)) for column, name in names.items()}
        if all(found.get(name) == value for name, value in wanted.items()):
            return found
    raise AssertionError(f"no row {wanted} below {heading}")


def test_case_a06_the_drift_and_the_first_slice_out(job, cells_of):
    cells = cells_of(job, "Thickness check")
    found = record(cells, "First out", Wood="white ash")
    assert found["Per slice (in)"] == pytest.approx(0.0002, abs=1e-9)
    assert found["First out"] == "E1-12"
    assert "white ash at 0.0410 in drifts; sawn on as it is, E1-12 would be the first slice out." in cells.values()
    assert "white ash drifts: E1-12 would be the first out." in " ".join(
        str(value) for value in cells_of(job, "Summary").values()
    )


def test_case_a03_the_kerf_by_two_ways(job, cells_of):
    """A truing pass of 0.050 (the default) before the ten strips: 1.482 - 0.050 - 0.652 = 0.780 as in the case."""
    found = record(cells_of(job, "Dial settings"), "May differ ± (in)", Board="A1")
    assert found["By dial (in)"] == pytest.approx(0.0368, abs=1e-9)
    assert found["By board (in)"] == pytest.approx(0.0368, abs=1e-9)
    assert found["Agree"] == "yes"


def test_the_published_gauge_study(job, cells_of):
    """Measuring in all 0.30237, slices 1.04233, whole 1.08530 (in their unit); 27.86 % of the spread; 4 classes."""
    cells = cells_of(job, "Thickness check")
    measuring = record(cells, "Of what", **{"Of what": "measuring in all"})
    assert measuring["Spread (in)"] * 10_000 == pytest.approx(0.30237, abs=1e-4)
    assert measuring["Of the spread"] == pytest.approx(0.2786, abs=1e-4)
    assert record(cells, "Of what", **{"Of what": "slice to slice"})["Spread (in)"] * 10_000 == pytest.approx(
        1.04233, abs=1e-4
    )
    assert any("can tell 4 classes of slices apart" in str(value) for value in cells.values())


def test_what_few_slices_cannot_say_stands_there(job, cells_of):
    text = " ".join(str(value) for value in cells_of(job, "Thickness check").values())
    assert "whether the level has moved (2 more)" in text
    assert "whether the saw can hold the tolerance (24 more)" in text


def titles_of_charts(path):
    """Title texts of every chart document in the package."""
    with zipfile.ZipFile(path) as package:
        if path.suffix == ".xlsx":
            parts = [name for name in package.namelist() if re.fullmatch(r"xl/charts/chart[^/]*\.xml", name)]
        else:
            parts = [name for name in package.namelist() if name.endswith("content.xml") and "/" in name]
        return " ".join(package.read(name).decode() for name in parts)


def test_the_charts_are_there(job):
    text = titles_of_charts(job)
    for title in (
        "white ash at 0.0410 in, in the order of sawing",
        "purpleheart at 0.0412 in, in the order of sawing",
        "Measured against set",
    ):
        assert title in text
    assert "Tolerance low" in text
    assert "Control limit high" in text


@pytest.mark.parametrize(("title", "heading"), BEHIND.items())
def test_the_numbers_behind_the_charts_are_not_printed(job, cells_of, title, heading):
    """What is printed ends above their heading, which a blank row leads in."""
    [row] = [row for (row, _), value in cells_of(job, title).items() if value == heading]
    if job.suffix == ".xlsx":
        area = load_workbook(job)[title].print_area
    else:
        [sheet] = [one for one in load(job).getElementsByType(Table) if one.getAttribute("name") == title]
        area = sheet.getAttribute("printranges")
    assert int(re.findall(r"[0-9]+", area)[-1]) == row - 2


def test_both_formats_show_the_same_figures(fill, tmp_path, cells_of):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS, "Measurements": measurements(), "Repeats": repeats()}
    paths = [fill(tmp_path / f"job{suffix}", rows, {"Shop": dict(SHOP)}) for suffix in (".xlsx", ".ods")]
    for path in paths:
        refresh(path)
    for title in ("Dial settings", "Thickness check"):
        first, second = (cells_of(path, title) for path in paths)
        assert first.keys() == second.keys(), title
        for place, value in first.items():
            if isinstance(value, str):
                assert second[place] == value, (title, place)
            else:
                assert second[place] == pytest.approx(value, abs=1e-9), (title, place)
