"""Where the dial must stand: absolute positions from the trued face, each rounded to a division on its own.

Rounding each step would add its error up pass after pass; rounding each position leaves every one within half a
division of where it should be, and lets neighbouring slices differ by a division. Both are shown.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.trade.exact import millimetres, nearest_multiple, picometres, total_mm


@dataclass(frozen=True, slots=True)
class Dial:
    """The dial that indexes the fence or the carriage.

    Attributes:
        division_mm: travel of the smallest mark, > 0 [mm]
        travel_per_turn_mm: travel of one full turn, a whole number of divisions [mm]

    Raises:
        ValueError: if a turn is not a whole number of divisions.
    """

    division_mm: float
    travel_per_turn_mm: float

    def __post_init__(self) -> None:
        division_pm, turn_pm = picometres(self.division_mm), picometres(self.travel_per_turn_mm)
        if division_pm <= 0 or turn_pm <= 0 or turn_pm % division_pm:
            raise ValueError(
                f"a turn of {self.travel_per_turn_mm} mm is not a whole number of divisions of {self.division_mm} mm"
            )

    @property
    def divisions_per_turn(self) -> int:
        """Number of divisions on the dial [1]."""
        return picometres(self.travel_per_turn_mm) // picometres(self.division_mm)


@dataclass(frozen=True, slots=True)
class DialPosition:
    """Where the dial stands for one pass, and what comes off.

    Attributes:
        pass_number: counted from 1 at the trued face [1]
        wanted_mm: position before rounding [mm]
        position_mm: position on a division, counted from the trued face [mm]
        turns: whole turns from the trued face [1]
        divisions: further divisions after the whole turns [1]
        advance_mm: how far the fence really moves for this pass [mm]
        slice_mm: thickness of the slice that this rounding gives [mm]
    """

    pass_number: int
    wanted_mm: float
    position_mm: float
    turns: int
    divisions: int
    advance_mm: float
    slice_mm: float


def dial_positions(advances_mm: Sequence[float], true_kerf_mm: Sequence[float], dial: Dial) -> list[DialPosition]:
    """Find the absolute dial position of each pass, each rounded to a division on its own.

    Args:
        advances_mm: how far the fence should move for each pass, set thickness and kerf allowance, each > 0 [mm]
        true_kerf_mm: what the blade really takes at each of these passes, in the same order [mm]
        dial: the dial's division and its travel per turn

    Raises:
        ValueError: if there are not as many kerfs as advances.

    Source: own derivation: position k = sum of the first k advances, rounded; the slice is the difference of two
    neighbouring positions less the true kerf.

    >>> tenth = Dial(division_mm=0.1, travel_per_turn_mm=1.0)
    >>> [(p.position_mm, p.turns, p.divisions, p.slice_mm) for p in dial_positions([1.25, 1.25], [1.0, 1.0], tenth)]
    [(1.3, 1, 3, 0.3), (2.5, 2, 5, 0.2)]
    """
    if len(advances_mm) != len(true_kerf_mm):
        raise ValueError(f"{len(advances_mm)} advances but {len(true_kerf_mm)} kerfs were given; wanted one for each")
    positions: list[DialPosition] = []
    wanted_pm = marks_before = 0
    for number, (advance, kerf) in enumerate(zip(advances_mm, true_kerf_mm, strict=True), start=1):
        wanted_pm += picometres(advance)
        marks = nearest_multiple(millimetres(wanted_pm), dial.division_mm)
        turns, divisions = turns_and_divisions(marks, dial)
        moved_mm = _marks_mm(marks - marks_before, dial)
        slice_mm = total_mm([moved_mm, -kerf])
        positions.append(
            DialPosition(number, millimetres(wanted_pm), _marks_mm(marks, dial), turns, divisions, moved_mm, slice_mm)
        )
        marks_before = marks
    return positions


def turns_and_divisions(marks: int, dial: Dial) -> tuple[int, int]:
    """Split a number of divisions into whole turns and the divisions after them.

    Args:
        marks: number of divisions from the trued face, >= 0 [1]
        dial: the dial's division and its travel per turn

    Source: own derivation: integer division by the divisions of one turn.

    >>> turns_and_divisions(137, Dial(division_mm=0.02, travel_per_turn_mm=1.0))
    (2, 37)
    """
    return divmod(marks, dial.divisions_per_turn)


def _marks_mm(marks: int, dial: Dial) -> float:
    return millimetres(marks * picometres(dial.division_mm))
