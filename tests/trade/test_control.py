import pytest

from sheetkit.trade.control import RUN_RULES, individuals, signals
from sheetkit.trade.drift import drift

STEADY = [0.0, 1.0, -1.0, 0.5, -0.5, 1.0, -1.0, 0.5, -0.5, 0.0] * 3


def rule(needed: int, window: int) -> str:
    return next(one.words for one in RUN_RULES if (one.needed, one.window) == (needed, window))


def places(values: list[float]) -> dict[str, tuple[int, ...]]:
    return {signal.rule: signal.places for signal in signals(individuals(values))}


def test_one_slice_gives_no_limits():
    assert individuals([1.0]) is None


def test_short_term_spread_comes_from_neighbours_and_not_from_the_whole_run():
    """Ten at 0, ten at 5, each give or take 0.1: the step is no part of the spread from one slice to the next."""
    values = [0.1, -0.1] * 5 + [5.1, 4.9] * 5
    chart = individuals(values)
    # Moving ranges: 18 of 0.2 and one of 5.2, mean 8.8 / 19.
    assert chart.moving_range == pytest.approx(8.8 / 19)
    assert chart.sd > 5 * chart.sigma
    assert chart.moving_ranges[9] == pytest.approx(5.2)


def test_limits_are_settled_from_twenty_slices():
    assert not individuals(STEADY[:19]).settled
    assert individuals(STEADY[:20]).settled


def test_a_steady_run_raises_no_signal():
    assert places(STEADY) == {}


def test_slices_that_are_all_the_same_raise_no_signal():
    assert signals(individuals([1.0] * 20)) == ()


def test_a_slice_beyond_the_limits_is_named():
    found = places([*STEADY, 9.0])
    assert found[rule(1, 1)] == (30,)


def test_two_of_three_far_on_the_same_side():
    values = [*STEADY, 3.0, 0.0, 3.0]
    chart = individuals(values)
    assert 2 * chart.sigma < 3.0 - chart.mean < 3 * chart.sigma
    assert places(values)[rule(2, 3)] == (32,)


def test_two_far_on_opposite_sides_are_no_such_signal():
    assert rule(2, 3) not in places([*STEADY, 3.0, 0.0, -3.0])


def test_four_of_five_beyond_a_third_of_the_way():
    values = [*STEADY, 1.6, 1.6, 0.0, 1.6, 1.6]
    chart = individuals(values)
    assert chart.sigma < 1.6 - chart.mean < 2 * chart.sigma
    assert places(values)[rule(4, 5)] == (34,)


def test_eight_in_a_row_on_one_side():
    values = [*STEADY, *[0.6] * 9]
    assert places(values)[rule(8, 8)] == (37, 38)
    assert rule(8, 8) not in places([*STEADY, *[0.6] * 7])


def test_every_rule_says_why_it_is_applied():
    assert all(one.why and one.likely for one in RUN_RULES)


def test_a06_the_drift_and_the_first_slice_over():
    values = [0.0400, 0.0402, 0.0404, 0.0406, 0.0408, 0.0410]
    found = drift(range(1, 7), values, upper=0.0420)
    assert found.slope == pytest.approx(0.0002, abs=1e-12)
    assert found.first_out == 12, "the eleventh is exactly on the limit"
    assert found.clear


def test_a06_in_millimetres_and_downwards():
    values = [25.4 * value for value in (-0.0400, -0.0402, -0.0404, -0.0406, -0.0408, -0.0410)]
    assert drift(range(1, 7), values, lower=-0.0420 * 25.4).first_out == 12


def test_a_steady_run_has_no_first_slice_out_in_sight():
    found = drift(range(10), [1.0, 1.1] * 5, lower=0.0, upper=2.0)
    assert not found.clear
    assert found.p > 0.3
    assert drift(range(5), [1.0] * 5, upper=2.0).first_out is None
    assert drift(range(5), [1.0] * 5, upper=2.0).p == 1.0


def test_a_run_that_is_already_out_names_the_very_next_slice():
    assert drift(range(5), [3.0, 3.1, 3.0, 3.1, 3.0], upper=2.0).first_out == 5


def test_gaps_in_the_order_count():
    """Slices 1, 2, 11 and 12 at 0.1 per slice: with the gap forgotten the slope would be far steeper."""
    assert drift([1, 2, 11, 12], [0.1, 0.2, 1.1, 1.2]).slope == pytest.approx(0.1)


def test_standard_error_and_p_of_a_drift_are_those_of_the_textbook_line():
    """x 1..5, y 1 3 2 5 4: slope 8/10, residual squares 10 - 6.4 = 3.6, error sqrt(1.2 / 10); t = 2.309, p 0.104."""
    found = drift([1, 2, 3, 4, 5], [1.0, 3.0, 2.0, 5.0, 4.0])
    assert found.slope == pytest.approx(0.8)
    assert found.standard_error == pytest.approx(0.12**0.5)
    assert found.p == pytest.approx(0.104, abs=5e-4)
    # t(0.975, 3) = 3.1824 by any table.
    assert found.interval[1] == pytest.approx(0.8 + 3.1824 * 0.12**0.5, abs=1e-4)


def test_two_slices_are_no_drift():
    assert drift([1, 2], [1.0, 2.0]) is None
    assert drift([1, 1, 1], [1.0, 2.0, 3.0]) is None
