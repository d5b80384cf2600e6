"""Workbooks that mutations start from: the project's own, some with odd content, and outside ones where they are."""

import datetime as dt
import io
import os
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from odf.dc import Creator
from odf.office import Annotation
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import CoveredTableCell, NamedExpressions, NamedRange, TableCell, TableRow
from odf.table import Table as OdsTable
from odf.text import P
from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula
from openpyxl.worksheet.table import Table
from random_jobs import SAMPLE
from write_books import as_ods, as_xlsx

from sheetkit import refresh

ROOT = Path(__file__).parents[2]
LARGEST = 40_000
"""Outside workbooks larger than this are left aside: a mutation should cost little."""


def starting_books() -> Iterator[tuple[str, bytes]]:
    """Name, with its ending, and bytes; small ones more than once, so that they are drawn more often."""
    small = {"sample.xlsx": as_xlsx(SAMPLE), "sample.ods": as_ods(SAMPLE)}
    small |= {"odd.xlsx": odd_xlsx(), "odd.ods": odd_ods()}
    small |= {name.replace(".", "_refreshed."): refreshed(name, data) for name, data in small.items()}
    for _ in range(3):
        yield from small.items()
    folders = {"demo_workbooks": "*.[xo]*s*", "templates": "*.*", "tests/golden": "*_job.*"}
    for folder, pattern in folders.items():
        for path in sorted((ROOT / folder).glob(pattern)):
            yield path.name, path.read_bytes()
    yield from outside_books()


def outside_books() -> Iterator[tuple[str, bytes]]:
    """Small workbooks from other hands, where that folder is; nothing depends on them."""
    folder = Path(os.environ.get("SHEETKIT_SHARED", ROOT.parent / "shared")) / "corpus"
    for path in sorted(folder.glob("*/*.*")):
        if path.suffix in {".xlsx", ".xlsm", ".ods"} and path.stat().st_size < LARGEST:
            yield path.name, path.read_bytes()


def refreshed(name: str, data: bytes) -> bytes:
    """The same workbook with its result sheets."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        refresh(path)
        return path.read_bytes()


def odd_xlsx() -> bytes:
    """The sample amid what makers keep in workbooks: names, tables, merged cells, comments, charts, rules."""
    book = Workbook()
    book.remove(book.active)
    for name, rows in SAMPLE.items():
        sheet = book.create_sheet(name if name != "Stock" else 'Böard\'s & "Wood" 🪵')
        sheet["B2"] = f"My {name}"
        sheet.merge_cells("B2:D2")
        for row, cells in enumerate(rows, 4):
            for column, value in enumerate(cells, 2):
                sheet.cell(row, column, value)
        sheet.cell(4, 2).comment = Comment("typed by me", "me")
        sheet.cell(5, 3).font = Font(strike=True, color="FF00FF00")
        sheet.cell(6, 3).fill = PatternFill("solid", fgColor="FFFF0000")
    diary = book.create_sheet("Summary")
    diary.append(["day", "boards", "note", dt.date(2026, 2, 3), dt.time(12, 5), dt.timedelta(hours=30)])
    diary.append([1, 2, "=SUM(A1:B2)", True, None, "'quoted"])
    diary["A5"] = '=WEBSERVICE("http://127.0.0.1/")'
    diary["A6"] = ArrayFormula("A6:A8", "=A1:A3*2")
    diary.add_table(Table(displayName="Diary", ref="A1:C2"))
    rule = DataValidation(type="list", formula1='"yes,no"')
    rule.add("F2")
    diary.add_data_validation(rule)
    chart = BarChart()
    chart.add_data(Reference(diary, min_col=2, min_row=1, max_row=2))
    diary.add_chart(chart, "H2")
    diary.row_dimensions[2].hidden = True
    diary.column_dimensions["C"].hidden = True
    book.create_sheet("A1").sheet_state = "hidden"
    book.defined_names["rate"] = DefinedName("rate", attr_text="Summary!$B$2")
    book.defined_names["broken"] = DefinedName("broken", attr_text="#REF!$A$1")
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def odd_ods() -> bytes:
    """The sample with runs of repeated cells, annotations, covered cells, formulas, and values of every type."""
    book = OpenDocumentSpreadsheet()
    for name, rows in SAMPLE.items():
        table = OdsTable(name=name)
        table.addElement(_row([f"My {name}", None, None]))
        empty = TableRow(numberrowsrepeated=2)
        empty.addElement(TableCell(numbercolumnsrepeated=1024))
        table.addElement(empty)
        for row in rows:
            table.addElement(_row(row))
        tail = TableRow(numberrowsrepeated=1_048_000)
        tail.addElement(TableCell(numbercolumnsrepeated=16_384))
        table.addElement(tail)
        book.spreadsheet.addElement(table)
    diary = OdsTable(name='It\'s "mine"; $A$1.x')
    row = TableRow()
    row.addElement(TableCell(valuetype="percentage", value="0.08"))
    row.addElement(TableCell(valuetype="currency", currency="EUR", value="12.5"))
    row.addElement(TableCell(valuetype="date", datevalue="1899-12-30"))
    row.addElement(TableCell(valuetype="time", timevalue="PT30H05M00S"))
    row.addElement(TableCell(valuetype="boolean", booleanvalue="true"))
    row.addElement(TableCell(valuetype="float", value="3", formula="of:=[.A1]*2+[$Stock.B2]"))
    row.addElement(TableCell(formula="of:=SUM([.A1:.C1])"))
    wide = TableCell(numbercolumnsspanned=2, numberrowsspanned=1, valuetype="string")
    wide.addElement(P(text="wide"))
    row.addElement(wide)
    row.addElement(CoveredTableCell())
    noted = TableCell(valuetype="string")
    remark = Annotation()
    remark.addElement(Creator(text="me"))
    remark.addElement(P(text="typed by me"))
    noted.addElement(remark)
    noted.addElement(P(text="noted"))
    row.addElement(noted)
    diary.addElement(row)
    book.spreadsheet.addElement(diary)
    names = NamedExpressions()
    names.addElement(NamedRange(name="rate", cellrangeaddress="$Stock.$A$2:.$B$3", basecelladdress="$Stock.$A$1"))
    book.spreadsheet.addElement(names)
    target = io.BytesIO()
    book.write(target)
    return target.getvalue()


def _row(values: list) -> TableRow:
    row = TableRow()
    for value in values:
        if isinstance(value, int | float):
            row.addElement(TableCell(valuetype="float", value=repr(value)))
        elif value is None:
            row.addElement(TableCell())
        else:
            cell = TableCell(valuetype="string")
            cell.addElement(P(text=value))
            row.addElement(cell)
    return row
