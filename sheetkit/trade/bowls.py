"""Rings for a bowl, sawn at a tilt out of a flat laminated board and stacked.

Tilt is measured from the vertical of the board: 0 degrees is a square cut, 90 would lie flat.
*Spacing* is the distance between the tops of neighbouring cuts on one board, *face* what is left of it beside the kerf,
*wall* what is left square to the slope, and *shift* how far a cut has moved inward at the bottom of the board.
The cone runs on without a ledge when the step from ring to ring equals the shift.
"""

from math import asin, degrees

from sheetkit.trade.exact import ceiling_of_ratio, floor_of_ratio, nearest_multiple, total_mm
from sheetkit.trade.wish import Answer


def least_tilt(wall_mm: float, kerf_mm: float, board_mm: float, boards: int = 1) -> Answer:
    """Find the steepest side, the least tilt in degrees, at which rings that run on still have the wall.

    Args:
        wall_mm: wall wanted as sawn, square to the slope, > 0 [mm]
        kerf_mm: kerf, square to the blade, >= 0 [mm]
        board_mm: measured thickness of a board, > 0 [mm]
        boards: how many boards give rings in turn, >= 1 [1]

    Source: own derivation: m * H * sin(tilt) - kerf = wall, so sin(tilt) = (wall + kerf) / (m * H); none from 1 up.

    >>> round(least_tilt(wall_mm=8.0, kerf_mm=4.5, board_mm=25.0).demand(), 9)
    30.0
    >>> least_tilt(wall_mm=15.0, kerf_mm=1.0, board_mm=12.0).sentence()
    'no tilt leaves a wall of 15.000 mm; rings of this board stay below 11.000 mm, or take them from 2 boards in turn'
    """
    needed = total_mm([wall_mm, kerf_mm])
    if needed >= boards * board_mm:
        more = floor_of_ratio(needed, board_mm) + 1
        limit = "no tilt leaves a wall of {}; rings of this board stay below {}"
        reason = f"{limit}, or take them from {more} boards in turn"
        return Answer(False, 90.0, reason, (wall_mm, total_mm([boards * board_mm, -kerf_mm])))
    return Answer(True, degrees(asin(needed / (boards * board_mm))))


def settable_tilt(tilt_deg: float, division_deg: float) -> float:
    """Find the nearest tilt that the saw can be set to; halfway goes to the larger.

    Args:
        tilt_deg: tilt wanted, >= 0 [deg]
        division_deg: step of the tilt scale, 1 for whole degrees, > 0 [deg]

    Source: rounding to a whole number of steps.

    >>> settable_tilt(tilt_deg=26.565, division_deg=0.5)
    26.5
    """
    return nearest_multiple(tilt_deg, division_deg) * division_deg


def stack_height(rings: int, board_mm: float, glue_mm: float = 0.0, flattening_mm: float = 0.0) -> float:
    """Find the height of the rings stacked on the base disc.

    Args:
        rings: number of rings above the base, >= 0 [1]
        board_mm: measured thickness of the board, > 0 [mm]
        glue_mm: thickness of the joint between rings, >= 0 [mm]
        flattening_mm: what flattening takes off each ring and the base, both faces together, >= 0 [mm]

    Source: own derivation: rings + 1 pieces with a joint on every ring.

    >>> stack_height(rings=5, board_mm=18.0, glue_mm=0.1)
    108.5
    """
    return total_mm([*[board_mm, -flattening_mm] * (rings + 1), *[glue_mm] * rings])


def half_ring_oval(kerf_mm: float, cleaning_mm: float) -> float:
    """Find how much shorter across the joint a ring is that was sawn through the middle and joined again.

    Args:
        kerf_mm: kerf of the cut through the middle, >= 0 [mm]
        cleaning_mm: what cleaning takes off each of the two faces, >= 0 [mm]

    Source: own derivation: kerf + 2 * cleaning; allow it in the outside cut, or draw the circles after jointing.

    >>> half_ring_oval(kerf_mm=1.0, cleaning_mm=0.2)
    1.4
    """
    return total_mm([kerf_mm, cleaning_mm, cleaning_mm])


def panels_side_by_side(blank_diameter_mm: float, stack_mm: float, joint_mm: float = 0.0) -> int:
    """Count the panels that must be glued side by side before the blank fits across them.

    Args:
        blank_diameter_mm: diameter of the blank, > 0 [mm]
        stack_mm: thickness of one panel through its layers, > 0 [mm]
        joint_mm: thickness of the joint between panels, >= 0 [mm]

    Source: own derivation: m * stack + (m - 1) * joint >= diameter.

    >>> panels_side_by_side(blank_diameter_mm=292.0, stack_mm=95.0, joint_mm=0.1)
    4
    """
    return max(1, ceiling_of_ratio(total_mm([blank_diameter_mm, joint_mm]), total_mm([stack_mm, joint_mm])))
