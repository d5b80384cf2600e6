"""Rough sizes: what a board must measure before it is sawn, and what length and width it gives."""

from collections.abc import Sequence

from sheetkit.trade.exact import HAIR_PM, floor_of_ratio, picometres, total_mm


def flat_thickness(thickness_mm: float, bow_mm: float) -> float:
    """Find the most that a bowed board can give once both faces are flattened; never below zero.

    Args:
        thickness_mm: thickness of the bowed board, >= 0 [mm]
        bow_mm: how far its middle stands off a straight line from end to end, >= 0 [mm]

    Source: own derivation, for a stiff piece that is not pressed flat: each face loses the bow once in all.

    >>> flat_thickness(thickness_mm=22.0, bow_mm=6.0)
    16.0
    """
    return max(0.0, total_mm([thickness_mm, -bow_mm]))


def rough_size(finished_mm: float, trim_each_side_mm: float) -> float:
    """Find the length or width needed before trimming.

    Args:
        finished_mm: length or width of the finished panel, > 0 [mm]
        trim_each_side_mm: what is trimmed off at each of the two ends or edges, >= 0 [mm]

    Source: own derivation: finished + 2 * trim.

    >>> rough_size(finished_mm=400.0, trim_each_side_mm=25.0)
    450.0
    """
    return total_mm([finished_mm, trim_each_side_mm, trim_each_side_mm])


def size_short_by(have_mm: float, need_mm: float) -> float:
    """Find how much a board is too short or too narrow; zero when it is large enough.

    Args:
        have_mm: length or width of the board, >= 0 [mm]
        need_mm: rough length or width needed, > 0 [mm]

    Source: own derivation: need - have, never below zero; a miss of less than a nanometre is none.

    >>> size_short_by(have_mm=440.0, need_mm=450.0)
    10.0
    """
    return 0.0 if picometres(need_mm) <= picometres(have_mm) + HAIR_PM else total_mm([need_mm, -have_mm])


def ranked_by_least_left_over(have_mm: Sequence[float], need_mm: float) -> list[int]:
    """Rank the boards that are large enough, the one that leaves least first.

    Args:
        have_mm: length or width of each board, each >= 0 [mm]
        need_mm: rough length or width needed, > 0 [mm]

    Returns:
        Places in `have_mm`, counted from 0; boards that are too small are left out, equal ones keep their order.

    Source: own derivation: sorted by have - need.

    >>> ranked_by_least_left_over(have_mm=[900.0, 440.0, 460.0], need_mm=450.0)
    [2, 0]
    """
    enough = [place for place, have in enumerate(have_mm) if size_short_by(have, need_mm) == 0.0]
    return sorted(enough, key=lambda place: have_mm[place])


def pieces_per_slice(
    board_length_mm: float,
    board_width_mm: float,
    rough_length_mm: float,
    rough_width_mm: float,
    *,
    crosscut_kerf_mm: float = 0.0,
    end_trim_mm: float = 0.0,
    may_rip: bool = False,
) -> int:
    """Count the layers that one slice gives when it is crosscut; none when the board is too narrow.

    Args:
        board_length_mm: length of the board, and so of its slices, >= 0 [mm]
        board_width_mm: width of the board, and so of its slices, >= 0 [mm]
        rough_length_mm: length of one layer before trimming, > 0 [mm]
        rough_width_mm: width of one layer before trimming, > 0 [mm]
        crosscut_kerf_mm: wood lost at each cut between two layers, >= 0 [mm]
        end_trim_mm: what is cut off each end of the slice first, >= 0 [mm]
        may_rip: whether a wide slice may also be slit along its length into several layers

    Raises:
        ValueError: if a rough size and the kerf together are not greater than zero.

    Source: own derivation: n layers take n - 1 cuts between them, so n * rough + (n - 1) * kerf <= length.

    >>> pieces_per_slice(920.0, 60.0, rough_length_mm=300.0, rough_width_mm=55.0, crosscut_kerf_mm=3.0, end_trim_mm=5.0)
    3
    >>> pieces_per_slice(920.0, 50.0, rough_length_mm=300.0, rough_width_mm=55.0)
    0
    """
    trimmed = total_mm([board_length_mm, -end_trim_mm, -end_trim_mm])
    along = _pieces_in(trimmed, rough_length_mm, crosscut_kerf_mm)
    across = _pieces_in(board_width_mm, rough_width_mm, crosscut_kerf_mm)
    return along * (across if may_rip else min(across, 1))


def _pieces_in(length_mm: float, piece_mm: float, kerf_mm: float) -> int:
    return max(0, floor_of_ratio(total_mm([length_mm, kerf_mm]), total_mm([piece_mm, kerf_mm])))
