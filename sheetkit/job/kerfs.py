"""The true kerf of each board by two ways: from the fence's advances, and from the board before and after."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetkit.job.boards import BoardState
from sheetkit.job.gauging import Gauging
from sheetkit.job.measured import SawnSlice
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board
from sheetkit.trade.exact import total_mm
from sheetkit.trade.kerf import Comparison, Kerf, compare, kerf_from_advances, kerf_from_block


@dataclass(frozen=True, slots=True)
class BoardKerf:
    """Kerf of one board's cuts.

    Attributes:
        board: the maker's row
        by_advances: from set thickness, kerf allowance and slices
        single: every slice was read by itself, so that the scatter says how sure it is
        by_block: from the board before and after; None where that cannot be worked out
        comparison: the two compared
        gap: why the board before and after tell nothing; empty where they do, or were not asked
        truing_mm: what the first pass is taken to have cost before the first slice
    """

    board: Board
    by_advances: Kerf
    single: bool
    by_block: Kerf | None
    comparison: Comparison | None
    gap: str
    truing_mm: float

    @property
    def unexplained_mm(self) -> float:
        """What the board lost beyond what the fence's travel accounts for; less than nought where it lost less."""
        return -self.comparison.difference_mm * self.by_advances.cuts if self.comparison else 0.0


def board_kerfs(
    slices: Sequence[SawnSlice], states: Mapping[str, BoardState], gauge: Gauging, inputs: Inputs
) -> list[BoardKerf]:
    """Kerfs of every board with a slice whose setting and reading are known."""
    by_board: dict[str, list[SawnSlice]] = {}
    for item in slices:
        if item.board is not None:
            by_board.setdefault(item.board.board, []).append(item)
    found = [_kerfs(states[name], items, gauge, inputs) for name, items in by_board.items() if name in states]
    return [kerf for kerf in found if kerf is not None]


def _kerfs(state: BoardState, items: Sequence[SawnSlice], gauge: Gauging, inputs: Inputs) -> BoardKerf | None:
    shop, board = inputs.shop, state.board
    known = [
        (item.row.set_mm + shop.kerf_allowance_mm, item.mean_mm, item.row.pressed)
        for item in items
        if item.row.set_mm is not None and item.mean_mm is not None
    ]
    if not known:
        return None
    advances = [advance for advance, _, pressed in known for _ in range(pressed)]
    thicknesses = [mean for _, mean, pressed in known for _ in range(pressed)]
    by_advances = kerf_from_advances(advances, thicknesses, gauge.uncertainty_mm)
    gap = _gap(state, items, len(known))
    by_block = comparison = None
    if board.now_mm is not None and not gap:
        before = total_mm([board.thickness_mm, -shop.truing_mm])
        by_block = kerf_from_block(
            before, board.now_mm, thicknesses, block_error_mm=gauge.uncertainty_mm, slice_error_mm=gauge.uncertainty_mm
        )
        comparison = compare(
            by_advances,
            by_block,
            block_error_mm=gauge.uncertainty_mm,
            dial_error_mm=shop.dial_division_mm / 12**0.5,
        )
    single = all(pressed == 1 for *_, pressed in known)
    return BoardKerf(board, by_advances, single, by_block, comparison, gap, shop.truing_mm)


def _gap(state: BoardState, items: Sequence[SawnSlice], known: int) -> str:
    """What is missing before the board's thickness now can be used."""
    if state.board.now_mm is None:
        return ""
    if known < len(items):
        lacking = len(items) - known
        return f"{lacking} of its slices {'lacks' if lacking == 1 else 'lack'} a setting or a reading"
    numbers = [item.number for item in items]
    if None not in numbers and max(number for number in numbers if number is not None) > state.sawn:
        return "its slices' numbers leave gaps, so some cuts are not on Measurements"
    return ""
