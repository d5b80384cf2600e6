"""The rows of a result sheet written straight as XML for an .ods file: a tree of elements takes ten times as long."""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Final
from xml.sax.saxutils import escape

from odf.element import Element
from odf.namespaces import OFFICENS, SVGNS, TABLENS, TEXTNS, XLINKNS
from openpyxl.utils.cell import get_column_letter

from sheetkit.graft.ods_codes import Shape, sections_of
from sheetkit.graft.ods_formula import Formulas, quoted_sheet
from sheetkit.graft.ods_fragment import ATTRIBUTE_ESCAPES, TEXT_ESCAPES, written
from sheetkit.graft.ods_shown import shown
from sheetkit.graft.ods_styles import StyleBook, mm, number_format, spanning_height_pt
from sheetkit.report.model import Link, ReportCell, ReportSheet

CELL_NAMESPACES: Final = (TABLENS, OFFICENS, TEXTNS)
"""What the rows use besides what notes, links and frames use."""

_NOTE_WIDTH_MM: Final = 62.0
_NOTE_CHARACTERS: Final = 36
_NOTE_LINE_MM: Final = 4.4
_RUNS: Final = re.compile(r"  +|^ | $|\t")
_NOT_IN_XML: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")

Place = tuple[int, int]
"""Row and column, both from 1."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """What drawing a sheet needs to know beside the sheet.

    Attributes:
        tab: the name its tab has
        names: by a result sheet's own name, in lower case, the name its tab has
        styles: gives out style names
        shown: the tab is shown
        page: master page for printing, None for the file's usual one
        frames: charts and pictures, by the cell they hang on
    """

    tab: str
    names: Mapping[str, str]
    styles: StyleBook
    shown: bool = True
    page: str | None = None
    frames: Mapping[Place, Sequence[Element]] = field(default_factory=dict)

    def tab_of(self, sheet: str) -> str:
        """The name that the tab of this sheet has now."""
        return self.names.get(sheet.casefold(), sheet)


class RowWriter:
    """Writes the rows of one sheet.

    Args:
        sheet: the sheet
        drawing: what there is to know beside it
        prefixes: prefix by namespace where the rows go
    """

    def __init__(self, sheet: ReportSheet, drawing: Drawing, prefixes: Mapping[str, str]) -> None:
        self._sheet, self._drawing, self._prefixes = sheet, drawing, prefixes
        self._table, self._office = prefixes[TABLENS], prefixes[OFFICENS]
        self._text, self._xlink = prefixes[TEXTNS], prefixes.get(XLINKNS, "")
        self._styles: dict[tuple[str, str, type, bool], str] = {}
        self._percent: dict[str, bool] = {}
        self._formulas = Formulas(drawing.tab_of, lambda text: escape(text, ATTRIBUTE_ESCAPES))
        self._plain: dict[str, str] = {}

    def rows(self, width: int, height: int) -> Iterator[str]:
        """The rows from top to bottom, those that every page repeats gathered in one element."""
        first, last = self._sheet.repeated_rows or (0, 0)
        for number in range(1, height + 1):
            if number == first:
                yield f"<{self._table}:table-header-rows>"
            yield self._row(number, width)
            if number == last:
                yield f"</{self._table}:table-header-rows>"

    def _row(self, number: int, width: int) -> str:
        rows = self._sheet.rows
        cells = rows[number - 1] if number <= len(rows) else []
        height = self._sheet.row_heights.get(number) or spanning_height_pt(cells, self._sheet.column_widths)
        style = self._drawing.styles.row(height, new_page=number in self._sheet.page_starts)
        content = "".join(self._cells(cells, number, width))
        return f'<{self._table}:table-row {self._table}:style-name="{style}">{content}</{self._table}:table-row>'

    def _cells(self, cells: Sequence[ReportCell | None], row: int, width: int) -> Iterator[str]:
        """The row's cells from left to right, runs of empty ones made one."""
        covered_to = empty = 0
        frames = self._drawing.frames
        for column in range(1, width + 1):
            cell = cells[column - 1] if column <= len(cells) else None
            hung = frames.get((row, column), ()) if frames else ()
            if column > covered_to and cell is None and not hung:
                empty += 1
                continue
            if empty:
                yield self._empty(empty)
                empty = 0
            inside = "".join(written(frame, self._prefixes) for frame in hung)
            if column <= covered_to:
                if cell is not None:
                    where = f"{self._drawing.tab}!{get_column_letter(column)}{row}"
                    raise ValueError(f"{where} lies under a cell that spans it")
                yield self._element("covered-table-cell", "", inside)
            elif cell is None:
                yield self._element("table-cell", "", inside)
            else:
                covered_to = column + cell.columns - 1
                yield self._cell(cell, inside)
        if empty:
            yield self._empty(empty)

    def _element(self, name: str, attributes: str, inside: str) -> str:
        tag = f"{self._table}:{name}"
        return f"<{tag}{attributes}>{inside}</{tag}>" if inside else f"<{tag}{attributes}/>"

    def _empty(self, count: int) -> str:
        return self._element("table-cell", self._repeated(count) if count > 1 else "", "")

    def _repeated(self, count: int) -> str:
        return f' {self._table}:number-columns-repeated="{count}"'

    def _cell(self, cell: ReportCell, inside: str) -> str:
        """One cell with its value, formula, note and link."""
        table, value = self._table, cell.value
        key = (cell.look._value_, cell.number_format, value.__class__, cell.link is None)
        style = self._styles.get(key)
        if style is None:
            style = self._styles[key] = self._drawing.styles.cell(cell)
        attributes = f' {table}:style-name="{style}"'
        if value.__class__ is float and cell.formula is None and cell.note is None and cell.columns == 1:
            # Most cells are plain numbers; whatever else a cell may be is looked at apart.
            said = self._paragraphs(shown(value, cell.number_format), cell.link)
            stored = self._stored(value, cell.number_format)
            return f"<{table}:table-cell{attributes}{stored}>{said}{inside}</{table}:table-cell>"
        if cell.columns > 1:
            attributes += f' {table}:number-columns-spanned="{cell.columns}" {table}:number-rows-spanned="1"'
        if cell.formula is not None:
            attributes += f' {table}:formula="{self._formulas.of(cell.formula)}"'
            if cell.array:
                attributes += f' {table}:number-matrix-columns-spanned="1" {table}:number-matrix-rows-spanned="1"'
            value = "" if value is None else value
        code = number_format(cell)
        content = ""
        if cell.note is not None:
            content = self._note(cell.note)
        if value is not None:
            attributes += self._stored(value, code)
            content += self._paragraphs(shown(value, code), cell.link)
        return self._element("table-cell", attributes, content + inside)

    def _stored(self, value: str | float | bool | date, code: str) -> str:
        """The attributes that hold the value."""
        office = self._office
        if isinstance(value, str):
            kept = escape(clean(shown(value, code)), ATTRIBUTE_ESCAPES) if "\t" in value else None
            return f' {office}:value-type="string"' + (f' {office}:string-value="{kept}"' if kept is not None else "")
        if isinstance(value, bool):
            return f' {office}:value-type="boolean" {office}:boolean-value="{"true" if value else "false"}"'
        if isinstance(value, date):
            moment = value.isoformat(timespec="seconds") if isinstance(value, datetime) else value.isoformat()
            return f' {office}:value-type="date" {office}:date-value="{moment}"'
        if not math.isfinite(value):
            raise ValueError(f"{value} is no number that a cell can hold")
        percent = self._percent.get(code)
        if percent is None:
            percent = self._percent[code] = sections_of(code)[0].shape is Shape.PERCENT
        return f' {office}:value-type="{"percentage" if percent else "float"}" {office}:value="{value!r}"'

    def _note(self, note: str) -> str:
        """A note that shows when the pointer rests on the cell, large enough for its text."""
        lines, office, svg = note.split("\n"), self._office, self._prefixes[SVGNS]
        height = sum(-(-max(len(line), 1) // _NOTE_CHARACTERS) for line in lines) * _NOTE_LINE_MM + 3
        size = f'{svg}:width="{mm(_NOTE_WIDTH_MM)}" {svg}:height="{mm(height)}"'
        content = "".join(self._paragraph(line, None) for line in lines)
        return f'<{office}:annotation {office}:display="false" {size}>{content}</{office}:annotation>'

    def _paragraphs(self, lines: str, link: Link | None) -> str:
        """Lines of text; most of those without a link stand in many cells."""
        known = self._plain.get(lines) if link is None else None
        if known is None:
            known = "".join(self._paragraph(line, link) for line in lines.split("\n"))
            if link is None:
                self._plain[lines] = known
        return known

    def _paragraph(self, line: str, link: Link | None) -> str:
        """One line of text, led somewhere by a click where there is a link."""
        content = self._words(clean(line))
        if link is not None:
            target = f"#{quoted_sheet(self._drawing.tab_of(link.sheet))}.{link.cell.replace('$', '')}"
            leads = f'{self._xlink}:type="simple" {self._xlink}:href="{escape(target, ATTRIBUTE_ESCAPES)}"'
            content = f"<{self._text}:a {leads}>{content}</{self._text}:a>"
        return f"<{self._text}:p>{content}</{self._text}:p>"

    def _words(self, line: str) -> str:
        """The text with its blanks and tabs kept."""
        if _RUNS.search(line) is None:
            return escape(line, TEXT_ESCAPES)
        parts, done = [], 0
        for run in _RUNS.finditer(line):
            parts.append(escape(line[done : run.start()], TEXT_ESCAPES))
            if run[0] == "\t":
                parts.append(f"<{self._text}:tab/>")
            else:
                keep = 0 if run.start() == 0 or run.end() == len(line) else 1
                parts.append(" " * keep + f'<{self._text}:s {self._text}:c="{len(run[0]) - keep}"/>')
            done = run.end()
        return "".join(parts) + escape(line[done:], TEXT_ESCAPES)


def clean(words: str) -> str:
    """The text with what XML cannot hold made visible."""
    return words if words.isascii() and words.isprintable() else _NOT_IN_XML.sub("\ufffd", words)
