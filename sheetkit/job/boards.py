"""What is left of each board: what was measured before the first pass, less truing, held wood and the advances made."""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.job.learning import Learned
from sheetkit.job.measured import SawnSlice
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board
from sheetkit.trade.exact import total_mm
from sheetkit.trade.slicing import remaining_after_advances, usable_thickness


@dataclass(frozen=True, slots=True)
class BoardState:
    """A board as it stands now.

    Attributes:
        board: the maker's row
        sawn: slices sawn from it so far
        advances_mm: how far the fence moved for each of them
        slices_mm: thickness of each, as measured or as expected of its setting
        usable_mm: thickness that can still become slices and kerf
        first_usable_mm: the same before the first pass
        next_number: number of the next slice; numbers are never used again
        unsure: slices of which neither setting nor reading is known, so that what they used up is a guess
    """

    board: Board
    sawn: int
    advances_mm: tuple[float, ...]
    slices_mm: tuple[float, ...]
    usable_mm: float
    first_usable_mm: float
    next_number: int
    unsure: tuple[SawnSlice, ...]

    @property
    def started(self) -> bool:
        """Whether a slice has been sawn from it."""
        return self.sawn > 0

    @property
    def position_mm(self) -> float:
        """Dial position after the last pass, counted from the trued face."""
        return total_mm(list(self.advances_mm))


def board_states(slices: Sequence[SawnSlice], learned: Learned, inputs: Inputs) -> dict[str, BoardState]:
    """The state of every board of Stock, by name."""
    by_board: dict[str, list[SawnSlice]] = {board.board: [] for board in inputs.boards}
    for item in slices:
        if item.board is not None:
            by_board[item.board.board].append(item)
    return {board.board: _state(board, by_board[board.board], learned, inputs) for board in inputs.boards}


def _state(board: Board, slices: Sequence[SawnSlice], learned: Learned, inputs: Inputs) -> BoardState:
    shop = inputs.shop
    advances: list[float] = []
    thicknesses: list[float] = []
    unsure: list[SawnSlice] = []
    for item in slices:
        set_mm = _set_of(item, board, learned)
        if set_mm is None:
            unsure.append(item)
            set_mm = max((s.row.set_mm or 0.0 for s in slices), default=0.0)
        sawn_mm = item.mean_mm if item.mean_mm is not None else learned.of(board.species).expected_mm(set_mm)
        advances += [set_mm + shop.kerf_allowance_mm] * item.row.pressed
        thicknesses += [sawn_mm] * item.row.pressed
    first = usable_thickness(board.thickness_mm, shop.truing_mm, shop.held_mm)
    numbers = [item.number for item in slices if item.number is not None]
    return BoardState(
        board=board,
        sawn=len(advances),
        advances_mm=tuple(advances),
        slices_mm=tuple(thicknesses),
        usable_mm=remaining_after_advances(first, advances),
        first_usable_mm=first,
        next_number=max([*numbers, len(advances)], default=0) + 1,
        unsure=tuple(unsure),
    )


def _set_of(item: SawnSlice, board: Board, learned: Learned) -> float | None:
    """What was dialled for a slice: as written, else its reading less the offset, else not known."""
    if item.row.set_mm is not None:
        return item.row.set_mm
    if item.mean_mm is None:
        return None
    return item.mean_mm - learned.of(board.species).offset_mm
