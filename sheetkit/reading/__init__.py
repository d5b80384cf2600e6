"""Workbooks in: one model of sheets and cells over .xlsx, .xlsm and .ods, behind `open_workbook()`."""

from collections.abc import Callable
from pathlib import Path

from sheetkit.reading.archive import open_package
from sheetkit.reading.model import Format, Kind, Sheet, Workbook


def open_workbook(path: Path, wanted: Callable[[Sheet], bool] | None = None) -> Workbook:
    """Read a workbook; what it is is found from its content, not from its name.

    Formulas that carry no stored result are worked out where that can be done; what the reader had to leave out
    stands in the workbook's problems. The file is opened for reading only, and closed again.

    Args:
        path: the workbook's file
        wanted: told a sheet by its first rows, says whether the others are wanted; None reads all of every sheet, and
            so does a formula without a result, which may build upon any cell

    Raises:
        FileProblem: the file is missing or cannot be read
        NotAWorkbook: it is something else
        EncryptedWorkbook: it is protected by a password
        DamagedWorkbook: it is broken, or built to exhaust the reader
    """
    workbook = _read(path, wanted)
    if any(cell.kind is Kind.NO_RESULT for sheet in workbook.sheets for cell in sheet.cells.values()):
        from sheetkit.reading.missing_results import work_out

        if any(sheet.cut_short for sheet in workbook.sheets):
            workbook = _read(path, None)

        work_out(workbook)
    return workbook


def _read(path: Path, wanted: Callable[[Sheet], bool] | None) -> Workbook:
    with open_package(path) as package:
        if package.format is Format.ODS:
            from sheetkit.reading.ods import read_ods

            return read_ods(package, path, wanted)
        from sheetkit.reading.xlsx import read_xlsx

        return read_xlsx(package, path, wanted)
