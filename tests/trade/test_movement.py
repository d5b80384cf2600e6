"""Movement by grain, between neighbours and between turned layers. Published examples stand in tests/published."""

from math import pi, radians, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.movement import (
    crossed_movement,
    crossing_doubts,
    face_coefficients,
    movement,
    movement_doubts,
)


def test_drying_shrinks_and_wetting_swells():
    assert movement(100.0, 0.002, 8.0, 12.0) == pytest.approx(0.8)
    assert movement(100.0, 0.002, 12.0, 8.0) == pytest.approx(-0.8)


def test_nothing_moves_above_thirty_per_cent():
    """Wood Handbook, FPL-GTR-190 (2010), text after Eq. (13-3)."""
    assert movement(100.0, 0.002, 30.0, 80.0) == 0.0
    assert movement(100.0, 0.002, 28.0, 80.0) == pytest.approx(0.4)


def test_grain_decides_which_coefficient_counts():
    assert face_coefficients(0.00165, 0.00353, "flat") == (0.00353, 0.00353)
    assert face_coefficients(0.00165, 0.00353, "quarter") == (0.00165, 0.00165)
    assert face_coefficients(0.00165, 0.00353, "rift") == pytest.approx((0.00259, 0.00259))


def test_unknown_grain_gives_both_ends_and_not_a_guess():
    assert face_coefficients(0.00165, 0.00353, None) == (0.00165, 0.00353)


def test_a_grain_that_is_no_grain_is_refused():
    with pytest.raises(ValueError, match="'radial' is none of flat, quarter and rift"):
        face_coefficients(0.00165, 0.00353, "radial")


def test_a_turn_either_way_and_half_round():
    assert crossed_movement(100.0, 0.003, 4.0, pi / 4) == pytest.approx(1.2 / sqrt(2))
    assert crossed_movement(100.0, 0.003, -4.0, -pi / 4) == pytest.approx(1.2 / sqrt(2))
    assert crossed_movement(100.0, 0.003, 4.0, pi) == pytest.approx(0.0, abs=1e-12)


@settings(deadline=None)
@given(st.floats(-180.0, 180.0))
def test_no_direction_of_two_turned_rings_moves_further_apart_than_is_said(turn):
    """By scan: strains across sin^2 a of two rings, one turned; none along the grain."""

    def strain(angle_deg):
        return 0.003 * 4.0 * sin(radians(angle_deg)) ** 2

    furthest = max(abs(strain(quarter / 4) - strain(quarter / 4 - turn)) for quarter in range(720))
    assert furthest == pytest.approx(crossed_movement(1.0, 0.003, 4.0, radians(turn)), abs=1e-6)


def test_moisture_outside_the_range_of_the_coefficients_is_remarked_on():
    assert movement_doubts(6.0, 14.0) == ()
    assert movement_doubts(5.0, 40.0) == (
        "from 5 to 40 % moisture leaves the 6 to 14 % for which the coefficients hold: take it as a rough figure",
        "above 30 % moisture wood swells no further: what lies above is left out",
    )


def test_crossing_is_remarked_on_from_thirty_degrees_and_at_ninety_always():
    assert crossing_doubts(radians(11.25)) == crossing_doubts(radians(180.0)) == ()
    assert crossing_doubts(radians(-30.0)) == (
        "neighbours turned by -30° work against each other with 50 % of the movement across the grain",
    )
    assert len(crossing_doubts(radians(90.0))) == 1
