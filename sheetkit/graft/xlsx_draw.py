"""Result sheets drawn as a workbook of their own, in memory, from which their parts are taken."""

import io
import math
import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from openpyxl.utils.cell import get_column_letter, quote_sheetname
from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from sheetkit.graft.formula_names import renamed
from sheetkit.graft.looks import LOOK_STYLES
from sheetkit.graft.xlsx_charts import native_chart
from sheetkit.graft.xlsx_formats import Formats
from sheetkit.graft.xlsx_values import Plain, cell_text, plain_text, plain_value
from sheetkit.report.model import Look, ReportCell, ReportSheet, Table

AUTHOR: Final = "sheetkit"

_DATE_FORMAT: Final = "yyyy-mm-dd"
_DEFAULT_WIDTH: Final = 8.43
_USUAL_HEIGHT: Final = 15.0
_MARGINS_IN: Final = {"left": 0.5, "right": 0.5, "top": 0.75, "bottom": 0.7}
_VERDICTS: Final = {Look.GOOD, Look.WATCH, Look.BAD}
_FUNCTION: Final = re.compile(r"([A-Za-z][\w.]*)\(")
_PLAIN_FUNCTIONS: Final = frozenset(
    {
        "ABS", "COLUMN", "COUNT", "COUNTA", "FIND", "IF", "IFERROR", "INT", "ISERROR", "ISLOGICAL", "ISNUMBER",
        "ISTEXT", "LEN", "MAX", "MID", "MIN", "MOD", "REPT", "ROUND", "ROW", "SUM", "SUMPRODUCT",
    }
)  # fmt: skip
"""Functions as old as the format: in formulas of these alone the library need not look for newer ones, which takes it
longer than all the rest of a cell."""
_NOTE_WIDTH: Final = 240
_NOTE_CHARACTERS: Final = 40
_NOTE_LINE: Final = 15


@dataclass(frozen=True, slots=True)
class Names:
    """What things are called in the maker's file.

    Attributes:
        tabs: by a result sheet's own name, the name of its tab
        tables: by a table's own name, its name in the file
    """

    tabs: Mapping[str, str]
    tables: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Drawn:
    """The workbook of result sheets.

    Attributes:
        package: its bytes; the sheets stand in the order they were given
        texts: its shared strings, in the notation of cells
    """

    package: bytes
    texts: Sequence[str]


def draw(sheets: Sequence[ReportSheet], names: Names, *, font: str, day_zero_1904: bool) -> Drawn:
    """Draw the sheets.

    Args:
        sheets: what to draw
        names: what things are called in the maker's file
        font: family of the type
        day_zero_1904: dates count from 1904

    Raises:
        ValueError: a cell stands under another's span, or two spans, or a span and a table, overlap
    """
    target = io.BytesIO()
    options = {"in_memory": True, "use_future_functions": True, "date_1904": day_zero_1904}
    workbook = Workbook(target, options)
    formats = Formats(workbook, font)
    # The maker may have given a tab a name that the library refuses, so the names are set behind its back.
    worksheets = [workbook.add_worksheet(f"r{index}") for index, _ in enumerate(sheets)]
    for worksheet, sheet in zip(worksheets, sheets, strict=True):
        worksheet.name = names.tabs[sheet.name]
    for worksheet, sheet in zip(worksheets, sheets, strict=True):
        _SheetDrawing(workbook, worksheet, sheet, names, formats).draw()
    workbook.close()
    return Drawn(target.getvalue(), tuple(workbook.str_table.string_array))


@dataclass(slots=True)
class _SheetDrawing:
    """Draws one sheet."""

    workbook: Workbook
    worksheet: Worksheet
    sheet: ReportSheet
    names: Names
    formats: Formats

    def draw(self) -> None:
        self._set_up_columns_and_rows()
        self._set_up_view()
        self._set_up_print()
        for table in self.sheet.tables:
            self._table(table)
        for row, column, cell in _placed(self.sheet):
            self._cell(row, column, cell)
        self._pictures()
        self._charts()

    def _set_up_columns_and_rows(self) -> None:
        for column, width in enumerate(self.sheet.column_widths):
            self.worksheet.set_column(column, column, width)
        for row in range(1, len(self.sheet.rows) + 1):
            height = self.sheet.row_heights.get(row) or needed_height(self.sheet, row)
            if height is not None:
                self.worksheet.set_row(row - 1, height)

    def _set_up_view(self) -> None:
        self.worksheet.hide_gridlines(2)
        self.worksheet.set_tab_color(f"#{self.sheet.tab_colour}")
        if self.sheet.frozen_rows or self.sheet.frozen_columns:
            self.worksheet.freeze_panes(self.sheet.frozen_rows, self.sheet.frozen_columns)

    def _set_up_print(self) -> None:
        if self.sheet.landscape:
            self.worksheet.set_landscape()
        self.worksheet.fit_to_pages(1, 0)
        self.worksheet.set_margins(**_MARGINS_IN)
        self.worksheet.set_header("&L&9&A&R&9&F")
        self.worksheet.set_footer("&L&9&D&R&9Page &P of &N")

    def _table(self, table: Table) -> None:
        """Its cells are written afterwards, over the headings that the library writes."""
        area = table.area
        headings = self.sheet.rows[area.first_row - 1][area.first_column - 1 : area.last_column]
        texts = [cell_text(str(cell.value)) if cell is not None else "" for cell in headings]
        result = self.worksheet.add_table(
            area.first_row - 1,
            area.first_column - 1,
            area.last_row - 1,
            area.last_column - 1,
            {
                "name": self.names.tables[table.name],
                "style": None,
                "autofilter": table.filtered,
                "columns": [{"header": text} for text in texts],
            },
        )
        if result != 0:
            raise ValueError(f"no table can be made of {table.name}")

    def _cell(self, row: int, column: int, cell: ReportCell) -> None:
        format_ = self._format(cell)
        if cell.columns > 1:
            self.worksheet.merge_range(row, column, row, column + cell.columns - 1, "", format_)
        if cell.link is not None:
            self._link(row, column, cell, format_)
        if cell.formula is not None:
            formula = renamed(cell.formula, self.names.tabs, self.names.tables)
            result = self._result(cell.value)
            self.worksheet.use_future_functions = not _PLAIN_FUNCTIONS.issuperset(_FUNCTION.findall(formula))
            if cell.array:
                self.worksheet.write_array_formula(row, column, row, column, formula, format_, result)
            else:
                self.worksheet.write_formula(row, column, formula, format_, result)
        else:
            self._value(row, column, plain_value(cell.value), format_)
        if cell.note:
            self._note(row, column, cell.note)

    def _format(self, cell: ReportCell) -> Format:
        dated = isinstance(cell.value, date) and cell.number_format == "General"
        number_format = _DATE_FORMAT if dated else cell.number_format
        inset = cell.look in _VERDICTS and isinstance(cell.value, str)
        return self.formats.of(cell.look, number_format, link=cell.link is not None, inset=inset)

    def _link(self, row: int, column: int, cell: ReportCell, format_: Format) -> None:
        link = cell.link
        if link is None:
            return
        tab = self.names.tabs.get(link.sheet, link.sheet)
        self.worksheet.write_url(row, column, f"internal:{quote_sheetname(tab)}!{link.cell}", format_, string=" ")

    def _value(self, row: int, column: int, value: Plain, format_: Format) -> None:
        if value is None:
            self.worksheet.write_blank(row, column, None, format_)
        elif isinstance(value, bool):
            self.worksheet.write_boolean(row, column, value, format_)
        elif isinstance(value, str):
            self.worksheet.write_string(row, column, cell_text(value), format_)
        elif isinstance(value, date):
            self.worksheet.write_datetime(row, column, value, format_)
        else:
            self.worksheet.write_number(row, column, float(value), format_)

    def _result(self, value: Plain) -> str | float | bool:
        """The result that stands with a formula."""
        plain = plain_value(value)
        if isinstance(plain, bool):
            return plain
        if isinstance(plain, date):
            return float(self.worksheet._convert_date_time(plain))  # knows which day zero holds
        if isinstance(plain, str):
            return cell_text(plain)
        return "" if plain is None else plain

    def _note(self, row: int, column: int, note: str) -> None:
        text = plain_text(note)
        lines = sum(max(1, len(textwrap.wrap(line, _NOTE_CHARACTERS))) for line in text.split("\n"))
        size = {"width": _NOTE_WIDTH, "height": (lines + 1) * _NOTE_LINE}
        style = {"author": AUTHOR, "font_name": self.formats.font, "font_size": 9, "color": "#FBF7E6"}
        self.worksheet.write_comment(row, column, text, size | style)

    def _pictures(self) -> None:
        for picture in self.sheet.pictures:
            options = {"image_data": io.BytesIO(picture.png), "description": plain_text(picture.description)}
            self.worksheet.insert_image(picture.row - 1, picture.column - 1, "picture.png", options)

    def _charts(self) -> None:
        for chart in self.sheet.charts:
            native = native_chart(self.workbook, self.worksheet.name, self.sheet, chart, self.formats.font)
            self.worksheet.insert_chart(
                chart.row - 1, chart.column - 1, native, {"description": plain_text(chart.title)}
            )


def _placed(sheet: ReportSheet) -> Iterator[tuple[int, int, ReportCell]]:
    """Row and column from 0, and the cell."""
    for row, cells in enumerate(sheet.rows):
        covered_to = 0
        for column, cell in enumerate(cells):
            if cell is None:
                continue
            if column < covered_to:
                where = f"{sheet.name}!{get_column_letter(column + 1)}{row + 1}"
                raise ValueError(f"{where} lies under a cell that spans it")
            covered_to = column + cell.columns
            yield row, column, cell


def needed_height(sheet: ReportSheet, row: int) -> float | None:
    """Height for a row with wrapped text or large type, which not every program fits itself [pt].

    None for a row of the usual height.

    Common practice, no source: a character takes about the width of a digit, a line 1.3 times its type size.
    """
    cells = [(column, cell) for column, cell in enumerate(sheet.rows[row - 1]) if cell is not None]
    height = max((_needed_by(sheet, column, cell) for column, cell in cells), default=0)
    return height if height > _USUAL_HEIGHT else None


def _needed_by(sheet: ReportSheet, column: int, cell: ReportCell) -> float:
    size = LOOK_STYLES[cell.look].size_pt
    widths: list[float] = [*sheet.column_widths, *[_DEFAULT_WIDTH] * (column + cell.columns)]
    room = sum(widths[column : column + cell.columns]) * 11 / size * (0.95 if LOOK_STYLES[cell.look].bold else 1.05)
    wraps = LOOK_STYLES[cell.look].wrap and isinstance(cell.value, str)
    lines = sum(_lines(line, room) for line in str(cell.value).split("\n")) if wraps else 1
    return math.ceil(lines * size * 1.3) + 2


def _lines(text: str, room: float) -> int:
    return max(1, len(textwrap.wrap(text, max(1, math.floor(room)))))
