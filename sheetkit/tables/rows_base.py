"""What every row of an input sheet carries: where it stands in the maker's workbook."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

SLICE_THINNEST = "0.002 in"
SLICE_THICKEST = "1.5 in"


class RowCells(Mapping[str, str]):
    """Addresses of a row's cells by field name, written when they are asked for.

    Args:
        columns: letters of the first and the last column of each field
        row: row number
    """

    __slots__ = ("_columns", "_row")

    def __init__(self, columns: Mapping[str, tuple[str, str]], row: int) -> None:
        self._columns, self._row = columns, row

    def __getitem__(self, field_name: str) -> str:
        first, last = self._columns[field_name]
        return f"{first}{self._row}" if first == last else f"{first}{self._row}:{last}{self._row}"

    def __iter__(self) -> Iterator[str]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a row stands in the maker's workbook.

    Attributes:
        sheet: the tab's name
        row: row number as on screen
        cells: A1 address by field name; fields whose column is missing are absent
        remarks: what the maker wrote beside a value, by field name
        hidden: the row is hidden or filtered out
    """

    sheet: str
    row: int
    cells: Mapping[str, str] = field(default_factory=dict)
    remarks: Mapping[str, str] = field(default_factory=dict)
    hidden: bool = False

    def cell(self, field_name: str) -> str:
        """Address of a field's cell, or of the row where the column is missing."""
        return self.cells.get(field_name, f"A{self.row}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What every row class shares."""

    place: Place
