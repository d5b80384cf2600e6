"""Several panels at once: exchanges between them, and the proof by integer programme when the plan is not met."""

from collections import Counter
from collections.abc import Sequence
from itertools import product
from math import gcd
from typing import TYPE_CHECKING

from sheetkit.trade.exact import millimetres, picometres
from sheetkit.trade.layup_model import TURNS, LayupOptions
from sheetkit.trade.layup_search import (
    HARDLY,
    Stack,
    Table,
    beyond,
    keep_worst_out,
    lay_against_each_other,
    meet_total,
    misses,
    refine,
    signs,
)
from sheetkit.trade.programme import Programme

if TYPE_CHECKING:
    from sheetkit.trade.layup_search import Floats, Places

ROUNDS = 4
MOST_EXCHANGES = 200
MOST_CHOICES = 64
"""So many choices of slice, panel and turn are settled outright; beyond, slices count as divisible for the bound."""
MOST_BOUNDED = 20_000
"""Beyond so many choices no bound is looked for; the lay-up is then said to be unproven."""


def share_out(table: Table, stacks: Sequence[Stack], spare: "Places") -> None:
    """Lay up all panels, with spare slices and exchanges between panels.

    Args:
        table: all slices
        stacks: the slices of each panel; changed in place
        spare: places of the slices that lie in no panel [1]

    Source: local search as in `refine`; between two panels the sum of squares is made smaller, so that what cannot be
    avoided is shared.
    """
    for stack in stacks:
        spare = meet_total(table, stack, spare)
        lay_against_each_other(table, stack)
    floor = sum(stack.floor_mm for stack in stacks)
    for _ in range(ROUNDS):
        before = missed_in_all(table, stacks)
        for stack in stacks:
            spare = refine(table, stack, spare)
        _level_all(table, [stack for stack in stacks if len(stack.used)])
        after = missed_in_all(table, stacks)
        if after <= floor + HARDLY or after >= before - HARDLY:
            break
    for stack in stacks:
        spare = keep_worst_out(table, stack, spare)


def missed_in_all(table: Table, stacks: Sequence[Stack]) -> float:
    """Add up what all panels miss beyond their leeway.

    Args:
        table: all slices
        stacks: the slices of each panel and how they lie

    Source: own choice of measure: sum over panels of the excesses [mm].
    """
    return float(sum(beyond(misses(table, stack), stack.leeway) for stack in stacks))


def _level_all(table: Table, stacks: Sequence[Stack]) -> None:
    """Every panel with every later one; of two that miss nothing there is nothing to share."""
    missed = [float(beyond(misses(table, stack), stack.leeway)) for stack in stacks]
    for number, one in enumerate(stacks):
        for place in range(number + 1, len(stacks)):
            if max(missed[number], missed[place]) > HARDLY:
                _level(table, one, stacks[place])
                for each in (number, place):
                    missed[each] = float(beyond(misses(table, stacks[each]), stacks[each].leeway))


def _level(table: Table, one: Stack, other: Stack) -> None:
    """Exchange slices of one kind between two panels as long as that makes the squares of what they miss smaller."""
    for _ in range(MOST_EXCHANGES):
        now = [float(beyond(misses(table, stack), stack.leeway)) for stack in (one, other)]
        if max(now) <= HARDLY or not _exchange(table, one, other, now[0] ** 2 + now[1] ** 2):
            break


def _exchange(table: Table, one: Stack, other: Stack, squares: float) -> bool:
    import numpy as np

    mine, theirs = np.nonzero(table.kind[one.used][:, None] == table.kind[other.used][None, :])
    if not len(mine):
        return False
    first, first_turn = _swapped(table, one, mine, other.used[theirs])
    second, second_turn = _swapped(table, other, theirs, one.used[mine])
    best = int(np.argmin(first**2 + second**2))
    if first[best] ** 2 + second[best] ** 2 >= squares - HARDLY * HARDLY:
        return False
    a, b = mine[best], theirs[best]
    one.used[a], other.used[b] = other.used[b], one.used[a]
    one.turn[a], other.turn[b] = first_turn[best], second_turn[best]
    return True


def _swapped(table: Table, stack: Stack, place: "Places", come: "Places") -> "tuple[Floats, Places]":
    """What a panel misses when each of these slices comes in, lying as suits it best, and how it then lies."""
    import numpy as np

    end, side = signs()
    turn, gone = stack.turn[place], stack.used[place]
    step = np.empty((len(place), len(TURNS), 3))
    step[:, :, 0] = (table.off[come] - table.off[gone])[:, None]
    step[:, :, 1] = table.end[come][:, None] * end - (table.end[gone] * end[turn])[:, None]
    step[:, :, 2] = table.side[come][:, None] * side - (table.side[gone] * side[turn])[:, None]
    reached = beyond(misses(table, stack) + step, stack.leeway)
    least = reached.argmin(axis=1)
    return reached[np.arange(len(place)), least], least


def least_missed(table: Table, stacks: Sequence[Stack], spare: "Places") -> float:
    """Find quickly what all panels together must miss at least.

    Args:
        table: all slices
        stacks: the slices of each panel
        spare: places of the slices that lie in no panel [1]

    Returns:
        No lay-up can miss less than this in all [mm].

    Source: own derivation: the totals together lie between those of the thinnest and the thickest slices of each kind;
    and where nothing can be exchanged, turning changes a taper by whole multiples of twice the common step.
    """
    import numpy as np

    used = np.concatenate([stack.used for stack in stacks])
    every = np.concatenate([used, spare])
    thin = thick = 0.0
    for kind in np.unique(table.kind[used]):
        off = np.sort(table.off[every[table.kind[every] == kind]])
        count = int((table.kind[used] == kind).sum())
        thin, thick = thin + off[:count].sum(), thick + off[-count:].sum()
    free = sum(float(stack.leeway[0]) for stack in stacks)
    least = max(0.0, thin - free, -thick - free)
    if len(stacks) == 1 and not np.isin(table.kind[spare], table.kind[used]).any():
        tapers = zip((table.end[used], table.side[used]), stacks[0].leeway[1:].tolist(), strict=True)
        least += sum(max(0.0, _least_turned(each.tolist()) - leeway) for each, leeway in tapers)
    return float(least)


def _least_turned(tapers_mm: list[float]) -> float:
    """The least sum that signs alone could give: sums differ by whole multiples of twice the common step."""
    whole = [picometres(abs(each)) for each in tapers_mm]
    twice = 2 * gcd(*whole)
    if twice == 0:
        return 0.0
    rest = sum(whole) % twice
    return millimetres(min(rest, twice - rest))


def prove(table: Table, stacks: Sequence[Stack], options: LayupOptions) -> float:
    """Find the least that all panels together must miss; for few slices, take the better lay-up if there is one.

    Args:
        table: all slices
        stacks: the slices of each panel; changed in place when a better lay-up is found
        options: how the lay-up is chosen

    Returns:
        No lay-up can miss less than this in all [mm].

    Source: own integer programme: one whole-number choice per slice, panel and turn, the excesses are the objective;
    for many slices its linear relaxation, which bounds the totals well and the tapers hardly.
    """
    if len(table.off) * len(stacks) * len(TURNS) > MOST_BOUNDED:
        return 0.0
    programme = Programme()
    lies = {
        (piece, panel, turn): programme.variable(1)
        for piece in range(len(table.off))
        for panel in range(len(stacks))
        for turn in range(len(TURNS))
    }
    excess = [_excess_rows(programme, table, stack, panel, lies) for panel, stack in enumerate(stacks)]
    for piece in range(len(table.off)):
        ways = product((piece,), range(len(stacks)), range(len(TURNS)))
        programme.row({lies[way]: 1.0 for way in ways}, high=1.0)
    whole = len(lies) <= MOST_CHOICES
    if not whole:
        programme.whole = [0] * len(programme.whole)
    answer = programme.minimise(
        dict.fromkeys((place for places in excess for place in places), 1.0),
        time_limit_s=options.time_limit_s,
        node_limit=options.node_limit,
    )
    if whole and answer.values and answer.objective < missed_in_all(table, stacks) - HARDLY:
        _take(stacks, [key for key, place in lies.items() if answer.values[place] > 0.5])
    return max(0.0, answer.bound)


def _excess_rows(
    programme: Programme, table: Table, stack: Stack, panel: int, lies: dict[tuple[int, int, int], int]
) -> list[int]:
    end, side = signs()
    mine = {key: lies[key] for key in product(range(len(table.off)), (panel,), range(len(TURNS)))}
    kinds = table.kind.tolist()
    for kind, count in Counter(table.kind[stack.used].tolist()).items():
        fitting = {place: 1.0 for key, place in mine.items() if kinds[key[0]] == kind}
        programme.row(fitting, low=count, high=count)
    sums: list[dict[int, float]] = [
        {place: float(table.off[piece]) for (piece, _, _), place in mine.items()},
        {place: float(table.end[piece] * end[turn]) for (piece, _, turn), place in mine.items()},
        {place: float(table.side[piece] * side[turn]) for (piece, _, turn), place in mine.items()},
    ]
    found = []
    for factors, leeway in zip(sums, stack.leeway.tolist(), strict=True):
        over = programme.variable(float("inf"), whole=False)
        programme.row(factors | {over: -1.0}, high=leeway)
        programme.row(factors | {over: 1.0}, low=-leeway)
        found.append(over)
    return found


def _take(stacks: Sequence[Stack], chosen: list[tuple[int, int, int]]) -> None:
    import numpy as np

    for panel, stack in enumerate(stacks):
        mine = [(piece, turn) for piece, number, turn in chosen if number == panel]
        stack.used = np.array([piece for piece, _ in mine], dtype=np.int64)
        stack.turn = np.array([turn for _, turn in mine], dtype=np.int64)
