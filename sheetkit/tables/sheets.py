"""Which of the maker's sheets is which sheet of the schema: by its name, or by its heading row."""

import re
from dataclasses import dataclass, field

from sheetkit.errors import Harm
from sheetkit.reading.marks import has_own_text
from sheetkit.reading.model import Sheet, Visibility, Workbook
from sheetkit.tables.findings import Findings
from sheetkit.tables.layout import Grid, Table, find_table
from sheetkit.tables.schema import INPUT_SHEETS, SheetSpec
from sheetkit.units import folded


@dataclass(slots=True)
class Found:
    """The maker's sheets, by the name of the schema's sheet.

    Attributes:
        sheets: the sheet that is read
        grids: its cells, by the tab's name
        tables: the table found on it; absent for settings sheets and where no headings are found
        passed_over: tabs that could be a sheet of the schema, but another one is read
    """

    sheets: dict[str, Sheet] = field(default_factory=dict)
    grids: dict[str, Grid] = field(default_factory=dict)
    tables: dict[str, Table] = field(default_factory=dict)
    passed_over: set[str] = field(default_factory=set)


def simple_name(name: str) -> str:
    """A tab's name without case, spaces and punctuation."""
    return re.sub(r"[\W_]+", "", folded(name))


def find_sheets(workbook: Workbook, findings: Findings) -> Found:
    """Assign the maker's sheets to those of the schema; a copy of one of our result sheets is none of them."""
    own = [sheet for sheet in workbook.sheets if sheet.result_key is None and not has_own_text(sheet)]
    found = Found(grids={sheet.name: Grid(sheet) for sheet in own})
    for names_of in (_own_name, _synonyms):
        for spec in INPUT_SHEETS:
            _by_name(spec, names_of(spec), own, found, findings)
    for spec in INPUT_SHEETS:
        if spec.name in found.sheets and not spec.settings:
            table = find_table(found.grids[found.sheets[spec.name].name], spec)
            if table is not None:
                found.tables[spec.name] = table
    _by_headings(own, found, findings)
    return found


def may_be_read(sheet: Sheet) -> bool:
    """Whether a sheet could be one of the schema, by its name or by headings among those of its rows that are known."""
    if has_own_text(sheet):
        return False
    name = simple_name(sheet.name)
    if any(name in _own_name(spec) | _synonyms(spec) for spec in INPUT_SHEETS):
        return True
    grid = Grid(sheet)
    tables = (find_table(grid, spec) for spec in INPUT_SHEETS if not spec.settings)
    return any(table is not None and table.complete for table in tables)


def _own_name(spec: SheetSpec) -> set[str]:
    return {simple_name(spec.name)}


def _synonyms(spec: SheetSpec) -> set[str]:
    return {simple_name(name) for name in spec.synonyms}


def _by_name(spec: SheetSpec, names: set[str], own: list[Sheet], found: Found, findings: Findings) -> None:
    taken = {sheet.name for sheet in found.sheets.values()}
    candidates = [sheet for sheet in own if simple_name(sheet.name) in names and sheet.name not in taken]
    candidates.sort(key=lambda sheet: (sheet.visibility is not Visibility.SHOWN, sheet.position))
    if not candidates:
        return
    if spec.name not in found.sheets:
        found.sheets[spec.name] = candidates[0]
        candidates = candidates[1:]
    used = found.sheets[spec.name].name
    for other in candidates:
        if spec.settings or find_table(found.grids[other.name], spec) is not None:
            _name_both(spec, used, other.name, findings)
            found.passed_over.add(other.name)


def _name_both(spec: SheetSpec, used: str, other: str, findings: Findings) -> None:
    findings.add(
        other,
        "",
        f'a second sheet that could be {spec.name}; "{used}" is read, this one is not',
        f"one sheet {spec.name}",
        f'rename the sheet that holds {spec.name}, or move its rows to "{used}"',
        Harm.DOUBTFUL,
    )


def _by_headings(own: list[Sheet], found: Found, findings: Findings) -> None:
    """Renamed sheets, by their heading row: the closest fit first."""
    taken = {sheet.name for sheet in found.sheets.values()} | found.passed_over
    fits: list[tuple[int, int, SheetSpec, Table]] = []
    for sheet in own:
        if sheet.name in taken:
            continue
        for spec in INPUT_SHEETS:
            table = None if spec.settings else find_table(found.grids[sheet.name], spec)
            if table is not None and table.complete and len(table.fields) >= 2:
                fits.append((-_fit(table), sheet.position, spec, table))
    for _, _, spec, table in sorted(fits, key=lambda fit: fit[:2]):
        name = table.sheet.name
        if name in taken:
            continue
        if spec.name in found.sheets:
            if _could_be(spec, table):
                _name_both(spec, found.sheets[spec.name].name, name, findings)
                taken.add(name)
            continue
        taken.add(name)
        found.sheets[spec.name], found.tables[spec.name] = table.sheet, table
        findings.add(
            name,
            "",
            f"a sheet read as {spec.name} because of its headings",
            f"a sheet named {spec.name}",
            f"nothing if it is {spec.name}; else rename its headings",
            Harm.NOTED,
        )


def _fit(table: Table) -> int:
    """Known headings count for a table; needed columns that other sheets lack count most."""
    exact = sum(2 if use.rank == 0 else 1 for use in table.uses if use.rank < 3)
    strangers = len({cell.column for cell in table.sheet.cells.values() if cell.row == table.heading_row}) - len(
        table.uses
    )
    needed = sum(column.required for column in table.spec.columns)
    return 4 * exact + needed - 2 * max(strangers, 0)


def _could_be(spec: SheetSpec, table: Table) -> bool:
    return all(use.rank < 2 for use in table.uses) and len(table.uses) >= min(3, len(spec.columns))
