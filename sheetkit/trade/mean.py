"""A mean and how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev


@dataclass(frozen=True, slots=True, kw_only=True)
class Mean:
    """A plain mean with its confidence interval.

    Attributes:
        count: values [-]
        mean: their mean [mm]
        lower: lower limit; None with fewer than two values [mm]
        upper: upper limit; None with fewer than two values [mm]
    """

    count: int
    mean: float
    lower: float | None
    upper: float | None

    @property
    def side(self) -> int:
        """1 where the whole interval lies above nought, -1 where it lies below, else 0 [-]."""
        if self.lower is None or self.upper is None:
            return 0
        return int(self.lower > 0) - int(self.upper < 0)


def mean_of(values: Sequence[float], *, confidence: float = 0.95, least_sd: float = 0.0) -> Mean | None:
    """Mean and its confidence interval; None without values.

    Args:
        values: independent of one another [mm]
        confidence: of the interval, between 0 and 1 [-]
        least_sd: spread that the instrument's division alone can hide, >= 0 [mm]

    Source: Student's t, NIST/SEMATECH e-Handbook, section 1.3.5.2.

    >>> found = mean_of([1.0, 2.0, 3.0])
    >>> round(found.lower, 3), round(found.upper, 3)
    (-0.484, 4.484)
    """
    if not values:
        return None
    count, mean = len(values), fmean(values)
    if count < 2:
        return Mean(count=count, mean=mean, lower=None, upper=None)
    from scipy.special import stdtrit

    half = float(stdtrit(count - 1, (1 + confidence) / 2)) * max(stdev(values), least_sd) / count**0.5
    return Mean(count=count, mean=mean, lower=mean - half, upper=mean + half)
