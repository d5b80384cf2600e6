"""Does the run drift, and which slice will be the first out?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

from sheetkit.trade.slope import fit_line

SURE_ENOUGH = 0.05
"""Chance of so steep a line in a steady run below which the drift is called clear."""

FEWEST_FOR_DRIFT = 5
"""Slices below which a line through them means little; four points in order are on a line by chance too often."""

SAME_MM = 1e-9
"""Lengths closer than this are the same."""

FARTHEST = 10_000
"""Slices ahead beyond which no first slice out is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """A straight line through the run.

    Attributes:
        slope: change per slice [mm]
        standard_error: of the slope [mm]
        interval: 95 % confidence interval of the slope [mm]
        p: chance of so steep a line in a steady run [-]
        intercept: level at order 0 [mm]
        first_out: order of the first coming slice expected beyond a limit; None when no such slice is in sight [-]
        slices: how many the line rests on [-]
    """

    slope: float
    standard_error: float
    interval: tuple[float, float]
    p: float
    intercept: float
    first_out: int | None
    slices: int

    @property
    def clear(self) -> bool:
        """The line is steeper than a steady run would show by chance."""
        return self.p < SURE_ENOUGH and self.slices >= FEWEST_FOR_DRIFT


def drift(
    orders: Sequence[float], values: Sequence[float], lower: float | None = None, upper: float | None = None
) -> Drift | None:
    """Fit the drift per slice and foretell the first slice out; None with fewer than three slices.

    Args:
        orders: place of each slice in the order of sawing, gaps allowed [-]
        values: mean thickness of each slice, less its target where targets differ [mm]
        lower: limit below which a slice is out; None without one [mm]
        upper: limit above which a slice is out; None without one [mm]

    Source: least squares, Student's t with n - 2 degrees of freedom; a slice on the limit is not out (case A06).

    >>> drift([1, 2, 3, 4, 5, 6], [4.0, 4.2, 4.4, 4.6, 4.8, 5.0], upper=6.0).first_out
    12
    """
    if len(values) < 3 or len(set(orders)) < 2:
        return None
    from scipy.special import stdtr, stdtrit

    line = fit_line(orders, values)
    half = float(stdtrit(line.df, 0.975)) * line.slope_error
    # A line through points that are exact but for binary fractions has no error to speak of.
    exact = line.slope_error <= abs(line.slope) * 1e-9
    p = 0.0 if exact else float(2 * stdtr(line.df, -abs(line.slope) / line.slope_error)) if line.slope_error else 1.0
    return Drift(
        slope=line.slope,
        standard_error=line.slope_error,
        interval=(line.slope - half, line.slope + half),
        p=p if line.slope else 1.0,
        intercept=line.intercept,
        first_out=first_out(line.intercept, line.slope, max(orders), lower, upper),
        slices=len(values),
    )


def first_out(intercept: float, slope: float, last: float, lower: float | None, upper: float | None) -> int | None:
    """First whole order after the last one at which the line lies beyond a limit; None when none is in sight.

    Args:
        intercept: level at order 0 [mm]
        slope: change per slice [mm]
        last: order of the last slice that is sawn [-]
        lower: limit below which a slice is out; None without one [mm]
        upper: limit above which a slice is out; None without one [mm]

    Source: own derivation: the line solved for the order at the limit; a slice on the limit is not out (case A06).

    >>> first_out(4.0, 0.2, 6, None, 6.0), first_out(4.0, 0.2, 20, None, 6.0)
    (11, 21)
    """
    coming = floor(last) + 1
    for limit, sign in ((upper, 1.0), (lower, -1.0)):
        if limit is None:
            continue
        room, pace = sign * (limit - intercept - slope * coming) + SAME_MM, sign * slope
        if room < 0:
            return coming
        if pace > 0 and room / pace < FARTHEST:
            return coming + floor(room / pace) + 1
    return None
