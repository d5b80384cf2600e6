"""Summary and Cut plan below each other, as far as one page takes them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from sheetkit.graft.xlsx_draw import needed_height
from sheetkit.page.grid import Grid, Row, common_grid
from sheetkit.page.paper import Paper
from sheetkit.report.builder import FRESH_ROW, LINE_PT
from sheetkit.report.model import HEADINGS, Look, ReportCell, ReportSheet

ON_PAPER: Final = ("Panels", "Cautions")
"""Sections of Summary that stand on the page below the answers; the others serve in the workbook only. What a title has
in brackets behind these words is no matter."""
FEWEST_RECORDS: Final = 2
"""A board is begun only if at least so many of its passes fit."""
_GAP_PT: Final = 6.0


@dataclass(frozen=True, slots=True)
class _Line:
    """A row with its height [pt] and the column widths of its own sheet."""

    row: Row
    height_pt: float
    widths: Sequence[float]

    @property
    def look(self) -> Look | None:
        first = self.row[0] if self.row else None
        return first.look if first is not None else None

    @property
    def text(self) -> str:
        first = self.row[0] if self.row else None
        return str(first.value) if first is not None else ""


def compose(summary: ReportSheet, cut_plan: ReportSheet, source: str, paper: Paper) -> ReportSheet:
    """Put both sheets on one page.

    Args:
        summary: the sheet Summary
        cut_plan: the sheet Cut plan
        source: which file it is from, and of when, as a sentence
        paper: what it is printed on

    Returns:
        A sheet of plain values. Of Cut plan it holds the first passes that can be read at this size, and says how many
        more stand in the workbook.
    """
    grid = common_grid([summary.column_widths, cut_plan.column_widths])
    lines = [*_summary(summary, source), *_head_of(cut_plan)]
    room_pt = paper.room_pt(grid.edges_px[-1]) - sum(line.height_pt for line in lines)
    boards = [[_gap(cut_plan), *block] for block in _blocks(cut_plan)[1:]]
    lines += _as_far_as_it_fits(boards, room_pt, cut_plan)
    return _drawn(lines, grid)


def _summary(sheet: ReportSheet, source: str) -> Iterator[_Line]:
    yield _Line(sheet.rows[0], 24.0, sheet.column_widths)
    yield _said(source, Look.QUIET, sheet)
    answers, *sections = _blocks(sheet)
    yield from answers
    for section in sections:
        if section[0].text.partition(" (")[0] in ON_PAPER:
            yield from (_gap(sheet), *section)


def _head_of(sheet: ReportSheet) -> Iterator[_Line]:
    """The sheet's title as a section, and what stands above its first board."""
    yield from (_gap(sheet), _said(str(_first(sheet).value), Look.TITLE, sheet, 24.0))
    yield from _blocks(sheet)[0]


def _first(sheet: ReportSheet) -> ReportCell:
    return next(cell for cell in sheet.rows[0] if cell is not None)


def _blocks(sheet: ReportSheet) -> list[list[_Line]]:
    """The rows below the sheet's own head, cut at the sections; a small gap takes the place of each blank row."""
    blocks: list[list[_Line]] = [[]]
    for number in range(FRESH_ROW + 1, len(sheet.rows) + 1):
        line = _line(sheet, number)
        if line.look is Look.SECTION:
            blocks.append([line, _gap(sheet)])
        elif line.row:
            blocks[-1].append(line)
    return blocks


def _line(sheet: ReportSheet, number: int) -> _Line:
    """Headings take what their words need: on paper they have no filter buttons."""
    line = _Line(sheet.rows[number - 1], needed_height(sheet, number) or LINE_PT, sheet.column_widths)
    if line.look in HEADINGS:
        return line
    return replace(line, height_pt=max(line.height_pt, sheet.row_heights.get(number, LINE_PT)))


def _as_far_as_it_fits(blocks: Sequence[Sequence[_Line]], room_pt: float, sheet: ReportSheet) -> list[_Line]:
    """Board by board, pass by pass; at the end how many passes are left out."""
    kept: list[_Line] = []
    records = sum(len(_records(block)) for block in blocks)
    shown = 0
    room_pt -= LINE_PT + _GAP_PT
    for block in blocks:
        passes = _records(block)
        head = block[: len(block) - len(passes)]
        room_pt -= sum(line.height_pt for line in head)
        fitting = _fitting(passes, room_pt)
        if kept and fitting < min(FEWEST_RECORDS, len(passes)):
            break
        kept += [*head, *passes[:fitting]]
        shown += fitting
        room_pt -= sum(line.height_pt for line in passes)
    if shown < records:
        more = f"{records - shown} more passes stand" if records - shown > 1 else "1 more pass stands"
        kept += [_gap(sheet), _said(f"{more} on {sheet.name} in the workbook.", Look.STRONG, sheet)]
    return kept


def _records(block: Sequence[_Line]) -> Sequence[_Line]:
    """What stands below the headings of a block."""
    heading = next((index for index, line in enumerate(block) if line.look in HEADINGS), len(block))
    return block[heading + 1 :]


def _fitting(lines: Sequence[_Line], room_pt: float) -> int:
    fitting = 0
    for line in lines:
        room_pt -= line.height_pt
        if room_pt < 0:
            break
        fitting += 1
    return fitting


def _said(text: str, look: Look, sheet: ReportSheet, height_pt: float = LINE_PT) -> _Line:
    return _Line([ReportCell(text, look, columns=len(sheet.column_widths))], height_pt, sheet.column_widths)


def _gap(sheet: ReportSheet) -> _Line:
    return _Line([], _GAP_PT, sheet.column_widths)


def _drawn(lines: Sequence[_Line], grid: Grid) -> ReportSheet:
    rows = [grid.put([_plain(cell) for cell in line.row], line.widths) for line in lines]
    heights = {number: line.height_pt for number, line in enumerate(lines, 1)}
    return ReportSheet("page", "Page", rows, grid.column_widths, row_heights=heights)


def _plain(cell: ReportCell | None) -> ReportCell | None:
    """Without what paper does not show, or what leads to sheets that are not there."""
    return None if cell is None else replace(cell, formula=None, link=None, note=None, array=False)
