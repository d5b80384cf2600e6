"""Finds values that stand far out of line with their column, by a power of ten or a unit."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from sheetkit.tables.columns import Kind
from sheetkit.tables.findings import Findings
from sheetkit.tables.value import Value, written
from sheetkit.units import Unit

FAR = 4.0
"""So many times beyond its neighbours a value is far out of line."""

_SLIPS = (
    (10.0, "ten times too much"),
    (100.0, "a hundred times too much"),
    (1000.0, "a thousand times too much"),
    (10_000.0, "ten thousand times too much"),
    (0.1, "ten times too little"),
    (0.01, "a hundred times too little"),
    (0.001, "a thousand times too little"),
    (25.4, "millimetres read as inches"),
    (1 / 25.4, "inches read as millimetres"),
    (25.4 / 1000, "inches read as thousandths"),
    (1000 / 25.4, "thousandths read as millimetres"),
)


@dataclass(frozen=True, slots=True)
class _Neighbours:
    """The other values that one is compared with."""

    low: float
    high: float

    @property
    def spread(self) -> float:
        return self.high / self.low

    def near(self, value: float, slack: float) -> bool:
        return self.low / slack <= value <= self.high * slack


def ask_about_strays(values: Sequence[Value], unit: Unit, findings: Findings, support: dict[int, list[float]]) -> None:
    """Refuse values that are out of line with their column by a power of ten or a unit.

    A value whose cell names its unit is never asked about: the maker has said what it is.

    Args:
        values: the column's values, every row
        unit: the column's unit, for the message
        findings: collects what is asked
        support: other values of the same row that should be alike, by row [base unit]
    """
    used = [value for value in values if value.number is not None and value.number > 0]
    numbers = [value.number or 0.0 for value in used]
    for value, number in zip(used, numbers, strict=True):
        if value.own_unit or any(number / FAR < other < number * FAR for other in support.get(value.spot.row, [])):
            continue
        neighbours = _neighbours(number, numbers, value.column.kind)
        slip = None if neighbours is None else _slip(number, neighbours, value.column.kind)
        if slip is None:
            continue
        factor, words = slip
        likely = written(number / factor, unit)
        usual = written(median(numbers), unit)
        findings.at(
            value.spot,
            f"{value.found}, far out of line with the column, whose middle is {usual}; {words}, perhaps",
            "a value like the others, or one with its unit beside it",
            f"type {likely} if that is meant; if it is right, type it with its unit: {written(number, unit)}",
        )
        value.refuse()


def _neighbours(number: float, numbers: Sequence[float], kind: Kind) -> _Neighbours | None:
    """The values that agree among themselves, this one left out; None where there are too few or they do not agree."""
    others = list(numbers)
    others.remove(number)
    middle = median(others) if others else 0.0
    alike = [other for other in others if middle / FAR < other < middle * FAR]
    least = 3 if kind is Kind.LENGTH else 2
    if len(alike) < max(least, math.ceil(0.6 * len(others))):
        return None
    found = _Neighbours(min(alike), max(alike))
    widest = 3.0 if len(alike) >= 3 else 1.6
    return found if found.spread <= widest else None


def _slip(number: float, neighbours: _Neighbours, kind: Kind) -> tuple[float, str] | None:
    if neighbours.near(number, FAR / 1.5):
        return None
    fits = []
    for factor, words in _SLIPS:
        tight = kind is Kind.LENGTH and factor in (10.0, 0.1)
        if tight and neighbours.spread > 1.5:
            continue
        if neighbours.near(number / factor, 1.0001 if tight else 1.35):
            middle = math.sqrt(neighbours.low * neighbours.high)
            fits.append((abs(math.log(number / factor / middle)), factor, words))
    return min(fits)[1:] if fits else None
