"""Block of the sheet Glue-up: the times, masses and faces that its figures build upon, each with its own cell."""

from sheetkit.job.gluing import Gluing
from sheetkit.report.amounts import Amounts, minutes
from sheetkit.report.builder import GAP, Figure, Heading, SheetBuilder, Value
from sheetkit.report.live import Live
from sheetkit.report.model import ReportCell
from sheetkit.report.sources import MINUTES
from sheetkit.tables.inputs import Inputs

TIMES = (("Time per layer", "line_s"), ("Closing time", "closing_s"), ("Clamp time", "clamp_time_s"))


def glue_figures(sheet: SheetBuilder, inputs: Inputs, gluing: Gluing, *, amounts: Amounts, live: Live) -> None:
    """Write the block; nothing where nothing is glued.

    Args:
        sheet: the sheet
        inputs: the maker's rows and settings
        gluing: everything about gluing
        amounts: how amounts are shown
        live: the cells that formulas may build upon
    """
    glued = [item for item in gluing.panels if item.lines]
    if not glued:
        return
    sheet.section("Figures that the glue-ups rest on")
    measure = live.measure
    records: list[list[Value]] = []
    first = sheet.next_row + 1

    def add(name: str, shown: str, value: Value, unit: str) -> None:
        live.keep(name, sheet.sheet, first + len(records), 2)
        records.append([shown, value, unit])

    for name, field in TIMES:
        shown = minutes(getattr(inputs.shop, field))
        add(name, name, Figure(shown, live.setting(f"Shop.{field}", shown, MINUTES)), "min")
    add("Assembly time", "Assembly time in this shop", minutes(glued[0].stages.limit_s), "min")
    for item in glued:
        panel = item.panel.name
        if item.mix_of_one_line is not None:
            mass = amounts.mass(item.mix_of_one_line.to_mix_g)
            add(f"mix of {panel}", f"Mix for one line, {panel}", mass, amounts.mass_unit)
        if item.pressing is not None:
            face = ReportCell(
                measure.of_board(measure.of_board(item.pressing.area_mm2)),
                number_format=("0.00" if measure.inch else "#,##0") + GAP,
            )
            add(f"face of {panel}", f"Face as glued, {panel}", face, f"{measure.board_unit}2")
    headings = (
        Heading("Figure", note="A setting as it is called on Shop, or what follows from several of them."),
        Heading("Used", "0.00", "From Shop, or what is assumed where Shop does not say."),
        Heading("Unit", note="Of the figure."),
    )
    sheet.table(headings, records, name="glue_figures")
