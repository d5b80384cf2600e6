"""What a block gives: slices, sawdust, remnant, and the sizes before and after sanding and trimming.

The fence advances by ``set thickness + kerf allowance``; the slice that comes off measures ``advance - true kerf``.
What is used up is the advance, whatever came off.
"""

from collections.abc import Sequence

from sheetkit.trade.exact import floor_of_ratio, millimetres, picometres, total_mm


def usable_thickness(thickness_mm: float, truing_mm: float, held_mm: float) -> float:
    """Find the thickness that can be sawn into slices; never below zero.

    Args:
        thickness_mm: thickness of the board as it stands on the rack, >= 0 [mm]
        truing_mm: what the first truing pass takes off, >= 0 [mm]
        held_mm: what must stay on the carrier or in the clamp, >= 0 [mm]

    Source: own derivation: what is neither planed away nor held can be sawn.

    >>> usable_thickness(thickness_mm=40.0, truing_mm=1.2, held_mm=6.4)
    32.4
    """
    return max(0.0, total_mm([thickness_mm, -truing_mm, -held_mm]))


def slices_from_usable(usable_mm: float, advance_mm: float) -> int:
    """Count the slices that come out of a usable thickness at one advance of the fence.

    Args:
        usable_mm: thickness that can be sawn, truing and held wood already taken off [mm]
        advance_mm: how far the fence moves per slice, > 0 [mm]

    Raises:
        ValueError: if the advance is not greater than zero.

    Source: own derivation: what is used up per slice is the advance, so n * advance <= usable.

    >>> slices_from_usable(usable_mm=31.75, advance_mm=2.7305)
    11
    """
    return max(0, floor_of_ratio(usable_mm, advance_mm))


def remaining_after_advances(usable_mm: float, advances_mm: Sequence[float]) -> float:
    """Find the usable thickness left after the advances already made; never below zero.

    Args:
        usable_mm: thickness that could be sawn before the first of these cuts, >= 0 [mm]
        advances_mm: how far the fence moved for each slice sawn, good or bad, each >= 0 [mm]

    Source: own derivation: what is used up is the advance, whatever came off.

    >>> remaining_after_advances(usable_mm=30.0, advances_mm=[2.5, 2.5, 2.0])
    23.0
    """
    return max(0.0, total_mm([usable_mm, *(-advance for advance in advances_mm)]))


def sawn_target(finished_mm: float, sanding_per_face_mm: float, faces: int = 2) -> float:
    """Find the thickness to saw so that sanding leaves the finished one.

    Args:
        finished_mm: thickness wanted in the panel, > 0 [mm]
        sanding_per_face_mm: what is sanded off one face, >= 0 [mm]
        faces: number of faces sanded, 0 to 2 [1]

    Source: own derivation: finished + faces * sanding.

    >>> sawn_target(finished_mm=1.0, sanding_per_face_mm=0.15)
    1.3
    """
    return millimetres(picometres(finished_mm) + faces * picometres(sanding_per_face_mm))
