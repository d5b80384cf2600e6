"""From a workbook of cells to typed inputs: every value read once, every doubt written down."""

from sheetkit.errors import Harm
from sheetkit.reading.model import Cell, Visibility, Workbook
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.book_unit import book_of
from sheetkit.tables.columns import Column
from sheetkit.tables.contexts import READINGS, Book
from sheetkit.tables.crosschecks import cross_check
from sheetkit.tables.findings import Findings, said_once
from sheetkit.tables.headings import NUMBERED, bare_name
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.layout import Table
from sheetkit.tables.records import RowsRead, read_rows
from sheetkit.tables.schema import (
    BOWLS,
    HANDLES,
    INPUT_SHEETS,
    JOB,
    MEASUREMENTS,
    PANELS,
    PROFILES,
    REPEATS,
    SHOP,
    SPECIES,
    STEPS,
    STOCK,
    TARGETS,
    SheetSpec,
)
from sheetkit.tables.settings_sheet import SettingsRead, fill_defaults, read_settings
from sheetkit.tables.sheets import Found, find_sheets
from sheetkit.tables.shown import quoted
from sheetkit.tables.wood_labels import same_wood_same_label


def read_inputs(workbook: Workbook) -> Inputs:
    """Everything the calculations start from, with every finding about how it was read.

    Nothing is raised for what stands in cells: one bad cell or row never stops the rest.

    Args:
        workbook: as `open_workbook` gives it

    Returns:
        The typed inputs. The problems hold those of the workbook's reader, too, except formulas without a result on
        sheets that are no input.
    """
    findings = Findings()
    found = find_sheets(workbook, findings)
    book = book_of(workbook, found)
    settings = {spec.name: _settings(spec, found, book, findings) for spec in (JOB, SHOP)}
    job, shop = (fill_defaults(spec, settings[spec.name], _tab(spec, found), book) for spec in (JOB, SHOP))
    use_hidden = job.hidden_rows == "use"
    rows = {
        spec.name: _rows(spec, found, book, findings, use_hidden=use_hidden)
        for spec in INPUT_SHEETS
        if not spec.settings
    }
    inputs = Inputs(
        job=job,
        shop=shop,
        unit=book.unit,
        shown_in=book.shown_in,
        setting_places={
            f"{name}.{field}": place for name, read in settings.items() for field, place in read.places.items()
        },
        boards=rows[STOCK.name].rows,
        panels=rows[PANELS.name].rows,
        targets=rows[TARGETS.name].rows,
        measurements=rows[MEASUREMENTS.name].rows,
        repeats=rows[REPEATS.name].rows,
        handles=rows[HANDLES.name].rows,
        bowls=rows[BOWLS.name].rows,
        steps=rows[STEPS.name].rows,
        profiles=rows[PROFILES.name].rows,
        species=rows[SPECIES.name].rows,
        sheets={name: sheet.name for name, sheet in found.sheets.items()},
        records=[record for read in settings.values() for record in read.records]
        + [record for read in rows.values() for record in read.records],
        assumptions=book.assumptions,
        hidden_rows={found.sheets[name].name: read.hidden for name, read in rows.items() if read.hidden},
        titles={table.sheet.name: table.title for table in found.tables.values() if table.title},
    )
    same_wood_same_label(inputs, findings)
    cross_check(inputs, findings)
    tabs = set(inputs.sheets.values())
    without_result = [problem for problem in workbook.without_result if problem.sheet in tabs]
    inputs.problems = said_once([*workbook.problems, *without_result, *findings.all()])
    return inputs


def _tab(spec: SheetSpec, found: Found) -> str:
    sheet = found.sheets.get(spec.name)
    return spec.name if sheet is None else sheet.name


def _settings(spec: SheetSpec, found: Found, book: Book, findings: Findings) -> SettingsRead:
    sheet = found.sheets.get(spec.name)
    return SettingsRead() if sheet is None else read_settings(found.grids[sheet.name], spec, book, findings)


def _rows(spec: SheetSpec, found: Found, book: Book, findings: Findings, *, use_hidden: bool) -> RowsRead:
    sheet = found.sheets.get(spec.name)
    if sheet is None:
        if spec.required:
            findings.add(
                "",
                "",
                f"no sheet {spec.name}",
                f"a sheet {spec.name} with {_needed(spec)}",
                f"add it, or rename the sheet that holds it to {spec.name}",
                Harm.STOPS_JOB,
            )
        return RowsRead()
    if sheet.visibility is not Visibility.SHOWN:
        findings.add(
            sheet.name,
            "",
            f"the hidden sheet {sheet.name}, which is read",
            "sheets that you see",
            "nothing if it counts; else rename it",
            Harm.NOTED,
        )
    table = found.tables.get(spec.name)
    if table is None:
        _say_no_headings(spec, found, findings)
        return RowsRead()
    _say_headings(table, findings)
    return read_rows(found.grids[sheet.name], table, book, findings, use_hidden=use_hidden)


def _needed(spec: SheetSpec) -> str:
    needed = [column.heading for column in spec.columns if column.required]
    return f"the heading{'s' if len(needed) > 1 else ''} {', '.join(needed)}"


def _say_no_headings(spec: SheetSpec, found: Found, findings: Findings) -> None:
    sheet = found.sheets[spec.name]
    if not any(cell.value not in (None, "") for cell in sheet.cells.values()) and not spec.required:
        return
    findings.add(
        sheet.name,
        "",
        "no heading row",
        f"a row with {_needed(spec)}",
        "write it above the table",
        Harm.STOPS_JOB if spec.required else Harm.LEFT_OUT,
    )


def _say_headings(table: Table, findings: Findings) -> None:
    for use in table.uses:
        if use.rank == 3:
            findings.add(
                table.sheet.name,
                use.heading_address,
                f'the heading "{use.heading}", read as {use.column.heading} because it is nearly the same',
                f"a heading of {table.spec.name}",
                f"write it as {use.column.heading}",
                Harm.GUESSED,
            )
    _say_unread(table, findings)
    for column in table.spec.columns:
        if column.required and column.field not in table.fields:
            near = _near_heading(table, column)
            findings.add(
                table.sheet.name,
                near.address if near else f"A{table.heading_row}",
                f"no column {column.heading}" + (f"; {quoted(near)} is not understood" if near else ""),
                _needed(table.spec),
                f'write "{heading_with_unit(column)}" above the column that holds it',
                Harm.STOPS_JOB if table.spec.required else Harm.LEFT_OUT,
            )


def _say_unread(table: Table, findings: Findings) -> None:
    """A heading that is not understood, but holds the name of a column that is missing."""
    for column in table.spec.columns:
        if column.required or column.field in table.fields:
            continue
        near = _near_heading(table, column)
        if near is not None and not (column.field == NUMBERED and READINGS & table.fields):
            findings.add(
                table.sheet.name,
                near.address,
                f"the heading {quoted(near)}, which is not understood; the column is not read",
                f"a heading of {table.spec.name}",
                f'nothing if it is only for you; else write "{heading_with_unit(column)}" if that is meant',
                Harm.NOTED,
            )


def _near_heading(table: Table, column: Column) -> Cell | None:
    """A heading that is not understood, but holds the name of a missing column."""
    read = {use.position for use in table.uses}
    words = {bare_name(words) for words in (column.heading, *column.synonyms) if len(words) > 2}
    unread = [
        cell
        for cell in table.sheet.cells.values()
        if cell.row == table.heading_row and cell.column not in read and cell.kind is CellKind.TEXT
    ]
    for cell in unread:
        if words & set(bare_name(str(cell.value)).split()):
            return cell
    return None


def heading_with_unit(column: Column) -> str:
    """A heading as it should be written, its unit in brackets."""
    return f"{column.heading} ({column.unit_inch})" if column.unit_inch else column.heading
