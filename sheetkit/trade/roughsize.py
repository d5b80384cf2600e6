"""Rough sizes: what a board must measure before it is sawn, and what length and width it gives."""

from sheetkit.trade.exact import HAIR_PM, floor_of_ratio, picometres, total_mm


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


def pieces_per_slice(
    board_length_mm: float,
    board_width_mm: float,
    rough_length_mm: float,
    rough_width_mm: float,
    *,
    crosscut_kerf_mm: float = 0.0,
) -> int:
    """Count the layers that one slice gives when it is crosscut; none when the board is too narrow.

    Args:
        board_length_mm: length of the board, and so of its slices, >= 0 [mm]
        board_width_mm: width of the board, and so of its slices, >= 0 [mm]
        rough_length_mm: length of one layer before trimming, > 0 [mm]
        rough_width_mm: width of one layer before trimming, > 0 [mm]
        crosscut_kerf_mm: wood lost at each cut between two layers, >= 0 [mm]

    Raises:
        ValueError: if a rough size and the kerf together are not greater than zero.

    Source: own derivation: n layers take n - 1 cuts between them, so n * rough + (n - 1) * kerf <= length.

    >>> pieces_per_slice(920.0, 60.0, rough_length_mm=300.0, rough_width_mm=55.0, crosscut_kerf_mm=3.0)
    3
    >>> pieces_per_slice(920.0, 50.0, rough_length_mm=300.0, rough_width_mm=55.0)
    0
    """
    along = _pieces_in(board_length_mm, rough_length_mm, crosscut_kerf_mm)
    across = _pieces_in(board_width_mm, rough_width_mm, crosscut_kerf_mm)
    return along * min(across, 1)


def _pieces_in(length_mm: float, piece_mm: float, kerf_mm: float) -> int:
    return max(0, floor_of_ratio(total_mm([length_mm, kerf_mm]), total_mm([piece_mm, kerf_mm])))
