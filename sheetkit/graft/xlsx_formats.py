"""What each look becomes in .xlsx."""

from dataclasses import dataclass, field
from typing import Any, Final

from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

from sheetkit.graft.looks import LINK_TEXT, LOOK_STYLES, Across, Border, LookStyle
from sheetkit.report.model import Look

_THIN: Final = 1
_MEDIUM: Final = 2
_EDGES: Final = {
    Border.NONE: (),
    Border.BELOW: ("bottom",),
    Border.ABOVE: ("top",),
    Border.BOX: ("left", "right", "top", "bottom"),
}
_ACROSS: Final = {Across.LEFT: "left", Across.RIGHT: "right"}


@dataclass(slots=True)
class Formats:
    """Gives out one format for each look, number format and kind of content.

    Attributes:
        workbook: where the formats live
        font: family of the type
    """

    workbook: Workbook
    font: str
    _made: dict[tuple[Look, str, bool, bool], Format] = field(default_factory=dict)

    def of(self, look: Look, number_format: str = "General", *, link: bool = False, inset: bool = False) -> Format:
        """The format for a cell; inset keeps a text clear of the number on its left."""
        key = (look, number_format, link, inset)
        if key not in self._made:
            properties = _properties(LOOK_STYLES[look], self.font) | {"num_format": number_format}
            if link:
                properties |= {"font_color": f"#{LINK_TEXT}", "underline": 1}
            if inset:
                properties |= {"align": "left", "indent": 1}
            self._made[key] = self.workbook.add_format(properties)
        return self._made[key]


def _properties(style: LookStyle, font: str) -> dict[str, Any]:
    properties: dict[str, Any] = {
        "font_name": font,
        "font_size": style.size_pt,
        "font_color": f"#{style.text}",
        "bold": style.bold,
        "italic": style.italic,
        "text_wrap": style.wrap,
        "valign": "top" if style.top else "vcenter",
    }
    if style.fill is not None:
        properties["bg_color"] = f"#{style.fill}"
    if style.across in _ACROSS:
        properties["align"] = _ACROSS[style.across]
    for edge in _EDGES[style.border]:
        properties[edge] = _THIN if style.edge_pt < 1 else _MEDIUM
        properties[f"{edge}_color"] = f"#{style.edge}"
    return properties
