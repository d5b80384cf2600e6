"""How lengths are written: for a message, and as the number format of a result column."""

from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from fractions import Fraction
from math import floor

from sheetkit.units.words import exact, from_mm

_DECIMALS = {"in": 4, "mm": 2, "thou": 1, "mil": 1, "cm": 3, "m": 5, "ft": 5, "yd": 5, "µm": 0}


class Style(StrEnum):
    """How a length's number is written."""

    DECIMAL = "decimal"
    FRACTION = "fraction"
    """Whole inches and a fraction, to the nearest 64th at the finest."""


def format_length(
    value_mm: float, unit: str, decimals: int | None = None, *, style: Style = Style.DECIMAL, with_unit: bool = True
) -> str:
    """A length as text.

    Args:
        value_mm: length [mm]
        unit: unit to write it in
        decimals: digits after the point; None for the unit's own (in 4, thou 1, mm 2)
        style: decimal, or whole inches with a fraction
        with_unit: add the unit's label

    Raises:
        UnreadableValue: not a unit of length

    >>> format_length(1.5875, "in")
    '0.0625 in'
    >>> format_length(38.1, "in", style=Style.FRACTION)
    '1-1/2 in'
    """
    value = from_mm(value_mm, unit)
    if style is Style.FRACTION:
        number = inch_fraction(value)
    else:
        number = _rounded(value, _DECIMALS.get(unit, 3) if decimals is None else decimals)
    return f"{number} {unit}" if with_unit else number


def _rounded(value: float, decimals: int) -> str:
    """The number as written, rounded half up as on paper: 1.5875 gives 1.588, whatever its binary neighbour says."""
    rounded = Decimal(repr(value)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return f"{rounded if rounded else abs(rounded):f}"


def inch_fraction(inches: float, finest: int = 64, *, joint: str = "-") -> str:
    """Inches as a whole number and a fraction, rounded to the nearest of the finest parts, half up.

    Args:
        inches: length [in]
        finest: parts of an inch to round to
        joint: what stands between the whole number and the fraction

    >>> inch_fraction(2.046875), inch_fraction(12.5, joint=" ")
    ('2-3/64', '12 1/2')
    """
    size = floor(abs(exact(inches)) * finest + Fraction(1, 2))
    parts = -size if inches < 0 else size
    whole, rest = divmod(abs(parts), finest)
    fraction = Fraction(rest, finest)
    sign = "-" if parts < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole}{joint}{fraction}" if whole else f"{sign}{fraction}"


def short_number(value: float, digits: int = 6) -> str:
    """A number as a person writes it: no trailing zeros, no exponent.

    >>> short_number(0.0450000)
    '0.045'
    """
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
