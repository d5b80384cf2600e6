"""How much slices differ from one another, and how much one slice differs within itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from sheetkit.trade.arrays import Array


@dataclass(frozen=True, slots=True, kw_only=True)
class OneWay:
    """One-way analysis of variance.

    Attributes:
        groups: slices [-]
        readings: in all [-]
        between_squares: sum of squares between the slices [mm^2]
        within_squares: sum of squares within the slices [mm^2]
        mean: of all readings [mm]
    """

    groups: int
    readings: int
    between_squares: float
    within_squares: float
    mean: float

    @property
    def between_df(self) -> int:
        """Degrees of freedom between [-]."""
        return self.groups - 1

    @property
    def within_df(self) -> int:
        """Degrees of freedom within [-]."""
        return self.readings - self.groups

    @property
    def f_ratio(self) -> float:
        """Variance ratio [-]."""
        within = self.within_squares / self.within_df
        return self.between_squares / self.between_df / within if within else float("inf")

    @property
    def p(self) -> float:
        """Chance of so large a ratio, did the slices not differ [-]."""
        from scipy.special import fdtrc

        return float(fdtrc(self.between_df, self.within_df, self.f_ratio))

    @property
    def r_squared(self) -> float:
        """Share of the sum of squares that lies between the slices [-]."""
        return self.between_squares / (self.between_squares + self.within_squares)

    @property
    def residual_sd(self) -> float:
        """Spread within a slice [mm]."""
        return sqrt(self.within_squares / self.within_df)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A standard deviation with its confidence limits.

    Attributes:
        sd: estimate [mm]
        lower: lower limit [mm]
        upper: upper limit; None where the slices agree better than chance allows, so that there is none [mm]
    """

    sd: float
    lower: float
    upper: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Spread within one slice and between slices.

    Attributes:
        within: between places of one slice, caliper included
        between: between the slices' expected thicknesses
        mean: overall level [mm]
        mean_error: its standard error [mm]
        slice_means: best estimate of each slice's own level, drawn towards the overall one [mm]
        table: the analysis of variance
        confidence: of the limits, between 0 and 1 [-]
    """

    within: Spread
    between: Spread
    mean: float
    mean_error: float
    slice_means: tuple[float, ...]
    table: OneWay
    confidence: float

    @property
    def within_share(self) -> float:
        """Share of one reading's variance that arises within the slice [-]."""
        whole = self.within.sd**2 + self.between.sd**2
        return self.within.sd**2 / whole if whole else 0.0


def one_way(groups: Sequence[Sequence[float]]) -> OneWay:
    """Analysis of variance between and within groups, safe against readings with many leading digits in common.

    Args:
        groups: readings of each slice, at least one each, two slices or more [mm]

    Source: definitions; sums are taken about the mean first. Checked against NIST StRD.

    >>> table = one_way([[1.0, 2.0], [3.0, 4.0]])
    >>> table.between_squares, table.within_squares, table.f_ratio
    (4.0, 1.0, 8.0)
    """
    sizes, means, within = _summaries(groups)
    mean = float(sizes @ means / sizes.sum())
    return OneWay(
        groups=len(groups),
        readings=int(sizes.sum()),
        between_squares=float(sizes @ (means - mean) ** 2),
        within_squares=within,
        mean=mean,
    )


def split(groups: Sequence[Sequence[float]], *, confidence: float = 0.95) -> Split | None:
    """Tell the spread within slices from that between slices; None unless two slices, one of them read twice.

    Args:
        groups: readings of each slice, at least one each [mm]
        confidence: of the limits, between 0 and 1 [-]

    Source: estimates by restricted maximum likelihood of the one-way random-effects model and slice means by its best
    linear unbiased prediction (Searle, Casella & McCulloch, *Variance Components*, 1992, from memory); limits within by
    chi-square; limits between by J. S. Williams, *Biometrika* 49:278-281, 1962 (from memory), with the harmonic mean of
    the numbers of readings where they differ (Thomas & Hultquist, *Annals of Statistics* 6:582-587, 1978, from memory).

    >>> found = split([[1.0, 1.2], [2.0, 2.2], [3.0, 3.2]])
    >>> round(found.within.sd, 4), round(found.between.sd, 4)
    (0.1414, 0.995)
    """
    if len(groups) < 2 or all(len(readings) < 2 for readings in groups):
        return None
    table = one_way(groups)
    sizes, means, _ = _summaries(groups)
    ratio, within_variance, mean, mean_variance = _restricted_likelihood(sizes, means, table.within_squares)
    kept = sizes * ratio / (1 + sizes * ratio)
    return Split(
        within=_within_limits(sqrt(within_variance), table, confidence),
        between=_between_limits(sqrt(ratio * within_variance), table, sizes, means, confidence),
        mean=mean,
        mean_error=sqrt(mean_variance),
        slice_means=tuple(float(value) for value in mean + kept * (means - mean)),
        table=table,
        confidence=confidence,
    )


def _summaries(groups: Sequence[Sequence[float]]) -> tuple[Array, Array, float]:
    """Number and mean of each group's readings, and the sum of squares within."""
    import numpy as np

    sizes = np.array([len(readings) for readings in groups])
    values = np.concatenate([np.asarray(readings, dtype=float) for readings in groups])
    origin, place = float(values[0]), np.repeat(np.arange(len(groups)), sizes)
    means = np.bincount(place, values - origin) / sizes
    within = values - origin - means[place]
    # A second pass takes off what rounding left in the first means.
    correction = np.bincount(place, within) / sizes
    return sizes.astype(float), origin + (means + correction), float(((within - correction[place]) ** 2).sum())


def _restricted_likelihood(sizes: Array, means: Array, within_squares: float) -> tuple[float, float, float, float]:
    """Ratio of the variances between and within, the variance within, the mean and the variance of the mean.

    For a given ratio the mean and the variance have closed forms; the ratio is sought about that of the slices' means.
    """
    import numpy as np
    from scipy.optimize import minimize_scalar

    df = int(sizes.sum()) - 1

    def solved(ratio: float) -> tuple[float, float, float, float]:
        weights = sizes / (1 + sizes * ratio)
        mean = float(weights @ means / weights.sum())
        squares = within_squares + float(weights @ (means - mean) ** 2)
        loss = df * np.log(max(squares, 1e-300)) + float(np.log1p(sizes * ratio).sum() + np.log(weights.sum()))
        return loss, squares / df, mean, squares / df / float(weights.sum())

    between = float(means.var(ddof=1)) / max(within_squares / (sizes.sum() - len(sizes)), 1e-300)
    middle = np.log(max(between - float((1 / sizes).mean()), 1e-3))
    found = minimize_scalar(lambda power: solved(np.exp(power))[0], bounds=(middle - 12, middle + 12), method="bounded")
    ratio = min((0.0, float(np.exp(found.x))), key=lambda one: solved(one)[0])
    _, variance, mean, mean_variance = solved(ratio)
    return ratio, variance, mean, mean_variance


def _within_limits(sd: float, table: OneWay, confidence: float) -> Spread:
    """Chi-square limits of the spread within."""
    from scipy.special import chdtri

    low, high = (chdtri(table.within_df, tail) for tail in ((1 - confidence) / 2, (1 + confidence) / 2))
    return Spread(sd=sd, lower=sqrt(table.within_squares / low), upper=sqrt(table.within_squares / high))


def _between_limits(sd: float, table: OneWay, sizes: Array, means: Array, confidence: float) -> Spread:
    """Limits of the spread between slices from the slices' plain means."""
    from scipy.special import chdtri, fdtri

    a, e, tail = table.between_df, table.within_df, (1 - confidence) / 2
    squares = float(((means - means.mean()) ** 2).sum())
    noise = table.within_squares / e * float((1 / sizes).mean())
    upper_f, lower_f = fdtri(a, e, 1 - tail), fdtri(a, e, tail)
    lower = max(0.0, (squares - a * noise * upper_f) / chdtri(a, tail))
    upper = (squares - a * noise * lower_f) / chdtri(a, 1 - tail)
    return Spread(sd=sd, lower=sqrt(lower), upper=sqrt(upper) if upper > 0 else None)
