"""How many slices to saw so that enough good ones come out, each number with its reason in a sentence."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

PRIOR_KEPT, PRIOR_REJECTED = 9.0, 1.0
"""Assumed record of a maker without one: ten slices, one rejected. Common practice, no source (a tenth on top)."""

MOST_SLICES = 100_000


@dataclass(frozen=True, slots=True)
class ToSaw:
    """How many slices to saw of one kind, and why.

    Attributes:
        slices: slices to saw, spares included [1]
        spares: how many of them are spares [1]
        chance_short: chance that fewer good ones come out than are needed; none where it was not worked out [1]
        reason: why so many, in a sentence
    """

    slices: int
    spares: int
    chance_short: float | None
    reason: str


def with_share_on_top(needed: int, share: float) -> ToSaw:
    """Add a share to the slices needed of one kind, rounded up for that kind on its own.

    Args:
        needed: good slices needed, >= 0 [1]
        share: spares as a share of the slices needed, 0.1 for a tenth, >= 0 [1]

    Source: common practice, no source; the share is the maker's setting.

    >>> with_share_on_top(20, 0.1).slices, with_share_on_top(21, 0.1).slices
    (22, 24)
    """
    slices = needed + ceil(needed * _exact(share))
    return ToSaw(slices, slices - needed, None, f"{needed} needed and {100 * share:g} % on top")


def for_risk(
    needed: int,
    kept_before: int,
    rejected_before: int,
    risk: float,
    prior_kept: float = PRIOR_KEPT,
    prior_rejected: float = PRIOR_REJECTED,
    job_risk: float | None = None,
) -> ToSaw:
    """Find the least number to saw so that the chance of too few good ones stays under a risk, from the maker's record.

    Args:
        needed: good slices still needed, >= 0 [1]
        kept_before: slices of the maker's record that count for the panels, >= 0 [1]
        rejected_before: slices of the record that do not, borderline ones among them, >= 0 [1]
        risk: greatest chance of running short that is accepted, > 0 and < 1 [1]
        prior_kept: good slices counted beside the record, so that a short one is not believed too much, > 0 [1]
        prior_rejected: rejected slices counted beside the record, > 0 [1]
        job_risk: the risk that the whole job may run, where `risk` is a share of it; only told [1]

    Raises:
        ValueError: if the risk is not between 0 and 1, or no number of slices up to 100 000 meets it.

    Source: beta-binomial distribution, Johnson, Kemp & Kotz, Univariate Discrete Distributions (3rd edition, 2005),
    6.2.2: the good ones among n sawn, when the share kept is known only from a record.

    >>> saw = for_risk(20, kept_before=95, rejected_before=5, risk=0.05)
    >>> saw.slices, saw.spares, saw.chance_short <= 0.05
    (23, 3, True)
    """
    good, bad = kept_before + prior_kept, rejected_before + prior_rejected
    slices, chance = _least(needed, risk, lambda sawn: _chance_unsure(needed, sawn, good, bad))
    record = kept_before + rejected_before
    reason = (
        f"{needed} needed; {rejected_before} of {record} slices on record did not count (out of tolerance, "
        f"borderline, or marked not to be used), reckoned with {prior_rejected:g} of {prior_kept + prior_rejected:g} "
        f"assumed; {_risk_words(chance, risk, job_risk)}"
    )
    return ToSaw(slices, slices - needed, chance, reason)


def for_share_out(needed: int, share_out: float, risk: float, job_risk: float | None = None) -> ToSaw:
    """Find the least number to saw so that the chance of too few stays under a risk, from the share expected out.

    Args:
        needed: good slices still needed, >= 0 [1]
        share_out: share of slices expected out of tolerance, >= 0 and < 1 [1]
        risk: greatest chance of running short that is accepted, > 0 and < 1 [1]
        job_risk: the risk that the whole job may run, where `risk` is a share of it; only told [1]

    Raises:
        ValueError: if a share is outside its range, or no number of slices up to 100 000 meets the risk.

    Source: binomial distribution, Johnson, Kemp & Kotz, Univariate Discrete Distributions (3rd edition, 2005), 3.1.

    >>> for_share_out(20, share_out=0.0, risk=0.05).slices
    20
    """
    if not 0 <= share_out < 1:
        raise ValueError(f"a share out of tolerance of {share_out:g} was given; wanted at least 0 and below 1")
    slices, chance = _least(needed, risk, lambda sawn: _chance_sure(needed, sawn, 1 - share_out))
    reason = (
        f"{needed} needed and {100 * share_out:.1f} % expected out of tolerance; {_risk_words(chance, risk, job_risk)}"
    )
    return ToSaw(slices, slices - needed, chance, reason)


def _risk_words(chance: float, risk: float, job_risk: float | None) -> str:
    share = "" if job_risk is None or risk == job_risk else f", its share of the job's {100 * job_risk:.3g} %"
    return f"the chance of running short is {100 * chance:.3g} %, at most {100 * risk:.3g} % asked{share}"


def _least(needed: int, risk: float, chance_of: Callable[[int], float]) -> tuple[int, float]:
    """Search the least number whose chance is under the risk; the chance falls with every slice more."""
    if not 0 < risk < 1:
        raise ValueError(f"a risk of {risk:g} was given; wanted more than 0 and less than 1")
    low, high = needed, max(1, needed)
    while chance_of(high) > risk:
        low, high = high + 1, 2 * high
        if low > MOST_SLICES:
            raise ValueError(f"not even {MOST_SLICES} slices keep the chance of running short under {risk:g}")
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if chance_of(middle) <= risk else (middle + 1, high)
    return low, chance_of(low)


def _chance_unsure(needed: int, sawn: int, good: float, bad: float) -> float:
    from scipy.stats import betabinom

    return 0.0 if needed <= 0 else float(betabinom.cdf(needed - 1, sawn, good, bad))


def _chance_sure(needed: int, sawn: int, share_kept: float) -> float:
    from scipy.stats import binom

    return 0.0 if needed <= 0 else float(binom.cdf(needed - 1, sawn, share_kept))


def _exact(share: float) -> Fraction:
    """The decimal that the maker typed: 0.1 is a tenth, not the binary number beside it."""
    return Fraction(str(share))
