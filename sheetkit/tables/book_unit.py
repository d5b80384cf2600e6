"""Which unit a workbook's bare numbers are in: what it says, else what its numbers allow."""

from sheetkit.reading.model import Kind as CellKind
from sheetkit.reading.model import Workbook
from sheetkit.tables.columns import LENGTH_KINDS
from sheetkit.tables.contexts import Book, length_unit_of_table, system_of
from sheetkit.tables.inputs import Assumption
from sheetkit.tables.layout import Table
from sheetkit.tables.schema import INPUT_SHEETS, JOB, STOCK
from sheetkit.tables.settings_sheet import peek_unit
from sheetkit.tables.sheets import Found
from sheetkit.tables.typed_dates import Order, order_in
from sheetkit.tables.value import bounds
from sheetkit.units import find_unit


def book_of(workbook: Workbook, found: Found) -> Book:
    """What holds for the whole workbook; its unit is the Job's setting, else Stock's heading, else another heading's.

    Args:
        workbook: the workbook
        found: its sheets and tables
    """
    order = order_in(workbook)
    job = found.sheets.get(JOB.name)
    said = peek_unit(found.grids[job.name], JOB) if job else ""
    if said and job:
        unit = "mm" if said == "mm" else "in"
        return Book(workbook, unit, f"as the sheet {job.name} says", order, unit_is_set=True, shown_in=said)
    tables = [found.tables[spec.name] for spec in (STOCK, *INPUT_SHEETS) if spec.name in found.tables]
    for table in tables:
        unit = _thickness_unit(table)
        if unit:
            return Book(workbook, unit, f"as the headings of {table.sheet.name} say", order)
    return _guessed(workbook, tables, found, order)


def _thickness_unit(table: Table) -> str:
    units = [system_of(use.unit) for use in table.uses if use.column.field in {"thickness_mm", "readings_mm"}]
    return next((unit for unit in units if unit), "") or system_of(length_unit_of_table(table))


def _guessed(workbook: Workbook, tables: list[Table], found: Found, order: Order | None) -> Book:
    metric = _strange(tables, "in") > 0 and _strange(tables, "mm") == 0
    unit, because = "in", "because nothing in the workbook names a unit"
    if metric:
        unit, because = "mm", "because nothing in the workbook names a unit, and the numbers are sensible in mm only"
    book = Book(workbook, unit, because, order, unit_is_guessed=True)
    job = found.sheets.get(JOB.name)
    why = f"The unit of numbers that carry none, {because}."
    book.assumptions.append(Assumption(JOB.name if job is None else job.name, "Unit", unit, why))
    return book


def _strange(tables: list[Table], label: str) -> int:
    """How many bare numbers under lengths would not be sensible in a unit."""
    unit = find_unit(label)
    count = 0
    for table in tables:
        for use in table.uses:
            if use.column.kind not in LENGTH_KINDS or unit is None:
                continue
            low, high = bounds(use.column)
            for row in range(table.first_row, table.last_row + 1):
                cell = table.sheet.cell(row, use.position)
                if (
                    cell is not None
                    and cell.kind is CellKind.NUMBER
                    and isinstance(cell.value, float)
                    and cell.value > 0
                ):
                    value = unit.to_base(cell.value)
                    count += (low is not None and value < low) or (high is not None and value > high)
    return count
