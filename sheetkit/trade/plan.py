"""The cutting plan: what to saw from which board, what is short and what to buy, and how good the plan is."""

from collections.abc import Sequence

from sheetkit.trade.exact import total_mm
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import (
    Board,
    BoardPlan,
    CuttingPlan,
    Demand,
    Pass,
    PlanOptions,
    Proof,
    Shortage,
    Solution,
)
from sheetkit.trade.plan_order import order_of_settings
from sheetkit.trade.plan_purchase import smallest_purchase
from sheetkit.trade.plan_settle import settle
from sheetkit.trade.plan_wishes import outcomes


def plan_cuts(boards: Sequence[Board], demands: Sequence[Demand], options: PlanOptions | None = None) -> CuttingPlan:
    """Plan which slices come from which board.

    The aims are settled one after another: as few layers missing as can be, then as many demands complete as can be,
    then the maker's wishes, then the least cost of boards opened, then the most wood left in pieces worth keeping, then
    the fewest settings of the dial.

    Args:
        boards: the boards that may be sawn, each with a key of its own
        demands: the layers still needed, each with a key of its own; usable slices already sawn are taken off
        options: how the planner weighs and how long it searches

    Raises:
        ValueError: if two boards or two demands have the same key, or an advance is not greater than zero.

    Source: integer programme of Kantorovich (1939, English 1960) for cutting stock, species by species.

    >>> rack = [Board("A", "ash", 20.0, {"P": 1}, cost=9.0), Board("B", "ash", 12.0, {"P": 1}, cost=5.0)]
    >>> plan = plan_cuts(rack, [Demand("thick", "ash", "P", 1.5, 1.5, 2.5, 4)])
    >>> [(each.board, each.passes[0].slices, each.left_mm) for each in plan.boards], plan.untouched, plan.proof
    ([('B', 4, 2.0)], ('A',), 'best possible')
    """
    options = options or PlanOptions()
    _different([board.key for board in boards], "boards")
    _different([demand.key for demand in demands], "demands")
    still = [demand.key for demand in demands if demand.advance_mm <= 0]
    if still:
        raise ValueError(f"the fence does not move for {', '.join(still)}; wanted an advance of more than 0 mm")
    sawn: list[BoardPlan] = []
    plans = [_species_plan(species, boards, demands, options) for species in _species(demands)]
    for rack, solution in plans:
        sawn.extend(_board_plans(rack, solution))
    made = {demand.key: 0 for demand in demands}
    for rack, solution in plans:
        made |= {each.key: got for each, got in zip(rack.demands, rack.made(solution.cuts), strict=True)}
    touched = {each.board for each in sawn}
    return CuttingPlan(
        boards=tuple(sawn),
        untouched=tuple(board.key for board in boards if board.key not in touched),
        made=made,
        shortages=tuple(short for rack, solution in plans for short in _shortages(rack, solution)),
        purchases=tuple(
            found for rack, solution in plans if (found := smallest_purchase(rack, solution, options)) is not None
        ),
        wishes=tuple(outcome for rack, solution in plans for outcome in outcomes(rack, solution)),
        proofs=tuple(Proof(rack.demands[0].species, solution.levels) for rack, solution in plans if rack.demands),
    )


def _species_plan(
    species: str, boards: Sequence[Board], demands: Sequence[Demand], options: PlanOptions
) -> tuple[Rack, Solution]:
    rack = Rack.of(
        [board for board in boards if board.species == species],
        [demand for demand in demands if demand.species == species],
    )
    return rack, settle(rack, options)


def _species(demands: Sequence[Demand]) -> list[str]:
    return list(dict.fromkeys(demand.species for demand in demands))


def _different(keys: list[str], what: str) -> None:
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        raise ValueError(f"{what} with the same key: {', '.join(twice)}; wanted a key of its own for each")


def _board_plans(rack: Rack, solution: Solution) -> list[BoardPlan]:
    order = sorted(
        (board for board in rack.boards if any(pair[0] == board.key for pair in solution.cuts)),
        key=lambda board: (not board.use_first, not board.started),
    )
    advances = [
        list(dict.fromkeys(each.advance_mm for each in rack.demands if (board.key, each.key) in solution.cuts))
        for board in order
    ]
    settings = order_of_settings(advances)
    return [_board_plan(rack, board, chain, solution) for board, chain in zip(order, settings, strict=True)]


def _board_plan(rack: Rack, board: Board, settings: list[float], solution: Solution) -> BoardPlan:
    passes = []
    for setting in settings:
        for demand in rack.demands:
            slices = solution.cuts.get((board.key, demand.key), 0)
            if slices and demand.advance_mm == setting:
                pieces = slices * board.pieces[demand.panel]
                passes.append(Pass(board.key, demand.key, slices, pieces, demand.set_mm, demand.advance_mm))
    used_mm = total_mm([each.advance_mm for each in passes for _ in range(each.slices)])
    left_mm = max(0.0, total_mm([board.usable_mm, -used_mm]))
    return BoardPlan(board.key, board.species, tuple(passes), used_mm, left_mm)


def _shortages(rack: Rack, solution: Solution) -> list[Shortage]:
    found = []
    for number, (demand, made) in enumerate(zip(rack.demands, rack.made(solution.cuts), strict=True)):
        if made < demand.pieces:
            small = all(rack.pieces(board, number) <= 0 for board in range(len(rack.boards)))
            missing = demand.pieces - made
            found.append(
                Shortage(demand.key, demand.species, demand.panel, demand.target_mm, missing, demand.pieces, small)
            )
    return found
