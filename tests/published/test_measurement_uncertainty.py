"""Uncertainty of a reading and decision rules against published figures."""

import math
from statistics import NormalDist

import pytest

from sheetkit.trade.thickness import Readings, Verdict, chance_between, judge, reading_uncertainty


@pytest.mark.parametrize(
    ("division", "uncertainty"),
    [(0.001, 0.000288675), (0.0005, 0.000144338), (0.0001, 0.0000288675), (0.01, 0.00288675135)],
)
def test_resolution(division, uncertainty):
    """JCGM 100:2008 (GUM) F.2.2.1: division / sqrt(12); the guide prints 0.29."""
    assert reading_uncertainty(division) == pytest.approx(uncertainty, abs=1e-9)
    assert reading_uncertainty(1.0) == pytest.approx(0.29, abs=0.005)


def test_a_rectangular_half_width_is_half_a_division():
    """GUM 4.3.7: half-width a gives a / sqrt(3) = 0.577350 a; a division is two half-widths."""
    assert reading_uncertainty(2.0) == pytest.approx(0.577350, abs=1e-6)


def test_root_sum_of_squares():
    """GUM annex H.1: 25, 9.7, 2.9 and 16.6 nm give 31.7 nm; its part of 5.8, 3.9 and 6.7 nm gives 9.7 nm."""
    pair, other = reading_uncertainty(25 * math.sqrt(12), 9.7), reading_uncertainty(2.9 * math.sqrt(12), 16.6)
    assert reading_uncertainty(pair * math.sqrt(12), other) == pytest.approx(31.7, abs=0.5)
    part = reading_uncertainty(5.8 * math.sqrt(12), 3.9)
    assert reading_uncertainty(part * math.sqrt(12), 6.7) == pytest.approx(9.7, abs=0.05)


def test_guard_band_for_95_per_cent():
    """ISO 14253-1:2017 in ILAC-G8:09/2019, table 1: 1.65 u = 0.83 U with U = 2 u, risk 4.85 %, said as below 5 %."""
    check = judge(Readings(middle_mm=1.0), 1.0, 0.1, caliper_mm=0.0, repeatability_mm=0.01)
    assert check.guard_factor == pytest.approx(1.65, abs=0.01)
    assert check.guard_mm == pytest.approx(0.83 * 2 * 0.01, rel=0.01)
    on_the_edge = chance_between(1.1 - 0.83 * 2 * 0.01, 0.01, -1e9, 1.1)
    assert 100 * (1 - on_the_edge) == pytest.approx(4.85, abs=0.01)


@pytest.mark.parametrize(("bands", "risk"), [(1.0, 0.02275), (1.5, 0.00135), (3.0, 9.9e-10)])
def test_risk_for_wider_guard_bands(bands, risk):
    """The same table: w = U below 2.5 %; 1.5 U 0.16 % (the tail is 0.135 %); 3 U below one in a million."""
    assert 1 - chance_between(-2 * bands, 1.0, -1e9, 0.0) == pytest.approx(risk, rel=5e-3, abs=1e-11)


def test_the_risk_asked_for_gives_the_guard_band():
    """w = U, so 2 u, at 2.275 %."""
    check = judge(Readings(middle_mm=1.0), 1.0, 0.1, caliper_mm=0.0, repeatability_mm=0.01, risk=0.02275)
    assert check.guard_mm == pytest.approx(0.02, abs=1e-5)


def test_simple_acceptance_on_the_limit_is_an_even_chance():
    """The same table: w = 0, a reading on the limit: 50 %. With a guard band it is borderline."""
    assert chance_between(1.1, 0.01, -1e9, 1.1) == pytest.approx(0.5)
    assert judge(Readings(middle_mm=1.1), 1.0, 0.1, caliper_mm=0.01).verdict is Verdict.BORDERLINE


def test_conformance_to_an_upper_limit():
    """JCGM 106:2012, 7.3.3, example 1 (from memory): limit -5.40 V, read -5.47 V, u 0.05 V: 0.919."""
    assert chance_between(-5.47, 0.05, -1e9, -5.40) == pytest.approx(0.919, abs=1e-3)


def test_conformance_to_a_lower_limit():
    """The same, example 2 (from memory): limit 490 kPa, read 509.7 kPa, u 8.6 kPa: 0.989."""
    assert chance_between(509.7, 8.6, 490.0, 1e9) == pytest.approx(0.989, abs=1e-3)


def test_conformance_to_two_limits():
    """JCGM 106:2012, 7.4: the difference of two tails."""
    normal = NormalDist()
    wanted = normal.cdf((1.1 - 1.04) / 0.05) - normal.cdf((0.9 - 1.04) / 0.05)
    assert chance_between(1.04, 0.05, 0.9, 1.1) == pytest.approx(wanted, abs=1e-12)


def test_speed_that_is_over_the_limit_beyond_doubt():
    """JCGM 106:2012, guarded rejection (from memory): 100 km/h, u 2 % of the reading, 99.9 %: 106.6 km/h."""
    assert chance_between(106.6, 0.02 * 106.6, 100.0, 1e9) == pytest.approx(0.999, abs=1e-4)
