"""Settling one aim after another: quick plans, bounds, and the integer programme where these leave a gap."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from time import monotonic

from sheetkit.trade.plan_aims import Aim, aims_of, left_mm
from sheetkit.trade.plan_boards import BoardProgramme
from sheetkit.trade.plan_choice import cheap_plans
from sheetkit.trade.plan_fill import first_fit, quick_plans
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import COST, KEPT, MISSING, RUNS, Cuts, Level, PlanOptions, Solution
from sheetkit.trade.plan_patterns import pattern_plan
from sheetkit.trade.plan_runs import fewest_runs, with_fewer_runs
from sheetkit.trade.programme import SLACK, Answer

MAIN_AIMS = (MISSING, COST, KEPT)
LATER_SHARE = 0.25
LATER = 100
"""The search for the aims after the main ones is so many times shorter."""

SMALL, LARGE = 24, 200
"""So many pairs of board and demand, and the programme is solved outright; so many, and only where it pays."""

NEAR_ENOUGH = 0.01
BEST_FEW = 3


Search = Callable[[BoardProgramme, Aim, float], Answer]


@dataclass(frozen=True, slots=True)
class Settled:
    """An aim that has been settled.

    Attributes:
        aim: the aim
        bound: no plan that is as good in the aims before can go below this [unit of the aim]
        limit: plans that go beyond this are given up [unit of the aim]
    """

    aim: Aim
    bound: float
    limit: float


def settle(rack: Rack, options: PlanOptions, last_aim: str = RUNS, starts: Sequence[Cuts] = ()) -> Solution:
    """Settle aim after aim, each until it is shown to be the smallest, or a limit is reached.

    Args:
        rack: boards and demands of one species
        options: how the planner weighs and how long it searches
        last_aim: name of the last aim to settle
        starts: plans known already, slices by board and demand [1]

    Source: integer programme of Kantorovich (1939, English 1960) for cutting stock, with unlike boards; aims one after
    another as in Ehrgott, Multicriteria Optimization (2nd edition, 2005), chapter 5.
    """
    end, model = monotonic() + options.time_limit_s, BoardProgramme(rack, options)
    pool = _fitting(rack, [*starts, first_fit(rack), *quick_plans(rack, range(len(rack.boards)))], [])
    settled: list[Settled] = []
    for aim in aims_of(rack, options):
        bound = 0.0
        if aim.name == COST:
            found, bound = _cheaper(rack, pool, aim, options, settled, end)
            pool += found
        pool, bound = _settle_one(model, aim, pool, bound, settled, end)
        value = min(aim.measure(cuts) for cuts in pool)
        limit = max(value, bound + aim.worth) if value <= bound + aim.worth + SLACK else value
        pool = [cuts for cuts in pool if aim.measure(cuts) <= limit + SLACK]
        settled.append(Settled(aim, bound, limit))
        factors, constant = model.objectives[aim.name]
        model.programme.row(factors, high=limit - constant + SLACK)
        if aim.name == last_aim:
            break
    best = min(pool, key=lambda cuts: [each.aim.measure(cuts) for each in reversed(settled)])
    return Solution(best, tuple(_level(each, best) for each in settled))


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
    model = BoardProgramme(rack, options)
    model.programme.row(dict.fromkeys(model.missing.values(), 1.0), high=0.0)
    factors = {variable: steps * rack.step_mm for variable, steps in model.used(place).items()}
    model.objectives[KEPT] = (factors, 0.0)
    whole_mm = rack.boards[place].usable_mm
    aim = Aim(KEPT, lambda cuts: whole_mm - left_mm(rack, place, cuts), step=rack.step_mm if rack.exact else 0.0)
    complete = Settled(Aim(MISSING, lambda cuts: float(_missing(rack, cuts))), 0.0, 0.0)
    pool, bound = _settle_one(model, aim, [start], 0.0, [complete], monotonic() + options.time_limit_s)
    value = min(aim.measure(cuts) for cuts in pool)
    return value, value <= bound + 2 * SLACK


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
    model: BoardProgramme, aim: Aim, pool: list[Cuts], known: float, settled: Sequence[Settled], end: float
) -> tuple[list[Cuts], float]:
    """Search until the best plan of the pool meets the bound; give the pool with what was found, and the bound."""
    factors, constant = model.objectives[aim.name]
    if not factors:
        return pool, min(aim.measure(cuts) for cuts in pool)
    if aim.name == RUNS:
        best = sorted(pool, key=aim.measure)[:BEST_FEW]
        pool = pool + _fitting(model.rack, [with_fewer_runs(model.rack, cuts) for cuts in best], settled)
        known = fewest_runs(model.rack) if settled[0].limit <= SLACK else 0
    floor = constant if all(factor >= 0 for factor in factors.values()) else -float("inf")
    bound, value = max(known, floor), min(aim.measure(cuts) for cuts in pool)
    for search in (_linear, _divisible, _whole):
        if value <= bound + aim.worth + 2 * SLACK or not _worthwhile(search, model, aim, value, bound):
            continue
        answer = search(model, aim, max(0.05, end - monotonic()))
        bound = max(bound, rounded_up(answer.bound + constant, aim.step))
        if answer.values and search is _whole:
            raw = model.cuts(answer.values)
            pool = pool + _fitting(model.rack, [model.rack.without_needless(raw), raw], settled)
            value = min(aim.measure(cuts) for cuts in pool)
    return pool, min(bound, value)


def _linear(model: BoardProgramme, aim: Aim, left_s: float) -> Answer:
    """A quick bound: boards and slices divisible."""
    return model.relaxed(model.objectives[aim.name][0], boards_too=True, time_limit_s=left_s, node_limit=1)


def _divisible(model: BoardProgramme, aim: Aim, left_s: float) -> Answer:
    """A better bound: boards whole, slices divisible."""
    nodes = model.options.node_limit if aim.name in MAIN_AIMS else model.options.node_limit // LATER
    nodes = max(1, nodes * LARGE // max(LARGE, 5 * len(model.cut)))
    return model.relaxed(
        model.objectives[aim.name][0], boards_too=False, time_limit_s=left_s * LATER_SHARE, node_limit=nodes
    )


def _whole(model: BoardProgramme, aim: Aim, left_s: float) -> Answer:
    """The integer programme itself."""
    main = aim.name in MAIN_AIMS
    nodes = model.options.node_limit if main else model.options.node_limit // LATER
    nodes = max(1, nodes * LARGE // max(LARGE, 10 * len(model.cut)))
    return model.ask(model.objectives[aim.name][0], left_s if main else left_s * LATER_SHARE, nodes)


def _worthwhile(search: Search, model: BoardProgramme, aim: Aim, value: float, bound: float) -> bool:
    """Whether a search has a chance to change what is known, at the size of the programme."""
    size = len(model.cut)
    if aim.name == COST:
        return search is _whole and (size <= LARGE or value > bound * (1 + NEAR_ENOUGH))
    if aim.name == RUNS:
        return search is _whole and size <= SMALL
    return aim.name in MAIN_AIMS or search is _linear or size <= (LARGE if search is _divisible else SMALL)


def _fitting(rack: Rack, plans: Sequence[Cuts], settled: Sequence[Settled]) -> list[Cuts]:
    """Plans that fit their boards and are as good as was settled before."""
    return [
        cuts
        for cuts in plans
        if rack.fits(cuts) and all(each.aim.measure(cuts) <= each.limit + SLACK for each in settled)
    ]


def _cheaper(
    rack: Rack, pool: Sequence[Cuts], aim: Aim, options: PlanOptions, settled: Sequence[Settled], end: float
) -> tuple[list[Cuts], float]:
    """Plans on boards chosen for their cost, and a bound on it."""
    if min(aim.measure(cuts) for cuts in pool) <= SLACK:
        return [], 0.0
    missing, bound = round(settled[0].limit), 0.0
    found: list[Cuts] = []
    if missing == 0 and rack.exact and len(rack.alike()) * 2 <= len(rack.boards):
        cuts, least = pattern_plan(rack, options, max(0.05, end - monotonic()))
        found, bound = _fitting(rack, [cuts], settled), rounded_up(least, aim.step)
    if min(aim.measure(cuts) for cuts in [*pool, *found]) > bound + SLACK:
        plans, least = cheap_plans(rack, missing, options, max(0.05, end - monotonic()))
        found, bound = found + _fitting(rack, plans, settled), max(bound, rounded_up(least, aim.step))
    return found, bound


def _missing(rack: Rack, cuts: Cuts) -> int:
    return sum(max(0, each.pieces - made) for each, made in zip(rack.demands, rack.made(cuts), strict=True))


def _level(settled: Settled, best: Cuts) -> Level:
    value = settled.aim.measure(best)
    return Level(settled.aim.name, value, settled.bound, value <= settled.bound + settled.aim.worth + 2 * SLACK)
