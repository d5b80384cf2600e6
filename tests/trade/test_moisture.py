"""Moisture of wood: bounds, inverse and time. The published points stand in tests/published."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.moisture import (
    air_doubts,
    days_until_left,
    equilibrium_moisture,
    humidity_for_moisture,
    settling_days,
)


@settings(deadline=None)
@given(st.floats(-1.0, 60.0), st.floats(0.0, 99.0))
def test_humidity_and_moisture_are_each_others_inverse(temperature, humidity):
    moisture = equilibrium_moisture(temperature, humidity)
    assert humidity_for_moisture(temperature, moisture) == pytest.approx(humidity, abs=1e-6)


@settings(deadline=None)
@given(st.floats(-1.0, 60.0), st.floats(0.0, 98.0), st.floats(0.1, 1.0))
def test_damper_air_never_dries_wood(temperature, humidity, more):
    assert equilibrium_moisture(temperature, humidity + more) > equilibrium_moisture(temperature, humidity)


@pytest.mark.parametrize("humidity", [-1.0, 100.0, 120.0, float("nan")])
def test_a_humidity_that_cannot_be_is_refused(humidity):
    with pytest.raises(ValueError, match="lies outside 0 to below 100 %"):
        equilibrium_moisture(20.0, humidity)


def test_no_air_gives_a_moisture_past_its_end():
    with pytest.raises(ValueError, match="no air at 20 °C brings wood to 45 % moisture"):
        humidity_for_moisture(20.0, 45.0)


def test_air_outside_the_handbooks_table_is_remarked_on():
    assert air_doubts(20.0, 50.0) == ()
    assert air_doubts(-5.0, 3.0) == (
        "-5 °C lies outside the -1 to 132 °C that the handbook tabulates",
        "3 % humidity lies outside the 5 to 95 % that the handbook tabulates",
    )


@settings(deadline=None)
@given(st.floats(0.1, 100.0), st.floats(0.1, 100.0), st.floats(0.1, 60.0))
def test_settling_back_and_forth_gives_the_same_days(thickness, known, days):
    there = settling_days(thickness, known, days)
    assert settling_days(known, thickness, there) == pytest.approx(days)


def test_an_excess_of_twenty_points_is_down_to_one_when_95_per_cent_is_gone():
    """Crank (1975), Eq. (4.18), first term: the share left falls as exp(-kt), so 1/20 is the 95 % time itself."""
    assert days_until_left(20.0, 1.0, 10.0) == pytest.approx(10.0)
    assert days_until_left(1.0, 1.0, 10.0) == 0.0
    assert days_until_left(1.1, 1.0, 10.0) == 0.0
