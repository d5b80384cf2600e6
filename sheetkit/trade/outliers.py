"""Readings that stand apart from the others of their kind; named, never dropped."""

from collections.abc import Sequence
from statistics import fmean, median

LIMIT = 3.5
"""Modified z beyond which a value is named. Source: B. Iglewicz & D. C. Hoaglin, *How to Detect and Handle Outliers*,
ASQC Quality Press, 1993; repeated in the NIST/SEMATECH e-Handbook, section 1.3.5.17 (from memory)."""

MEDIAN_TO_SD = 1.4826022185056018
"""Standard deviation over median absolute deviation for a normal distribution: 1 / z(0.75)."""

MEAN_TO_SD = 1.2533141373155001
"""Standard deviation over mean absolute deviation for a normal distribution: sqrt(pi / 2)."""


def modified_z(deviations: Sequence[float], *, least_sd: float = 0.0, medians_taken: int = 1) -> list[float]:
    """Score each deviation by the median absolute deviation, which a few wild readings cannot swell.

    Args:
        deviations: each value less the median of its own group [mm]
        least_sd: spread that the instrument's division alone can hide, >= 0 [mm]
        medians_taken: number of groups; each median uses up one reading, and the spread is widened for it [-]

    Source: Iglewicz & Hoaglin, 1993 (see `LIMIT`), with their mean absolute deviation where more than half of the
    values agree; the widening sqrt(n / (n - groups)) is our own, by analogy with degrees of freedom.

    >>> [round(z, 2) for z in modified_z([-1.0, 0.0, 0.0, 1.0, 9.0])]
    [-0.6, 0.0, 0.0, 0.6, 5.43]
    """
    left = len(deviations) - medians_taken
    if left < 1:
        return [0.0] * len(deviations)
    sizes = [abs(value) for value in deviations]
    spread = MEDIAN_TO_SD * median(sizes) or MEAN_TO_SD * fmean(sizes)
    spread = max(spread * (len(deviations) / left) ** 0.5, least_sd)
    return [value / spread if spread else 0.0 for value in deviations]
