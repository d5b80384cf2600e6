"""Thicknesses of one species on a common grid, so that what fits is decided in whole numbers."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from sheetkit.trade.exact import HAIR_PM, common_step, picometres
from sheetkit.trade.plan_model import Board, Cuts, Demand

FINEST_STEPS = 100_000
MICRON_PM = 1_000_000


@dataclass(frozen=True, slots=True)
class Rack:
    """Boards and demands of one species, with what fits on what.

    Attributes:
        boards: boards of the species
        demands: demands of the species that need at least one layer
        advance: how far the fence moves for each demand [grid steps]
        room: what can be sawn from each board [grid steps]
        step_mm: length of a grid step [mm]
        exact: whether every advance is a whole number of grid steps
    """

    boards: tuple[Board, ...]
    demands: tuple[Demand, ...]
    advance: tuple[float, ...]
    room: tuple[float, ...]
    step_mm: float
    exact: bool

    @classmethod
    def of(cls, boards: Sequence[Board], demands: Sequence[Demand]) -> "Rack":
        """Lay out the boards and demands of one species on the coarsest grid that holds every advance exactly."""
        wanted = tuple(demand for demand in demands if demand.pieces > 0)
        advances = [picometres(demand.advance_mm) for demand in wanted]
        rooms = [picometres(board.usable_mm) + HAIR_PM for board in boards]
        step = common_step(advances)
        if advances and max(advances) // step > FINEST_STEPS:
            scaled = [room / MICRON_PM for room in rooms]
            return cls(tuple(boards), wanted, tuple(each / MICRON_PM for each in advances), tuple(scaled), 0.001, False)
        return cls(
            tuple(boards),
            wanted,
            tuple(float(each // step) for each in advances),
            tuple(float(max(0, room // step)) for room in rooms),
            step / 1e9,
            True,
        )

    def pieces(self, board: int, demand: int) -> int:
        """Layers of a demand that one slice of a board gives [1]."""
        return self.boards[board].pieces.get(self.demands[demand].panel, 0)

    def most(self, board: int, demand: int) -> int:
        """Most slices of a demand that a board could usefully give by itself [1]."""
        pieces = self.pieces(board, demand)
        if pieces <= 0:
            return 0
        return min(int(self.room[board] // self.advance[demand]), ceil(self.demands[demand].pieces / pieces))

    def fullest(self, board: int) -> float:
        """The most of a board that whole slices could use up [grid steps]."""
        room = self.room[board]
        if not self.exact or room > FINEST_STEPS:
            return room
        within, mask = (1 << (int(room) + 1)) - 1, 1
        for demand in range(len(self.demands)):
            step, most = int(self.advance[demand]), self.most(board, demand)
            power = 1
            while most > 0:
                count = min(power, most)
                mask = (mask | mask << count * step) & within
                most, power = most - count, 2 * power
        return float(mask.bit_length() - 1)

    def pairs(self) -> list[tuple[int, int]]:
        """Every board and demand, by place, of which at least one slice can come."""
        return [
            (board, demand)
            for board in range(len(self.boards))
            for demand in range(len(self.demands))
            if self.most(board, demand) > 0
        ]

    def sawable(self) -> list[int]:
        """Boards, by place, of which at least one slice can come."""
        return [b for b in range(len(self.boards)) if any(self.most(b, d) > 0 for d in range(len(self.demands)))]

    def alike(self) -> list[list[int]]:
        """Boards, by place, in groups that differ in nothing but the name."""
        groups: dict[tuple[object, ...], list[int]] = {}
        for place, board in enumerate(self.boards):
            given = tuple(self.pieces(place, demand) for demand in range(len(self.demands)))
            look = (self.room[place], given, board.cost, board.started, board.use_first)
            groups.setdefault(look, []).append(place)
        return list(groups.values())

    def fits(self, cuts: Cuts) -> bool:
        """Whether no board is asked for more than it has, in whole picometres."""
        used = self.used_pm(cuts)
        return all(used.get(board.key, 0) <= picometres(board.usable_mm) + HAIR_PM for board in self.boards)

    def used_pm(self, cuts: Cuts) -> dict[str, int]:
        """What the cuts use up of each board, by its key [pm]."""
        advances = {demand.key: picometres(demand.advance_mm) for demand in self.demands}
        used: dict[str, int] = {}
        for (board, demand), count in cuts.items():
            used[board] = used.get(board, 0) + count * advances[demand]
        return used

    def made(self, cuts: Cuts) -> list[int]:
        """Layers that the cuts give for each demand [1]."""
        panels = {demand.key: demand.panel for demand in self.demands}
        pieces = {board.key: board.pieces for board in self.boards}
        made = dict.fromkeys(panels, 0)
        for (board, demand), count in cuts.items():
            made[demand] += count * pieces[board].get(panels[demand], 0)
        return list(made.values())

    def without_needless(self, cuts: Cuts) -> Cuts:
        """Leave out slices that no demand needs, those of boards not to be used up first to begin with."""
        spare = {each.key: made - each.pieces for each, made in zip(self.demands, self.made(cuts), strict=True)}
        lean = {pair: count for pair, count in cuts.items() if count > 0}
        panels = {demand.key: demand.panel for demand in self.demands}
        boards = {board.key: board for board in self.boards}
        if any(left > 0 for left in spare.values()):
            for pair in sorted(lean, key=lambda each: (boards[each[0]].use_first, boards[each[0]].started)):
                each = boards[pair[0]].pieces[panels[pair[1]]]
                drop = min(lean[pair], max(0, spare[pair[1]]) // each)
                lean[pair] -= drop
                spare[pair[1]] -= drop * each
        return {pair: count for pair, count in lean.items() if count > 0}
