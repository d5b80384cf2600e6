"""What a block gives: slices and what stays, counted by the planner that the program asks."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.exact import total_mm
from sheetkit.trade.plan import plan_cuts
from sheetkit.trade.plan_model import Board, Demand
from sheetkit.trade.slicing import remaining_after_advances, sawn_target, slices_from_usable, usable_thickness

INCH = 25.4


def inches(*values: float) -> list[float]:
    return [value * INCH for value in values]


def planned(usable_mm: float, advance_mm: float, wanted: int = 99) -> int:
    """Slices that the plan saws from one board, of the many wanted."""
    demand = Demand("d", "ash", "P", advance_mm, advance_mm, advance_mm, wanted)
    return plan_cuts([Board("A", "ash", usable_mm, {"P": 1})], [demand]).made["d"]


def test_the_block_of_case_a01_gives_eleven_slices_and_the_remnant_keeps_what_must_be_held():
    """Case A01: block 1.500, strip 1/16, kerf 0.045, hold 0.250 in; 0.3175 in remain."""
    block, strip, kerf, held = inches(1.5, 1 / 16, 0.045, 0.25)
    usable, advance = usable_thickness(block, 0.0, held), total_mm([strip, kerf])
    assert planned(usable, advance) == slices_from_usable(usable, advance) == 11
    assert remaining_after_advances(usable, [advance] * 11) + held == pytest.approx(0.3175 * INCH, abs=1e-9)


def test_sanding_belongs_to_the_sawn_target_and_costs_slices_as_in_case_a07():
    """Case A07: usable 1.250, finished 0.040, 0.006 off each face, kerf 0.040 in: saw at 0.052, 13 strips, not 15."""
    usable, finished, sanding, kerf = inches(1.25, 0.04, 0.006, 0.04)
    target = sawn_target(finished, sanding)
    assert target == pytest.approx(0.052 * INCH, abs=1e-9)
    assert planned(usable, total_mm([target, kerf])) == 13
    assert planned(usable, total_mm([finished, kerf])) == 15


def test_one_face_sanded_takes_its_allowance_once():
    assert sawn_target(1.0, 0.15, faces=1) == 1.15
    assert sawn_target(1.0, 0.15, faces=0) == 1.0


def test_a_block_thinner_than_what_is_held_gives_none():
    assert usable_thickness(5.0, 1.0, 6.0) == 0.0
    assert slices_from_usable(usable_thickness(5.0, 0.0, 6.0), 2.0) == planned(0.0, 2.0) == 0


def test_truing_and_holding_come_off_before_the_first_slice():
    """Common practice, no source: a truing pass of 0.045 in."""
    assert usable_thickness(*inches(1.75, 0.045, 0.25)) == pytest.approx(1.455 * INCH, abs=1e-9)


def test_what_is_used_up_is_the_advance_whatever_came_off():
    assert remaining_after_advances(10.0, [2.5, 2.5, 0.5]) == 4.5
    assert remaining_after_advances(4.0, [2.5, 2.5]) == 0.0


@given(st.integers(0, 60_000), st.integers(1, 5000), st.integers(0, 3000), st.integers(0, 10_000))
def test_the_slices_fit_and_one_more_does_not(block_um: int, slice_um: int, kerf_um: int, held_um: int):
    """Invariant, in whole microns."""
    advance = slice_um + kerf_um
    count = slices_from_usable(usable_thickness(block_um / 1000, 0.0, held_um / 1000), advance / 1000)
    assert count == 0 or count * advance + held_um <= block_um
    assert (count + 1) * advance + held_um > block_um


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 60_000), st.integers(1_000, 5_000))
def test_the_plan_saws_as_many_as_fit(usable_um: int, advance_um: int):
    assert planned(usable_um / 1000, advance_um / 1000) == usable_um // advance_um
