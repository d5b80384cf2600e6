"""What the styles of .ods mean for reading: number formats, strike-through, and hidden tables."""

from dataclasses import dataclass
from typing import Final

from sheetkit.reading.ods_formats import GENERAL, TEXT_ELEMENTS, NumberStyle, format_code
from sheetkit.reading.ods_names import number, style, table
from sheetkit.reading.safe_xml import Attributes, OnEnd, OnStart, Target

_CELL: Final = "table-cell"
_MOST_PARENTS: Final = 64
_NUMBER_STYLES: Final = (
    "number-style",
    "percentage-style",
    "currency-style",
    "date-style",
    "time-style",
    "boolean-style",
    "text-style",
)
_NUMBER_ELEMENTS: Final = (
    "number",
    "scientific-number",
    "fraction",
    "day",
    "day-of-week",
    "month",
    "year",
    "hours",
    "minutes",
    "seconds",
    "am-pm",
    "text-content",
)


@dataclass(frozen=True, slots=True)
class Look:
    """What a cell's style says about it."""

    number_format: str = GENERAL
    struck: bool = False


@dataclass(slots=True)
class _Style:
    """A style as its elements give it; None where it leaves the matter to its parent."""

    parent: str = ""
    data_style: str | None = None
    struck: bool | None = None
    shown: bool = True


class Styles:
    """The styles of a workbook; `listen` makes a target fill them."""

    def __init__(self) -> None:
        self._numbers: dict[str, NumberStyle] = {}
        self._styles: dict[tuple[str, str], _Style] = {}
        self._style: _Style | None = None
        self._number: NumberStyle | None = None
        self._looks: dict[str, Look] = {}

    def look(self, name: str) -> Look:
        """What a cell style says; a name that is unknown or empty means the default style."""
        found = self._looks.get(name)
        if found is None:
            found = self._looks[name] = self._resolve(name)
        return found

    def text_struck(self, name: str) -> bool | None:
        """Whether a text style strikes through; None where it does not say."""
        return next((known.struck for known in self._chain("text", name) if known.struck is not None), None)

    def shown(self, family: str, name: str) -> bool:
        """Whether a style of tables, rows or columns shows them: it is not switched off, nor of no height or width."""
        known = self._styles.get((family, name))
        return known is None or known.shown

    def listen(self, target: Target) -> None:
        """Make a target call this when it meets styles."""
        target.starts |= {
            style("style"): self._start_style,
            style("default-style"): self._start_style,
            style("text-properties"): self._text_properties,
            style("table-properties"): self._table_properties,
            style("table-row-properties"): self._row_properties,
            style("table-column-properties"): self._column_properties,
            style("map"): self._map,
        }
        for name in _NUMBER_STYLES:
            target.starts[number(name)] = self._start_number
            target.ends[number(name)] = self._end_number
        for name in _NUMBER_ELEMENTS:
            target.starts[number(name)] = self._element(number(name))
        for tag in TEXT_ELEMENTS:
            target.starts[tag] = lambda _: setattr(target, "text", [])
            target.ends[tag] = self._text_element(tag, target)
        target.ends |= {style("style"): self._end_style, style("default-style"): self._end_style}

    def _resolve(self, name: str) -> Look:
        chain = self._chain(_CELL, name)
        data_style = next((known.data_style for known in chain if known.data_style is not None), "")
        struck = next((known.struck for known in chain if known.struck is not None), False)
        found = self._numbers.get(data_style or "")
        return Look(GENERAL if found is None else format_code(found, self._numbers), bool(struck))

    def _chain(self, family: str, name: str) -> list[_Style]:
        """The style, its parents, and the family's default at the end."""
        chain: list[_Style] = []
        known = self._styles.get((family, name or "Default"))
        while known is not None and len(chain) < _MOST_PARENTS:
            chain.append(known)
            known = self._styles.get((family, known.parent)) if known.parent else None
        default = self._styles.get((family, ""))
        return chain if default is None else [*chain, default]

    def _start_style(self, attributes: Attributes) -> None:
        key = (attributes.get(style("family"), ""), attributes.get(style("name"), ""))
        self._style = _Style(attributes.get(style("parent-style-name"), ""), attributes.get(style("data-style-name")))
        self._styles[key] = self._style

    def _end_style(self) -> None:
        self._style = None

    def _text_properties(self, attributes: Attributes) -> None:
        kinds = [attributes.get(style(f"text-line-through-{word}")) for word in ("style", "type")]
        given = [kind for kind in kinds if kind is not None]
        if self._style is not None and given:
            self._style.struck = any(kind != "none" for kind in given)

    def _table_properties(self, attributes: Attributes) -> None:
        if self._style is not None:
            self._style.shown = attributes.get(table("display")) != "false"

    def _row_properties(self, attributes: Attributes) -> None:
        if self._style is not None:
            self._style.shown = not _is_zero(attributes.get(style("row-height"), ""))

    def _column_properties(self, attributes: Attributes) -> None:
        if self._style is not None:
            self._style.shown = not _is_zero(attributes.get(style("column-width"), ""))

    def _start_number(self, attributes: Attributes) -> None:
        elapsed = attributes.get(number("truncate-on-overflow")) == "false"
        self._number = NumberStyle(attributes.get(style("name"), ""), elapsed=elapsed)
        self._numbers[self._number.name] = self._number

    def _end_number(self) -> None:
        self._number = None

    def _element(self, tag: str) -> OnStart:
        def take(attributes: Attributes) -> None:
            if self._number is not None:
                self._number.add(tag, attributes)

        return take

    def _text_element(self, tag: str, target: Target) -> OnEnd:
        def take() -> None:
            content = target.take_text()
            if self._number is not None:
                self._number.add_text(tag, content)

        return take

    def _map(self, attributes: Attributes) -> None:
        condition = attributes.get(style("condition"), "")
        if self._number is not None and condition.startswith("value()"):
            chosen = attributes.get(style("apply-style-name"), "")
            self._number.conditions.append((condition.removeprefix("value()").replace(" ", ""), chosen))


def _is_zero(length: str) -> bool:
    return bool(length) and not length.rstrip("abcdefghijklmnopqrstuvwxyz").strip("0.")
