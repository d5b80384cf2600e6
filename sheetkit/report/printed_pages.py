"""Where a result sheet begins new pages in print: no heading stays behind without what it heads."""

from collections.abc import Iterator, Mapping, Sequence
from enum import IntEnum
from math import ceil

from sheetkit.report.builder import CHARACTER, LARGE_PT, LINE_PT, WRAPPING
from sheetkit.report.charts import LOWEST_ROW_MM
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
"""Records that stay with their headings where a block is broken, and the fewest that a page of their own gets."""
MOST_ROWS = 3000
"""Nobody prints more; the page starts of longer sheets are left to the program."""
MM_PT = 72.0 / 25.4


class Harm(IntEnum):
    """What is parted where a page begins, the least first."""

    NONE = 0
    BLOCK = 1
    """A short block, or the first or last records of a long one."""
    WORDS = 2
    """Sentences from what they lead to."""
    HEAD = 3
    """A title or headings from what they head."""
    CHART = 4


def settle_pages(sheet: ReportSheet) -> None:
    """Say where each page of a sheet that lies across begins, so that what belongs together stays together.

    What programs and papers differ in is taken so that a page holds no more rows than reckoned here: where it holds
    fewer, its end stays empty.
    """
    if not sheet.landscape or len(sheet.rows) > MOST_ROWS or not _has_sections(sheet.rows):
        return
    heights = [_height(sheet, number) for number in range(1, len(sheet.rows) + 1)]
    width = sum(DIGIT_PT * characters + COLUMN_PT for characters in sheet.column_widths)
    page = PAGE_HEIGHT_PT * max(1.0, width / PAGE_WIDTH_PT)
    charts = _charts(sheet, page)
    harms = _harms(sheet.rows, heights, charts, page)
    starts: list[int] = []
    start = _next_start(sheet, heights, charts, harms, 1, page)
    while start is not None:
        starts.append(start)
        start = _next_start(sheet, heights, charts, harms, start, page)
    sheet.page_starts = starts


def _has_sections(rows: Sequence[Sequence[ReportCell | None]]) -> bool:
    return any(_is_title(cells) for cells in rows)


def _is_title(cells: Sequence[ReportCell | None]) -> bool:
    return bool(cells) and cells[0] is not None and cells[0].look is Look.SECTION


def _is_heading(cells: Sequence[ReportCell | None]) -> bool:
    return any(cell is not None and cell.look in HEADINGS for cell in cells[:1])


def _has_content(cells: Sequence[ReportCell | None]) -> bool:
    return any(cell is not None for cell in cells)


def _charts(sheet: ReportSheet, page: float) -> dict[int, float]:
    """Height of the tallest chart on each row that has one; what no page holds is left out [pt]."""
    tallest: dict[int, float] = {}
    for chart in sheet.charts:
        height = chart.height_mm * MM_PT
        if height <= page and chart.row <= len(sheet.rows):
            tallest[chart.row] = max(tallest.get(chart.row, 0.0), height)
    return tallest


def _next_start(
    sheet: ReportSheet,
    heights: Sequence[float],
    charts: Mapping[int, float],
    harms: Mapping[int, Harm],
    first: int,
    page: float,
) -> int | None:
    """The row that begins the page after the one that begins with a row; None where the rest fits.

    A chart moves on with the blank rows kept for it if that harms nothing, since these might make an empty page.
    """
    asked = min((row for row in sheet.page_starts if row > first), default=None)
    for roomy in (True, False):
        beyond = _beyond(sheet, heights, charts, first, page, roomy=roomy)
        if beyond is None or (asked is not None and asked <= beyond):
            continue
        may = (row for row in range(first + 1, beyond + 1) if row in harms)
        start = min(may, key=lambda row: (harms[row], -row))
        if harms[start] is Harm.NONE or not roomy:
            return start
    return asked


def _beyond(
    sheet: ReportSheet,
    heights: Sequence[float],
    charts: Mapping[int, float],
    first: int,
    page: float,
    *,
    roomy: bool,
) -> int | None:
    """The first row whose cells or charts find no room on the page that begins with a row; None where all do.

    Args:
        sheet: the sheet
        heights: of its rows [pt]
        charts: their heights, by row [pt]
        first: row that begins the page
        page: room on it [pt]
        roomy: charts need room for all rows that they may hang over
    """
    used = _repeated(sheet, heights, first)
    for row in range(first, min(len(sheet.rows), sheet.printed_rows or len(sheet.rows)) + 1):
        needed = max(heights[row - 1], charts.get(row, 0.0))
        if roomy and row in charts:
            needed = max(needed, sum(heights[row - 1 : _last_under(heights, row, charts[row])]))
        if row > first and used + needed > page and (row in charts or _has_content(sheet.rows[row - 1])):
            return row
        used += heights[row - 1]
    return None


def _repeated(sheet: ReportSheet, heights: Sequence[float], row: int) -> float:
    """Height of the rows that a page beginning here repeats."""
    first, last = sheet.repeated_rows or (1, 0)
    return sum(heights[first - 1 : last]) if row > last else 0.0


def _last_under(heights: Sequence[float], row: int, chart: float) -> int:
    """The last row that a chart may hang over, where rows are as low as in any program."""
    lowest = LOWEST_ROW_MM * MM_PT / ROW_PT
    while chart > heights[row - 1] * lowest and row < len(heights):
        chart -= heights[row - 1] * lowest
        row += 1
    return row


def _harms(
    rows: Sequence[Sequence[ReportCell | None]], heights: Sequence[float], charts: Mapping[int, float], page: float
) -> dict[int, Harm]:
    """What a page that begins with a row would part, for each row with cells or charts of its own."""
    harms: dict[int, Harm] = {}
    leads = False
    for first, last in _blocks(rows, charts):
        leads = leads and not _is_title(rows[first - 1])
        harms[first] = _after(rows, first) if leads else Harm.NONE
        harms.update(_within(rows, first, last, short=sum(heights[first - 1 : last]) <= WHOLE_SHARE * page))
        leads = not any(row in charts or _is_heading(rows[row - 1]) for row in range(first, last + 1))
    for row, chart in charts.items():
        under = range(row + 1, _last_under(heights, row, chart) + 1)
        harms.update({each: Harm.CHART for each in under if each in harms})
    return harms


def _blocks(rows: Sequence[Sequence[ReportCell | None]], charts: Mapping[int, float]) -> Iterator[tuple[int, int]]:
    """First and last row of each run of rows with cells; a blank row that charts hang on is one of its own."""
    first = None
    for row, cells in enumerate(rows, 1):
        if _has_content(cells):
            first = first or row
            continue
        if first is not None:
            yield first, row - 1
        first = None
        if row in charts:
            yield row, row
    if first is not None:
        yield first, len(rows)


def _after(rows: Sequence[Sequence[ReportCell | None]], row: int) -> Harm:
    """What is parted from the block above, which leads to this row: its title alone, or its last sentence."""
    above = next(each for each in range(row - 1, 0, -1) if _has_content(rows[each - 1]))
    return Harm.HEAD if _is_title(rows[above - 1]) else Harm.WORDS


def _within(
    rows: Sequence[Sequence[ReportCell | None]], first: int, last: int, *, short: bool
) -> Iterator[tuple[int, Harm]]:
    """What is parted where a page begins within a block, row by row."""
    headings = [row for row in range(first, last + 1) if _is_heading(rows[row - 1])]
    for row in range(first + 1, last + 1):
        if _is_title(rows[row - 2]) or row - 1 in headings:
            yield row, Harm.HEAD
        elif headings and row <= headings[0]:
            yield row, Harm.WORDS
        elif short or row > last + 1 - KEPT_RECORDS or row == first + 1 or _just_headed(row, headings):
            yield row, Harm.BLOCK
        else:
            yield row, Harm.NONE


def _just_headed(row: int, headings: Sequence[int]) -> bool:
    return any(heading < row <= heading + KEPT_RECORDS for heading in headings)


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
