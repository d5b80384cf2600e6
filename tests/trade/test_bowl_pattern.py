"""What the layers do around a ring. Cases A49 to A51 are worked by hand in inches."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.bowl_pattern import (
    arc_of_turn,
    colour_changes,
    reads_same_both_ways,
    rings_to_repeat,
    turn_from_base,
)
from sheetkit.trade.bowl_volumes import block_volume, board_feet, share_saved

INCH = 25.4


def test_a49_turns_add_up_from_the_base():
    assert turn_from_base(7.5, 5) == 37.5
    assert turn_from_base(100.0, 4) == 40.0
    assert arc_of_turn(5.75, 7.5) == pytest.approx(0.753, abs=5e-4)


def test_a50_every_boundary_inside_is_crossed_twice_and_a_tangent_one_never():
    boundaries = [step * 0.5 * INCH for step in range(-7, 8)]
    assert colour_changes(3.0 * INCH, boundaries) == 22
    assert sum(abs(boundary) < 3.0 * INCH - 1e-9 for boundary in boundaries) == 11


def test_a51_what_ring_work_saves():
    assert board_feet(block_volume(11.5 * INCH, 4.5 * INCH)) == pytest.approx(4.13, abs=5e-3)
    assert board_feet(block_volume(11.5 * INCH, 0.75 * INCH)) == pytest.approx(0.689, abs=5e-4)
    assert share_saved(11.5 * INCH, 4.5 * INCH, 0.75 * INCH) == pytest.approx(5 / 6)


@pytest.mark.parametrize(
    ("turn", "half_turn_symmetry", "rings"),
    [(7.5, True, 24), (7.5, False, 48), (45.0, True, 4), (0.0, True, 1), (180.0, True, 1), (180.0, False, 2)],
)
def test_the_pattern_repeats_after_whole_half_turns_of_a_symmetric_board(turn, half_turn_symmetry, rings):
    assert rings_to_repeat(turn, half_turn_symmetry) == rings


@settings(deadline=None)
@given(turn=st.integers(-720, 720).map(lambda quarter: quarter / 4))
def test_the_repeat_is_the_first_ring_that_stands_as_the_base(turn):
    rings = rings_to_repeat(turn, looks_same_after_half_turn=False)
    assert turn_from_base(turn, rings) == 0.0
    assert all(turn_from_base(turn, ring) != 0.0 for ring in range(1, rings))


def test_layers_that_read_the_same_both_ways():
    layers = [("ash", 2.0), ("wenge", 1.0), ("ash", 2.0)]
    assert reads_same_both_ways(layers, 2.6, glue_mm=0.1)
    assert not reads_same_both_ways(layers, 2.4, glue_mm=0.1)
    assert not reads_same_both_ways([*layers, ("wenge", 1.0)], 3.0)
