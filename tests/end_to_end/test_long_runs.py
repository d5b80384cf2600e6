"""A run of more slices than a chart can show: the last ones are drawn, and every figure goes by all of them."""

import re
import zipfile
from itertools import pairwise
from statistics import fmean

import pytest

from sheetkit import refresh

DRAWN, SAWN = 200, 260
MEANS = [0.0408 + (number * 37 % 5) * 0.0001 for number in range(SAWN)]
NAMES = [f"E{1 + number // 130}-{1 + number % 130}" for number in range(SAWN)]
MEANS[9] = 0.0450
"""The tenth slice, one that is no longer drawn, is far too thick."""


@pytest.fixture(scope="module", params=[".xlsx", ".ods"])
def job(request, fill, tmp_path_factory):
    rows = {
        "Stock": [[board, "white ash", 20, 3, 14] for board in ("E1", "E2")],
        "Targets": [["P", "white ash", 0.041, 0.001, 8]],
        "Panels": [["P", 9, 2.5]],
        "Measurements": [[name, name[:2], 0.040, mean] for name, mean in zip(NAMES, MEANS, strict=True)],
    }
    path = fill(tmp_path_factory.mktemp("long") / f"job{request.param}", rows)
    refresh(path)
    return path


def below(cells, heading):
    """The rows of the table that has this heading, each as {heading: value}."""
    top, _ = next(place for place, value in sorted(cells.items()) if value == heading)
    names = {column: value for (row, column), value in cells.items() if row == top}
    row, found = top + 1, []
    while (row, 1) in cells:
        found.append({name: cells.get((row, column)) for column, name in names.items()})
        row += 1
    return found


def test_the_last_200_slices_stand_behind_the_chart(job, cells_of):
    numbers = below(cells_of(job, "Thickness check"), "Control limit low (in)")
    assert [row["Slice"] for row in numbers] == NAMES[-DRAWN:]
    assert [row["Thickness (in)"] for row in numbers] == pytest.approx(MEANS[-DRAWN:], abs=1e-9)


def test_the_limits_are_those_of_all_slices(job, cells_of):
    """Individuals and moving range: mean -+ 3 / 1.128 mean moving ranges; NIST/SEMATECH e-Handbook, section 6.3.2.2."""
    room = 3 / 1.128 * fmean(abs(one - other) for one, other in pairwise(MEANS))
    cells = cells_of(job, "Thickness check")
    for row in below(cells, "Control limit low (in)"):
        assert row["Control limit low (in)"] == pytest.approx(fmean(MEANS) - room, abs=1e-6)
        assert row["Control limit high (in)"] == pytest.approx(fmean(MEANS) + room, abs=1e-6)
    assert below(cells, "Bias in all (in)")[0]["Slices"] == SAWN
    assert len(below(cells, "Guard band (in)")) == SAWN


def test_what_was_left_out_of_the_chart_is_said(job, cells_of):
    said = " ".join(str(value) for value in cells_of(job, "Thickness check").values())
    assert "Of a run of more than 200 slices the last 200 are drawn." in said
    assert re.search(r"white ash at 0\.0410 in: [^.]*\(E1-10\)", said), "a slice beyond the limits is told by name"
    with zipfile.ZipFile(job) as package:
        charts = [package.read(name).decode() for name in package.namelist() if "chart" in name]
    assert any("white ash at 0.0410 in, in the order of sawing: the last 200 of 260" in chart for chart in charts)
    assert any("Measured against set: the last 200 slices at each setting" in chart for chart in charts)


def test_the_dial_chart_draws_the_last_slices_of_each_setting(job, cells_of):
    cells = cells_of(job, "Dial settings")
    drawn = [row["Slice"] for row in below(cells, "Fitted (in)") if row["Wood"] == "white ash"]
    assert drawn == NAMES[-DRAWN:]
    assert any("Of each wood the last 200 slices at each setting are drawn" in str(value) for value in cells.values())
