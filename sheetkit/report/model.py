"""A result sheet as plain values, the same for every file format.

Report modules build these; the graft layer draws them into .xlsx and .ods.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum


class Look(StrEnum):
    """What a cell is for; each writer maps it to a font, a fill and borders. Never colour alone: words say it too."""

    TITLE = "title"
    INTRO = "intro"
    SECTION = "section"
    HEADING = "heading"
    NUMBER_HEADING = "heading of numbers"
    TEXT = "text"
    WRAPPED = "wrapped"
    BESIDE_WORDS = "beside words"
    """Wrapped, and kept clear of words that fill the column at its left."""
    STRONG = "strong"
    GOOD = "good"
    WATCH = "watch"
    BAD = "bad"
    CAUTION = "caution"
    QUIET = "quiet"
    TOTAL = "total"
    TO_FILL = "to fill"
    """A boxed empty cell to write a reading in by hand on the printed sheet."""
    LARGE = "large"
    """Large type, for reading at the saw."""
    NO_NUMBER = "no number"
    """Words in a column of numbers, where there is no number to show."""


HEADINGS = frozenset({Look.HEADING, Look.NUMBER_HEADING})
"""Looks of the headings of columns: each stands above its column as the column's content does."""


@dataclass(frozen=True, slots=True)
class Link:
    """A link to a cell of the same workbook.

    Attributes:
        sheet: the tab's name
        cell: A1 address
    """

    sheet: str
    cell: str = "A1"


@dataclass(slots=True)
class ReportCell:
    """One cell of a result sheet; not to be changed once made, since it may stand in many places.

    Attributes:
        value: what is shown; with a formula, its result as the engine computed it
        look: what the cell is for
        number_format: format code in the notation of .xlsx
        formula: live formula with its leading "=", English function names, comma between arguments, sheets
            named as in .xlsx ('Stock use'!F7); None for a plain value
        link: where a click leads
        note: explanation shown when the pointer rests on the cell
        columns: how many columns the cell spans (merged when more than 1)
        array: the formula is worked out as an array, value by value over the ranges it names
    """

    value: str | float | int | bool | date | None = None
    look: Look = Look.TEXT
    number_format: str = "General"
    formula: str | None = None
    link: Link | None = None
    note: str | None = None
    columns: int = 1
    array: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle of the sheet, rows and columns from 1, both ends included."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int


class ChartKind(StrEnum):
    """How the series are drawn."""

    LINE = "line"
    POINTS = "points"
    COLUMNS = "columns"
    BARS = "bars"
    STACKED_BARS = "stacked bars"
    SHARES = "shares"


@dataclass(frozen=True, slots=True)
class Series:
    """One line, set of points or set of bars, taken from cells of the sheet that holds the chart.

    Attributes:
        name: shown in the legend
        values: one column or row of numbers
        categories: the horizontal values or labels, same length; None counts 1, 2, 3
        line: draw a line through the points
        markers: draw a marker at each point
        dashed: the line is dashed (limits, targets)
        colour: RRGGBB, None for the next of our palette
    """

    name: str
    values: Area
    categories: Area | None = None
    line: bool = True
    markers: bool = True
    dashed: bool = False
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class Chart:
    """A native, editable chart.

    Attributes:
        kind: how it is drawn
        title: what it shows
        x_title: horizontal axis with its unit
        y_title: vertical axis with its unit
        series: at least one
        row: upper left cell, row from 1
        column: upper left cell, column from 1
        width_mm: size on the sheet
        height_mm: size on the sheet
        y_format: number format of the vertical axis
        x_format: number format of the horizontal axis
        y_range: lowest and highest value of the vertical axis; None lets the program choose
    """

    kind: ChartKind
    title: str
    x_title: str
    y_title: str
    series: Sequence[Series]
    row: int
    column: int
    width_mm: float = 160.0
    height_mm: float = 80.0
    y_format: str = "General"
    x_format: str = "General"
    y_range: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Picture:
    """A PNG on the sheet.

    Attributes:
        png: the file's bytes
        description: for readers who cannot see it
        row: upper left cell, row from 1
        column: upper left cell, column from 1
        width_mm: size on the sheet
        height_mm: size on the sheet
    """

    png: bytes
    description: str
    row: int
    column: int
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Table:
    """A heading row with records below it: a named table where the program knows them, and filter buttons.

    Attributes:
        name: letters, digits and underscores, unique in the workbook
        area: from the heading row to the last record; headings are plain, unique texts
        filtered: the headings carry filter buttons
    """

    name: str
    area: Area
    filtered: bool = True


@dataclass(slots=True)
class ReportSheet:
    """A result sheet.

    Attributes:
        key: stable name for the mark in the file: lower-case letters and underscores
        name: the tab's name, up to 31 characters
        rows: from row 1 down; a None cell is empty
        column_widths: in characters of the default font, from column A
        row_heights: in points, by row number; rows not named fit themselves
        frozen_rows: rows that stay in view
        frozen_columns: columns that stay in view
        repeated_rows: first and last row printed on every page, None for none
        printed_rows: rows below this one stay on the screen, None to print all
        landscape: printed across the page
        page_starts: rows that begin a new page in print
        tables: named tables
        charts: native charts
        pictures: pictures
        tab_colour: RRGGBB
    """

    key: str
    name: str
    rows: list[list[ReportCell | None]]
    column_widths: Sequence[float]
    row_heights: dict[int, float] = field(default_factory=dict)
    frozen_rows: int = 0
    frozen_columns: int = 0
    repeated_rows: tuple[int, int] | None = None
    printed_rows: int | None = None
    landscape: bool = False
    page_starts: list[int] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    charts: list[Chart] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    tab_colour: str = "5B6B5A"

    @property
    def printed(self) -> Area:
        """What is printed: all columns, down to the last row that is meant for paper."""
        width = max([len(self.column_widths), 1])
        reach = [len(self.rows), *(chart.row for chart in self.charts), *(picture.row for picture in self.pictures)]
        return Area(1, 1, self.printed_rows or max([1, *reach]), width)
