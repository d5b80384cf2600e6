import numpy as np
import pytest

from sheetkit.trade.capability import capability, moving_range_df, next_outside, share_outside
from sheetkit.trade.enough import missing, needed_for_offset
from sheetkit.trade.tolerance_interval import tolerance_interval, two_sided_factor

RUN = [10.1, 9.9, 10.0, 10.2, 9.8, 10.1, 9.9, 10.0, 10.1, 9.9]


def test_short_and_long_term_indices_by_hand():
    """Moving ranges .2 .1 .2 .4 .3 .2 .1 .1 .2 = 1.8 / 9 = 0.2; s: squares 0.14 / 9."""
    found = capability(RUN, 9.5, 10.5)
    assert found.short_sd == pytest.approx(0.2 / 1.128379, rel=1e-6)
    assert found.long_sd == pytest.approx((0.14 / 9) ** 0.5)
    assert found.short.spread == pytest.approx(1 / (6 * 0.2 / 1.128379), rel=1e-6)
    assert found.long.worst == pytest.approx(0.5 / (3 * (0.14 / 9) ** 0.5))


def test_every_bound_lies_below_its_estimate():
    found = capability(RUN, 9.5, 10.5)
    assert found.cp_lower < found.short.spread
    assert found.cpk_lower < found.short.worst
    assert found.pp_lower < found.long.spread
    assert found.ppk_lower < found.long.worst
    assert not found.enough


def test_two_slices_have_no_capability_and_neither_have_equal_ones():
    assert capability([1.0, 2.0], 0.0, 3.0) is None
    assert capability([1.0] * 10, 0.0, 3.0) is None


def test_equal_readings_have_the_spread_that_the_caliper_can_hide():
    found = capability([1.0] * 10, 0.9, 1.1, least_sd=0.01)
    assert found.long.spread == pytest.approx(0.2 / 0.06)


def test_a_few_slices_make_the_next_one_less_sure_than_the_plain_share():
    assert next_outside(0.0, 1.0, 5, -2.0, 2.0) > 2 * share_outside(0.0, 1.0, -2.0, 2.0)
    assert next_outside(0.0, 1.0, 100000, -2.0, 2.0) == pytest.approx(share_outside(0.0, 1.0, -2.0, 2.0), rel=1e-4)


@pytest.mark.parametrize("count", [5, 20])
def test_degrees_of_freedom_of_a_moving_range_against_simulation(count):
    """Relative variance of the mean moving range in 200,000 runs of independent normal values; 1 / (2 df)."""
    runs = np.random.default_rng(3).standard_normal((200_000, count))
    ranges = np.abs(np.diff(runs, axis=1)).mean(axis=1)
    assert moving_range_df(count) == pytest.approx(0.5 * (ranges.mean() / ranges.std()) ** 2, rel=0.02)


def test_tolerance_limits_lie_about_the_mean_by_the_exact_factor():
    found = tolerance_interval(RUN, 0.9, 0.95)
    half = two_sided_factor(10, 0.9, 0.95) * (0.14 / 9) ** 0.5
    assert (found.lower, found.upper) == (pytest.approx(10.0 - half), pytest.approx(10.0 + half))
    assert found.method == "exact factor for normal readings, as in ISO 16269-6"
    assert tolerance_interval([1.0]) is None


@pytest.mark.parametrize(
    ("slices", "first", "more"),
    [
        (0, "how much the slices spread", 3),
        (3, "whether the run drifts", 2),
        (7, "whether the level has moved", 1),
        (19, "where the control limits settle", 1),
        (20, "whether the saw can hold the tolerance", 10),
    ],
)
def test_what_cannot_be_said_yet_and_how_many_more_are_needed(slices, first, more):
    found = missing(slices)[0]
    assert (found.what, found.more) == (first, more)


def test_with_thirty_slices_nothing_is_missing():
    assert missing(30) == ()


def test_one_missing_slice_is_said_in_the_singular():
    assert missing(19)[0].words == (
        "Where the control limits settle cannot be said yet: 1 more measured slice is needed."
    )


def test_slices_needed_for_an_offset_within_a_margin():
    """s = 1, margin 1: t(0.975, 5) / sqrt(6) = 2.5706 / 2.4495 > 1; t(0.975, 6) / sqrt(7) = 2.4469 / 2.6458 < 1."""
    assert needed_for_offset(1.0, 1.0) == 7
    assert needed_for_offset(1.0, 0.001) is None
