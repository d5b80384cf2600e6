"""Cut plan: pass by pass, where the dial must stand, what should come off, what is left."""

from sheetkit.job.boards import BoardState
from sheetkit.job.measure import Measure
from sheetkit.job.planning import PlannedPass
from sheetkit.job.results import Results
from sheetkit.job.wording import counted
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.live import Live, agreed, plain
from sheetkit.report.model import Look, ReportSheet
from sheetkit.tables.inputs import Inputs

WIDTHS = (13, 11, 11, 9, 11, 12, 12, 12, 12, 12, 14)


def cut_plan(inputs: Inputs, results: Results, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        name: the tab's name
        live: the cells that formulas may build upon
    """
    sheet = SheetBuilder("cut_plan", name, "Cut plan", WIDTHS, landscape=True)
    passes = results.plan.passes
    if not passes:
        sheet.line(
            "Nothing to saw: the slices already sawn serve every layer."
            if results.needs
            else "Nothing to saw yet: Targets names no layer that could be read.",
            Look.STRONG,
        )
        return sheet.sheet
    boards = len({item.board for item in passes})
    sheet.line(
        f"{counted(len(passes), 'pass', 'passes')} on {counted(boards, 'board')}. "
        "Dial positions count from the trued face: after the truing pass, set the dial to 0 and do not reset it."
    )
    sheet.line(
        "Each position is rounded to a division on its own, so that rounding does not add up; "
        "neighbouring slices may differ by one division."
        + (f" Readings: {_to_type(live.measure)}" if live.measure.unit == "thou" else "")
    )
    sheet.line(
        "Thin stock at the blade: follow the saw's manual; keep fingers behind a carriage, push block or backing "
        "board; collect the dust.",
        Look.CAUTION,
    )
    for board in dict.fromkeys(item.board for item in passes):
        _board(sheet, results.states[board], results.plan.of_board(board), inputs, results, live)
    return sheet.sheet


def _board(
    sheet: SheetBuilder, state: BoardState, passes: list[PlannedPass], inputs: Inputs, results: Results, live: Live
) -> None:
    measure = live.measure
    sheet.section(f"Board {state.board.board}, {state.board.species}: {counted(len(passes), 'pass', 'passes')}")
    sheet.line(_start(state, inputs, measure))
    unit, board_unit = measure.unit, measure.board_unit
    headings = (
        Heading("Slice", look=Look.LARGE, note="Write this name on the slice. Numbers are never used again."),
        Heading(f"Layer ({unit})", measure.fine, "Finished thickness of the layer it is for."),
        Heading(f"Set ({unit})", measure.fine, f"Dialled beyond the kerf allowance; {_to_type(measure)}"),
        Heading("Turns", "0", "Whole turns of the dial from the trued face.", Look.LARGE),
        Heading("Divisions", "0", "Further divisions after the whole turns.", Look.LARGE),
        Heading(f"Dial at ({unit})", measure.fine, "The same position as a length.", Look.LARGE),
        Heading(f"Expect ({unit})", measure.fine, "Thickness that should come off."),
        Heading(f"Likely from ({unit})", measure.fine, "95 slices of 100 should fall between these two."),
        Heading(f"Likely to ({unit})", measure.fine, "Empty while the readings are too few to say."),
        Heading(f"Left ({board_unit})", measure.coarse, "Thickness of the board that can still be sawn afterwards."),
        Heading("Reading", look=Look.TO_FILL, note="To write in by hand at the saw; type it into Measurements later."),
    )
    first = sheet.next_row + 1
    area = sheet.table(headings, [_record(item, state, results, live, row) for row, item in enumerate(passes, first)])
    if area is not None:
        if sheet.sheet.repeated_rows is None:
            # All boards have the same headings, so that those of the first serve every page.
            sheet.sheet.repeated_rows = (area.first_row - 1, area.first_row - 1)
        for what, column in (("names", 1), ("dials", 6), ("expected", 7)):
            live.keep_column(f"{what} {state.board.board}", sheet.sheet, area, column)
        live.keep(f"last dial {state.board.board}", sheet.sheet, area.last_row, 6)


def _to_type(measure: Measure) -> str:
    """Where the setting goes; a number in thou would be out of place under a heading in inches."""
    if measure.unit == "thou":
        return "type into Measurements with the unit, such as 31.5 thou, or write (thou) in the headings there."
    return "type it into Measurements."


def _start(state: BoardState, inputs: Inputs, measure: Measure) -> str:
    if not state.started:
        return (
            f"Take {measure.text(inputs.shop.truing_mm)} off to true the face, then set the dial to 0. "
            f"{measure.board_text(inputs.shop.held_mm)} stays in the clamp."
        )
    return (
        f"Already trued; {counted(state.sawn, 'slice')} sawn, "
        f"so the dial stands at {measure.text(state.position_mm)} now."
    )


def _record(item: PlannedPass, state: BoardState, results: Results, live: Live, row: int) -> list[Value]:
    likely, measure, species = item.interval_mm, live.measure, state.board.species
    offset = live.of(f"C{row}+[{plain(f'offset {species}')}]")
    of_offset = item.set_mm + results.learned.of(species).offset_mm
    start, to_board = plain(f"start {state.board.board}"), measure.to_board
    left = f"[{start}]-[Truing pass]{to_board}-[Held back]{to_board}-F{row}{to_board}"
    return [
        item.slice_name,
        measure.of(item.need.finished_mm),
        measure.of(item.set_mm),
        item.turns,
        item.divisions,
        Figure(measure.of(item.position_mm), live.of(f"D{row}*[Dial turn]+E{row}*[Dial division]")),
        Figure(measure.of(item.expected_mm), agreed(offset, of_offset, item.expected_mm)),
        measure.of(likely[0]) if likely else None,
        measure.of(likely[1]) if likely else None,
        Figure(measure.of_board(item.left_mm), live.of(left)),
        None,
    ]
