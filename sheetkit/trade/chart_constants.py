"""Control-chart constants from their definitions, for normal readings; tables in circulation hold misprints."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import exp, lgamma, sqrt

FARTHEST = 10.0
"""Standard deviations beyond which nothing is left to integrate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartConstants:
    """Constants for subgroups of one size, by their standard names.

    Attributes:
        d2: mean range of a subgroup over the standard deviation [-]
        d3: standard deviation of the range over the standard deviation [-]
        c4: mean of the sample standard deviation over the standard deviation [-]
        a2: limits of the mean from the mean range [-]
        a3: limits of the mean from the mean standard deviation [-]
        lower_d: lower limit of the range over its mean, known as D3 [-]
        upper_d: upper limit of the range over its mean, known as D4 [-]
        lower_b: lower limit of the standard deviation over its mean, known as B3 [-]
        upper_b: upper limit of the standard deviation over its mean, known as B4 [-]
        e2: limits of single readings from the mean range [-]
    """

    d2: float
    d3: float
    c4: float
    a2: float
    a3: float
    lower_d: float
    upper_d: float
    lower_b: float
    upper_b: float
    e2: float


@cache
def chart_constants(size: int) -> ChartConstants:
    """Constants for subgroups of a size.

    Args:
        size: readings in a subgroup, >= 2; moving ranges of neighbours have 2 [-]

    Source: definitions as in ASTM E2587; d2 and d3 by integrating the distribution of the range of normal readings
    (L. H. C. Tippett, *Biometrika* 17:364-387, 1925, from memory).

    >>> round(chart_constants(2).d2, 6)
    1.128379
    """
    mean, square = _range_moments(size)
    d3 = sqrt(square - mean**2)
    c4 = mean_sd_factor(size)
    width_d, width_b = 3 * d3 / mean, 3 * sqrt(1 - c4**2) / c4
    return ChartConstants(
        d2=mean,
        d3=d3,
        c4=c4,
        a2=3 / (mean * sqrt(size)),
        a3=3 / (c4 * sqrt(size)),
        lower_d=max(0.0, 1 - width_d),
        upper_d=1 + width_d,
        lower_b=max(0.0, 1 - width_b),
        upper_b=1 + width_b,
        e2=3 / mean,
    )


def mean_sd_factor(size: int) -> float:
    """Mean of the sample standard deviation over the true one, c4.

    Args:
        size: readings, >= 2 [-]

    Source: mean of the chi distribution: sqrt(2 / (n - 1)) gamma(n / 2) / gamma((n - 1) / 2).

    >>> round(mean_sd_factor(5), 5)
    0.93999
    """
    return sqrt(2 / (size - 1)) * exp(lgamma(size / 2) - lgamma((size - 1) / 2))


def _range_moments(size: int) -> tuple[float, float]:
    """Mean and mean square of the range of normal readings with standard deviation 1.

    The chance F of a range up to w is n times the integral of phi(x) (Phi(x + w) - Phi(x))^(n - 1) over x; the moments
    are the integrals of 1 - F and of 2 w (1 - F) over w.
    """
    import numpy as np
    from scipy.special import ndtr

    points, weights = np.polynomial.legendre.leggauss(200)
    x, w = FARTHEST * points, FARTHEST * (points + 1)
    density = np.exp(-(x**2) / 2) / sqrt(2 * np.pi) * weights * FARTHEST
    beyond = 1.0 - density @ (size * (ndtr(x[:, None] + w) - ndtr(x)[:, None]) ** (size - 1))
    return float(weights @ beyond) * FARTHEST, float(weights @ (2 * w * beyond)) * FARTHEST
