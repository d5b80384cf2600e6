"""A blank workbook as .xlsx."""

from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from sheetkit.blank.content import (
    HEADING_ROW,
    HOW_TO,
    ROWS_WITH_DROPDOWNS,
    STEPS,
    WOOD_NAMES,
    WOOD_NAMES_PURPOSE,
    BlankSheet,
    Dropdown,
    blank_sheets,
)
from sheetkit.trade.species import species_names

_FILL = PatternFill("solid", fgColor="E9E4D8")
_LINE = Border(bottom=Side("thin", color="8A7F68"))


def write_xlsx(path: Path, unit: str) -> None:
    """Write a blank workbook.

    Args:
        path: where to
        unit: "in" or "mm", the unit in the headings
    """
    book = Workbook()
    how_to = book.active
    if not isinstance(how_to, Worksheet):
        raise TypeError(type(how_to))
    _how_to(how_to)
    for blank in blank_sheets(unit):
        _sheet(book.create_sheet(blank.name), blank)
    _wood_names(book.create_sheet(WOOD_NAMES))
    book.active = 1
    how_to.sheet_view.tabSelected = False
    book.save(path)


def _how_to(sheet: Worksheet) -> None:
    sheet.title = HOW_TO
    sheet.column_dimensions["A"].width = 118
    for row, text in enumerate(STEPS, start=1):
        sheet.cell(row, 1, text).alignment = Alignment(wrap_text=True, vertical="top")
    sheet["A1"].font = _font(bold=True, size=14)


def _wood_names(sheet: Worksheet) -> None:
    sheet.column_dimensions["A"].width = 60
    sheet["A1"] = WOOD_NAMES_PURPOSE
    sheet["A1"].font = _font(italic=True, color="55503F")
    for row, name in enumerate(species_names(), start=2):
        sheet[f"A{row}"] = name


def _font(**look: Any) -> Font:
    return Font(name="Calibri", **{"size": 11, **look})


def _sheet(sheet: Worksheet, blank: BlankSheet) -> None:
    sheet.cell(1, 1, blank.purpose).font = _font(italic=True, color="55503F")
    for index, column in enumerate(blank.columns, start=1):
        cell = sheet.cell(HEADING_ROW, index, column.heading)
        cell.font, cell.fill, cell.border = _font(bold=True), _FILL, _LINE
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        cell.comment = Comment(column.note, "sheetkit", height=90, width=280)
        letter = get_column_letter(index)
        sheet.column_dimensions[letter].width = column.width
        if column.dropdown:
            area = f"{letter}{HEADING_ROW + 1}:{letter}{HEADING_ROW + ROWS_WITH_DROPDOWNS}"
            _offer(sheet, column.dropdown, area)
        if column.text:
            for row in range(HEADING_ROW + 1, HEADING_ROW + 1 + ROWS_WITH_DROPDOWNS):
                sheet.cell(row, index).number_format = "@"
    for offset, values in enumerate(blank.rows, start=1):
        for index, value in enumerate(values, start=1):
            if value:
                sheet.cell(HEADING_ROW + offset, index, value).alignment = Alignment(wrap_text=True, vertical="top")
    for row, index, dropdown in blank.dropdowns:
        _offer(sheet, dropdown, f"{get_column_letter(index)}{row}")
    sheet.freeze_panes = f"A{HEADING_ROW + 1}"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]


def _offer(sheet: Worksheet, dropdown: Dropdown, area: str) -> None:
    if dropdown.words:
        source = '"' + ",".join(dropdown.words) + '"'
    else:
        source = f"'{dropdown.sheet}'!${dropdown.column}${dropdown.first_row}:${dropdown.column}${dropdown.last_row}"
    rule = DataValidation("list", formula1=source, allow_blank=True, showErrorMessage=False)
    rule.add(area)
    sheet.add_data_validation(rule)
