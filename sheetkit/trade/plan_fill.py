"""Plans made quickly by filling boards one after another: to start from, and to have few settings of the dial."""

from collections.abc import Iterator, Sequence
from itertools import islice, permutations
from math import ceil

from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import Cuts

MOST_ORDERS = 24
LONGEST_ROOM = 200_000
MANY_BOARDS = 100
SHUFFLE_PRIME = 997
SHUFFLES = (101, 211, 307, 401, 503, 601, 701, 809, 907, 53, 151, 251)


def quick_plans(rack: Rack, boards: Sequence[int]) -> Iterator[Cuts]:
    """Fill the boards in several orders, thickness after thickness and board after board.

    Args:
        rack: boards and demands of one species
        boards: places of the boards that may be sawn [1]

    Source: first-fit decreasing, Johnson (1973), and its variants with other orders.
    """
    demands = sorted(range(len(rack.demands)), key=lambda demand: -rack.advance[demand])
    many = len(boards) > MANY_BOARDS
    for order in _board_orders(rack, boards):
        yield rack.without_needless(board_after_board(rack, order, demands))
        for mixed in (True, False):
            yield rack.without_needless(as_full_as_can_be(rack, order, mixed))
        for thickness in islice(permutations(demands), MOST_ORDERS // 8 if many else MOST_ORDERS):
            yield rack.without_needless(thickness_after_thickness(rack, order, thickness))
    for order in islice(_shuffled(boards), 1 if many else None):
        yield rack.without_needless(as_full_as_can_be(rack, order, mixed=True))


def first_fit(rack: Rack) -> Cuts:
    """Fill the boards one after another, thick slices first: a plan to start from.

    Args:
        rack: boards and demands of one species

    Source: first-fit decreasing, Johnson (1973), as told in Garey & Johnson, Computers and Intractability (1979), 6.1.

    >>> from sheetkit.trade.plan_model import Board, Demand
    >>> rack = Rack.of([Board("A", "ash", 5.0, {"P": 1})], [Demand("d", "ash", "P", 1.0, 1.0, 2.0, 9)])
    >>> first_fit(rack)
    {('A', 'd'): 2}
    """
    demands = sorted(range(len(rack.demands)), key=lambda demand: -rack.advance[demand])
    order = _board_orders(rack, range(len(rack.boards)))[0]
    return rack.without_needless(board_after_board(rack, order, demands))


def board_after_board(rack: Rack, boards: Sequence[int], demands: Sequence[int]) -> Cuts:
    """Fill each board with the demands in turn.

    Args:
        rack: boards and demands of one species
        boards: places of the boards in the order to fill them [1]
        demands: places of the demands in the order to serve them [1]

    Source: first-fit decreasing, Johnson (1973), with any order of boards and demands.
    """
    return _filled(rack, [(board, demand) for board in boards for demand in demands])


def thickness_after_thickness(rack: Rack, boards: Sequence[int], demands: Sequence[int]) -> Cuts:
    """Serve each demand from the boards in turn: few settings of the dial.

    Args:
        rack: boards and demands of one species
        boards: places of the boards in the order to fill them [1]
        demands: places of the demands in the order to serve them [1]

    Source: north-west corner rule of the transportation problem, Dantzig (1951): boards + settings - 1 runs at most.
    """
    return _filled(rack, [(board, demand) for demand in demands for board in boards])


def as_full_as_can_be(rack: Rack, boards: Sequence[int], mixed: bool) -> Cuts:
    """Fill each board so that least is left of it.

    Args:
        rack: boards and demands of one species
        boards: places of the boards in the order to fill them [1]
        mixed: whether each board gets its share of every thickness, so that the last boards still have a choice;
            otherwise thick slices come first

    Source: subset sum by dynamic programming, Bellman (1957).
    """
    left = {demand: each.pieces for demand, each in enumerate(rack.demands)}
    ahead = {demand: sum(rack.room[each] * rack.pieces(each, demand) for each in boards) for demand in left}
    cuts: Cuts = {}
    for board in boards:
        if not rack.exact or rack.room[board] > LONGEST_ROOM:
            return {}
        given = _share(rack, board, ahead, left) if mixed else dict.fromkeys(left, 0)
        after = {demand: count - given[demand] * rack.pieces(board, demand) for demand, count in left.items()}
        room = int(rack.room[board] - sum(count * rack.advance[demand] for demand, count in given.items()))
        for demand, count in _fullest(rack, board, room, after).items():
            given[demand] += count
        for demand, count in given.items():
            ahead[demand] -= rack.room[board] * rack.pieces(board, demand)
            if count:
                cuts[rack.boards[board].key, rack.demands[demand].key] = count
                left[demand] -= count * rack.pieces(board, demand)
    return cuts


def _share(rack: Rack, board: int, ahead: dict[int, float], left: dict[int, int]) -> dict[int, int]:
    """What a board gives if all boards ahead give in proportion, one slice less of each thickness."""
    found = dict.fromkeys(left, 0)
    for demand, count in left.items():
        if ahead[demand] > 0 and rack.pieces(board, demand) > 0:
            found[demand] = max(0, int(max(0, count) * rack.room[board] / ahead[demand]) - 1)
    while sum(count * rack.advance[demand] for demand, count in found.items()) > rack.room[board]:
        found = {demand: count // 2 for demand, count in found.items()}
    return found


def _board_orders(rack: Rack, boards: Sequence[int]) -> list[list[int]]:
    first = sorted(boards, key=lambda place: (not rack.boards[place].use_first, not rack.boards[place].started))

    def by(sign: float) -> list[int]:
        groups = {place: (not rack.boards[place].use_first, not rack.boards[place].started) for place in first}
        return sorted(first, key=lambda place: (groups[place], sign * rack.room[place]))

    return [by(1.0), by(-1.0)]


def _shuffled(boards: Sequence[int]) -> Iterator[list[int]]:
    """The boards in some further orders, the same at every call."""
    order, count = list(boards), len(boards)
    for step in SHUFFLES:
        if count > 2:
            order = sorted(order, key=lambda place: (place + 1) * step % SHUFFLE_PRIME)
            yield order


def _filled(rack: Rack, turns: Sequence[tuple[int, int]]) -> Cuts:
    left = [demand.pieces for demand in rack.demands]
    room = list(rack.room)
    cuts: Cuts = {}
    for board, demand in turns:
        pieces = rack.pieces(board, demand)
        if pieces <= 0 or left[demand] <= 0:
            continue
        count = min(int(room[board] // rack.advance[demand]), ceil(left[demand] / pieces))
        if count > 0:
            cuts[rack.boards[board].key, rack.demands[demand].key] = count
            room[board] -= count * rack.advance[demand]
            left[demand] -= count * pieces
    return cuts


def _fullest(rack: Rack, board: int, room: int, left: dict[int, int]) -> dict[int, int]:
    """The slices that leave least of a room: bit k of a mask tells whether k grid steps can be used up exactly."""
    within = (1 << (room + 1)) - 1
    masks, chunks = [1], []
    for demand in sorted(left, key=lambda each: -rack.advance[each]):
        pieces = rack.pieces(board, demand)
        if pieces <= 0:
            continue
        wanted = ceil(max(0, left[demand]) / pieces)
        for count in _in_powers(min(wanted, int(room // rack.advance[demand]))):
            masks.append((masks[-1] | masks[-1] << count * int(rack.advance[demand])) & within)
            chunks.append((demand, count))
    used, found = masks[-1].bit_length() - 1, dict.fromkeys(left, 0)
    for mask, (demand, count) in zip(reversed(masks[:-1]), reversed(chunks), strict=True):
        if not mask >> used & 1:
            used -= count * int(rack.advance[demand])
            found[demand] += count
    return {demand: count for demand, count in found.items() if count}


def _in_powers(count: int) -> list[int]:
    """Parts that add up to every number up to a count: 1, 2, 4, ... and the rest."""
    parts, power = [], 1
    while count > 0:
        parts.append(min(power, count))
        count -= parts[-1]
        power *= 2
    return parts
