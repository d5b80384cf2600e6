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
    """

    boards: tuple[Board, ...]
    demands: tuple[Demand, ...]
    advance: tuple[float, ...]
    room: tuple[float, ...]
    step_mm: float

    @classmethod
    def of(cls, boards: Sequence[Board], demands: Sequence[Demand]) -> "Rack":
        """Lay out the boards and demands of one species on the coarsest grid that holds every advance exactly."""
        wanted = tuple(demand for demand in demands if demand.pieces > 0)
        advances = [picometres(demand.advance_mm) for demand in wanted]
        rooms = [picometres(board.usable_mm) + HAIR_PM for board in boards]
        step = common_step(advances)
        if advances and max(advances) // step > FINEST_STEPS:
            scaled = [room / MICRON_PM for room in rooms]
            return cls(tuple(boards), wanted, tuple(each / MICRON_PM for each in advances), tuple(scaled), 0.001)
        return cls(
            tuple(boards),
            wanted,
            tuple(float(each // step) for each in advances),
            tuple(float(max(0, room // step)) for room in rooms),
            step / 1e9,
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

    def pairs(self) -> list[tuple[int, int]]:
        """Every board and demand, by place, of which at least one slice can come."""
        return [
            (board, demand)
            for board in range(len(self.boards))
            for demand in range(len(self.demands))
            if self.most(board, demand) > 0
        ]

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
        return all(self.overfull_pm(board, cuts) <= 0 for board in range(len(self.boards)))

    def overfull_pm(self, board: int, cuts: Cuts) -> int:
        """How far the cuts of one board go beyond what it has; negative when there is room [pm]."""
        key = self.boards[board].key
        used = sum(cuts.get((key, demand.key), 0) * picometres(demand.advance_mm) for demand in self.demands)
        return used - picometres(self.boards[board].usable_mm) - HAIR_PM

    def made(self, cuts: Cuts) -> list[int]:
        """Layers that the cuts give for each demand [1]."""
        return [
            sum(cuts.get((board.key, demand.key), 0) * board.pieces.get(demand.panel, 0) for board in self.boards)
            for demand in self.demands
        ]

    def without_needless(self, cuts: Cuts) -> Cuts:
        """Leave out slices that no demand needs, those of boards not to be used up first to begin with."""
        spare = {demand.key: made - demand.pieces for demand, made in zip(self.demands, self.made(cuts), strict=True)}
        lean = {pair: count for pair, count in cuts.items() if count > 0}
        panels = {demand.key: demand.panel for demand in self.demands}
        for board in sorted(self.boards, key=lambda each: (each.use_first, each.started)):
            for pair in [pair for pair in lean if pair[0] == board.key]:
                each = board.pieces[panels[pair[1]]]
                drop = min(lean[pair], max(0, spare[pair[1]]) // each)
                lean[pair] -= drop
                spare[pair[1]] -= drop * each
        return {pair: count for pair, count in lean.items() if count > 0}


def first_fit(rack: Rack) -> Cuts:
    """Fill the boards one after another, thickest slices first: a plan to start from.

    Args:
        rack: boards and demands of one species

    Source: first-fit decreasing, Johnson (1973), as told in Garey & Johnson, Computers and Intractability (1979), 6.1.

    >>> from sheetkit.trade.plan_model import Board, Demand
    >>> rack = Rack.of([Board("A", "ash", 5.0, {"P": 1})], [Demand("d", "ash", "P", 1.0, 1.0, 2.0, 9)])
    >>> first_fit(rack)
    {('A', 'd'): 2}
    """
    left = {demand: rack.demands[demand].pieces for demand in range(len(rack.demands))}
    thickest_first = sorted(left, key=lambda demand: -rack.advance[demand])
    cuts: Cuts = {}
    for board in sorted(range(len(rack.boards)), key=lambda place: _turn(rack, place)):
        room = rack.room[board]
        for demand in thickest_first:
            pieces = rack.pieces(board, demand)
            if pieces <= 0 or left[demand] <= 0:
                continue
            count = min(int(room // rack.advance[demand]), ceil(left[demand] / pieces))
            if count > 0:
                cuts[rack.boards[board].key, rack.demands[demand].key] = count
                room -= count * rack.advance[demand]
                left[demand] -= count * pieces
    return rack.without_needless(cuts)


def _turn(rack: Rack, place: int) -> tuple[bool, bool, float]:
    board = rack.boards[place]
    return (not board.use_first, not board.started, board.cost / max(rack.room[place], 1.0))
