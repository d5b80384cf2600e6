"""How lengths are written out."""

import pytest

from sheetkit.units import Style, format_length, inch_fraction, short_number


@pytest.mark.parametrize(
    ("mm", "unit", "decimals", "text"),
    [
        (1.5875, "in", None, "0.0625 in"),
        (1.5875, "thou", None, "62.5 thou"),
        (1.5875, "mm", None, "1.59 mm"),
        (1.5875, "mm", 3, "1.588 mm"),
        (0.254, "in", 3, "0.010 in"),
        (-0.00001, "in", None, "0.0000 in"),
        (914.4, "yd", 0, "1 yd"),
    ],
)
def test_a_length_is_written_in_its_unit(mm, unit, decimals, text):
    assert format_length(mm, unit, decimals) == text


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (0.5, "1/2"),
        (1.5, "1-1/2"),
        (2.046875, "2-3/64"),
        (3, "3"),
        (0, "0"),
        (0.999, "1"),
        (-0.25, "-1/4"),
        (0.015625, "1/64"),
        (0.0078125, "1/64"),  # half of a 64th goes up, as on paper
        (-0.0078125, "-1/64"),
    ],
)
def test_inches_as_a_fraction_are_rounded_to_the_nearest_64th(inches, text):
    assert inch_fraction(inches) == text
    assert format_length(inches * 25.4, "in", style=Style.FRACTION, with_unit=False) == text


@pytest.mark.parametrize(
    ("value", "text"), [(0.045, "0.045"), (3.0, "3"), (-0.0, "0"), (1e-9, "0"), (1234.5, "1234.5")]
)
def test_a_short_number_has_no_trailing_zeros(value, text):
    assert short_number(value) == text
