"""Finds the table on a sheet: its heading rows, its unit row, and which column holds what."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from openpyxl.utils.cell import get_column_letter

from sheetkit.reading.model import Cell, Kind, MergedArea, Sheet
from sheetkit.tables.columns import Column
from sheetkit.tables.headings import (
    NUMBERED,
    Heading,
    Match,
    is_known,
    match_heading,
    match_name,
    read_heading,
    unit_phrase,
)
from sheetkit.tables.schema import SheetSpec
from sheetkit.tables.shown import shown
from sheetkit.units import Unit, plain_text

LONGEST_HEADING = 80
_NO_DIGIT = re.compile(r"\D*$")


@dataclass(frozen=True, slots=True)
class Use:
    """One column of the maker's table that is read.

    Attributes:
        position: column number, from 1
        column: what it holds
        heading: the maker's heading
        unit: unit from the heading or the unit row, None where they name none
        rank: how far the heading is from the template's (see `Match`)
        heading_row: row of the heading
    """

    position: int
    column: Column
    heading: str
    unit: Unit | None
    rank: int
    heading_row: int
    odd_unit: str = ""

    @property
    def heading_address(self) -> str:
        """A1 address of the heading."""
        return f"{get_column_letter(self.position)}{self.heading_row}"


@dataclass(slots=True)
class Table:
    """A table found on a sheet.

    Attributes:
        spec: which sheet of the schema it is
        sheet: the maker's sheet
        first_heading_row: the upper heading row, also where groups stand above the headings
        heading_row: the row of the headings themselves
        first_row: the first row below headings and unit row
        last_row: the last row that may belong to it
        uses: the columns read, left to right
        twice: columns that a second heading names likewise, by field: the headings in question
        title: what stands above the table
        beside: the columns of further tables of the same kind beside it, table by table
    """

    spec: SheetSpec
    sheet: Sheet
    first_heading_row: int
    heading_row: int
    first_row: int
    last_row: int
    uses: list[Use]
    twice: dict[str, list[Use]] = field(default_factory=dict)
    title: str = ""
    beside: list[list[Use]] = field(default_factory=list)

    @property
    def fields(self) -> set[str]:
        """Names of the fields that it has a column for."""
        return {use.column.field for use in self.uses}

    @property
    def complete(self) -> bool:
        """It has every column that its sheet needs."""
        return all(column.field in self.fields for column in self.spec.columns if column.required)


class Grid:
    """The cells of a sheet, with merged areas looked through."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.by_row: Mapping[int, list[Cell]] = dict(sheet.rows())
        self.begun: dict[int, list[MergedArea]] = {}
        self._areas: dict[int, list[MergedArea]] = {}
        for area in sheet.merged:
            self.begun.setdefault(area.first_row, []).append(area)
            for row in range(area.first_row, min(area.last_row, area.first_row + 5000) + 1):
                self._areas.setdefault(row, []).append(area)

    def merged_in(self, row: int) -> bool:
        """Whether a merged area reaches into a row."""
        return row in self._areas

    def area(self, row: int, column: int) -> MergedArea | None:
        """The merged area that a place belongs to."""
        areas = self._areas.get(row, ())
        return next((area for area in areas if area.first_column <= column <= area.last_column), None)

    def owner(self, row: int, column: int) -> Cell | None:
        """The cell whose content a place shows: its own, or the first of its merged area."""
        area = self.area(row, column)
        return self.sheet.cell(row, column) if area is None else self.sheet.cell(area.first_row, area.first_column)

    def text(self, row: int, column: int) -> str:
        """The plain text that a place shows, merged areas looked through."""
        cell = self.owner(row, column)
        return "" if cell is None or cell.kind not in {Kind.TEXT, Kind.NUMBER} else plain_text(shown(cell))


def find_table(grid: Grid, spec: SheetSpec, first: int = 1, last: int | None = None) -> Table | None:
    """The best table for a sheet of the schema between two rows, or None.

    The row with the most known headings is the heading row, the uppermost where several have as many.
    """
    best: Table | None = None
    for row in grid.by_row:
        if row < first or (last is not None and row > last):
            continue
        table = table_at(grid, spec, row)
        if table is not None and (best is None or _worth(table) > _worth(best)):
            best = table
    return best


def _worth(table: Table) -> tuple[int, int]:
    return (sum(2 if use.column.required else 1 for use in table.uses if use.rank < 3), len(table.uses))


def table_at(grid: Grid, spec: SheetSpec, row: int, *, inside: bool = False) -> Table | None:
    """The table whose upper heading row is a certain row, or None.

    Args:
        grid: the sheet's cells
        spec: which sheet of the schema
        row: the row
        inside: the row stands inside another table, so that it must hold headings itself, not only above some
    """
    if not _may_be_headings(grid, spec, row):
        return None
    single = _matched(grid, spec, row, row)
    if inside and not single:
        return None
    double = _matched(grid, spec, row, row + 1) if row + 1 in grid.by_row else {}
    gain = len(double) - len(single)
    two_rows = (
        gain > 0
        or (not gain and _fields(double) > _fields(single))
        or (bool(double) and not gain and _has_groups(grid, row, double))
    )
    found, bottom = (double, row + 1) if two_rows else (single, row)
    if not found or not _enough(found, spec):
        return None
    units, first_row = _unit_row(grid, bottom, found)
    uses = [
        Use(
            position,
            match.column,
            heading.text,
            heading.unit or units.get(position),
            match.rank,
            _row_of(grid, position, bottom),
            heading.odd_unit,
        )
        for position, (match, heading) in sorted(found.items())
    ]
    blocks = _blocks(uses, grid, row, bottom, spec)
    kept, twice = _settle_doubles(blocks[0])
    last = max(grid.by_row)
    return Table(spec, grid.sheet, row, bottom, first_row, last, kept, twice, _title(grid, row), blocks[1:])


def _fields(found: Mapping[int, tuple[Match, Heading]]) -> int:
    return len({match.column.field for match, _ in found.values()})


def _may_be_headings(grid: Grid, spec: SheetSpec, row: int) -> bool:
    """A quick look: some cell of the row, or of the one below it, is a known heading."""
    own = grid.by_row.get(row, ())
    if 2 * sum(cell.kind is Kind.TEXT for cell in own) < len(own):
        return False
    cells = [*own, *grid.by_row.get(row + 1, ())]
    texts = [str(cell.value) for cell in cells if cell.kind is Kind.TEXT and len(str(cell.value)) <= LONGEST_HEADING]
    # Names of boards and slices mostly hold digits, the headings above them never do.
    return any(is_known(read_heading(text).name, spec) for text in texts if _NO_DIGIT.match(text))


def _row_of(grid: Grid, position: int, bottom: int) -> int:
    area = grid.area(bottom, position)
    return bottom if area is None else area.first_row


def _enough(found: Mapping[int, tuple[Match, Heading]], spec: SheetSpec) -> bool:
    """Two known headings, or one where the sheet needs no more, make a heading row."""
    fields = {match.column.field for match, _ in found.values()}
    sure = {match.column.field for match, _ in found.values() if match.rank < 3}
    needed = {column.field for column in spec.columns if column.required}
    return bool(sure) and (len(fields) >= 2 or (len(needed) == 1 and needed <= sure))


def _matched(grid: Grid, spec: SheetSpec, top: int, bottom: int) -> dict[int, tuple[Match, Heading]]:
    columns = {cell.column for row in (top, bottom) for cell in grid.by_row.get(row, ())}
    for area in (*grid.begun.get(top, ()), *grid.begun.get(bottom, ())):
        columns.update(range(area.first_column, min(area.last_column, area.first_column + 200) + 1))
    found: dict[int, tuple[Match, Heading]] = {}
    for position in sorted(columns):
        heading = _single(grid, spec, top, position) if top == bottom else _double(grid, spec, top, position)
        if heading is not None:
            found[position] = heading
    return found


def _single(grid: Grid, spec: SheetSpec, row: int, position: int) -> tuple[Match, Heading] | None:
    cell = grid.sheet.cell(row, position)
    area = grid.area(row, position)
    wide = area is not None and area.last_column - area.first_column > 0
    if cell is None or cell.kind is not Kind.TEXT:
        inside = wide and area is not None and (row, position) != (area.first_row, area.first_column)
        group = read_heading(grid.text(row, position)) if inside else None
        match = match_heading(group, spec) if group else None
        return (match, group) if match and group and match.column.field == NUMBERED else None
    heading = read_heading(str(cell.value))
    match = match_heading(heading, spec)
    return (match, heading) if match else None


def _double(grid: Grid, spec: SheetSpec, top: int, position: int) -> tuple[Match, Heading] | None:
    """The meaning of a heading that stands in two rows, a group above and its own word below."""
    own = grid.sheet.cell(top + 1, position)
    below = read_heading(plain_text(shown(own))) if own is not None and own.kind in {Kind.TEXT, Kind.NUMBER} else None
    tall = grid.area(top, position)
    if below is None or (tall is not None and tall.last_row > top):
        return _single(grid, spec, top, position)
    above = read_heading(grid.text(top, position) or _group_to_the_left(grid, top, position))
    unit = below.unit or above.unit
    heading = Heading(f"{above.text} {below.text}".strip(), below.name, unit, below.odd_unit or above.odd_unit)
    lone_unit = unit_phrase(below.text)
    if lone_unit is not None and above.name:
        unit, below = lone_unit, Heading("", "")
    if not below.name:
        match = match_heading(above, spec) if grid.sheet.cell(top, position) else None
        return (match, Heading(above.text, above.name, unit)) if match else None
    both, alone = match_name(f"{above.name} {below.name}".strip(), spec), match_name(below.name, spec)
    turned = match_name(f"{below.name} {above.name}", spec) if above.name else None
    for match in (both if both and both.rank < 2 else None, alone, both, turned):
        if match is not None and match.rank < 3:
            return match, heading
    group = match_name(above.name, spec) if above.name else None
    return (group, heading) if group and group.column.field == NUMBERED else None


def _group_to_the_left(grid: Grid, row: int, position: int) -> str:
    """The group that an empty place continues; an unmerged group reaches to the next one."""
    for left in range(position - 1, max(0, position - 12), -1):
        text = grid.text(row, left)
        if text:
            return text if grid.sheet.cell(row + 1, left) is not None else ""
    return ""


def _has_groups(grid: Grid, row: int, double: Mapping[int, tuple[Match, Heading]]) -> bool:
    """Two rows that say no more than one are two heading rows only if the lower one holds headings, too."""
    below = [cell for position in double if (cell := grid.sheet.cell(row + 1, position)) is not None]
    if _counts_up(grid, row, below):
        return True
    texts = [cell for cell in below if cell.kind is Kind.TEXT and unit_phrase(str(cell.value)) is None]
    return len(texts) >= 2 and all(_is_heading_word(str(cell.value), double[cell.column][0]) for cell in texts)


def _counts_up(grid: Grid, row: int, below: list[Cell]) -> bool:
    """Whether the cells under a merged heading just number its columns: 1, 2, 3."""
    for area in grid.begun.get(row, ()):
        inside = [cell for cell in below if area.first_column <= cell.column <= area.last_column]
        numbers = [shown(cell).strip() for cell in inside]
        if (
            area.last_column > area.first_column
            and len(inside) > 1
            and numbers == [str(n + 1) for n in range(len(inside))]
        ):
            return True
    return False


def _is_heading_word(text: str, match: Match) -> bool:
    name = read_heading(text).name
    words = {read_heading(word).name for word in (match.column.heading, *match.column.synonyms)}
    return name in words


def _unit_row(grid: Grid, bottom: int, found: Mapping[int, tuple[Match, Heading]]) -> tuple[dict[int, Unit], int]:
    """Units that stand in a row of their own below the headings, and the first row of the table's body."""
    below = [cell for cell in grid.by_row.get(bottom + 1, ()) if cell.kind is not Kind.EMPTY]
    last = max(found)
    while grid.text(bottom, last + 1):
        last += 1
    cells = [cell for cell in below if min(found) <= cell.column <= last]
    units: dict[int, Unit] = {}
    for cell in cells:
        text = plain_text(str(cell.value)) if cell.kind is Kind.TEXT else ""
        unit = unit_phrase(text.strip("()[] "))
        if unit is not None and text:
            units[cell.column] = unit
        elif (
            text.strip("()[]- .").casefold() not in {"", "text", "name", "no", "unit", "units", "-"}
            or cell.kind is not Kind.TEXT
        ):
            return {}, bottom + 1
    known = {position: unit for position, unit in units.items() if position in found}
    return (known, bottom + 2) if known else ({}, bottom + 1)


def _blocks(uses: list[Use], grid: Grid, top: int, bottom: int, spec: SheetSpec) -> list[list[Use]]:
    """Tables side by side on the same rows, each with every column that is needed; else all columns as one."""
    blocks: list[list[Use]] = []
    for use in uses:
        gap = blocks and any(
            not grid.text(bottom, position) and not grid.text(top, position)
            for position in range(blocks[-1][-1].position + 1, use.position)
        )
        if not blocks or gap:
            blocks.append([])
        blocks[-1].append(use)
    needed = {column.field for column in spec.columns if column.required}
    whole = [block for block in blocks if needed <= {use.column.field for use in block}]
    return whole if len(whole) > 1 else [uses]


def _settle_doubles(uses: list[Use]) -> tuple[list[Use], dict[str, list[Use]]]:
    """Keep one column a field: the heading nearest to the template's; equally near ones are named."""
    by_field: dict[str, list[Use]] = {}
    for use in uses:
        by_field.setdefault(use.column.field, []).append(use)
    kept: list[Use] = []
    twice: dict[str, list[Use]] = {}
    for name, several in by_field.items():
        if name == NUMBERED or len(several) == 1:
            kept += several
            continue
        kept.append(min(several, key=lambda use: use.rank))
        twice[name] = several
    return sorted(kept, key=lambda use: use.position), twice


def _title(grid: Grid, row: int) -> str:
    """The texts above a table."""
    texts = [
        plain_text(str(cell.value))
        for above, cells in grid.by_row.items()
        if row - 6 <= above < row
        for cell in cells
        if cell.kind is Kind.TEXT
    ]
    return "; ".join(texts)
