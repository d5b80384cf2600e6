"""Rows of a result sheet, written top to bottom."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from math import ceil

from sheetkit.reading.marks import OWN_TEXT
from sheetkit.report.model import Area, Link, Look, ReportCell, ReportSheet, Table
from sheetkit.report.room import broken, room_for

WRITTEN_BY = OWN_TEXT + " at each refresh. Anything typed here is lost; type into the input sheets."
FRESH = "These figures: "
"""Begins the row that says whether the sheet is up to date."""
FRESH_ROW = 3
FRESH_CHARACTERS = 50
"""Room for the longest that this row says, in bold."""
LINE_PT = 14.0
"""Height of one line of text."""
LARGE_PT = 22.0
"""Height of a row that is read from a step away."""
CHARACTER = 0.88
"""Width of a character of a sentence, in widths of a digit."""
FILTERED_FROM = 8
"""A table of so many records has filter buttons."""
FILTER_BUTTON_PT = 14.0
"""Height that a heading needs besides its text, so that the button hides none of it."""
GAP = '"  "'
"""Spaces behind what a cell shows, in a number format."""
GAP_DIGITS = 1.0
"""Their width, in digits."""
WRAPPING = frozenset(
    {Look.INTRO, Look.CAUTION, Look.WRAPPED, Look.BESIDE_WORDS, Look.GOOD, Look.WATCH, Look.BAD, Look.STRONG}
)


@dataclass(frozen=True, slots=True)
class Heading:
    """Heading of one column of a table.

    Attributes:
        text: unique in its table, with the unit in brackets
        number_format: of the cells below
        note: what the column means, shown when the pointer rests on the heading; every heading has one
        look: of the cells below
    """

    text: str
    number_format: str = "General"
    note: str | None = None
    look: Look = Look.TEXT


@dataclass(slots=True)
class Figure:
    """A figure with the formula that gives it; it takes the number format of its column.

    Attributes:
        value: the formula's result as the engine found it, None where there is none
        formula: without its leading "="; None for a plain value
        look: None for that of the column
    """

    value: float | int | date | None
    formula: str | None
    look: Look | None = None

    def cell(self, heading: Heading) -> ReportCell:
        """The cell below a heading."""
        formula = None if self.formula is None or self.value is None else f"={self.formula}"
        return ReportCell(self.value, self.look or heading.look, heading.number_format, formula)


Value = ReportCell | Figure | str | float | int | bool | None
Cells = list[ReportCell | None]


class Records(list[Sequence[Value]]):
    """The records of a large table that is drawn several times alike; the first time cells are made in their place."""

    cells: list[Cells] | None = None


class SheetBuilder:
    """Collects the rows of one result sheet.

    Args:
        key: the sheet's stable key
        name: the tab's name
        title: first line
        widths: column widths in characters
        landscape: printed across the page
    """

    def __init__(self, key: str, name: str, title: str, widths: Sequence[float], *, landscape: bool = False) -> None:
        self.sheet = ReportSheet(key=key, name=name, rows=[], column_widths=list(widths), landscape=landscape)
        self._full = len(widths)
        self._headed: dict[tuple[tuple[str, float], ...], None] = {}
        self.line(title, Look.TITLE)
        self.line(WRITTEN_BY, Look.QUIET)
        self.line(FRESH, Look.TEXT)
        self.sheet.frozen_rows = FRESH_ROW

    @property
    def next_row(self) -> int:
        """Number of the row that comes next, from 1."""
        return len(self.sheet.rows) + 1

    def blank(self) -> None:
        """Leave a row empty."""
        self.sheet.rows.append([])

    def line(self, text: str, look: Look = Look.INTRO, link: Link | None = None) -> None:
        """A sentence across the whole width; the row grows with it, since merged cells do not fit themselves."""
        if look in WRAPPING:
            self.grow(self.next_row, text, sum(self.sheet.column_widths))
        self.sheet.rows.append([ReportCell(text, look, link=link, columns=self._full)])

    def section(self, text: str) -> None:
        """A blank row, then the heading of a block."""
        self.blank()
        self.line(text, Look.SECTION)

    def answer(self, label: str, text: str, look: Look, link: Link | None = None, link_text: str = "") -> None:
        """A label, its answer across the middle, and at the right a link to the details."""
        self.grow(self.next_row, text, sum(self.sheet.column_widths[1:-1]))
        cells: list[ReportCell | None] = [
            ReportCell(label, Look.STRONG),
            ReportCell(text, look, columns=self._full - 2),
        ]
        cells += [None] * (self._full - 3)
        if link is not None:
            cells.append(ReportCell(link_text, link=link))
        self.sheet.rows.append(cells)

    def grow(self, row: int, text: str, width: float) -> None:
        """Make a row high enough for a text that spans columns of this width in all."""
        lines = ceil(len(text) * CHARACTER / width)
        if lines > 1:
            self.sheet.row_heights[row] = max(LINE_PT * lines, self.sheet.row_heights.get(row, 0.0))

    def table(
        self, headings: Sequence[Heading], records: Sequence[Sequence[Value]], *, name: str | None = None
    ) -> Area | None:
        """A heading row and one row a record: a named table where the program knows them.

        Args:
            headings: one a column
            records: plain values take their column's look and number format; cells stand as they are
            name: of the table, whatever characters it holds; None for one made of the sheet's key and a number

        Returns:
            Area of the records without the heading row; None where there are none.
        """
        first = self.next_row
        headings = _kept_apart(headings)
        self._make_room(headings)
        large = any(heading.look is Look.LARGE for heading in headings)
        if large:
            self.sheet.row_heights.update(dict.fromkeys(range(first + 1, first + 1 + len(records)), LARGE_PT))
        cells = _cells(headings, records)
        self.sheet.rows += cells
        if not records:
            return None
        if not any(cell is not None and cell.columns > 1 for row in cells for cell in row):
            self._name_table(name or self.sheet.key, Area(first, 1, self.next_row - 1, len(headings)), headings)
        return Area(first + 1, 1, self.next_row - 1, len(headings))

    def freeze_at(self, row: int) -> None:
        """Keep the rows down to this one in view, and print it on every page."""
        self.sheet.frozen_rows = row
        self.sheet.repeated_rows = (row, row)

    def new_page(self) -> None:
        """Begin a new page in print with the section that comes next, whose blank row ends the page before."""
        self.sheet.page_starts.append(self.next_row + 1)

    def screen_only(self) -> None:
        """What comes from here on is not printed."""
        self.sheet.printed_rows = max(1, self.next_row - 1)

    def _name_table(self, wanted: str, area: Area, headings: Sequence[Heading]) -> None:
        """Name a table; no cell of it spans columns, which no named table may hold."""
        filtered = area.last_row - area.first_row >= FILTERED_FROM
        self.sheet.tables.append(Table(self._free_name(wanted), area, filtered))
        if filtered:
            self.sheet.row_heights[area.first_row] = self._heading_height(headings) + FILTER_BUTTON_PT

    def _free_name(self, wanted: str) -> str:
        """A name for a table that the sheet has not given yet: letters, digits and underscores."""
        plain = re.sub(r"[^A-Za-z0-9_]", "_", wanted)
        taken = {table.name.casefold() for table in self.sheet.tables}
        candidates = [plain, *(f"{plain}_{number}" for number in range(2, len(taken) + 3))]
        return next(name for name in candidates if name.casefold() not in taken)

    def _make_room(self, headings: Sequence[Heading]) -> None:
        """Widen columns whose headings would touch those beside them, until all headings of the sheet have room.

        A column that is widened for one table may be left a little too narrow for a heading that was broken before.
        What is not printed takes the columns as they are.
        """
        texts = tuple((h.text, GAP_DIGITS if h.number_format.endswith(GAP) else 0.0) for h in headings)
        if self.sheet.printed_rows is not None or texts in self._headed:
            return
        self._headed[texts] = None
        before: list[float] = []
        rooms = list(self.sheet.column_widths)
        while rooms != before:
            before = list(rooms)
            for texts in self._headed:
                for column, (text, behind) in enumerate(texts[: len(rooms)]):
                    rooms[column] = max(rooms[column], ceil(room_for(text, rooms[column], behind) * 10.0 - 1e-6) / 10.0)
        self.sheet.column_widths = rooms

    def _heading_height(self, headings: Sequence[Heading]) -> float:
        """Height of a row of headings [pt]."""
        rooms = self.sheet.column_widths
        lines = [len(broken(heading.text, room)) for heading, room in zip(headings, rooms, strict=False)]
        return LINE_PT * max(1, *lines)


def lead_back(sheet: ReportSheet, tab: str) -> None:
    """A link to another sheet in the head rows, behind what they say about being up to date; changes the sheet."""
    said = sheet.rows[FRESH_ROW - 1][0]
    full, widths = len(sheet.column_widths), sheet.column_widths
    reach = next((count for count in range(1, full) if sum(widths[:count]) >= FRESH_CHARACTERS), full - 1)
    back = ReportCell(f"Back to {tab}", link=Link(tab), columns=min(full - reach, 2))
    if said is not None:
        sheet.rows[FRESH_ROW - 1] = [replace(said, columns=reach), *[None] * (reach - 1), back]


def _heading(heading: Heading, column: int, records: Sequence[Sequence[Value]]) -> ReportCell:
    """Where its column's content stands: numbers at the right, as far from the edge as these, text at the left."""
    look = Look.NUMBER_HEADING
    if heading.number_format == "General":
        first = next((record[column] for record in records if record[column] is not None), None)
        value = first.value if isinstance(first, ReportCell | Figure) else first
        look = Look.HEADING if value is None or isinstance(value, str) else look
    return ReportCell(heading.text, look, _text_format(heading), note=heading.note)


def _text_format(heading: Heading) -> str:
    """Of words in a column, kept as far from the edge as its numbers, or as the words below."""
    if heading.look is Look.BESIDE_WORDS:
        return GAP + "@"
    return "@" + GAP if heading.number_format.endswith(GAP) else "General"


def _kept_apart(headings: Sequence[Heading]) -> list[Heading]:
    """Numbers stand right in their column and text left: a gap keeps a number off the text beside it."""
    apart = list(headings)
    for index, (here, beside) in enumerate(pairwise(headings)):
        if here.number_format != "General" and beside.number_format == "General":
            shown = ";".join(section + GAP for section in here.number_format.split(";"))
            apart[index] = replace(here, number_format=shown)
    return apart


def _cells(headings: Sequence[Heading], records: Sequence[Sequence[Value]]) -> list[Cells]:
    """The row of headings and those below it."""
    if isinstance(records, Records) and records.cells is not None:
        return records.cells
    cells: list[Cells] = [[_heading(heading, column, records) for column, heading in enumerate(headings)]]
    makers = [_CellsBelow(heading).of for heading in headings]
    cells += [[of(value) for of, value in zip(makers, record, strict=True)] for record in records]
    if isinstance(records, Records):
        records.cells = cells
        records[:] = [()] * len(records)
    return cells


class _CellsBelow:
    """The cells below a heading; those that are alike are one, since much repeats in a large table."""

    def __init__(self, heading: Heading) -> None:
        self._heading, self._look, self._format = heading, heading.look, heading.number_format
        self._empty = ReportCell(None, heading.look)
        self._known: dict[str | float, ReportCell] = {}

    def of(self, value: Value) -> ReportCell | None:
        """The cell of a value."""
        if value is None:
            return self._empty
        kind = value.__class__
        if kind is float or kind is str:
            # A dictionary takes 0.0 and -0.0 for one, and finds no NaN.
            known = self._known.get(value)  # type: ignore[arg-type]
            if known is None or not value:
                known = self._known[value] = ReportCell(value, self._look, self._format)  # type: ignore[index,arg-type]
            return known
        if isinstance(value, Figure):
            return value.cell(self._heading)
        if not isinstance(value, ReportCell):
            return ReportCell(value, self._look, self._format)
        if value.look is Look.QUIET and isinstance(value.value, str) and self._format != "General":
            return replace(value, look=Look.NO_NUMBER, number_format=_text_format(self._heading))
        return value
