"""Is the sawing steady? Individuals and moving ranges in the order of sawing, and the run rules."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, stdev

from sheetkit.trade.chart_constants import chart_constants

FEWEST_FOR_LIMITS = 2
"""Slices without which there is no moving range."""

ENOUGH_FOR_LIMITS = 20
"""Slices from which limits are taken to be settled. Common practice, no source: 20 to 25."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Individuals:
    """Chart of single values and of the differences between neighbours.

    Attributes:
        values: in the order of sawing [mm]
        mean: centre line [mm]
        moving_range: mean difference between neighbours, regardless of sign [mm]
        sigma: short-term standard deviation, mean moving range over d2 [mm]
        upper: control limit of the values [mm]
        lower: control limit of the values [mm]
        range_upper: control limit of the moving ranges [mm]
        sd: ordinary standard deviation, which also holds drift and jumps [mm]
    """

    values: tuple[float, ...]
    mean: float
    moving_range: float
    sigma: float
    upper: float
    lower: float
    range_upper: float
    sd: float

    @property
    def moving_ranges(self) -> list[float]:
        """Difference of each value from the one before [mm]."""
        return [abs(after - before) for before, after in pairwise(self.values)]

    @property
    def settled(self) -> bool:
        """Enough slices for the limits to be relied on."""
        return len(self.values) >= ENOUGH_FOR_LIMITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Signal:
    """Slices that break a run rule.

    Attributes:
        rule: the rule in words
        likely: what usually brings it about
        places: positions at which the rule is met, counted from 0 [-]
    """

    rule: str
    likely: str
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRule:
    """So many of so many neighbours beyond a line, all on one side.

    Attributes:
        needed: how many must lie beyond [-]
        window: of how many in a row [-]
        beyond: the line, in standard deviations from the centre [-]
        words: the rule in words
        likely: what usually brings it about
        why: why it is applied
    """

    needed: int
    window: int
    beyond: float
    words: str
    likely: str
    why: str


RUN_RULES = (
    RunRule(
        needed=1,
        window=1,
        beyond=3.0,
        words="one slice beyond the control limits",
        likely="a bump in the feed, a knot, or a wrong dial setting",
        why="a steady saw does this about 3 times in 1000 slices",
    ),
    RunRule(
        needed=2,
        window=3,
        beyond=2.0,
        words="two of three slices in a row beyond two thirds of the way to the same limit",
        likely="a sudden change: blade, tension, feed or caliper",
        why="it finds a change of moderate size within a few slices",
    ),
    RunRule(
        needed=4,
        window=5,
        beyond=1.0,
        words="four of five slices in a row beyond one third of the way to the same limit",
        likely="a small change that stays",
        why="it finds a small change sooner than the control limits do",
    ),
    RunRule(
        needed=8,
        window=8,
        beyond=0.0,
        words="eight slices in a row on the same side of the mean",
        likely="the level has moved, or drifts: dulling, warming, a setting that slipped",
        why="a level that moved by less than the slices' own spread shows in no other way",
    ),
)
"""Source: the Western Electric rules, as in the NIST/SEMATECH e-Handbook, section 6.3.2 (from memory). Together they
raise a false alarm about once in 92 slices of a steady run (C. W. Champ & W. H. Woodall, *Technometrics* 29:393-399,
1987, from memory), so a single signal is a reason to look, not proof. Drift has a test of its own, see
`sheetkit.trade.drift`."""


def individuals(values: Sequence[float]) -> Individuals | None:
    """Control limits from the moving ranges of slices in the order of sawing; None with fewer than two.

    Args:
        values: mean thickness of each slice, less its target where targets differ, in the order of sawing [mm]

    Source: NIST/SEMATECH e-Handbook, section 6.3.2.2, with d2 and D4 unrounded.

    >>> chart = individuals([10.0, 12.0, 11.0, 13.0])
    >>> round(chart.moving_range, 4), round(chart.upper, 4)
    (1.6667, 15.9311)
    """
    if len(values) < FEWEST_FOR_LIMITS:
        return None
    constants, mean = chart_constants(2), fmean(values)
    moving_range = fmean(abs(after - before) for before, after in pairwise(values))
    sigma = moving_range / constants.d2
    return Individuals(
        values=tuple(values),
        mean=mean,
        moving_range=moving_range,
        sigma=sigma,
        upper=mean + 3 * sigma,
        lower=mean - 3 * sigma,
        range_upper=constants.upper_d * moving_range,
        sd=stdev(values),
    )


def signals(chart: Individuals) -> tuple[Signal, ...]:
    """Apply the run rules and name the slices at which each is met.

    A window counts at its last slice, and only if that slice is itself beyond the line.

    Args:
        chart: from `individuals`

    Source: see `RUN_RULES`.

    >>> [signal.places for signal in signals(individuals([0, 1, 0, 1, 0, 1, 0, 1, 0, 9]))]
    [(9,), (7, 8)]
    """
    if chart.sigma <= 0:
        return ()
    scores = [(value - chart.mean) / chart.sigma for value in chart.values]
    found = ((rule, _places(rule, scores)) for rule in RUN_RULES)
    return tuple(Signal(rule=rule.words, likely=rule.likely, places=places) for rule, places in found if places)


def _places(rule: RunRule, scores: Sequence[float]) -> tuple[int, ...]:
    """Positions beyond the line at which the window ending there meets the rule."""
    above, below = (_met(rule, scores, beyond) for beyond in (rule.beyond.__lt__, lambda score: score < -rule.beyond))
    return tuple(sorted(above | below))


def _met(rule: RunRule, scores: Sequence[float], beyond: Callable[[float], bool]) -> set[int]:
    """Positions that lie beyond and close a window holding enough such positions."""
    places, count = set(), 0
    flags = [beyond(score) for score in scores]
    for place, flag in enumerate(flags):
        count += flag - (flags[place - rule.window] if place >= rule.window else 0)
        if flag and count >= rule.needed:
            places.add(place)
    return places
