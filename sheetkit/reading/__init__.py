"""Workbooks in: one model of sheets and cells over .xlsx, .xlsm and .ods, behind `open_workbook()`."""

from pathlib import Path

from sheetkit.reading.archive import open_package
from sheetkit.reading.model import Format, Kind, Workbook


def open_workbook(path: Path) -> Workbook:
    """Read a workbook; what it is is found from its content, not from its name.

    Formulas that carry no stored result are worked out where that can be done; what the reader had to leave out
    stands in the workbook's problems. The file is opened for reading only, and closed again.

    Args:
        path: the workbook's file

    Raises:
        FileProblem: the file is missing or cannot be read
        NotAWorkbook: it is something else
        EncryptedWorkbook: it is protected by a password
        DamagedWorkbook: it is broken, or built to exhaust the reader
    """
    with open_package(path) as package:
        if package.format is Format.ODS:
            from sheetkit.reading.ods import read_ods

            workbook = read_ods(package, path)
        else:
            from sheetkit.reading.xlsx import read_xlsx

            workbook = read_xlsx(package, path)
    if any(cell.kind is Kind.NO_RESULT for sheet in workbook.sheets for cell in sheet.cells.values()):
        from sheetkit.reading.missing_results import work_out

        work_out(workbook)
    return workbook
