"""Scans one number with its unit out of a cell's text: feet with inches, hours with minutes, "5/64 of an inch"."""

import itertools
import re
from dataclasses import dataclass, replace
from fractions import Fraction

from sheetkit.errors import UnreadableValue
from sheetkit.units.numbers import Comma, Number, scan_number
from sheetkit.units.words import UNITS, Dimension, Unit, find_unit, unit_words


@dataclass(frozen=True, slots=True)
class Term:
    """A number with its unit, if it has one, as it stands in the text."""

    numbers: tuple[Number, ...]
    unit: Unit | None
    end: int
    negative: bool = False
    compound: bool = False


_SIGN = re.compile(r"\s*([+-])?\s*")
_UNIT = re.compile(
    r"(\s*[(\[]\s*|\s*-?\s*)(" + "|".join(re.escape(word).replace(r"\ ", r"[\s-]*") for word in unit_words()) + r")",
    re.IGNORECASE,
)
_ORDINAL = re.compile(r"\s*(?:ths?|nds?|rds?)?\s*(?:of\s+(?:an?\s+)?)(?=inch)", re.IGNORECASE)
_FRACTION_ORDINAL = re.compile(r"(?:ths?|nds?)\b", re.IGNORECASE)
_NO_PART_OF_A_UNIT = re.compile(
    r"/\s*(?:[\d.]|turn|rev|div|mark|pass|slice|cut|face|side|end|edge|layer|ply|line|board|ea)", re.IGNORECASE
)
_NOUNS = {Dimension.NUMBER: "one number", Dimension.MONEY: "an amount of money", Dimension.PERCENT: "one share"}
_SPOKEN = {"in": "inches", "ft": "feet", "%": "per cent", "deg": "degrees", "min": "minutes", "s": "seconds"}
_SMALLER = {"yd": "ft", "ft": "in", "m": "cm mm", "cm": "mm", "h": "min s", "min": "s", "d": "h"}


class TermScanner:
    """Scans the terms of one cell.

    Args:
        shown: the cell's text as typed, for messages
        text: what is left of it to scan, in plain characters
        dimension: what the column measures
        unit: the column's unit
        comma: what the column proves about commas
    """

    def __init__(self, shown: str, text: str, dimension: Dimension, unit: str | Unit, comma: Comma | None) -> None:
        self.shown, self.text, self.dimension, self.comma = shown, text, dimension, comma
        known = unit if isinstance(unit, Unit) else find_unit(unit, dimension)
        self.unit = known or Unit(str(unit), dimension, Fraction(1))

    def unreadable(self, why: str = "", fix: str = "") -> UnreadableValue:
        """The finding for this cell."""
        wanted = _NOUNS.get(self.dimension, f"one {self.dimension.value}")
        label = f" in {_SPOKEN.get(self.unit.label, self.unit.label)}" if self.unit.label else ""
        fix = fix or self.mended() or "type the number alone, or the number with its unit; a remark goes in brackets"
        return UnreadableValue(f'"{self.shown.strip()}"' + (f" ({why})" if why else ""), wanted + label, fix)

    def mended(self) -> str:
        """What was probably meant, where letters stand for digits."""
        stray = re.fullmatch(r"(\d+)\s*[.,]\s*(\d+/\d+)", self.text)
        if stray:
            return f"type {stray[1]} {stray[2]} if that is meant; a point stands before the fraction"
        likely = self.text.translate(str.maketrans("OoIlS", "00115"))
        if likely == self.text or not re.fullmatch(r"[\d.,-]+|\d+ \d+/\d+|\d+/\d+", likely):
            return ""
        return f"type {likely} if that is meant; letters stand among the digits"

    def term(self, start: int) -> Term | None:
        """A number with its unit, feet and inches together, beginning at a place."""
        sign = _SIGN.match(self.text, start)
        begin = sign.end() if sign else start
        scanned = scan_number(self.text, begin, self.comma)
        if scanned is None:
            return None
        numbers, end = scanned
        ordinal = _FRACTION_ORDINAL.match(self.text, end) if numbers[0].fraction else None
        end = ordinal.end() if ordinal else end
        of_an_inch = _ORDINAL.match(self.text, end)
        end = of_an_inch.end() if of_an_inch else end
        unit, end = self.unit_at(end)
        term = Term(numbers, unit, end, negative=bool(sign and sign[1] == "-"))
        return self.with_smaller(term) if unit else term

    def unit_at(self, start: int) -> tuple[Unit | None, int]:
        """The unit at a place, and where it ends."""
        match = _UNIT.match(self.text, start)
        if match is None or not self.text[start:].strip():
            return None, start
        opened, word, end = match[1].strip(), match[2], match.end()
        if opened in {"(", "["}:
            closing = re.match(r"\s*[)\]]", self.text[end:])
            return (None, start) if closing is None else self.of_dimension(word, end + closing.end(), start)
        after = self.text[end : end + 1]
        if word[-1].isalpha() and (after.isalpha() or (after == "/" and not _NO_PART_OF_A_UNIT.match(self.text, end))):
            return None, start
        if word == '"' and match[1] and after.isalpha():
            return None, start
        if after.isdigit() and find_unit(word, self.dimension) is None:
            return None, start
        return self.of_dimension(word, end, start)

    def of_dimension(self, word: str, end: int, start: int) -> tuple[Unit | None, int]:
        """The unit that a word names, if it measures what the column does; a unit of something else is refused."""
        unit = find_unit(word, self.dimension)
        if unit is None and find_unit(word) and not (self.dimension is Dimension.NUMBER or word == "'"):
            raise self.unreadable(f"{word} is no unit of {self.dimension.value}")
        return (unit, end) if unit else (None, start)

    def with_smaller(self, term: Term) -> Term:
        """Feet and inches, metres and centimetres, hours and minutes as one term."""
        assert term.unit is not None  # noqa: S101 - the caller asks only for terms with a unit
        joint = re.match(r"\s*(?:,|-|\band\b)?\s*", self.text[term.end :])
        start = term.end + (joint.end() if joint else 0)
        scanned = scan_number(self.text, start, self.comma)
        if scanned is None:
            return term
        numbers, end = scanned
        unit, end = self.unit_at(end)
        split = term.unit.label == "in" and unit in (None, term.unit) and numbers[0].fraction and len(numbers) == 1
        if split and numbers[0].value < 1 and not term.numbers[0].fraction:
            because = "the inch mark stands between the whole inches and the fraction"
            total = tuple(Number(first.value + numbers[0].value, because, fraction=True) for first in term.numbers)
            return replace(term, numbers=total, end=end)
        smaller = unit or UNITS.get({"ft": "in", "h": "min"}.get(term.unit.label, ""))
        if smaller is None or smaller.label not in _SMALLER.get(term.unit.label, "").split():
            return term
        ratio = (term.unit.factor or Fraction(1)) / (smaller.factor or Fraction(1))
        if any(number.value >= ratio for number in numbers):
            return term
        pairs = itertools.product(term.numbers, numbers)
        total = tuple(
            Number(first.value * ratio + second.value, first.because or second.because) for first, second in pairs
        )
        return replace(term, numbers=total, unit=smaller, end=end, compound=True)
