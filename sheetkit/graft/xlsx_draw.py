"""Result sheets drawn as a workbook of their own, in memory, from which their parts are taken."""

import io
import math
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from string import ascii_letters, digits
from typing import Final

from openpyxl.utils.cell import get_column_letter, quote_sheetname
from xlsxwriter.utility import xl_range
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from sheetkit.graft.formula_names import renamed
from sheetkit.graft.looks import LOOK_STYLES
from sheetkit.graft.xlsx_cells import SheetCells, format_number
from sheetkit.graft.xlsx_charts import native_chart
from sheetkit.graft.xlsx_formats import Formats
from sheetkit.graft.xlsx_markup import attribute
from sheetkit.graft.xlsx_values import cell_text, plain_text
from sheetkit.report.model import HEADINGS, Area, ReportCell, ReportSheet, Table
from sheetkit.report.room import broken

AUTHOR: Final = "sheetkit"

_DEFAULT_WIDTH: Final = 8.43
_USUAL_HEIGHT: Final = 15.0
_MARGINS_IN: Final = {"left": 0.5, "right": 0.5, "top": 0.75, "bottom": 0.7}
_OF_A_NAME: Final = f"{ascii_letters}{digits}_."
_MOST_LINKS: Final = 65_530
"""Links of one sheet that Excel takes. Source: Microsoft, Excel specifications and limits."""
_NOTE_WIDTH: Final = 240
_NOTE_CHARACTERS: Final = 40
_NOTE_LINE: Final = 15


@dataclass(frozen=True, slots=True)
class Names:
    """What things are called in the maker's file.

    Attributes:
        tabs: by a result sheet's own name, the name of its tab
        tables: by a table's own name, its name in the file
        alike: nothing has another name there
    """

    tabs: Mapping[str, str]
    tables: Mapping[str, str]
    alike: bool = field(init=False, default=False)

    def __post_init__(self) -> None:
        pairs = (*self.tabs.items(), *self.tables.items())
        object.__setattr__(self, "alike", all(old == new for old, new in pairs))

    def of(self, formula: str) -> str:
        """A formula with sheets and tables named as they are in the file."""
        return formula if self.alike else renamed(formula, self.tabs, self.tables)


def _functions(formula: str) -> list[str]:
    """What stands before each bracket, up to what no name of a function holds."""
    pieces = formula.split("(")[:-1]
    return [piece[len(piece.rstrip(_OF_A_NAME)) :] for piece in pieces]


@lru_cache(maxsize=256)
def _old_functions(functions: frozenset[str]) -> bool:
    """Whether the file writes all these functions under their plain names; looking at each formula takes longer."""
    return all(Worksheet()._prepare_formula(f"{name}(1)", True) == f"{name}(1)" for name in functions)


@dataclass(frozen=True, slots=True)
class Drawn:
    """The workbook of result sheets.

    Attributes:
        package: its bytes; the sheets stand in the order they were given
        cells: the cells of each sheet, where the package was drawn without them
    """

    package: bytes
    cells: Sequence[SheetCells] = ()


class _Frame(Worksheet):  # type: ignore[misc] # the library carries no types
    """A sheet whose cells and links are written by us."""

    cells = "<sheetData/>"

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []

    def _write_sheet_data(self) -> None:
        self.fh.write(self.cells)

    def _write_hyperlinks(self) -> None:
        if self.links:
            self.fh.write(f"<hyperlinks>{''.join(self.links)}</hyperlinks>")


def draw(
    sheets: Sequence[ReportSheet], names: Names, *, font: str, day_zero_1904: bool, frame_only: bool = False
) -> Drawn:
    """Draw the sheets.

    Args:
        sheets: what to draw
        names: what things are called in the maker's file
        font: family of the type
        day_zero_1904: dates count from 1904
        frame_only: leave the cells out of the package, to be written with the styles of another one

    Raises:
        ValueError: a cell stands under another's span, or two spans, or a span and a table, overlap
    """
    target = io.BytesIO()
    options = {"in_memory": True, "use_future_functions": True, "date_1904": day_zero_1904}
    workbook = Workbook(target, options)
    formats = Formats(workbook, font)
    # The maker may have given a tab a name that the library refuses, so the names are set behind its back.
    worksheets = [workbook.add_worksheet(f"r{index}", worksheet_class=_Frame) for index, _ in enumerate(sheets)]
    for worksheet, sheet in zip(worksheets, sheets, strict=True):
        worksheet.name = names.tabs[sheet.name]
    drawn = [
        _SheetDrawing(workbook, worksheet, sheet, names, formats).draw()
        for worksheet, sheet in zip(worksheets, sheets, strict=True)
    ]
    if not frame_only:
        for worksheet, cells in zip(worksheets, drawn, strict=True):
            worksheet.cells = "".join(cells.rows())
    workbook.close()
    return Drawn(target.getvalue(), drawn)


@dataclass(slots=True)
class _SheetDrawing:
    """Draws one sheet."""

    workbook: Workbook
    worksheet: _Frame
    sheet: ReportSheet
    names: Names
    formats: Formats

    def draw(self) -> SheetCells:
        """Draw all but the cells."""
        for column, width in enumerate(self.sheet.column_widths):
            self.worksheet.set_column(column, column, width)
        self._set_up_view()
        self._set_up_print()
        self._set_up_extent()
        for table in self.sheet.tables:
            self._table(table)
        heights = self._around_cells()
        for row, height in heights.items():
            self.worksheet.set_row(row - 1, height)
        self._pictures()
        self._charts()
        day = self.worksheet._convert_date_time  # knows which day zero holds
        return SheetCells(self.sheet, self.formats, heights, self._formula, lambda value: float(day(value)))

    def _around_cells(self) -> dict[int, float]:
        """Formats, spans, links and notes of the cells; returns the heights of rows that are not usual [pt]."""
        heights: dict[int, float] = {}
        met: dict[tuple[str, str, type, bool], bool] = {}
        for row, cells in enumerate(self.sheet.rows):
            covered_to, height = 0, 0.0
            for column, cell in enumerate(cells):
                if cell is None:
                    continue
                if column < covered_to:
                    where = f"{self.sheet.name}!{get_column_letter(column + 1)}{row + 1}"
                    raise ValueError(f"{where} lies under a cell that spans it")
                key = (cell.look._value_, cell.number_format, cell.value.__class__, cell.link is None)
                if key not in met:
                    met[key] = _may_be_tall(cell)
                    format_number(self.formats, cell)
                if met[key]:
                    height = max(height, _needed_by(self.sheet, column, cell))
                if cell.columns > 1 or cell.link is not None or cell.note:
                    covered_to = column + cell.columns
                    self._beside(row, column, cell)
            given = self.sheet.row_heights.get(row + 1) or (height if height > _USUAL_HEIGHT else None)
            if given is not None:
                heights[row + 1] = given
        return heights

    def _beside(self, row: int, column: int, cell: ReportCell) -> None:
        """What a cell has that does not stand in it: its span, link and note."""
        if cell.columns > 1:
            span = Area(row + 1, column + 1, row + 1, column + cell.columns)
            if any(_overlap(span, table.area) for table in self.sheet.tables):
                raise ValueError(f"{self.sheet.name}!{get_column_letter(column + 1)}{row + 1} spans cells of a table")
            self.worksheet.merge_range(row, column, row, column + cell.columns - 1, "")
        if cell.link is not None:
            format_number(self.formats, cell)
            tab = self.names.tabs.get(cell.link.sheet, cell.link.sheet)
            target = attribute(f"{quote_sheetname(tab)}!{cell.link.cell}")
            place = f"{get_column_letter(column + 1)}{row + 1}"
            if len(self.worksheet.links) < _MOST_LINKS:
                self.worksheet.links.append(f'<hyperlink ref="{place}" location="{target}" display=" "/>')
        if cell.note:
            self._note(row, column, cell.note)

    def _set_up_extent(self) -> None:
        """Tell the library how far the cells reach."""
        self.worksheet._check_dimensions(0, 0)
        reach = [column + cell.columns for cells in self.sheet.rows for column, cell in _last(cells)]
        self.worksheet._check_dimensions(max(0, len(self.sheet.rows) - 1), max(reach, default=1) - 1)

    def _set_up_view(self) -> None:
        self.worksheet.hide_gridlines(2)
        self.worksheet.set_tab_color(f"#{self.sheet.tab_colour}")
        if self.sheet.frozen_rows or self.sheet.frozen_columns:
            self.worksheet.freeze_panes(self.sheet.frozen_rows, self.sheet.frozen_columns)

    def _set_up_print(self) -> None:
        if self.sheet.landscape:
            self.worksheet.set_landscape()
        self.worksheet.fit_to_pages(1, 0)
        self.worksheet.set_h_pagebreaks([row - 1 for row in self.sheet.page_starts])
        self.worksheet.set_margins(**_MARGINS_IN)
        self.worksheet.set_header("&L&9&A&R&9&F")
        self.worksheet.set_footer("&L&9&D&R&9Page &P of &N")

    def _table(self, table: Table) -> None:
        """The library is told of two rows only: it would keep a note of each cell of the others."""
        area = table.area
        headings = self.sheet.rows[area.first_row - 1][area.first_column - 1 : area.last_column]
        texts = [cell_text(str(cell.value)) if cell is not None else "" for cell in headings]
        result = self.worksheet.add_table(
            area.first_row - 1,
            area.first_column - 1,
            min(area.first_row, area.last_row - 1),
            area.last_column - 1,
            {
                "name": self.names.tables[table.name],
                "style": None,
                "autofilter": table.filtered,
                "columns": [{"header": text} for text in texts],
            },
        )
        if result != 0 or any(_overlap(area, other.area) for other in self.sheet.tables if other is not table):
            raise ValueError(f"no table can be made of {table.name}")
        made = self.worksheet.tables[-1]
        extent = xl_range(area.first_row - 1, area.first_column - 1, area.last_row - 1, area.last_column - 1)
        made |= {key: extent for key in ("range", "a_range", "autofilter") if made.get(key)}

    def _formula(self, formula: str) -> str:
        """A formula of a cell as the file is to hold it, without its leading "="."""
        ours = self.names.of(formula)
        if _old_functions(frozenset(_functions(ours))):
            return ours[1:]
        return str(self.worksheet._prepare_formula(ours, True))

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


def _overlap(one: Area, other: Area) -> bool:
    rows = one.first_row <= other.last_row and other.first_row <= one.last_row
    return rows and one.first_column <= other.last_column and other.first_column <= one.last_column


def _last(cells: Sequence[ReportCell | None]) -> list[tuple[int, ReportCell]]:
    """The last cell of a row with its column from 0, if the row holds any."""
    return [(column, cell) for column in (len(cells) - 1,) if column >= 0 and (cell := cells[column]) is not None]


def needed_height(sheet: ReportSheet, row: int) -> float | None:
    """Height for a row with wrapped text or large type, which not every program fits itself [pt].

    None for a row of the usual height.

    Common practice, no source: a character takes about the width of a digit, a line 1.3 times its type size.
    """
    cells = [(column, cell) for column, cell in enumerate(sheet.rows[row - 1]) if cell is not None]
    height = max((_needed_by(sheet, column, cell) for column, cell in cells), default=0)
    return height if height > _USUAL_HEIGHT else None


def _may_be_tall(cell: ReportCell) -> bool:
    style = LOOK_STYLES[cell.look]
    return (style.wrap and isinstance(cell.value, str)) or _line_height(style.size_pt) > _USUAL_HEIGHT


def _needed_by(sheet: ReportSheet, column: int, cell: ReportCell) -> float:
    style = LOOK_STYLES[cell.look]
    if not style.wrap or not isinstance(cell.value, str):
        return _line_height(style.size_pt)
    widths: Sequence[float] = sheet.column_widths
    if column + cell.columns > len(widths):
        widths = [*widths, *[_DEFAULT_WIDTH] * (column + cell.columns)]
    if cell.look in HEADINGS and cell.columns == 1:
        return _line_height(style.size_pt, len(broken(cell.value, widths[column])))
    room = sum(widths[column : column + cell.columns]) * 11 / style.size_pt * (0.95 if style.bold else 1.05)
    return _line_height(style.size_pt, sum(_lines(line, room) for line in cell.value.split("\n")))


def _line_height(size_pt: float, lines: int = 1) -> float:
    return math.ceil(lines * size_pt * 1.3) + 2


def _lines(text: str, room: float) -> int:
    width = max(1, math.floor(room))
    if len(text) <= width and "\t" not in text:
        return 1
    return max(1, len(textwrap.wrap(text, width)))
