"""Pressure, force and clamps."""

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.press import (
    air_pressure,
    caul_thickness,
    clamp_spacing,
    clamps_needed,
    press_force,
    pressure_given,
    pressure_short_by,
    vacuum_pressure,
)

UNITS = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("psi", "length", "width", "pounds"), [(200, 12, 12, 28_800), (150, 1, 25, 3_750), (150, 4, 12, 7_200)]
)
def test_force_is_pressure_times_area(psi, length, width, pounds):
    """Published shop examples: diybanter.com/632028 (200 psi); pressreader.com, September 2021 (150 psi); exact."""
    force = press_force(UNITS.Quantity(psi, "psi").m_as("kPa"), UNITS.Quantity(length * width, "in^2").m_as("mm^2"))
    assert force == pytest.approx(UNITS.Quantity(pounds, "lbf").m_as("N"), rel=1e-9)


def test_7200_pounds_are_32027_newtons():
    """Exact: 7200 * 4.4482216152605."""
    assert press_force(150 * 6.894757293168, 48 * 645.16) == pytest.approx(32_027.2, abs=0.1)


def test_a_force_that_the_clamps_reach_exactly_needs_no_further_one():
    assert clamps_needed(3 * 4448.2216152605, 4448.2216152605) == 3
    assert clamps_needed(3.001 * 4448.2216152605, 4448.2216152605) == 4
    assert clamps_needed(0.0, 1000.0) == 0


@settings(deadline=None)
@given(st.floats(1.0, 5000.0), st.floats(100.0, 1e6), st.floats(100.0, 50_000.0))
def test_the_clamps_counted_give_the_pressure_asked_and_one_fewer_does_not(pressure, area, clamp):
    force = press_force(pressure, area)
    clamps = clamps_needed(force, clamp)
    assert pressure_given(clamps, clamp, area) >= pressure * (1 - 2e-6) - clamp * 2e-6 / area * 1000
    assert clamps == 0 or pressure_given(clamps - 1, clamp, area) < pressure * (1 + 1e-9)


def test_a_gauge_cannot_show_more_than_the_air_presses():
    assert vacuum_pressure(120.0) == 101.325
    assert vacuum_pressure(90.0, altitude_m=1600.0) == pytest.approx(air_pressure(1600.0))
    assert vacuum_pressure(70.0, altitude_m=1600.0) == 70.0


def test_pressure_that_is_met_to_a_hair_is_not_short():
    assert pressure_short_by(1034.0, 1034.0 * (1 - 1e-9)) == 0.0
    assert pressure_short_by(1034.0, 1200.0) == 0.0


def test_a_caul_is_half_as_thick_as_the_clamps_are_apart():
    """Common practice, no source: a cone of 45° from each screw."""
    assert caul_thickness(clamp_spacing(480.0, 4)) == 60.0
    assert caul_thickness(120.0, width_mm=150.0) == 75.0
