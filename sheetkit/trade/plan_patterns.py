"""Many boards alike: whole boards are planned by pattern instead of slice by slice.

A pattern is what one board gives. The linear programme over all patterns bounds the cost far better than slices counted
as divisible; patterns are made only as they are needed, and the whole-number plan is chosen among those made.
"""

from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING

from sheetkit.trade.plan_aims import opening_costs
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import Cuts, PlanOptions
from sheetkit.trade.programme import Programme

if TYPE_CHECKING:
    from numpy import bool_
    from numpy.typing import NDArray

MOST_ROUNDS = 2000
HARDLY = 1e-9
WHOLE_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class Pattern:
    """What one board of a group gives.

    Attributes:
        group: number of the group of boards alike [1]
        slices: slices for each demand [1]
    """

    group: int
    slices: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Prices:
    """What the linear programme says that things are worth.

    Attributes:
        cost: cost of the best plan in parts of patterns [money]
        layer: what one more layer of each demand would cost [money]
        board: what one more board of each group would save, <= 0 [money]
    """

    cost: float
    layer: tuple[float, ...]
    board: tuple[float, ...]


def pattern_plan(rack: Rack, options: PlanOptions, time_limit_s: float) -> tuple[Cuts, float]:
    """Plan by patterns for the least cost of boards opened, no layer missing.

    Args:
        rack: boards and demands of one species, on an exact grid
        options: how the planner weighs and how long it searches
        time_limit_s: longest search [s]

    Returns:
        The plan, empty when none was found, and a bound on the cost of any plan [money].

    Source: Gilmore & Gomory, Operations Research 9 (1961) and 11 (1963): a linear programme over patterns, each new
    pattern the answer to a knapsack problem.
    """
    end, groups = monotonic() + time_limit_s, rack.alike()
    patterns = {pattern: None for group in range(len(groups)) for pattern in _plain(rack, groups, group)}
    bound = 0.0
    for _ in range(MOST_ROUNDS):
        prices = _relaxed(rack, groups, list(patterns))
        if prices is None or monotonic() > end - WHOLE_SHARE * time_limit_s:
            break
        better = [found for group in range(len(groups)) if (found := _priced(rack, groups, group, prices)) is not None]
        new = [pattern for pattern in better if pattern not in patterns]
        if not new:
            bound = prices.cost
            break
        patterns |= dict.fromkeys(new)
    return _whole(rack, groups, list(patterns), options, end - monotonic()), bound


def _plain(rack: Rack, groups: list[list[int]], group: int) -> list[Pattern]:
    """A board full of one thickness, for each; and boards filled thick before thin."""
    board, demands = groups[group][0], range(len(rack.demands))
    found = []
    for first in demands:
        room, slices = rack.room[board], [0] * len(rack.demands)
        for demand in [first, *sorted(demands, key=lambda each: -rack.advance[each])]:
            count = min(int(room // rack.advance[demand]), rack.most(board, demand) - slices[demand])
            slices[demand] += max(0, count)
            room -= max(0, count) * rack.advance[demand]
        found.append(Pattern(group, tuple(slices)))
    return found


def _relaxed(rack: Rack, groups: list[list[int]], patterns: list[Pattern]) -> Prices | None:
    """The best plan in parts of patterns, with what each layer and each board is worth."""
    import numpy as np
    from scipy.optimize import linprog

    costs = opening_costs(rack)
    given = np.array([_pieces(rack, groups, pattern) for pattern in patterns], dtype=float).T
    boards = np.array([[float(each.group == group) for each in patterns] for group in range(len(groups))])
    result = linprog(
        [costs[groups[each.group][0]] for each in patterns],
        A_ub=np.vstack([-given, boards]),
        b_ub=[*(-demand.pieces for demand in rack.demands), *(len(group) for group in groups)],
        method="highs",
    )
    if result.status != 0:
        return None
    marginals = np.asarray(result.ineqlin.marginals, dtype=float)
    layers = len(rack.demands)
    return Prices(float(result.fun or 0.0), tuple((-marginals[:layers]).tolist()), tuple(marginals[layers:].tolist()))


def _pieces(rack: Rack, groups: list[list[int]], pattern: Pattern) -> list[int]:
    board = groups[pattern.group][0]
    return [count * rack.pieces(board, demand) for demand, count in enumerate(pattern.slices)]


def _priced(rack: Rack, groups: list[list[int]], group: int, prices: Prices) -> Pattern | None:
    """The pattern worth most on a board of a group, if it is worth more than the board costs."""
    board = groups[group][0]
    worth = [price * rack.pieces(board, demand) for demand, price in enumerate(prices.layer)]
    slices, value = _knapsack(rack, board, worth)
    reduced = opening_costs(rack)[board] - prices.board[group] - value
    return Pattern(group, slices) if reduced < -1e-7 else None


def _knapsack(rack: Rack, board: int, worth: list[float]) -> tuple[tuple[int, ...], float]:
    """Fill a board with the slices worth most, by dynamic programming over the grid."""
    import numpy as np

    value = np.zeros(int(rack.room[board]) + 1)
    taken: list[tuple[int, int, NDArray[bool_]]] = []
    for demand, each in enumerate(worth):
        left, power = rack.most(board, demand) if each > HARDLY else 0, 1
        while left > 0:
            count = min(power, left)
            length = count * int(rack.advance[demand])
            with_it = value.copy()
            if length < len(value):
                with_it[length:] = value[: len(value) - length] + count * each
            better = with_it > value + HARDLY
            taken.append((demand, count, better))
            value = np.where(better, with_it, value)
            left, power = left - count, 2 * power
    room, slices = len(value) - 1, [0] * len(worth)
    for demand, count, better in reversed(taken):
        if better[room]:
            slices[demand] += count
            room -= count * int(rack.advance[demand])
    return tuple(slices), float(value[-1])


def _whole(
    rack: Rack, groups: list[list[int]], patterns: list[Pattern], options: PlanOptions, time_limit_s: float
) -> Cuts:
    programme, costs = Programme(), opening_costs(rack)
    use = [programme.variable(len(groups[pattern.group])) for pattern in patterns]
    for demand, each in enumerate(rack.demands):
        given = {place: float(_pieces(rack, groups, p)[demand]) for place, p in zip(use, patterns, strict=True)}
        programme.row(given, low=each.pieces)
    for group, boards in enumerate(groups):
        mine = {place: 1.0 for place, pattern in zip(use, patterns, strict=True) if pattern.group == group}
        programme.row(mine, high=len(boards))
    prices = {place: costs[groups[p.group][0]] for place, p in zip(use, patterns, strict=True)}
    answer = programme.minimise(prices, time_limit_s=time_limit_s, node_limit=options.node_limit)
    if not answer.values:
        return {}
    free = [list(group) for group in groups]
    cuts: Cuts = {}
    for place, pattern in zip(use, patterns, strict=True):
        for _ in range(round(answer.values[place])):
            board = rack.boards[free[pattern.group].pop(0)]
            cuts |= {(board.key, d.key): n for d, n in zip(rack.demands, pattern.slices, strict=True) if n}
    return rack.without_needless(cuts)
