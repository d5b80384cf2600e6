"""One slice against its target: what the readings say, how sure they are, and the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum
from functools import cache
from math import fsum, hypot, sqrt
from statistics import NormalDist, fmean, stdev

RISK = 0.05
"""Accepted chance that a slice called in is out. Source: ISO 14253-1:2017 as tabulated in ILAC-G8:09/2019, Table 1:
guard band 1.65 u = 0.83 U (U with coverage factor 2) for a specific risk below 5 %."""

SHARE_OF_TOLERANCE = 0.1
"""The caliper's step should be no more than this share of the whole tolerance. Common practice, no source."""

SAME_MM = 1e-9
"""Lengths closer than this are the same: far below any caliper, far above the error of binary fractions."""


class Verdict(Enum):
    """Whether a slice is within tolerance."""

    IN = "in tolerance"
    OUT = "out of tolerance"
    BORDERLINE = "borderline"
    MEAN_ONLY = "mean in tolerance, single slices not known"
    NO_READING = "not measured"


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What was read on one slice; any of it may be missing.

    Attributes:
        near_left_mm: at the corner nearest the operator, left [mm]
        near_right_mm: at the corner nearest the operator, right [mm]
        middle_mm: in the middle [mm]
        far_left_mm: at the far corner, left [mm]
        far_right_mm: at the far corner, right [mm]
        others_mm: anywhere on the slice [mm]
        pressed: slices pressed together; every reading is then divided by it already [-]
    """

    near_left_mm: float | None = None
    near_right_mm: float | None = None
    middle_mm: float | None = None
    far_left_mm: float | None = None
    far_right_mm: float | None = None
    others_mm: tuple[float, ...] = ()
    pressed: int = 1

    @property
    def placed(self) -> dict[str, float]:
        """The readings by position, without the missing ones [mm]."""
        places = {
            "near left": self.near_left_mm,
            "near right": self.near_right_mm,
            "middle": self.middle_mm,
            "far left": self.far_left_mm,
            "far right": self.far_right_mm,
        }
        return {place: value for place, value in places.items() if value is not None}

    @property
    def all(self) -> dict[str, float]:
        """Every reading by the name of its position, "reading 1" and so on for those without one [mm]."""
        return self.placed | {f"reading {place}": value for place, value in enumerate(self.others_mm, 1)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Mean and form of one slice.

    Attributes:
        count: readings [-]
        mean_mm: their mean [mm]
        least_mm: thinnest reading [mm]
        most_mm: thickest reading [mm]
        sd_mm: sample standard deviation, n - 1; None with fewer than two readings, or slices pressed together [mm]
        end_taper_mm: far less near, over the sides that have both; None where no side has [mm]
        side_taper_mm: right less left, over the ends that have both; None where no end has [mm]
        bow_mm: middle less the mean of the corners; None without a middle, or without two opposite corners [mm]
    """

    count: int
    mean_mm: float
    least_mm: float
    most_mm: float
    sd_mm: float | None
    end_taper_mm: float | None
    side_taper_mm: float | None
    bow_mm: float | None

    @property
    def range_mm(self) -> float:
        """Thickest less thinnest reading [mm]."""
        return self.most_mm - self.least_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A slice judged against its target.

    Attributes:
        shape: mean and form; None when nothing was read
        verdict: by the worst reading
        worst_at: position of the reading farthest from the target; empty when nothing was read
        worst_mm: that reading [mm]
        worst_off_mm: that reading less the target [mm]
        uncertainty_mm: standard uncertainty of one reading [mm]
        guard_mm: how far inside a limit a reading must lie to be accepted [mm]
        guard_factor: guard band over standard uncertainty [-]
        risk: accepted chance that a reading called in lies beyond the limit [-]
        chance_in: chance that the thickness at the worst reading lies within tolerance [-]
        notes: what else the maker should know, as sentences
    """

    shape: Shape | None
    verdict: Verdict
    worst_at: str
    worst_mm: float | None
    worst_off_mm: float | None
    uncertainty_mm: float
    guard_mm: float
    guard_factor: float
    risk: float
    chance_in: float | None
    notes: tuple[str, ...] = field(default=())


def _spread(values: Sequence[float]) -> float:
    """Standard deviation, n - 1; the library's own works in ratios, which for each of many slices takes too long."""
    if min(values) == max(values):
        return 0.0
    mean = fmean(values)
    return sqrt(fsum((value - mean) ** 2 for value in values) / (len(values) - 1))


def shape_of(readings: Readings) -> Shape | None:
    """Mean, range, spread, tapers and bow of one slice; None when nothing was read.

    Args:
        readings: what was read on the slice

    Source: own definitions: end taper = far - near, side taper = right - left, bow = middle - corners.

    >>> shape = shape_of(Readings(near_left_mm=1.041, near_right_mm=1.092, far_left_mm=1.143, far_right_mm=1.092))
    >>> round(shape.mean_mm, 3), round(shape.end_taper_mm, 3), round(shape.side_taper_mm, 3)
    (1.092, 0.051, 0.0)
    """
    values = list(readings.all.values())
    if not values:
        return None
    near_left, near_right = readings.near_left_mm, readings.near_right_mm
    far_left, far_right = readings.far_left_mm, readings.far_right_mm
    return Shape(
        count=len(values),
        mean_mm=fmean(values),
        least_mm=min(values),
        most_mm=max(values),
        sd_mm=_spread(values) if len(values) > 1 and readings.pressed == 1 else None,
        end_taper_mm=_mean_difference((near_left, far_left), (near_right, far_right)),
        side_taper_mm=_mean_difference((near_left, near_right), (far_left, far_right)),
        bow_mm=_bow(readings.middle_mm, (near_left, far_right), (near_right, far_left)),
    )


def reading_uncertainty(caliper_mm: float, repeatability_mm: float = 0.0, pressed: int = 1) -> float:
    """Standard uncertainty of one reading [mm].

    Args:
        caliper_mm: smallest step that the caliper shows, >= 0 [mm]
        repeatability_mm: standard deviation of repeat readings at one place, >= 0 [mm]
        pressed: slices pressed together for the reading, which share its error [-]

    Source: JCGM 100:2008 (GUM), F.2.2.1 for the resolution, step / sqrt(12); 5.1.2 for the root sum of squares.

    >>> round(reading_uncertainty(0.0254), 6)
    0.007332
    """
    return hypot(caliper_mm / sqrt(12), repeatability_mm) / pressed


def chance_between(value: float, uncertainty: float, low: float, high: float) -> float:
    """Chance that the true value lies between two limits.

    Args:
        value: the reading [mm]
        uncertainty: its standard uncertainty, >= 0 [mm]
        low: lower limit [mm]
        high: upper limit [mm]

    Source: JCGM 106:2012, 7.4: conformance probability with a normal distribution.

    >>> round(chance_between(1.0, 0.1, 0.9, 1.1), 4)
    0.6827
    """
    if uncertainty <= 0:
        return 1.0 if low - SAME_MM <= value <= high + SAME_MM else 0.0
    normal = NormalDist(value, uncertainty)
    return normal.cdf(high) - normal.cdf(low)


def judge(
    readings: Readings,
    target_mm: float,
    tolerance_mm: float,
    *,
    caliper_mm: float,
    repeatability_mm: float = 0.0,
    risk: float = RISK,
) -> Check:
    """Judge a slice by its worst reading, with a guard band for the caliper's uncertainty.

    In: every reading is inside both limits by the guard band. Out: some reading is beyond a limit by the guard band.
    Borderline: anything else; the caliper cannot say, so the slice is not accepted.

    Args:
        readings: what was read on the slice
        target_mm: thickness wanted [mm]
        tolerance_mm: how far off it may be, either way, >= 0 [mm]
        caliper_mm: smallest step that the caliper shows [mm]
        repeatability_mm: standard deviation of repeat readings at one place; 0 where never measured [mm]
        risk: accepted chance that a reading called in lies beyond the limit, between 0 and 0.5 [-]

    Source: ISO 14253-1:2017 and ILAC-G8:09/2019: guard band z(1 - risk) u; 1.65 u for 5 %.

    >>> check = judge(Readings(others_mm=(1.00, 1.01)), 1.0, 0.05, caliper_mm=0.02)
    >>> check.verdict.value, check.worst_at
    ('in tolerance', 'reading 2')
    """
    uncertainty = reading_uncertainty(caliper_mm, repeatability_mm, readings.pressed)
    factor = _guard_factor(risk)
    guard = factor * uncertainty
    shape = shape_of(readings)
    notes = _notes(readings, tolerance_mm, caliper_mm, guard)
    if shape is None:
        return Check(
            shape=None, verdict=Verdict.NO_READING, worst_at="", worst_mm=None, worst_off_mm=None, chance_in=None,
            uncertainty_mm=uncertainty, guard_mm=guard, guard_factor=factor, risk=risk, notes=notes,
        )  # fmt: skip
    worst_at, worst = max(readings.all.items(), key=lambda item: abs(item[1] - target_mm))
    verdict = _verdict(abs(worst - target_mm) - tolerance_mm, guard)
    return Check(
        shape=shape,
        verdict=Verdict.MEAN_ONLY if readings.pressed > 1 and verdict is Verdict.IN else verdict,
        worst_at=worst_at,
        worst_mm=worst,
        worst_off_mm=worst - target_mm,
        uncertainty_mm=uncertainty,
        guard_mm=guard,
        guard_factor=factor,
        risk=risk,
        chance_in=chance_between(worst, uncertainty, target_mm - tolerance_mm, target_mm + tolerance_mm),
        notes=notes,
    )


@cache
def _guard_factor(risk: float) -> float:
    return NormalDist().inv_cdf(1 - risk)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Which number of a batch to use where.

    Attributes:
        slices: how many [-]
        mean_mm: for the height of the stack [mm]
        least_mm: for strength and sanding through [mm]
        range_mm: for the fit of neighbours [mm]
        sd_mm: sample standard deviation, n - 1; None for one slice [mm]
        bias_mm: mean less target, which adds up with every layer [mm]
    """

    slices: int
    mean_mm: float
    least_mm: float
    range_mm: float
    sd_mm: float | None
    bias_mm: float

    def bias_over(self, layers: int) -> float:
        """How far so many layers come out over the plan for the bias alone [mm].

        Args:
            layers: number of layers [-]

        Source: own derivation: a shared error grows with the count, not with its root; case A16.
        """
        return self.bias_mm * layers


def batch(slices_mm: Sequence[float], target_mm: float) -> Batch:
    """Summarise the mean thicknesses of a batch.

    Args:
        slices_mm: mean thickness of each slice, at least one [mm]
        target_mm: thickness wanted [mm]

    Source: definitions; n - 1 in the standard deviation, since the batch is a sample.

    >>> found = batch([1.0, 1.1, 1.3], target_mm=1.1)
    >>> round(found.bias_mm, 4), round(found.range_mm, 4), round(found.sd_mm, 4)
    (0.0333, 0.3, 0.1528)
    """
    mean = fmean(slices_mm)
    return Batch(
        slices=len(slices_mm),
        mean_mm=mean,
        least_mm=min(slices_mm),
        range_mm=max(slices_mm) - min(slices_mm),
        sd_mm=stdev(slices_mm) if len(slices_mm) > 1 else None,
        bias_mm=mean - target_mm,
    )


def _verdict(beyond_mm: float, guard_mm: float) -> Verdict:
    """Verdict for a reading so far beyond the nearer limit (negative: inside)."""
    if beyond_mm <= -guard_mm + SAME_MM:
        return Verdict.IN
    return Verdict.OUT if beyond_mm > guard_mm + SAME_MM else Verdict.BORDERLINE


def _mean_difference(*pairs: tuple[float | None, float | None]) -> float | None:
    """Mean of second less first over the pairs that are complete."""
    found = [last - first for first, last in pairs if first is not None and last is not None]
    return fmean(found) if found else None


def _bow(middle: float | None, *diagonals: tuple[float | None, float | None]) -> float | None:
    """Middle less the corners; a whole diagonal is needed, lest a taper be taken for bow."""
    corners = [value for pair in diagonals if None not in pair for value in pair if value is not None]
    return middle - fmean(corners) if middle is not None and corners else None


def _notes(readings: Readings, tolerance_mm: float, caliper_mm: float, guard_mm: float) -> tuple[str, ...]:
    """What else the maker should know about this judgement."""
    notes = []
    if guard_mm > tolerance_mm + SAME_MM:
        notes.append("The tolerance is finer than this caliper can judge: no reading could be accepted.")
    elif caliper_mm > SHARE_OF_TOLERANCE * 2 * tolerance_mm + SAME_MM:
        notes.append("The caliper's step is more than a tenth of the whole tolerance: a finer one would settle more.")
    if readings.pressed > 1:
        notes.append(f"{readings.pressed} slices were read together: their mean is known, their spread is not.")
    return tuple(notes)
