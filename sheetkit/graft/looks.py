"""What each look means on paper and screen, the same in every file format.

Fills are pale and text is dark, so that a grey print keeps its contrast; every look that says "good" or "bad" by
a fill says it in words in the cell as well. Chart colours differ in lightness, not in hue alone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType

from sheetkit.report.model import Look


class Border(StrEnum):
    """Which edges of the cell are drawn."""

    NONE = "none"
    BELOW = "below"
    ABOVE = "above"
    BOX = "box"


class Across(StrEnum):
    """Where the content stands in its cell."""

    BY_VALUE = "by value"
    """Numbers right, text left."""
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class LookStyle:
    """How a cell with one look is drawn.

    Attributes:
        size_pt: height of the type [pt]
        bold: heavy type
        italic: slanted type
        text: colour of the type, RRGGBB
        fill: colour of the ground, RRGGBB; None for the sheet's own
        border: edges that are drawn
        edge: colour of the edges, RRGGBB
        edge_pt: width of the edges [pt]
        across: horizontal place of the content
        top: content stands at the top of the cell, else in the middle
        wrap: long text goes on in the next line of the cell
    """

    size_pt: float = 10.0
    bold: bool = False
    italic: bool = False
    text: str = "1F1F1F"
    fill: str | None = None
    border: Border = Border.NONE
    edge: str = "9A9A94"
    edge_pt: float = 0.5
    across: Across = Across.BY_VALUE
    top: bool = False
    wrap: bool = False


_HEADING = LookStyle(
    bold=True, fill="E4E7DF", border=Border.BELOW, edge="4A5A4E", edge_pt=0.75, across=Across.LEFT, top=True, wrap=True
)

INSET = frozenset({Look.GOOD, Look.WATCH, Look.BAD, Look.BESIDE_WORDS})
"""Looks whose words stand a little way from the left edge of their cell."""

LOOK_STYLES: Mapping[Look, LookStyle] = MappingProxyType(
    {
        Look.TITLE: LookStyle(size_pt=15, bold=True, text="2F4238"),
        Look.INTRO: LookStyle(italic=True, text="4A4A46", wrap=True),
        Look.SECTION: LookStyle(size_pt=12, bold=True, text="2F4238", border=Border.BELOW, edge="2F4238", edge_pt=0.75),
        Look.HEADING: _HEADING,
        Look.NUMBER_HEADING: replace(_HEADING, across=Across.RIGHT),
        Look.TEXT: LookStyle(),
        Look.WRAPPED: LookStyle(wrap=True),
        Look.BESIDE_WORDS: LookStyle(wrap=True),
        Look.STRONG: LookStyle(bold=True, wrap=True),
        Look.GOOD: LookStyle(text="1E4D2B", fill="E3EFDF", wrap=True),
        Look.WATCH: LookStyle(bold=True, text="5C4200", fill="FBEFC9", wrap=True),
        Look.BAD: LookStyle(bold=True, text="7A1F14", fill="F3D3CC", wrap=True),
        Look.CAUTION: LookStyle(text="4A3300", fill="FDF4DC", border=Border.BOX, edge="B58A2A", wrap=True),
        Look.QUIET: LookStyle(text="63635E"),
        Look.TOTAL: LookStyle(bold=True, border=Border.ABOVE, edge="1F1F1F", edge_pt=0.75),
        Look.TO_FILL: LookStyle(border=Border.BOX, edge="4A4A46", edge_pt=0.75),
        Look.LARGE: LookStyle(size_pt=16, bold=True),
        Look.NO_NUMBER: LookStyle(text="63635E", across=Across.RIGHT),
    }
)

CHART_COLOURS: tuple[str, ...] = ("2F4B5C", "C58A2E", "5E8A6A", "9B4438", "8FA6B5", "7A5C3E", "B7A6C2", "3F3F3B")
"""Colours of the series that name none of their own, in turn."""

CHART_TEXT = "3A3A36"
CHART_GRID = "D5D5CF"
CHART_AXIS = "7A7A74"
LINK_TEXT = "1D4E7A"
"""Colour of a cell that leads somewhere; underlined as well."""


def series_colour(index: int, own: str | None) -> str:
    """Colour of the series at this place of its chart, RRGGBB."""
    return own if own is not None else CHART_COLOURS[index % len(CHART_COLOURS)]
