"""From a workbook of cells to typed inputs: every value read once, every doubt written down."""

from sheetkit.errors import Harm
from sheetkit.reading.model import Visibility, Workbook
from sheetkit.tables.contexts import Book, length_unit_of_table, system_of
from sheetkit.tables.crosschecks import cross_check
from sheetkit.tables.findings import Findings
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
    REPEATS,
    SHOP,
    SPECIES,
    STOCK,
    TARGETS,
    SheetSpec,
)
from sheetkit.tables.settings_sheet import SettingsRead, fill_defaults, peek_unit, read_settings
from sheetkit.tables.sheets import Found, find_sheets
from sheetkit.tables.typed_dates import order_in
from sheetkit.tables.wood_labels import same_wood_same_label


def read_inputs(workbook: Workbook) -> Inputs:
    """Everything the calculations start from, with every finding about how it was read.

    Nothing is raised for what stands in cells: one bad cell or row never stops the rest.

    Args:
        workbook: as `open_workbook` gives it

    Returns:
        The typed inputs. The problems hold those of the workbook's reader, too.
    """
    findings = Findings()
    found = find_sheets(workbook, findings)
    book = _book(workbook, found)
    settings = {spec.name: _settings(spec, found, book, findings) for spec in (JOB, SHOP)}
    job, shop = (fill_defaults(spec, settings[spec.name], _tab(spec, found), book.assumptions) for spec in (JOB, SHOP))
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
        species=rows[SPECIES.name].rows,
        sheets={name: sheet.name for name, sheet in found.sheets.items()},
        records=[record for read in settings.values() for record in read.records]
        + [record for read in rows.values() for record in read.records],
        assumptions=book.assumptions,
        hidden_rows={found.sheets[name].name: read.hidden for name, read in rows.items() if read.hidden},
        titles={table.sheet.name: table.title for table in found.tables.values() if table.title},
    )
    same_wood_same_label(inputs)
    cross_check(inputs, findings)
    inputs.problems = [*workbook.problems, *findings.all()]
    return inputs


def _tab(spec: SheetSpec, found: Found) -> str:
    sheet = found.sheets.get(spec.name)
    return spec.name if sheet is None else sheet.name


def _book(workbook: Workbook, found: Found) -> Book:
    """The workbook's unit: the Job's setting, else Stock's thickness heading, else the other headings'."""
    order = order_in(workbook)
    job = found.sheets.get(JOB.name)
    said = peek_unit(found.grids[job.name], JOB) if job else ""
    if said:
        return Book(workbook, said, f"as the sheet {job.name if job else 'Job'} says", order, unit_is_set=True)
    tables = [found.tables[spec.name] for spec in INPUT_SHEETS if spec.name in found.tables]
    stock = found.tables.get(STOCK.name)
    for table in ([stock] if stock else []) + tables:
        unit = _thickness_unit(table)
        if unit:
            return Book(workbook, unit, f"as the headings of {table.sheet.name} say", order)
    return Book(workbook, "in", "", order)


def _thickness_unit(table: Table) -> str:
    units = [system_of(use.unit) for use in table.uses if use.column.field in {"thickness_mm", "readings_mm"}]
    return next((unit for unit in units if unit), "") or system_of(length_unit_of_table(table))


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
                f"a sheet {spec.name} with the headings {_needed(spec)}",
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
    return ", ".join(column.heading for column in spec.columns if column.required)


def _say_no_headings(spec: SheetSpec, found: Found, findings: Findings) -> None:
    sheet = found.sheets[spec.name]
    if not any(cell.value not in (None, "") for cell in sheet.cells.values()) and not spec.required:
        return
    findings.add(
        sheet.name,
        "",
        "no heading row",
        f"a row with the headings {_needed(spec)}",
        "write these headings above the table",
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
    for column in table.spec.columns:
        if column.required and column.field not in table.fields:
            findings.add(
                table.sheet.name,
                f"A{table.heading_row}",
                f"no column {column.heading}",
                f"the headings {_needed(table.spec)}",
                f'write "{column.heading}" above the column that holds it',
                Harm.STOPS_JOB if table.spec.required else Harm.LEFT_OUT,
            )
