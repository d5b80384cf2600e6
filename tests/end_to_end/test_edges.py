"""Values at the edge, in both formats: what is computed, what is said, and that office programs show no error value."""

import math
import zipfile

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from sheetkit import check, refresh

STOCK = [["A1", "black cherry", 20, 3, 1.5], ["B1", "wenge", 20, 3, 1.2]]
TARGETS = [["P", "wenge", 0.05, 0.002, 8], ["P", "black cherry", 0.05, 0.002, 8]]
PANELS = [["P", 9, 2.5]]
ODD_NAMES = [
    'it\'s "so"',
    "two\nlines",
    "שלום",
    "لوح ١",
    "👍🏽 🪵",
    "<&>]]>",
    "A1",
    "R1C1",
    "$B$2:C3",
    "x" * 31,
    "e\u0301",
]
EDGES = {
    "zero boards": {"Targets": TARGETS, "Panels": PANELS},
    "one slice": {"Stock": STOCK, "Targets": [["P", "wenge", 0.05]], "Measurements": [["B1-1", "B1", 0.05, 0.053]]},
    "ten thousand layers": {"Stock": STOCK, "Targets": [["P", "wenge", 0.05, 0.002, 10_000]], "Panels": PANELS},
    "odd names": {
        "Stock": [[name, "wenge", 20, 3, 1.2] for name in ODD_NAMES],
        "Targets": [[name, "wenge", 0.05, 0.002, 2] for name in ODD_NAMES],
        "Panels": [[name, 9, 2.5] for name in ODD_NAMES],
        "Measurements": [[f"{name}-1", name, 0.05, 0.052, 0.053] for name in ODD_NAMES],
    },
}
"""Rows of a job by what is at its edge."""


def outcome(fill, path, rows):
    """Refreshed once; a second refresh finds nothing to write."""
    first = refresh(fill(path, rows))
    assert first.written
    again = refresh(path)
    assert (again.written, list(map(str, again.problems))) == (False, list(map(str, first.problems)))
    return first


def test_zero_boards(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["zero boards"])
    assert said.headlines[0] == "Can it be made? No: stock is short of wenge, black cherry. See what to buy."
    told = [str(problem) for problem in said.problems if problem.place == "Stock"]
    assert [line.partition(" To fix:")[0] for line in told] == [
        "Stock: found no row that can be used, wanted at least one row (one row is a board)."
    ]


def test_one_slice(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["one slice"])
    assert said.progress.slices_sawn == 1
    assert said.progress.offsets_mm["wenge"] == pytest.approx(0.003 * 25.4)


def test_ten_thousand_layers(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["ten thousand layers"])
    assert said.headlines[0] == "Can it be made? No: stock is short of wenge. See what to buy."
    assert any("of the 11000 wenge layers of 0.0500 in" in problem.found for problem in said.problems)


def test_a_thousand_species(fill, tmp_path, suffix):
    woods = [f"wood {number}" for number in range(1000)]
    rows = {
        "Stock": [[f"B{number}", wood, 20, 3, 1.5] for number, wood in enumerate(woods)],
        "Targets": [["P", wood, 0.05, 0.002, 1] for wood in woods],
    }
    said = check(fill(tmp_path / f"job{suffix}", rows))
    unknown = [problem for problem in said.problems if problem.place == "Stock!B3"]
    assert "likewise 999 more cells" in unknown[0].found
    assert said.headlines[0].startswith("Can it be made? Yes")


def test_names_of_every_kind_come_back_as_typed(fill, tmp_path, suffix, cells_of):
    path = tmp_path / f"job{suffix}"
    said = outcome(fill, path, EDGES["odd names"])
    boards = {entry.value for record in said.records if record.sheet == "Stock" for entry in record.entries[:1]}
    assert boards == {" ".join(name.split()) for name in ODD_NAMES}
    shown = " ".join(str(value) for value in cells_of(path, said.sheets["stock_use"]).values())
    assert [name for name in ODD_NAMES if " ".join(name.split()) not in " ".join(shown.split())] == []


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("20 in", 508),
        ("0.5 m", 500),
        ("508000 µm", 508),
        ("1 ft 8 in", 508),
        ("20000 thou", 508),
    ],
)
def test_units_large_and_small(fill, tmp_path, suffix, text, millimetres):
    said = check(fill(tmp_path / f"job{suffix}", {"Stock": [["A1", "wenge", text, 3, 1.5]], "Targets": TARGETS[:1]}))
    board = next(record for record in said.records if record.sheet == "Stock")
    length = next(entry.value for entry in board.entries if entry.field == "length_mm")
    assert length == pytest.approx(millimetres)


@pytest.mark.parametrize("text", ["NaN", "nan", "inf", "-inf", "1e309", "Infinity", "-1e400"])
def test_what_is_not_a_finite_number_is_left_out_and_said(fill, tmp_path, suffix, text):
    rows = {"Stock": [*STOCK, ["C1", "wenge", 20, 3, text]], "Targets": TARGETS, "Panels": PANELS}
    said = outcome(fill, tmp_path / f"job{suffix}", rows)
    told = [problem for problem in said.problems if problem.place == "Stock!E5"]
    assert [problem.harm.words for problem in told] == ["left out"]
    assert text in told[0].found
    used = {entry.value for record in said.records if record.used for entry in record.entries}
    assert not any(isinstance(value, float) and not math.isfinite(value) for value in used)


@pytest.mark.parametrize("raw", ["NaN", "INF", "-INF", "1e999"])
def test_a_stored_number_that_is_not_finite(fill, tmp_path, suffix, raw):
    """Written by hand into the markup: no office program stores it, other programs do."""
    path = fill(tmp_path / f"job{suffix}", {"Stock": [*STOCK, ["C1", "wenge", 20, 3, 987.125]], "Targets": TARGETS})
    changed = 0
    with zipfile.ZipFile(path) as package:
        members = {name: package.read(name) for name in package.namelist()}
    with zipfile.ZipFile(path, "w") as package:
        for name, data in members.items():
            changed += data.count(b"987.125")
            package.writestr(name, data.replace(b"987.125", raw.encode()))
    assert changed
    said = check(path)
    told = [problem for problem in said.problems if problem.place == "Stock!E5"]
    assert [problem.harm.words for problem in told] == ["left out"]
    assert said.headlines[0].startswith("Can it be made? As far as could be read, yes")


@pytest.mark.parametrize("text", ["1899-12-31", "1 January 1850", "0001-01-01"])
def test_a_date_before_1900_neither_stops_nor_bends_the_rest(fill, tmp_path, suffix, text):
    path = fill(
        tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS}, {"Job": {"Start date": text}}
    )
    said = refresh(path)
    assert said.headlines[0] == "Can it be made? Yes: 2 of 2 boards give every slice still to saw, spares included."
    assert refresh(path).written is False


@pytest.mark.parametrize("name", ["A1", "R1C1", "XFD1048576", "x" * 31, "שלום", "It's a 'rack'", "🪵 <&>"])
def test_an_input_sheet_of_any_title(fill, tmp_path, name):
    """Known by its headings, whatever it is called."""
    path = fill(tmp_path / "job.xlsx", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})
    book = load_workbook(path)
    book["Stock"].title = name
    book.save(path)
    said = refresh(path)
    assert {record.sheet for record in said.records if record.used} >= {name, "Targets", "Panels"}
    assert said.headlines[0] == "Can it be made? Yes: 2 of 2 boards give every slice still to saw, spares included."
    assert refresh(path).written is False


@pytest.mark.office
def test_libreoffice_works_the_edges_out_without_an_error_value(fill, tmp_path, suffix, recalculated, cells_of):
    made = {}
    for edge, rows in EDGES.items():
        path = tmp_path / f"{edge.replace(' ', '_')}{suffix}"
        made[path] = refresh(fill(path, rows)).sheets
    for path, again in zip(made, recalculated(list(made)), strict=True):
        for tab in made[path].values():
            wrong = {
                f"{tab}!{get_column_letter(column)}{row}": value
                for (row, column), value in cells_of(again, tab).items()
                if str(value).startswith(("#REF", "#NAME", "#VALUE", "#DIV", "#N/A", "#NUM", "#NULL", "Err:"))
            }
            assert wrong == {}, path.name
