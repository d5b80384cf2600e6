"""Capability indices and their bounds against published figures."""

import pytest

from sheetkit.trade.capability import indices, share_outside, spread_bound, worst_bound


def test_the_handbooks_indices():
    """NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, standard deviation 2."""
    found = indices(16.0, 2.0, 8.0, 20.0)
    assert found.spread == pytest.approx(1.0, abs=1e-4)
    assert found.to_upper == pytest.approx(0.6667, abs=1e-4)
    assert found.to_lower == pytest.approx(1.3333, abs=1e-4)
    assert found.worst == pytest.approx(0.6667, abs=1e-4)
    assert found.off_centre == pytest.approx(0.3333, abs=1e-4)
    assert (1 - found.off_centre) * found.spread == pytest.approx(found.worst, abs=1e-12)


@pytest.mark.parametrize(("count", "low", "high"), [(50, 0.5056, 0.8278), (30, 0.4577, 0.8756), (100, 0.5531, 0.7802)])
def test_interval_of_cpk(count, low, high):
    """Formula of NIST/SEMATECH e-Handbook 6.1.6, recomputed; Cpk 2/3, 95 %."""
    assert worst_bound(2 / 3, count, count - 1, 0.025) == pytest.approx(low, abs=1e-4)
    assert worst_bound(2 / 3, count, count - 1, 0.975) == pytest.approx(high, abs=1e-4)


def test_interval_of_cpk_with_twenty_readings():
    """The same formula, Cpk 1.33."""
    assert worst_bound(1.33, 20, 19, 0.025) == pytest.approx(0.8826, abs=1e-3)
    assert worst_bound(1.33, 20, 19, 0.975) == pytest.approx(1.7774, abs=1e-3)


def test_interval_of_cp():
    """The same section, chi-square limits; 50 readings, Cp 1."""
    assert spread_bound(1.0, 49, 0.025) == pytest.approx(0.8025, abs=1e-4)
    assert spread_bound(1.0, 49, 0.975) == pytest.approx(1.1971, abs=1e-4)


def test_interval_of_cp_from_the_textbook():
    """Montgomery, chapter on capability (from memory): limits 38 and 62, s 1.75, 20 readings: 2.29, 1.57 to 3.01."""
    assert indices(50.0, 1.75, 38.0, 62.0).spread == pytest.approx(2.29, abs=0.005)
    cp = 2.29  # the book goes on with the rounded figure
    assert spread_bound(cp, 19, 0.025) == pytest.approx(1.57, abs=0.005)
    assert spread_bound(cp, 19, 0.975) == pytest.approx(3.01, abs=0.005)


@pytest.mark.parametrize(
    ("cp", "per_million"), [(1 / 3, 317311), (2 / 3, 45500), (1, 2700), (4 / 3, 63.34), (5 / 3, 0.573), (2, 0.00197)]
)
def test_share_outside_of_a_centred_process(cp, per_million):
    """Tails of the normal distribution; the last figure has three digits."""
    assert 1e6 * share_outside(0.0, 1.0, -3 * cp, 3 * cp) == pytest.approx(per_million, rel=2e-3)


def test_share_beyond_each_limit():
    """Mean 16, standard deviation 2: above 20 0.02275, below 8 3.167e-5."""
    assert share_outside(16.0, 2.0, -1e9, 20.0) == pytest.approx(0.02275, abs=1e-6)
    assert share_outside(16.0, 2.0, 8.0, 1e9) == pytest.approx(3.167e-5, abs=1e-8)
