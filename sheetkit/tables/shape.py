"""What all rows of a table have in common: which cells hold which field, worked out once for many rows."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from openpyxl.utils.cell import get_column_letter

from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.headings import NUMBERED
from sheetkit.tables.inputs import Entry
from sheetkit.tables.layout import Table
from sheetkit.tables.value import Value, default_value

_NEVER_DEFAULTED: Final = frozenset({Kind.IDENTIFIER, Kind.SPECIES})


@dataclass(frozen=True, slots=True)
class Held:
    """Where a column of the schema stands in the maker's table.

    Attributes:
        column: how the schema declares it
        positions: column numbers, none where the table lacks it
        default: what an empty cell means [base unit]
    """

    column: Column
    positions: tuple[int, ...]
    default: object

    def of(self, values: Mapping[int, Value]) -> Any:
        """The field's value in a row, by the row's values."""
        if self.column.field == NUMBERED:
            return tuple(number for position in self.positions for number in _numbers(values[position]))
        value = values[self.positions[0]].value if self.positions else None
        return self.default if value is None else value


def _numbers(value: Value) -> tuple[float, ...]:
    number = value.number
    return value.several or (() if number is None else (number,))


@dataclass(frozen=True, slots=True)
class Shape:
    """The fields of a table and where they stand.

    Attributes:
        table: the table
        held: every column of the schema
        asked: those that a record cannot do without, or that may not be broken
        by_field: column numbers by field name
        positions: column numbers in the order of the fields
        letters: letters of the first and last column of each field
    """

    table: Table
    held: tuple[Held, ...]
    asked: tuple[Held, ...]
    by_field: Mapping[str, tuple[int, ...]]
    positions: tuple[int, ...] = field(init=False)
    letters: Mapping[str, tuple[str, str]] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "positions", tuple(each for several in self.by_field.values() for each in several))
        letters = {
            name: (get_column_letter(several[0]), get_column_letter(several[-1]))
            for name, several in self.by_field.items()
        }
        object.__setattr__(self, "letters", letters)


def shape_of(table: Table) -> Shape:
    """Which cells of a table hold which field."""
    by_field: dict[str, tuple[int, ...]] = {}
    for use in table.uses:
        by_field[use.column.field] = (*by_field.get(use.column.field, ()), use.position)
    held = tuple(
        Held(column, by_field.get(column.field, ()), default_value(column) if column.field != NUMBERED else None)
        for column in table.spec.columns
    )
    return Shape(table, held, tuple(each for each in held if _is_asked(each.column)), by_field)


def _is_asked(column: Column) -> bool:
    return column.required or column.default is not None or column.kind in _NEVER_DEFAULTED


@dataclass(frozen=True, slots=True)
class Told:
    """A row's cells as they were understood, written when they are asked for; the sheet itself need not stay for it."""

    positions: tuple[int, ...]
    values: tuple[Value, ...]
    row: int

    def __call__(self) -> Iterator[Entry]:
        """Cell by cell, field by field."""
        for position, value in zip(self.positions, self.values, strict=True):
            yield value.entry(f"{get_column_letter(position)}{self.row}")
