"""A result sheet drawn as the table element of an .ods file."""

from collections.abc import Iterator, Mapping

from odf import table
from odf.element import Element
from odf.namespaces import SVGNS, XLINKNS
from openpyxl.utils.cell import get_column_letter

from sheetkit.graft.ods_cells import CELL_NAMESPACES, Drawing, RowWriter
from sheetkit.graft.ods_formula import quoted_sheet
from sheetkit.graft.ods_fragment import Raw, namespaces_of
from sheetkit.graft.ods_styles import USUAL_WIDTH, StyleBook
from sheetkit.report.model import Area, ReportCell, ReportSheet


def draw_table(sheet: ReportSheet, drawing: Drawing) -> Element:
    """The sheet as a table element, whose rows are written when it is.

    Writing it raises ValueError for a value that no cell can hold, a formula without counterpart, and a cell under
    another's span.
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
    namespaces = {*CELL_NAMESPACES}
    cells = [cell for row in sheet.rows for cell in row if cell is not None]
    if any(cell.note is not None for cell in cells):
        namespaces.add(SVGNS)
    if any(cell.link is not None for cell in cells):
        namespaces.add(XLINKNS)
    for frames in drawing.frames.values():
        namespaces.update(*map(namespaces_of, frames))

    def rows(prefixes: Mapping[str, str]) -> Iterator[str]:
        return RowWriter(sheet, drawing, prefixes).rows(width, height)

    drawn.childNodes.append(Raw(sorted(namespaces), rows))
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
    reach = [1, len(sheet.column_widths), *(column for _, column in drawing.frames)]
    for row in sheet.rows:
        last = len(row)
        while last and row[last - 1] is None:
            last -= 1
        if last:
            cell = row[last - 1]
            reach.append(last + (cell.columns if cell is not None else 1) - 1)
    return max(reach)
