"""The block of Lay-up that says what panels already glued teach about the glue line."""

from sheetkit.job.glue_lines import GluedPanel, GlueLines
from sheetkit.job.measure import Measure
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Look, ReportCell
from sheetkit.report.words import finer, finer_text
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.glue_line import LearnedLine

NORMAL_95 = 1.96
"""Two-sided 95 % limits of a normal distribution, in standard uncertainties."""


def glue_line_learned(sheet: SheetBuilder, inputs: Inputs, found: GlueLines, measure: Measure) -> None:
    """Write the block; nothing where no panel was measured after gluing."""
    if not found.panels:
        return
    sheet.section("Glue line, learned from panels already glued")
    if found.together is not None:
        sheet.line(*_advice(found.together, inputs.shop.glue_line_mm, measure))
        _table(sheet, found, measure)
        sheet.line(
            "The slices are taken to lie in the panel as listed below. An error that all readings share, such as the "
            "caliper's zero, goes into the line whole, and out again when the same caliper measures the next slices."
        )
    for each in found.panels:
        if each.line is None:
            glued = measure.panel_text(each.glued_mm)
            sheet.line(
                f"Panel {each.panel.name}: nothing can be learned from its {glued} while not every layer "
                "of it has a measured slice.",
                Look.WATCH,
            )


def _advice(line: LearnedLine, set_mm: float, measure: Measure) -> tuple[str, Look]:
    """What to type, if anything."""
    either_way = NORMAL_95 * line.standard_mm
    comes = f"{measure.text(line.thickness_mm)}, give or take {finer_text(either_way, measure)}"
    if line.thickness_mm < -either_way:
        return (
            f"Leave Glue line on Shop at {measure.text(set_mm)}: the glued panels are thinner than their slices were, "
            f"by {measure.text(-line.thickness_mm)} a line. Burrs or fuzz on the slices when they were measured, or "
            "other slices than those listed, would show so.",
            Look.WATCH,
        )
    told = measure.text(max(0.0, line.thickness_mm))
    if abs(line.thickness_mm - set_mm) <= either_way or told == measure.text(set_mm):
        return f"Leave Glue line on Shop at {measure.text(set_mm)}: the glued panels come to {comes}.", Look.GOOD
    return (
        f"Type {told} into Glue line on Shop, in place of {measure.text(set_mm)}: the glued panels come to {comes}.",
        Look.WATCH,
    )


def _table(sheet: SheetBuilder, found: GlueLines, measure: Measure) -> None:
    unit, board_unit, whole = measure.unit, measure.board_unit, measure.panel
    headings = (
        Heading("Panel", note="As named on Panels."),
        Heading("Layers", "0", "Of one copy."),
        Heading(
            f"Its slices ({board_unit})", whole, "Sum of the means of the slices that were measured before gluing."
        ),
        Heading(f"As glued ({board_unit})", whole, "Glued thickness on Panels."),
        Heading(
            f"Glue line ({unit})", measure.signed, "As glued less its slices, shared among one line less than layers."
        ),
        Heading(f"Give or take ({unit})", finer(measure), "In 95 of 100 cases, from the caliper alone."),
    )
    rows = [_row(each, row, measure) for row, each in enumerate(_learned(found), sheet.next_row + 1)]
    sheet.table(headings, rows)


def _learned(found: GlueLines) -> list[GluedPanel]:
    return [each for each in found.panels if each.line is not None]


def _row(each: GluedPanel, row: int, measure: Measure) -> list[Value]:
    if each.line is None or each.slices_mm is None:
        return []
    live = ReportCell(
        measure.of(each.line.thickness_mm),
        number_format=measure.signed,
        formula=f"=(D{row}-C{row})/(B{row}-1){measure.to_fine}",
    )
    lengths = measure.of_board(each.slices_mm), measure.of_board(each.glued_mm)
    return [each.panel.name, len(each.panel.layers), *lengths, live, measure.of(NORMAL_95 * each.line.standard_mm)]
