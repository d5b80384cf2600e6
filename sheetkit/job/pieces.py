"""The pieces of a job: handles, boards cut and glued again, bowls; one that cannot be made never stops the others."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.bowl_findings import bowl_problems
from sheetkit.job.bowls import BowlAnswer, CannotBeMadeError, bowl_answer
from sheetkit.job.handles import HandleAnswer, handle_answer, handle_problems
from sheetkit.job.layers import PanelToMake
from sheetkit.job.laying import Laying
from sheetkit.job.measure import Measure
from sheetkit.job.piece_stacks import PieceStack, piece_stacks, stack_of, steps_of, trade_steps
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows_pieces import Bowl, CutStep, Handle
from sheetkit.trade.pattern import Pattern
from sheetkit.trade.steps import StepResult


@dataclass(frozen=True)
class BoardAnswer:
    """A board that was sawn into strips and glued again.

    Attributes:
        name: the piece it is for, or its own name
        rows: its rounds, in order
        stack: the panel it starts from
        pattern: the board
        results: what each round gives; fewer than the rounds where one gives no board
        copies: how many panels it is made from
    """

    name: str
    rows: tuple[CutStep, ...]
    stack: PieceStack
    pattern: Pattern
    results: tuple[StepResult, ...]
    copies: int

    @property
    def made(self) -> bool:
        """Whether the last round gives a board."""
        return len(self.results) == len(self.rows) and self.results[-1].board is not None


@dataclass(frozen=True, slots=True)
class Pieces:
    """Everything that is made from the panels.

    Attributes:
        stacks: the panels as the pieces see them, by name
        handles: handles that could be worked out, in the order of their sheet
        boards: boards cut and glued again, in the order in which Steps names them
        bowls: bowls that could be worked out, in the order of their sheet
        problems: what cannot be made as asked
    """

    stacks: Mapping[str, PieceStack]
    handles: list[HandleAnswer] = field(default_factory=list)
    boards: list[BoardAnswer] = field(default_factory=list)
    bowls: list[BowlAnswer] = field(default_factory=list)
    problems: list[CellProblem] = field(default_factory=list)


def pieces_of(panels: Sequence[PanelToMake], laying: Laying | None, inputs: Inputs) -> Pieces:
    """Work every piece out.

    Args:
        panels: the panels, layer by layer
        laying: which slice lies where; None while none is measured
        inputs: the maker's rows and settings
    """
    pieces = Pieces(piece_stacks(panels, laying, inputs))
    measure = Measure(inputs.shown_in)
    for name in dict.fromkeys(row.piece for row in inputs.steps):
        _add_board(name, pieces, measure, inputs)
    made = {board.name.casefold() for board in pieces.boards if board.made}
    broken = {row.piece.casefold() for row in inputs.steps} - made
    wanted: list[Handle | Bowl] = [*inputs.handles, *inputs.bowls]
    for row in wanted:
        rows = steps_of(row.piece, inputs)
        if row.piece.casefold() in broken:
            continue
        stack = stack_of(_panel_of(row.piece, inputs), pieces.stacks)
        if stack is None:
            pieces.problems.append(_no_panel(row, pieces))
        elif isinstance(row, Handle):
            _add_handle(row, stack, rows, pieces, measure, inputs)
        else:
            _add_bowl(row, stack, rows, pieces, measure, inputs)
    return pieces


def _panel_of(piece: str, inputs: Inputs) -> str | None:
    rows: list[Handle | Bowl | CutStep] = [*inputs.handles, *inputs.bowls, *steps_of(piece, inputs)]
    return next((row.panel for row in rows if row.piece.casefold() == piece.casefold() and row.panel), None)


def _no_panel(row: Handle | Bowl | CutStep, pieces: Pieces) -> CellProblem:
    known = ", ".join(pieces.stacks) or "none has layers yet"
    named = f"panel {row.panel}, for which Targets has no layer" if row.panel else "no panel named"
    return CellProblem(
        row.place.sheet, row.place.cell("panel"), f"{row.piece} with {named}",
        f"one of the panels that Targets describes ({known})", "name the panel that the piece is cut from",
        Harm.LEFT_OUT,
    )  # fmt: skip


def _add_handle(
    row: Handle, stack: PieceStack, rows: Sequence[CutStep], pieces: Pieces, measure: Measure, inputs: Inputs
) -> None:
    answer = handle_answer(row, stack, rows, inputs)
    pieces.handles.append(answer)
    pieces.problems.extend(handle_problems(answer, measure, inputs))


def _add_bowl(
    row: Bowl, stack: PieceStack, rows: Sequence[CutStep], pieces: Pieces, measure: Measure, inputs: Inputs
) -> None:
    try:
        answer = bowl_answer(row, stack, rows, inputs)
    except CannotBeMadeError as refused:
        found = refused.found.sentence(measure.limit_text)
        pieces.problems.append(
            CellProblem(
                row.place.sheet, row.place.cell(refused.field), found, f"a bowl {row.piece} that can be made",
                refused.fix, Harm.STOPS_JOB,
            )
        )  # fmt: skip
        return
    pieces.bowls.append(answer)
    pieces.problems.extend(bowl_problems(answer, measure, inputs))


def _add_board(name: str, pieces: Pieces, measure: Measure, inputs: Inputs) -> None:
    rows = steps_of(name, inputs)
    stack = stack_of(_panel_of(name, inputs), pieces.stacks)
    if stack is None:
        pieces.problems.append(_no_panel(rows[0], pieces))
        return
    length, width = stack.panel.length_mm, stack.panel.width_mm
    if length is None:
        pieces.problems.append(_no_length(rows[0], stack))
        return
    pattern = stack.pattern(length, width if width is not None else stack.thickness_mm, 1, trade_steps(rows, inputs))
    board = BoardAnswer(name, tuple(rows), stack, pattern, pattern.results, stack.panel.copies)
    pieces.boards.append(board)
    pieces.problems.extend(_step_problems(board, measure))


def _no_length(row: CutStep, stack: PieceStack) -> CellProblem:
    place = stack.panel.place
    return CellProblem(
        place.sheet if place else row.place.sheet, place.cell("length_mm") if place else row.place.cell("panel"),
        f"no length of panel {stack.panel.name}, from which {row.piece} is cut", "its Length on Panels",
        "type the finished length; until then the strips cannot be counted", Harm.LEFT_OUT,
    )  # fmt: skip


def _step_problems(board: BoardAnswer, measure: Measure) -> list[CellProblem]:
    found = []
    for row, result in zip(board.rows, board.results, strict=False):
        if result.board is None and result.short is not None:
            found.append(
                CellProblem(
                    row.place.sheet, row.place.cell("strip_mm"), result.short.sentence(measure.limit_text),
                    f"a round that gives a board for {board.name}",
                    "saw narrower strips or a steeper cut, or start from a larger panel", Harm.STOPS_JOB,
                )
            )  # fmt: skip
    return found
