"""Rings of one tilt. Cases A41 to A47 are worked by hand in inches."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.bowls import (
    base_top_diameter,
    boards_for_wall,
    half_ring_oval,
    least_tilt,
    matched_tilt,
    panels_side_by_side,
    ring_face,
    ring_ledge,
    ring_shift,
    ring_wall,
    rings_in_blank,
    settable_tilt,
    square_ring_wall,
    stack_height,
)

INCH = 25.4


def test_a41_spacing_face_wall_and_shift_are_four_things():
    assert ring_shift(0.750, 45.0) == pytest.approx(0.750)
    assert ring_face(0.750, 0.035, 45.0) == pytest.approx(0.7005, abs=5e-5)
    assert ring_wall(0.750, 0.035, 45.0) == pytest.approx(0.495, abs=5e-4)


def test_a42_the_least_tilt_for_a_wall():
    tilt = least_tilt(wall_mm=0.250 * INCH, kerf_mm=0.035 * INCH, board_mm=0.750 * INCH).demand()
    assert tilt == pytest.approx(22.33, abs=0.005)
    assert ring_shift(0.750, tilt) == pytest.approx(0.308, abs=5e-4)


@pytest.mark.parametrize(("board_mm", "from_flat"), [(15, 34), (20, 51), (25, 60), (30, 65)])
def test_the_flattest_side_quoted_for_8_mm_rings_and_a_4_5_mm_cutter(board_mm, from_flat):
    """Common practice, no source: a maker's table in whole degrees from the flat, which drops half degrees."""
    assert 90.0 - least_tilt(8.0, 4.5, float(board_mm)).demand() == pytest.approx(from_flat, abs=0.75)


def test_a43_whole_degrees_leave_a_ledge_on_every_ring():
    assert matched_tilt(0.250, 0.500) == pytest.approx(26.57, abs=0.005)
    assert settable_tilt(26.57, 1.0) == 27.0
    assert ring_shift(0.500, 27.0) == pytest.approx(0.2548, abs=5e-5)
    ledge = ring_ledge(0.500, 0.250, 27.0)
    assert ledge == pytest.approx(0.0048, abs=5e-5)
    assert 4 * ledge == pytest.approx(0.019, abs=5e-4)
    assert ring_ledge(0.500, 0.250, 26.0) < 0.0


def test_a44_how_many_rings_and_how_high():
    rings = rings_in_blank(11.5 * INCH, 4.0 * INCH, 0.75 * INCH)
    assert rings == 5
    assert stack_height(rings, 0.75 * INCH) == pytest.approx(4.50 * INCH)
    assert stack_height(5, 19.0, glue_mm=0.1, flattening_mm=0.5) == pytest.approx(6 * 18.5 + 0.5)


def test_a_blank_smaller_than_its_disc_gives_no_ring():
    assert rings_in_blank(100.0, 120.0, 10.0) == 0


def test_a45_the_base_is_drawn_on_top_larger_than_its_foot():
    assert base_top_diameter(3.0, 0.75, 45.0) == pytest.approx(4.500, abs=5e-4)


def test_a46_the_wall_left_of_square_rings():
    level, square = square_ring_wall(0.750 * INCH, 0.500 * INCH, 0.750 * INCH)
    assert level / INCH == pytest.approx(0.250, abs=5e-4)
    assert square / INCH == pytest.approx(0.208, abs=5e-4)
    assert square_ring_wall(10.0, 12.0, 18.0)[0] == -2.0


def test_a47_joined_halves_are_out_of_round():
    assert half_ring_oval(0.040 * INCH, 0.010 * INCH) / INCH == pytest.approx(0.060, abs=5e-4)


@settings(deadline=None)
@given(board=st.floats(5, 60), tilt=st.floats(5, 80), kerf=st.floats(0, 3))
def test_a_cone_that_runs_on_has_no_ledge_and_the_wall_of_its_slope(board, tilt, kerf):
    shift = ring_shift(board, tilt)
    assert matched_tilt(shift, board) == pytest.approx(tilt)
    assert ring_ledge(board, shift, tilt) == pytest.approx(0.0, abs=1e-9)
    wall = ring_wall(shift, kerf, tilt)
    if wall > 0.01:
        assert least_tilt(wall, kerf, board).demand() == pytest.approx(tilt, abs=1e-4)
        assert boards_for_wall(wall - 1e-3, kerf, board, tilt).demand() == 1
        assert boards_for_wall(wall + 1e-3, kerf, board, tilt).demand() == 2


def test_a_wall_thicker_than_the_board_can_hold_names_the_limit_and_the_boards_needed():
    answer = least_tilt(wall_mm=1.0 * INCH, kerf_mm=0.04 * INCH, board_mm=0.5 * INCH)
    assert not answer.met
    assert answer.sentence(lambda length: f"{length / INCH:.2f} in") == (
        "no tilt leaves a wall of 1.00 in; rings of this board stay below 0.46 in, or take them from 3 boards in turn"
    )
    assert least_tilt(1.0 * INCH, 0.04 * INCH, 0.5 * INCH, boards=3).met


def test_an_upright_side_needs_a_board_for_each_ring():
    answer = boards_for_wall(6.0, 1.0, 18.0, 0.0)
    assert not answer.met
    assert "each ring needs its own board" in answer.sentence()


def test_panels_side_by_side():
    """By hand: 3 x 95 + 2 x 0.1 = 285.2 is too narrow for 290, 4 x 95 + 0.3 is not; an exact fit counts."""
    assert panels_side_by_side(290.0, 95.0, 0.1) == 4
    assert panels_side_by_side(285.2, 95.0, 0.1) == 3
    assert panels_side_by_side(60.0, 95.0) == 1
