"""Exact lengths: a fit that is exact on paper is exact here too."""

from decimal import ROUND_FLOOR, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade.exact import (
    ceiling_of_ratio,
    common_step,
    floor_of_ratio,
    millimetres,
    nearest_multiple,
    picometres,
    total_mm,
)

INCH = 25.4


@given(st.decimals("0.0001", "0.25", places=4), st.integers(1, 400))
def test_a_block_cut_for_exactly_n_slices_gives_n(slice_in: Decimal, count: int):
    """As many slices of any ten-thousandth of an inch, however the block's length was added up."""
    block_mm = float(slice_in * count) * INCH
    assert floor_of_ratio(block_mm, float(slice_in) * INCH) == count
    assert ceiling_of_ratio(block_mm, float(slice_in) * INCH) == count


@given(st.decimals("0.001", "9", places=4), st.decimals("0.001", "0.5", places=4), st.decimals("0", "0.2", places=4))
def test_counting_agrees_with_decimal_arithmetic(block_in: Decimal, slice_in: Decimal, kerf_in: Decimal):
    """Python's decimal module as the outside reckoner."""
    expected = int((block_in / (slice_in + kerf_in)).to_integral_value(ROUND_FLOOR))
    assert floor_of_ratio(float(block_in) * INCH, float(slice_in) * INCH + float(kerf_in) * INCH) == expected


@pytest.mark.parametrize("denominator", [3, 7, 64, 128, 1024, 4096])
def test_a_block_of_one_inch_gives_every_fraction_of_it(denominator: int):
    assert floor_of_ratio(INCH, INCH / denominator) == denominator


def test_one_micron_too_short_is_too_short():
    assert floor_of_ratio(10.0 - 0.001, 2.5) == 3
    assert ceiling_of_ratio(10.0 + 0.001, 2.5) == 5


def test_lengths_below_zero_count_downwards():
    assert floor_of_ratio(-0.1, 1.0) == -1
    assert ceiling_of_ratio(-0.1, 1.0) == 0


def test_halfway_goes_to_the_larger_division():
    assert nearest_multiple(0.0625, 0.025) == 3
    assert nearest_multiple(-0.0125, 0.025) == 0
    assert nearest_multiple(0.0125 * INCH, 0.005 * INCH) == 3


@given(st.lists(st.integers(1, 10**12), min_size=1, max_size=6))
def test_the_common_step_divides_every_length_and_no_longer_one_does(lengths: list[int]):
    step = common_step(lengths)
    quotients = [Fraction(length, step) for length in lengths]
    assert all(quotient.denominator == 1 for quotient in quotients)
    assert common_step([int(quotient) for quotient in quotients]) == 1


def test_the_common_step_of_nothing_is_one():
    assert common_step([]) == 1


@given(st.integers(-(10**12), 10**12))
def test_whole_picometres_survive_the_way_there_and_back(length_pm: int):
    assert picometres(millimetres(length_pm)) == length_pm


def test_a_sum_collects_no_binary_dust():
    assert total_mm([0.1] * 3) == 0.3
    assert total_mm([]) == 0.0


@pytest.mark.parametrize("function", [floor_of_ratio, ceiling_of_ratio, nearest_multiple])
@pytest.mark.parametrize("part", [0.0, -1.0])
def test_dividing_by_nothing_is_refused(function, part):
    with pytest.raises(ValueError, match=f"^a length of {part} mm cannot be divided by; wanted more than 0 mm$"):
        function(1.0, part)


@given(st.floats(-1e7, 1e7) | st.integers(-(10**13), 10**13).map(lambda halves: halves / 2e9))
def test_a_length_becomes_the_nearest_whole_picometre_halfway_away_from_zero(length_mm: float):
    """Python's fractions, which hold every float exactly, as the outside reckoner; halfway cases among them."""
    whole = (abs(Fraction(length_mm)) * 10**9 + Fraction(1, 2)).__floor__()
    assert picometres(length_mm) == (whole if length_mm >= 0 else -whole)
