"""What a block gives: slices, sawdust, remnant."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade.exact import millimetres
from sheetkit.trade.slicing import (
    BlockBalance,
    RemnantUse,
    block_balance,
    remaining_after_advances,
    remnant_thickness,
    remnant_use,
    sawn_target,
    slice_yield,
    slices_from_block,
    slices_from_usable,
    true_kerf_from_advances,
    true_kerf_from_block,
    usable_thickness,
)

INCH = 25.4


def inches(*values: float) -> list[float]:
    return [value * INCH for value in values]


def test_the_block_of_case_a01_gives_eleven_slices_and_the_remnant_keeps_what_must_be_held():
    """Case A01: block 1.500, strip 1/16, kerf 0.045, hold 0.250 in."""
    block, strip, kerf, held = inches(1.5, 1 / 16, 0.045, 0.25)
    assert slices_from_block(block, strip, kerf, held) == 11
    assert remnant_thickness(block, strip + kerf, 11) == pytest.approx(0.3175 * INCH, abs=1e-9)


def test_the_block_of_case_a03_shows_the_kerf_the_blade_really_took():
    """Case A03: 1.482 before, 0.702 after ten cuts, the ten strips total 0.412 in."""
    before, after, total = inches(1.482, 0.702, 0.412)
    assert true_kerf_from_block(before, after, [total / 10] * 10) == pytest.approx(0.0368 * INCH, abs=1e-9)


def test_sanding_belongs_to_the_sawn_target_and_costs_slices_as_in_case_a07():
    """Case A07: usable 1.250, finished 0.040, 0.006 off each face, kerf 0.040 in: saw at 0.052, 13 strips, not 15."""
    block, finished, sanding, kerf = inches(1.25, 0.04, 0.006, 0.04)
    target = sawn_target(finished, sanding)
    assert target == pytest.approx(0.052 * INCH, abs=1e-9)
    assert slices_from_block(block, target, kerf, 0.0) == 13
    assert slices_from_block(block, finished, kerf, 0.0) == 15


def test_one_face_sanded_takes_its_allowance_once():
    assert sawn_target(1.0, 0.15, faces=1) == 1.15
    assert sawn_target(1.0, 0.15, faces=0) == 1.0


@pytest.mark.parametrize(("slice_in", "kerf_in", "share"), [(0.040, 0.040, 0.5), (0.020, 0.035, 0.364)])
def test_the_saw_eats_half_as_in_case_a54(slice_in: float, kerf_in: float, share: float):
    """Case A54, printed to a tenth of a per cent."""
    assert slice_yield(slice_in * INCH, kerf_in * INCH) == pytest.approx(share, abs=0.0005)


def test_a_remnant_that_may_be_a_slice_saves_one_cut():
    """Own sum: 10 mm, slices of 2, kerf 1: three cuts leave 1 mm; without the third cut 4 mm stands, a slice and more.

    11 mm: three cuts leave 2 mm, which is the fourth slice.
    """
    assert slices_from_block(10.0, 2.0, 1.0, 0.0, last_is_slice=True) == 3
    assert slices_from_block(11.0, 2.0, 1.0, 0.0) == 3
    assert slices_from_block(11.0, 2.0, 1.0, 0.0, last_is_slice=True) == 4


def test_a_last_slice_must_still_be_gripped():
    """Own sum: 11 mm with 3 mm to grip: two cuts leave 5 mm, three leave 2 mm, too thin to hold."""
    assert slices_from_block(11.0, 2.0, 1.0, 3.0, last_is_slice=True) == 3
    assert slices_from_block(1.0, 2.0, 1.0, 0.0, last_is_slice=True) == 0


def test_a_block_thinner_than_what_is_held_gives_none():
    assert slices_from_block(5.0, 1.0, 1.0, 6.0) == 0
    assert usable_thickness(5.0, 1.0, 6.0) == 0.0


def test_truing_and_holding_come_off_before_the_first_slice():
    """Common practice, no source: a truing pass of 0.045 in."""
    assert usable_thickness(*inches(1.75, 0.045, 0.25)) == pytest.approx(1.455 * INCH, abs=1e-9)


def test_what_is_used_up_is_the_advance_whatever_came_off():
    assert remaining_after_advances(10.0, [2.5, 2.5, 0.5]) == 4.5
    assert remaining_after_advances(4.0, [2.5, 2.5]) == 0.0


@pytest.mark.parametrize(
    ("remnant", "use"),
    [
        (0.0, RemnantUse.NOTHING),
        (1.5, RemnantUse.SLICE),
        (1.55, RemnantUse.SLICE),
        (1.56, RemnantUse.SCRAP),
        (1.44, RemnantUse.SCRAP),
        (5.999, RemnantUse.SCRAP),
        (6.0, RemnantUse.RESTOCK),
    ],
)
def test_the_remnant_is_named_for_its_use(remnant: float, use: RemnantUse):
    assert remnant_use(remnant, slice_mm=1.5, tolerance_mm=0.05, restock_mm=6.0) is use


def test_the_kerf_follows_from_advances_and_slices():
    """Common practice, no source: one turn of 0.050 and 0.010 more gives slices of 0.012 to 0.014 in."""
    kerf = true_kerf_from_advances(inches(0.06, 0.06, 0.06), inches(0.012, 0.013, 0.014))
    assert kerf == pytest.approx(0.047 * INCH, abs=1e-9)


def test_the_kerf_of_no_slice_is_refused():
    with pytest.raises(ValueError, match=r"^no slice was given; the kerf follows from at least one$"):
        true_kerf_from_block(10.0, 9.0, [])


def test_slices_without_their_advances_are_refused():
    expected = r"^2 slices but 1 advances were given; wanted one for each$"
    with pytest.raises(ValueError, match=expected):
        block_balance(10.0, [1.0, 1.0], [2.0])
    with pytest.raises(ValueError, match=expected):
        true_kerf_from_advances([2.0], [1.0, 1.0])


lengths_pm = st.integers(1, 5 * 10**9)


@given(st.integers(0, 60 * 10**9), st.lists(st.tuples(lengths_pm, lengths_pm), max_size=30))
def test_slices_and_kerf_and_waste_add_up_to_the_block(block_pm: int, passes: list[tuple[int, int]]):
    slices = [millimetres(part) for part, _ in passes]
    advances = [millimetres(part + kerf) for part, kerf in passes]
    balance = block_balance(millimetres(block_pm), slices, advances)
    assert balance.parts_mm + balance.kerf_mm + balance.waste_mm == pytest.approx(millimetres(block_pm), abs=1e-9)
    assert balance.kerf_mm == pytest.approx(millimetres(sum(kerf for _, kerf in passes)), abs=1e-9)


def test_a_balance_is_worked_out_by_hand():
    """Own sum: 10 = 3 in slices + 2 in sawdust + 5 left."""
    assert block_balance(10.0, [1.5, 1.5], [2.5, 2.5]) == BlockBalance(3.0, 2.0, 5.0)


@given(st.integers(0, 60_000), st.integers(1, 5000), st.integers(0, 3000), st.integers(0, 10_000))
def test_the_slices_fit_and_one_more_does_not(block_um: int, slice_um: int, kerf_um: int, held_um: int):
    """Invariant, in whole microns."""
    count = slices_from_block(block_um / 1000, slice_um / 1000, kerf_um / 1000, held_um / 1000)
    advance = slice_um + kerf_um
    assert count == 0 or count * advance + held_um <= block_um
    assert (count + 1) * advance + held_um > block_um
    assert count == slices_from_usable(max(0, block_um - held_um) / 1000, advance / 1000)


@given(st.integers(0, 60_000), st.integers(1, 5000), st.integers(0, 3000), st.integers(0, 10_000))
def test_letting_the_last_piece_count_never_costs_a_slice_and_adds_at_most_one(block_um, slice_um, kerf_um, held_um):
    """The held piece may only be thinner than a slice when no slice is meant to remain in the clamp."""
    held_um = max(held_um, slice_um)
    plain = slices_from_block(block_um / 1000, slice_um / 1000, kerf_um / 1000, held_um / 1000)
    counted = slices_from_block(block_um / 1000, slice_um / 1000, kerf_um / 1000, held_um / 1000, last_is_slice=True)
    assert counted == (plain + 1 if block_um >= held_um else 0)
