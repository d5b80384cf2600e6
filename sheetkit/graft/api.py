"""Any workbook plus result sheets: the one function that the rest of the program, and anybody else, calls."""

import importlib
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import BinaryIO, Final, Protocol

from sheetkit.graft.outcome import GraftReport
from sheetkit.reading.archive import open_package
from sheetkit.reading.model import Format
from sheetkit.report.model import ReportSheet


class Grafter(Protocol):
    """What puts result sheets into one file format."""

    def __call__(
        self,
        source: BinaryIO,
        sheets: Sequence[ReportSheet],
        out: BinaryIO,
        *,
        allow_signed: bool = False,
        not_ours: Collection[str] = (),
    ) -> GraftReport:
        """Write the workbook with the result sheets in it."""


_GRAFTERS: Final = {
    Format.XLSX: ("sheetkit.graft.xlsx", "graft_xlsx"),
    Format.XLSM: ("sheetkit.graft.xlsx", "graft_xlsx"),
    Format.ODS: ("sheetkit.graft.ods", "graft_ods"),
}


def graft_into(
    source: Path,
    sheets: Sequence[ReportSheet],
    out: BinaryIO,
    *,
    allow_signed: bool = False,
    not_ours: Collection[str] = (),
) -> GraftReport:
    """Write a workbook with result sheets in it; all else in it keeps its bytes.

    Args:
        source: an .xlsx, .xlsm or .ods workbook, known by its content; it is only read
        sheets: result sheets with different keys and names. One that an earlier call put in is found by its mark, under
            whatever name its tab has now, and replaced in place; the others are put behind the last tab
        out: where the new workbook goes; empty, open for binary writing, able to seek
        allow_signed: go on although a digital signature in the file will no longer hold
        not_ours: tabs that carry a mark but hold a sheet of the maker's (`Workbook.disowned`); they are left alone and
            the mark goes to the new sheet

    Returns:
        The tab's name for each result sheet. A new sheet whose name is taken gets another one, and formulas and links
        between result sheets follow.

    Raises:
        FileProblem: the file cannot be worked with; its kinds are in `sheetkit.errors`
        ValueError: two sheets with one key or name, or a sheet that contradicts itself

    The same workbook and sheets give the same bytes, and putting them in a second time changes nothing.
    """
    with open_package(source) as package:
        module, function = _GRAFTERS[package.format]
    grafter: Grafter = getattr(importlib.import_module(module), function)
    with source.open("rb") as file:
        return grafter(file, sheets, out, allow_signed=allow_signed, not_ours=not_ours)
