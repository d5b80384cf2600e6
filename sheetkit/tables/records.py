"""Makes typed rows out of the records of a table."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import Harm
from sheetkit.reading.model import Cell
from sheetkit.tables.body import BodyRow, body_rows
from sheetkit.tables.cells import is_blank, read_cell
from sheetkit.tables.columns import LENGTH_KINDS, Column, Kind
from sheetkit.tables.contexts import READINGS, Book, context_of, evidence_of
from sheetkit.tables.findings import Findings, Line, Spot, rows_in_words
from sheetkit.tables.headings import NUMBERED
from sheetkit.tables.inputs import Record
from sheetkit.tables.layout import Grid, Table, Use
from sheetkit.tables.outside import say_of_column
from sheetkit.tables.plausible import ask_about_strays
from sheetkit.tables.rows_base import Place, RowCells
from sheetkit.tables.seen import Seen, at
from sheetkit.tables.shape import Held, Shape, Told, shape_of
from sheetkit.tables.value import Context, Value
from sheetkit.units import from_mm, short_number

NAMES_THE_ROW = {"Stock": "board", "Panels": "panel", "Measurements": "slice", "Handles": "piece", "Bowls": "piece"}
"""The column that tells one row of a sheet from another."""
PRESSED = "pressed"
"""The column that says how many slices one reading measures together."""


@dataclass(slots=True)
class _Row:
    """A record while it is being read; values may be shared with other rows (see `Seen`)."""

    body: BodyRow
    values: dict[int, Value] = field(default_factory=dict)


@dataclass(slots=True)
class RowsRead:
    """The typed rows of one sheet.

    Attributes:
        rows: objects of the sheet's row class
        records: every row as it was read
        hidden: the rows that the maker does not see
    """

    rows: list[Any] = field(default_factory=list)
    records: list[Record] = field(default_factory=list)
    hidden: list[int] = field(default_factory=list)


def read_rows(grid: Grid, table: Table, book: Book, findings: Findings, *, use_hidden: bool) -> RowsRead:
    """Every record of a table as a typed row.

    Args:
        grid: the sheet's cells
        table: the table found on it
        book: what holds for the whole workbook
        findings: collects what has to be said
        use_hidden: whether rows that the maker does not see count
    """
    result = RowsRead()
    for part, bodies in _parts(grid, table, findings):
        _settle_twice(part, bodies, findings)
        rows = _values(part, bodies, book, findings)
        shape = shape_of(part)
        for row in rows:
            _finish(row, shape, result, findings, use_hidden=use_hidden)
    _say_hidden(table, result, book, findings, use_hidden=use_hidden)
    return result


def _parts(grid: Grid, table: Table, findings: Findings) -> list[tuple[Table, list[BodyRow]]]:
    """The table, those with the same headings below it, and those beside it."""
    parts = body_rows(grid, table, findings)
    for uses in table.beside:
        other = replace(table, uses=uses, twice={}, beside=[])
        findings.add(
            table.sheet.name,
            f"{uses[0].heading_address}:{uses[-1].heading_address}",
            f"a second table beside the first; both are read as {table.spec.name}",
            f"one table of {table.spec.name} on this sheet",
            "nothing if that is right; else rename its headings",
            Harm.NOTED,
        )
        parts += body_rows(grid, other, findings)
    return parts


def _values(table: Table, bodies: list[BodyRow], book: Book, findings: Findings) -> list[_Row]:
    rows = [_Row(body) for body in bodies]
    contexts = {use.position: context_of(use, table, _column(bodies, use), book, findings) for use in table.uses}
    contexts = _share_commas(table, bodies, contexts)
    above: dict[int, Value] = {}
    named = NAMES_THE_ROW.get(table.spec.name)
    seen = {use.position: Seen() for use in table.uses}
    blank = {use.position: Value(use.column, Spot(table.sheet.name, 0, use.position)) for use in table.uses}
    uses = sorted(table.uses, key=lambda each: each.column.field != PRESSED)
    pressed = next((use.position for use in uses if use.column.field == PRESSED), None)
    before = len(findings.problems)
    for row in rows:
        together = 1
        for use in uses:
            cell, position = row.body.cells.get(use.position), use.position
            if cell is None:
                row.values[position] = above[position] = blank[position]
                continue
            context = contexts[position]
            if together > 1:
                context = _for_slices(context, together)
            usual = context is contexts[position] and position not in row.body.spread
            value = seen[position].find(cell) if usual else None
            if value is None:
                said = len(findings.problems)
                spot = Spot(table.sheet.name, row.body.row, position)
                is_name = use.column.field == named
                value = read_cell(
                    cell, use.column, spot, context, book.days, above.get(position), findings, names_the_row=is_name
                )
                if usual and len(findings.problems) == said and not is_name:
                    seen[position].keep(cell, value)
                _say_spread(row, use, value)
            row.values[position] = above[position] = value
            if position == pressed:
                together = int(value.number or 1)
    for use in table.uses if len(findings.problems) > before else ():
        if (known := contexts[use.position]) is not None:
            say_of_column([row.values[use.position] for row in rows], use, known, findings)
    _ask_about_strays(table, rows, contexts, findings)
    _say_lines(rows, findings)
    return rows


def _say_lines(rows: list[_Row], findings: Findings) -> None:
    for row in rows:
        for value in row.values.values():
            if value.lines:
                findings.say(value.spot, value.lines)


def _for_slices(context: Context | None, together: int) -> Context | None:
    """What is known about a reading once the row says how many slices were pressed together for it."""
    if context is None or context.column.field not in READINGS:
        return context
    return replace(context, parts=together)


def _column(bodies: list[BodyRow], use: Use) -> list[Cell]:
    return [body.cells[use.position] for body in bodies if use.position in body.cells]


def _share_commas(
    table: Table, bodies: list[BodyRow], contexts: dict[int, Context | None]
) -> dict[int, Context | None]:
    """Columns of readings are one column to whoever types them: what one proves about commas holds for all."""
    uses = [use for use in table.uses if use.column.field in READINGS]
    texts = [str(cell.value) for use in uses for cell in _column(bodies, use) if isinstance(cell.value, str)]
    comma = evidence_of(texts)
    for use in uses:
        known = contexts[use.position]
        if known is not None and known.comma is None and comma is not None:
            contexts[use.position] = replace(known, comma=comma)
    return contexts


def _say_spread(row: _Row, use: Use, value: Value) -> None:
    if use.position in row.body.spread and value.value is not None:
        owner = row.body.cells[use.position].address
        value.guess = value.guess or f"it is merged with {owner}"
        value.lines.append(
            Line(
                f"merged {owner}",
                f"{value.found}, from the merged cell {owner}",
                f"{use.column.heading} in each row",
                "nothing if it holds for all merged rows; else split the cell",
                Harm.NOTED,
            )
        )


def _ask_about_strays(
    table: Table, rows: list[_Row], contexts: Mapping[int, Context | None], findings: Findings
) -> None:
    groups: dict[str, list[Use]] = {}
    for use in table.uses:
        if use.column.kind in LENGTH_KINDS:
            groups.setdefault("readings" if use.column.field in READINGS else use.column.field, []).append(use)
    support = {
        "readings": _by_row(rows, groups.get("set_mm", [])),
        "set_mm": _by_row(rows, groups.get("readings", [])),
    }
    for name, uses in groups.items():
        context = contexts[uses[0].position]
        if context is not None:
            column = _ManyValues(table, rows, uses)
            designed = table.spec.name == "Targets"
            ask_about_strays(column, context.unit, findings, support.get(name, {}), designed=designed)


@dataclass(frozen=True, slots=True)
class _ManyValues:
    """The values of some columns, row by row."""

    table: Table
    rows: list[_Row]
    uses: list[Use]

    def values(self) -> list[Value]:
        return [row.values[use.position] for row in self.rows for use in self.uses]

    def row(self, index: int) -> int:
        return self.rows[index // len(self.uses)].body.row

    def own(self, index: int) -> Value:
        row, use = self.rows[index // len(self.uses)], self.uses[index % len(self.uses)]
        value = at(row.values[use.position], Spot(self.table.sheet.name, row.body.row, use.position))
        row.values[use.position] = value
        return value


def _by_row(rows: list[_Row], uses: list[Use]) -> dict[int, list[float]]:
    """The values of some columns by row: a reading near what was set is in line, whatever other slices measure."""
    return {row.body.row: [row.values[use.position].share or 0.0 for use in uses] for row in rows}


def _finish(row: _Row, shape: Shape, result: RowsRead, findings: Findings, *, use_hidden: bool) -> None:
    body, spec = row.body, shape.table.spec
    if body.hidden:
        result.hidden.append(body.row)
    used = _is_usable(row, shape, findings) and (use_hidden or not body.hidden)
    if used:
        fields = {held.column.field: held.of(row.values) for held in shape.held}
        result.rows.append(spec.row_class(place=_place(row, shape), **fields))
    told = Told(shape.positions, tuple(row.values[position] for position in shape.positions), body.row)
    result.records.append(Record(shape.table.sheet.name, body.row, body.hidden, used, told))


def _is_usable(row: _Row, shape: Shape, findings: Findings) -> bool:
    missing: list[Held] = []
    refused = False
    for held in shape.asked:
        values = [row.values[position] for position in held.positions]
        broken = any(value.refused for value in values)
        refused = refused or (broken and held.column.field != NUMBERED)
        if held.column.required and not broken and all(value.value is None for value in values):
            missing.append(held)
    for held in missing:
        if held.positions:
            _say_missing(row, held, shape.table, findings)
    return not missing and not refused


def _say_missing(row: _Row, held: Held, table: Table, findings: Findings) -> None:
    spec, position, number = table.spec, held.positions[0], row.body.row
    noun = spec.row_class.__name__.lower() if spec.name != "Species" else "wood"
    findings.at(
        Spot(table.sheet.name, number, position),
        f"{row.values[position].found or 'nothing'} for {held.column.heading} in row {number}",
        f"{held.column.heading} for each row of {spec.name}",
        f"type {_of_row(held.column, _ROW_NOUN.get(spec.name, noun))}, or empty the whole row",
    )


_ROW_NOUN = {"Targets": "layer", "Measurements": "slice", "Handles": "piece", "Bowls": "piece"}


def _of_row(column: Column, noun: str) -> str:
    name = column.heading.lower()
    return f"a name for this {noun}" if column.kind is Kind.IDENTIFIER else f"the {name} of this {noun}"


def _place(row: _Row, shape: Shape) -> Place:
    remarks: dict[str, str] = {}
    if any(value.remark for value in row.values.values()):
        for name, positions in shape.by_field.items():
            words = [row.values[position].remark for position in positions if row.values[position].remark]
            if words:
                remarks[name] = "; ".join(words)
    return Place(shape.table.sheet.name, row.body.row, RowCells(shape.letters, row.body.row), remarks, row.body.hidden)


def _settle_twice(table: Table, bodies: list[BodyRow], findings: Findings) -> None:
    """A heading that stands twice: used where both columns say the same, else asked about."""
    for name, uses in table.twice.items():
        chosen = next(use for use in table.uses if use.column.field == name)
        names = " and ".join(f'{use.heading_address} "{use.heading}"' for use in uses)
        differ = [body.row for body in bodies if len(_said(table, body.row, uses)) > 1]
        best = [use for use in uses if use.rank == chosen.rank]
        wanted = f"one column for {chosen.column.heading}"
        if not differ or len(best) == 1:
            findings.add(
                table.sheet.name,
                chosen.heading_address,
                f"more than one column for {chosen.column.heading}: {names}; {chosen.heading_address} is read",
                wanted,
                "rename the other headings if that is right, else this one",
                Harm.DOUBTFUL if differ else Harm.NOTED,
            )
            continue
        table.uses = [use for use in table.uses if use is not chosen]
        findings.add(
            table.sheet.name,
            chosen.heading_address,
            f"the same heading more than once, {names}, with different values in row {differ[0]}; neither is read",
            wanted,
            "rename the heading of the column that does not count",
            Harm.STOPS_JOB if chosen.column.required and table.spec.required else Harm.LEFT_OUT,
        )


def _said(table: Table, row: int, uses: list[Use]) -> set[str]:
    cells = [(use, table.sheet.cell(row, use.position)) for use in uses]
    said = set()
    for use, cell in cells:
        if cell is None or is_blank(cell):
            continue
        if isinstance(cell.value, float | int) and use.unit is not None:
            said.add(short_number(use.unit.to_base(float(cell.value)), 3))
        else:
            said.add(str(cell.value).strip().casefold())
    return said


def _say_hidden(table: Table, result: RowsRead, book: Book, findings: Findings, *, use_hidden: bool) -> None:
    for use in table.uses:
        if use.position in table.sheet.hidden_columns:
            findings.add(
                table.sheet.name,
                use.heading_address,
                f'the hidden column {get_column_letter(use.position)}, "{use.heading}", which is read',
                "columns that you see",
                "nothing if it counts; else rename its heading",
                Harm.NOTED,
            )
    if not result.hidden:
        return
    everything, seen = len(result.records), len(result.records) - len(result.hidden)
    means = _means(result, book.unit)
    findings.add(
        table.sheet.name,
        f"A{result.hidden[0]}",
        f"hidden rows ({rows_in_words(result.hidden)}): all {everything} rows{means[0]}, "
        f"visible {seen}{means[1]}; {'all rows are' if use_hidden else 'only visible rows are'} used",
        "rows that you see",
        f"nothing if that is right; else set Hidden rows on the sheet Job to {'leave out' if use_hidden else 'use'}",
        Harm.NOTED,
    )


def _means(result: RowsRead, unit: str) -> tuple[str, str]:
    """Mean thickness of all rows and of the visible ones, where the sheet has thicknesses."""
    said = []
    for rows in (result.records, [record for record in result.records if not record.hidden]):
        numbers = [number for record in rows for number in _thicknesses(record)]
        if not numbers:
            return "", ""
        said.append(f" (mean {short_number(from_mm(sum(numbers) / len(numbers), unit), 5)} {unit})")
    return said[0], said[1]


def _thicknesses(record: Record) -> list[float]:
    """What a row was measured at, for one slice."""
    pressed = next((entry.value for entry in record.entries if entry.field == PRESSED), None)
    parts = pressed if isinstance(pressed, int) and pressed > 1 else 1
    return [
        entry.value / (parts if entry.field in READINGS else 1)
        for entry in record.entries
        if entry.field in (*READINGS, "thickness_mm") and isinstance(entry.value, float)
    ]
