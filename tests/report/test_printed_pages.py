"""Where printed pages begin: blocks of rows stay together, as far as rows and pages can be reckoned."""

import pytest

from sheetkit.report.builder import Heading, SheetBuilder
from sheetkit.report.charts import place_charts
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


def chart(row=1, column=1, height_mm=80.0):
    return Chart(ChartKind.BARS, "Parts", "Board", "Thickness (in)", [], row, column, height_mm=height_mm)


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
    """Board C1 takes 5 x 15 + 28 + 14 x 15 = 313 pt; blank, title and headings 58 more; the rest has room for 7.

    Of 9 records three go to the next page instead of two; of 10 three do anyway.
    """
    section(sheet, "Board C1", 14)
    section(sheet, "Board H1", 9)
    settle_pages(sheet.sheet)
    assert [(row, first_words(sheet, row)) for row in sheet.sheet.page_starts] == [(30, "C1-7")]
    longer = SheetBuilder("plan", "Plan", "Plan", (20, 20), landscape=True)
    section(longer, "Board C1", 14)
    section(longer, "Board H1", 10)
    settle_pages(longer.sheet)
    assert [(row, first_words(longer, row)) for row in longer.sheet.page_starts] == [(31, "C1-8")]


@pytest.mark.parametrize(
    ("count", "starts"),
    [(57, ["C1-26"]), (58, ["C1-26", "C1-56"]), (59, ["C1-26", "C1-57"]), (60, ["C1-26", "C1-58"])],
)
def test_nor_are_they_on_the_last_of_several_pages(sheet, count, starts):
    """The first page holds 25 records and the second 32, which is 57: where more follow, the third has three."""
    section(sheet, "Board C1", count)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, row) for row in sheet.sheet.page_starts] == starts


def test_each_of_the_charts_below_one_another_begins_a_page_where_it_must(sheet):
    """Each is 227 pt high and has 20 rows: after 5 rows of 15 pt the first fits, the next would end at 602 pt; then
    every page has room for one, since the second would end at 527 pt."""
    sheet.section("Charts")
    place_charts(sheet, [chart()] * 6)
    assert [each.row for each in sheet.sheet.charts] == [6, 26, 46, 66, 86, 106]
    settle_pages(sheet.sheet)
    assert sheet.sheet.page_starts == [26, 46, 66, 86, 106]


def test_low_charts_share_a_page(sheet):
    """40 mm are 113 pt and have 11 rows of 15 pt: at 75, 240 and, on the next page, at 0 and 165 pt.

    The third would end at 405 + 113 pt. Two fit with all rows kept for them: 75 + 2 x 165 = 405 pt.
    """
    sheet.section("Charts")
    place_charts(sheet, [chart(height_mm=40.0)] * 4)
    assert [each.row for each in sheet.sheet.charts] == [6, 17, 28, 39]
    settle_pages(sheet.sheet)
    assert sheet.sheet.page_starts == [28]


@pytest.mark.parametrize(("boards", "starts"), [(2, []), (3, [11]), (6, [14]), (7, [15])])
def test_a_chart_a_blank_row_below_its_table_goes_on_with_the_rows_kept_for_it(sheet, boards, starts):
    """99 mm are 281 pt, which hang over 23 rows where these are 4.4 mm high; 23 x 15 = 345 pt leave nine rows above it.

    Two boards end with row 8. With six, 13 x 15 + 281 = 476 pt, it would just fit, and blank rows be left for a page.
    """
    section(sheet, "Board by board", boards)
    sheet.blank()
    place_charts(sheet, [chart(height_mm=99.0)])
    assert sheet.sheet.charts[0].row == boards + 8
    settle_pages(sheet.sheet)
    assert sheet.sheet.page_starts == starts


def test_a_chart_takes_the_title_and_sentence_above_a_blank_row_along(sheet):
    """Title at row 23; chart at 26, where 375 + 227 pt find no room."""
    section(sheet, "Board C1", 15)
    sheet.section("Where it goes")
    sheet.line("One bar a board.")
    sheet.blank()
    place_charts(sheet, [chart()])
    assert sheet.sheet.charts[0].row == 26
    settle_pages(sheet.sheet)
    assert [first_words(sheet, start) for start in sheet.sheet.page_starts] == ["Where it goes"]


def test_a_block_higher_than_a_page_with_a_chart_beside_it_keeps_its_title(sheet):
    """The title stands at row 30, at 28 x 15 + 28 = 448 pt: headings and three records do not fit below it."""
    section(sheet, "Board C1", 22)
    section(sheet, "Big", 60)
    assert first_words(sheet, 30) == "Big"
    alone = SheetBuilder("plan", "Plan", "Plan", (20, 20), landscape=True)
    alone.sheet.rows = list(sheet.sheet.rows)
    sheet.sheet.charts.append(chart(row=32, column=2))
    for each in (sheet, alone):
        settle_pages(each.sheet)
        assert each.sheet.page_starts[0] == 30


def test_rows_beside_a_chart_are_not_broken(sheet):
    """A page of 40 records ends at 26; the chart beside the 20th, 300 pt down, would end at 527 pt: both go on."""
    section(sheet, "Board C1", 40)
    sheet.sheet.charts.append(chart(row=21, column=2))
    settle_pages(sheet.sheet)
    assert sheet.sheet.page_starts == [21]


def test_a_title_with_sentences_above_a_blank_row_goes_with_their_table(sheet):
    """T stands at row 28, at 26 x 15 + 28 = 418 pt; the headings at row 32 are beyond the page."""
    section(sheet, "Board C1", 20)
    sheet.section("T")
    sheet.line("One.")
    sheet.line("Two.")
    sheet.blank()
    sheet.table(HEADINGS, records(5))
    assert first_words(sheet, 28) == "T"
    settle_pages(sheet.sheet)
    assert sheet.sheet.page_starts == [28]


def test_sentences_are_complete_where_a_title_follows(sheet):
    """Sentences to row 30; the title at 32 is beyond the page and goes alone."""
    section(sheet, "Board C1", 20)
    sheet.section("T")
    sheet.line("One.")
    sheet.line("Two.")
    section(sheet, "Board H1", 5)
    settle_pages(sheet.sheet)
    assert [first_words(sheet, start) for start in sheet.sheet.page_starts] == ["Board H1"]


def test_a_chart_no_page_holds_does_not_leave_titles_behind(sheet):
    """200 mm are 567 pt."""
    section(sheet, "Board C1", 21)
    section(sheet, "Big", 60)
    sheet.sheet.charts.append(chart(row=31, column=2, height_mm=200.0))
    settle_pages(sheet.sheet)
    assert first_words(sheet, sheet.sheet.page_starts[0]) == "Big"
