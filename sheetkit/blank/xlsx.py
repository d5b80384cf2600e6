"""A blank workbook as .xlsx."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_rowcol_to_cell

from sheetkit.blank.content import (
    HEADING_ROW,
    HOW_TO,
    ROWS_WITH_DROPDOWNS,
    STEPS,
    WOOD_NAMES,
    WOOD_NAMES_PURPOSE,
    BlankColumn,
    BlankSheet,
    Dropdown,
    Typed,
    blank_sheets,
    lines_of,
)
from sheetkit.trade.species import species_names

_HEADING = {"bold": True, "bg_color": "#E9E4D8", "bottom": 1, "bottom_color": "#8A7F68", "text_wrap": True}
_APART = {"align": "left", "indent": 1}
LOOKS: Mapping[str, Mapping[str, Any]] = {
    "title": {"bold": True, "font_size": 14},
    "purpose": {"italic": True, "font_color": "#55503F"},
    "heading": _HEADING,
    "heading of numbers": _HEADING | {"align": "right"},
    "heading apart": _HEADING | _APART,
    "wrapped": {"text_wrap": True, "valign": "top"},
    "wrapped apart": {"text_wrap": True, "valign": "top"} | _APART,
    "number": {"valign": "top"},
    "words apart": {"valign": "top"} | _APART,
    "text": {"num_format": "@", "valign": "top"},
    "text apart": {"num_format": "@", "valign": "top"} | _APART,
    "date": {"num_format": "yyyy-mm-dd", "valign": "top"},
}
LINE_PT = 15.0
"""Height of a row of one line."""


def write_xlsx(path: Path, unit: str, typed: Mapping[str, Sequence[Sequence[Typed]]]) -> None:
    """Write a blank workbook.

    Args:
        path: where to
        unit: "in" or "mm", the unit in the headings
        typed: cells to type below the headings, row by row, by sheet name
    """
    with xlsxwriter.Workbook(str(path)) as book:
        looks = {name: book.add_format(dict(look)) for name, look in LOOKS.items()}
        how_to = book.add_worksheet(HOW_TO)
        how_to.set_column(0, 0, 118)
        for row, text in enumerate(STEPS):
            how_to.write_string(row, 0, text, looks["title" if row == 0 else "wrapped"])
        for blank in blank_sheets(unit, typed):
            sheet = book.add_worksheet(blank.name)
            _sheet(sheet, blank, looks)
            if blank.name == "Job":
                sheet.activate()
        names = book.add_worksheet(WOOD_NAMES)
        names.set_column(0, 0, 60)
        names.write_string(0, 0, WOOD_NAMES_PURPOSE, looks["purpose"])
        names.write_column(1, 0, species_names())


def _sheet(sheet: Any, blank: BlankSheet, looks: Mapping[str, Any]) -> None:
    sheet.write_string(0, 0, blank.purpose, looks["purpose"])
    for index, column in enumerate(blank.columns):
        sheet.set_column(index, index, column.width, _look_of(None, column, looks))
        kind = "heading of numbers" if column.number else "heading apart" if column.apart else "heading"
        sheet.write_string(HEADING_ROW - 1, index, column.heading, looks[kind])
        note = {"author": "sheetkit", "x_scale": 2.2, "y_scale": 1.3}
        sheet.write_comment(HEADING_ROW - 1, index, column.note, note)
        if column.dropdown:
            _offer(sheet, column.dropdown, HEADING_ROW, index, HEADING_ROW + ROWS_WITH_DROPDOWNS - 1)
    for row, values in enumerate(blank.rows, start=HEADING_ROW):
        lines = lines_of(values, blank.columns)
        # LibreOffice leaves a row of a grafted file as high as the file says, one line where it says nothing.
        if lines > 1:
            sheet.set_row(row, LINE_PT * lines)
        for index, value in enumerate(values):
            if value not in (None, ""):
                sheet.write(row, index, value, _look_of(value, blank.columns[index], looks))
    for row, index, dropdown in blank.dropdowns:
        _offer(sheet, dropdown, row - 1, index - 1, row - 1)
    sheet.freeze_panes(HEADING_ROW, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def _look_of(value: Typed, column: BlankColumn, looks: Mapping[str, Any]) -> Any:
    """The format of a cell below a heading, typed or still empty."""
    apart = " apart" if column.apart else ""
    if column.text:
        return looks[f"text{apart}"]
    if isinstance(value, date):
        return looks["date"]
    if isinstance(value, str):
        return looks[f"wrapped{apart}"]
    return looks["words apart" if apart and value is None else "number"]


def _offer(sheet: Any, dropdown: Dropdown, first_row: int, column: int, last_row: int) -> None:
    source: Any = list(dropdown.words)
    if not dropdown.words:
        first, last = (f"${dropdown.column}${row}" for row in (dropdown.first_row, dropdown.last_row))
        source = f"='{dropdown.sheet}'!{first}:{last}"
    rule = {"validate": "list", "source": source, "show_error": False}
    sheet.data_validation(f"{xl_rowcol_to_cell(first_row, column)}:{xl_rowcol_to_cell(last_row, column)}", rule)
