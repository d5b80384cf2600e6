"""The digits of a value: decimals with point or comma, thousands groups, fractions, whole numbers with a fraction."""

import re
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction


class Comma(StrEnum):
    """What a lone comma between digits stands for in a column."""

    DECIMAL = "decimal"
    THOUSANDS = "thousands"


@dataclass(frozen=True, slots=True)
class Number:
    """One way to understand some digits.

    Attributes:
        value: the number
        because: why it was read so, where that is not plainly what stands there
        fraction: written as a fraction
        quarters: written as whole quarters that name a nominal thickness ("5/4")
        decimals: digits after the point
    """

    value: Fraction
    because: str = ""
    fraction: bool = False
    quarters: bool = False
    decimals: int = 0


_END = r"(?![\d/]|[.,]\d)"
_MIXED = re.compile(
    r"(\d{1,4})(\s*[-+&]\s*|\s+and\s+|\s+|\s*\(\s*)(\d{1,3})\s*/\s*(\d{1,4})(\s*\))?" + _END, re.IGNORECASE
)
_FRACTION = re.compile(r"(\d{1,4})\s*/\s*(\d{1,4})" + _END)
_EXPONENT = re.compile(r"(?:\d+[.,]?\d*|[.,]\d+)[eE][+-]?\d{1,2}(?![\w.,])")
_GROUPED = re.compile(r"\d{1,3}(?:([ '])\d{3})(?:\1\d{3})*(?:[.,]\d+)?" + _END)
_SLASH = re.compile(r"\s*/\s*[\d.]")
_TWO_DECIMALS = re.compile(r"\d*[.,]\d+\s*/\s*\d*[.,]\d+")
_DIGITS = re.compile(r"[.,]?\d+(?:[.,]\d+)*(?:\.(?![\d.]))?")

LONGEST_NUMBER = 100
"""Characters of a number; longer rows of digits are none that anybody measured."""

DECIMAL_COMMA = "its comma is taken as a decimal comma"
COLUMN_COMMA = "other cells of the column show that the comma is a decimal comma"


def scan_number(text: str, start: int, comma: Comma | None) -> tuple[tuple[Number, ...], int] | None:
    """The number that begins at a place in plain text.

    Args:
        text: as `plain_text` gives it
        start: where the number must begin
        comma: what the column proves about commas, if anything

    Returns:
        The ways to understand it, and where it ends; None where no number begins or none can be understood.
    """
    for pattern, understood in ((_MIXED, _mixed), (_FRACTION, _fraction), (_EXPONENT, _exponent), (_GROUPED, _grouped)):
        match = pattern.match(text, start)
        numbers = understood(match) if match and len(match[0]) <= LONGEST_NUMBER else ()
        if match and numbers:
            return numbers, match.end()
    match = _DIGITS.match(text, start)
    if match is None or len(match[0]) > LONGEST_NUMBER:
        return None
    if _SLASH.match(text, match.end()) and not _TWO_DECIMALS.match(text, start):
        return None
    # A full stop behind a decimal ends the sentence, not the number.
    digits = match[0][:-1] if match[0].endswith(".") and re.search(r"[.,]", match[0][:-1]) else match[0]
    numbers = decimal_numbers(digits, comma)
    return (numbers, match.end()) if numbers else None


def _mixed(match: re.Match[str]) -> tuple[Number, ...]:
    whole, joint, over, under, closing = match.groups()
    opened = "(" in joint
    if not int(under) or int(over) >= int(under) or opened != (closing is not None):
        return ()
    value = int(whole) + Fraction(int(over), int(under))
    because = "the bracket holds the fraction that belongs to it" if opened else ""
    if re.fullmatch(r"\s+-", joint):
        because = "the hyphen before the fraction is taken for and, not for minus"
    return (Number(value, because, fraction=True),)


def _fraction(match: re.Match[str]) -> tuple[Number, ...]:
    over, under = int(match[1]), int(match[2])
    # 27/25 is two numbers: nobody writes an improper fraction of other parts than halves, tenths and their like.
    if not under or (over > under and under & (under - 1) and under not in (10, 100, 1000)):
        return ()
    plain = Number(Fraction(over, under), fraction=True, quarters=under == 4 and 4 <= over <= 20)
    run_together = _run_together(match[1], under)
    if not run_together:
        return (plain,)
    return (replace(plain, because="the fraction is larger than one"), *run_together)


def _run_together(over: str, under: int) -> list[Number]:
    """A whole number and a fraction that lost the space between them: 17/16 may be 1 7/16."""
    found = []
    for at in range(1, len(over) if int(over) > under else 0):
        rest = int(over[at:])
        if over[at] != "0" and rest % 2 and rest < under and under & (under - 1) == 0:
            because = "the space between the whole number and the fraction is missing"
            found.append(Number(int(over[:at]) + Fraction(rest, under), because, fraction=True))
    return found


def _exponent(match: re.Match[str]) -> tuple[Number, ...]:
    because = DECIMAL_COMMA if "," in match[0] else ""
    return (Number(Fraction(match[0].replace(",", ".")), because, decimals=6),)


def _grouped(match: re.Match[str]) -> tuple[Number, ...]:
    sign = "space" if match[1] == " " else "apostrophe"
    digits = match[0].replace(match[1], "").replace(",", ".")
    return (Number(Fraction(digits), f"the {sign} between its digits is taken as a thousands separator"),)


def decimal_numbers(digits: str, comma: Comma | None = None) -> tuple[Number, ...]:
    """The ways to understand digits with points and commas.

    Args:
        digits: for example "0,041" or "1,250"
        comma: what the column proves about commas, if anything

    >>> [float(number.value) for number in decimal_numbers("1,250")]
    [1.25, 1250.0]
    """
    points, commas = digits.count("."), digits.count(",")
    if not commas and points <= 1:
        return _with_point(digits, comma)
    if commas == 1 and not points:
        return _with_comma(digits, comma)
    if points and commas:
        return _with_both(digits)
    mark = "," if commas else "."
    if re.fullmatch(rf"\d{{1,3}}(?:\{mark}\d{{3}})+", digits):
        return (Number(Fraction(digits.replace(mark, "")), "the signs between its digits are thousands separators"),)
    return ()


def _with_point(digits: str, comma: Comma | None) -> tuple[Number, ...]:
    decimals = len(digits.partition(".")[2])
    plain = Number(Fraction(digits), decimals=decimals)
    if comma is Comma.DECIMAL and re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", digits):
        because = "the column has decimal commas, so its point could be a thousands separator"
        return (
            Number(Fraction(digits), "its point is taken as a decimal point", decimals=decimals),
            Number(Fraction(digits.replace(".", "")), because),
        )
    if re.fullmatch(r"0\d{2,}", digits):
        because = "a leading zero without a point is taken for a missing point"
        short = Number(Fraction(f"0.{digits}"), because)
        # 0041 may be .0041 or 0.041: both lost only their point.
        behind_zero = (Number(Fraction(f"0.{digits[1:]}"), because),) if digits.startswith("00") else ()
        return (plain, short, *behind_zero)
    return (plain,)


def _with_comma(digits: str, comma: Comma | None) -> tuple[Number, ...]:
    decimals = len(digits.partition(",")[2])
    ambiguous = re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits)
    because = COLUMN_COMMA if comma is Comma.DECIMAL and ambiguous else DECIMAL_COMMA
    decimal = Number(Fraction(digits.replace(",", ".")), because, decimals=decimals)
    if not ambiguous or comma is Comma.DECIMAL:
        return (decimal,)
    thousands = Number(Fraction(digits.replace(",", "")), "its comma is taken as a thousands separator")
    return (thousands,) if comma is Comma.THOUSANDS else (decimal, thousands)


def _with_both(digits: str) -> tuple[Number, ...]:
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+\.\d*", digits):
        return (Number(Fraction(digits.replace(",", "")), "its commas are taken as thousands separators"),)
    if re.fullmatch(r"\d{1,3}(?:\.\d{3})+,\d*", digits):
        digits = digits.replace(".", "").replace(",", ".")
        return (Number(Fraction(digits), "its point is taken as a thousands separator, its comma as a decimal comma"),)
    return ()


def comma_evidence(text: str) -> Comma | None:
    """What a cell's text proves about commas: a decimal comma, a thousands comma, or nothing."""
    for digits in re.findall(r"[\d.,]*\d[\d.,]*", text):
        body = digits.strip(",") if not re.fullmatch(r",\d+", digits) else digits
        if re.fullmatch(r"\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:,\d{3}){2,}", body):
            return Comma.THOUSANDS
        if re.fullmatch(r"\d{1,3}(?:\.\d{3})+,\d+|0?,\d+|\d+,(?:\d{1,2}|\d{4,})|0\d*,\d+|\d{4,},\d+", body):
            return Comma.DECIMAL
    return None
