"""Needs whose slices serve one another: one wood, thickness and tolerance, and as many layers from every board."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from sheetkit.job.needs import SAME_MM, Need, alike
from sheetkit.job.planning import PlannedPass, WorkPlan
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.plan_model import Shortage

Pool = list[Need]
"""In the order in which Targets first names them."""


def pools_of(needs: Sequence[Need], layers: Mapping[tuple[str, str], int], inputs: Inputs) -> list[Pool]:
    """Put needs together whose slices serve one another, whichever panel they were sawn for.

    A slice that is too small for one of the panels, or that is judged by another tolerance, does not serve all; nor
    does any where the slices of a panel are to come from one board, or from neighbouring cuts.

    Args:
        needs: all needs
        layers: layers that a slice gives, by board name and panel name
        inputs: the maker's boards and wishes
    """
    pools: dict[tuple[object, ...], Pool] = {}
    for need in needs:
        boards = [board.board for board in inputs.boards if board.species == need.species]
        gives = tuple(layers.get((board, need.panel), 0) for board in boards)
        alone = need.key if _tied(inputs) else ""
        kind = (need.species, round(need.sawn_mm / SAME_MM), need.tolerance_mm, gives, alone)
        pools.setdefault(kind, []).append(need)
    return list(pools.values())


def _tied(inputs: Inputs) -> bool:
    """Whether a wish ties the slices of a panel to one another."""
    return inputs.job.one_board or inputs.job.pairs


def pass_on_surplus(needs: Sequence[Need], layers: Mapping[tuple[str, str], int], inputs: Inputs) -> None:
    """Give good slices that a need has beyond its spares to another whose layers they can be, and that lacks some.

    That is one of the same wood and thickness, with no tighter tolerance, and not tied to its slices by a wish.

    Args:
        needs: filled in place
        layers: layers that a slice gives, by board name and panel name
        inputs: the maker's wishes
    """
    if _tied(inputs):
        return
    beyond = {need.key: need.have - need.layers - need.spares for need in needs}
    for rich in needs:
        served = [need for need in alike(rich, needs) if need.tolerance_mm >= rich.tolerance_mm]
        if not any(beyond[need.key] < 0 for need in served):
            continue
        kept, passed_on = [], []
        for item, count in reversed(rich.slices):
            board = item.board.board if item.board else ""
            lacking = (need for need in served if beyond[need.key] < 0 and layers.get((board, need.panel), 0))
            poor = next(lacking, None) if beyond[rich.key] >= count else None
            if poor is None:
                kept.append((item, count))
                continue
            given = layers[board, poor.panel] * item.row.pressed
            passed_on.append((poor, item, given))
            beyond[rich.key] -= count
            beyond[poor.key] += given
        rich.slices[:] = reversed(kept)
        for poor, item, given in reversed(passed_on):
            poor.slices.append((item, given))


def hand_out(plan: WorkPlan, pools: Sequence[Pool]) -> WorkPlan:
    """Let the passes of a pool serve its panels one after the other, and the spares last.

    Which of them the planner had in mind does not matter, and spares of one panel must not stand beside layers that
    another lacks.

    Args:
        plan: every pass still to be sawn
        pools: needs whose slices serve one another
    """
    for pool in pools:
        if len(pool) > 1:
            plan = _handed_out(plan, pool)
    return plan


def _handed_out(plan: WorkPlan, pool: Pool) -> WorkPlan:
    keys = {need.key for need in pool}
    made: Counter[str] = Counter()
    passes = []
    for planned in plan.passes:
        if planned.need.key not in keys:
            passes.append(planned)
            continue
        need = _whose_turn(pool, made, planned)
        made[need.key] += planned.layers
        passes.append(replace(planned, need=need))
    if any(new > old for new, old in zip(_lack(pool, made), _lack(pool, plan.cuts.made), strict=True)):
        return plan
    cuts = replace(
        plan.cuts,
        made={**plan.cuts.made, **{key: made[key] for key in keys}},
        shortages=_shortages(plan.cuts.shortages, pool, made),
    )
    return replace(plan, cuts=cuts, passes=tuple(passes))


def _whose_turn(pool: Pool, made: Mapping[str, int], planned: PlannedPass) -> Need:
    """The first that lacks as many layers as the slice gives, or fewer; then the first that lacks spares."""
    lacks = [need.layers - need.have - made[need.key] for need in pool]
    for least in (planned.layers, 1):
        for need, lack in zip(pool, lacks, strict=True):
            if lack >= least:
                return need
    return next((need for need in pool if need.to_saw > made[need.key]), planned.need)


def _lack(pool: Pool, made: Mapping[str, int]) -> tuple[int, int]:
    """Layers that no pass gives, and those with the spares."""
    layers = sum(max(0, need.layers - need.have - made.get(need.key, 0)) for need in pool)
    return layers, sum(max(0, need.to_saw - made.get(need.key, 0)) for need in pool)


def _shortages(shortages: Sequence[Shortage], pool: Pool, made: Mapping[str, int]) -> tuple[Shortage, ...]:
    """The same layers short, but told of the panels that now go without."""
    keys = {need.key for need in pool}
    first = next((place for place, each in enumerate(shortages) if each.demand in keys), None)
    if first is None:
        return tuple(shortages)
    told = [
        replace(
            shortages[first],
            demand=need.key,
            panel=need.panel,
            pieces=need.to_saw - made[need.key],
            needed=need.to_saw,
        )
        for need in pool
        if need.to_saw > made[need.key]
    ]
    return (*shortages[:first], *told, *(each for each in shortages[first:] if each.demand not in keys))
