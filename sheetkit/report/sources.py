"""The maker's own cells as operands of live formulas."""

from collections.abc import Sequence
from math import isclose

from openpyxl.utils.cell import column_index_from_string, coordinate_from_string, quote_sheetname

from sheetkit.reading.model import Kind, Workbook
from sheetkit.reading.xlsx_names import split_address
from sheetkit.report.model import Area
from sheetkit.tables.rows import Place

LENGTHS = ((1.0, ""), (1 / 25.4, "/25.4"), (25.4, "*25.4"), (0.001, "/1000"), (0.0254, "*0.0254"), (12.0, "*12"))
"""From a maker's length to the shown unit: the same, mm to in, in to mm, thou to in, thou to mm, ft to in."""
LENGTHS_IN_THOU = ((1000.0, "*1000"), (1.0, ""), (1 / 0.0254, "/0.0254"), (12_000.0, "*12000"))
"""From a maker's length to thou: from in, thou, mm and ft."""
SHARES = ((1.0, ""), (0.01, "/100"))
"""From a share written as 25 % or as 25 to a share of one."""
MINUTES = ((1.0, ""), (1 / 60, "/60"), (60.0, "*60"), (1440.0, "*1440"))
"""From minutes, seconds, hours and days to minutes."""
PLAIN = ((1.0, ""),)


class Sources:
    """Cells of the maker that hold a plain number, which a formula can build upon.

    Args:
        workbook: as it was read
    """

    def __init__(self, workbook: Workbook) -> None:
        self._sheets = {sheet.name: sheet for sheet in workbook.sheets}

    def operand(
        self, place: Place | None, field: str, value: float, factors: Sequence[tuple[float, str]] = PLAIN
    ) -> str | None:
        """A reference to the cell behind a value, with the factor that turns it into the value.

        Args:
            place: the row it was read from
            field: which of its fields
            value: what it was understood as, in the unit of the result sheet
            factors: possible factors, each with how a formula writes it

        Returns:
            Such as ``Stock!E3/25.4``; None where the cell holds no plain number (a text such as 1-1/2), or 0, which
            does not tell its factor.
        """
        address = place.cells.get(field) if place is not None else None
        number = None if place is None or address is None else self.number(place.sheet, address)
        if place is None or not number:
            return None
        written = next((text for factor, text in factors if _same(number * factor, value)), None)
        return None if written is None else f"{quote_sheetname(place.sheet)}!{address}{written}"

    def day(self, place: Place, field: str) -> str | None:
        """A reference to the cell of a date; None where it holds a text."""
        address = place.cells.get(field, "")
        if place.sheet not in self._sheets or not address:
            return None
        letters, row = coordinate_from_string(address)
        cell = self._sheets[place.sheet].cell(row, column_index_from_string(letters))
        return f"{quote_sheetname(place.sheet)}!{address}" if cell is not None and cell.kind is Kind.DATE else None

    def number(self, sheet: str, address: str) -> float | None:
        """What a cell holds, None where that is no plain number."""
        if sheet not in self._sheets or not address:
            return None
        cell = self._sheets[sheet].cells.get(split_address(address))
        return cell.value if cell is not None and cell.kind is Kind.NUMBER and isinstance(cell.value, float) else None

    def numbers(self, sheet: str, area: Area) -> list[tuple[str, float]] | None:
        """Address and number of every filled cell of an area; None where one holds no plain number."""
        found: list[tuple[str, float]] = []
        for row in range(area.first_row, area.last_row + 1):
            for column in range(area.first_column, area.last_column + 1):
                cell = self._sheets[sheet].cell(row, column)
                if cell is None or cell.kind is Kind.EMPTY:
                    continue
                if cell.kind is not Kind.NUMBER or not isinstance(cell.value, float):
                    return None
                found.append((cell.address, cell.value))
        return found


def _same(one: float, other: float) -> bool:
    """Whether two figures are one, that of a result sheet being rounded to twelve decimals."""
    return isclose(one, other, rel_tol=1e-9, abs_tol=1e-11)
