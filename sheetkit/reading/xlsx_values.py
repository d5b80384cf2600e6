"""What a cell element of .xlsx says: its value, kind, number format, and whether it is struck through."""

import math
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Final

from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_ISO8601, to_excel

from sheetkit.reading.dates import read_serial, shows_a_number
from sheetkit.reading.model import Cell, CellValue, Kind
from sheetkit.reading.xlsx_styles import PLAIN, CellFormat
from sheetkit.reading.xlsx_text import RichText, unescape

_Read = tuple[Kind, CellValue, float | None]
_NOTHING: Final[_Read] = (Kind.EMPTY, None, None)
_LOST: Final = "a text that the file does not hold"


@dataclass(slots=True)
class SheetContext:
    """What a sheet needs of its workbook.

    Attributes:
        strings: shared strings by index
        formats: cell formats by index
        day_zero_1904: dates count from 1904
        results_stale: the file asks for recalculation when opened, so that a stored 0 may only be a placeholder
        looks: cell formats by their index as the file writes it
        usual_look: the format of a cell that names none
        plain_looks: those under which a number is just a number
    """

    strings: list[RichText]
    formats: list[CellFormat]
    day_zero_1904: bool = False
    results_stale: bool = False
    looks: dict[str, CellFormat] = field(init=False, default_factory=dict)
    usual_look: CellFormat = field(init=False, default=PLAIN)
    plain_looks: dict[bytes, CellFormat] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.looks = {str(index): look for index, look in enumerate(self.formats)}
        self.usual_look = self.formats[0] if self.formats else PLAIN
        looks = {b"": self.usual_look} | {index.encode(): look for index, look in self.looks.items()}
        self.plain_looks = {index: look for index, look in looks.items() if shows_a_number(look.number_format)}


@dataclass(slots=True)
class RawCell:
    """A cell as its element writes it.

    Attributes:
        row: from 1
        column: from 1
        style: index of its cell format, as text
        kind: the element's type letter
        value: its stored value, None where there is none
        formula: text of its formula with the leading "=", None where there is none
        inline: its own string, None where there is none
    """

    row: int
    column: int
    style: str
    kind: str
    value: str | None = None
    formula: str | None = None
    inline: RichText | None = None


def understand(raw: RawCell, context: SheetContext, comment: str | None) -> Cell | None:
    """The cell, or None where it holds nothing at all."""
    look = context.looks.get(raw.style, context.usual_look)
    rich = raw.inline
    if raw.kind == "s" and raw.value is not None:
        rich = _shared(raw.value, context.strings)
    kind, value, serial = _value(raw, rich, look, context)
    if kind is Kind.NUMBER and value == 0 and raw.formula is not None and context.results_stale:
        kind, value = Kind.NO_RESULT, None
    elif raw.formula is None and comment is None and value in (None, ""):
        return None
    elif kind is Kind.EMPTY and raw.formula is not None:
        kind = Kind.NO_RESULT
    struck = look.struck if rich is None or rich.struck is None else rich.struck
    return Cell(raw.row, raw.column, kind, value, look.number_format, serial, raw.formula, False, comment, struck)


def plain_cell(row: int, column: int, style: bytes, kind: bytes, value: bytes, context: SheetContext) -> Cell | None:
    """The cell of a number or a shared text without formula and comment; None where it holds nothing.

    Args:
        row: from 1
        column: from 1
        style: index of its cell format, as written; empty for none
        kind: its type letter, "n", "s" or empty
        value: its stored value, digits
        context: what it needs of its workbook
    """
    look = context.plain_looks.get(style)
    if look is not None and kind != b"s":
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if number - number == 0:
            return Cell(row, column, Kind.NUMBER, number, look.number_format, None, None, False, None, look.struck)
    elif look is not None:
        rich = _shared(value.decode(), context.strings)
        if rich.struck is None and rich.text not in {"", _LOST}:
            return Cell(row, column, Kind.TEXT, rich.text, look.number_format, None, None, False, None, look.struck)
    return understand(RawCell(row, column, style.decode(), kind.decode(), value.decode()), context, None)


def _value(raw: RawCell, rich: RichText | None, look: CellFormat, context: SheetContext) -> _Read:
    if rich is not None:
        lost = rich.text == _LOST
        return (Kind.ERROR if lost else Kind.TEXT), rich.text, None
    text = raw.value
    if text is None or (text == "" and not (raw.kind == "str" and raw.formula is not None)):
        return _NOTHING
    if raw.kind in {"n", ""}:
        return _number(text, look, context)
    if raw.kind == "d":
        return _iso_date(text, context)
    if raw.kind == "b":
        return Kind.BOOLEAN, text.strip().lower() in {"1", "true"}, None
    return (Kind.ERROR, text, None) if raw.kind == "e" else (Kind.TEXT, unescape(text), None)


def _number(text: str, look: CellFormat, context: SheetContext) -> _Read:
    """A number, or the text itself where it is none; the layer above decides what that means."""
    try:
        number = float(text) if "_" not in text else float("nan")
    except ValueError:
        return Kind.TEXT, text, None
    if number - number != 0:
        return Kind.TEXT, text, None
    kind, value = read_serial(number, look.number_format, day_zero_1904=context.day_zero_1904)
    return kind, value, (None if kind is Kind.NUMBER else number)


def _iso_date(text: str, context: SheetContext) -> _Read:
    try:
        found = from_ISO8601(text.strip().removesuffix("Z"))  # type: ignore[no-untyped-call]
    except (ValueError, OverflowError):
        return Kind.TEXT, text, None
    epoch = MAC_EPOCH if context.day_zero_1904 else WINDOWS_EPOCH
    if isinstance(found, timedelta):
        return Kind.DURATION, found, found / timedelta(days=1)
    if isinstance(found, time):
        since_midnight = datetime.combine(date.min, found) - datetime.combine(date.min, time.min)
        return Kind.DURATION, since_midnight, since_midnight / timedelta(days=1)
    if isinstance(found, date):
        moment = found if isinstance(found, datetime) else datetime(found.year, found.month, found.day)  # noqa: DTZ001
        return Kind.DATE, moment, float(to_excel(moment, epoch))  # type: ignore[no-untyped-call]
    return Kind.TEXT, text, None


def _shared(text: str, strings: list[RichText]) -> RichText:
    try:
        index = int(text)
    except ValueError:
        return RichText(_LOST)
    return strings[index] if 0 <= index < len(strings) else RichText(_LOST)
