"""The lay-up: which measured slice lies in which layer, and which way round."""

from collections import deque
from collections.abc import Sequence

from sheetkit.trade.exact import millimetres, picometres, total_mm
from sheetkit.trade.layup_deal import Hand, badness, deal, targets_by_kind
from sheetkit.trade.layup_model import (
    TURNS,
    Closeness,
    Corners,
    Layup,
    LayupOptions,
    MeasuredSlice,
    PanelLayup,
    PlacedLayer,
    Turn,
    WantedPanel,
)
from sheetkit.trade.layup_place import mirror_pairs, place_slices
from sheetkit.trade.layup_search import HARDLY, Stack, Table
from sheetkit.trade.layup_share import least_missed, missed_in_all, prove, share_out

Lying = tuple[MeasuredSlice, Turn]


def lay_up(
    slices: Sequence[MeasuredSlice], panels: Sequence[WantedPanel], options: LayupOptions | None = None
) -> Layup:
    """Choose the slice for each layer, and which way round it lies.

    Total thickness, end taper and side taper of each panel are brought to the plan as closely as a tenth of the
    caliper's division; of the lay-ups that reach it, one with the worst slices left out is taken. Where slices are
    still to be sawn, it tells how thick they should be.

    Args:
        slices: the usable slices, each with a key of its own
        panels: the panels to lay up
        options: how the lay-up is chosen

    Raises:
        ValueError: if layers of one kind have different targets, or two slices the same key.

    Source: number partitioning with exchanges, Karmarkar & Karp (1982) and Korf (1998) on the problem; own search.

    >>> from sheetkit.trade.layup_model import WantedLayer
    >>> wedges = [MeasuredSlice(f"A-{n}", "ash", Corners(1.0, 1.0, 1.05, 1.05, 1.025), sawn=n) for n in (1, 2)]
    >>> layup = lay_up(wedges, [WantedPanel("P", (WantedLayer("ash", 1.025),) * 2)])
    >>> round(layup.panels[0].closeness.end_taper_mm, 9), round(layup.panels[0].in_sawing_order.end_taper_mm, 9)
    (0.0, 0.1)
    """
    options = options or LayupOptions()
    if len({piece.key for piece in slices}) < len(slices):
        raise ValueError("two slices have the same key; wanted a key of its own for each")
    targets = targets_by_kind(panels)
    fitting = [piece for piece in slices if piece.kind in targets]
    hands, spare = deal(fitting, panels, options)
    table = _table(fitting, targets)
    stacks = [_stack(hand, options) for hand in hands]
    residual, bound = _search(table, stacks, spare, options)
    before = [closeness(lying, targets) for lying in _in_sawing_order(fitting, panels)]
    laid = [
        _panel(hand, [(fitting[piece], TURNS[turn]) for piece, turn in _lying(stack)], targets, as_sawn, options)
        for hand, stack, as_sawn in zip(hands, stacks, before, strict=True)
    ]
    used = {layer.slice_key for panel in laid for layer in panel.layers}
    bad = table.badness.tolist()
    out = [(-worst, piece.key) for worst, piece in zip(bad, fitting, strict=True) if piece.key not in used]
    out.sort()
    unfit = [piece.key for piece in slices if piece.kind not in targets]
    return Layup(tuple(laid), (*(key for _, key in out), *unfit), residual, bound, options.resolution_mm)


def _search(table: Table, stacks: list[Stack], spare: list[int], options: LayupOptions) -> tuple[float, float]:
    import numpy as np

    left = np.array(spare, dtype=np.int64)
    if not any(len(stack.used) for stack in stacks):
        return 0.0, 0.0
    bound = least_missed(table, stacks, left)
    if len(stacks) == 1:
        stacks[0].floor_mm = bound
    share_out(table, stacks, left)
    residual = missed_in_all(table, stacks)
    if residual > bound + HARDLY:
        bound = max(bound, prove(table, stacks, options))
        residual = missed_in_all(table, stacks)
    return (residual, min(bound, residual)) if residual > HARDLY else (0.0, 0.0)


def _table(slices: Sequence[MeasuredSlice], targets: dict[str, float]) -> Table:
    import numpy as np

    kinds = {kind: number for number, kind in enumerate(targets)}
    targets_pm = {kind: picometres(target) for kind, target in targets.items()}
    off_pm = [picometres(piece.corners.mean_mm) - targets_pm[piece.kind] for piece in slices]
    return Table(
        off=np.array([millimetres(off) for off in off_pm]),
        end=np.array([piece.corners.end_taper_mm for piece in slices]),
        side=np.array([piece.corners.side_taper_mm for piece in slices]),
        kind=np.array([kinds[piece.kind] for piece in slices], dtype=np.int64),
        badness=np.array([badness(piece, targets[piece.kind]) for piece in slices]),
    )


def _stack(hand: Hand, options: LayupOptions) -> Stack:
    """What the missing layers may still make good, each within its tolerance, is free for the total."""
    import numpy as np

    still = sum(count * _tolerance(hand.panel, kind) for kind, count in hand.missing.items())
    leeway = np.array([options.resolution_mm + still, options.resolution_mm, options.resolution_mm])
    return Stack(np.array(hand.slices, dtype=np.int64), np.zeros(len(hand.slices), dtype=np.int64), leeway)


def _tolerance(panel: WantedPanel, kind: str) -> float:
    return min(layer.tolerance_mm for layer in panel.layers if layer.kind == kind)


def _lying(stack: Stack) -> list[tuple[int, int]]:
    return list(zip(stack.used.tolist(), stack.turn.tolist(), strict=True))


def _in_sawing_order(slices: Sequence[MeasuredSlice], panels: Sequence[WantedPanel]) -> list[list[Lying]]:
    """What each panel would get if the slices were taken one after another as they came off the saw."""
    order = sorted(slices, key=lambda piece: (piece.sawn, piece.board, piece.key))
    stacks: list[list[Lying]] = [[] for _ in panels]
    queues: dict[str, deque[MeasuredSlice]] = {}
    for piece in order:
        queues.setdefault(piece.kind, deque()).append(piece)
    for stack, panel in zip(stacks, panels, strict=True):
        for layer in panel.layers:
            if queue := queues.get(layer.kind):
                stack.append((queue.popleft(), Turn.AS_SAWN))
    return stacks


def _panel(
    hand: Hand, mine: list[Lying], targets: dict[str, float], as_sawn: Closeness, options: LayupOptions
) -> PanelLayup:
    panel = hand.panel
    thickness = [piece.corners.mean_mm for piece, _ in mine]
    where = place_slices(panel, [piece for piece, _ in mine], thickness, options.keep_order)
    off = closeness(mine, targets)
    count = sum(hand.missing.values())
    each_mm = -off.total_mm / count if count else 0.0
    saw_at = {kind: total_mm([targets[kind], each_mm]) for kind in hand.missing}
    return PanelLayup(
        panel=panel.key,
        layers=tuple(
            _layer(number, place, mine, saw_at.get(panel.layers[number].kind)) for number, place in enumerate(where)
        ),
        closeness=off,
        in_sawing_order=as_sawn,
        pair_mismatch_mm=_pair_mismatch(panel, where, thickness),
        mean_badness_mm=sum(badness(piece, targets[piece.kind]) for piece, _ in mine) / max(1, len(mine)),
        missing=dict(hand.missing),
        saw_at_mm=saw_at,
        reachable=all(abs(each_mm) <= _tolerance(panel, kind) + options.resolution_mm for kind in hand.missing),
    )


def _layer(number: int, place: int | None, mine: Sequence[Lying], saw_at_mm: float | None) -> PlacedLayer:
    if place is None:
        return PlacedLayer(number + 1, "", saw_at_mm=saw_at_mm)
    piece, turn = mine[place]
    return PlacedLayer(number + 1, piece.key, turn)


def closeness(lying: Sequence[tuple[MeasuredSlice, Turn]], targets: dict[str, float]) -> Closeness:
    """Work out how far a stack of slices is from its plan.

    Args:
        lying: each slice and how it lies
        targets: thickness planned for each kind [mm]

    Source: own derivation: sums over the slices, each as it lies.
    """
    corners = [piece.corners.lying(turn) for piece, turn in lying]
    plan = total_mm([-targets[piece.kind] for piece, _ in lying])
    off = Corners(
        near_left_mm=total_mm([plan, *(each.near_left_mm for each in corners)]),
        near_right_mm=total_mm([plan, *(each.near_right_mm for each in corners)]),
        far_left_mm=total_mm([plan, *(each.far_left_mm for each in corners)]),
        far_right_mm=total_mm([plan, *(each.far_right_mm for each in corners)]),
        middle_mm=total_mm([plan, *(each.middle_mm for each in corners)]),
    )
    return Closeness(off.mean_mm, off.end_taper_mm, off.side_taper_mm, off)


def _pair_mismatch(panel: WantedPanel, where: list[int | None], thickness: list[float]) -> float:
    worst = 0.0
    for kind in {layer.kind for layer in panel.layers}:
        for low, high in mirror_pairs(panel, kind)[0]:
            one, other = where[low], where[high]
            if one is not None and other is not None:
                worst = max(worst, abs(thickness[one] - thickness[other]))
    return worst
