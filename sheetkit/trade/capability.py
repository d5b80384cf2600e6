"""Can the saw hold the tolerance? Capability indices with what few slices leave open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, pi, sqrt
from statistics import NormalDist

from sheetkit.trade.control import individuals

FEWEST_FOR_CAPABILITY = 3
"""Slices below which a spread means nothing at all."""

ENOUGH_FOR_CAPABILITY = 30
"""Slices from which a capability is usually quoted. Common practice, no source; the lower bound tells the rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Indices:
    """Indices of one mean and standard deviation against two limits.

    Attributes:
        spread: tolerance over six standard deviations (Cp or Pp) [-]
        to_upper: room to the upper limit over three standard deviations [-]
        to_lower: room to the lower limit over three standard deviations [-]
    """

    spread: float
    to_upper: float
    to_lower: float

    @property
    def worst(self) -> float:
        """The smaller of the two rooms (Cpk or Ppk) [-]."""
        return min(self.to_upper, self.to_lower)

    @property
    def off_centre(self) -> float:
        """How far the mean is off the middle, as a share of half the tolerance, known as k [-]."""
        return abs(self.to_upper - self.to_lower) / (2 * self.spread)


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """How the run stands against its tolerance.

    Attributes:
        slices: how many [-]
        mean: of the slices [mm]
        short_sd: standard deviation from neighbouring slices [mm]
        long_sd: ordinary standard deviation, drift and jumps included [mm]
        short: indices from the short-term spread: Cp and Cpk
        long: indices from the whole run's spread: Pp and Ppk
        cp_lower: lower confidence bound of Cp [-]
        cpk_lower: lower confidence bound of Cpk [-]
        pp_lower: lower confidence bound of Pp [-]
        ppk_lower: lower confidence bound of Ppk [-]
        share_out: expected out of tolerance, taking mean and long-term spread for the truth [-]
        next_out: chance that the next slice is out, allowing for how few they rest on [-]
        confidence: of the bounds, one-sided [-]
    """

    slices: int
    mean: float
    short_sd: float
    long_sd: float
    short: Indices
    long: Indices
    cp_lower: float
    cpk_lower: float
    pp_lower: float
    ppk_lower: float
    share_out: float
    next_out: float
    confidence: float

    @property
    def enough(self) -> bool:
        """As many slices as a capability is usually quoted from."""
        return self.slices >= ENOUGH_FOR_CAPABILITY


def capability(
    values: Sequence[float], lower: float, upper: float, *, confidence: float = 0.95, least_sd: float = 0.0
) -> Capability | None:
    """Capability of a run of slices in the order of sawing; None with fewer than three, or when all are the same.

    Args:
        values: mean thickness of each slice in the order of sawing [mm]
        lower: lower limit [mm]
        upper: upper limit [mm]
        confidence: of the lower bounds, one-sided, between 0 and 1 [-]
        least_sd: spread that the caliper's division alone can hide [mm]

    Source: NIST/SEMATECH e-Handbook, section 6.1.6; short-term spread from moving ranges, section 6.3.2.2.

    >>> found = capability([10.1, 9.9, 10.0, 10.2, 9.8], lower=9.0, upper=11.0)
    >>> round(found.long.spread, 3), round(found.short.spread, 3)
    (2.108, 1.672)
    """
    chart = individuals(values)
    if chart is None or len(values) < FEWEST_FOR_CAPABILITY:
        return None
    short_sd, long_sd, count = max(chart.sigma, least_sd), max(chart.sd, least_sd), len(values)
    if min(short_sd, long_sd) <= 0:
        return None
    short, long = indices(chart.mean, short_sd, lower, upper), indices(chart.mean, long_sd, lower, upper)
    short_df, tail = moving_range_df(count), 1 - confidence
    return Capability(
        slices=count,
        mean=chart.mean,
        short_sd=short_sd,
        long_sd=long_sd,
        short=short,
        long=long,
        cp_lower=spread_bound(short.spread, short_df, tail),
        cpk_lower=worst_bound(short.worst, count, short_df, tail),
        pp_lower=spread_bound(long.spread, count - 1, tail),
        ppk_lower=worst_bound(long.worst, count, count - 1, tail),
        share_out=share_outside(chart.mean, long_sd, lower, upper),
        next_out=next_outside(chart.mean, long_sd, count, lower, upper),
        confidence=confidence,
    )


def indices(mean: float, sd: float, lower: float, upper: float) -> Indices:
    """Capability indices of a mean and standard deviation.

    Args:
        mean: of the slices [mm]
        sd: standard deviation, > 0 [mm]
        lower: lower limit [mm]
        upper: upper limit [mm]

    Source: NIST/SEMATECH e-Handbook, section 6.1.6.

    >>> found = indices(mean=16.0, sd=2.0, lower=8.0, upper=20.0)
    >>> found.spread, round(found.worst, 4)
    (1.0, 0.6667)
    """
    return Indices(
        spread=(upper - lower) / (6 * sd), to_upper=(upper - mean) / (3 * sd), to_lower=(mean - lower) / (3 * sd)
    )


def spread_bound(index: float, df: float, below: float) -> float:
    """Confidence bound of Cp or Pp.

    Args:
        index: the estimate [-]
        df: degrees of freedom of the standard deviation, > 0 [-]
        below: chance that the true index lies below the bound, between 0 and 1 [-]

    Source: NIST/SEMATECH e-Handbook, section 6.1.6: chi-square limits.

    >>> round(spread_bound(1.0, 49, 0.025), 4), round(spread_bound(1.0, 49, 0.975), 4)
    (0.8025, 1.1971)
    """
    from scipy.special import chdtri

    return index * sqrt(float(chdtri(df, 1 - below)) / df)


def worst_bound(index: float, count: int, df: float, below: float) -> float:
    """Confidence bound of Cpk or Ppk, for many slices.

    Args:
        index: the estimate [-]
        count: slices [-]
        df: degrees of freedom of the standard deviation; count - 1 for the ordinary one [-]
        below: chance that the true index lies below the bound, between 0 and 1 [-]

    Source: NIST/SEMATECH e-Handbook, section 6.1.6: index -+ z sqrt(1 / (9 n) + index^2 / (2 (n - 1))).

    >>> round(worst_bound(0.6667, 50, 49, 0.025), 4), round(worst_bound(0.6667, 50, 49, 0.975), 4)
    (0.5056, 0.8278)
    """
    return index + NormalDist().inv_cdf(below) * sqrt(1 / (9 * count) + index**2 / (2 * df))


def moving_range_df(count: int) -> float:
    """Degrees of freedom of a standard deviation with the scatter of one from moving ranges.

    Args:
        count: slices, >= 2 [-]

    Source: own derivation: neighbouring differences of independent normal values have correlation -1/2, hence
    E|d1 d2| = (4 / pi) (sqrt(3)/2 + asin(1/2)/2); the rest follows from the variance of a mean, and for a standard
    deviation relative variance = 1 / (2 df). For many slices about 0.605 per slice.

    >>> round(moving_range_df(100), 1)
    60.1
    """
    square = 4 / pi
    own = 2 - square
    shared = square * (sqrt(3) / 2 + asin(0.5) / 2) - square
    ranges = count - 1
    return 0.5 * square / ((own * ranges + 2 * shared * (ranges - 1)) / ranges**2)


def share_outside(mean: float, sd: float, lower: float, upper: float) -> float:
    """Share of a normal spread that lies beyond two limits.

    Args:
        mean: of the spread [mm]
        sd: its standard deviation, > 0 [mm]
        lower: lower limit [mm]
        upper: upper limit [mm]

    Source: the normal distribution's tails.

    >>> round(share_outside(0.0, 1.0, -3.0, 3.0), 6)
    0.0027
    """
    from scipy.special import ndtr

    return float(ndtr((lower - mean) / sd) + ndtr((mean - upper) / sd))


def next_outside(mean: float, sd: float, count: int, lower: float, upper: float) -> float:
    """Chance that the next slice lies beyond the limits, allowing for the error of mean and standard deviation.

    Args:
        mean: of the slices [mm]
        sd: ordinary standard deviation, > 0 [mm]
        count: slices, >= 2 [-]
        lower: lower limit [mm]
        upper: upper limit [mm]

    Source: prediction by Student's t: (next - mean) / (sd sqrt(1 + 1/n)) has n - 1 degrees of freedom.

    >>> round(next_outside(0.0, 1.0, 5, -3.0, 3.0), 4)
    0.052
    """
    from scipy.special import stdtr

    wide, df = sd * sqrt(1 + 1 / count), count - 1
    return float(stdtr(df, (lower - mean) / wide) + stdtr(df, (mean - upper) / wide))
