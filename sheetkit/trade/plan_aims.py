"""What a plan for one species reaches in each of its aims, worked out from the cuts alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import gcd

from sheetkit.trade.exact import millimetres, picometres
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

CENT = 0.01


@dataclass(frozen=True, slots=True)
class Aim:
    """One thing to make as small as possible.

    Attributes:
        name: what it is, in words
        measure: works out what a plan reaches from its cuts
        step: the aim only takes whole multiples of this; 0 when it may take any value [unit of the aim]
        worth: a gain smaller than this is not worth anything in the aims that follow [unit of the aim]
    """

    name: str
    measure: Callable[[Cuts], float]
    step: float = 1.0
    worth: float = 0.0


def aims_of(rack: Rack, options: PlanOptions) -> list[Aim]:
    """List the aims that matter for one species, the most important first.

    Args:
        rack: boards and demands of the species
        options: how the planner weighs and how long it searches

    Source: own choice of the order: layers first, then the maker's wishes, money, remnants, and handling. Wood
    that would not give one more slice of the thinnest is not worth a further setting of the dial.
    """
    costs = opening_costs(rack)
    aims = [
        Aim(MISSING, lambda cuts: float(sum(short_by(rack, cuts)))),
        Aim(INCOMPLETE, lambda cuts: float(sum(short > 0 for short in short_by(rack, cuts)))),
    ]
    if one_board_panels(rack):
        aims.append(Aim(SPLIT, lambda cuts: float(sum(boards_too_many(rack, cuts).values()))))
    if any(demand.pairs for demand in rack.demands):
        aims.append(Aim(UNPAIRED, lambda cuts: float(sum(unpaired(rack, cuts).values()))))
    if any(board.use_first for board in rack.boards):
        first = [place for place, board in enumerate(rack.boards) if board.use_first]
        aims.append(Aim(KEPT, lambda cuts: sum(left_mm(rack, place, cuts) for place in first), step=0.0))
    aims.append(Aim(COST, lambda cuts: sum(costs[place] for place in opened(rack, cuts)), step=cost_step(costs)))
    thinnest = min((demand.advance_mm for demand in rack.demands), default=0.0)
    aims.append(Aim(LOST, lambda cuts: lost_mm(rack, cuts, options.useful_remnant_mm), step=0.0, worth=thinnest))
    aims.append(Aim(RUNS, lambda cuts: float(len(runs(rack, cuts)))))
    return aims


def opening_costs(rack: Rack) -> list[float]:
    """Find what opening each board costs; where no fresh board has a price, each counts as one.

    Args:
        rack: boards and demands of one species

    Source: own choice; a board already started costs nothing more.
    """
    costs = [0.0 if board.started else board.cost for board in rack.boards]
    if any(costs):
        return costs
    return [0.0 if board.started else 1.0 for board in rack.boards]


def cost_step(costs: Sequence[float]) -> float:
    """Find the largest sum of money of which every cost is a whole multiple, to a hundredth; 0 when there is none.

    Args:
        costs: what opening each board costs, each >= 0 [money]

    Source: greatest common divisor, Euclid, Elements, book VII, proposition 3.

    >>> cost_step([12.0, 0.0, 8.5])
    0.5
    """
    cents = [cost / CENT for cost in costs]
    if any(abs(each - round(each)) > 1e-6 for each in cents):
        return 0.0
    return gcd(*(round(each) for each in cents)) * CENT


def short_by(rack: Rack, cuts: Cuts) -> list[int]:
    """Count the layers missing for each demand.

    Args:
        rack: boards and demands of one species
        cuts: slices by board and demand [1]

    Source: definition: needed less made, never below zero.
    """
    return [max(0, demand.pieces - made) for demand, made in zip(rack.demands, rack.made(cuts), strict=True)]


def opened(rack: Rack, cuts: Cuts) -> list[int]:
    """List the boards, by place, that are sawn from.

    Args:
        rack: boards and demands of one species
        cuts: slices by board and demand [1]

    Source: definition: at least one slice comes from the board.
    """
    keys = {board for (board, _), count in cuts.items() if count > 0}
    return [place for place, board in enumerate(rack.boards) if board.key in keys]


def left_mm(rack: Rack, place: int, cuts: Cuts) -> float:
    """Find the usable thickness that the cuts leave on a board.

    Args:
        rack: boards and demands of one species
        place: the board's place on the rack [1]
        cuts: slices by board and demand [1]

    Source: own derivation: usable thickness less the advances.
    """
    board = rack.boards[place]
    return millimetres(max(0, picometres(board.usable_mm) - rack.used_pm(cuts).get(board.key, 0)))


def lost_mm(rack: Rack, cuts: Cuts, useful_mm: float) -> float:
    """Find the thickness sawn up, and that left on boards in pieces too thin to keep.

    Args:
        rack: boards and demands of one species
        cuts: slices by board and demand [1]
        useful_mm: least usable thickness worth putting back on the rack, > 0 [mm]

    Source: own choice of measure: wood on the boards that could be sawn, less what is worth keeping of it after.
    """
    used, useful, lost = rack.used_pm(cuts), picometres(useful_mm), 0
    for place in rack.sawable():
        board = rack.boards[place]
        left = picometres(board.usable_mm) - used.get(board.key, 0)
        lost += picometres(board.usable_mm) - (left if left >= useful else 0)
    return millimetres(lost)


def runs(rack: Rack, cuts: Cuts) -> set[tuple[str, float]]:
    """List the settings needed on each board.

    Args:
        rack: boards and demands of one species
        cuts: slices by board and demand [1]

    Source: definition: one setting per board and advance.
    """
    advances = {demand.key: demand.advance_mm for demand in rack.demands}
    return {(board, advances[demand]) for (board, demand), count in cuts.items() if count > 0}


def one_board_panels(rack: Rack) -> list[str]:
    """List the panels whose slices of this species are wished from one board.

    Args:
        rack: boards and demands of one species

    Source: the maker's own wish; one wish among its demands covers the panel.
    """
    return sorted({demand.panel for demand in rack.demands if demand.one_board})


def boards_too_many(rack: Rack, cuts: Cuts) -> dict[str, int]:
    """Count the boards beyond the first for each panel that is wished from one board.

    Args:
        rack: boards and demands of one species
        cuts: slices by board and demand [1]

    Source: definition: distinct boards, less one, never below zero.
    """
    panels = {demand.key: demand.panel for demand in rack.demands}
    return {
        panel: max(0, len({board for (board, demand) in cuts if panels[demand] == panel}) - 1)
        for panel in one_board_panels(rack)
    }


def unpaired(rack: Rack, cuts: Cuts) -> dict[str, int]:
    """Count the slices without a neighbour for each demand that is wished in pairs; an odd demand is allowed one.

    Args:
        rack: boards and demands of one species
        cuts: slices by board and demand [1]

    Source: own derivation: a board pairs its slices as they come off, so an odd layer count leaves one single.
    """
    singles = {demand.key: -(demand.pieces % 2) for demand in rack.demands if demand.pairs}
    for place, board in enumerate(rack.boards):
        for number, demand in enumerate(rack.demands):
            if demand.pairs:
                singles[demand.key] += (cuts.get((board.key, demand.key), 0) * rack.pieces(place, number)) % 2
    return {key: max(0, count) for key, count in singles.items()}
