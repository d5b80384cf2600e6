"""Sheets of many rows: those that nobody wants are read by their first rows alone."""

import pytest

from sheetkit.pipeline import check
from sheetkit.reading import open_workbook
from sheetkit.reading.limits import FIRST_ROWS
from sheetkit.tables.sheets import may_be_read

LONG = FIRST_ROWS + 200


def ledger(book, tab="Ledger", headings=("Day", "Paid")):
    for column, heading in zip("AB", headings, strict=True):
        book.put(tab, f"{column}1", heading)
    for row in range(2, LONG + 1):
        book.put(tab, f"A{row}", f"entry {row}")
        book.put(tab, f"B{row}", row / 8)


def test_only_the_first_rows_of_a_sheet_that_nobody_wants_are_read(book):
    ledger(book)
    asked = []
    (sheet,) = open_workbook(book.write(), lambda sheet: bool(asked.append(len(sheet.cells)))).sheets
    assert asked == [2 * FIRST_ROWS]
    assert sheet.cut_short
    assert max(sheet.cells) == (FIRST_ROWS, 2)
    assert sheet.cells[FIRST_ROWS, 2].value == FIRST_ROWS / 8


def test_all_rows_of_a_sheet_that_is_wanted_are_read_and_it_is_asked_about_once(book):
    ledger(book)
    ledger(book, "Other")
    asked = []
    wanted, other = open_workbook(
        book.write(), lambda sheet: not asked.append(sheet.name) and sheet.name == "Ledger"
    ).sheets
    assert asked == ["Ledger", "Other"]
    assert (wanted.cut_short, len(wanted.cells), wanted.cells[LONG, 2].value) == (False, 2 * LONG, LONG / 8)
    assert (other.cut_short, len(other.cells)) == (True, 2 * FIRST_ROWS)


def test_a_short_sheet_is_read_without_asking(book):
    for row in range(1, FIRST_ROWS + 1):
        book.put("Ledger", f"A{row}", row)
    (sheet,) = open_workbook(book.write(), lambda _: pytest.fail("asked")).sheets
    assert (sheet.cut_short, len(sheet.cells)) == (False, FIRST_ROWS)


def test_a_formula_without_a_result_has_all_that_it_builds_upon(book):
    """Eighths of 2 to 1200: their sum is (1200 x 1201 / 2 - 1) / 8."""
    ledger(book)
    book.formula("Stock", "A1", f"=SUM(Ledger!B2:B{LONG})", f"of:=SUM([$Ledger.B2:.B{LONG}])")
    workbook = open_workbook(book.write(), lambda _: False)
    assert [sheet.cut_short for sheet in workbook.sheets] == [False, False]
    assert workbook.sheets[1].cells[1, 1].value == pytest.approx((LONG * (LONG + 1) / 2 - 1) / 8)


@pytest.mark.parametrize(
    ("tab", "headings", "wanted"),
    [
        ("Ledger", ("Day", "Paid"), False),
        ("Lumber", ("Day", "Paid"), True),
        ("Sheet7", ("Slice", "Thickness (mm)"), True),
        ("My readings", ("Room", "Warmth"), False),
    ],
)
def test_a_sheet_may_be_read_by_its_name_or_by_its_headings(book, tab, headings, wanted):
    ledger(book, tab, headings)
    (sheet,) = open_workbook(book.write(), may_be_read).sheets
    assert sheet.cut_short is not wanted


def test_no_reading_beyond_the_first_rows_is_lost(book):
    """A sheet known by its headings alone, as long as a ledger beside it that is none of ours."""
    ledger(book)
    book.put("Sheet7", "A1", "Slice")
    book.put("Sheet7", "B1", "Thickness (mm)")
    for row in range(2, LONG + 1):
        book.put("Sheet7", f"A{row}", f"E-{row}")
        book.put("Sheet7", f"B{row}", 1.25)
    found = check(book.write()).table("Sheet7")
    assert len(found) == LONG - 1
    assert found.loc[LONG, "slice"] == f"E-{LONG}"
