"""Pictures: each panel and piece drawn to scale, one below the other, none across a page's end."""

from collections.abc import Sequence
from math import ceil

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.job.wording import counted
from sheetkit.report.builder import SheetBuilder
from sheetkit.report.drawings import Named, drawings
from sheetkit.report.model import Link, Look, Picture, ReportSheet

WIDTHS = (20.5, 20.5, 20.5, 20.5)
POINT_MM = 25.4 / 72
TALLEST_ROW_MM = 144.0
"""A row may be 409 points high."""

GAP_MM = 3.0
LINE_MM = 5.3
"""Height of a line of words where it is most."""
PAGE_MM = 237.0
"""Height of an upright page where it is least: Letter paper in .ods, between margins, header and footer."""


def pictures_sheet(results: Results, measure: Measure, name: str) -> ReportSheet:
    """Build the sheet.

    Args:
        results: what the engine found
        measure: how lengths are shown
        name: the tab's name
    """
    sheet = SheetBuilder("pictures", name, "Pictures", WIDTHS)
    stacks = results.pieces.stacks
    if not stacks:
        sheet.line("Targets names no layer that could be read, so there is nothing to draw.", Look.STRONG)
        return sheet.sheet
    for stack in stacks.values():
        are = "is a measured slice" if stack.measured == 1 else "are measured slices"
        measured = f"{stack.measured} of its {counted(len(stack.layers), 'layer')} {are} in the order of Lay-up"
        if 0 < stack.measured < len(stack.layers):
            measured += ", the rest as planned"
        sheet.line(
            f"Panel {stack.panel.name}: {measured if stack.measured else 'drawn from the plan, no slice laid yet'}."
        )
    found = drawings(results, measure)
    groups = list(dict.fromkeys(item.group for item in found))
    rows = _rows_of(found, sheet.next_row + len(groups) + 1)
    for group in groups:
        first = next(row for row, item in zip(rows, found, strict=True) if item.group == group)
        views = ", ".join(item.name for item in found if item.group == group)
        sheet.line(f"{group}: {views}", link=Link(name, f"A{first}"))
    sheet.blank()
    used = sheet.next_row * LINE_MM
    for item in found:
        needed = item.drawing.height_mm + GAP_MM
        if used + needed > PAGE_MM:
            sheet.sheet.page_starts.append(sheet.next_row)
            used = 0.0
        used += needed
        _place(sheet, item)
    return sheet.sheet


def _rows_of(found: Sequence[Named], first: int) -> list[int]:
    rows = []
    for item in found:
        rows.append(first)
        first += _rows_needed(item)
    return rows


def _rows_needed(item: Named) -> int:
    return ceil((item.drawing.height_mm + GAP_MM) / TALLEST_ROW_MM)


def _place(sheet: SheetBuilder, item: Named) -> None:
    """Hang a picture on rows of its own, together as high as the picture, that stand on one page."""
    drawing, row, rows = item.drawing, sheet.next_row, _rows_needed(item)
    sheet.sheet.pictures.append(Picture(drawing.png, drawing.description, row, 1, drawing.width_mm, drawing.height_mm))
    for number in range(rows):
        sheet.sheet.row_heights[row + number] = (drawing.height_mm + GAP_MM) / rows / POINT_MM
        sheet.blank()
