"""Within what limits nearly all slices lie, at a stated confidence: normal tolerance intervals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import sqrt
from statistics import NormalDist, fmean, stdev

METHOD = "exact factor for normal readings, as in ISO 16269-6"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToleranceInterval:
    """Limits that hold at least a share of all slices, at a confidence.

    Attributes:
        lower: limit [mm]
        upper: limit [mm]
        factor: standard deviations on either side [-]
        share: share of all slices meant, between 0 and 1 [-]
        confidence: that the limits hold at least that share, between 0 and 1 [-]
        method: how the factor was found
    """

    lower: float
    upper: float
    factor: float
    share: float
    confidence: float
    method: str = METHOD


def tolerance_interval(
    values: Sequence[float], share: float = 0.95, confidence: float = 0.95
) -> ToleranceInterval | None:
    """Limits within which a share of all slices lies, at a confidence; None with fewer than two.

    Args:
        values: mean thickness of each slice [mm]
        share: share of all slices meant, between 0 and 1 [-]
        confidence: that the limits hold at least that share, between 0 and 1 [-]

    Source: see `two_sided_factor`.

    >>> found = tolerance_interval([9.0, 10.0, 10.0, 11.0, 10.0])
    >>> round(found.lower, 3), round(found.upper, 3)
    (6.41, 13.59)
    """
    if len(values) < 2:
        return None
    factor, mean = two_sided_factor(len(values), share, confidence), fmean(values)
    half = factor * stdev(values)
    return ToleranceInterval(lower=mean - half, upper=mean + half, factor=factor, share=share, confidence=confidence)


@cache
def two_sided_factor(count: int, share: float, confidence: float) -> float:
    """Exact two-sided tolerance factor of normal readings.

    Args:
        count: readings, >= 2 [-]
        share: share of all values meant, between 0 and 1 [-]
        confidence: between 0 and 1 [-]

    Source: ISO 16269-6:2014; A. Wald & J. Wolfowitz, *Annals of Mathematical Statistics* 17:208-215, 1946 (from
    memory): the factor k for which the mean over z of P(chi2(n - 1) >= (n - 1) r(z)^2 / k^2) is the confidence, where z
    is the standardised error of the mean and r(z) the half-width about it that holds the share.

    >>> round(two_sided_factor(10, 0.95, 0.95), 4)
    3.3934
    """
    import numpy as np
    from scipy.optimize import brentq
    from scipy.special import chdtrc, chndtrix

    points, weights = np.polynomial.hermite_e.hermegauss(96)
    used = weights > 1e-30
    points, weights = points[used] / sqrt(count), weights[used] / weights[used].sum()
    squares, df = chndtrix(share, 1.0, points**2), count - 1

    def short(factor: float) -> float:
        return float(weights @ chdtrc(df, df * squares / factor**2)) - confidence

    start = two_sided_approximate(count, share, confidence)
    return float(brentq(short, 0.5 * start, 3.0 * start, xtol=1e-12))


def two_sided_approximate(count: int, share: float, confidence: float) -> float:
    """Approximate two-sided tolerance factor, for comparison with tables that use it.

    Args:
        count: readings, >= 2 [-]
        share: share of all values meant, between 0 and 1 [-]
        confidence: between 0 and 1 [-]

    Source: W. G. Howe, *Journal of the American Statistical Association* 64:610-620, 1969; NIST/SEMATECH e-Handbook,
    section 7.2.6.3.

    >>> round(two_sided_approximate(43, 0.90, 0.99), 3)
    2.217
    """
    from scipy.special import chdtri

    df, z = count - 1, NormalDist().inv_cdf((1 + share) / 2)
    return z * sqrt(df * (1 + 1 / count) / float(chdtri(df, confidence)))
