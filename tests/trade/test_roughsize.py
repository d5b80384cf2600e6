"""Rough sizes, shortage, and the layers of one slice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade.roughsize import (
    pieces_per_slice,
    rough_size,
    size_short_by,
)

INCH = 25.4


def test_the_board_of_case_a09_is_half_an_inch_short():
    """Case A09: finished 18, trim 3 each end, stock 23-1/2 in."""
    need = rough_size(18 * INCH, 3 * INCH)
    assert need == pytest.approx(24 * INCH, abs=1e-9)
    assert size_short_by(23.5 * INCH, need) == pytest.approx(0.5 * INCH, abs=1e-9)


def test_a_board_of_exactly_the_size_is_not_short():
    assert size_short_by(3 * 0.1, 0.3) == 0.0
    assert size_short_by(0.3, 3 * 0.1) == 0.0


@pytest.mark.parametrize(
    ("length", "width", "expected"),
    [(906.0, 60.0, 3), (905.9, 60.0, 2), (300.0, 55.0, 1), (299.9, 55.0, 0), (906.0, 54.9, 0), (906.0, 200.0, 3)],
)
def test_a_long_slice_gives_several_layers_and_a_narrow_one_none(length: float, width: float, expected: int):
    """Own sum: three layers of 300 and two kerfs of 3 take 906."""
    assert pieces_per_slice(length, width, rough_length_mm=300.0, rough_width_mm=55.0, crosscut_kerf_mm=3.0) == expected


@given(st.integers(0, 2000), st.integers(1, 600), st.integers(0, 10))
def test_layers_and_kerfs_fit_the_length_and_one_more_layer_does_not(length, rough, kerf):
    count = pieces_per_slice(length, 60.0, rough, 55.0, crosscut_kerf_mm=kerf)
    assert count == 0 or count * rough + (count - 1) * kerf <= length
    assert (count + 1) * rough + count * kerf > length
