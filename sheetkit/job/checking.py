"""Each measured slice against the layer it is nearest to."""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.job.gauging import Gauging
from sheetkit.job.learning import Learned
from sheetkit.job.measured import SawnSlice
from sheetkit.job.needs import Need, nearest_need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.thickness import Check, Readings, Verdict, judge

SERVES = (Verdict.IN, Verdict.MEAN_ONLY, Verdict.NO_READING)
"""Verdicts with which a slice counts for the panels; a borderline one is not accepted."""


@dataclass(frozen=True, slots=True)
class CheckedSlice:
    """A slice and how it was judged.

    Attributes:
        slice: the slice
        need: the layer it is nearest to; None where no panel wants its wood
        check: the verdict; None where there is nothing to judge it against
    """

    slice: SawnSlice
    need: Need | None
    check: Check | None

    @property
    def serves(self) -> bool:
        """Whether it counts for the panels."""
        return self.slice.row.use and self.check is not None and self.check.verdict in SERVES


def check_slices(
    slices: Sequence[SawnSlice], needs: Sequence[Need], learned: Learned, gauge: Gauging, inputs: Inputs
) -> list[CheckedSlice]:
    """Judge every slice, in the order of sawing."""
    # Of needs that are alike only the first can be the nearest, and jobs of many panels have many.
    first = {(need.species, need.sawn_mm): need for need in reversed(needs)}
    different = [need for need in needs if first[need.species, need.sawn_mm] is need]
    return [_check(item, different, learned, gauge, inputs) for item in slices]


def readings_of(item: SawnSlice) -> Readings:
    """A slice's readings; those of a pressed stack shared among its slices."""
    row, share = item.row, item.row.pressed

    def of_one(reading_mm: float | None) -> float | None:
        return None if reading_mm is None else reading_mm / share

    return Readings(
        near_left_mm=of_one(row.near_left_mm),
        near_right_mm=of_one(row.near_right_mm),
        middle_mm=of_one(row.middle_mm),
        far_left_mm=of_one(row.far_left_mm),
        far_right_mm=of_one(row.far_right_mm),
        others_mm=tuple(reading / share for reading in row.readings_mm),
        pressed=share,
    )


def _check(item: SawnSlice, needs: Sequence[Need], learned: Learned, gauge: Gauging, inputs: Inputs) -> CheckedSlice:
    thickness = _thickness(item, learned)
    if item.species is None or thickness is None:
        return CheckedSlice(item, None, None)
    need = nearest_need(item.species, thickness, needs)
    if need is None:
        return CheckedSlice(item, None, None)
    check = judge(
        readings_of(item),
        need.sawn_mm,
        need.tolerance_mm,
        caliper_mm=inputs.shop.caliper_mm,
        repeatability_mm=gauge.repeatability_mm,
    )
    return CheckedSlice(item, need, check)


def _thickness(item: SawnSlice, learned: Learned) -> float | None:
    """What a slice measures, or should measure by its setting."""
    if item.mean_mm is not None or item.row.set_mm is None or item.species is None:
        return item.mean_mm
    return learned.of(item.species).expected_mm(item.row.set_mm)
