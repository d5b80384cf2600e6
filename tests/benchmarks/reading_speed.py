"""How long reading takes: python tests/benchmarks/reading_speed.py [CELLS]

Writes a sheet of numbers and texts, ten columns wide, in both formats; prints seconds of processor time for the
reader, and for twice the cells, which should be twice as many.
"""

import gc
import sys
import tempfile
import time
from pathlib import Path

import odf.opendocument
import odf.table
import odf.text
import xlsxwriter

from sheetkit.reading import open_workbook

COLUMNS = 10


def value(row: int, column: int) -> float | str:
    """Two numbers for each text."""
    return row * 0.001 + column if column % 3 else f"P{row}-{column}"


def write_xlsx(path: Path, rows: int) -> None:
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Measurements")
        for row in range(rows):
            for column in range(COLUMNS):
                sheet.write(row, column, value(row, column))


def write_ods(path: Path, rows: int) -> None:
    book = odf.opendocument.OpenDocumentSpreadsheet()
    table = odf.table.Table(name="Measurements")
    for row in range(rows):
        line = odf.table.TableRow()
        for column in range(COLUMNS):
            line.addElement(_ods_cell(value(row, column)))
        table.addElement(line)
    book.spreadsheet.addElement(table)
    book.save(str(path))


def _ods_cell(content: float | str) -> odf.table.TableCell:
    is_text = isinstance(content, str)
    details = {"valuetype": "string"} if is_text else {"valuetype": "float", "value": repr(content)}
    cell = odf.table.TableCell(**details)
    cell.addElement(odf.text.P(text=str(content)))
    return cell


def main(cells: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for suffix, write in (("xlsx", write_xlsx), ("ods", write_ods)):
            for count in (cells, 2 * cells):
                path = Path(folder) / f"{count}.{suffix}"
                write(path, count // COLUMNS)
                gc.collect()
                start = time.process_time()
                read = sum(len(sheet.cells) for sheet in open_workbook(path).sheets)
                print(f"{suffix}: {read:,} cells in {time.process_time() - start:.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200_000)
