"""What the shop's own record says: numbers of slices, never used twice, and how thin it has sawn so far."""

import re
from collections.abc import Iterable, Sequence


def next_slice_number(board: str, slices: Iterable[str]) -> int:
    """Find the number of the next slice of a board; numbers of rejected slices are not used again.

    Args:
        board: name of the board
        slices: names of all slices ever sawn, the rejected ones too

    Source: common practice, no source: a gap in the numbers shows where a slice was rejected.

    >>> next_slice_number("ASH-2", ["ASH-2-1", "ASH-2-2", "ASH-21-7"])
    3
    """
    pattern = re.compile(rf"{re.escape(board.strip())}\s*-\s*(\d+)", re.IGNORECASE)
    numbers = [int(found.group(1)) for name in slices if (found := pattern.fullmatch(name.strip()))]
    return max(numbers, default=0) + 1


def slice_names(board: str, slices: Iterable[str], count: int) -> list[str]:
    """Name the next slices of a board, in the order to saw them.

    Args:
        board: name of the board
        slices: names of all slices ever sawn, the rejected ones too
        count: how many names are wanted, >= 0 [1]

    Source: common practice, no source: the board's name and the slice's number.

    >>> slice_names("ASH-2", ["ASH-2-4"], 2)
    ['ASH-2-5', 'ASH-2-6']
    """
    first = next_slice_number(board, slices)
    return [f"{board.strip()}-{number}" for number in range(first, first + count)]


def thinnest_kept(thickness_mm: Sequence[float], kept: Sequence[bool]) -> float | None:
    """Find the thinnest slice that was kept: the only evidence of how thin this saw can go.

    Args:
        thickness_mm: mean thickness of each slice on record [mm]
        kept: whether each of them was kept

    Returns:
        The thickness [mm]; none when no slice was kept yet.

    Raises:
        ValueError: if there are not as many of one as of the other.

    Source: common practice, no source: a target below it is a warning, not an error.

    >>> thinnest_kept([0.5, 0.3, 0.4], [True, False, True])
    0.4
    """
    if len(thickness_mm) != len(kept):
        raise ValueError(f"{len(thickness_mm)} slices but {len(kept)} decisions were given; wanted one for each")
    return min((each for each, good in zip(thickness_mm, kept, strict=True) if good), default=None)
