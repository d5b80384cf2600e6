"""Where the thickness of each board goes once everything planned is sawn."""

from dataclasses import dataclass

from sheetkit.job.boards import BoardState
from sheetkit.job.planning import WorkPlan
from sheetkit.tables.settings import Shop
from sheetkit.trade.exact import total_mm


@dataclass(frozen=True, slots=True)
class BoardUse:
    """Where a board's thickness goes once the plan is sawn.

    Attributes:
        start_mm: measured before the first pass
        slices_mm: sum of the slices, sawn and to come
        kerf_mm: sum of the kerfs
        truing_mm: truing pass; 0 for a board that stays on the rack
        left_mm: what can still be sawn
        held_mm: what stays in the clamp; 0 for a board that stays on the rack
    """

    start_mm: float
    slices_mm: float
    kerf_mm: float
    truing_mm: float
    left_mm: float
    held_mm: float

    @property
    def share(self) -> float | None:
        """Slices as a share of what is used up; None where nothing is."""
        used = total_mm([self.slices_mm, self.kerf_mm, self.truing_mm])
        return self.slices_mm / used if used else None


def board_use(state: BoardState, plan: WorkPlan, shop: Shop) -> BoardUse:
    """Work out one board; the parts add up to its thickness."""
    coming = plan.of_board(state.board.board)
    if not state.sawn and not coming:
        return BoardUse(state.board.thickness_mm, 0.0, 0.0, 0.0, state.board.thickness_mm, 0.0)
    slices = total_mm([*state.slices_mm, *(item.expected_mm for item in coming)])
    advances = total_mm([*state.advances_mm, *(item.advance_mm for item in coming)])
    left = total_mm([state.board.thickness_mm, -shop.truing_mm, -shop.held_mm, -advances])
    return BoardUse(state.board.thickness_mm, slices, total_mm([advances, -slices]), shop.truing_mm, left, shop.held_mm)
