"""Where a result sheet begins new pages in print: no heading stays behind without what it heads."""

from collections.abc import Sequence
from math import ceil

from sheetkit.report.builder import CHARACTER, LARGE_PT, LINE_PT, WRAPPING
from sheetkit.report.model import HEADINGS, Look, ReportCell, ReportSheet
from sheetkit.report.room import broken

PAGE_WIDTH_PT, PAGE_HEIGHT_PT = 774.0, 480.0
"""Room for the cells on a page that lies across: the width of A4 within margins of 12 mm, since a wider page shrinks a
sheet less, and the least height, of A4 in .ods with its header and footer; on Letter paper there is more."""
DIGIT_PT, COLUMN_PT = 5.25, 3.75
"""Width of a digit, and what a column has besides, where they are least: a narrower sheet is shrunk less."""
ROW_PT = 15.0
"""Height of a usual row where it is most."""
WHOLE_SHARE = 0.3
"""A block that takes no more than this share of a page is not broken."""
KEPT_RECORDS = 3
"""Records that stay with their headings where a block is broken."""
MOST_ROWS = 3000
"""Nobody prints more; the page starts of longer sheets are left to the program."""
MM_PT = 72.0 / 25.4


def settle_pages(sheet: ReportSheet) -> None:
    """Say where each page of a sheet that lies across begins, so that blocks of rows stay together.

    A block goes from a blank row to the next. What programs and papers differ in is taken so that a page holds no
    more rows than reckoned here: where it holds fewer, its end stays empty.
    """
    if not sheet.landscape or len(sheet.rows) > MOST_ROWS or not _has_sections(sheet.rows):
        return
    heights = [_height(sheet, number) for number in range(1, len(sheet.rows) + 1)]
    width = sum(DIGIT_PT * characters + COLUMN_PT for characters in sheet.column_widths)
    page = PAGE_HEIGHT_PT * max(1.0, width / PAGE_WIDTH_PT)
    starts = set(sheet.page_starts)
    used = 0.0
    for row in range(1, min(len(sheet.rows), sheet.printed_rows or len(sheet.rows)) + 1):
        repeated = _repeated(sheet, heights, row)
        inside = _inside(sheet.rows, row)
        needed = heights[row - 1] if inside else _needed(sheet, heights, row, page - repeated, page - used)
        if row in starts or (used + needed > page and _has_content(sheet.rows, row)):
            starts.add(row)
            used = repeated
        used += heights[row - 1]
    sheet.page_starts = sorted(starts - {1})


def _has_sections(rows: Sequence[Sequence[ReportCell | None]]) -> bool:
    return any(cells and cells[0] is not None and cells[0].look is Look.SECTION for cells in rows)


def _has_content(rows: Sequence[Sequence[ReportCell | None]], row: int) -> bool:
    return any(cell is not None for cell in rows[row - 1])


def _inside(rows: Sequence[Sequence[ReportCell | None]], row: int) -> bool:
    """The row goes on with the block of the row above it."""
    return row > 1 and _has_content(rows, row - 1)


def _repeated(sheet: ReportSheet, heights: Sequence[float], row: int) -> float:
    """Height of the rows that a page beginning here repeats."""
    first, last = sheet.repeated_rows or (1, 0)
    return sum(heights[first - 1 : last]) if row > last else 0.0


def _needed(sheet: ReportSheet, heights: Sequence[float], row: int, page: float, left: float) -> float:
    """Height of what must stand on one page with the first row of a block.

    Args:
        sheet: the sheet
        heights: of its rows [pt]
        row: the first of the block
        page: room on an empty page [pt]
        left: room on the page so far [pt]
    """
    last = row
    while last < len(sheet.rows) and _has_content(sheet.rows, last + 1):
        last += 1
    whole = sum(heights[row - 1 : last])
    charts = [chart for chart in sheet.charts if row < chart.row <= last + 1 or chart.row == row]
    if charts:
        top = min(chart.row for chart in charts)
        tallest = max(chart.height_mm for chart in charts if chart.row == top) * MM_PT
        whole = max(whole, sum(heights[row - 1 : top - 1]) + tallest)
    elif whole > WHOLE_SHARE * page and not _leaves_few(heights[row - 1 : last], left):
        whole = sum(heights[row - 1 : _last_kept(sheet.rows, row, last)])
    return whole if whole <= page else heights[row - 1]


def _leaves_few(block: Sequence[float], left: float) -> bool:
    """Whether a block would end with fewer than the records that stay together on a page of their own."""
    return sum(block) > left >= sum(block[: 1 - KEPT_RECORDS])


def _last_kept(rows: Sequence[Sequence[ReportCell | None]], first: int, last: int) -> int:
    """The row down to which a block that is broken stays together: its headings and some records, or two lines."""
    heading = next((row for row in range(first, last + 1) if _is_heading(rows[row - 1])), None)
    return min(last, first + 1 if heading is None else heading + KEPT_RECORDS)


def _is_heading(cells: Sequence[ReportCell | None]) -> bool:
    return any(cell is not None and cell.look in HEADINGS for cell in cells[:1])


def _height(sheet: ReportSheet, row: int) -> float:
    """Height of a row, as the programs fit it where none is given [pt]."""
    given = sheet.row_heights.get(row)
    if given is not None:
        return max(given, ROW_PT)
    height = ROW_PT
    for cell, width in zip(sheet.rows[row - 1], sheet.column_widths, strict=False):
        if cell is None or not isinstance(cell.value, str) or cell.columns > 1:
            continue
        if cell.look is Look.LARGE:
            height = max(height, LARGE_PT)
        elif cell.look in HEADINGS:
            height = max(height, LINE_PT * len(broken(cell.value, width)))
        elif cell.look in WRAPPING:
            height = max(height, LINE_PT * ceil(len(cell.value) * CHARACTER / width))
    return height
