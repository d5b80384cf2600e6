import pytest

from sheetkit.trade.outliers import LIMIT, modified_z


def test_the_score_is_the_published_one():
    """Iglewicz & Hoaglin: 0.6745 (x - median) / MAD; here the median is 0 and MAD 1, one group of many values."""
    deviations = [-2.0, -1.0, -1.0, 0.0, 1.0, 1.0, 2.0] * 100 + [10.0]
    scores = modified_z(deviations)
    assert scores[-1] == pytest.approx(0.6745 * 10, rel=1e-3)
    assert max(scores[:-1]) < LIMIT < scores[-1]


def test_one_wild_value_does_not_hide_another():
    scores = modified_z([0.1, -0.1, 0.0, 0.2, -0.2, 0.1, -0.1, 9.0, 9.5])
    assert [abs(score) > LIMIT for score in scores] == [False] * 7 + [True, True]


def test_when_most_values_agree_the_mean_deviation_stands_in():
    """Nine zeros and a one: MAD 0; mean deviation 0.1 x 1.2533 x sqrt(10 / 9) = 0.13211."""
    assert modified_z([0.0] * 9 + [1.0])[-1] == pytest.approx(1 / 0.13211, rel=1e-4)


def test_nothing_is_flagged_below_the_instruments_division():
    assert modified_z([0.0] * 9 + [1.0], least_sd=0.5)[-1] == pytest.approx(2.0)


def test_too_few_values_have_no_score():
    assert modified_z([5.0]) == [0.0]
    assert modified_z([0.0, 0.0, 0.0]) == [0.0, 0.0, 0.0]


def test_the_loss_of_one_value_to_each_median_widens_the_spread():
    """Twelve values in six groups: sqrt(12 / 6) wider than if the medians were given."""
    deviations = [-1.0, 1.0] * 6
    assert modified_z(deviations, medians_taken=6)[1] == pytest.approx(1 / (1.4826 * 2**0.5), rel=1e-4)
