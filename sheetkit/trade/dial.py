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


@dataclass(frozen=True, slots=True)
class DialSetting:
    """One setting of the dial, and what to expect of it.

    Attributes:
        set_mm: thickness to set [mm]
        advance_mm: how far the fence moves, the set thickness and the kerf allowance, a whole number of divisions [mm]
        turns: whole turns of that advance [1]
        divisions: further divisions after the whole turns [1]
        slice_mm: thickness of the slice to expect [mm]
    """

    set_mm: float
    advance_mm: float
    turns: int
    divisions: int
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


def expected_slice(set_mm: float, offset_mm: float) -> float:
    """Find the thickness to expect of a slice at one setting.

    Args:
        set_mm: thickness set, > 0 [mm]
        offset_mm: kerf allowance less true kerf, as learned from the readings [mm]

    Source: own derivation: advance = set + allowance, slice = advance - true kerf, so slice = set + offset.

    >>> expected_slice(set_mm=0.5, offset_mm=0.06)
    0.56
    """
    return total_mm([set_mm, offset_mm])


def setting_for_slice(wanted_slice_mm: float, offset_mm: float, kerf_allowance_mm: float, dial: Dial) -> DialSetting:
    """Find the setting whose advance is a whole number of divisions and whose slice is nearest to the one wanted.

    Args:
        wanted_slice_mm: thickness the slice should have as sawn, > 0 [mm]
        offset_mm: kerf allowance less true kerf, as learned from the readings [mm]
        kerf_allowance_mm: what is dialled for the blade beside the set thickness, >= 0 [mm]
        dial: the dial's division and its travel per turn

    Raises:
        ValueError: if even one division would not bring the fence forward.

    Source: own derivation: advance = slice + true kerf = slice - offset + allowance, rounded to a division.

    >>> setting_for_slice(1.0, offset_mm=0.06, kerf_allowance_mm=1.2, dial=Dial(0.05, 1.0))
    DialSetting(set_mm=0.95, advance_mm=2.15, turns=2, divisions=3, slice_mm=1.01)
    """
    marks = nearest_multiple(total_mm([wanted_slice_mm, -offset_mm, kerf_allowance_mm]), dial.division_mm)
    if marks <= 0:
        raise ValueError(f"a slice of {wanted_slice_mm} mm at an offset of {offset_mm} mm leaves nothing to dial")
    turns, divisions = turns_and_divisions(marks, dial)
    advance_mm = _marks_mm(marks, dial)
    set_mm = total_mm([advance_mm, -kerf_allowance_mm])
    return DialSetting(set_mm, advance_mm, turns, divisions, expected_slice(set_mm, offset_mm))


def _marks_mm(marks: int, dial: Dial) -> float:
    return millimetres(marks * picometres(dial.division_mm))
