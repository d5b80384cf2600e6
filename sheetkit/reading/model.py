"""What a workbook holds, whatever its format: sheets of cells, each with its address.

Both readers fill this model alike; nothing above it asks which format the file has.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum
from pathlib import Path

from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import CellProblem


class Format(StrEnum):
    """The file formats that can be read and written."""

    XLSX = "xlsx"
    XLSM = "xlsm"
    ODS = "ods"


class Kind(StrEnum):
    """What a cell's value is, as the file stores it."""

    NUMBER = "number"
    TEXT = "text"
    BOOLEAN = "boolean"
    DATE = "date"
    DURATION = "duration"
    ERROR = "error"
    NO_RESULT = "no result"
    """A formula that carries no stored result and could not be worked out."""
    EMPTY = "empty"
    """No value, but a comment or a formula makes the cell worth keeping."""


CellValue = float | str | bool | datetime | timedelta | None


@dataclass(slots=True)
class Cell:
    """One cell that holds something; not to be changed once read.

    Attributes:
        row: 1 for the first row
        column: 1 for column A
        kind: what the value is
        value: float for NUMBER, text for TEXT and for ERROR ("#DIV/0!"), datetime for DATE (naive),
            timedelta for DURATION and clock times, None for NO_RESULT and EMPTY
        number_format: format code in the notation of .xlsx ("0.000", "d-mmm", "0%"), for .ods translated to it
        serial: the plain number behind a DATE or DURATION (days), as the spreadsheet stores or would store it
        formula: formula text with its leading "=", in the file's own dialect; None where there is none
        computed: True where the file stored no result and the value was worked out here
        comment: text of the cell's comment, None where there is none
        struck: the whole text is struck through
        shown: the text the program showed, where the file stores it (.ods); else None
    """

    row: int
    column: int
    kind: Kind
    value: CellValue
    number_format: str = "General"
    serial: float | None = None
    formula: str | None = None
    computed: bool = False
    comment: str | None = None
    struck: bool = False
    shown: str | None = None

    @property
    def address(self) -> str:
        """The A1 address, for example ``D7``."""
        return f"{get_column_letter(self.column)}{self.row}"


@dataclass(frozen=True, slots=True)
class MergedArea:
    """A merged rectangle; only its first cell holds a value."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


class Visibility(StrEnum):
    """Whether the maker sees the sheet's tab."""

    SHOWN = "shown"
    HIDDEN = "hidden"
    VERY_HIDDEN = "very hidden"


@dataclass(slots=True)
class Sheet:
    """One sheet of cells.

    Attributes:
        name: as on the tab
        position: 0 for the first sheet of the file's list
        cells: by (row, column), both from 1; cells without any content are absent
        hidden_rows: rows the maker does not see, hidden by hand or by a filter
        hidden_columns: likewise for columns
        merged: merged areas
        visibility: whether the tab is shown
        cut_short: only its first rows were read, since nobody wants the others
        result_key: the key of our result sheet that this one is, by its mark and its own words; None for the maker's
            sheets
    """

    name: str
    position: int
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[MergedArea] = field(default_factory=list)
    visibility: Visibility = Visibility.SHOWN
    cut_short: bool = False
    result_key: str | None = None

    def cell(self, row: int, column: int) -> Cell | None:
        """The cell at (row, column), or None where nothing stands."""
        return self.cells.get((row, column))

    def rows(self) -> Iterator[tuple[int, list[Cell]]]:
        """Rows that hold something, top to bottom, each with its cells from left to right."""
        by_row: dict[int, list[Cell]] = {}
        for cell in self.cells.values():
            by_row.setdefault(cell.row, []).append(cell)
        for row in sorted(by_row):
            yield row, sorted(by_row[row], key=lambda cell: cell.column)


@dataclass(slots=True)
class Workbook:
    """A workbook as read; the file itself is never changed through it.

    Attributes:
        path: where it was read from
        format: found from its content, not from its name
        sheets: the sheets of cells, in the file's order; the cells of our own result sheets are not read
        other_sheet_names: tabs without cells (chart sheets, dialog and macro sheets)
        day_zero_1904: dates count from 1904
        problems: what the reader itself had to leave out or work out
        without_result: findings about formulas without a stored result that could not be worked out; of concern only
            where their sheet is an input
        disowned: tabs that carry a mark of ours but hold a sheet of the maker's; they are read like any other
    """

    path: Path
    format: Format
    sheets: list[Sheet]
    other_sheet_names: list[str] = field(default_factory=list)
    day_zero_1904: bool = False
    problems: list[CellProblem] = field(default_factory=list)
    without_result: list[CellProblem] = field(default_factory=list)
    disowned: list[str] = field(default_factory=list)

    def sheet_names(self) -> list[str]:
        """Every tab's name, ours and those without cells included."""
        return [sheet.name for sheet in self.sheets] + self.other_sheet_names

    def result_sheets(self) -> Mapping[str, str]:
        """Our own sheets: result key to the name the tab has now."""
        return {sheet.result_key: sheet.name for sheet in self.sheets if sheet.result_key is not None}
