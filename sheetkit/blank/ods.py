"""A blank workbook as .ods."""

import io
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import BinaryIO

from odf import dc, element, number, office, style, table, teletype, text
from odf.opendocument import OpenDocument, OpenDocumentSpreadsheet
from openpyxl.utils import get_column_letter

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
)
from sheetkit.blank.ods_page import ACROSS, UPRIGHT, add_frozen_rows, add_pages, add_sheet_styles
from sheetkit.graft.container import rewrite
from sheetkit.trade.species import species_names

MANIFEST = "META-INF/manifest.xml"
_CHARACTER_MM = 2.1
"""Width of one character of the default font."""


class _OdsBlank:
    """Builds the document; styles and dropdown rules are made once and reused by name."""

    def __init__(self) -> None:
        self.book = OpenDocumentSpreadsheet()
        self.rules = table.ContentValidations()
        self.book.spreadsheet.addElement(self.rules)
        self._rules: dict[Dropdown, str] = {}
        add_sheet_styles(self.book)
        ground = {"backgroundcolor": "#E9E4D8", "wrapoption": "wrap", "borderbottom": "0.5pt solid #8A7F68"}
        bold = {"fontweight": "bold"}
        self.heading = self._cell_style("heading", ground, bold)
        self.number_heading = self._cell_style("heading-of-numbers", ground, bold, align="end")
        self.heading_apart = self._cell_style("heading-apart", ground, bold, indent="2mm")
        self.purpose = self._cell_style("purpose", {}, {"fontstyle": "italic", "color": "#55503F"})
        self.wrapped = self._cell_style("wrapped", {"wrapoption": "wrap", "verticalalign": "top"}, {})
        self.title = self._cell_style("title", {}, {"fontweight": "bold", "fontsize": "14pt"})
        top = {"verticalalign": "top"}
        self.number = self._cell_style("number", top, {})
        self.wrapped_apart = self._cell_style("wrapped-apart", {"wrapoption": "wrap", **top}, {}, indent="2mm")
        self.words_apart = self._cell_style("words-apart", top, {}, indent="2mm")
        as_text = _text_number_style()
        self.as_text = self._cell_style("text", top, {}, shown_as=as_text)
        self.as_text_apart = self._cell_style("text-apart", top, {}, shown_as=as_text, indent="2mm")
        self.date = self._cell_style("date", top, {}, shown_as=_date_style())

    def _cell_style(
        self,
        name: str,
        cell: dict[str, str],
        font: dict[str, str],
        *,
        shown_as: element.Element | None = None,
        indent: str = "",
        align: str = "",
    ) -> str:
        made = style.Style(name=f"blank-{name}", family="table-cell")
        if indent or align:
            cell = {**cell, "textalignsource": "fix"}
        if shown_as is not None and shown_as.parentNode is None:
            self.book.automaticstyles.addElement(shown_as)
        if shown_as is not None:
            made.setAttribute("datastylename", shown_as.getAttribute("name"))
        if cell:
            made.addElement(style.TableCellProperties(**cell))
        if indent:
            made.addElement(style.ParagraphProperties(marginleft=indent, textalign="start"))
        if align:
            made.addElement(style.ParagraphProperties(textalign=align))
        if font:
            made.addElement(style.TextProperties(**font))
        self.book.automaticstyles.addElement(made)
        return f"blank-{name}"

    def column(self, width_characters: float, cell_style: str | None = None) -> element.Element:
        name = f"blank-width-{width_characters:g}".replace(".", "-")
        if not any(s.getAttribute("name") == name for s in self.book.automaticstyles.childNodes):
            made = style.Style(name=name, family="table-column")
            made.addElement(style.TableColumnProperties(columnwidth=f"{width_characters * _CHARACTER_MM:.1f}mm"))
            self.book.automaticstyles.addElement(made)
        extra = {"defaultcellstylename": cell_style} if cell_style else {}
        return table.TableColumn(stylename=name, **extra)

    def rule(self, dropdown: Dropdown, base: str) -> str:
        """Name of the rule that offers a dropdown; the same list is declared once."""
        if dropdown in self._rules:
            return self._rules[dropdown]
        name = self._rules[dropdown] = f"list{len(self._rules) + 1}"
        if dropdown.words:
            source = ";".join(f'"{word}"' for word in dropdown.words)
        else:
            sheet = f"$'{dropdown.sheet}'"
            source = f"[{sheet}.${dropdown.column}${dropdown.first_row}:.${dropdown.column}${dropdown.last_row}]"
        made = table.ContentValidation(
            name=name, condition=f"of:cell-content-is-in-list({source})", allowemptycell="true", basecelladdress=base
        )
        made.addElement(table.ErrorMessage(display="false"))
        self.rules.addElement(made)
        return name

    def cell(self, value: Typed, cell_style: str | None = None, *, note: str = "", rule: str = "") -> element.Element:
        attributes = _stored(value)
        if cell_style:
            attributes["stylename"] = cell_style
        if rule:
            attributes["contentvalidationname"] = rule
        made = table.TableCell(**attributes)
        if note:
            annotation = office.Annotation()
            annotation.addElement(dc.Creator(text="sheetkit"))
            annotation.addElement(text.P(text=note))
            made.addElement(annotation)
        if value not in (None, ""):
            shown = text.P()
            teletype.addTextToElement(shown, str(value))
            made.addElement(shown)
        return made


def _stored(value: Typed) -> dict[str, str]:
    """The attributes by which a cell stores its value."""
    if value in (None, ""):
        return {}
    if isinstance(value, date):
        return {"valuetype": "date", "datevalue": value.isoformat()}
    if isinstance(value, str):
        return {"valuetype": "string"}
    return {"valuetype": "float", "value": repr(value)}


def _text_number_style() -> element.Element:
    made = number.TextStyle(name="blank-text-number")
    made.addElement(number.TextContent())
    return made


def _date_style() -> element.Element:
    """Year, month and day, in that order in every country."""
    made = number.DateStyle(name="blank-day")
    for part in (number.Year, number.Month, number.Day):
        if made.childNodes:
            dash = number.Text()
            dash.addText("-")
            made.addElement(dash)
        made.addElement(part(style="long"))
    return made


def write_ods(path: Path, unit: str, typed: Mapping[str, Sequence[Sequence[Typed]]]) -> None:
    """Write a blank workbook.

    Args:
        path: where to
        unit: "in" or "mm", the unit in the headings
        typed: cells to type below the headings, row by row, by sheet name
    """
    made = io.BytesIO()
    with _namespaces_of_its_own():
        _book(unit, typed).write(made)
    with path.open("wb") as out:
        rewrite(made, out, replaced={MANIFEST: _with_version(made)})


def _book(unit: str, typed: Mapping[str, Sequence[Sequence[Typed]]]) -> OpenDocument:
    blank = _OdsBlank()
    sheets = blank_sheets(unit, typed)
    blank.book.spreadsheet.addElement(_how_to(blank))
    for sheet in sheets:
        blank.book.spreadsheet.addElement(_sheet(blank, sheet))
    blank.book.spreadsheet.addElement(_wood_names(blank))
    add_pages(blank.book, unit)
    add_frozen_rows(blank.book, {sheet.name: HEADING_ROW for sheet in sheets})
    return blank.book


@contextmanager
def _namespaces_of_its_own() -> Iterator[None]:
    """A document of odfpy declares the namespaces of all documents before it; this one starts afresh."""
    before = dict(element.Element.namespaces)
    element.Element.namespaces.clear()
    try:
        yield
    finally:
        element.Element.namespaces.update(before)


def _with_version(package: BinaryIO) -> bytes:
    """The manifest with the version that the standard asks for and odfpy leaves out."""
    with zipfile.ZipFile(package) as members:
        manifest = members.read(MANIFEST)
    return manifest.replace(b"<manifest:manifest ", b'<manifest:manifest manifest:version="1.2" ', 1)


def _how_to(blank: _OdsBlank) -> element.Element:
    made = table.Table(name=HOW_TO, stylename=UPRIGHT)
    made.addElement(blank.column(118.0))
    for index, step in enumerate(STEPS):
        row = table.TableRow()
        row.addElement(blank.cell(step, blank.title if index == 0 else blank.wrapped))
        made.addElement(row)
    return made


def _wood_names(blank: _OdsBlank) -> element.Element:
    made = table.Table(name=WOOD_NAMES, stylename=UPRIGHT)
    made.addElement(blank.column(60.0))
    for name in (WOOD_NAMES_PURPOSE, *species_names()):
        row = table.TableRow()
        row.addElement(blank.cell(name, blank.purpose if name == WOOD_NAMES_PURPOSE else None))
        made.addElement(row)
    return made


def _sheet(blank: _OdsBlank, sheet: BlankSheet) -> element.Element:
    made = table.Table(name=sheet.name, stylename=ACROSS)
    for column in sheet.columns:
        made.addElement(blank.column(column.width, _look_of_empty(blank, column)))
    purpose = table.TableRow()
    purpose.addElement(blank.cell(sheet.purpose, blank.purpose))
    made.addElement(purpose)
    headings = table.TableRow()
    for column in sheet.columns:
        look = blank.number_heading if column.number else blank.heading_apart if column.apart else blank.heading
        headings.addElement(blank.cell(column.heading, look, note=column.note))
    made.addElement(headings)
    for offset, values in enumerate(sheet.rows, start=1):
        made.addElement(_typed_row(blank, sheet, HEADING_ROW + offset, values))
    if any(column.dropdown or _look_of_empty(blank, column) for column in sheet.columns):
        made.addElement(_empty_rows(blank, sheet))
    return made


def _typed_row(blank: _OdsBlank, sheet: BlankSheet, row_number: int, values: Sequence[Typed]) -> element.Element:
    row = table.TableRow()
    single = {index: dropdown for number, index, dropdown in sheet.dropdowns if number == row_number}
    for index, column in enumerate(sheet.columns, start=1):
        value = values[index - 1] if index <= len(values) else None
        dropdown = single.get(index) or column.dropdown
        rule = blank.rule(dropdown, _base(sheet, index, row_number)) if dropdown else ""
        look = _look_of(blank, value, column)
        row.addElement(blank.cell(value, look, rule=rule))
    return row


def _look_of(blank: _OdsBlank, value: Typed, column: BlankColumn) -> str:
    """The style of a typed cell."""
    if column.text:
        return blank.as_text_apart if column.apart else blank.as_text
    if isinstance(value, date):
        return blank.date
    if isinstance(value, str):
        return blank.wrapped_apart if column.apart else blank.wrapped
    return blank.number


def _look_of_empty(blank: _OdsBlank, column: BlankColumn) -> str | None:
    """The style of a cell that is still to be typed into; None for the usual one."""
    if column.text:
        return blank.as_text_apart if column.apart else blank.as_text
    return blank.words_apart if column.apart else None


def _empty_rows(blank: _OdsBlank, sheet: BlankSheet) -> element.Element:
    row = table.TableRow(numberrowsrepeated=max(1, ROWS_WITH_DROPDOWNS - len(sheet.rows)))
    for index, column in enumerate(sheet.columns, start=1):
        base = _base(sheet, index, HEADING_ROW + 1 + len(sheet.rows))
        rule = blank.rule(column.dropdown, base) if column.dropdown else ""
        row.addElement(blank.cell("", _look_of_empty(blank, column), rule=rule))
    return row


def _base(sheet: BlankSheet, column: int, row: int) -> str:
    return f"{sheet.name}.{get_column_letter(column)}{row}"
