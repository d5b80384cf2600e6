"""Stock use: board by board and wood by wood, what becomes slices, sawdust and offcut; what to buy if short."""

from openpyxl.utils.cell import get_column_letter

from sheetkit.job.board_use import BoardUse, board_use
from sheetkit.job.boards import BoardState
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Look, ReportCell, ReportSheet
from sheetkit.tables.inputs import Inputs

WIDTHS = (19, 20, 10, 10, 12, 12, 12, 12, 12, 12, 12)
SUMMED = range(3, 11)
"""Columns of the board table that a total makes sense of."""


def stock_use(inputs: Inputs, results: Results, measure: Measure, name: str) -> ReportSheet:
    """Build the sheet."""
    sheet = SheetBuilder("stock_use", name, "Stock use", WIDTHS, landscape=True)
    if not results.states:
        sheet.line("No board on Stock could be read.", Look.BAD)
        return sheet.sheet
    sheet.line(
        "What each board's thickness becomes once everything on Cut plan is sawn, with the slices already sawn. "
        "At these thicknesses the blade takes as much as the slices: that is the trade, not a fault."
    )
    _boards(sheet, inputs, results, measure)
    _woods(sheet, results, measure)
    _short(sheet, results)
    _possible(sheet, results)
    _proof(sheet, results)
    return sheet.sheet


def _boards(sheet: SheetBuilder, inputs: Inputs, results: Results, measure: Measure) -> None:
    sheet.section("Board by board")
    unit, coarse = measure.unit, measure.coarse
    headings = (
        Heading("Board", note="As named on Stock."),
        Heading("Wood", note="The board's wood."),
        Heading("Slices sawn", "0", "Slices of it on Measurements."),
        Heading("Slices to saw", "0", "Passes on Cut plan."),
        Heading(f"Start ({unit})", coarse, "Thickness before the first pass."),
        Heading(f"Slices ({unit})", coarse, "Sum of the slices, sawn and to come."),
        Heading(f"Sawdust ({unit})", coarse, "Sum of the kerfs."),
        Heading(f"Truing ({unit})", coarse, "Taken off to true the face."),
        Heading(f"Still good ({unit})", coarse, "Can still be sawn afterwards."),
        Heading(f"Held ({unit})", coarse, "Stays in the clamp."),
        Heading("Share kept", "0%", "Slices as a share of what is used up."),
    )
    records = []
    for state in results.states.values():
        use = board_use(state, results.plan, inputs.shop)
        records.append(_board_record(state, use, len(results.plan.of_board(state.board.board)), measure))
    area = sheet.table(headings, records, name="boards_used")
    if area is not None:
        totals: list[ReportCell | None] = [ReportCell("Together", Look.TOTAL), ReportCell(None, Look.TOTAL)]
        for column in SUMMED:
            letter = get_column_letter(column)
            numbers = [record[column - 1] for record in records]
            value = round(sum(number for number in numbers if isinstance(number, int | float)), 8)
            formula = f"=SUM({letter}{area.first_row}:{letter}{area.last_row})"
            totals.append(ReportCell(value, Look.TOTAL, headings[column - 1].number_format, formula))
        sheet.sheet.rows.append([*totals, ReportCell(None, Look.TOTAL)])


def _board_record(state: BoardState, use: BoardUse, coming: int, measure: Measure) -> list[Value]:
    lengths = (use.start_mm, use.slices_mm, use.kerf_mm, use.truing_mm, use.left_mm, use.held_mm)
    return [
        state.board.board,
        state.board.species,
        state.sawn,
        coming,
        *(measure.of(length) for length in lengths),
        use.share if use.share is not None else ReportCell("on the rack", Look.QUIET),
    ]


def _woods(sheet: SheetBuilder, results: Results, measure: Measure) -> None:
    sheet.section("Wood by wood")
    headings = (
        Heading("Wood", note="Of the layers."),
        Heading("Panel", note="The panel that they are for."),
        Heading("Layers", "0", "In the panels, copies included."),
        Heading("Spares", "0", "Sawn on top in case some turn out badly."),
        Heading("Already good", "0", "Layers that measured slices give."),
        Heading("Still to saw", "0", "Layers; one slice may give several."),
        Heading("Planned", "0", "Layers that the plan gives."),
        Heading("Short", "0", "Layers that no board can give; see what to buy."),
    )
    made = results.plan.cuts.made
    records: list[list[Value]] = []
    for need in results.needs:
        short = max(0, need.to_saw - made.get(need.key, 0))
        cell = ReportCell(short, Look.BAD if short else Look.TEXT, "0")
        counts = (need.layers, need.spares, need.have, need.to_saw, made.get(need.key, 0))
        records.append([need.species, need.panel, *counts, cell])
    sheet.table(headings, records, name="woods_needed")
    for need in results.needs:
        sheet.line(
            f"Spares of {need.species}, {measure.text(need.finished_mm)}, panel {need.panel}: {need.spares_why}.",
            Look.QUIET,
        )


def _possible(sheet: SheetBuilder, results: Results) -> None:
    """Whole panels that the slices good so far and the plan give."""
    if not results.plan.cuts.shortages:
        return
    sheet.section("With what is there")
    made = results.plan.cuts.made
    for panel in results.panels:
        mine = [need for need in results.needs if need.panel == panel.name]
        copies = [panel.copies * (need.have + made.get(need.key, 0)) // need.layers for need in mine if need.layers]
        whole = min([panel.copies, *copies])
        sheet.line(f"Panel {panel.name}: {whole} of {panel.copies} can be made whole, without spares.")


def _short(sheet: SheetBuilder, results: Results) -> None:
    if not results.shortages:
        return
    sheet.section("To buy")
    for problem in results.shortages:
        sheet.line(f"{problem.found}. {problem.fix[:1].upper()}{problem.fix[1:]}.", Look.BAD)


def _proof(sheet: SheetBuilder, results: Results) -> None:
    if not results.plan.passes:
        return
    sheet.section("How good this plan is")
    for proof in results.plan.cuts.proofs:
        sheet.line(f"{proof.species}: {proof.sentence}.")
    for wish in results.plan.cuts.wishes:
        outcome = "granted" if wish.honoured else "not granted"
        reason = f" ({wish.reason})" if wish.reason else ""
        sheet.line(
            f"Wish, {wish.subject}: {wish.wish}: {outcome}{reason}.", Look.INTRO if wish.honoured else Look.WATCH
        )
    sheet.line(
        "Weighed in this order: no layer missing; boards marked first used up; least cost of boards opened; "
        "most wood left in pieces worth keeping; fewest changes of setting."
    )
