"""What must hold for any text and any length."""

import re
import string
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.errors import UnreadableValue
from sheetkit.units import (
    UNITS,
    Dimension,
    Style,
    find_unit,
    format_length,
    from_mm,
    plain_text,
    read_quantity,
    unit_words,
)

LENGTH_UNITS = ("in", "mm", "thou", "cm", "m", "ft", "yd", "µm", "64ths")
BROAD = string.ascii_letters + string.digits * 6 + " ./,-'\"½⅛″”’()+~?%@x=±:;µ°\u00a0\u2009–−４５⁄#&*[]|<>éß零"


def only_length(text, unit="in", **how):
    """The one length that a text can mean."""
    readings = read_quantity(text, Dimension.LENGTH, unit, **how)
    assert len({round(reading.value, 9) for reading in readings}) == 1
    return readings[0]


@given(st.floats(0, 10_000, allow_nan=False), st.sampled_from(LENGTH_UNITS), st.integers(0, 6))
def test_a_decimal_length_that_we_write_reads_back_the_same(value, unit, decimals):
    mm = find_unit(unit).to_base(round(value, decimals))
    reading = only_length(format_length(mm, unit, decimals), unit="thou")
    assert reading.value == mm
    assert (reading.because, reading.remark, reading.doubtful) == ("", "", False)


@given(st.floats(0, 10_000, allow_nan=False), st.sampled_from(("in", "mm", "thou")))
def test_a_length_in_its_usual_decimals_reads_back_within_half_a_step(mm, unit):
    step = find_unit(unit).to_base({"in": 0.0001, "mm": 0.01, "thou": 0.1}[unit])
    assert abs(only_length(format_length(mm, unit), unit="thou").value - mm) <= step / 2 * 1.000001


@given(st.integers(1, 64 * 100))
def test_a_fraction_that_we_write_reads_back_exactly(sixty_fourths):
    mm = find_unit("in").to_base(sixty_fourths / 64)
    assert only_length(format_length(mm, "in", style=Style.FRACTION)).value == mm


@given(st.floats(-1e4, 1e4, allow_nan=False), st.sampled_from(LENGTH_UNITS))
def test_converting_there_and_back_gives_the_same_length(value, unit):
    back = from_mm(find_unit(unit).to_base(value), unit)
    assert abs(back - value) <= 4e-16 * max(abs(value), 1e-300) * 4


_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+|\d+(?:,\d{3})+\.\d+)(?:[eE][+-]?\d{1,2})?"
_AMOUNT = rf"(?:[+-]|±|\+/?-)?\s*(?:\d+(?:\s*[-+&]\s*|\s+and\s+|\s+)\d+\s*/\s*\d+|\d+\s*/\s*\d+|{_NUMBER})"
_ORDINAL = r"(?:of an )?(?:th|ths|nds)?\s*(?:of an )?"
_WORD = rf"\s*-?\s*[(\[]?\s*{_ORDINAL}[^\d\s.,+()\[\]-]*[^\d\s]{{0,3}}[\d/ ]*(?:ths?|nds?|s)?\s*\.?\s*[)\]]?"
_TAIL = r"\s*(?:[(\[{].*|[.,;:]*)"
PLAIN = re.compile(rf"'?{_AMOUNT}(?:{_WORD})?(?:\s*(?:,|-|and)?\s*{_AMOUNT}(?:{_WORD})?)?{_TAIL}", re.IGNORECASE)


def is_explained(text, reading):
    """A reading without any explanation is only right for a number, its unit, and a remark in brackets."""
    if reading.because or reading.doubtful or reading.nominal:
        return True
    return PLAIN.fullmatch(plain_text(text).strip("'\" ")) is not None or PLAIN.fullmatch(plain_text(text)) is not None


def outcome(text, dimension, unit, quarters):
    """The readings and no problem, or no readings and the three answers of the refusal."""
    try:
        return read_quantity(text, dimension, unit, quarters=quarters), ()
    except UnreadableValue as problem:
        return (), (problem.found, problem.wanted, problem.fix)


@settings(max_examples=1500, deadline=None)
@given(st.text(BROAD, max_size=40), st.sampled_from(list(Dimension)), st.booleans())
def test_no_text_raises_or_yields_a_number_that_is_not_explained(text, dimension, quarters):
    unit = {Dimension.LENGTH: "in", Dimension.DURATION: "min", Dimension.PERCENT: "%", Dimension.ANGLE: "deg"}.get(
        dimension, ""
    )
    readings, problem = outcome(text, dimension, unit, quarters)
    assert bool(readings) != bool(problem)
    assert all(problem)
    for reading in readings:
        assert abs(reading.value) < 1e60
        assert any(character.isdigit() or character in "½⅛" for character in text)
        assert is_explained(text, reading), reading


@settings(max_examples=400, deadline=None)
@given(
    st.decimals("0.001", "99", places=3), st.sampled_from(("", " ", "\u00a0", "-")), st.sampled_from(unit_words()),
    st.text(string.ascii_letters + " ", max_size=12),
)  # fmt: skip
def test_a_number_with_a_unit_never_silently_means_another_unit(number, gap, word, tail):
    unit = find_unit(word)
    text = f"{number}{gap if word[0].isalpha() else gap or ' '}{word}{tail}"
    try:
        reading, *others = read_quantity(text, Dimension.LENGTH, "in")
    except UnreadableValue:
        return
    if any(round(other.value, 9) != round(reading.value, 9) for other in others):
        return
    if not tail.strip() and unit.dimension is Dimension.LENGTH and not word.startswith("/"):
        assert abs(reading.value - unit.to_base(float(number))) <= 1e-9 * reading.value
    elif not reading.because and not reading.doubtful:
        assert reading.own_unit


@given(st.floats(-1e12, 1e12), st.sampled_from([unit for unit in UNITS.values() if unit.factor is not None]))
def test_a_factor_is_applied_exactly_and_rounded_once(value, unit):
    """Python's fractions are the reference: the ratio of the decimal, times the ratio of the unit."""
    decimal = Fraction(repr(value))
    assert unit.to_base(value) == float((decimal - unit.zero) * unit.factor)
    assert unit.from_base(value) == float(decimal / unit.factor + unit.zero)
