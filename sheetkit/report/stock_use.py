"""Stock use: board by board and wood by wood, what becomes slices, sawdust and offcut; what to buy if short."""

from collections.abc import Iterable

from openpyxl.utils.cell import get_column_letter

from sheetkit.job.board_use import BoardUse, board_use
from sheetkit.job.boards import BoardState
from sheetkit.job.measure import Measure
from sheetkit.job.measured import SawnSlice
from sheetkit.job.results import Results
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.charts import STACKED, TALLEST_MM, place_charts
from sheetkit.report.live import Live, agreed, joined, plain
from sheetkit.report.model import Area, Chart, ChartKind, Link, Look, ReportCell, ReportSheet, Series
from sheetkit.tables.inputs import Inputs

WIDTHS = (19, 20, 10, 10, 12, 12, 12, 12, 12, 12, 12)
BARS = (("Slices", 6), ("Sawdust", 7), ("Truing", 8), ("Still good", 9), ("Held", 10))
"""Parts of a bar, and their column."""
MOST_BARS = 30
SUMMED = range(3, 11)
"""Columns of the board table that a total makes sense of."""


def stock_use(inputs: Inputs, results: Results, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        name: the tab's name
        live: the cells that formulas may build upon
    """
    sheet = SheetBuilder("stock_use", name, "Stock use", WIDTHS, landscape=True)
    if not results.states:
        sheet.line("No board on Stock could be read.", Look.BAD)
        return sheet.sheet
    sheet.line(
        "What each board's thickness becomes once everything on Cut plan is sawn, with the slices already sawn. "
        "At these thicknesses the blade takes as much as the slices: that is the trade, not a fault."
    )
    _boards(sheet, inputs, results, live)
    _woods(sheet, results, live)
    _short(sheet, results)
    _possible(sheet, results)
    _proof(sheet, results, live.measure)
    return sheet.sheet


def _boards(sheet: SheetBuilder, inputs: Inputs, results: Results, live: Live) -> None:
    sheet.section("Board by board")
    unit, coarse = live.measure.board_unit, live.measure.coarse
    headings = (
        Heading("Board", note="As named on Stock. Click to go there."),
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
    for row, state in enumerate(results.states.values(), sheet.next_row + 1):
        use = board_use(state, results.plan, inputs.shop)
        records.append(_board_record(state, use, results, live, row))
        live.keep(f"start {state.board.board}", sheet.sheet, row, 5)
        live.keep(f"still good {state.board.board}", sheet.sheet, row, 9)
    area = sheet.table(headings, records, name="boards_used")
    if area is not None:
        totals: list[ReportCell | None] = [ReportCell("Together", Look.TOTAL), ReportCell(None, Look.TOTAL)]
        for column in SUMMED:
            letter = get_column_letter(column)
            value = round(sum(_number(record[column - 1]) for record in records), 12)
            formula = f"=SUM({letter}{area.first_row}:{letter}{area.last_row})"
            totals.append(ReportCell(value, Look.TOTAL, headings[column - 1].number_format, formula))
        sheet.sheet.rows.append([*totals, ReportCell(None, Look.TOTAL)])
        _chart(sheet, area, live.measure)


def _number(value: Value) -> float:
    found = value.value if isinstance(value, Figure) else value
    return found if isinstance(found, int | float) else 0.0


def _board_record(state: BoardState, use: BoardUse, results: Results, live: Live, row: int) -> list[Value]:
    board, measure, coming = state.board, live.measure, results.plan.of_board(state.board.board)
    names, last_dial = plain(f"names {board.board}"), plain(f"last dial {board.board}")
    to_board = measure.to_board
    dust = live.of(f"[{last_dial}]{to_board}-F{row}") if coming else None
    opened = bool(coming or state.sawn)
    return [
        ReportCell(board.board, link=Link(board.place.sheet, board.place.cell("board"))),
        board.species,
        state.sawn,
        Figure(len(coming), live.of(f"COUNTA([{names}])") if coming else None),
        Figure(measure.of_board(use.start_mm), live.board_length(board.place, "thickness_mm", use.start_mm)),
        Figure(measure.of_board(use.slices_mm), _sum_of_slices(state, results, live)),
        Figure(
            measure.of_board(use.kerf_mm),
            agreed(dust, coming[-1].position_mm - use.slices_mm, use.kerf_mm) if coming else None,
        ),
        Figure(measure.of_board(use.truing_mm), live.of(f"[Truing pass]{to_board}") if opened else None),
        Figure(measure.of_board(use.left_mm), f"E{row}-F{row}-G{row}-H{row}-J{row}"),
        Figure(measure.of_board(use.held_mm), live.of(f"[Held back]{to_board}") if opened else None),
        ReportCell("on the rack", Look.QUIET) if use.share is None else Figure(
            use.share, f"F{row}/(F{row}+G{row}+H{row})"
        ),
    ]  # fmt: skip


def _sum_of_slices(state: BoardState, results: Results, live: Live) -> str | None:
    """Means on Thickness check and thicknesses expected on Cut plan; None where a slice is on neither."""
    board = state.board.board
    parts = [f"[{plain(f'expected {board}')}]"] if results.plan.of_board(board) else []
    sawn = live.once("slices by board", lambda: _by_board(results.slices)).get(board, [])
    if any(item.mean_mm is None or item.row.pressed != 1 for item in sawn):
        return None
    means = [live.of(f"[mean {item.row.place.row}]") for item in sawn]
    known = [mean for mean in means if mean is not None]
    arguments = joined(known)
    if len(known) != len(sawn) or (sawn and arguments is None):
        return None
    expected = live.of(",".join(parts)) if parts else ""
    if expected is None or not (parts or sawn):
        return None
    return f"SUM({','.join(filter(None, (arguments, expected)))}){live.measure.to_board}"


def _by_board(slices: Iterable[SawnSlice]) -> dict[str, list[SawnSlice]]:
    by_board: dict[str, list[SawnSlice]] = {}
    for item in slices:
        if item.board is not None:
            by_board.setdefault(item.board.board, []).append(item)
    return by_board


def _chart(sheet: SheetBuilder, area: Area, measure: Measure) -> None:
    """Where each board's thickness goes, one bar a board."""
    if area.last_row - area.first_row >= MOST_BARS:
        return
    names = Area(area.first_row, 1, area.last_row, 1)
    chart = Chart(
        ChartKind.STACKED_BARS,
        "Where the thickness of each board goes",
        "Board",
        f"Thickness ({measure.board_unit})",
        [
            Series(name, Area(area.first_row, column, area.last_row, column), names, colour=colour)
            for (name, column), colour in zip(BARS, STACKED, strict=True)
        ],
        row=1,
        column=1,
        width_mm=200.0,
        height_mm=min(TALLEST_MM, 45.0 + 9.0 * (area.last_row - area.first_row + 1)),
        y_format="0.0" if measure.inch else "0",
    )
    sheet.blank()
    place_charts(sheet, [chart])


def _woods(sheet: SheetBuilder, results: Results, live: Live) -> None:
    sheet.section("Wood by wood")
    measure = live.measure
    headings = (
        Heading("Wood", note="Of the layers."),
        Heading("Panel", note="The panel that they are for."),
        Heading(f"Layer ({measure.unit})", measure.fine, "Finished thickness."),
        Heading("Layers", "0", "In the panels, copies included."),
        Heading("Spares", "0", "Sawn on top in case some turn out badly."),
        Heading("Already good", "0", "Layers that measured slices give."),
        Heading("Still to saw", "0", "Layers; one slice may give several."),
        Heading("Planned", "0", "Layers that the plan gives."),
        Heading("Short", "0", "Layers that no board can give; see what to buy."),
    )
    made = results.plan.cuts.made
    records: list[list[Value]] = []
    for row, need in enumerate(results.needs, sheet.next_row + 1):
        planned = made.get(need.key, 0)
        short = max(0, need.to_saw - planned)
        records.append(
            [
                need.species, need.panel, measure.of(need.finished_mm), need.layers, need.spares, need.have,
                Figure(need.to_saw, f"MAX(0,D{row}+E{row}-F{row})"), planned,
                Figure(short, f"MAX(0,G{row}-H{row})", Look.BAD if short else None),
            ]
        )  # fmt: skip
    area = sheet.table(headings, records, name="woods_needed")
    if area is not None:
        for what, column in (("panel", 2), ("layer", 3), ("layers", 4)):
            live.keep_column(f"needed {what}", sheet.sheet, area, column)
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


def _proof(sheet: SheetBuilder, results: Results, measure: Measure) -> None:
    if not results.plan.passes:
        return
    sheet.section("How good this plan is")
    for proof in results.plan.cuts.proofs:
        sheet.line(f"{proof.species}: {proof.sentence}.")
    for wish in results.plan.cuts.wishes:
        outcome = "granted" if wish.honoured else "not granted"
        reason = f" ({wish.why(measure.board_text)})" if wish.reason else ""
        sheet.line(
            f"Wish, {wish.subject}: {wish.wish}: {outcome}{reason}.", Look.INTRO if wish.honoured else Look.WATCH
        )
    sheet.line(
        "Weighed in this order: no layer missing; boards marked first used up; least cost of boards opened; "
        "most wood left in pieces worth keeping; fewest changes of setting."
    )
