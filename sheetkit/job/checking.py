"""Each measured slice against the layer it is nearest to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetkit.job.gauging import Gauging
from sheetkit.job.learning import Learned
from sheetkit.job.measured import SawnSlice
from sheetkit.job.needs import Need, alike, nearest_need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.thickness import Check, Readings, Verdict, judge

SERVES = (Verdict.IN, Verdict.MEAN_ONLY, Verdict.NO_READING)
"""Verdicts with which a slice counts for the panels; a borderline one is not accepted."""


@dataclass(frozen=True, slots=True)
class CheckedSlice:
    """A slice and how it was judged.

    Attributes:
        slice: the slice
        need: the layer it is nearest to, and of those that differ in tolerance the one by whose it was judged;
            None where no panel wants its wood
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
    """Judge every slice, in the order of sawing.

    Layers of one wood and thickness may ask for different tolerances: a slice is judged by the tightest that it keeps,
    and by the widest where it keeps none.
    """
    # Of needs that are alike only the first can be the nearest, and jobs of many panels have many.
    first = {(need.species, need.sawn_mm): need for need in reversed(needs)}
    different = [need for need in needs if first[need.species, need.sawn_mm] is need]
    by_tolerance = {need.key: _by_tolerance(need, needs) for need in different}
    return [_check(item, different, by_tolerance, learned, gauge, inputs) for item in slices]


def _by_tolerance(nearest: Need, needs: Sequence[Need]) -> list[Need]:
    """One need for each tolerance asked of that wood and thickness, the tightest first."""
    found: dict[float, Need] = {}
    for need in alike(nearest, needs):
        found.setdefault(need.tolerance_mm, need)
    return [found[tolerance] for tolerance in sorted(found)]


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


def _check(
    item: SawnSlice,
    needs: Sequence[Need],
    by_tolerance: Mapping[str, Sequence[Need]],
    learned: Learned,
    gauge: Gauging,
    inputs: Inputs,
) -> CheckedSlice:
    thickness = _thickness(item, learned)
    if item.species is None or thickness is None:
        return CheckedSlice(item, None, None)
    nearest = nearest_need(item.species, thickness, needs)
    if nearest is None:
        return CheckedSlice(item, None, None)
    readings = readings_of(item)
    found = CheckedSlice(item, None, None)
    for need in by_tolerance[nearest.key]:
        check = judge(
            readings,
            need.sawn_mm,
            need.tolerance_mm,
            caliper_mm=inputs.shop.caliper_mm,
            repeatability_mm=gauge.repeatability_mm,
        )
        found = CheckedSlice(item, need, check)
        if check.verdict in SERVES:
            break
    return found


def _thickness(item: SawnSlice, learned: Learned) -> float | None:
    """What a slice measures, or should measure by its setting."""
    if item.mean_mm is not None or item.row.set_mm is None or item.species is None:
        return item.mean_mm
    return learned.of(item.species).expected_mm(item.row.set_mm)
