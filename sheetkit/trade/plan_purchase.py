"""What to buy when the rack is short: the thinnest one board that mends it, or how many more like one on the rack."""

from dataclasses import replace

from sheetkit.trade.exact import millimetres, picometres
from sheetkit.trade.plan_aims import short_by
from sheetkit.trade.plan_fill import first_fit
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import COST, Board, Cuts, Demand, PlanOptions, Purchase, Solution
from sheetkit.trade.plan_settle import least_used, settle

EXTRA = "\0one more board"
"""No board of the maker's can be called that."""


def smallest_purchase(rack: Rack, solution: Solution, options: PlanOptions) -> Purchase | None:
    """Find the smallest purchase that mends what is short of one species; none when nothing is short.

    Args:
        rack: boards and demands of one species
        solution: the best plan without a purchase
        options: how the planner weighs and how long it searches

    Source: own derivation: the same integer programme with one more board whose thickness is to be found, and with
    more boards like the most generous one on the rack, each counted as one.
    """
    if not any(short_by(rack, solution.cuts)):
        return None
    usable_mm, thin_proven = _thinnest_board(rack, solution, options)
    like, count, count_proven = _more_alike(rack, solution, options)
    return Purchase(rack.demands[0].species, usable_mm, _pieces(rack), like, count, thin_proven and count_proven)


def _pieces(rack: Rack) -> dict[str, int]:
    """Layers per slice of the board to buy: as many as the best board on the rack, at least one."""
    panels = [demand.panel for demand in rack.demands]
    return {panel: max([1, *(board.pieces.get(panel, 0) for board in rack.boards)]) for panel in panels}


def _thinnest_board(rack: Rack, solution: Solution, options: PlanOptions) -> tuple[float, bool]:
    pieces = _pieces(rack)
    short = short_by(rack, solution.cuts)
    slices = [-(-missing // pieces[each.panel]) for each, missing in zip(rack.demands, short, strict=True)]
    enough = sum(count * picometres(each.advance_mm) for each, count in zip(rack.demands, slices, strict=True))
    wider = Rack.of([*rack.boards, Board(EXTRA, rack.demands[0].species, millimetres(enough), pieces)], rack.demands)
    bought = {(EXTRA, each.key): count for each, count in zip(rack.demands, slices, strict=True) if count}
    return least_used(wider, len(rack.boards), {**solution.cuts, **bought}, options)


def _more_alike(rack: Rack, solution: Solution, options: PlanOptions) -> tuple[str, int, bool]:
    """Count the boards like the thickest fresh one on the rack that are needed besides."""
    short = [number for number, missing in enumerate(short_by(rack, solution.cuts)) if missing]
    likes = [
        board
        for place, board in enumerate(rack.boards)
        if not board.started and all(rack.most(place, number) > 0 for number in short)
    ]
    if not likes:
        return "", 0, True
    like = max(likes, key=lambda board: (board.usable_mm, -board.cost))
    sawn = [replace(board, started=True, use_first=False) for board in rack.boards]
    plain = [replace(demand, one_board=False, pairs=False) for demand in rack.demands]
    start = {**solution.cuts, **_on_new_boards(rack, like, solution)}
    bought = len({board for board, _ in start if board.startswith(EXTRA)})
    found = settle(_with(sawn, like, bought, plain), options, last_aim=COST, starts=[start])
    level = next(level for level in found.levels if level.aim == COST)
    return like.key, round(level.value), level.proven


def _on_new_boards(rack: Rack, like: Board, solution: Solution) -> Cuts:
    """What is missing, sawn from new boards alone; their number is doubled until it is enough."""
    missing = zip(rack.demands, short_by(rack, solution.cuts), strict=True)
    still = [replace(demand, pieces=count) for demand, count in missing if count]
    count = 1
    while any(short_by(new := _with([], like, count, still), cuts := first_fit(new))):
        count *= 2
    return cuts


def _with(boards: list[Board], like: Board, count: int, demands: list[Demand]) -> Rack:
    more = [replace(like, key=f"{EXTRA} {number}", cost=1.0, use_first=False) for number in range(count)]
    return Rack.of([*boards, *more], demands)
