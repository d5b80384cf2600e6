"""The one place where what was typed becomes millimetres, degrees or per cent, and where lengths are written out."""

from sheetkit.units.formats import Style, format_length, inch_fraction, short_number
from sheetkit.units.numbers import Comma, comma_evidence
from sheetkit.units.quantities import Reading, read_quantity
from sheetkit.units.text import folded, plain_text
from sheetkit.units.words import BASE_UNIT, UNITS, Dimension, Unit, find_unit, from_mm, unit_words

__all__ = [
    "BASE_UNIT", "UNITS", "Comma", "Dimension", "Reading", "Style", "Unit", "comma_evidence", "find_unit", "folded",
    "format_length", "from_mm", "inch_fraction", "plain_text", "read_quantity", "short_number", "unit_words",
]  # fmt: skip
