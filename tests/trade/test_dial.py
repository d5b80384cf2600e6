"""Where the dial must stand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade.dial import Dial, dial_positions, turns_and_divisions
from sheetkit.trade.exact import nearest_multiple
from sheetkit.trade.offset import learn, next_setting

INCH = 25.4
THOU = Dial(division_mm=0.001 * INCH, travel_per_turn_mm=0.050 * INCH)


def given_offset(offset_mm):
    """What is taken for a wood that has no readings: the offset the shop gives."""
    return learn([], allowance_mm=0.050 * INCH, given_offset_mm=offset_mm).of("ash")


def test_absolute_rounding_of_case_a02_does_not_build_up():
    """Case A02: strip 0.042, kerf 0.036, clicks of 0.005: 0.780 after ten cuts; strips of 0.044 or 0.039."""
    clicks = Dial(division_mm=0.005 * INCH, travel_per_turn_mm=0.050 * INCH)
    positions = dial_positions([0.078 * INCH] * 10, [0.036 * INCH] * 10, clicks)
    assert positions[-1].position_mm == pytest.approx(0.780 * INCH, abs=1e-9)
    assert {round(each.slice_mm / INCH, 6) for each in positions} == {0.044, 0.039}
    assert [each.turns for each in positions] == [1, 3, 4, 6, 7, 9, 10, 12, 14, 15]
    assert [each.divisions for each in positions] == [6, 1, 7, 2, 8, 4, 9, 5, 0, 6]


def test_rounding_each_step_would_have_reached_0_800_in_case_a02():
    """Case A02's other half: the fault that absolute positions avoid."""
    each_step = nearest_multiple(0.078 * INCH, 0.005 * INCH) * 0.005
    assert 10 * each_step == pytest.approx(0.800, abs=1e-9)


@pytest.mark.parametrize(
    ("more_in", "low_in", "high_in"), [(0.010, 0.012, 0.014), (0.005, 0.0055, 0.007), (0.020, 0.020, 0.023)]
)
def test_one_turn_for_the_kerf_and_a_little_more_gives_the_slices_seen_in_practice(more_in, low_in, high_in):
    """Common practice, no source: one offset, 0.050 dialled for a true kerf of 0.048, lands in all three bands."""
    slice_in = given_offset(0.002 * INCH).expected_mm(more_in * INCH) / INCH
    assert low_in - 1e-9 <= slice_in <= high_in + 1e-9


@given(
    st.lists(st.tuples(st.integers(200, 4000), st.integers(0, 1500)), min_size=1, max_size=60),
    st.sampled_from([25, 20]),
)
def test_every_position_is_within_half_a_division_and_advances_add_up_to_the_last(passes, division_um):
    dial = Dial(division_mm=division_um / 1000, travel_per_turn_mm=division_um / 20)
    advances, kerfs = [advance / 1000 for advance, _ in passes], [kerf / 1000 for _, kerf in passes]
    positions = dial_positions(advances, kerfs, dial)
    for each, advance, kerf in zip(positions, advances, kerfs, strict=True):
        assert abs(each.position_mm - each.wanted_mm) <= dial.division_mm / 2 + 1e-9
        assert each.turns * dial.travel_per_turn_mm + each.divisions * dial.division_mm == pytest.approx(
            each.position_mm, abs=1e-9
        )
        assert each.advance_mm - each.slice_mm == pytest.approx(kerf, abs=1e-9)
        assert abs(each.advance_mm - advance) <= dial.division_mm + 1e-9
    assert sum(each.advance_mm for each in positions) == pytest.approx(positions[-1].position_mm, abs=1e-9)


@given(st.integers(100, 4000), st.integers(-60, 60), st.sampled_from([0.02, 0.025, 0.0254]))
def test_no_other_setting_brings_the_slice_nearer_than_half_a_division(wanted_um, offset_um, division):
    setting = next_setting(wanted_um / 1000, 0.05, given_offset(offset_um / 1000), division)
    assert abs(setting.expected_mm - wanted_um / 1000) <= division / 2 + 1e-6
    assert setting.set_mm / division == pytest.approx(round(setting.set_mm / division), abs=1e-6)


def test_the_next_setting_meets_the_target_within_a_division_once_the_offset_is_known():
    """Common practice, no source: 0.010 set gave 0.013, so for 0.010 the dial stands 0.003 lower."""
    setting = next_setting(0.010 * INCH, 0.001 * INCH, given_offset(0.003 * INCH), THOU.division_mm)
    assert setting.set_mm == pytest.approx(0.007 * INCH, abs=1e-9)
    (first,) = dial_positions([setting.set_mm + 0.050 * INCH], [0.047 * INCH], THOU)
    assert (first.turns, first.divisions) == (1, 7)
    assert first.slice_mm == pytest.approx(0.010 * INCH, abs=1e-9)


def test_a_turn_that_is_no_whole_number_of_divisions_is_refused():
    with pytest.raises(ValueError, match=r"^a turn of 1.0 mm is not a whole number of divisions of 0.03 mm$"):
        Dial(0.03, 1.0)


def test_passes_without_their_kerf_are_refused():
    with pytest.raises(ValueError, match=r"^2 advances but 1 kerfs were given; wanted one for each$"):
        dial_positions([1.0, 1.0], [0.5], THOU)


def test_turns_are_split_off_from_the_divisions():
    assert turns_and_divisions(137, THOU) == (2, 37)
    assert turns_and_divisions(50, THOU) == (1, 0)
