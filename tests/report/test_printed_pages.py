"""Where printed pages begin: blocks of rows stay together, as far as rows and pages can be reckoned."""

import pytest

from sheetkit.report.builder import Heading, SheetBuilder
from sheetkit.report.model import Chart, ChartKind, Look
from sheetkit.report.printed_pages import MOST_ROWS, PAGE_HEIGHT_PT, ROW_PT, settle_pages

ROWS = int(PAGE_HEIGHT_PT / ROW_PT)
"""Usual rows on a page of a sheet that need not shrink: 480 pt at 15 pt a row."""
HEADINGS = (Heading("Slice", note="a"), Heading("Set (in)", "0.000", "b"))


@pytest.fixture
def sheet():
    """Three rows of a head stand on it already."""
    return SheetBuilder("plan", "Plan", "Plan", (20, 20), landscape=True)


def records(count):
    return [[f"C1-{number}", 0.055] for number in range(1, count + 1)]


def section(sheet, title, count):
    sheet.section(title)
    sheet.table(HEADINGS, records(count))


def first_words(sheet, row):
    return sheet.sheet.rows[row - 1][0].value


def test_a_page_holds_32_usual_rows():
    assert ROWS == 32


def test_a_section_whose_headings_would_end_the_page_begins_the_next(sheet):
    """3 + 2 + 1 + 23 rows end at row 29; blank 30, title 31, headings 32: the first record would be a page further."""
    section(sheet, "Board C1", 23)
    section(sheet, "Board H1", 12)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == ["Board H1"]


def test_a_section_that_fits_begins_no_page(sheet):
    section(sheet, "Board C1", 10)
    section(sheet, "Board H1", 10)
    settle_pages(sheet.sheet)
    assert sheet.sheet.page_starts == []


def test_a_long_list_is_broken_where_the_page_ends(sheet):
    """480 pt less 5 rows and 28 pt of headings with filter buttons leave 25 records for the first page; then 32."""
    section(sheet, "Board C1", 70)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == ["C1-26", "C1-58"]


def test_rows_that_every_page_repeats_leave_less_room(sheet):
    """The headings, 28 pt, leave 30 records for the second page."""
    section(sheet, "Board C1", 70)
    sheet.sheet.repeated_rows = (6, 6)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == ["C1-26", "C1-56"]


def test_a_wide_sheet_is_shrunk_and_has_more_rows_on_a_page():
    """Two columns of 147 digits are 2 x (147 x 5.25 + 3.75) = 1551 pt wide, twice the page, which holds 64 rows."""
    wide = SheetBuilder("plan", "Plan", "Plan", (147, 147), landscape=True)
    section(wide, "Board C1", 70)
    settle_pages(wide.sheet)
    assert [first_words(wide, row) for row in wide.sheet.page_starts] == ["C1-58"]


def test_a_chart_is_not_cut_by_the_end_of_the_page(sheet):
    """80 mm are 227 pt, 16 rows: after 22 rows there is no room for it, so that it takes its title along."""
    section(sheet, "Board C1", 16)
    sheet.section("Where it goes")
    row = sheet.next_row
    sheet.sheet.charts.append(Chart(ChartKind.BARS, "Where it goes", "Board", "Thickness (in)", [], row=row, column=1))
    for _ in range(20):
        sheet.blank()
    settle_pages(sheet.sheet)
    assert [first_words(sheet, start) for start in sheet.sheet.page_starts] == ["Where it goes"]


def test_page_starts_already_asked_for_are_kept(sheet):
    section(sheet, "Board C1", 3)
    sheet.new_page()
    section(sheet, "Board H1", 3)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == ["Board H1"]


def test_upright_and_endless_sheets_are_left_to_the_program():
    upright = SheetBuilder("plan", "Plan", "Plan", (20, 20))
    section(upright, "Board C1", 70)
    endless = SheetBuilder("plan", "Plan", "Plan", (20, 20), landscape=True)
    section(endless, "Board C1", MOST_ROWS)
    for each in (upright, endless):
        settle_pages(each.sheet)
        assert each.sheet.page_starts == []


def test_large_rows_count_as_high_as_they_are(sheet):
    """Rows of large type are 22 pt high: 480 - 6 x 15 leaves room for 17 of them."""
    sheet.section("Board C1")
    sheet.table((Heading("Slice", look=Look.LARGE, note="a"), HEADINGS[1]), records(30))
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == ["C1-18"]


def test_one_or_two_records_are_not_left_for_a_page_of_their_own(sheet):
    """Board C1 takes 5 x 15 + 28 + 14 x 15 = 313 pt; blank, title and headings 58 more; the rest has room for 7."""
    section(sheet, "Board C1", 14)
    section(sheet, "Board H1", 9)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == ["Board H1"]
    longer = SheetBuilder("plan", "Plan", "Plan", (20, 20), landscape=True)
    section(longer, "Board C1", 14)
    section(longer, "Board H1", 10)
    settle_pages(longer.sheet)
    assert [first_words(longer, row) for row in longer.sheet.page_starts] == ["C1-8"]
