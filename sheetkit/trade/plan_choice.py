"""Which boards to open: a bound on the cost, and boards to fill, found with slices counted as divisible."""

from dataclasses import dataclass

from sheetkit.trade.plan_aims import opening_costs
from sheetkit.trade.plan_fill import quick_plans
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import Cuts, PlanOptions
from sheetkit.trade.programme import Programme

MARGINS = (0.0, 0.0015, 0.003, 0.0045, 0.006, 0.01, 0.02, 0.05)
"""Shares of a board that may be lost to the last slice that does not fit."""

NEAR = 0.001


@dataclass(frozen=True, slots=True)
class Choice:
    """Boards chosen to be opened.

    Attributes:
        boards: places of the boards, those that cost nothing included [1]
        bound: no plan can open boards for less [money]
    """

    boards: tuple[int, ...]
    bound: float


def choose_boards(rack: Rack, missing: int, margin: float, options: PlanOptions, time_limit_s: float) -> Choice | None:
    """Choose the cheapest boards whose thickness is enough, slices counted as if they could be divided.

    Args:
        rack: boards and demands of one species
        missing: layers that may stay missing, >= 0 [1]
        margin: share of each board not counted on, 0 for a true bound [1]
        options: how the planner weighs and how long it searches
        time_limit_s: longest search [s]

    Returns:
        The boards and the bound; nothing when even all boards are not enough, or none was found in time.

    Source: relaxation of the integer programme: boards whole, slices divisible; alike boards counted together.
    """
    programme, costs, groups = Programme(), opening_costs(rack), rack.alike()
    opened = [programme.variable(len(group)) for group in groups]
    cut = {
        (g, d): programme.variable(float(len(group) * rack.most(group[0], d)), whole=False)
        for g, group in enumerate(groups)
        for d in range(len(rack.demands))
        if rack.most(group[0], d) > 0
    }
    short = [programme.variable(demand.pieces, whole=False) for demand in rack.demands]
    programme.row(dict.fromkeys(short, 1.0), high=missing)
    for d, demand in enumerate(rack.demands):
        given = {place: float(rack.pieces(groups[g][0], d)) for (g, other), place in cut.items() if other == d}
        programme.row(given | {short[d]: 1.0}, low=demand.pieces)
    for g, group in enumerate(groups):
        room = rack.fullest(group[0]) * (1 - margin)
        used = {place: rack.advance[d] for (other, d), place in cut.items() if other == g}
        programme.row(used | {opened[g]: -room}, high=0.0)
    for (g, d), place in cut.items():
        programme.row({place: 1.0, opened[g]: -float(rack.most(groups[g][0], d))}, high=0.0)
    prices = {place: costs[group[0]] for place, group in zip(opened, groups, strict=True)}
    answer = programme.minimise(
        prices, time_limit_s=time_limit_s, node_limit=options.node_limit // 30, relative_gap=NEAR
    )
    if not answer.values:
        return None
    chosen = [place for group, o in zip(groups, opened, strict=True) for place in group[: round(answer.values[o])]]
    free = [place for place, cost in enumerate(costs) if cost <= 0]
    return Choice(tuple(sorted({*chosen, *free})), answer.bound)


def cheap_plans(rack: Rack, missing: int, options: PlanOptions, time_limit_s: float) -> tuple[list[Cuts], float]:
    """Choose boards with ever more margin until filling them serves all demands.

    Args:
        rack: boards and demands of one species
        missing: layers that may stay missing, >= 0 [1]
        options: how the planner weighs and how long it searches
        time_limit_s: longest search [s]

    Returns:
        Plans that leave no more layers missing than that, and a bound on the cost of any plan [money].

    Source: own heuristic on the relaxation of `choose_boards`.
    """
    bound, plans = 0.0, []
    for margin in MARGINS:
        choice = choose_boards(rack, missing, margin, options, time_limit_s)
        if choice is None:
            break
        if margin == 0.0:
            bound = choice.bound
        plans = [cuts for cuts in quick_plans(rack, choice.boards) if _missing(rack, cuts) <= missing]
        if plans:
            break
    return plans, bound


def _missing(rack: Rack, cuts: Cuts) -> int:
    return sum(max(0, demand.pieces - made) for demand, made in zip(rack.demands, rack.made(cuts), strict=True))
