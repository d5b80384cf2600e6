"""A mean and its interval, against a reference library and by hand."""

import pytest
from scipy import stats

from sheetkit.trade.mean import mean_of


def test_the_interval_is_students_by_the_reference_library():
    values = [0.12, -0.03, 0.08, 0.11, 0.02]
    found = mean_of(values)
    assert (found.lower, found.upper) == pytest.approx(
        stats.t.interval(0.95, 4, loc=sum(values) / 5, scale=stats.sem(values)), rel=1e-12
    )
    assert found.side == 0


def test_one_value_has_no_interval_and_takes_no_side():
    found = mean_of([0.5])
    assert (found.mean, found.lower, found.upper, found.side) == (0.5, None, None, 0)
    assert mean_of([]) is None


def test_values_that_agree_are_no_surer_than_the_instrument():
    """Three readings of 1 with a hidden spread of 0.1: 1 -+ 4.3027 x 0.1 / sqrt(3); Student's t, 2 degrees, 95 %."""
    found = mean_of([1.0, 1.0, 1.0], least_sd=0.1)
    assert found.upper == pytest.approx(1.0 + 4.302653 * 0.1 / 3**0.5, abs=1e-6)
    assert found.side == 1
