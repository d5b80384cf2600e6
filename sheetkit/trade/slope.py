"""Straight lines: measured against set, and thickness against the order of sawing."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from sheetkit.trade.arrays import Array, Places

FEWEST_SETTINGS = 3
"""Distinct settings below which a slope cannot be told from a single odd setting."""

SURE_ENOUGH = 0.05
"""Chance of so large a departure from slope 1, were it 1, below which the fitted line is used."""

STEEPEST = 2.0
"""A slope beyond this, or below one over it, is taken for a mistake in the records, and the line is not used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A least-squares line.

    Attributes:
        slope: change of y per x [y/x]
        intercept: y at x = 0 [y]
        slope_error: standard error of the slope [y/x]
        intercept_error: standard error of the intercept [y]
        residual_sd: spread about the line [y]
        df: degrees of freedom, points less 2 [-]
        regression_squares: sum of squares that the line accounts for [y^2]
        residual_squares: sum of squares about the line [y^2]
    """

    slope: float
    intercept: float
    slope_error: float
    intercept_error: float
    residual_sd: float
    df: int
    regression_squares: float
    residual_squares: float

    @property
    def f_ratio(self) -> float:
        """Variance ratio of the regression [-]."""
        return self.regression_squares / self.residual_sd**2 if self.residual_sd else float("inf")

    @property
    def r_squared(self) -> float:
        """Share of the sum of squares that the line accounts for [-]."""
        return self.regression_squares / (self.regression_squares + self.residual_squares)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopeTest:
    """Whether the slices follow the dial one for one.

    Attributes:
        slope: change of measured per change of set, within species and blade [-]
        standard_error: of the slope [-]
        df: degrees of freedom [-]
        p: chance of so large a departure from 1, were the slope 1 [-]
        settings: number of distinct settings [-]
    """

    slope: float
    standard_error: float
    df: int
    p: float
    settings: int

    @property
    def use_line(self) -> bool:
        """Slope 1 is rejected, and the slope is believable."""
        return self.p < SURE_ENOUGH and 1 / STEEPEST < self.slope < STEEPEST

    @property
    def words(self) -> str:
        """The finding as a sentence."""
        if self.use_line:
            return (
                f"The slices do not follow the dial one for one: they change by {self.slope:.2f} for each 1 dialled, "
                "so the fitted line is used."
            )
        if self.p < SURE_ENOUGH:
            return (
                f"The slices change by {round(self.slope, 2) + 0.0:.2f} for each 1 dialled, which is past belief: "
                "look for a set thickness that was noted wrongly. One offset is used for all settings."
            )
        return "Nothing speaks against the slices following the dial one for one: one offset is used for all settings."


def fit_line(x: Sequence[float], y: Sequence[float]) -> Line:
    """Fit y = intercept + slope x by least squares.

    Args:
        x: at least three values, not all equal [x]
        y: as many values [y]

    Source: N. R. Draper & H. Smith, *Applied Regression Analysis*, ch. 1 (from memory).

    >>> line = fit_line([1, 2, 3, 4], [2.0, 4.1, 5.9, 8.0])
    >>> round(line.slope, 3), round(line.intercept, 3)
    (1.98, 0.05)
    """
    import numpy as np

    x_values, y_values = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    x_mean, y_mean = float(x_values.mean()), float(y_values.mean())
    away, rise = x_values - x_mean, y_values - y_mean
    spread = float(away @ away)
    slope = float(away @ rise) / spread
    residuals = rise - slope * away
    squares, df = float(residuals @ residuals), len(x_values) - 2
    residual_sd = (squares / df) ** 0.5
    return Line(
        slope=slope,
        intercept=y_mean - slope * x_mean,
        slope_error=residual_sd / spread**0.5,
        intercept_error=residual_sd * (1 / len(x_values) + x_mean**2 / spread) ** 0.5,
        residual_sd=residual_sd,
        df=df,
        regression_squares=slope**2 * spread,
        residual_squares=squares,
    )


def slope_of_slice_on_set(
    groups: Sequence[Hashable],
    set_mm: Sequence[float],
    slice_mm: Sequence[float],
    slices: Sequence[float],
    cuts: Sequence[float] | None = None,
) -> SlopeTest | None:
    """Test whether slices follow the dial one for one, each species and blade having its own offset.

    Args:
        groups: species and blade of each reading
        set_mm: what was dialled [mm]
        slice_mm: what was measured [mm]
        slices: how many slices each reading is the mean of [-]
        cuts: place of each in a run that drifts, so that a setting changed on the way is not taken for the drift's
            doing; None for a steady run [-]

    Returns:
        None with fewer than three distinct settings, where no species was sawn at two of them, or too few readings.

    Source: common slope of an analysis of covariance (the cuts a second covariate), tested by Student's t
    (Draper & Smith, from memory).

    >>> test = slope_of_slice_on_set("aaaaa", [1, 2, 3, 4, 5], [1.2, 2.1, 3.3, 4.2, 5.2], [1] * 5)
    >>> round(test.slope, 2), test.use_line
    (1.01, False)
    """
    import numpy as np

    settings = len({round(value, 6) for value in set_mm})
    if settings < FEWEST_SETTINGS:
        return None
    places = {group: place for place, group in enumerate(dict.fromkeys(groups))}
    index, weight = np.array([places[group] for group in groups]), np.asarray(slices, dtype=float)
    away, rise = (_less_group_mean(np.asarray(values, dtype=float), index, weight) for values in (set_mm, slice_mm))
    df = len(index) - len(places) - 1
    if cuts is not None:
        passed = _less_group_mean(np.asarray(cuts, dtype=float), index, weight)
        away, rise, df = _less_line(passed, away, weight), _less_line(passed, rise, weight), df - 1
    spread = float(weight @ away**2)
    if df < 1 or spread <= 1e-12:
        return None
    slope = float(weight @ (away * rise)) / spread
    error = (float(weight @ (rise - slope * away) ** 2) / df / spread) ** 0.5
    return SlopeTest(
        slope=slope, standard_error=error, df=df, p=_two_sided_p(slope - 1.0, error, df), settings=settings
    )


def _less_group_mean(values: Array, index: Places, weight: Array) -> Array:
    """Each value less the weighted mean of its group."""
    import numpy as np

    return values - (np.bincount(index, weight * values) / np.bincount(index, weight))[index]


def _less_line(x: Array, values: Array, weight: Array) -> Array:
    """What a line through the origin on x leaves of each value."""
    squares = float(weight @ x**2)
    return values - x * (float(weight @ (x * values)) / squares) if squares > 0 else values


def _two_sided_p(difference: float, error: float, df: int) -> float:
    """Chance of so large a difference by Student's t."""
    from scipy.special import stdtr

    if error <= abs(difference) * 1e-12:
        return 1.0 if abs(difference) < 1e-9 else 0.0
    return float(2 * stdtr(df, -abs(difference) / error))
