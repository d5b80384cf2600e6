"""Reads a sheet of settings: one row is one setting, with Setting, Value, Unit and Note."""

from dataclasses import dataclass, field
from typing import Any

from sheetkit.errors import Harm
from sheetkit.reading.model import Cell, Sheet
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.cells import is_blank, read_cell
from sheetkit.tables.columns import LENGTH_KINDS, Column
from sheetkit.tables.contexts import Book, setting_context
from sheetkit.tables.findings import Findings, Line, Spot
from sheetkit.tables.headings import (
    DIMENSION,
    bare_name,
    is_known,
    match_beginning,
    match_name,
    nearest_name,
    read_heading,
    unit_phrase,
)
from sheetkit.tables.inputs import Assumption, Record
from sheetkit.tables.layout import Grid
from sheetkit.tables.rows import Place
from sheetkit.tables.schema import JOB, SHOP, SheetSpec
from sheetkit.tables.shown import quoted, shown
from sheetkit.tables.value import SPOKEN, Value, default_value
from sheetkit.tables.words import named_choice, words_of
from sheetkit.units import Unit, short_number

_HEADINGS = {
    "setting": ("setting", "settings", "name", "what", "parameter", "item"),
    "value": ("value", "values", "amount", "is", "setting value"),
    "unit": ("unit", "units"),
    "note": ("note", "notes", "remark", "remarks", "comment"),
}


@dataclass(slots=True)
class SettingsRead:
    """The settings found.

    Attributes:
        values: by field name, base units; absent where the sheet says nothing usable
        places: where each stands
        records: every row as it was read
    """

    values: dict[str, Any] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    records: list[Record] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Columns:
    """Column numbers of a settings sheet, 0 where there is none."""

    setting: int
    value: int
    unit: int
    first_row: int
    heading_unit: Unit | None = None


@dataclass(slots=True)
class _Setting:
    row: int
    position: int
    column: Column
    name_cell: Cell
    cell: Cell | None
    unit: Unit | None
    rank: int


def read_settings(grid: Grid, spec: SheetSpec, book: Book, findings: Findings) -> SettingsRead:
    """The settings of one sheet.

    Args:
        grid: the sheet's cells
        spec: Job or Shop
        book: what holds for the whole workbook
        findings: collects what has to be said
    """
    result = SettingsRead()
    found: dict[str, list[_Setting]] = {}
    for columns in _columns(grid, spec):
        for row in grid.by_row:
            setting = _setting(grid, spec, columns, row, findings) if row >= columns.first_row else None
            if setting is not None:
                found.setdefault(setting.column.field, []).append(setting)
    for name, several in found.items():
        filled = [setting for setting in several if not is_blank(setting.cell)]
        if _is_asked(filled, grid.sheet, findings):
            continue
        for setting in filled[:1]:
            _read(setting, name, grid.sheet, book, result, findings)
    return result


def peek_unit(grid: Grid, spec: SheetSpec) -> str:
    """The Job's Unit setting before anything else is read, "" where it says nothing."""
    for columns in _columns(grid, spec):
        for row in grid.by_row:
            cell = grid.sheet.cell(row, columns.setting)
            match = match_name(bare_name(str(cell.value)), spec) if cell and isinstance(cell.value, str) else None
            value = grid.sheet.cell(row, columns.value)
            if match and match.column.field == "unit" and value is not None and not is_blank(value):
                return named_choice(words_of(value), match.column) or ""
    return ""


def _columns(grid: Grid, spec: SheetSpec) -> list[_Columns]:
    for row, cells in grid.by_row.items():
        headed = [one for part in _parted(cells) if (one := _headed(part, row)) is not None]
        if headed:
            return headed
    alone = _without_heading(grid, spec)
    return [] if alone is None else [alone]


def _parted(cells: list[Cell]) -> list[list[Cell]]:
    """The cells of a heading row, parted where the names of settings begin once more beside the first."""
    names = [cell for cell in cells if _heading_word(cell) == "setting"]
    if len(names) < 2:
        return [cells]
    ends = [*(name.column for name in names[1:]), cells[-1].column + 1]
    return [[cell for cell in cells if name.column <= cell.column < end] for name, end in zip(names, ends, strict=True)]


def _heading_word(cell: Cell) -> str:
    name = read_heading(str(cell.value)).name if cell.kind is CellKind.TEXT else ""
    return next((heading for heading, words in _HEADINGS.items() if name in words), "")


def _headed(cells: list[Cell], row: int) -> _Columns | None:
    places: dict[str, int] = {}
    unit = None
    for cell in cells:
        name = _heading_word(cell)
        if name:
            places.setdefault(name, cell.column)
            unit = read_heading(str(cell.value)).unit if name == "value" else unit
    if "setting" not in places or "value" not in places:
        return None
    return _Columns(places["setting"], places["value"], places.get("unit", 0), row + 1, unit)


def _without_heading(grid: Grid, spec: SheetSpec) -> _Columns | None:
    """Settings listed without a heading row: names in one column, values in the next."""
    counts: dict[int, int] = {}
    for cell in grid.sheet.cells.values():
        match = match_name(read_heading(str(cell.value)).name, spec) if cell.kind is CellKind.TEXT else None
        if match is not None and match.rank < 3 and grid.sheet.cell(cell.row, cell.column + 1) is not None:
            counts[cell.column] = counts.get(cell.column, 0) + 1
    if not counts:
        return None
    column = max(counts, key=lambda position: counts[position])
    return _Columns(column, column + 1, column + 2, 1)


def _setting(grid: Grid, spec: SheetSpec, columns: _Columns, row: int, findings: Findings) -> _Setting | None:
    name_cell, cell = grid.sheet.cell(row, columns.setting), grid.sheet.cell(row, columns.value)
    if name_cell is None or is_blank(name_cell) or name_cell.kind is not CellKind.TEXT:
        return None
    heading = read_heading(str(name_cell.value))
    match = match_name(heading.name, spec) or match_beginning(heading.name, spec)
    spot = Spot(grid.sheet.name, row, columns.setting)
    if name_cell.struck:
        if match is not None and not is_blank(cell):
            findings.at(
                spot,
                f"the setting {quoted(name_cell)}, struck through; it is not used",
                f"a setting of {spec.name} that counts",
                "nothing if it is done with; else take the strike-through away",
                Harm.NOTED,
            )
        return None
    if match is None:
        if cell is not None and not is_blank(cell):
            near = nearest_name(heading.name, spec)
            fix = f'name it "{near}" if that is meant' if near else "nothing if it is only for you"
            elsewhere = _other_sheet(heading.name, spec)
            fix = f"move it to the sheet {elsewhere}, where it belongs" if elsewhere else fix
            findings.at(
                spot,
                f"the setting {quoted(name_cell)}, which is not known; it is not read",
                f"a setting of {spec.name}",
                fix,
                Harm.LEFT_OUT if elsewhere or nearest_name(heading.name, spec, likeness=0.75) else Harm.NOTED,
            )
        return None
    if match.rank == 3 and cell is not None:
        findings.at(
            spot,
            f"the setting {quoted(name_cell)}, read as {match.column.heading} because no other is so near",
            f"a setting of {spec.name}",
            f"write it as {match.column.heading}",
            Harm.GUESSED,
        )
    unit = _unit(
        grid.sheet.cell(row, columns.unit) if columns.unit else None,
        heading.unit,
        columns,
        match.column,
        spot,
        findings,
    )
    return _Setting(row, columns.value, match.column, name_cell, cell, unit, match.rank)


def _other_sheet(name: str, spec: SheetSpec) -> str:
    """The other sheet of settings that has a setting of this name."""
    others = [other for other in (JOB, SHOP) if other.name != spec.name]
    return next((other.name for other in others if is_known(name, other)), "")


def _unit(
    cell: Cell | None, named: Unit | None, columns: _Columns, column: Column, spot: Spot, findings: Findings
) -> Unit | None:
    if column.kind not in DIMENSION:
        return None
    text = shown(cell).strip() if cell is not None and not is_blank(cell) else ""
    unit = unit_phrase(text) if text else named or columns.heading_unit
    if unit is not None and unit.dimension is DIMENSION[column.kind]:
        return unit
    if text.strip("-–—. ") and cell is not None:
        findings.add(
            spot.sheet,
            cell.address,
            f'the unit "{text}" for {column.heading}',
            f"a unit of {DIMENSION[column.kind].value}",
            f"type {column.unit_inch or 'nothing'} or {column.unit_metric or 'nothing'}",
            Harm.DOUBTFUL,
        )
    return None


def _is_asked(filled: list[_Setting], sheet: Sheet, findings: Findings) -> bool:
    """A setting that stands twice with different values is not used."""
    if len(filled) < 2:
        return False
    said = {(shown(setting.cell).strip().casefold(), setting.unit) for setting in filled if setting.cell is not None}
    places = " and ".join(setting.cell.address for setting in filled if setting.cell is not None)
    name = filled[0].column.heading
    last = filled[-1].cell
    findings.add(
        sheet.name,
        last.address if last else "",
        f"the setting {name} more than once, in {places}"
        + ("; none is used" if len(said) > 1 else ", each time the same"),
        f"one row for {name}",
        "delete the row that does not count",
        Harm.LEFT_OUT if len(said) > 1 else Harm.NOTED,
    )
    return len(said) > 1


def _read(setting: _Setting, name: str, sheet: Sheet, book: Book, result: SettingsRead, findings: Findings) -> None:
    column = setting.column
    spot = Spot(sheet.name, setting.row, setting.position)
    context = setting_context(column, setting.unit, book) if column.kind in DIMENSION else None
    value = read_cell(setting.cell, column, spot, context, book.days, None, findings)
    _say_unit(setting, value, book)
    findings.say(spot, value.lines)
    if value.value is not None:
        result.values[name] = value.value
        hidden = setting.row in sheet.hidden_rows
        remarks = {name: value.remark} if value.remark else {}
        result.places[name] = Place(sheet.name, setting.row, {name: spot.address}, remarks, hidden)
    used = value.value is not None
    result.records.append(
        Record(sheet.name, setting.row, setting.row in sheet.hidden_rows, used, lambda: (value.entry(),))
    )


def _say_unit(setting: _Setting, value: Value, book: Book) -> None:
    """A length without any unit is read in the workbook's, which is said unless the Job itself names the unit."""
    if (
        setting.column.kind not in LENGTH_KINDS
        or setting.unit
        or value.own_unit
        or not value.number
        or (setting.cell is not None and setting.cell.kind is CellKind.DATE and value.unit == "in")
        or book.unit_is_set
    ):
        return
    because = book.unit_because
    spoken = SPOKEN.get(value.unit, value.unit)
    value.guess = value.guess or f"its unit is taken as {value.unit} {because}"
    line = Line(
        "setting without a unit",
        f"{value.found} without a unit, read as {spoken} {because}",
        "a value with its unit",
        f"nothing if it is in {spoken}; else type the unit beside it",
        Harm.GUESSED if book.unit_is_guessed else Harm.NOTED,
    )
    value.lines.append(line)


def fill_defaults(spec: SheetSpec, read: SettingsRead, sheet_name: str, book: Book) -> Any:
    """The settings object, defaults filled in and listed.

    Args:
        spec: Job or Shop
        read: what the sheet says
        sheet_name: tab where the maker could say the rest
        book: its assumptions get a line for each default used
    """
    fields = {}
    for column in spec.columns:
        if column.field in read.values:
            fields[column.field] = read.values[column.field]
            continue
        fields[column.field] = default_value(column)
        if column.default is not None:
            shown = in_both_units(column, book.unit)
            book.assumptions.append(Assumption(sheet_name, column.heading, shown, column.help))
    return spec.row_class(**fields)


def in_both_units(column: Column, unit: str) -> str:
    """A default as it is declared; in a metric workbook with millimetres behind it, a zero in metric alone.

    0.25 in (6.35 mm), 0 mm, 0 m.
    """
    default, value_mm = column.default or "", default_value(column)
    if unit != "mm" or column.kind not in LENGTH_KINDS or not isinstance(value_mm, float):
        return default
    if not value_mm:
        return f"0 {column.unit_metric}"
    return f"{default} ({short_number(value_mm, 4)} mm)"
