"""One pass over content.xml of an .ods: tables, runs of rows and cells, comments, and what is hidden."""

import re
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Final

from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import CellProblem
from sheetkit.reading.limits import (
    FIRST_ROWS,
    MAX_MERGED,
    MAX_RUN_CELLS,
    MAX_RUN_COLUMNS,
    MAX_RUN_ROWS,
    Effort,
    run_too_long,
    sheet_too_large,
)
from sheetkit.reading.marks import OWN_ROWS, is_own_text, key_of_mark
from sheetkit.reading.model import Cell, MergedArea, Sheet, Visibility
from sheetkit.reading.ods_names import LAST_COLUMN, LAST_ROW, calcext, count, office, sheet_of_address, table, text
from sheetkit.reading.ods_styles import Styles
from sheetkit.reading.ods_text import CellTexts
from sheetkit.reading.ods_values import understand
from sheetkit.reading.safe_xml import Attributes, Target

_STYLE: Final = table("style-name")
_DEFAULT_STYLE: Final = table("default-cell-style-name")
_COLUMNS_REPEATED: Final = table("number-columns-repeated")
_ROWS_REPEATED: Final = table("number-rows-repeated")
_COLUMNS_SPANNED: Final = table("number-columns-spanned")
_ROWS_SPANNED: Final = table("number-rows-spanned")
_VISIBILITY: Final = table("visibility")
_DAY_ZERO: Final = datetime(1899, 12, 30)  # noqa: DTZ001 - what the standard assumes where no day is given
_CACHE_OF_OTHER_FILE: Final = re.compile(r"^'(?:[^']|'')*'#")
_HIDDEN: Final = {"collapse", "filter"}
_DRAWING: Final = "{urn:oasis:names:tc:opendocument:xmlns:drawing:1.0}"
_IN_CELL: Final = {text("p"), text("h"), text("list"), office("annotation")}
_NO_CELLS_INSIDE: Final = (
    table("tracked-changes"),
    table("dde-links"),
    table("content-validations"),
    table("shapes"),
    table("data-pilot-tables"),
    office("forms"),
    calcext("conditional-formats"),
)


class ContentPart(Target):
    """Fills sheets from the events of content.xml.

    Attributes:
        sheets: in the file's order
        problems: what could not be used
        marks: result keys by the lower-case name of the sheet that the mark points at
        own_words: names of the sheets whose first rows say that they were written by us
        day_zero: the day from which dates count

    Args:
        styles: the styles of styles.xml; those of content.xml are added
        effort: what reading the workbook has cost so far
        wanted: told a sheet by its first rows, says whether the others are wanted
        pass_over_ours: leave out what follows in a sheet whose first rows say that it was written by us; whether it
            carries our mark as well, and so is ours, shows only behind all sheets
    """

    def __init__(
        self,
        styles: Styles,
        effort: Effort,
        wanted: Callable[[Sheet], bool] | None = None,
        *,
        pass_over_ours: bool = False,
    ) -> None:
        super().__init__()
        self.sheets: list[Sheet] = []
        self.problems: list[CellProblem] = []
        self.marks: dict[str, str] = {}
        self.own_words: set[str] = set()
        self.day_zero = _DAY_ZERO
        self._styles, self._effort = styles, effort
        self._texts = CellTexts(self, styles)
        self._sheet: Sheet | None = None
        self._position = -1
        self._body_depth = self._cell_depth = -9
        self._full = self._left_out = False
        self._pass_over_ours = pass_over_ours
        self._wanted, self._asked = wanted, False
        # Rows and cells may stand where no table is; they are passed over.
        self._row, self._column, self._row_count, self._row_style = 0, 0, 1, ""
        self._column_ends: list[int] = []
        self._column_styles: list[str] = []
        self._row_cells: list[tuple[int, Cell]] = []
        self._row_attributes: Attributes = {}
        self._attributes: Attributes = {}
        styles.listen(self)
        self._texts.listen()
        self._listen()

    def start(self, tag: str, attributes: Attributes) -> None:
        """An element begins; inside a cell only its texts count, never what is drawn there."""
        inside_cell = self._depth == self._cell_depth and tag not in _IN_CELL
        super().start(tag, attributes)
        if not self._skipped and (inside_cell or tag.startswith(_DRAWING)):
            self.skip()

    def _listen(self) -> None:
        self.starts |= {
            office("spreadsheet"): self._start_body,
            table("null-date"): self._null_date,
            table("table"): self._start_table,
            table("scenario"): self._leave_table_out,
            table("table-column"): self._columns,
            table("table-row"): self._start_row,
            table("table-cell"): self._start_cell,
            table("covered-table-cell"): self._start_cell,
            table("named-range"): self._named_range,
        }
        self.starts |= dict.fromkeys(_NO_CELLS_INSIDE, lambda _: self.skip())
        self.ends |= {
            table("table"): self._end_table,
            table("table-row"): self._end_row,
            table("table-cell"): self._end_cell,
            table("covered-table-cell"): self._end_cell,
        }

    def _start_body(self, _: Attributes) -> None:
        self._body_depth = self._depth

    def _null_date(self, attributes: Attributes) -> None:
        if attributes.get(table("date-value"), "").startswith("1904"):
            self.day_zero = datetime(1904, 1, 1)  # noqa: DTZ001

    def _named_range(self, attributes: Attributes) -> None:
        key = key_of_mark(attributes.get(table("name"), ""))
        sheet = sheet_of_address(attributes.get(table("cell-range-address"), ""))
        if key is not None and sheet is not None and self._depth == self._body_depth + 2:
            self.marks.setdefault(sheet.lower(), key)

    def _start_table(self, attributes: Attributes) -> None:
        if self._depth != self._body_depth + 1:
            self.skip()
            return
        self._position += 1
        name = attributes.get(table("name"), "")
        if _CACHE_OF_OTHER_FILE.match(name):
            self.skip()
            return
        shown = self._styles.shown("table", attributes.get(_STYLE, ""))
        self._sheet = Sheet(name, self._position, visibility=Visibility.SHOWN if shown else Visibility.HIDDEN)
        self._row = self._column = 0
        self._column_ends = []
        self._column_styles = []
        self._full = self._left_out = self._asked = False

    def _leave_table_out(self, _: Attributes) -> None:
        """A scenario is a set of values to try, not a sheet."""
        self._sheet = None
        self.skip(2)

    def _end_table(self) -> None:
        if self._sheet is not None:
            self.sheets.append(self._sheet)
        self._sheet = None

    def _columns(self, attributes: Attributes) -> None:
        start = self._column_ends[-1] if self._column_ends else 0
        if start >= LAST_COLUMN:
            return
        end = min(start + count(attributes.get(_COLUMNS_REPEATED)), LAST_COLUMN)
        self._column_ends.append(end)
        self._column_styles.append(attributes.get(_DEFAULT_STYLE, ""))
        if self._sheet is not None and self._is_hidden("table-column", attributes):
            self._sheet.hidden_columns.update(range(start + 1, end + 1))

    def _start_row(self, attributes: Attributes) -> None:
        self._effort.visit()
        self._row += 1
        self._row_attributes = attributes
        self._row_count = count(attributes.get(_ROWS_REPEATED))
        self._row_style = attributes.get(_DEFAULT_STYLE, "")
        self._row_cells = []
        self._column = 0
        if self._row > FIRST_ROWS and not self._asked:
            self._asked = True
            self._ask_for_more()
        if (self._full or self._left_out) and self._row > OWN_ROWS:
            self.skip()

    def _ask_for_more(self) -> None:
        if self._sheet is not None and self._wanted is not None and not self._left_out:
            self._sheet.cut_short = self._left_out = not self._wanted(self._sheet)

    def _end_row(self) -> None:
        if self._sheet is None:
            return
        rows = min(self._row_count, LAST_ROW - self._row + 1)
        if self._row_cells:
            if is_own_text(self._row_cells[0][1]):
                self.own_words.add(self._sheet.name)
                self._left_out = self._pass_over_ours
            width = sum(min(repeats, MAX_RUN_COLUMNS) for repeats, _ in self._row_cells)
            kept = min(rows, MAX_RUN_ROWS, max(1, MAX_RUN_CELLS // width))
            self._keep(range(self._row, self._row + kept))
            self._say_what_is_left_out(rows, kept)
        if self._is_hidden("table-row", self._row_attributes):
            self._sheet.hidden_rows.update(range(self._row, self._row + min(rows, MAX_RUN_ROWS)))
        self._row += self._row_count - 1

    def _keep(self, rows: range) -> None:
        for repeats, cell in self._row_cells:
            if repeats == 1 and len(rows) == 1:
                self._put(cell)
                continue
            for row in rows:
                for column in range(cell.column, cell.column + min(repeats, MAX_RUN_COLUMNS)):
                    self._put(
                        cell if (row, column) == (cell.row, cell.column) else replace(cell, row=row, column=column)
                    )

    def _put(self, cell: Cell) -> None:
        if self._sheet is None or self._full:
            return
        if self._effort.full:
            self.problems.append(sheet_too_large(self._sheet.name, len(self._sheet.cells)))
            self._full = True
            return
        self._effort.kept += 1
        self._sheet.cells[cell.row, cell.column] = cell

    def _say_what_is_left_out(self, rows: int, kept: int) -> None:
        longest = max(repeats for repeats, _ in self._row_cells)
        if self._sheet is None or (kept == rows and longest <= MAX_RUN_COLUMNS):
            return
        first, last = self._row_cells[0][1].column, max(cell.column + repeats - 1 for repeats, cell in self._row_cells)
        area = f"{get_column_letter(first)}{self._row}:{get_column_letter(last)}{self._row + rows - 1}"
        columns = f" and at most {MAX_RUN_COLUMNS:,} columns of each" if longest > MAX_RUN_COLUMNS else ""
        self.problems.append(run_too_long(self._sheet.name, area, f"the first {kept:,} of {rows:,} rows{columns}"))

    def _start_cell(self, attributes: Attributes) -> None:
        self._cell_depth = self._depth
        self._attributes = attributes
        self._texts.start_cell()
        self._effort.visit()

    def _end_cell(self) -> None:
        self._cell_depth = -9
        column = self._column + 1
        repeats = min(count(self._attributes.get(_COLUMNS_REPEATED)), LAST_COLUMN)
        self._column += repeats
        if self._sheet is None or self._row > LAST_ROW or column > LAST_COLUMN:
            return
        self._merge(column)
        look = self._styles.look(self._style_of(column))
        cell = understand((self._row, column), self._attributes, self._texts.take(), look, self.day_zero)
        if cell is not None:
            self._row_cells.append((min(repeats, LAST_COLUMN - column + 1), cell))

    def _style_of(self, column: int) -> str:
        """The cell's own style, or its row's, or its column's."""
        own = self._attributes.get(_STYLE) or self._row_style
        if own:
            return own
        at = bisect_left(self._column_ends, column)
        return self._column_styles[at] if at < len(self._column_styles) else ""

    def _merge(self, column: int) -> None:
        if _COLUMNS_SPANNED not in self._attributes and _ROWS_SPANNED not in self._attributes:
            return
        height = count(self._attributes.get(_ROWS_SPANNED))
        width = count(self._attributes.get(_COLUMNS_SPANNED))
        if self._sheet is not None and (height > 1 or width > 1) and len(self._sheet.merged) < MAX_MERGED:
            bottom, right = min(self._row + height - 1, LAST_ROW), min(column + width - 1, LAST_COLUMN)
            self._sheet.merged.append(MergedArea(self._row, column, bottom, right))

    def _is_hidden(self, family: str, attributes: Attributes) -> bool:
        by_style = not self._styles.shown(family, attributes.get(_STYLE, ""))
        return by_style or attributes.get(_VISIBILITY) in _HIDDEN
