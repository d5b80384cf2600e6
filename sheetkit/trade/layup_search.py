"""Turning and exchanging slices until total and both tapers of a panel meet the plan.

A panel misses its plan by three numbers: total, end taper, side taper. Turning a slice changes the tapers, exchanging
it for a spare of its kind changes all three. The best single change is made, then the best two at once, until what
remains is below the resolution.
"""

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from sheetkit.trade.layup_model import TURNS

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]
    Small = NDArray[np.signedinteger[Any]]

MOST_CHANGES = 400
MOST_PAIRS = 2_000_000
PAIRS_AT_ONCE = 100_000
"""So many pairs are looked at in one go, which keeps the numbers where they are quick to reach."""
HARDLY = 1e-9
GOOD_STEP = 0.3
"""Of the changes that gain at least this share of the largest gain, the one that takes the least bad slice is made."""


@dataclass(slots=True)
class Table:
    """All slices as columns of numbers.

    Attributes:
        off: mean less target, slice by slice [mm]
        end: end taper as sawn [mm]
        side: side taper as sawn [mm]
        kind: number of the kind [1]
        badness: worst reading's distance from the target [mm]
    """

    off: "Floats"
    end: "Floats"
    side: "Floats"
    kind: "Places"
    badness: "Floats"


@dataclass(slots=True)
class Stack:
    """The slices of one panel during the search.

    Attributes:
        used: places of its slices in the table [1]
        turn: how each of them lies, as a place in the list of turns [1]
        leeway: how far total, end taper and side taper may miss the plan freely [mm]
        floor_mm: the panel is known to miss at least this beyond the leeway [mm]
    """

    used: "Places"
    turn: "Places"
    leeway: "Floats"
    floor_mm: float = 0.0


@dataclass(slots=True)
class Changes:
    """Every single change that could be made to a stack.

    Attributes:
        place: which of its slices is turned or exchanged [1]
        to: the slice that then lies there, as a place in the table [1]
        turn: how it then lies [1]
        step: what that does to total, end taper and side taper [mm]
        worse: how much worse the slice is than the one before [mm]
    """

    place: "Small"
    to: "Small"
    turn: "Small"
    step: "Floats"
    worse: "Floats"


@cache
def signs() -> "tuple[Floats, Floats]":
    """List what each turn does to the end taper and to the side taper.

    Source: own derivation: see the turns themselves.
    """
    import numpy as np

    return np.array([float(each.end_sign) for each in TURNS]), np.array([float(each.side_sign) for each in TURNS])


def misses(table: Table, stack: Stack) -> "Floats":
    """Work out by how much a stack misses its plan.

    Args:
        table: all slices
        stack: the slices of the panel and how they lie

    Returns:
        Total, end taper, side taper [mm].

    Source: own derivation: sums over the slices, each taper counted with the sign of its turn.
    """
    import numpy as np

    end, side = signs()
    return np.array(
        [
            table.off[stack.used].sum(),
            (table.end[stack.used] * end[stack.turn]).sum(),
            (table.side[stack.used] * side[stack.turn]).sum(),
        ]
    )


def beyond(missed: "Floats", leeway: "Floats") -> "Floats":
    """Add up what total and tapers miss beyond their leeway.

    Args:
        missed: total, end taper, side taper, in the last dimension [mm]
        leeway: how far each may miss freely [mm]

    Source: own choice of measure: sum of the excesses, in millimetres each.
    """
    import numpy as np

    excess: Floats = np.maximum(np.abs(missed) - leeway, 0.0).sum(axis=-1)
    return excess


def lay_against_each_other(table: Table, stack: Stack) -> None:
    """Turn each slice, the most tapered first, so that it works against those laid before.

    Args:
        table: all slices
        stack: the slices of the panel; how they lie is changed

    Source: largest first, the greedy rule of number partitioning, Graham (1969).
    """
    import numpy as np

    end, side = signs()
    sums = np.zeros(2)
    tapers = np.abs(table.end[stack.used]) + np.abs(table.side[stack.used])
    for place in np.argsort(-tapers, kind="stable"):
        piece = stack.used[place]
        tried = np.stack([sums[0] + table.end[piece] * end, sums[1] + table.side[piece] * side])
        turn = int(np.argmin(np.abs(tried).sum(axis=0)))
        stack.turn[place], sums = turn, tried[:, turn]


def meet_total(table: Table, stack: Stack, spare: "Places") -> "Places":
    """Exchange slices until the total is within its leeway, or no exchange helps; tapers are left for later.

    Args:
        table: all slices
        stack: the slices of the panel; changed in place
        spare: places of the slices that lie in no panel [1]

    Returns:
        The spare slices afterwards.

    Source: own derivation: exchanges of one slice at a time reach the best total but for the last small step.
    """
    alike = _alike(table, stack, spare)
    for _ in range(MOST_CHANGES):
        total = float(table.off[stack.used].sum())
        if abs(total) - float(stack.leeway[0]) <= HARDLY:
            break
        exchange = _cheapest_exchange(table, stack, spare, alike, total)
        if exchange is None:
            break
        place, come = exchange
        stack.used[place], spare[come] = spare[come], stack.used[place]
    return spare


def _cheapest_exchange(
    table: Table, stack: Stack, spare: "Places", alike: "dict[int, Places]", total: float
) -> tuple[int, int] | None:
    """As `_cheapest`, one slice of the stack after another: thousands of spare slices make millions of exchanges.

    Returns:
        Place in the stack, and place among the spare slices.
    """
    import numpy as np

    free = stack.leeway[0]
    now = max(0.0, abs(total) - float(free))

    def exchanges() -> "Iterator[tuple[int, Places, Floats]]":
        for place, gone in enumerate(stack.used.tolist()):
            near = alike[int(table.kind[gone])]
            reached = np.maximum(np.abs(total + table.off[spare[near]] - table.off[gone]) - free, 0.0)
            yield place, near, now - reached

    def priced() -> "Iterator[tuple[int, Places, Floats, Floats]]":
        for place, near, gain in exchanges():
            good = np.flatnonzero(gain >= GOOD_STEP * most)
            worse = table.badness[spare[near[good]]] - table.badness[stack.used[place]]
            yield place, near[good], gain[good], np.maximum(worse, 0.0) / np.maximum(gain[good], HARDLY)

    most = max((float(gain.max(initial=0.0)) for _, _, gain in exchanges()), default=0.0)
    if most <= HARDLY:
        return None
    least = min(float(price.min(initial=np.inf)) for *_, price in priced())
    largest, chosen = 0.0, None
    for place, near, gain, price in priced():
        cheap = np.flatnonzero(price <= least + HARDLY)
        if len(cheap):
            best = cheap[np.argmax(gain[cheap])]
            if gain[best] > largest:
                largest, chosen = float(gain[best]), (place, int(near[best]))
    return chosen


def refine(table: Table, stack: Stack, spare: "Places") -> "Places":
    """Turn and exchange slices until what a stack misses is within its leeway, or no change helps.

    Args:
        table: all slices
        stack: the slices of the panel; changed in place
        spare: places of the slices that lie in no panel [1]

    Returns:
        The spare slices afterwards.

    Source: local search with single and double exchanges, as in Kernighan & Lin (1970) for graph partitioning.
    """
    for _ in range(MOST_CHANGES):
        missed = misses(table, stack)
        now = float(beyond(missed, stack.leeway))
        if now <= stack.floor_mm + HARDLY:
            break
        changes = _changes(table, stack, spare)
        if not len(changes.place):
            break
        chosen = _best_single(changes, _reached(changes, missed, stack.leeway), now)
        chosen = chosen or _best_two(changes, missed, stack.leeway, now)
        if not chosen:
            break
        for change in chosen:
            spare = _make(changes, change, stack, spare)
    return spare


def keep_worst_out(table: Table, stack: Stack, spare: "Places") -> "Places":
    """Exchange bad slices for better spare ones as long as the panel misses its plan no more than before.

    Args:
        table: all slices
        stack: the slices of the panel; changed in place
        spare: places of the slices that lie in no panel [1]

    Returns:
        The spare slices afterwards.

    Source: local search with single exchanges.
    """
    import numpy as np

    for _ in range(MOST_CHANGES):
        missed, changes = misses(table, stack), _changes(table, stack, spare, better_only=True)
        if not len(changes.place):
            break
        allowed = _reached(changes, missed, stack.leeway) <= float(beyond(missed, stack.leeway)) + HARDLY
        better = np.where(allowed, changes.worse, 0.0)
        best = int(np.argmin(better))
        if better[best] >= -HARDLY:
            break
        spare = _make(changes, best, stack, spare)
    return spare


def _alike(table: Table, stack: Stack, spare: "Places") -> "dict[int, Places]":
    """Places among the spare slices of those of each kind in the stack."""
    import numpy as np

    kinds = table.kind[spare]
    return {kind: np.flatnonzero(kinds == kind) for kind in set(table.kind[stack.used].tolist())}


def _of_one_kind(table: Table, stack: Stack, spare: "Places", *, better_only: bool) -> "tuple[Places, Places]":
    """Place in the stack and place among the spare slices of each two of one kind, or those with the better spare."""
    import numpy as np

    alike = _alike(table, stack, spare)
    near = [alike[kind] for kind in table.kind[stack.used].tolist()]
    if better_only:
        worst = zip(near, table.badness[stack.used].tolist(), strict=True)
        near = [places[table.badness[spare[places]] < bad] for places, bad in worst]
    where = np.repeat(np.arange(len(near)), [len(places) for places in near])
    return where, np.concatenate([*near, np.empty(0, dtype=np.intp)])


def _make(changes: Changes, change: int, stack: Stack, spare: "Places") -> "Places":
    import numpy as np

    gone, come = stack.used[changes.place[change]], changes.to[change]
    stack.used[changes.place[change]] = come
    stack.turn[changes.place[change]] = changes.turn[change]
    return spare if gone == come else np.where(spare == come, gone, spare)


def _changes(table: Table, stack: Stack, spare: "Places", *, better_only: bool = False) -> Changes:
    """Every turn, and every exchange for a spare slice; of these, if wished, only those for a better one.

    Thousands of spare slices make millions of changes, hence small whole numbers, and sums in place.
    """
    import numpy as np

    end, side = signs()
    where, which = _of_one_kind(table, stack, spare, better_only=better_only)
    own = np.arange(len(stack.used))
    place = np.concatenate([own, where]).astype(np.int32).repeat(len(TURNS))
    to = np.concatenate([stack.used, spare[which]]).astype(np.int32).repeat(len(TURNS))
    turn = np.tile(np.arange(len(TURNS), dtype=np.int8), len(own) + len(where))
    step = np.empty((3, len(place)))
    lying = stack.turn
    np.subtract(table.off[to], table.off[stack.used][place], out=step[0])
    for row, taper, sign in ((1, table.end, end), (2, table.side, side)):
        np.multiply(taper[to], sign[turn], out=step[row])
        step[row] -= (taper[stack.used] * sign[lying])[place]
    return Changes(place, to, turn, step.T, table.badness[to] - table.badness[stack.used][place])


def _reached(changes: Changes, missed: "Floats", leeway: "Floats") -> "Floats":
    """What is missed beyond the leeway after each change; as `beyond`, one number of the three at a time."""
    import numpy as np

    reached: Floats = np.zeros(len(changes.place))
    for number in range(3):
        excess = missed[number] + changes.step[:, number]
        np.abs(excess, out=excess)
        excess -= leeway[number]
        np.maximum(excess, 0.0, out=excess)
        reached += excess
    return reached


def _best_single(changes: Changes, reached: "Floats", now: float) -> tuple[int, ...]:
    best = _cheapest(now - reached, changes.worse)
    return () if best is None else (best,)


def _cheapest(gain: "Floats", worse: "Floats") -> int | None:
    """Of the changes with a good gain, the one that takes the least badness for it."""
    import numpy as np

    most = float(gain.max(initial=0.0))
    if most <= HARDLY:
        return None
    price = np.where(gain >= GOOD_STEP * most, np.maximum(worse, 0.0) / np.maximum(gain, HARDLY), np.inf)
    cheapest = np.flatnonzero(price <= price.min() + HARDLY)
    return int(cheapest[np.argmax(gain[cheapest])])


def _best_two(changes: Changes, missed: "Floats", leeway: "Floats", now: float) -> tuple[int, ...]:
    """Two changes at once, the first of them among those that leave the panel best by themselves."""
    import numpy as np

    count = len(changes.place)
    first = np.argsort(_reached(changes, missed, leeway), kind="stable")[: max(1, MOST_PAIRS // count)]
    best = now - HARDLY
    chosen: tuple[int, ...] = ()
    for rows in np.array_split(first, -(-len(first) // 64)):
        for some in np.array_split(rows, min(len(rows), -(-len(rows) * count // PAIRS_AT_ONCE))):
            reached = _reached_by_two(changes, some, missed, leeway)
            least = int(np.argmin(reached))
            if reached.flat[least] < best:
                best, chosen = float(reached.flat[least]), (int(some[least // count]), least % count)
        if best <= HARDLY:
            break
    return chosen


def _reached_by_two(changes: Changes, first: "Places", missed: "Floats", leeway: "Floats") -> "Floats":
    """What is missed after each of these changes together with every other; infinite where both cannot be made."""
    import numpy as np

    reached: Floats = np.zeros((len(first), len(changes.place)))
    for number in range(3):
        steps = changes.step[:, number]
        excess = (missed[number] + steps[first])[:, None] + steps[None, :]
        np.abs(excess, out=excess)
        excess -= leeway[number]
        np.maximum(excess, 0.0, out=excess)
        reached += excess
    same = changes.place[first][:, None] == changes.place[None, :]
    reached[same | (changes.to[first][:, None] == changes.to[None, :])] = np.inf
    return reached
