"""Reads one cell's text as a value with its unit: the one place where "24", "24 mm" and "15/16 in" become numbers."""

import itertools
import re
from dataclasses import dataclass, replace
from functools import lru_cache

from sheetkit.errors import UnreadableValue
from sheetkit.units.numbers import Comma, Number
from sheetkit.units.remarks import Remark, is_limit, read_remark, strip_lead
from sheetkit.units.terms import Term, TermScanner
from sheetkit.units.text import plain_text
from sheetkit.units.words import UNITS, Dimension, Unit, exact


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to understand what a cell holds.

    Attributes:
        value: in the base unit of its dimension
        unit: label of the unit it was written in
        own_unit: the unit stands in the cell itself
        because: why it was read so, where that is not plainly what stands there; completes "read as ... because"
        low: lower end of a range, base unit
        high: upper end likewise
        several: the values where the cell holds more than one reading; else empty
        remark: what was written beside the value
        doubtful: marked as approximate or doubtful
        nominal: a nominal thickness, such as 5/4
        amount: the value in `unit`
    """

    value: float
    unit: str
    own_unit: bool = False
    because: str = ""
    low: float | None = None
    high: float | None = None
    several: tuple[float, ...] = ()
    remark: str = ""
    doubtful: bool = False
    nominal: bool = False
    amount: float = 0.0


_RANGE = re.compile(r"\s*(?:-|~|\.\.\.?|\b(?:to|through|thru|bis|à|a)\b)\s*", re.IGNORECASE)
_BOTH_ENDS = re.compile(
    r"(?:between|from|zwischen|von|entre|de)\s+(?=.*\d.*\s(?:and|to|und|bis|et|à|a)\s)", re.IGNORECASE
)
_BETWEEN = re.compile(r"\s*\b(?:and|und|et|to|bis|à|a)\b\s*", re.IGNORECASE)
_PLUS_MINUS = re.compile(r"\s*(?:±|\+\s*/?\s*-)\s*")
_LIMITS = re.compile(
    r"\s*(?:\+\s*[\d.,]+\s*[/,]?\s*-\s*[\d.,]+|-\s*[\d.,]+\s*/\s*\+\s*[\d.,]+|(?:±|\+\s*/?\s*-)\s*[\d.,]+\s*%)"
)
_PLACES = re.compile(r"\s*(?:places?|spots?|points?|corners?|times)\b", re.IGNORECASE)
_TIMES = re.compile(r"\s*(@|\bat\b|[x*]|\bpcs\.?\s*(?:@|of|at)?|\bof\b|\bplaces\b)\s*", re.IGNORECASE)
_LIST = re.compile(r"\s*(?:;|=|,\s|,(?=\.)|\||/|\n|\s|&|\band\b)\s*", re.IGNORECASE)
_THOUSANDTHS = re.compile(r"(thousandths?|thou|64ths?|32nds?|16ths?|8ths?) of an? inch", re.IGNORECASE)


_COUNT_WORDS = {"four": 4, "five": 5, "six": 6, "eight": 8, "ten": 10, "twelve": 12, "sixteen": 16}
_QUARTERS = re.compile(rf"^({'|'.join(_COUNT_WORDS)}|\d{{1,2}})[\s-]*(?:quarters?|qtrs?\.?)(?![a-z])", re.IGNORECASE)

LONGEST_TEXT = 1_000
"""Characters of a cell that is looked at for a quantity, its remark included."""


def _as_quarters(match: re.Match[str]) -> str:
    return f"{_COUNT_WORDS.get(match[1].lower(), match[1])}/4"


@lru_cache(maxsize=20_000)
def read_quantity(
    text: str, dimension: Dimension, unit: str | Unit, *, comma: Comma | None = None, quarters: bool = False
) -> tuple[Reading, ...]:
    """All the ways in which a cell's text can be understood, by its form alone.

    Args:
        text: as typed
        dimension: what the column measures
        unit: the column's unit, for numbers that carry none
        comma: what the column proves about commas, if anything
        quarters: 5/4 and the like are nominal thicknesses

    Raises:
        UnreadableValue: no value can be made out, or the cell plainly holds something else
    """
    if len(text) > LONGEST_TEXT:
        raise TermScanner(text, "", dimension, unit, comma).unreadable("a long text")
    return _Reader(text, dimension, unit, comma, quarters).readings()


class _Reader(TermScanner):
    """Reads one cell."""

    def __init__(self, text: str, dimension: Dimension, unit: str | Unit, comma: Comma | None, quarters: bool) -> None:
        plain = _QUARTERS.sub(_as_quarters, plain_text(text)) if quarters else plain_text(text)
        if dimension is Dimension.NUMBER:
            plain = re.sub(r"^[x*]\s*(?=\d+$)", "", plain)
        both = _BOTH_ENDS.match(plain)
        self.between = both is not None
        self.lead = strip_lead(_THOUSANDTHS.sub(r"\1", plain[both.end() :] if both else plain))
        super().__init__(text, self.lead.rest, dimension, unit, comma)
        self.quarters = quarters

    def readings(self) -> tuple[Reading, ...]:
        """Every way to understand the text."""
        first = self.term(0)
        if first is None:
            raise self.unreadable("a limit, not a value" if is_limit(self.text) else "")
        for form in (self.limits, self.plus_minus, self.counted, self.ranged, self.listed):
            found = form(first)
            if found:
                return self.finished(*found)
        return self.finished(self.simple(first), first.end)

    # Forms with more than one term

    def limits(self, first: Term) -> tuple[list[Reading], int] | None:
        """A value with two tolerances, or with one in per cent: 0.041 +.001/-.002."""
        match = _LIMITS.match(self.text, first.end)
        if match is None or first.negative:
            return None
        because = "the value before the tolerance is taken; the tolerance is kept as a remark only"
        remark = match[0].strip()
        return [replace(one, remark=remark, because=one.because or because) for one in self.simple(first)], match.end()

    def plus_minus(self, first: Term) -> tuple[list[Reading], int] | None:
        """A value with its tolerance: 0.041 ± 0.001."""
        match = _PLUS_MINUS.match(self.text, first.end)
        second = self.term(match.end()) if match else None
        if match is None or second is None:
            return None
        because = "the value before the ± is taken; the tolerance behind it is kept as a remark only"
        remark = self.text[match.start() : second.end].strip()
        shared = first if first.unit else replace(first, unit=second.unit)
        readings = self.around(shared, second, because, remark) or self.around(first, second, because, remark)
        if not readings:
            raise self.unreadable("a tolerance larger than the value", "type the value alone")
        return readings, second.end

    def around(self, first: Term, second: Term, because: str, remark: str) -> list[Reading]:
        """A value and the ends that its tolerance gives it; none where the tolerance is larger than the value."""
        off = self.simple(second if second.unit else replace(second, unit=first.unit))[0].value
        return [
            replace(
                middle,
                remark=remark,
                because=middle.because or because,
                low=middle.value - off,
                high=middle.value + off,
            )
            for middle in self.simple(first)
            if off < abs(middle.value)
        ]

    def counted(self, first: Term) -> tuple[list[Reading], int] | None:
        """Several equal readings: 3 @ 0.041, 0.041 x 3."""
        match = _TIMES.match(self.text, first.end)
        second = self.term(match.end()) if match else None
        if match is None or second is None:
            return None
        sure = match[1].lower() in {"@", "at"} or match[1].lower().startswith("pcs")
        if self.is_count(first) and (sure or self.is_small(second)):
            count, value = first, second
        elif self.is_count(second) and first.numbers[0].value < 1 and (not sure or self.names_places(second)):
            count, value = second, first
        else:
            raise self.unreadable("two numbers", "type one number, or give each number a cell of its own")
        number = int(count.numbers[0].value)
        because = f"{self.text[first.end : match.end()].strip()} is taken as {number} equal readings"
        readings = [
            replace(
                reading,
                several=(reading.value,) * number,
                because=reading.because or because,
                remark=f"{number} of them",
            )
            for reading in self.simple(value)
        ]
        return readings, second.end

    def names_places(self, count: Term) -> bool:
        return _PLACES.match(self.text, count.end) is not None

    @staticmethod
    def is_count(term: Term) -> bool:
        number = term.numbers[0]
        whole = number.value.denominator == 1 and 1 <= number.value <= 500
        return whole and not number.fraction and term.unit is None and not term.negative and number.decimals == 0

    @staticmethod
    def is_small(term: Term) -> bool:
        return term.unit is not None or term.numbers[0].value < 1

    def ranged(self, first: Term) -> tuple[list[Reading], int] | None:
        """A range: .041-.043."""
        match = (_BETWEEN if self.between else _RANGE).match(self.text, first.end)
        second = self.term(match.end()) if match else None
        if match is None or second is None:
            return None
        unit = second.unit or first.unit
        ends = self.simple(replace(first, unit=first.unit or unit)), self.simple(replace(second, unit=unit))
        readings = []
        for one, other in itertools.product(*ends):
            low, high = sorted((one.value, other.value))
            if low <= 0 or high > 3 * low:
                continue
            middle = replace(one, value=float((exact(low) + exact(high)) / 2), low=low, high=high, several=(low, high))
            because = f"it is a range, from {one.amount:.10g} to {other.amount:.10g}; its middle is taken"
            readings.append(
                replace(
                    middle,
                    because=because,
                    own_unit=unit is not None,
                    amount=float((exact(one.amount) + exact(other.amount)) / 2),
                )
            )
        if not readings:
            raise self.unreadable("two numbers", "type one number")
        return readings, second.end

    def listed(self, first: Term) -> tuple[list[Reading], int] | None:
        """Several readings in one cell: 0.041; 0.042; 0.043."""
        terms = [first]
        while match := _LIST.match(self.text, terms[-1].end):
            following = self.term(match.end()) if match.end() > terms[-1].end else None
            if following is None:
                break
            terms.append(following)
        if len(terms) == 1:
            return None
        if self.text[terms[-1].end :].strip() or not all(self.can_be_listed(terms, term) for term in terms):
            raise self.unreadable("several numbers", "type one number, or give each number a cell of its own")
        unit = next((term.unit for term in terms if term.unit), None)
        values = [self.simple(replace(term, unit=term.unit or unit))[0] for term in terms]
        if len({value.unit for value in values}) > 1:
            return self.written_twice(values), terms[-1].end
        several = tuple(value.value for value in values)
        if max(several) > 3 * min(several):
            raise self.unreadable("several numbers", "type one number, or give each number a cell of its own")
        mean, amount = (
            float(sum(map(exact, numbers)) / len(values)) for numbers in (several, [value.amount for value in values])
        )
        because = f"the cell holds {len(values)} numbers, taken as {len(values)} readings"
        found = replace(values[0], value=mean, amount=amount, several=several, because=because)
        return [replace(found, low=min(several), high=max(several))], terms[-1].end

    def can_be_listed(self, terms: list[Term], term: Term) -> bool:
        """Numbers side by side are readings only where each has a point, a unit, or a semicolon beside it."""
        if len(term.numbers) > 1 or term.negative:
            return False
        return bool(term.unit) or term.numbers[0].decimals > 0 or ";" in self.text[: terms[-1].end]

    def written_twice(self, values: list[Reading]) -> list[Reading]:
        """One length in two units, as in 0.5 in / 12.7 mm."""
        first = values[0]
        if any(abs(value.value - first.value) > 0.01 * abs(first.value) for value in values):
            raise self.unreadable("several numbers that differ", "type one number with its unit")
        return [replace(first, remark=" / ".join(f"{value.amount:.10g} {value.unit}" for value in values[1:]))]

    # One term made into readings

    def simple(self, term: Term) -> list[Reading]:
        """The ways to understand one term."""
        readings = []
        for number in term.numbers:
            amount = -number.value if term.negative else number.value
            readings += [
                Reading(
                    value=unit.to_base(amount), unit=unit.label, own_unit=term.unit is not None,
                    because=because or number.because, amount=float(amount), nominal=number.quarters and self.quarters,
                )
                for unit, because in self.units_for(number, term)
            ]  # fmt: skip
        return readings

    def units_for(self, number: Number, term: Term) -> list[tuple[Unit, str]]:
        """The units that a number may be in; fractions are inches, unless the column says otherwise."""
        inch = UNITS["in"]
        if term.unit is not None:
            return [(term.unit, "")]
        if self.dimension is not Dimension.LENGTH or self.unit.label in {"in", "ft", "yd"} or not number.fraction:
            return [(self.unit, "")]
        if number.quarters and self.quarters:
            return [(inch, "")]
        if number.value.denominator & (number.value.denominator - 1):
            return [(self.unit, "")]
        return [(inch, f"a fraction is taken as inches although the column is in {self.unit.label}"),
                (self.unit, f"the column is in {self.unit.label}")]  # fmt: skip

    def finished(self, readings: list[Reading], end: int) -> tuple[Reading, ...]:
        """Add what stands before and behind the value."""
        own_unit = any(reading.own_unit for reading in readings)
        attached = self.text[end : end + 1]
        remark = read_remark(self.text[end:], attached=attached, dimension=self.dimension, own_unit=own_unit)
        if remark.refused:
            raise self.unreadable(remark.refused)
        done = tuple(self.with_remark(reading, remark) for reading in readings)
        if any(reading.nominal for reading in done) and remark.holds_number:
            raise self.unreadable("a nominal size and another number", "type the measured thickness alone")
        return done

    def says_the_same(self, reading: Reading, words: str) -> bool:
        """Whether the brackets hold the same value in another unit: 1 in (25.4 mm)."""
        try:
            other = _Reader(words, self.dimension, self.unit, self.comma, False).readings()
        except UnreadableValue:
            return False
        return any(abs(each.value - reading.value) <= 0.01 * abs(reading.value) for each in other)

    def with_remark(self, reading: Reading, remark: Remark) -> Reading:
        words = "; ".join(part for part in (reading.remark, self.lead.remark, remark.words) if part)
        because = reading.because or self.lead.because or remark.because
        if remark.aside and not because and not self.says_the_same(reading, remark.words):
            because = "the number in brackets is kept as a remark only"
        return replace(
            reading, remark=words, because=because, doubtful=self.lead.doubtful or remark.doubtful,
            nominal=reading.nominal or remark.nominal,
        )  # fmt: skip
