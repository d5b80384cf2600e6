"""What every row of an input sheet carries: where it stands in the maker's workbook."""

from collections.abc import Mapping
from dataclasses import dataclass, field

SLICE_THINNEST = "0.002 in"
SLICE_THICKEST = "1.5 in"


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
