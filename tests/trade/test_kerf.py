import pytest

from sheetkit.trade.kerf import compare, kerf_from_advances, kerf_from_block

INCH = 25.4


def test_a03_kerf_from_the_block_before_and_after():
    slices = [0.0412] * 10
    assert kerf_from_block(1.482, 0.702, slices).kerf_mm == pytest.approx(0.0368, abs=1e-9)
    assert sum(slices) == pytest.approx(0.412)


def test_a_cut_that_gave_no_slice_still_took_its_kerf():
    """Five cuts, four slices of 1.0 and one lost as dust of 1.0: 20 - 10 - 4 = 6 over five cuts."""
    assert kerf_from_block(20.0, 10.0, [1.0] * 4, cuts=5).kerf_mm == pytest.approx(1.2)


def test_kerf_from_the_dial_is_the_mean_of_advance_less_slice():
    """Common practice, no source: 0.050 in dialled for the kerf and 0.010 more give 0.012 to 0.014 in."""
    slices = [0.012 * INCH, 0.013 * INCH, 0.014 * INCH]
    found = kerf_from_advances([0.060 * INCH] * 3, slices)
    assert found.kerf_mm / INCH == pytest.approx(0.047)
    assert found.uncertainty_mm / INCH == pytest.approx(0.001 / 3**0.5)


def test_the_two_ways_agree_within_what_the_block_readings_allow():
    slices = [0.4, 0.42, 0.41, 0.39]
    dial = kerf_from_advances([1.6] * 4, slices)
    block = kerf_from_block(20.0, 20.0 - 6.41, slices, block_error_mm=0.01)
    found = compare(dial, block, block_error_mm=0.01)
    # 6.40 dialled, 6.41 lost: -0.01 over four cuts, against 0.01 sqrt(2) / 4.
    assert found.difference_mm == pytest.approx(-0.0025)
    assert found.uncertainty_mm == pytest.approx(0.01 * 2**0.5 / 4)
    assert found.words == "The kerf from the dial and the kerf from the block agree."


@pytest.mark.parametrize(
    ("lost", "cause"),
    [
        (6.8, "the fence moves more than the dial shows, or slices were lost from the count"),
        (6.0, "the fence moves less than the dial shows, or wood was also taken off otherwise than by the blade"),
    ],
)
def test_a_fence_that_does_not_move_as_dialled_is_told(lost, cause):
    slices = [0.4] * 4
    found = compare(
        kerf_from_advances([1.6] * 4, slices), kerf_from_block(20.0, 20.0 - lost, slices), block_error_mm=0.01
    )
    assert not found.agree
    assert found.words == f"The kerf from the dial and the kerf from the block do not agree: {cause}."
