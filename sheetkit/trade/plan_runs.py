"""Fewer settings of the dial: slices exchanged between two boards until each thickness comes from as few as can be."""

from collections.abc import Iterator
from itertools import combinations

from sheetkit.trade.exact import HAIR_PM, picometres
from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import Cuts

MOST_TRIES = 400
MOST_SHARED = 8


def with_fewer_runs(rack: Rack, cuts: Cuts) -> Cuts:
    """Exchange slices between boards, two at a time, as long as that saves a setting of the dial.

    Args:
        rack: boards and demands of one species
        cuts: a plan that fits, slices by board and demand [1]

    Source: own derivation: of the thicknesses that two boards share, all but one can come from one of the two alone,
    if the lengths allow; every way is tried.
    """
    tries, improved = 0, True
    while improved and tries < MOST_TRIES:
        improved = False
        for one, other in _pairs_that_share(rack, cuts):
            tries += 1
            better = _parted(rack, cuts, one, other)
            if better is not None:
                cuts, improved = better, True
            if tries >= MOST_TRIES:
                break
    return cuts


def fewest_runs(rack: Rack) -> int:
    """Count the settings that no plan without missing layers can do without.

    Args:
        rack: boards and demands of one species

    Source: own derivation: every thickness is set once at least.
    """
    return len({demand.advance_mm for demand in rack.demands})


def _pairs_that_share(rack: Rack, cuts: Cuts) -> Iterator[tuple[int, int]]:
    """Two boards that give the same layers per slice and share a thickness."""
    demands: dict[str, set[str]] = {}
    for board, demand in cuts:
        demands.setdefault(board, set()).add(demand)
    sawn = [place for place, board in enumerate(rack.boards) if board.key in demands]
    for one, other in combinations(sawn, 2):
        if rack.boards[one].pieces == rack.boards[other].pieces:
            shared = demands[rack.boards[one].key] & demands[rack.boards[other].key]
            if shared:
                yield one, other


def _parted(rack: Rack, cuts: Cuts, one: int, other: int) -> Cuts | None:
    """The slices of two boards shared out anew with fewer runs, if there is a way."""
    keys = rack.boards[one].key, rack.boards[other].key
    advances = {demand.key: picometres(demand.advance_mm) for demand in rack.demands}
    both = {key: sum(cuts.get((board, key), 0) for board in keys) for key in advances}
    both = {key: count for key, count in both.items() if count}
    runs_now = sum((board, key) in cuts for board in keys for key in both)
    if len(both) > MOST_SHARED or runs_now <= len(both):
        return None
    found = _split(both, advances, [picometres(rack.boards[place].usable_mm) + HAIR_PM for place in (one, other)])
    if found is None or len(both) + (_splits(found, both) > 0) >= runs_now:
        return None
    better = {pair: count for pair, count in cuts.items() if pair[0] not in keys}
    for key, count in both.items():
        better |= {(keys[0], key): found[key]} if found[key] else {}
        better |= {(keys[1], key): count - found[key]} if found[key] < count else {}
    return better


def _splits(found: dict[str, int], both: dict[str, int]) -> int:
    return sum(0 < found[key] < count for key, count in both.items())


def _split(both: dict[str, int], advances: dict[str, int], rooms: list[int]) -> dict[str, int] | None:
    """How many of each the first board gives so that at most one thickness comes from both; none at all if it can."""
    total = sum(count * advances[key] for key, count in both.items())
    best = None
    for whole in range(1 << len(both)):
        found = {key: count if whole >> bit & 1 else 0 for bit, (key, count) in enumerate(both.items())}
        used = sum(count * advances[key] for key, count in found.items())
        if used <= rooms[0] and total - used <= rooms[1]:
            return found
        if best is None and used <= rooms[0]:
            best = _one_split(found, both, advances, rooms, total - used)
    return best


def _one_split(
    found: dict[str, int], both: dict[str, int], advances: dict[str, int], rooms: list[int], other_used: int
) -> dict[str, int] | None:
    """Move some slices of one thickness from the second board to the first, so that both fit."""
    left = rooms[0] - sum(count * advances[key] for key, count in found.items())
    for key, count in both.items():
        if found[key] == 0:
            moved = max(0, -(-(other_used - rooms[1]) // advances[key]))
            if 0 < moved < count and moved * advances[key] <= left:
                return {**found, key: moved}
    return None
