"""One pass over a sheet part of .xlsx: rows, cells, formulas, merged areas, and what is hidden."""

from collections.abc import Callable
from dataclasses import replace

from openpyxl.formula.tokenizer import TokenizerError
from openpyxl.formula.translate import Translator, TranslatorError
from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import CellProblem
from sheetkit.reading.limits import FIRST_ROWS, MAX_FORMULA, MAX_MERGED, MAX_SHARED_TEXT, Effort, sheet_too_large
from sheetkit.reading.model import Cell, MergedArea, Sheet
from sheetkit.reading.safe_xml import Attributes, EnoughRead
from sheetkit.reading.xlsx_names import LAST_COLUMN, LAST_ROW, both_dialects, column_of, is_true, split_address
from sheetkit.reading.xlsx_rows import PlainCell, attributes_of
from sheetkit.reading.xlsx_text import TextTarget
from sheetkit.reading.xlsx_values import RawCell, SheetContext, plain_cell, understand


class SheetPart(TextTarget):
    """Fills a `Sheet` from the events of its part.

    Args:
        sheet: the sheet to fill
        context: what it needs of its workbook
        comments: comments by (row, column)
        effort: what reading the workbook has cost so far
        wanted: told the sheet by its first rows, says whether the others are wanted

    Attributes:
        problems: what had to be left out
        full: no further cell is kept
    """

    def __init__(
        self,
        sheet: Sheet,
        context: SheetContext,
        comments: dict[tuple[int, int], str],
        effort: Effort,
        wanted: Callable[[Sheet], bool] | None = None,
    ) -> None:
        super().__init__()
        self.problems: list[CellProblem] = []
        self.full = False
        self._sheet, self._context, self._comments, self._effort = sheet, context, comments, effort
        self._wanted = wanted
        self._formulas = _SharedFormulas()
        self._row = self._column = 0
        self._raw: RawCell | None = None
        self._formula: Attributes = {}
        self.starts.update(
            both_dialects(
                {
                    "row": self._start_row,
                    "c": self._start_cell,
                    "v": self._start_text,
                    "f": self._start_formula,
                    "is": lambda _: self.start_item(),
                    "col": self._columns,
                    "mergeCell": self._merge,
                }
            )
        )
        self.ends.update(
            both_dialects(
                {
                    "c": self._end_cell,
                    "v": self._end_value,
                    "f": self._end_formula,
                    "is": self._end_inline,
                }
            )
        )

    def take_row(self, number: bytes, attributes: bytes, cells: list[PlainCell]) -> bool:
        """Take a row of plain cells; False, and nothing taken, where the parser has to look at it."""
        row, comments = int(number), self._comments
        if row > FIRST_ROWS and self._wanted is not None and not self._is_wanted():
            return False
        if row > LAST_ROW or self._effort.full or not self._effort.has_room(len(cells)):
            return False
        taken: list[Cell] = []
        for letters, own_row, style, kind, value in cells:
            column = column_of(letters.decode())
            if own_row != number or not column or (comments and (row, column) in comments):
                return False
            cell = plain_cell(row, column, style, kind, value, self._context) if value else None
            if cell is not None:
                taken.append(cell)
        self._effort.visit(len(cells))
        self._start_row({"r": number.decode()} | attributes_of(attributes))
        self._effort.kept += len(taken)
        for cell in taken:
            self._sheet.cells[row, cell.column] = cell
        return True

    def finish(self) -> None:
        """Give the followers of shared formulas their own texts; call once after the pass."""
        for place, text in self._formulas.texts().items():
            if place in self._sheet.cells:
                self._sheet.cells[place] = replace(self._sheet.cells[place], formula=text)
        for place, comment in self._comments.items():
            if place not in self._sheet.cells:
                cell = understand(RawCell(*place, "", ""), self._context, comment)
                if cell is not None:
                    self._sheet.cells[place] = cell

    def _start_row(self, attributes: Attributes) -> None:
        number = attributes.get("r", "")
        self._row = int(number) if number.isdecimal() and len(number) <= 7 else self._row + 1
        self._column = 0
        if self._row > FIRST_ROWS and self._wanted is not None and not self._is_wanted():
            raise EnoughRead
        self._effort.visit()
        if is_true(attributes.get("hidden")) or _is_zero(attributes.get("ht")):
            self._sheet.hidden_rows.add(self._row)

    def _is_wanted(self) -> bool:
        """Whether more than the first rows are wanted, which is asked once."""
        if self._wanted is not None and not self._sheet.cut_short:
            self._sheet.cut_short = self.full = not self._wanted(self._sheet)
            self._wanted = self._wanted if self.full else None
        return not self._sheet.cut_short

    def _start_cell(self, attributes: Attributes) -> None:
        self._effort.visit()
        address = attributes.get("r")
        row, column = split_address(address) if address else (self._row, self._column + 1)
        self._column = column
        self._raw = None
        if 1 <= row <= LAST_ROW and 1 <= column <= LAST_COLUMN:
            self._raw = RawCell(row, column, attributes.get("s", ""), attributes.get("t", ""))

    def _end_cell(self) -> None:
        raw, self._raw = self._raw, None
        if raw is None:
            return
        place = (raw.row, raw.column)
        cell = understand(raw, self._context, self._comments.get(place))
        if cell is None:
            return
        if self._effort.full:
            self.problems.append(sheet_too_large(self._sheet.name, len(self._sheet.cells)))
            self.full = True
            raise EnoughRead
        self._effort.kept += 1
        self._sheet.cells[place] = cell

    def _start_text(self, _: Attributes) -> None:
        self.text = []

    def _end_value(self) -> None:
        text = self.take_text()
        if self._raw is not None:
            self._raw.value = text

    def _end_inline(self) -> None:
        if self._raw is not None:
            self._raw.inline = self.item()

    def _start_formula(self, attributes: Attributes) -> None:
        self.text = []
        self._formula = dict(attributes)

    def _end_formula(self) -> None:
        text = self.take_text()
        if self._raw is None or self._formula.get("t") == "dataTable":
            return
        self._raw.formula = "=" + text
        if self._formula.get("t") == "shared":
            self._formulas.add(self._raw.row, self._raw.column, self._formula.get("si", ""), text)

    def _columns(self, attributes: Attributes) -> None:
        first, last = attributes.get("min", ""), attributes.get("max", "")
        hidden = is_true(attributes.get("hidden")) or _is_zero(attributes.get("width"))
        self._effort.visit()
        if hidden and first.isdecimal() and last.isdecimal() and len(self._sheet.hidden_columns) < LAST_COLUMN:
            self._sheet.hidden_columns.update(range(max(1, int(first)), min(int(last), LAST_COLUMN) + 1))

    def _merge(self, attributes: Attributes) -> None:
        start, _, end = attributes.get("ref", "").replace("$", "").partition(":")
        (top, left), (bottom, right) = split_address(start), split_address(end)
        is_area = 0 < top <= bottom and 0 < left <= right and (top, left) != (bottom, right)
        if is_area and len(self._sheet.merged) < MAX_MERGED:
            self._sheet.merged.append(MergedArea(top, left, bottom, right))


class _SharedFormulas:
    """Formulas that the file writes once for a run of cells."""

    def __init__(self) -> None:
        self._masters: dict[str, tuple[int, int, str]] = {}
        self._followers: list[tuple[int, int, str]] = []

    def add(self, row: int, column: int, group: str, text: str) -> None:
        """A member of a group: the one with a text gives it, the others follow."""
        if text:
            self._masters.setdefault(group, (row, column, text))
        else:
            self._followers.append((row, column, group))

    def texts(self) -> dict[tuple[int, int], str]:
        """Each follower's own formula; left out where its group has no text, or where they would fill the memory."""
        translators = {group: _translator(*master) for group, master in self._masters.items()}
        found, written = {}, 0
        for row, column, group in self._followers:
            translator = translators.get(group)
            if translator is not None and written < MAX_SHARED_TEXT:
                found[row, column] = _translate(translator, row, column)
                written += len(found[row, column])
        return found


def _translator(row: int, column: int, text: str) -> Translator | None:
    """What moves a formula about; None where it is too long or no formula at all."""
    if len(text) > MAX_FORMULA:
        return None
    try:
        return Translator("=" + text, origin=f"{get_column_letter(column)}{row}")
    except (TokenizerError, IndexError, ValueError):
        return None


def _translate(translator: Translator, row: int, column: int) -> str:
    try:
        return str(translator.translate_formula(f"{get_column_letter(column)}{row}"))
    except TranslatorError:
        return "=#REF!"


def _is_zero(text: str | None) -> bool:
    try:
        return text is not None and float(text) == 0
    except ValueError:
        return False
