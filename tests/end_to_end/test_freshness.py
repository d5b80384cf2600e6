"""Summary says at once when an input has changed since the refresh: worked out by LibreOffice, in both formats."""

import os
from datetime import date

import pytest
from odf.opendocument import load
from odf.table import Table
from openpyxl import load_workbook

from sheetkit import refresh
from sheetkit.reading import open_workbook
from sheetkit.report.builder import FRESH
from sheetkit.report.freshness import CHANGED, UP_TO_DATE, letters_tally, number_tally, weight
from sheetkit.report.tabs import TITLES
from sheetkit.tables.read import read_inputs

STOCK = [
    ["A1", "black cherry", 20, 3, '1-1/2"', None, "8 %", 12.5],
    ["B1", "black walnut", 20, 3, 1.2, "flat", None, 30],
]
TARGETS = [["P", "black cherry", 0.05, 0.002, 8], ["P", "black walnut", 0.02, 0.002, 7]]
PANELS = [["P", 9, 2.5, None, "no", 1, None, None, None, date(2026, 3, 14), "Süßholz, ½ wide"]]
READINGS = [
    ["A1-1", "A1", 0.05, 0.053, 0.053, 0.053, 0.0535, 0.0535],
    ["A1-2", "A1", 0.05, 0.0525, 0.053, 0.053, 0.053, 0.0535],
]
ADDED = {
    "a row below": {("Measurements", 5, 1): "A1-3", ("Measurements", 5, 4): 0.053},
    "a number in an empty cell": {("Stock", 3, 12): 1.5},
    "a text in an empty cell": {("Stock", 3, 10): "x"},
    "a cell far below": {("Targets", 900, 1): "P"},
    "a cell far to the right": {("Targets", 3, 40): 1},
    "a heading of the same length": {("Stock", 2, 3): "Length (mm)"},
    "two texts changed places": {("Targets", 3, 2): "black walnut", ("Targets", 4, 2): "black cherry"},
}


@pytest.fixture
def job(fill, tmp_path, suffix):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS, "Measurements": READINGS}
    path = fill(tmp_path / f"job{suffix}", rows, {"Job": {"Margin": "30 %"}, "Shop": {"Labour rate": 30}})
    refresh(path)
    return path


def other_value(cell):
    """The smallest change a maker would make."""
    if isinstance(cell.value, str):
        return cell.value[:-1] + ("y" if cell.value[-1] != "y" else "x")
    number = cell.serial if cell.serial is not None else cell.value
    return number + (1 if cell.serial is not None else 0.0001)


def every_single_change(path):
    """Each typed cell of each input sheet changed, and emptied: by what is done."""
    workbook = open_workbook(path)
    tabs = set(read_inputs(workbook).sheets.values())
    for sheet in workbook.sheets:
        for (row, column), cell in sheet.cells.items() if sheet.name in tabs else ():
            # Hundreds of cells of the settings are of one kind: only those of settings with a value.
            if sheet.name in {"Job", "Shop"} and (column > 2 or sheet.cell(row, 2) is None):
                continue
            if row > 1:
                yield f"{sheet.name}!{cell.address} changed", {(sheet.name, row, column): other_value(cell)}
                yield f"{sheet.name}!{cell.address} emptied", {(sheet.name, row, column): None}


def sheets_changed(path, copy, without=(), new=None):
    """A copy of a workbook without some sheets, or with an empty one more."""
    if path.suffix == ".xlsx":
        book = load_workbook(path)
        for name in without:
            del book[name]
        if new is not None:
            book.create_sheet(new)
        book.save(copy)
        return copy
    document = load(path)
    for table in document.spreadsheet.getElementsByType(Table):
        if table.getAttribute("name") in without:
            document.spreadsheet.removeChild(table)
    if new is not None:
        document.spreadsheet.addElement(Table(name=new))
    document.save(copy)
    return copy


def says(path, cells_of, title="Summary"):
    return cells_of(path, title)[3, 1]


def test_after_a_refresh_every_sheet_says_that_it_is_up_to_date(job, cells_of):
    assert {says(job, cells_of, title) for title in TITLES.values()} == {f"{FRESH}{UP_TO_DATE}"}


@pytest.mark.office
def test_nothing_changed_stays_up_to_date_after_recalculation(job, recalculated, cells_of):
    (again,) = recalculated([job])
    assert {says(again, cells_of, title) for title in TITLES.values()} == {f"{FRESH}{UP_TO_DATE}"}


@pytest.mark.office
def test_any_single_change_of_an_input_turns_it(job, tmp_path, typed, recalculated, cells_of):
    # Every cell takes minutes (SHEETKIT_EVERY_CELL=1); else one in eight, others in either format.
    step, first = (1, 0) if os.environ.get("SHEETKIT_EVERY_CELL") else (10, 0 if job.suffix == ".xlsx" else 3)
    changes = dict(list(every_single_change(job))[first::step]) | ADDED
    assert len(changes) > 25
    copies = [typed(job, tmp_path / f"c{n}{job.suffix}", change) for n, change in enumerate(changes.values())]
    found = {what: says(path, cells_of) for what, path in zip(changes, recalculated(copies), strict=True)}
    assert [what for what, said in found.items() if said != f"{FRESH}{CHANGED}"] == []


@pytest.mark.office
@pytest.mark.parametrize("title", ["Panels", "project"])
def test_an_input_sheet_that_was_not_there_turns_it(title, fill, tmp_path, suffix, recalculated, cells_of):
    whole = fill(tmp_path / f"whole{suffix}", {"Stock": STOCK, "Targets": TARGETS})
    path = sheets_changed(whole, tmp_path / f"job{suffix}", without=("Panels", "Job"))
    refresh(path)
    added = sheets_changed(path, tmp_path / f"added{suffix}", new=title)
    other = sheets_changed(path, tmp_path / f"other{suffix}", new="Ideas")
    again = recalculated([added, other])
    assert [says(one, cells_of) for one in again] == [f"{FRESH}{CHANGED}", f"{FRESH}{UP_TO_DATE}"]


@pytest.mark.office
def test_what_is_no_input_does_not_turn_it(job, tmp_path, typed, recalculated, cells_of):
    copy = typed(job, tmp_path / f"other{job.suffix}", {("How to", 30, 1): "my own note"})
    assert says(recalculated([copy])[0], cells_of) == f"{FRESH}{UP_TO_DATE}"


@pytest.mark.office
@pytest.mark.parametrize("suffix", [".xlsx"])
def test_error_cells_and_formulas_without_text_are_borne(job, tmp_path, typed, recalculated, cells_of):
    with_errors = typed(job, tmp_path / "errors.xlsx", {("Stock", 9, 10): "=1/0", ("Stock", 9, 8): '=""'})
    (with_results,) = recalculated([with_errors])
    refresh(with_results)
    (again,) = recalculated([with_results])
    assert says(again, cells_of) == f"{FRESH}{UP_TO_DATE}"
    changed = typed(with_results, tmp_path / "changed.xlsx", {("Stock", 4, 8): 31})
    assert says(recalculated([changed])[0], cells_of) == f"{FRESH}{CHANGED}"


def test_a_sheet_whose_formulas_have_no_result_is_not_watched_and_named(fill, tmp_path, typed, cells_of):
    path = fill(tmp_path / "job.xlsx", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})
    typed(path, path, {("Stock", 9, 10): "=NOW()"})
    refresh(path)
    assert any("Not watched" in str(value) and "Stock" in str(value) for value in cells_of(path, "Summary").values())


def test_the_tallies_are_plain_sums():
    """Sums by hand: 7 * 31 + 3 * 17 = 268 = 2 * 97 + 74; 0.053 * 100000; "ab" is 1 * 1 + 2 * 2."""
    assert weight(7, 3) == 75
    assert [number_tally(number) for number in (0.053, 0.05301, 100.0, -0.5, 0.0)] == [5300, 5301, 99731, -50000, 0]
    assert [letters_tally(text, 24) for text in ("ab", "ba", "")] == [5, 4, 0]
