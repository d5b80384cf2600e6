"""What became of the maker's wishes, each granted or reported."""

from sheetkit.trade.plan_aims import boards_too_many, left_mm, opened, unpaired
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import Solution, WishOutcome

ONE_BOARD, PAIRS, USE_FIRST = "slices from one board", "pairs of neighbouring cuts", "use this board first"


def outcomes(rack: Rack, solution: Solution) -> list[WishOutcome]:
    """Tell for each wish whether the plan grants it, and why not.

    Args:
        rack: boards and demands of one species
        solution: the plan for it

    Source: own derivation: counted from the cuts of the plan.
    """
    return [*_one_board(rack, solution), *_pairs(rack, solution), *_use_first(rack, solution)]


def _one_board(rack: Rack, solution: Solution) -> list[WishOutcome]:
    found = []
    for panel, extra in boards_too_many(rack, solution.cuts).items():
        reason = f"the slices come from {extra + 1} boards; fewer would leave layers missing" if extra else ""
        found.append(WishOutcome(ONE_BOARD, f"{rack.demands[0].species} for {panel}", not extra, reason))
    return found


def _pairs(rack: Rack, solution: Solution) -> list[WishOutcome]:
    found = []
    for key, singles in unpaired(rack, solution.cuts).items():
        reason = f"{singles} more slices than need be stand without a neighbour" if singles else ""
        found.append(WishOutcome(PAIRS, key, not singles, reason))
    return found


def _use_first(rack: Rack, solution: Solution) -> list[WishOutcome]:
    others = any(not rack.boards[place].use_first for place in opened(rack, solution.cuts))
    thinnest = min((demand.advance_mm for demand in rack.demands), default=float("inf"))
    found = []
    for place, board in enumerate(rack.boards):
        if not board.use_first:
            continue
        left = left_mm(rack, place, solution.cuts)
        if left < thinnest:
            reason = ""
        elif not others:
            reason = "{} stay, since no more slices are needed"
        else:
            reason = "{} stay although other boards are sawn; what is still needed does not fit it"
        lengths = (left,) if reason else ()
        found.append(WishOutcome(USE_FIRST, board.key, left < thinnest or not others, reason, lengths))
    return found
