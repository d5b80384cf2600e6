"""The integer programme of one species: how many slices for which demand from which board.

Aims are settled in turn: layers missing, demands not complete, the maker's wishes, cost of boards opened, wood left in
pieces worth keeping, settings of the dial.
"""

from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil
from time import monotonic

from sheetkit.trade.exact import picometres
from sheetkit.trade.plan_aims import Aim, aims_of, left_mm, one_board_panels, opening_costs
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
    Level,
    PlanOptions,
    Solution,
)
from sheetkit.trade.programme import SLACK, Answer, Programme

LATER_SHARE = 0.25
TRIES = 4
HAIR = 1e-5

Objective = tuple[dict[int, float], float]
"""Factors by place of variable, and a constant."""


@dataclass(slots=True)
class _Boards:
    """The programme of one species and the places of its variables."""

    rack: Rack
    options: PlanOptions
    programme: Programme = field(default_factory=Programme)
    cut: dict[tuple[int, int], int] = field(default_factory=dict)
    missing: dict[int, int] = field(default_factory=dict)
    capacity: dict[int, int] = field(default_factory=dict)

    def used(self, board: int) -> dict[int, float]:
        """Grid steps that the cuts of a board use up."""
        return {place: self.rack.advance[d] for (b, d), place in self.cut.items() if b == board}

    def cuts(self, values: tuple[float, ...]) -> Cuts:
        boards, demands = self.rack.boards, self.rack.demands
        found = {(boards[b].key, demands[d].key): round(values[place]) for (b, d), place in self.cut.items()}
        return {pair: count for pair, count in found.items() if count > 0}


def settle(rack: Rack, start: Cuts, options: PlanOptions, last_aim: str = RUNS) -> Solution:
    """Improve a plan aim by aim until each is shown to be the smallest, or a limit is reached.

    Args:
        rack: boards and demands of one species
        start: a plan that fits, slices by board and demand [1]
        options: how the planner weighs and how long it searches
        last_aim: name of the last aim to settle

    Source: integer programme of Kantorovich (1939, English 1960) for cutting stock, with unlike boards; aims one after
    another as in Ehrgott, Multicriteria Optimization (2nd edition, 2005), chapter 5.
    """
    model = _Boards(rack, options)
    objectives = _build(model)
    best, end = start, monotonic() + options.time_limit_s
    settled: list[tuple[Aim, Level]] = []
    for aim in aims_of(rack, options):
        best, level = _settle_one(model, aim, objectives[aim.name], best, settled, end)
        settled.append((aim, level))
        factors, constant = objectives[aim.name]
        model.programme.row(factors, high=level.value - constant + SLACK)
        if aim.name == last_aim:
            break
    return Solution(best, tuple(level for _, level in settled))


def least_used(rack: Rack, place: int, start: Cuts, options: PlanOptions) -> tuple[float, bool]:
    """Find the least thickness that must be sawn from one board so that no layer is missing.

    Args:
        rack: boards and demands of one species
        place: the board's place on the rack [1]
        start: a plan that fits and leaves no layer missing, slices by board and demand [1]
        options: how the planner weighs and how long it searches

    Returns:
        The thickness [mm], and whether it is shown to be the least.

    Source: own derivation: the programme of `settle` with this one aim.
    """
    model = _Boards(rack, options)
    _build(model)
    model.programme.row(dict.fromkeys(model.missing.values(), 1.0), high=0.0)
    factors = {place: steps * rack.step_mm for place, steps in model.used(place).items()}
    whole_mm = rack.boards[place].usable_mm
    aim = Aim(KEPT, lambda cuts: whole_mm - left_mm(rack, place, cuts), step=rack.step_mm)
    _, level = _settle_one(model, aim, (factors, 0.0), start, [], monotonic() + options.time_limit_s)
    return level.value, level.proven


def rounded_up(bound: float, step: float) -> float:
    """Raise a bound to the next value that the aim can take.

    Args:
        bound: no plan can be below this [unit of the aim]
        step: the aim only takes whole multiples of this; 0 when it may take any value [unit of the aim]

    Source: own derivation: an aim in whole steps is at least the next step.

    >>> rounded_up(452.25, 1.0)
    453.0
    """
    return ceil(bound / step - SLACK) * step if step > 0 and abs(bound) < float("inf") else bound


def _settle_one(
    model: _Boards, aim: Aim, objective: Objective, best: Cuts, settled: list[tuple[Aim, Level]], end: float
) -> tuple[Cuts, Level]:
    factors, constant = objective
    value = aim.measure(best)
    if not factors or (value <= constant + SLACK and all(factor >= 0 for factor in factors.values())):
        return best, Level(aim.name, value, value, True)
    answer = _ask(model, aim, factors, end)
    if answer.values:
        raw = model.cuts(answer.values)
        for found in (raw, model.rack.without_needless(raw)):
            kept = all(earlier.measure(found) <= level.value + SLACK for earlier, level in settled)
            if kept and model.rack.fits(found) and aim.measure(found) < value + SLACK:
                best, value = found, aim.measure(found)
    bound = rounded_up(answer.bound + constant, aim.step)
    proven = bound >= value - max(2 * SLACK, aim.gap * value)
    return best, Level(aim.name, value, value if proven else min(bound, value), proven)


def _ask(model: _Boards, aim: Aim, factors: dict[int, float], end: float) -> Answer:
    """Ask the solver; where its tolerance let a board overfill by a hair, take that hair away and ask again."""
    for _ in range(TRIES):
        left = max(end - monotonic(), 0.05)
        answer = model.programme.minimise(
            factors,
            time_limit_s=left if aim.name in (MISSING, COST) else left * LATER_SHARE,
            node_limit=model.options.node_limit,
            relative_gap=aim.gap / 2,
        )
        found = model.cuts(answer.values) if answer.values else {}
        over = [board for board in model.capacity if model.rack.overfull_pm(board, found) > 0]
        for board in over:
            model.programme.row_high[model.capacity[board]] -= HAIR
        if not over:
            break
    return answer


def _build(model: _Boards) -> dict[str, Objective]:
    rack, programme = model.rack, model.programme
    for pair in rack.pairs():
        model.cut[pair] = programme.variable(rack.most(*pair))
    for number, demand in enumerate(rack.demands):
        given = {place: float(rack.pieces(b, d)) for (b, d), place in model.cut.items() if d == number}
        model.missing[number] = programme.variable(demand.pieces)
        programme.row(given | {model.missing[number]: 1.0}, low=demand.pieces)
    for board in range(len(rack.boards)):
        if used := model.used(board):
            model.capacity[board] = programme.row(used, high=rack.room[board])
    objectives = {
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
    return objectives


def _incomplete(model: _Boards) -> Objective:
    factors = {}
    for number, missing in model.missing.items():
        flag = model.programme.variable(1)
        model.programme.row({missing: 1.0, flag: -float(model.rack.demands[number].pieces)}, high=0.0)
        factors[flag] = 1.0
    return factors, 0.0


def _split(model: _Boards) -> Objective:
    factors = {}
    for panel in one_board_panels(model.rack):
        extra, flags = model.programme.variable(len(model.rack.boards)), []
        for board in model.capacity:
            places = [p for (b, d), p in model.cut.items() if b == board and model.rack.demands[d].panel == panel]
            flags.append(_flag(model, places))
        model.programme.row(dict.fromkeys(flags, 1.0) | {extra: -1.0}, high=1.0)
        factors[extra] = 1.0
    return factors, 0.0


def _flag(model: _Boards, places: list[int]) -> int:
    """Add a variable that must be 1 where any of these variables is above zero."""
    flag = model.programme.variable(1)
    for place in places:
        model.programme.row({place: 1.0, flag: -model.programme.upper[place]}, high=0.0)
    return flag


def _unpaired(model: _Boards) -> Objective:
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


def _kept(model: _Boards) -> Objective:
    first = [place for place, board in enumerate(model.rack.boards) if board.use_first]
    factors = {p: -steps * model.rack.step_mm for place in first for p, steps in model.used(place).items()}
    return factors, sum(model.rack.boards[place].usable_mm for place in first)


def _cost(model: _Boards) -> Objective:
    factors = {}
    for board, row in model.capacity.items():
        cost = opening_costs(model.rack)[board]
        if cost <= 0:
            continue
        flag = _flag(model, list(model.used(board)))
        model.programme.rows[row][flag] = -model.rack.room[board]
        model.programme.row_high[row] = 0.0
        factors[flag] = cost
    return factors, 0.0


def _lost(model: _Boards) -> Objective:
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


def _runs(model: _Boards) -> Objective:
    factors = {}
    for board in model.capacity:
        settings: dict[float, list[int]] = {}
        for (b, d), place in model.cut.items():
            if b == board:
                settings.setdefault(model.rack.demands[d].advance_mm, []).append(place)
        for places in settings.values():
            factors[_flag(model, places)] = 1.0
    return factors, 0.0


def _order_alike(model: _Boards) -> None:
    """Of boards that differ in nothing but the name, saw more from the one that comes first."""
    for group in model.rack.alike():
        sawn = [board for board in group if board in model.capacity]
        for earlier, later in pairwise(sawn):
            more = {place: -steps for place, steps in model.used(earlier).items()}
            model.programme.row(model.used(later) | more, high=0.0)
