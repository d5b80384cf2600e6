"""True kerf: from the fence's advances, and from the block before and after, the two compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

TWO_SIDED_95 = 1.959963984540054
"""Standard errors on either side that hold 95 % of a normal spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kerf:
    """A true kerf and how sure it is.

    Attributes:
        kerf_mm: wood that the blade removes per cut [mm]
        uncertainty_mm: standard uncertainty [mm]
        cuts: how many cuts it rests on [-]
    """

    kerf_mm: float
    uncertainty_mm: float
    cuts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two ways to the same kerf.

    Attributes:
        difference_mm: by advances less by block [mm]
        uncertainty_mm: standard uncertainty of the difference [mm]
        agree: they differ by no more than their uncertainty explains
    """

    difference_mm: float
    uncertainty_mm: float
    agree: bool

    @property
    def words(self) -> str:
        """The finding as a sentence."""
        if self.agree:
            return "The kerf from the dial and the kerf from the block agree."
        cause = (
            "the fence moves more than the dial shows, or slices were lost from the count"
            if self.difference_mm < 0
            else "the fence moves less than the dial shows, or wood was also taken off otherwise than by the blade"
        )
        return f"The kerf from the dial and the kerf from the block do not agree: {cause}."


def kerf_from_advances(advances_mm: Sequence[float], slices_mm: Sequence[float], slice_error_mm: float = 0.0) -> Kerf:
    """Kerf per cut: what the fence advanced less what came off.

    Args:
        advances_mm: set thickness + kerf allowance of each cut [mm]
        slices_mm: mean thickness of the slice of each cut, in the same order [mm]
        slice_error_mm: standard uncertainty of one slice's mean, used where the scatter is smaller [mm]

    Source: own derivation: slice = advance - kerf; the uncertainty is the scatter's standard error.

    >>> round(kerf_from_advances([1.5, 1.5], [0.4, 0.42]).kerf_mm, 3)
    1.09
    """
    lost = [advance - piece for advance, piece in zip(advances_mm, slices_mm, strict=True)]
    count, mean = len(lost), sum(lost) / len(lost)
    scatter = sqrt(sum((one - mean) ** 2 for one in lost) / (count - 1)) if count > 1 else 0.0
    return Kerf(kerf_mm=mean, uncertainty_mm=max(scatter, slice_error_mm) / sqrt(count), cuts=count)


def kerf_from_block(
    before_mm: float,
    after_mm: float,
    slices_mm: Sequence[float],
    *,
    cuts: int | None = None,
    block_error_mm: float = 0.0,
    slice_error_mm: float = 0.0,
) -> Kerf:
    """Kerf per cut: what the block lost less what came off as slices.

    Args:
        before_mm: block before the first of the cuts [mm]
        after_mm: block after the last [mm]
        slices_mm: mean thickness of every slice that came off [mm]
        cuts: how many cuts, where a cut gave no slice; None: one for each slice [-]
        block_error_mm: standard uncertainty of one reading of the block [mm]
        slice_error_mm: standard uncertainty of one slice's mean, independent between slices [mm]

    Source: own derivation: before - after = slices + cuts x kerf (case A03).

    >>> round(kerf_from_block(1.482, 0.702, [0.0412] * 10).kerf_mm, 4)
    0.0368
    """
    number = len(slices_mm) if cuts is None else cuts
    error = hypot(block_error_mm * sqrt(2), slice_error_mm * sqrt(len(slices_mm)))
    return Kerf(kerf_mm=(before_mm - after_mm - sum(slices_mm)) / number, uncertainty_mm=error / number, cuts=number)


def compare(by_advances: Kerf, by_block: Kerf, *, block_error_mm: float, dial_error_mm: float = 0.0) -> Comparison:
    """Compare the two ways to the kerf: a difference tells of a fence that does not move as dialled.

    Args:
        by_advances: from `kerf_from_advances`
        by_block: from `kerf_from_block`, of the same cuts and slices
        block_error_mm: standard uncertainty of one reading of the block [mm]
        dial_error_mm: standard uncertainty of one dial position [mm]

    Source: own derivation: the slices are the same in both and cancel, so the difference is that between the fence's
    whole travel and what the block lost, each from two readings, shared among the cuts.

    >>> two = [Kerf(kerf_mm=mm, uncertainty_mm=0.01, cuts=5) for mm in (1.20, 1.10)]
    >>> compare(*two, block_error_mm=0.02).agree
    False
    """
    difference = by_advances.kerf_mm - by_block.kerf_mm
    uncertainty = sqrt(2) * hypot(block_error_mm, dial_error_mm) / by_block.cuts
    agree = abs(difference) <= TWO_SIDED_95 * uncertainty + 1e-9
    return Comparison(difference_mm=difference, uncertainty_mm=uncertainty, agree=agree)
