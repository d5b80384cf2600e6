"""Finds values that stand far out of line with their column, by a power of ten or a unit."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from sheetkit.tables.columns import Kind
from sheetkit.tables.findings import Findings
from sheetkit.tables.value import Value, written
from sheetkit.units import Unit

FAR = 4.0
"""So many times beyond its neighbours a value is far out of line."""
NEAR = FAR / 1.5
"""So many times beyond its neighbours a value is still in line."""

MOST_STRAYS = 0.25
"""A column with a larger share of values out of line holds two sizes, unless they agree all too closely."""

AGREES = 0.04
"""Two sizes that agree so closely, but for a power of ten or a unit, are one size written in two ways."""

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


@dataclass(frozen=True, slots=True)
class _Stray:
    """How far a value is off: by which factor, what that means, and how well it then fits its neighbours."""

    factor: float
    words: str
    off: float


class ManyValues(Protocol):
    """The values of a column, some of which several cells share."""

    def values(self) -> list[Value]:
        """The values, every row."""

    def row(self, index: int) -> int:
        """The row number of a value."""

    def own(self, index: int) -> Value:
        """A value as one of its own, which may be changed."""


def ask_about_strays(
    column: ManyValues, unit: Unit, findings: Findings, support: dict[int, list[float]], *, designed: bool = False
) -> None:
    """Refuse values that are out of line with their column by a power of ten or a unit.

    A value whose cell names its unit is never asked about: the maker has said what it is.

    Args:
        column: the column's values, every row
        unit: the column's unit, for the message
        findings: collects what is asked
        support: other values of the same row that should be alike, by row [base unit]
        designed: thicknesses that were chosen, not measured: only an exact slip of another one is asked about
    """
    values = column.values()
    used = [(index, share) for index, value in enumerate(values) if (share := value.share) is not None and share > 0]
    numbers = sorted(share for _, share in used)
    middle = _median(numbers)
    met: dict[float, _Stray | None] = {}
    strays: list[tuple[int, _Stray]] = []
    for index, number in used:
        if middle / NEAR <= number <= middle * NEAR or any(
            number / FAR < other < number * FAR for other in support.get(column.row(index), [])
        ):
            continue
        if number not in met:
            met[number] = _stray_among(number, numbers, values[index].column.kind, designed=designed)
        if (stray := met[number]) is not None:
            strays.append((index, stray))
    few = len(strays) <= max(1, MOST_STRAYS * len(used))
    for index, stray in strays:
        if not values[index].own_unit and (few or stray.off < AGREES):
            _ask(column.own(index), stray, unit, written(middle, unit), findings)


def _stray_among(number: float, numbers: Sequence[float], kind: Kind, *, designed: bool) -> _Stray | None:
    neighbours = _neighbours(number, numbers, kind)
    stray = None if neighbours is None else _stray(number, neighbours, kind)
    return None if designed and stray is not None and not _is_exact(number / stray.factor, numbers) else stray


def _ask(value: Value, stray: _Stray, unit: Unit, usual: str, findings: Findings) -> None:
    number = value.number or 0.0
    likely = written(number / stray.factor, unit)
    each = f", for {value.parts} slices" if value.parts > 1 else ""
    findings.at(
        value.spot,
        f"{value.found}{each}, far out of line with the column, whose middle is {usual}; {stray.words}, perhaps",
        "a value like the others, or one with its unit beside it",
        f"type {likely} if that is meant; if it is right, type it with its unit: {written(number, unit)}",
    )
    value.refuse()


def _is_exact(number: float, numbers: Sequence[float]) -> bool:
    return any(math.isclose(number, other, rel_tol=0.01) for other in numbers)


def _median(numbers: Sequence[float]) -> float:
    """The middle of sorted numbers, 0 where there are none."""
    half = len(numbers) // 2
    if len(numbers) % 2:
        return numbers[half]
    return (numbers[half - 1] + numbers[half]) / 2 if numbers else 0.0


def _neighbours(number: float, numbers: Sequence[float], kind: Kind) -> _Neighbours | None:
    """The ends of sorted values that agree, this one left out; None where there are too few or they do not agree."""
    at = bisect_left(numbers, number)
    others = [*numbers[:at], *numbers[at + 1 :]]
    middle = _median(others)
    alike = others[bisect_right(others, middle / FAR) : bisect_left(others, middle * FAR)]
    least = 3 if kind is Kind.LENGTH else 2
    if len(alike) < max(least, math.ceil(0.6 * len(others))):
        return None
    found = _Neighbours(alike[0], alike[-1])
    widest = 3.0 if len(alike) >= 3 else 1.6
    return found if found.spread <= widest else None


def _stray(number: float, neighbours: _Neighbours, kind: Kind) -> _Stray | None:
    if neighbours.near(number, NEAR):
        return None
    middle = math.sqrt(neighbours.low * neighbours.high)
    fits = []
    for factor, words in _SLIPS:
        tight = kind is Kind.LENGTH and factor in (10.0, 0.1)
        if tight and neighbours.spread > 1.5:
            continue
        if neighbours.near(number / factor, 1.0001 if tight else 1.35):
            fits.append(_Stray(factor, words, abs(math.log(number / factor / middle))))
    return min(fits, key=lambda fit: fit.off) if fits else None
