"""What a block gives: slices, sawdust, remnant, and the sizes before and after sanding and trimming.

The fence advances by ``set thickness + kerf allowance``; the slice that comes off measures ``advance - true kerf``.
What is used up is the advance, whatever came off.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from sheetkit.trade.exact import HAIR_PM, floor_of_ratio, millimetres, picometres, total_mm


class RemnantUse(StrEnum):
    """What the last piece is good for, in the maker's words."""

    NOTHING = "nothing is left"
    SLICE = "itself a slice"
    RESTOCK = "back to stock"
    SCRAP = "scrap"


@dataclass(frozen=True, slots=True)
class BlockBalance:
    """Where the thickness of a block goes; the three parts add up to the block.

    Attributes:
        parts_mm: thickness that became slices [mm]
        kerf_mm: thickness that became sawdust [mm]
        waste_mm: thickness taken off by truing, held back, or left over [mm]
    """

    parts_mm: float
    kerf_mm: float
    waste_mm: float


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


def slices_from_block(
    block_mm: float, slice_mm: float, kerf_mm: float, held_mm: float, last_is_slice: bool = False
) -> int:
    """Count the slices a block gives when every slice is freed by its own cut.

    Args:
        block_mm: thickness left after the truing pass, >= 0 [mm]
        slice_mm: thickness of one slice as sawn, > 0 [mm]
        kerf_mm: wood the blade removes per cut, >= 0 [mm]
        held_mm: what must stay on the carrier or in the clamp, >= 0 [mm]
        last_is_slice: whether the piece left in the clamp counts as a slice too, if it is thick enough;
            one cut fewer is then needed than there are slices

    Raises:
        ValueError: if slice and kerf together are not greater than zero.

    Source: own derivation: n slices take n cuts, so n * (slice + kerf) + held <= block; with the last piece a slice,
    n slices take n - 1 cuts, so (n - 1) * (slice + kerf) + max(slice, held) <= block.

    >>> slices_from_block(block_mm=38.1, slice_mm=1.5875, kerf_mm=1.143, held_mm=6.35)
    11
    >>> slices_from_block(block_mm=50.8, slice_mm=1.5875, kerf_mm=1.143, held_mm=0.0, last_is_slice=True)
    19
    """
    advance_mm = total_mm([slice_mm, kerf_mm])
    if last_is_slice:
        return max(0, 1 + floor_of_ratio(total_mm([block_mm, -max(slice_mm, held_mm)]), advance_mm))
    return slices_from_usable(total_mm([block_mm, -held_mm]), advance_mm)


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


def remnant_thickness(block_mm: float, advance_mm: float, cuts: int) -> float:
    """Find what stands in the clamp after a number of equal cuts.

    Args:
        block_mm: thickness before the first cut, >= 0 [mm]
        advance_mm: how far the fence moves per cut, > 0 [mm]
        cuts: number of cuts made, >= 0 [1]

    Source: own derivation: block - cuts * advance.

    >>> remnant_thickness(block_mm=38.1, advance_mm=2.7305, cuts=11)
    8.0645
    """
    return millimetres(picometres(block_mm) - cuts * picometres(advance_mm))


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


def remnant_use(remnant_mm: float, slice_mm: float, tolerance_mm: float, restock_mm: float) -> RemnantUse:
    """Say what the last piece is good for.

    Args:
        remnant_mm: thickness of the piece left after the last cut, >= 0 [mm]
        slice_mm: thickness wanted of a slice, > 0 [mm]
        tolerance_mm: how far a slice may be from it either way, >= 0 [mm]
        restock_mm: least thickness worth keeping as a board, > 0 [mm]

    Source: own derivation; the least thickness worth keeping is the maker's own.

    >>> remnant_use(remnant_mm=1.6, slice_mm=1.5875, tolerance_mm=0.05, restock_mm=6.0).value
    'itself a slice'
    """
    remnant_pm = picometres(remnant_mm)
    if remnant_pm <= HAIR_PM:
        return RemnantUse.NOTHING
    if abs(remnant_pm - picometres(slice_mm)) <= picometres(tolerance_mm) + HAIR_PM:
        return RemnantUse.SLICE
    return RemnantUse.RESTOCK if remnant_pm + HAIR_PM >= picometres(restock_mm) else RemnantUse.SCRAP


def block_balance(block_mm: float, slices_mm: Sequence[float], advances_mm: Sequence[float]) -> BlockBalance:
    """Split the thickness of a block into slices, sawdust and waste; the three add up to the block.

    Args:
        block_mm: thickness of the board before anything was taken off, >= 0 [mm]
        slices_mm: thickness of each slice that came off, each > 0 [mm]
        advances_mm: how far the fence moved for each of them, in the same order [mm]

    Raises:
        ValueError: if there are not as many advances as slices.

    Source: own derivation: block = slices + kerf + waste, and advance = slice + kerf.

    >>> block_balance(10.0, slices_mm=[1.5, 1.5], advances_mm=[2.5, 2.5])
    BlockBalance(parts_mm=3.0, kerf_mm=2.0, waste_mm=5.0)
    """
    _same_number(slices_mm, advances_mm)
    parts = sum(picometres(length) for length in slices_mm)
    advanced = sum(picometres(length) for length in advances_mm)
    return BlockBalance(
        parts_mm=millimetres(parts),
        kerf_mm=millimetres(advanced - parts),
        waste_mm=millimetres(picometres(block_mm) - advanced),
    )


def slice_yield(slice_mm: float, kerf_mm: float) -> float:
    """Find the share of what the saw consumes that comes off as a slice.

    Args:
        slice_mm: thickness of the slice, > 0 [mm]
        kerf_mm: wood the blade removes per cut, >= 0 [mm]

    Source: own derivation: slice / (slice + kerf).

    >>> round(slice_yield(slice_mm=0.508, kerf_mm=0.889), 4)
    0.3636
    """
    return slice_mm / (slice_mm + kerf_mm)


def true_kerf_from_block(before_mm: float, after_mm: float, slices_mm: Sequence[float]) -> float:
    """Find the kerf the blade really took, from the block before and after and the slices that came off.

    Args:
        before_mm: thickness of the block before the first of these cuts, > 0 [mm]
        after_mm: thickness of the block after the last of them, >= 0 [mm]
        slices_mm: thickness of each slice, one per cut, at least one [mm]

    Raises:
        ValueError: if there is no slice.

    Source: own derivation: before - after = slices + cuts * kerf.

    >>> round(true_kerf_from_block(before_mm=30.0, after_mm=20.0, slices_mm=[1.5, 1.5, 1.6, 1.4]), 6)
    1.0
    """
    if not slices_mm:
        raise ValueError("no slice was given; the kerf follows from at least one")
    return total_mm([before_mm, -after_mm, *(-length for length in slices_mm)]) / len(slices_mm)


def true_kerf_from_advances(advances_mm: Sequence[float], slices_mm: Sequence[float]) -> float:
    """Find the kerf the blade really took, from the advances of the fence and the slices that came off.

    Args:
        advances_mm: how far the fence moved for each slice, at least one [mm]
        slices_mm: thickness of each slice, in the same order [mm]

    Raises:
        ValueError: if there is no slice, or not as many advances as slices.

    Source: own derivation: advance = slice + kerf, summed over the cuts.

    >>> round(true_kerf_from_advances(advances_mm=[2.5, 2.5], slices_mm=[1.5, 1.6]), 6)
    0.95
    """
    _same_number(slices_mm, advances_mm)
    return true_kerf_from_block(total_mm(tuple(advances_mm)), 0.0, slices_mm)


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


def _same_number(slices_mm: Sequence[float], advances_mm: Sequence[float]) -> None:
    if len(slices_mm) != len(advances_mm):
        raise ValueError(f"{len(slices_mm)} slices but {len(advances_mm)} advances were given; wanted one for each")
