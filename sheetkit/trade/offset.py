"""What the readings teach about the dial: the offset of each species and blade, and what to dial next.

`slice = set + offset` and `offset = kerf allowance - true kerf`, a little different for each species and blade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import floor
from statistics import median

from sheetkit.trade.offset_model import Basis, Learner, Observation, OffsetEstimate
from sheetkit.trade.outliers import LIMIT, modified_z
from sheetkit.trade.slope import SlopeTest, slope_of_slice_on_set

__all__ = ["Basis", "Flag", "NextSetting", "Observation", "OffsetEstimate", "Offsets", "learn", "next_setting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A reading that stands apart. It stays in the estimates until the caller leaves it out.

    Attributes:
        index: its place among the observations [-]
        name: the slice's name
        z: modified z-score [-]
        deviation_mm: its offset less the median offset of its species and blade [mm]
    """

    index: int
    name: str
    z: float
    deviation_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NextSetting:
    """What to dial for a target.

    Attributes:
        target_mm: thickness wanted as sawn [mm]
        exact_mm: setting before rounding to the dial [mm]
        set_mm: setting on a mark of the dial [mm]
        expected_mm: thickness to expect from it [mm]
        chance: that the slice falls within tolerance; None where the spread is not known yet [-]
    """

    target_mm: float
    exact_mm: float
    set_mm: float
    expected_mm: float
    chance: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Offsets:
    """All that the readings taught.

    Attributes:
        estimates: one for each species and blade that has readings, in the order of first appearance
        flagged: readings that stand apart; they are in the estimates
        slope: test of the slope of measured on set, None with fewer than three settings or too few readings
        slice_sd_mm: spread of the slices of one species; None when too few readings [mm]
        species_sd_mm: spread between species; None with fewer than two species or too few readings [mm]
        drift_mm: change per cut that the estimates allow for; None where not asked for, or the order is not known [mm]
        drift_interval_mm: its confidence interval [mm]
    """

    estimates: tuple[OffsetEstimate, ...]
    flagged: tuple[Flag, ...]
    slope: SlopeTest | None
    slice_sd_mm: float | None
    species_sd_mm: float | None
    drift_mm: float | None
    drift_interval_mm: tuple[float, float] | None
    _learner: Learner = field(repr=False, compare=False)

    def of(self, species: str, blade: str | None = None) -> OffsetEstimate:
        """Estimate for any species and blade, with readings or without.

        Args:
            species: the wood
            blade: the blade that will saw; None also means the only blade there is

        Source: own rule: own readings, else those of the other species, else of other blades, else what was given.
        """
        return self._learner.estimate(species, blade)


def learn(
    observations: Sequence[Observation],
    *,
    allowance_mm: float,
    given_offset_mm: float = 0.0,
    caliper_mm: float = 0.0,
    confidence: float = 0.95,
    allow_drift: bool = False,
) -> Offsets:
    """Learn the offset of each species and blade from measured slices.

    Readings of few slices lean on the other species (a one-way random-effects model, averaged over the unknown spread
    between species); blades are told apart without leaning on each other. Readings that stand apart are named but kept:
    leave them out of `observations` to see the answer without them.

    Args:
        observations: the measured slices, in any order
        allowance_mm: kerf allowance that was dialled at every pass [mm]
        given_offset_mm: offset to use where there are no readings at all [mm]
        caliper_mm: smallest step of the caliper; readings that agree better than that prove no smaller spread [mm]
        confidence: of the intervals, between 0 and 1 [-]
        allow_drift: let a steady change over the cuts since the blade was put on take part, as far as the readings
            speak for it, and state the offset for the next cut. Meant for a long run that is found drifting: in few
            readings that happen to rise on every board, drift and difference of species cannot be told apart.

    Source: see `sheetkit.trade.mixed`; outliers see `sheetkit.trade.outliers`; slope see `sheetkit.trade.slope`.

    >>> rows = [Observation(species="ash", set_mm=0.25, slice_mm=mm) for mm in (0.30, 0.31, 0.32)]
    >>> found = learn(rows, allowance_mm=1.27).of("ash")
    >>> round(found.offset_mm, 3), round(found.kerf_mm, 3), found.rests_on
    (0.06, 1.21, 'its own readings')
    """
    cuts = [row.order for row in observations if row.order is not None]
    test = slope_of_slice_on_set(
        [(row.species, row.blade) for row in observations],
        [row.set_mm for row in observations],
        [row.slice_mm for row in observations],
        [row.slices for row in observations],
        cuts if allow_drift and len(cuts) == len(observations) else None,
    )
    learner = Learner(observations, allowance_mm, given_offset_mm, confidence, test)
    if observations:
        learner.solve(caliper_mm / 12**0.5, allow_drift=allow_drift)
    fitted, drift = learner.fit, learner.drift()
    known = fitted is not None and fitted.df > 0
    seen = dict.fromkeys((row.species, row.blade) for row in observations)
    return Offsets(
        estimates=tuple(learner.estimate(*pair) for pair in seen),
        flagged=_standing_apart(observations, caliper_mm),
        slope=test,
        slice_sd_mm=fitted.slice_sd if fitted and known else None,
        species_sd_mm=fitted.species_sd if fitted and known and len(learner.species) > 1 else None,
        drift_mm=drift.mean if drift else None,
        drift_interval_mm=drift.interval(confidence) if drift else None,
        _learner=learner,
    )


def next_setting(target_mm: float, tolerance_mm: float, offset: OffsetEstimate, division_mm: float) -> NextSetting:
    """Say what to dial for a target: the target less the offset, on the nearest mark of the dial.

    Args:
        target_mm: thickness wanted as sawn [mm]
        tolerance_mm: how far a slice may be off, either way [mm]
        offset: what was learned for the species and blade
        division_mm: travel of the fence for one mark of the dial, > 0 [mm]

    Source: own derivation: solve slice = set + offset for the set; chance from `OffsetEstimate.chance_between`.

    >>> rows = [Observation(species="ash", set_mm=0.25, slice_mm=mm) for mm in (0.30, 0.31, 0.32)]
    >>> round(next_setting(0.40, 0.05, learn(rows, allowance_mm=1.27).of("ash"), 0.0254).set_mm, 4)
    0.3302
    """
    exact = offset.set_mm + (target_mm - offset.expected_mm(offset.set_mm)) / offset.slope
    marks = floor(round(exact / division_mm, 6) + 0.5)
    dialled = marks * division_mm
    return NextSetting(
        target_mm=target_mm,
        exact_mm=exact,
        set_mm=dialled,
        expected_mm=offset.expected_mm(dialled),
        chance=offset.chance_between(dialled, target_mm - tolerance_mm, target_mm + tolerance_mm),
    )


def _standing_apart(observations: Sequence[Observation], caliper_mm: float) -> tuple[Flag, ...]:
    """Name the readings far from the median of their species and blade."""
    groups: dict[tuple[str, str | None], list[float]] = {}
    for row in observations:
        groups.setdefault((row.species, row.blade), []).append(row.offset_mm)
    medians = {key: median(values) for key, values in groups.items()}
    deviations = [row.offset_mm - medians[row.species, row.blade] for row in observations]
    scores = modified_z(deviations, least_sd=caliper_mm / 2, medians_taken=len(groups))
    return tuple(
        Flag(index=index, name=row.name, z=score, deviation_mm=away)
        for index, (row, score, away) in enumerate(zip(observations, scores, deviations, strict=True))
        if abs(score) > LIMIT
    )
