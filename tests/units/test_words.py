"""The size of every unit against a reference library, and the exact ones against their definitions."""

from fractions import Fraction

import pint
import pytest

from sheetkit.errors import UnreadableValue
from sheetkit.units import UNITS, find_unit, from_mm, unit_words

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
IN_PINT = {
    "in": "inch", "mm": "mm", "thou": "thou", "mil": "thou", "ft": "foot", "yd": "yard", "cm": "cm",
    "dm": "dm", "m": "m", "µm": "um", "s": "s", "min": "min", "h": "hour", "d": "day", "deg": "degree",
    "N": "newton", "lbf": "pound_force", "kPa": "kPa", "psi": "psi",
}  # fmt: skip


@pytest.mark.parametrize("label", [label for label, unit in UNITS.items() if label in IN_PINT])
def test_our_factors_are_those_of_pint(label):
    unit = UNITS[label]
    base = {"length": "mm", "duration": "s", "angle": "degree", "force": "newton", "pressure": "kPa"}[
        unit.dimension.value
    ]
    expected = REGISTRY.Quantity(1.0, IN_PINT[label]).to(base).magnitude
    assert float(unit.factor) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("parts", [8, 16, 32, 64, 128])
def test_parts_of_an_inch_add_up_to_it(parts):
    unit = find_unit({8: "8ths", 16: "16ths", 32: "32nds", 64: "64ths", 128: "128ths"}[parts])
    assert unit.to_base(parts) == 25.4


def test_the_inch_is_exactly_25_4_mm():
    """NIST SP 811 (2008), appendix B.8: 1 in = 2.54 E-02 m, printed in bold as exact."""
    assert UNITS["in"].factor == Fraction(254, 10)
    assert UNITS["in"].to_base(1.5) == 38.1
    assert UNITS["in"].to_base(0.1) == 2.54
    assert from_mm(1.0414, "in") == 0.041
    assert from_mm(UNITS["in"].to_base(0.041), "in") == 0.041


@pytest.mark.parametrize(
    ("value", "label", "base"),
    [
        # NIST SP 811 (2008), appendix B.8, factors as printed there.
        (1, "psi", 6.894757),
        (1, "lbf", 4.448222),
        (1, "kgf", 9.80665),
        (1, "bar", 100),
        (212, "°F", 100),
        (32, "°F", 0),
        (273.15, "K", 0),
        (60, "ft/min", 304.8),
        # 1 lb = 453.59237 g and 1 ft2 = 0.09290304 m2, both exact: 453.59237 / 92.90304
        (1, "lb/1000 ft2", 4.88242764),
        (1, "MPa", 1000),
        (1, "N/mm2", 1000),
        (180, "deg", 180),
    ],
)
def test_the_other_units_have_their_published_size(value, label, base):
    assert find_unit(label).to_base(value) == pytest.approx(base, rel=2e-7, abs=1e-9)
    assert find_unit(label).from_base(find_unit(label).to_base(value)) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("word", "label"),
    [
        ('"', "in"), ("″", "in"), ("INCHES", "in"), ("in.", "in"), ("Zoll", "in"), ("mil", "mil"), ("Thou", "thou"),
        ("MM", "mm"), ("millimètres", "mm"), ("millimetres", "mm"), ("µm", "µm"), ("μm", "µm"), ("micron", "µm"),
        ("'", "ft"), ("64ths", "64ths"), ("furlong", None), ("", None), ("kilogram", "kgf"),
    ],
)  # fmt: skip
def test_units_are_known_by_their_usual_words(word, label):
    found = find_unit(word)
    assert (found.label if found else None) == label


def test_every_word_leads_to_a_unit_and_no_word_to_two():
    words = unit_words()
    assert len(words) == len(set(words))
    assert {find_unit(word).label for word in words} == set(UNITS)


def test_a_mass_is_no_length():
    with pytest.raises(UnreadableValue) as caught:
        from_mm(1, "kg")
    assert (caught.value.found, caught.value.wanted, caught.value.fix) == (
        "kg", "a unit of length", "type in, thou or mm",
    )  # fmt: skip
