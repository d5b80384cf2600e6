"""What so few readings cannot tell yet, and how many more are needed."""

from __future__ import annotations

from dataclasses import dataclass

from sheetkit.trade.capability import ENOUGH_FOR_CAPABILITY
from sheetkit.trade.control import ENOUGH_FOR_LIMITS
from sheetkit.trade.drift import FEWEST_FOR_DRIFT

FEWEST_FOR_SPREAD = 3
"""Slices below which the spread, and every interval that rests on it, is all but a guess."""

ENOUGH_FOR_RUNS = 8
"""Slices in a row that the longest run rule looks at."""

MOST_WORTH_ASKING = 1000
"""Slices beyond which no number is named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """Something that cannot be said yet.

    Attributes:
        what: that which cannot be said
        more: how many more slices are needed [-]
    """

    what: str
    more: int

    @property
    def words(self) -> str:
        """The finding as a sentence."""
        slices = "1 more measured slice is" if self.more == 1 else f"{self.more} more measured slices are"
        return f"{self.what[0].upper()}{self.what[1:]} cannot be said yet: {slices} needed."


NEEDS = (
    ("how much the slices spread", FEWEST_FOR_SPREAD),
    ("whether the run drifts", FEWEST_FOR_DRIFT),
    ("whether the level has moved", ENOUGH_FOR_RUNS),
    ("where the control limits settle", ENOUGH_FOR_LIMITS),
    ("whether the saw can hold the tolerance", ENOUGH_FOR_CAPABILITY),
)


def missing(slices: int) -> tuple[Missing, ...]:
    """What cannot be said from so many slices, the nearest first.

    Args:
        slices: slices measured one by one [-]

    Source: the fewest readings that each calculation asks for, see their modules.

    >>> [one.words for one in missing(4)][0]
    'Whether the run drifts cannot be said yet: 1 more measured slice is needed.'
    """
    return tuple(Missing(what=what, more=needed - slices) for what, needed in NEEDS if slices < needed)


def needed_for_offset(slice_sd: float, within: float, *, confidence: float = 0.95) -> int | None:
    """How many slices it takes until the offset is known within a margin; None beyond a thousand.

    Args:
        slice_sd: spread of the slices, > 0 [mm]
        within: half-width wanted of the confidence interval, for example half a division of the dial, > 0 [mm]
        confidence: of the interval, between 0 and 1 [-]

    Source: smallest n with t(n - 1) slice_sd / sqrt(n) <= within; Student's t interval of a mean.

    >>> needed_for_offset(0.0178, 0.0127)
    11
    """
    from scipy.special import stdtrit

    for count in range(2, MOST_WORTH_ASKING + 1):
        if float(stdtrit(count - 1, (1 + confidence) / 2)) * slice_sd <= within * count**0.5:
            return count
    return None
