"""One cell as it was understood, and what a column knows that helps to understand its cells."""

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cache

from sheetkit.errors import CellProblem
from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.findings import Line, Spot
from sheetkit.tables.headings import DIMENSION
from sheetkit.tables.inputs import Entry
from sheetkit.tables.typed_dates import Order
from sheetkit.units import BASE_UNIT, Comma, Dimension, Unit, find_unit, read_quantity, short_number


@dataclass(frozen=True, slots=True)
class Context:
    """What is known about a column, or a setting, before its cells are read.

    Attributes:
        column: how the schema declares it
        unit: unit of numbers that carry none
        comma: what its cells prove about commas
        order: what is known about month and day
        day_zero_1904: dates count from 1904
        mean_makes_sense: a range may be read as its middle
        many: one cell may hold several readings
        names_the_row: the name that tells one row from another, never "same as above"
        unit_is_named: the heading, or the cell beside it, names the unit
        parts: how many slices one reading measures together; bounds hold for the share of each
    """

    column: Column
    unit: Unit
    comma: Comma | None = None
    order: Order | None = None
    day_zero_1904: bool = False
    mean_makes_sense: bool = False
    many: bool = False
    names_the_row: bool = False
    unit_is_named: bool = False
    parts: int = 1

    @property
    def dimension(self) -> Dimension:
        """What the column measures."""
        return DIMENSION[self.column.kind]

    @property
    def quarters(self) -> bool:
        """Quarter notation names a nominal thickness here."""
        return self.column.kind is Kind.STOCK_THICKNESS

    @property
    def wanted(self) -> str:
        """What a cell of the column should hold, in the maker's words."""
        return wanted(self.column, self.unit)


class Way(StrEnum):
    """How a number is not sensible in its column, in the maker's words."""

    NOTHING = "0, which is usually a slip here"
    NEGATIVE = "less than nothing"
    SMALL = "too small"
    LARGE = "too large"


@dataclass(slots=True)
class Outside:
    """A number that is not sensible in its column.

    Attributes:
        amount: as it was typed
        way: how it is out of range
        own_unit: the cell itself names the unit
        said: the finding about it
    """

    amount: float
    way: Way
    own_unit: bool
    said: CellProblem | None = None


@dataclass(slots=True)
class Value:
    """One cell as it was understood.

    Attributes:
        column: how the schema declares it
        spot: where it stands
        found: as the maker sees it, "" for an empty cell
        value: in base units; None where it is empty or was not used
        unit: the unit it was written in
        remark: what was written beside the value
        guess: why it was read so, where that is not plainly what stands there
        low: lower end of a range
        high: upper end of a range
        several: the readings where one cell holds more than one
        doubtful: marked as doubtful by the maker
        refused: something stands there that could not be used
        own_unit: the cell itself names the unit
        parts: how many slices were measured together
        lines: what is to be said about it, if it is used after all
        outside: set where it was refused because it is not sensible in its column
    """

    column: Column
    spot: Spot
    found: str = ""
    value: object = None
    unit: str = ""
    remark: str = ""
    guess: str = ""
    low: float | None = None
    high: float | None = None
    several: tuple[float, ...] = field(default=())
    doubtful: bool = False
    refused: bool = False
    own_unit: bool = False
    parts: int = 1
    lines: list[Line] = field(default_factory=list)
    outside: Outside | None = None

    @property
    def number(self) -> float | None:
        """The value where it is a number that was used."""
        if type(self.value) is float:
            return self.value
        return float(self.value) if isinstance(self.value, int | float) and not isinstance(self.value, bool) else None

    @property
    def share(self) -> float | None:
        """The number for one slice, where several were measured together."""
        number = self.number
        return number if number is None or self.parts == 1 else number / self.parts

    def refuse(self) -> None:
        """Do not use it."""
        self.value, self.refused, self.several = None, True, ()
        self.lines.clear()

    def entry(self, address: str | None = None) -> Entry:
        """The record of it.

        Args:
            address: of the cell, where that is not its own spot's
        """
        return Entry(
            self.column.field,
            address or self.spot.address,
            self.found,
            self.value,
            self.unit,
            self.remark,
            self.guess,
            self.low,
            self.high,
            self.doubtful,
        )


SPOKEN = {"in": "inches", "mm": "mm", "thou": "thou (0.001 in)", "%": "per cent", "deg": "degrees", "min": "minutes"}


def wanted(column: Column, unit: Unit) -> str:
    """What a cell of a column should hold, in the maker's words."""
    nouns = {
        Kind.COUNT: "a whole number",
        Kind.NUMBER: "a number",
        Kind.MONEY: "an amount of money",
        Kind.PERCENT: "a share in per cent",
        Kind.THICKNESS: "a thickness",
        Kind.STOCK_THICKNESS: "a measured thickness",
    }
    noun = nouns.get(column.kind, f"a {column.kind.value}" if column.kind is not Kind.ANGLE else "an angle")
    if not unit.label or column.kind is Kind.PERCENT:
        return noun
    return f"{noun} in {SPOKEN.get(unit.label, unit.label)}"


def base_unit(dimension: Dimension) -> Unit:
    """The base unit of a dimension; a unit without a label where it has none."""
    label = BASE_UNIT[dimension]
    return (find_unit(label) if label else None) or Unit("", dimension, Fraction(1))


@cache
def bounds(column: Column) -> tuple[float | None, float | None]:
    """Smallest and largest sensible value of a column, in base units."""
    low, high = (
        None
        if text is None
        else read_quantity(text, DIMENSION[column.kind], base_unit(DIMENSION[column.kind]))[0].value
        for text in (column.low, column.high)
    )
    return low, high


def written(value: float, unit: Unit) -> str:
    """A value in base units as the maker would write it."""
    digits = 6 if unit.label == "in" else 4
    number = short_number(unit.from_base(value), digits)
    return f"{number} {unit.label}".strip() if unit.label != "%" else f"{number} %"


def default_value(column: Column) -> object:
    """The schema's default of a column in base units, None where it has none."""
    if column.default is None:
        return None
    if column.kind in DIMENSION:
        value = read_quantity(column.default, DIMENSION[column.kind], base_unit(DIMENSION[column.kind]))[0].value
        return int(value) if column.kind is Kind.COUNT else value
    return column.default == "yes" if column.kind is Kind.YES_NO else column.default
