"""A result sheet drawn as the table element of an .ods file."""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from odf import table, text
from odf.element import Element
from odf.namespaces import TABLENS
from odf.office import Annotation
from openpyxl.utils.cell import get_column_letter

from sheetkit.graft.ods_codes import Shape, sections_of
from sheetkit.graft.ods_formula import open_formula, quoted_sheet
from sheetkit.graft.ods_shown import shown
from sheetkit.graft.ods_styles import USUAL_WIDTH, StyleBook, mm, number_format, spanning_height_pt
from sheetkit.report.model import Area, Link, ReportCell, ReportSheet

_NOTE_WIDTH_MM = 62.0
_NOTE_CHARACTERS = 36
_NOTE_LINE_MM = 4.4
_RUNS = re.compile(r"  +|^ | $|\t")
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")

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


def draw_table(sheet: ReportSheet, drawing: Drawing) -> Element:
    """The sheet as a table element.

    Raises:
        ValueError: a value that no cell can hold, a formula without counterpart, a cell under another's span
    """
    styles = drawing.styles
    drawn = table.Table(
        name=drawing.tab,
        stylename=styles.table(sheet.tab_colour, shown=drawing.shown, page=drawing.page),
        printranges=address(drawing.tab, sheet.printed).replace("$", ""),
    )
    width = _width(sheet, drawing)
    for column in range(width):
        characters = sheet.column_widths[column] if column < len(sheet.column_widths) else USUAL_WIDTH
        drawn.addElement(table.TableColumn(stylename=styles.column(characters), defaultcellstylename=_default(styles)))
    height = max([len(sheet.rows), 1, *(row for row, _ in drawing.frames)])
    rows = [_row(sheet, row, width, drawing) for row in range(1, height + 1)]
    for part in _with_repeated(rows, sheet.repeated_rows):
        drawn.addElement(part)
    return drawn


def address(tab: str, area: Area) -> str:
    """The area as an absolute range address."""
    ends = ((area.first_row, area.first_column), (area.last_row, area.last_column))
    return ":".join(f"{quoted_sheet(tab)}.${get_column_letter(column)}${row}" for row, column in ends)


def _default(styles: StyleBook) -> str:
    """The style of cells that nothing is said of."""
    return styles.cell(ReportCell())


def _width(sheet: ReportSheet, drawing: Drawing) -> int:
    """Number of columns drawn."""
    reach = [
        column + cell.columns - 1 for row in sheet.rows for column, cell in enumerate(row, start=1) if cell is not None
    ]
    return max([1, len(sheet.column_widths), *reach, *(column for _, column in drawing.frames)])


def _with_repeated(rows: list[Element], repeated: tuple[int, int] | None) -> Iterator[Element]:
    """The rows, those that every page repeats gathered in one element."""
    first, last = repeated if repeated is not None else (1, 0)
    yield from rows[: first - 1]
    if last >= first:
        header = table.TableHeaderRows()
        for row in rows[first - 1 : last]:
            header.addElement(row)
        yield header
    yield from rows[max(first - 1, last) :]


def _row(sheet: ReportSheet, row: int, width: int, drawing: Drawing) -> Element:
    """One row."""
    cells = sheet.rows[row - 1] if row <= len(sheet.rows) else []
    height = sheet.row_heights.get(row) or spanning_height_pt(cells, sheet.column_widths)
    drawn = table.TableRow(stylename=drawing.styles.row(height))
    for element in _joined(_cells(cells, row, width, drawing)):
        drawn.addElement(element)
    return drawn


def _cells(cells: Sequence[ReportCell | None], row: int, width: int, drawing: Drawing) -> Iterator[Element | None]:
    """The row's cells from left to right, None for an empty one."""
    covered_to = 0
    for column in range(1, width + 1):
        cell = cells[column - 1] if column <= len(cells) else None
        frames = drawing.frames.get((row, column), ())
        if column <= covered_to:
            if cell is not None:
                raise ValueError(f"{drawing.tab}!{get_column_letter(column)}{row} lies under a cell that spans it")
            element: Element | None = table.CoveredTableCell()
        elif cell is None:
            element = table.TableCell() if frames else None
        else:
            covered_to = column + cell.columns - 1
            element = _cell(cell, drawing)
        for frame in frames:
            element.addElement(frame)  # type: ignore[union-attr] # a cell with frames is never None
        yield element


def _joined(cells: Iterator[Element | None]) -> Iterator[Element]:
    """The cells with runs of empty ones made one."""
    empty = 0
    for cell in cells:
        if cell is None:
            empty += 1
            continue
        if empty:
            yield _empty(empty)
        empty = 0
        yield cell
    if empty:
        yield _empty(empty)


def _empty(count: int) -> Element:
    """So many empty cells."""
    return table.TableCell(numbercolumnsrepeated=str(count)) if count > 1 else table.TableCell()


def _cell(cell: ReportCell, drawing: Drawing) -> Element:
    """One cell with its value, formula, note and link."""
    element = table.TableCell(stylename=drawing.styles.cell(cell))
    if cell.columns > 1:
        element.setAttribute("numbercolumnsspanned", str(cell.columns))
        element.setAttribute("numberrowsspanned", "1")
    if cell.formula is not None:
        element.setAttrNS(TABLENS, "formula", open_formula(cell.formula, drawing.tab_of))
        if cell.array:
            element.setAttribute("numbermatrixcolumnsspanned", "1")
            element.setAttribute("numbermatrixrowsspanned", "1")
    value = "" if cell.value is None and cell.formula is not None else cell.value
    for name, stored in _stored(value, number_format(cell)).items():
        element.setAttribute(name, stored)
    if cell.note is not None:
        element.addElement(_note(cell.note))
    if value is not None:
        for line in shown(value, number_format(cell)).split("\n"):
            element.addElement(_paragraph(line, cell.link, drawing))
    return element


def _stored(value: str | float | bool | date | None, code: str) -> dict[str, str]:
    """The attributes that hold the value."""
    if value is None:
        return {}
    if isinstance(value, str):
        return {"valuetype": "string"} | ({"stringvalue": _clean(shown(value, code))} if "\t" in value else {})
    if isinstance(value, bool):
        return {"valuetype": "boolean", "booleanvalue": "true" if value else "false"}
    if isinstance(value, date):
        moment = value.isoformat(timespec="seconds") if isinstance(value, datetime) else value.isoformat()
        return {"valuetype": "date", "datevalue": moment}
    if not math.isfinite(value):
        raise ValueError(f"{value} is no number that a cell can hold")
    percent = sections_of(code)[0].shape is Shape.PERCENT
    return {"valuetype": "percentage" if percent else "float", "value": repr(value)}


def _note(note: str) -> Element:
    """A note that shows when the pointer rests on the cell, large enough for its text."""
    lines = note.split("\n")
    height = sum(-(-max(len(line), 1) // _NOTE_CHARACTERS) for line in lines) * _NOTE_LINE_MM + 3
    element = Annotation(display="false", width=mm(_NOTE_WIDTH_MM), height=mm(height))
    for line in lines:
        element.addElement(_paragraph(line, None, None))
    return element


def _paragraph(line: str, link: Link | None, drawing: Drawing | None) -> Element:
    """One line of text, led somewhere by a click where there is a link."""
    paragraph = text.P()
    target = paragraph
    if link is not None and drawing is not None:
        place = f"#{quoted_sheet(drawing.tab_of(link.sheet))}.{link.cell.replace('$', '')}"
        target = text.A(type="simple", href=place)
        paragraph.addElement(target)
    _add_text(target, line)
    return paragraph


def _add_text(target: Element, line: str) -> None:
    """The text with its blanks and tabs kept; characters that XML cannot hold become replacement marks."""
    clean = _clean(line)
    done = 0
    for run in _RUNS.finditer(clean):
        target.addText(clean[done : run.start()])
        if run[0] == "\t":
            target.addElement(text.Tab())
        else:
            keep = 0 if run.start() == 0 or run.end() == len(clean) else 1
            target.addText(" " * keep)
            target.addElement(text.S(c=str(len(run[0]) - keep)))
        done = run.end()
    target.addText(clean[done:])


def _clean(words: str) -> str:
    """The text with what XML cannot hold made visible."""
    return _NOT_IN_XML.sub("\ufffd", words)
