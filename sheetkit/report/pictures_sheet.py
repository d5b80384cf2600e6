"""Pictures: each panel and piece drawn to scale, one below the other, none across a page's end."""

from math import ceil

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import SheetBuilder
from sheetkit.report.drawings import Named, drawings
from sheetkit.report.model import Look, Picture, ReportSheet

WIDTHS = (24.0, 24.0, 24.0, 24.0)
POINT_MM = 25.4 / 72
TALLEST_ROW_MM = 140.0
"""A row may be 409 points high."""

GAP_MM = 4.0


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
        measured = f"{stack.measured} of its {len(stack.layers)} layers are measured slices in the order of Lay-up"
        sheet.line(f"Panel {stack.panel.name}: {measured if stack.measured else 'drawn from the plan, none measured'}.")
    group = ""
    for item in drawings(results, measure):
        if item.group != group:
            sheet.section(item.group)
            sheet.sheet.row_heights[sheet.next_row] = GAP_MM / POINT_MM
            sheet.blank()
            group = item.group
        _place(sheet, item)
    return sheet.sheet


def _place(sheet: SheetBuilder, item: Named) -> None:
    """Hang a picture on a row of its own, as high as the picture, so that a page never ends within it."""
    drawing, row = item.drawing, sheet.next_row
    sheet.sheet.pictures.append(
        Picture(drawing.png, drawing.description, row, 1, drawing.width_mm, drawing.height_mm)
    )  # fmt: skip
    needed = drawing.height_mm + GAP_MM
    rows = ceil(needed / TALLEST_ROW_MM)
    for number in range(rows):
        sheet.sheet.row_heights[row + number] = needed / rows / POINT_MM
        sheet.blank()
