"""The calculation chain: the order in which a spreadsheet program last worked out the formulas."""

import contextlib
from collections.abc import Mapping

from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import DamagedWorkbook
from sheetkit.reading.archive import Package
from sheetkit.reading.safe_xml import Attributes, EnoughRead, Target
from sheetkit.reading.xlsx_names import both_dialects
from sheetkit.report.model import ReportSheet


def names_a_lost_formula(package: Package, chain: str, ours: Mapping[int, ReportSheet]) -> bool:
    """Whether the chain names a cell of one of our sheets that holds no formula.

    Args:
        package: the maker's file
        chain: entry name of the chain
        ours: what comes in place of our sheets that the file has already, by sheet id
    """
    formulas = {number: _formula_cells(sheet) for number, sheet in ours.items()}
    target = _ChainTarget(formulas)
    with contextlib.suppress(DamagedWorkbook):
        package.stream(chain, target)
    return target.lost


def _formula_cells(sheet: ReportSheet) -> set[str]:
    return {
        f"{get_column_letter(column)}{row}"
        for row, cells in enumerate(sheet.rows, 1)
        for column, cell in enumerate(cells, 1)
        if cell is not None and cell.formula is not None
    }


class _ChainTarget(Target):
    def __init__(self, formulas: Mapping[int, set[str]]) -> None:
        super().__init__()
        self._formulas = formulas
        self._sheet = 0
        self.lost = False
        self.starts.update(both_dialects({"c": self._cell}))

    def _cell(self, attributes: Attributes) -> None:
        """A cell without sheet number is on the sheet of the one before."""
        number = attributes.get("i", "")
        if number.isdecimal():
            self._sheet = int(number)
        cells = self._formulas.get(self._sheet)
        if cells is not None and attributes.get("r", "") not in cells:
            self.lost = True
            raise EnoughRead
