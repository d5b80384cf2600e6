"""The integer programme of one species: how many slices for which demand from which board."""

from dataclasses import dataclass, field
from itertools import pairwise

from sheetkit.trade.exact import picometres
from sheetkit.trade.plan_aims import one_board_panels, opening_costs
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import (
    COST,
    INCOMPLETE,
    KEPT,
    LOST,
    MISSING,
    RUNS,
    SPLIT,
    UNPAIRED,
    Cuts,
    PlanOptions,
)
from sheetkit.trade.programme import Answer, Programme

TRIES = 4
HAIR = 1e-5

Objective = tuple[dict[int, float], float]
"""Factors by place of variable, and a constant."""


@dataclass(slots=True)
class BoardProgramme:
    """The programme of one species and the places of its variables.

    Attributes:
        rack: boards and demands of the species
        options: how the planner weighs and how long it searches
        programme: variables and rows
        cut: slices, by board and demand [place]
        missing: layers missing, by demand [place]
        capacity: row that keeps a board from being overfilled, by board [place]
        objectives: factors and constant of each aim, by its name [place, unit of the aim]
    """

    rack: Rack
    options: PlanOptions
    programme: Programme = field(default_factory=Programme)
    cut: dict[tuple[int, int], int] = field(default_factory=dict)
    missing: dict[int, int] = field(default_factory=dict)
    capacity: dict[int, int] = field(default_factory=dict)
    objectives: dict[str, Objective] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _build(self)

    def used(self, board: int) -> dict[int, float]:
        """Grid steps that the cuts of a board use up."""
        demands = range(len(self.rack.demands))
        return {self.cut[board, d]: self.rack.advance[d] for d in demands if (board, d) in self.cut}

    def cuts(self, values: tuple[float, ...]) -> Cuts:
        """The slices that the solver's values stand for."""
        boards, demands = self.rack.boards, self.rack.demands
        found = {(boards[b].key, demands[d].key): round(values[place]) for (b, d), place in self.cut.items()}
        return {pair: count for pair, count in found.items() if count > 0}

    def ask(self, factors: dict[int, float], time_limit_s: float, node_limit: int) -> Answer:
        """Ask the solver; where its tolerance let a board overfill by a hair, take that hair away and ask again."""
        for _ in range(TRIES):
            answer = self.programme.minimise(factors, time_limit_s=time_limit_s, node_limit=node_limit)
            found = self.cuts(answer.values) if answer.values else {}
            over = [] if self.rack.fits(found) else [each for each in self.capacity if self.overfull(each, found)]
            for board in over:
                self.programme.row_high[self.capacity[board]] -= HAIR
            if not over:
                break
        return answer

    def overfull(self, board: int, cuts: Cuts) -> bool:
        """Whether a board is asked for more than it has."""
        key = self.rack.boards[board].key
        return not self.rack.fits({pair: count for pair, count in cuts.items() if pair[0] == key})

    def relaxed(self, factors: dict[int, float], *, boards_too: bool, time_limit_s: float, node_limit: int) -> Answer:
        """Ask the solver with slices counted as if they could be divided, and boards too where that is wanted."""
        whole, cuts = list(self.programme.whole), set(self.cut.values()) | set(self.missing.values())
        self.programme.whole = [0 if boards_too or place in cuts else each for place, each in enumerate(whole)]
        answer = self.programme.minimise(factors, time_limit_s=time_limit_s, node_limit=node_limit)
        self.programme.whole = whole
        return answer


def _build(model: BoardProgramme) -> None:
    rack, programme = model.rack, model.programme
    for pair in rack.pairs():
        model.cut[pair] = programme.variable(rack.most(*pair))
    for number, demand in enumerate(rack.demands):
        given = {place: float(rack.pieces(b, d)) for (b, d), place in model.cut.items() if d == number}
        model.missing[number] = programme.variable(demand.pieces)
        programme.row(given | {model.missing[number]: 1.0}, low=demand.pieces)
    for board in range(len(rack.boards)):
        if used := model.used(board):
            model.capacity[board] = programme.row(used, high=rack.fullest(board))
    model.objectives = {
        MISSING: (dict.fromkeys(model.missing.values(), 1.0), 0.0),
        INCOMPLETE: _incomplete(model),
        SPLIT: _split(model),
        UNPAIRED: _unpaired(model),
        KEPT: _kept(model),
        COST: _cost(model),
        LOST: _lost(model),
        RUNS: _runs(model),
    }
    _order_alike(model)


def _incomplete(model: BoardProgramme) -> Objective:
    factors = {}
    for number, missing in model.missing.items():
        flag = model.programme.variable(1)
        model.programme.row({missing: 1.0, flag: -float(model.rack.demands[number].pieces)}, high=0.0)
        factors[flag] = 1.0
    return factors, 0.0


def _split(model: BoardProgramme) -> Objective:
    factors = {}
    for panel in one_board_panels(model.rack):
        extra, flags = model.programme.variable(len(model.rack.boards)), []
        for board in model.capacity:
            places = [p for (b, d), p in model.cut.items() if b == board and model.rack.demands[d].panel == panel]
            flags.append(_flag(model, places))
        model.programme.row(dict.fromkeys(flags, 1.0) | {extra: -1.0}, high=1.0)
        factors[extra] = 1.0
    return factors, 0.0


def _flag(model: BoardProgramme, places: list[int]) -> int:
    """Add a variable that must be 1 where any of these variables is above zero."""
    flag = model.programme.variable(1)
    for place in places:
        model.programme.row({place: 1.0, flag: -model.programme.upper[place]}, high=0.0)
    return flag


def _unpaired(model: BoardProgramme) -> Objective:
    factors = {}
    for number, demand in enumerate(model.rack.demands):
        if not demand.pairs:
            continue
        singles = []
        for (board, d), place in model.cut.items():
            if d == number and model.rack.pieces(board, d) % 2:
                single, half = model.programme.variable(1), model.programme.variable(model.programme.upper[place])
                model.programme.row({place: 1.0, half: -2.0, single: -1.0}, low=0.0, high=0.0)
                singles.append(single)
        over = model.programme.variable(len(model.rack.boards))
        model.programme.row(dict.fromkeys(singles, 1.0) | {over: -1.0}, high=float(demand.pieces % 2))
        factors[over] = 1.0
    return factors, 0.0


def _kept(model: BoardProgramme) -> Objective:
    first = [place for place, board in enumerate(model.rack.boards) if board.use_first]
    factors = {p: -steps * model.rack.step_mm for place in first for p, steps in model.used(place).items()}
    return factors, sum(model.rack.boards[place].usable_mm for place in first)


def _cost(model: BoardProgramme) -> Objective:
    factors, costs = {}, opening_costs(model.rack)
    for board, row in model.capacity.items():
        cost = costs[board]
        if cost <= 0:
            continue
        flag = _flag(model, list(model.used(board)))
        model.programme.rows[row][flag] = -model.programme.row_high[row]
        model.programme.row_high[row] = 0.0
        factors[flag] = cost
    return factors, 0.0


def _lost(model: BoardProgramme) -> Objective:
    """All wood, less what is left on boards where that is worth keeping."""
    rack, factors = model.rack, {}
    useful_mm = model.options.useful_remnant_mm
    for board in model.capacity:
        whole_mm = rack.boards[board].usable_mm
        kept = model.programme.variable(whole_mm, whole=False)
        flag = model.programme.variable(int(picometres(whole_mm) >= picometres(useful_mm)))
        used = {place: steps * rack.step_mm for place, steps in model.used(board).items()}
        model.programme.row(used | {kept: 1.0}, high=whole_mm)
        model.programme.row({kept: 1.0, flag: -whole_mm}, high=0.0)
        model.programme.row({kept: 1.0, flag: -useful_mm}, low=0.0)
        factors[kept] = -1.0
    return factors, sum(rack.boards[board].usable_mm for board in model.capacity)


def _runs(model: BoardProgramme) -> Objective:
    factors = {}
    for board in model.capacity:
        settings: dict[float, list[int]] = {}
        for d, demand in enumerate(model.rack.demands):
            if (board, d) in model.cut:
                settings.setdefault(demand.advance_mm, []).append(model.cut[board, d])
        for places in settings.values():
            factors[_flag(model, places)] = 1.0
    return factors, 0.0


def _order_alike(model: BoardProgramme) -> None:
    """Of boards that differ in nothing but the name, saw more from the one that comes first."""
    for group in model.rack.alike():
        sawn = [board for board in group if board in model.capacity]
        for earlier, later in pairwise(sawn):
            more = {place: -steps for place, steps in model.used(earlier).items()}
            model.programme.row(model.used(later) | more, high=0.0)
