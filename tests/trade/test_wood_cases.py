"""Practice cases of glue-up and wood, each with its number; inch figures are converted by a units library."""

from datetime import date
from math import radians

import pint
import pytest

from sheetkit.trade.glue import (
    GlueUp,
    fewest_glue_ups,
    glue_lines,
    glue_mass,
    glue_share_pct,
    glue_up_times,
    glue_ups,
    lines_that_fit,
)
from sheetkit.trade.glue_water import moisture_rise, water_in_layers
from sheetkit.trade.moisture import equilibrium_moisture, settling_days
from sheetkit.trade.movement import crossed_movement
from sheetkit.trade.press import clamps_needed, press_force, pressure_given, pressure_short_by, vacuum_pressure
from sheetkit.trade.readiness import (
    Lot,
    bleeding_lines,
    earliest_machining,
    moisture_findings,
    surface_is_stale,
)
from sheetkit.trade.species import find_species

UNITS = pint.UnitRegistry()


def convert(value: float, unit: str, to: str) -> float:
    return float(UNITS.Quantity(value, unit).m_as(to))


FACE_MM2 = convert(12 * 3, "in^2", "mm^2")
SPREAD_GSM = convert(45 / 1000, "lb/ft^2", "g/m^2")


def test_a15_glue_is_6_8_per_cent_of_the_height():
    layers = [convert(0.040, "in", "mm")] * 41
    line = convert(0.003, "in", "mm")
    assert glue_share_pct(layers, line) == pytest.approx(6.8, abs=0.05)
    assert sum(layers) + glue_lines(41) * line == pytest.approx(convert(1.760, "in", "mm"))


def test_a21_force_counts_the_face_once_and_takes_six_clamps():
    force = press_force(convert(150, "psi", "kPa"), FACE_MM2)
    assert convert(force, "N", "lbf") == pytest.approx(5400.0, rel=1e-9)
    assert clamps_needed(force, convert(1000, "lbf", "N")) == 6


def test_the_clamps_at_hand_give_the_pressure_back():
    """Inverse of A21: 5.4 clamps' worth is 150 psi, so 4 give 111.1 psi."""
    given = pressure_given(4, convert(1000, "lbf", "N"), FACE_MM2)
    assert convert(given, "kPa", "psi") == pytest.approx(4000 / 36)


def test_a22_a_vacuum_bag_falls_short_of_the_clamp_pressure():
    gauge = convert(25 * 0.4912, "psi", "kPa")
    given = vacuum_pressure(gauge)
    assert convert(given, "kPa", "psi") == pytest.approx(12.28, abs=0.005)
    assert convert(press_force(given, convert(36, "in^2", "mm^2")), "N", "lbf") == pytest.approx(442, abs=0.5)
    short = pressure_short_by(convert(150, "psi", "kPa"), given)
    assert convert(short, "kPa", "psi") == pytest.approx(137.72, abs=0.005)


def test_a23_thirty_layers_take_two_glue_ups_of_at_most_27_lines():
    assert glue_up_times(GlueUp(1, 1, 30, 29, False), 600.0, 20.0, 60.0, 0.0).closed_s == 640.0
    most = lines_that_fit(600.0, 20.0, 60.0)
    assert most == 27
    ups = glue_ups(30, most)
    assert len(ups) == 2
    assert sum(up.lines for up in ups) == 29
    assert max(up.lines for up in ups) <= 27
    assert sum(up.layers for up in ups) == 30


def test_61_layers_with_at_most_14_lines_take_five_glue_ups():
    assert fewest_glue_ups(61, 14) == 5
    assert [up.layers for up in glue_ups(61, 14)] == [13, 12, 12, 12, 12]


def test_a25_thirty_layers_take_0_326_pounds():
    grams = glue_mass(FACE_MM2, glue_lines(30), SPREAD_GSM)
    assert convert(grams, "g", "lb") == pytest.approx(0.326, abs=0.0005)
    assert grams == pytest.approx(148, abs=0.5)


DRY = convert(0.63 * 62.4, "lb/ft^3", "kg/m^3")


@pytest.mark.parametrize(("inches", "points"), [(0.040, 17.2), (0.125, 5.5), (0.75, 0.9)])
def test_a26_water_of_the_glue_in_an_inner_layer(inches, points):
    assert moisture_rise(convert(inches, "in", "mm"), DRY, SPREAD_GSM, 0.50) == pytest.approx(points, abs=0.05)


def test_a26_water_of_the_glue_in_a_stack_of_30():
    found = water_in_layers([convert(0.040, "in", "mm")] * 30, [DRY] * 30, SPREAD_GSM, 0.50)
    assert found.stack_rise_pct == pytest.approx(16.6, abs=0.05)
    assert found.rise_pct[1] == pytest.approx(17.2, abs=0.05)
    assert found.rise_pct[0] == pytest.approx(8.6, abs=0.05)
    assert found.wettest_layer == 2


def test_a27_seven_days_over_a_leap_day():
    assert earliest_machining(date(2024, 2, 26), 7.0) == date(2024, 3, 4)


def test_a28_the_wet_lot_is_named_and_not_averaged_away():
    lots = [Lot("M-2", "maple", 8.9), Lot("W-1", "walnut", 13.0)]
    wet, apart = moisture_findings(lots, wettest_pct=11.0, driest_pct=6.0, difference_pct=2.0)
    assert (wet.lots, wet.kind) == (("W-1",), "too wet")
    assert wet.text == "W-1 (walnut) reads 13 %, above the limit of 11 %"
    assert (apart.lots, apart.kind) == (("W-1", "M-2"), "too different")
    assert apart.text == "W-1 (walnut) at 13 % and M-2 (maple) at 8.9 % lie 4.1 points apart, more than 2"


def test_a29_a_surface_of_110_minutes_is_stale_at_60():
    """Case A29: surfaced 08:15, glued 10:05."""
    assert surface_is_stale((10 * 60 + 5) - (8 * 60 + 15), 60.0)
    assert not surface_is_stale(60.0, 60.0)


@pytest.mark.parametrize(("humidity", "moisture"), [(50, 9.2), (30, 6.2)])
def test_a30_what_the_shop_and_the_house_bring_it_to(humidity, moisture):
    assert equilibrium_moisture((70.0 - 32.0) / 1.8, humidity) == pytest.approx(moisture, abs=0.05)


def test_a31_an_eighth_of_an_inch_settles_in_six_hours():
    days = settling_days(convert(0.125, "in", "mm"), convert(1, "in", "mm"), 16.0)
    assert days * 24 == pytest.approx(6.0)


@pytest.mark.parametrize(("degrees", "inches"), [(90.0, 0.141), (11.25, 0.0275), (0.0, 0.0)])
def test_a33_crossed_grain_goes_with_the_sine_of_the_turn(degrees, inches):
    found = crossed_movement(convert(10, "in", "mm"), 0.00353, 4.0, radians(degrees))
    assert convert(found, "mm", "in") == pytest.approx(inches, abs=0.0005)


def test_a35_two_lines_may_bleed():
    panel = [find_species(name) for name in ("hard maple", "padauk", "hard maple", "walnut", "hard maple")]
    assert bleeding_lines([wood.dark_dust for wood in panel], [wood.pale for wood in panel]) == ((1, 2), (2, 3))
