"""Links of the result sheets, as independent readers find them in the saved file."""

import re

import pytest
from odf.namespaces import XLINKNS
from odf.opendocument import load
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import A
from openpyxl import load_workbook
from openpyxl.utils.cell import get_column_letter

from sheetkit import refresh
from sheetkit.report.tabs import TITLES

STOCK = [
    ["A1", "black cherry", 20, 3, 1.5, None, 8, 12.5],
    ["B1", "black walnut", 20, 3, 1.2, "flat", None, 30],
    ["B2", "black walnut", 20, 3, 1.2, "flat", None, 30],
]
TARGETS = [["P", "black cherry", 0.05, 0.002, 8], ["P", "black walnut", 0.02, 0.002, 7]]


@pytest.fixture(scope="module", params=[".xlsx", ".ods"])
def links(request, fill, tmp_path_factory):
    """Where each cell with a link leads, by sheet and cell."""
    path = fill(tmp_path_factory.mktemp("links") / f"job{request.param}", {"Stock": STOCK, "Targets": TARGETS})
    refresh(path)
    return links_of_ods(path) if request.param == ".ods" else links_of_xlsx(path)


def links_of_xlsx(path):
    found = {}
    for sheet in load_workbook(path):
        for row in sheet.iter_rows():
            found |= {(sheet.title, c.coordinate): parted(c.hyperlink.location, "!") for c in row if c.hyperlink}
    return found


def links_of_ods(path):
    found = {}
    for table in load(path).spreadsheet.getElementsByType(Table):
        row_number = 0
        for row in table.getElementsByType(TableRow):
            row_number += 1
            column = 0
            for cell in row.childNodes:
                if cell.qname not in {TableCell().qname, CoveredTableCell().qname}:
                    continue
                for link in cell.getElementsByType(A):
                    place = f"{get_column_letter(column + 1)}{row_number}"
                    href = link.attributes[XLINKNS, "href"].removeprefix("#")
                    found[table.getAttribute("name"), place] = parted(href, ".")
                column += int(cell.getAttribute("numbercolumnsrepeated") or 1)
            row_number += int(row.getAttribute("numberrowsrepeated") or 1) - 1
    return found


def parted(target, between):
    sheet, _, cell = target.rpartition(between)
    return sheet.strip("$").strip("'"), cell


def test_every_result_sheet_leads_back_to_summary_from_its_head(links):
    back = {sheet for (sheet, cell), target in links.items() if target[0] == "Summary" and re.fullmatch("[A-Z]3", cell)}
    assert back == set(TITLES.values()) - {"Summary"}


def test_each_board_of_stock_use_leads_to_its_row_of_stock(links):
    boards = [target for (sheet, _), target in links.items() if sheet == "Stock use" and target[0] == "Stock"]
    assert boards == [("Stock", "A3"), ("Stock", "A4"), ("Stock", "A5")]


def test_summary_leads_to_every_other_result_sheet(links):
    assert {target[0] for (sheet, _), target in links.items() if sheet == "Summary"} >= set(TITLES.values()) - {
        "Summary"
    }
