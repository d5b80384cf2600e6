"""Pieces: what each handle, board and bowl needs, how many a panel gives, and how the layers will show."""

from collections.abc import Mapping

from sheetkit.errors import Harm
from sheetkit.job.measure import Measure
from sheetkit.job.pieces import BoardAnswer, Pieces
from sheetkit.job.results import Results
from sheetkit.job.wording import counted
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.model import Link, Look, ReportSheet
from sheetkit.report.pieces_bowls import bowl_block
from sheetkit.report.pieces_handles import handle_block
from sheetkit.tables.columns import columns_of
from sheetkit.tables.inputs import Assumption, Inputs
from sheetkit.tables.settings_pieces import Piecework
from sheetkit.trade.handles import complement
from sheetkit.trade.steps import StepResult

WIDTHS = (21, 11, 12, 12, 13, 13, 13, 13, 12, 12, 12, 12)
CONVENTION = (
    "Angles to the layers: 0° runs along them, 90° square through them. The angle from square, which a saw's gauge "
    "often shows, is printed beside it. Each piece is counted as if it had its panel to itself."
)
_SETTINGS = frozenset(column.heading for column in columns_of(Piecework))


def pieces_sheet(inputs: Inputs, results: Results, measure: Measure, names: Mapping[str, str]) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        names: tab name of each result sheet by key
    """
    sheet = SheetBuilder("pieces", names["pieces"], "Pieces", WIDTHS, landscape=True)
    pieces = results.pieces
    _problems(sheet, pieces, names)
    if not (pieces.handles or pieces.boards or pieces.bowls):
        if not pieces.problems:
            sheet.line(
                "No piece is asked for. A row on Handles, Bowls or Steps is worked out here before you saw: angles and "
                "stripes, blanks from a panel, rings and walls.",
                Look.STRONG,
            )
        return sheet.sheet
    sheet.line(CONVENTION)
    sheet.line(f"How they will look: {names['pictures']}.", link=Link(names["pictures"]))
    for handle in pieces.handles:
        handle_block(sheet, handle, measure)
    for board in pieces.boards:
        _board(sheet, board, measure)
    for bowl in pieces.bowls:
        bowl_block(sheet, bowl, results, measure, names)
    _assumed(sheet, inputs)
    return sheet.sheet


def piece_assumptions(inputs: Inputs) -> list[Assumption]:
    """The defaults used for sawing pieces, which this sheet lists in place of Summary."""
    return [item for item in inputs.assumptions if item.name in _SETTINGS]


def pieces_in_a_sentence(pieces: Pieces) -> tuple[str, Look] | None:
    """Whether the pieces can be made, for Summary; None where none is asked for."""
    made = [item.row.piece for item in pieces.handles] + [board.name for board in pieces.boards if board.made]
    made += [item.row.piece for item in pieces.bowls]
    if not made and not pieces.problems:
        return None
    stopped = sum(problem.harm is Harm.STOPS_JOB for problem in pieces.problems)
    if stopped:
        return f"{stopped} cannot be made as asked; the nearest that can is said.", Look.BAD
    if pieces.problems:
        return "Not quite as asked: see what was found.", Look.WATCH
    return f"{', '.join(dict.fromkeys(made))}: can be made as asked.", Look.GOOD


def _problems(sheet: SheetBuilder, pieces: Pieces, names: Mapping[str, str]) -> None:
    for problem in pieces.problems:
        look = Look.BAD if problem.harm is Harm.STOPS_JOB else Look.WATCH
        found = f"{problem.found[:1].upper()}{problem.found[1:]}"
        sheet.line(f"{problem.place}: {found}. Wanted: {problem.wanted}. To fix: {problem.fix}.", look)
    if pieces.problems:
        sheet.line(f"All findings: {names['problems']}.", link=Link(names["problems"]))


def _board(sheet: SheetBuilder, board: BoardAnswer, measure: Measure) -> None:
    text = measure.board_text
    rounds = counted(len(board.rows), "round")
    sheet.section(f"Board {board.name}: {rounds} of sawing and gluing, from panel {board.stack.panel.name}")
    first = board.pattern.first_board
    size = f"{text(first.length_mm)} long, {text(first.width_mm)} through its layers, {text(first.thickness_mm)} thick"
    if board.made:
        made = board.pattern.board
        kept = 1.0
        for result in board.results:
            kept *= result.kept_share
        sheet.line(
            f"A panel {size} becomes a board of {text(made.length_mm)} x {text(made.width_mm)} x "
            f"{text(made.thickness_mm)}; {kept:.0%} of its face is left.",
            Look.STRONG,
        )
    else:
        sheet.line(f"A panel {size} gives no such board; see above.", Look.BAD)
    sheet.line("Mark the strips in the order they are sawn, before the first is turned.")
    for number, result in enumerate(board.results, start=1):
        if result.mismatch_mm is not None and result.mismatch_mm > 0.05:
            sheet.line(_slide_words(number, result, measure), Look.WATCH)
    _rounds(sheet, board, measure)


def _slide_words(number: int, result: StepResult, measure: Measure) -> str:
    repeat, missed = measure.panel_text(result.joint_repeat_mm or 0.0), measure.text(result.mismatch_mm or 0.0)
    return (
        f"Round {number}: turned strips meet layer on layer only when slid by a whole number of {repeat}; this slide "
        f"misses by {missed}."
    )


def _rounds(sheet: SheetBuilder, board: BoardAnswer, measure: Measure) -> None:
    unit, coarse, finely = measure.board_unit, measure.coarse, measure.panel
    headings = (
        Heading("Every second strip", note="How it is turned before it is glued: Turn on Steps."),
        Heading("Round", "0", "Of sawing and gluing again, in the order of Steps."),
        Heading(f"Strip ({unit})", coarse, "Width of a strip, square to the cut."),
        Heading("Cut (deg)", "0.0", "Between the cut and the board's length."),
        Heading("From square (deg)", "0.0", "Its complement: what a gauge counting from square shows."),
        Heading("Strips", "0", "Whole strips between the two end triangles."),
        Heading("In strips", "0.0%", "Share of the board's face that is in whole strips."),
        Heading("Kept", "0.0%", "Share of the board's face left once the new board is trimmed square."),
        Heading(f"Length ({unit})", coarse, "Of the new board, across the strips."),
        Heading(f"Width ({unit})", coarse, "Of the new board, along the cut."),
        Heading(f"Thick ({unit})", coarse, "Of the new board."),
        Heading(f"Repeat ({unit})", finely, "How far apart the layers come again along the joint: slide by this."),
    )
    records: list[list[Value]] = []
    first = sheet.next_row
    for number, (row, result) in enumerate(zip(board.rows, board.results, strict=False), start=1):
        from_square = Figure(complement(row.angle_deg), f"90-D{first + number}")
        repeat = result.joint_repeat_mm
        records.append(
            [
                row.turn, number, measure.of_board(row.strip_mm), row.angle_deg, from_square, result.strips,
                round(result.strip_share, 8), round(result.kept_share, 8),
                *(measure.of_board(mm) if mm is not None else None for mm in (*_sizes(result), repeat)),
            ]
        )  # fmt: skip
    sheet.table(headings, records)


def _sizes(result: StepResult) -> tuple[float | None, float | None, float | None]:
    """Length, width and thickness of the board that a round makes."""
    made = result.board
    return (None, None, None) if made is None else (made.length_mm, made.width_mm, made.thickness_mm)


def _assumed(sheet: SheetBuilder, inputs: Inputs) -> None:
    found = piece_assumptions(inputs)
    if not found:
        return
    sheet.section("Assumed, because Shop does not say")
    for item in found:
        sheet.line(f"{item.name}: {item.value}. {item.why}", Look.QUIET)
