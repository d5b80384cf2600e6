"""The automatic styles of our own tables: one for each thing that is drawn alike, named under our own prefix."""

import textwrap
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field
from datetime import date

from odf.element import Element
from odf.namespaces import TABLEOOONS
from odf.style import (
    GraphicProperties,
    ParagraphProperties,
    Style,
    TableCellProperties,
    TableColumnProperties,
    TableProperties,
    TableRowProperties,
    TextProperties,
)

from sheetkit.graft.looks import INSET, LINK_TEXT, LOOK_STYLES, Across, Border, LookStyle
from sheetkit.graft.ods_formats import number_styles
from sheetkit.report.model import Look, ReportCell

CHARACTER_MM = 1.96
"""Width of a digit in the type of ordinary cells: 0.556 of 10 pt, as in Liberation Sans and Arial [mm]."""
CELL_MARGIN_MM = 1.6
"""What a column needs beside its characters [mm]."""
USUAL_WIDTH = 10.0
"""Width of a column that nothing is said of, in characters."""

_EDGES = {
    Border.NONE: (),
    Border.BELOW: ("borderbottom",),
    Border.ABOVE: ("bordertop",),
    Border.BOX: ("border",),
}
_LINE = 1.3
_TEXT_PER_DIGIT = 1.05
_DATE_CODE = "yyyy-mm-dd"


@dataclass(slots=True)
class StyleBook:
    """Gives out style names and keeps the styles they stand for.

    Attributes:
        prefix: what every name begins with
        parent: the maker's style that cells build on, None where the file has none
        elements: the styles given out so far, in order
    """

    prefix: str
    parent: str | None = "Default"
    elements: list[Element] = field(default_factory=list)
    _names: dict[Hashable, str] = field(default_factory=dict)
    _counts: dict[str, int] = field(default_factory=dict)

    def cell(self, cell: ReportCell) -> str:
        """Name of the style for a cell."""
        code = number_format(cell)
        leads = cell.link is not None
        inset = cell.look in INSET and isinstance(cell.value, str)
        return self._name("ce", (cell.look, code, leads, inset), lambda name: self._cell(name, cell, code, inset=inset))

    def column(self, characters: float) -> str:
        """Name of the style for a column so many characters wide."""
        width = TableColumnProperties(columnwidth=mm(column_mm(characters)), breakbefore="auto")
        return self._name("co", characters, lambda name: _styled(name, "table-column", width))

    def row(self, height_pt: float | None, *, new_page: bool = False) -> str:
        """Name of the style for a row of that height, or one that fits itself; it may begin a new page."""

        def made(name: str) -> list[Element]:
            fits = {"useoptimalrowheight": "true" if height_pt is None else "false"}
            height = {} if height_pt is None else {"rowheight": f"{height_pt:g}pt"}
            properties = TableRowProperties(**height, **fits, breakbefore="page" if new_page else "auto")
            return _styled(name, "table-row", properties)

        return self._name("ro", (height_pt, new_page), made)

    def table(self, tab_colour: str, *, shown: bool, page: str | None) -> str:
        """Name of the style for a sheet with that colour on its tab, printed on that master page."""
        properties = TableProperties(display="true" if shown else "false", writingmode="lr-tb")
        properties.setAttrNS(TABLEOOONS, "tab-color", f"#{tab_colour}")
        own_page = {} if page is None else {"masterpagename": page}
        return self._name("ta", (tab_colour, shown, page), lambda name: _styled(name, "table", properties, **own_page))

    def frame(self) -> str:
        """Name of the style for the frame of a chart or picture."""
        bare = GraphicProperties(stroke="none", fill="none", protect="size")
        return self._name("gr", None, lambda name: _styled(name, "graphic", bare))

    def _name(self, kind: str, key: Hashable, make: Callable[[str], list[Element]]) -> str:
        """The name given before to the same thing, or a new one."""
        known = self._names.get((kind, key))
        if known is not None:
            return known
        self._counts[kind] = self._counts.get(kind, 0) + 1
        name = self._names[(kind, key)] = f"{self.prefix}{kind}{self._counts[kind]}"
        self.elements.extend(make(name))
        return name

    def _number(self, code: str) -> str | None:
        """Name of the number style for a format code, None for General."""
        key = ("n", code)
        if key not in self._names:
            styles = number_styles(code, f"{self.prefix}n{self._counts.get('n', 0) + 1}")
            if not styles:
                return None
            self._counts["n"] = self._counts.get("n", 0) + 1
            self._names[key] = f"{self.prefix}n{self._counts['n']}"
            self.elements.extend(styles)
        return self._names[key]

    def _cell(self, name: str, cell: ReportCell, code: str, *, inset: bool) -> list[Element]:
        """The style for cells like this one; inset keeps a text clear of the number on its left."""
        number = self._number(code)
        attributes = {} if self.parent is None else {"parentstylename": self.parent}
        if number is not None:
            attributes["datastylename"] = number
        drawn = LOOK_STYLES[cell.look]
        type_ = _text_properties(drawn, cell.link is not None)
        return _styled(name, "table-cell", *_cell_properties(drawn, inset=inset), type_, **attributes)


def number_format(cell: ReportCell) -> str:
    """The cell's format code; a date without one gets the international form."""
    is_plain_date = isinstance(cell.value, date) and cell.number_format == "General"
    return _DATE_CODE if is_plain_date else cell.number_format


def spanning_height_pt(cells: Sequence[ReportCell | None], widths: Sequence[float]) -> float | None:
    """Height a row needs for wrapped text over several columns, to which no spreadsheet program fits a row by itself.

    Args:
        cells: the row's cells
        widths: of the columns, in characters

    Returns:
        the height [pt]; None where the row holds no such text

    Common practice, no source: a character takes about the width of a digit, a line 1.3 times its type size.
    """
    heights = []
    for column, cell in enumerate(cells):
        if cell is None or cell.columns < 2 or not isinstance(cell.value, str) or not LOOK_STYLES[cell.look].wrap:
            continue
        size_pt = LOOK_STYLES[cell.look].size_pt
        room = [*widths, *[USUAL_WIDTH] * (column + cell.columns)][column : column + cell.columns]
        characters = max(1, int(sum(room) * _TEXT_PER_DIGIT * LOOK_STYLES[Look.TEXT].size_pt / size_pt))
        lines = sum(max(1, len(textwrap.wrap(line, characters))) for line in cell.value.split("\n"))
        heights.append(lines * size_pt * _LINE + 2)
    return round(max(heights), 1) if heights else None


def column_mm(characters: float) -> float:
    """Width of a column that many characters wide [mm]."""
    return characters * CHARACTER_MM + CELL_MARGIN_MM


def mm(length: float) -> str:
    """A length as the file writes it."""
    return f"{length:.2f}mm"


def _styled(name: str, family: str, *properties: Element, **attributes: str) -> list[Element]:
    """A style with these properties."""
    style = Style(name=name, family=family, **attributes)
    for each in properties:
        style.addElement(each)
    return [style]


def _cell_properties(drawn: LookStyle, *, inset: bool) -> list[Element]:
    """Ground, edges and place of the content."""
    edge = f"{drawn.edge_pt:g}pt solid #{drawn.edge}"
    by_value = drawn.across is Across.BY_VALUE and not inset
    ground = TableCellProperties(
        backgroundcolor="transparent" if drawn.fill is None else f"#{drawn.fill}",
        wrapoption="wrap" if drawn.wrap else "no-wrap",
        verticalalign="top" if drawn.top else "middle",
        textalignsource="value-type" if by_value else "fix",
        **dict.fromkeys(_EDGES[drawn.border], edge),
    )
    if by_value:
        return [ground]
    place = "end" if drawn.across is Across.RIGHT else "start"
    return [ground, ParagraphProperties(textalign=place, marginleft="2mm" if inset else "0mm")]


def _text_properties(drawn: LookStyle, leads: bool) -> Element:
    """The type."""
    underline = {"textunderlinestyle": "solid", "textunderlinewidth": "auto"} if leads else {}
    return TextProperties(
        fontsize=f"{drawn.size_pt:g}pt",
        fontweight="bold" if drawn.bold else "normal",
        fontstyle="italic" if drawn.italic else "normal",
        color=f"#{LINK_TEXT if leads else drawn.text}",
        **underline,
    )
