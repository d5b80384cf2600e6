"""The cells of a result sheet as the rows of a sheet part, written straight: the library takes ten times as long."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Final
from xml.sax.saxutils import escape

from openpyxl.utils.cell import column_index_from_string, get_column_letter

from sheetkit.graft.looks import INSET
from sheetkit.graft.xlsx_formats import Formats
from sheetkit.graft.xlsx_values import NO_NUMBER, cell_text
from sheetkit.report.model import ReportCell, ReportSheet

_DATE_FORMAT: Final = "yyyy-mm-dd"
_PIXELS_PER_POINT: Final = 4 / 3
_USUAL: Final = "General"


def format_number(formats: Formats, cell: ReportCell) -> int:
    """Number of the cell's format as drawn."""
    dated = isinstance(cell.value, date) and cell.number_format == _USUAL
    number_format = _DATE_FORMAT if dated else cell.number_format
    inset = cell.look in INSET and isinstance(cell.value, str)
    return int(formats.of(cell.look, number_format, link=cell.link is not None, inset=inset)._get_xf_index())


@dataclass(slots=True)
class SheetCells:
    """What is needed to write the cells of one sheet.

    Attributes:
        sheet: the sheet
        formats: gives out its formats
        heights: heights of rows [pt], by row number; the others have the usual height
        formula: a cell's formula as the file is to hold it, without its leading "="
        serial: the number that stands for a date
    """

    sheet: ReportSheet
    formats: Formats
    heights: dict[int, float]
    formula: Callable[[str], str]
    serial: Callable[[date], float]
    _texts: dict[str, str] = field(default_factory=dict)

    def rows(self, styles: Sequence[int] | None = None) -> Iterator[str]:
        """The element that holds the rows, in pieces.

        Args:
            styles: by format number as drawn, the one to write; None writes the numbers as drawn
        """
        rows = self.sheet.rows
        letters = [get_column_letter(column) for column in range(1, max(map(len, rows), default=0) + 1)]
        known: dict[tuple[str, str, type, bool], str] = {}
        yield "<sheetData>"
        for number, cells in enumerate(rows, 1):
            height = self.heights.get(number)
            if not cells and height is None:
                continue
            lines = [f'<row r="{number}">' if height is None else _tall_row(number, height)]
            for letter, cell in zip(letters, cells, strict=False):
                if cell is None:
                    continue
                value = cell.value
                kind = value.__class__
                key = (cell.look._value_, cell.number_format, kind, cell.link is None)
                style = known.get(key)
                if style is None:
                    drawn = format_number(self.formats, cell)
                    style = known[key] = str(drawn if styles is None else styles[drawn])
                # Most cells are plain numbers; whatever else a cell may be is looked at apart.
                if kind is float and cell.formula is None and cell.columns == 1 and value - value == 0.0:  # type: ignore[operator]
                    lines.append(f'<c r="{letter}{number}" s="{style}"><v>{value:.16G}</v></c>')
                else:
                    lines.append(self._cell(cell, letter, number, style))
            lines.append("</row>")
            yield "".join(lines)
        yield "</sheetData>"

    def _cell(self, cell: ReportCell, letter: str, number: int, style: str) -> str:
        content = (
            self._content(cell) if cell.formula is None else self._formula(cell, cell.formula, f"{letter}{number}")
        )
        own = f'<c r="{letter}{number}" s="{style}"{content}'
        if cell.columns == 1:
            return own
        first = column_index_from_string(letter)
        rest = range(first + 1, first + cell.columns)
        return own + "".join(f'<c r="{get_column_letter(column)}{number}" s="{style}"/>' for column in rest)

    def _content(self, cell: ReportCell) -> str:
        value = cell.value
        if value is None:
            return "/>"
        if isinstance(value, bool):
            return f' t="b"><v>{int(value)}</v></c>'
        if isinstance(value, str):
            return self._text(value)
        if isinstance(value, date):
            return f"><v>{self.serial(value):.16G}</v></c>"
        return f"><v>{float(value):.16G}</v></c>" if math.isfinite(value) else self._text(NO_NUMBER)

    def _text(self, text: str) -> str:
        known = self._texts.get(text)
        if known is None:
            kept = ' xml:space="preserve"' if text != text.strip() else ""
            known = f' t="inlineStr"><is><t{kept}>{escape(cell_text(text))}</t></is></c>'
            self._texts[text] = known
        return known

    def _formula(self, cell: ReportCell, written: str, place: str) -> str:
        array = f' t="array" ref="{place}"' if cell.array else ""
        formula = f"<f{array}>{escape(self.formula(written))}</f>"
        value = cell.value
        if isinstance(value, bool):
            return f' t="b">{formula}<v>{int(value)}</v></c>'
        if isinstance(value, date):
            value = self.serial(value)
        elif isinstance(value, float) and not math.isfinite(value):
            value = NO_NUMBER
        if isinstance(value, str) and value:
            return f' t="str">{formula}<v>{escape(cell_text(value))}</v></c>'
        return f">{formula}<v>{'' if value is None else value}</v></c>"


def _tall_row(number: int, height: float) -> str:
    """A row of its own height, in whole pixels as the programs keep it."""
    pixels = int(height * _PIXELS_PER_POINT + 0.5)
    return f'<row r="{number}" ht="{pixels / _PIXELS_PER_POINT:.16g}" customHeight="1">'
