"""Will the caliper do? Repeat readings of the same slices, by one hand or several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt
from statistics import fmean

from sheetkit.trade.arrays import Array

POOL_ABOVE = 0.05
"""Chance value of the interaction above which it is counted with repeatability. Common practice: 0.05 to 0.25."""

GOOD, PASSABLE = 10.0, 30.0
"""Per cent of the spread, or of the tolerance, that measuring may take up. Common practice, no source; the bands of
AIAG, *Measurement Systems Analysis* (from memory)."""

ENOUGH_CATEGORIES = 5
"""Classes that the readings should be able to tell apart. Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """One reading of a slice that is measured more than once.

    Attributes:
        slice: the slice's name
        hand: who measured, or with what; empty when always the same
        reading_mm: what was read [mm]
    """

    slice: str
    hand: str
    reading_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossed:
    """Analysis of variance of a crossed study.

    Attributes:
        slices_squares: sum of squares between slices [mm^2]
        hands_squares: sum of squares between hands [mm^2]
        interaction_squares: sum of squares of slice by hand [mm^2]
        repeat_squares: sum of squares of repeats [mm^2]
        interaction_f: variance ratio of the interaction [-]
        interaction_p: chance of so large a ratio without interaction [-]
        pooled: the interaction was counted with repeatability
    """

    slices_squares: float
    hands_squares: float
    interaction_squares: float
    repeat_squares: float
    interaction_f: float
    interaction_p: float
    pooled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """What the repeat readings say of the caliper; standard deviations.

    Attributes:
        repeatability_mm: same slice, same hand [mm]
        reproducibility_mm: between hands, interaction included; None with one hand [mm]
        slices_mm: between the slices themselves [mm]
        table: analysis of variance; None where the study is not complete or not by that method
        method: how it was worked out
    """

    repeatability_mm: float
    reproducibility_mm: float | None
    slices_mm: float
    table: Crossed | None
    method: str

    @property
    def measuring_mm(self) -> float:
        """Repeatability and reproducibility together [mm]."""
        return hypot(self.repeatability_mm, self.reproducibility_mm or 0.0)

    @property
    def total_mm(self) -> float:
        """Measuring and slices together [mm]."""
        return hypot(self.measuring_mm, self.slices_mm)

    @property
    def categories(self) -> float:
        """Classes of slices that the readings can tell apart, before rounding down [-]."""
        return sqrt(2) * self.slices_mm / self.measuring_mm if self.measuring_mm else float("inf")

    @property
    def percent_of_spread(self) -> float:
        """Measuring as a share of the whole spread [%]."""
        return 100 * self.measuring_mm / self.total_mm if self.total_mm else 0.0

    def percent_of_tolerance(self, tolerance_mm: float) -> float:
        """Six standard deviations of measuring as a share of the whole tolerance [%].

        Args:
            tolerance_mm: how far a slice may be off, either way, > 0 [mm]

        Source: common practice, no source: the tolerance's width against six standard deviations.
        """
        return 100 * 6 * self.measuring_mm / (2 * tolerance_mm)

    def verdict(self, tolerance_mm: float) -> str:
        """Whether the caliper will do for a tolerance, in words.

        Args:
            tolerance_mm: how far a slice may be off, either way, > 0 [mm]

        Source: bands of 10 and 30 %, common practice, no source.
        """
        share = self.percent_of_tolerance(tolerance_mm)
        taken = f"measuring takes up {share:.0f} % of the tolerance"
        if share < GOOD:
            return f"The caliper will do: {taken}."
        if share <= PASSABLE:
            return f"The caliper will do with care: {taken}; read twice and use the mean where a slice is near a limit."
        return f"The caliper will not do for this tolerance: {taken}; use a finer one, or allow more."


def study(repeats: Sequence[Repeat]) -> Study | None:
    """Judge the caliper from repeat readings; None unless some slice was read twice by one hand.

    With every slice read as often by every hand, two hands or more, the crossed analysis of variance is used.
    Otherwise the repeats of each slice and hand give repeatability alone.

    Args:
        repeats: every reading

    Source: see `crossed`; pooled standard deviation otherwise.

    >>> found = study([Repeat(slice=name, hand="", reading_mm=mm) for name, mm in zip("aabb", (1.0, 1.2, 2.0, 2.2))])
    >>> round(found.repeatability_mm, 4), found.reproducibility_mm
    (0.1414, None)
    """
    cells: dict[tuple[str, str], list[float]] = {}
    for one in repeats:
        cells.setdefault((one.slice, one.hand), []).append(one.reading_mm)
    slices, hands = dict.fromkeys(one.slice for one in repeats), dict.fromkeys(one.hand for one in repeats)
    sizes = {len(cell) for cell in cells.values()}
    if not sizes or max(sizes) < 2:
        return None
    if len(cells) == len(slices) * len(hands) and len(sizes) == 1 and min(len(slices), len(hands)) > 1:
        return crossed([[cells[piece, hand] for hand in hands] for piece in slices])
    return _repeats_alone(list(cells.values()))


def crossed(readings: Sequence[Sequence[Sequence[float]]]) -> Study:
    """Crossed study by analysis of variance; the interaction is pooled with repeatability when it does not show.

    Args:
        readings: by slice, then hand, then trial, all of one length, two or more of each [mm]

    Source: two-way random-effects analysis of variance (D. C. Montgomery, *Introduction to Statistical Quality
    Control*, chapter on gauge studies, from memory).

    >>> found = crossed([[[1.0, 1.1], [1.1, 1.2]], [[2.0, 2.1], [2.1, 2.2]]])
    >>> round(found.repeatability_mm, 4), found.table.pooled
    (0.0632, True)
    """
    import numpy as np
    from scipy.special import fdtrc

    values = np.asarray(readings, dtype=float)
    slices, hands, trials = values.shape
    table = _table(values)
    interaction_df, repeat_df = (slices - 1) * (hands - 1), slices * hands * (trials - 1)
    interaction, repeat = table[2] / interaction_df, table[3] / repeat_df
    ratio = interaction / repeat if repeat else float("inf") if interaction else 0.0
    chance = float(fdtrc(interaction_df, repeat_df, ratio))
    pooled = chance > POOL_ABOVE
    if pooled:
        repeat = (table[2] + table[3]) / (interaction_df + repeat_df)
        interaction = repeat
    hand_variance = max(0.0, (table[1] / (hands - 1) - interaction) / (slices * trials))
    slice_variance = max(0.0, (table[0] / (slices - 1) - interaction) / (hands * trials))
    both = max(0.0, (interaction - repeat) / trials)
    return Study(
        repeatability_mm=sqrt(repeat),
        reproducibility_mm=sqrt(hand_variance + both),
        slices_mm=sqrt(slice_variance),
        table=Crossed(
            slices_squares=table[0],
            hands_squares=table[1],
            interaction_squares=table[2],
            repeat_squares=table[3],
            interaction_f=ratio,
            interaction_p=chance,
            pooled=pooled,
        ),
        method="analysis of variance, interaction pooled" if pooled else "analysis of variance with interaction",
    )


def _table(values: Array) -> tuple[float, float, float, float]:
    """Sums of squares of slices, hands, interaction and repeats."""
    slices, hands, trials = values.shape
    centred = values - values.mean()
    cells, of_slices, of_hands = centred.mean(axis=2), centred.mean(axis=(1, 2)), centred.mean(axis=(0, 2))
    between = cells - of_slices[:, None] - of_hands[None, :]
    return (
        float((of_slices**2).sum()) * hands * trials,
        float((of_hands**2).sum()) * slices * trials,
        float((between**2).sum()) * trials,
        float(((centred - cells[:, :, None]) ** 2).sum()),
    )


def _repeats_alone(cells: Sequence[Sequence[float]]) -> Study:
    """Repeatability from the repeats, and the slices' spread from the means."""
    repeated = [cell for cell in cells if len(cell) > 1]
    squares = sum(sum((value - fmean(cell)) ** 2 for value in cell) for cell in repeated)
    repeat = squares / sum(len(cell) - 1 for cell in repeated)
    means = [fmean(cell) for cell in cells]
    spread = sum((mean - fmean(means)) ** 2 for mean in means) / max(1, len(means) - 1)
    return Study(
        repeatability_mm=sqrt(repeat),
        reproducibility_mm=None,
        slices_mm=sqrt(max(0.0, spread - repeat * fmean(1 / len(cell) for cell in cells))),
        table=None,
        method="repeats of each slice alone",
    )
