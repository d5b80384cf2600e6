"""Rings of one tilt. Cases A42 to A44 and A47 are worked by hand in inches; whole bowls stand in test_bowl_plan."""

import pytest

from sheetkit.trade.bowls import half_ring_oval, least_tilt, panels_side_by_side, settable_tilt, stack_height

INCH = 25.4


def test_a42_the_least_tilt_for_a_wall():
    tilt = least_tilt(wall_mm=0.250 * INCH, kerf_mm=0.035 * INCH, board_mm=0.750 * INCH).demand()
    assert tilt == pytest.approx(22.33, abs=0.005)


@pytest.mark.parametrize(("board_mm", "from_flat"), [(15, 34), (20, 51), (25, 60), (30, 65)])
def test_the_flattest_side_quoted_for_8_mm_rings_and_a_4_5_mm_cutter(board_mm, from_flat):
    """Common practice, no source: a maker's table in whole degrees from the flat, which drops half degrees."""
    assert 90.0 - least_tilt(8.0, 4.5, float(board_mm)).demand() == pytest.approx(from_flat, abs=0.75)


def test_a43_the_saw_is_set_to_the_nearest_whole_degree():
    assert settable_tilt(26.57, 1.0) == 27.0


def test_a44_how_high_five_rings_and_a_base_stand():
    assert stack_height(5, 0.75 * INCH) == pytest.approx(4.50 * INCH)
    assert stack_height(5, 19.0, glue_mm=0.1, flattening_mm=0.5) == pytest.approx(6 * 18.5 + 0.5)


def test_a47_joined_halves_are_out_of_round():
    assert half_ring_oval(0.040 * INCH, 0.010 * INCH) / INCH == pytest.approx(0.060, abs=5e-4)


def test_a_wall_thicker_than_the_board_can_hold_names_the_limit_and_the_boards_needed():
    answer = least_tilt(wall_mm=1.0 * INCH, kerf_mm=0.04 * INCH, board_mm=0.5 * INCH)
    assert not answer.met
    assert answer.sentence(lambda length: f"{length / INCH:.2f} in") == (
        "no tilt leaves a wall of 1.00 in; rings of this board stay below 0.46 in, or take them from 3 boards in turn"
    )
    assert least_tilt(1.0 * INCH, 0.04 * INCH, 0.5 * INCH, boards=3).met


def test_a18_a_wide_blank_takes_three_panels():
    """Case A18: 60 layers of 1/16 with lines of 0.003 are 3.927; 11-1/2 across takes 3, which are 11.781 wide."""
    assert panels_side_by_side(11.5 * INCH, 3.927 * INCH) == 3
    assert panels_side_by_side(11.781 * INCH, 3.927 * INCH) == 3
    assert panels_side_by_side(11.782 * INCH, 3.927 * INCH) == 4


def test_panels_side_by_side():
    """By hand: 3 x 95 + 2 x 0.1 = 285.2 is too narrow for 290, 4 x 95 + 0.3 is not; an exact fit counts."""
    assert panels_side_by_side(290.0, 95.0, 0.1) == 4
    assert panels_side_by_side(285.2, 95.0, 0.1) == 3
    assert panels_side_by_side(60.0, 95.0) == 1
