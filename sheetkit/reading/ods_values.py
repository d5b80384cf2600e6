"""What a cell element of .ods says: its value, kind, number format, and whether it is struck through."""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from openpyxl.styles.numbers import is_date_format

from sheetkit.reading.dates import read_serial, shows_a_number
from sheetkit.reading.model import Cell, CellValue, Kind
from sheetkit.reading.ods_formats import GENERAL
from sheetkit.reading.ods_names import calcext, office, table
from sheetkit.reading.ods_styles import Look
from sheetkit.reading.safe_xml import Attributes

_Read = tuple[Kind, CellValue, float | None]
_NOTHING: Final[_Read] = (Kind.EMPTY, None, None)

_VALUE_TYPE: Final = office("value-type")
_VALUE: Final = office("value")
_STRING_VALUE: Final = office("string-value")
_FORMULA: Final = table("formula")
_EXTENDED_TYPE: Final = calcext("value-type")

_ERROR_SHOWN: Final = re.compile(r"#(?:DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!|SPILL!|CALC!)|Err:\d{3}")
_FORMULA_PREFIX: Final = re.compile(r"^[A-Za-z_][\w.-]*:(?==)")
_PERIOD: Final = re.compile(
    r"(-)?P(?:(\d{1,9})D)?(?:T(?:(\d{1,9})H)?(?:(\d{1,9})M)?(?:(\d{1,9}(?:[.,]\d{1,9})?)S)?)?", re.ASCII
)
_DATE: Final = "yyyy-mm-dd"
_ELAPSED: Final = "[hh]:mm:ss"


@dataclass(slots=True)
class CellText:
    """The texts inside a cell element.

    Attributes:
        text: paragraphs joined by line feeds; None where there are none
        struck: True or False where the runs decide it, None where the cell's style does
        comment: the cell's comment, None where there is none
    """

    text: str | None = None
    struck: bool | None = None
    comment: str | None = None


def formula_of(attributes: Attributes) -> str | None:
    """The formula with its leading "=", its namespace prefix taken off."""
    text = attributes.get(_FORMULA)
    if text is None:
        return None
    text = _FORMULA_PREFIX.sub("", text)
    return text if text.startswith("=") else f"={text}"


def understand(
    place: tuple[int, int], attributes: Attributes, inside: CellText, look: Look, day_zero: datetime
) -> Cell | None:
    """The cell, or None where it holds nothing at all.

    Args:
        place: row and column, both from 1
        attributes: of its element
        inside: its texts
        look: what its style says
        day_zero: the day from which the workbook counts its dates
    """
    number = _plain_number(attributes, look)
    if number is not None:
        struck = look.struck if inside.struck is None else inside.struck
        return Cell(
            *place, Kind.NUMBER, number, look.number_format, None, None, False, inside.comment, struck, inside.text
        )
    formula = formula_of(attributes)
    kind, value, serial = _value(attributes, inside.text, look, day_zero)
    if value in (None, "") and formula is None:
        if inside.comment is None:
            return None
        kind, value = Kind.EMPTY, None
    elif kind is Kind.EMPTY:
        kind = Kind.NO_RESULT
    code = _number_format(attributes, look.number_format)
    struck = look.struck if inside.struck is None else inside.struck
    return Cell(*place, kind, value, code, serial, formula, False, inside.comment, struck, inside.text)


def _plain_number(attributes: Attributes, look: Look) -> float | None:
    """What a cell holds, where that is a number and nothing else; most cells of records are such."""
    stored = attributes.get(_VALUE)
    if (
        stored is None
        or attributes.get(_VALUE_TYPE) != "float"
        or _FORMULA in attributes
        or attributes.get(_EXTENDED_TYPE) == "error"
        or not shows_a_number(look.number_format)
        or "_" in stored
    ):
        return None
    try:
        found = float(stored)
    except ValueError:
        return None
    return found if found - found == 0 else None


def _number_format(attributes: Attributes, code: str) -> str:
    """The style's code; where it says nothing, what the value's type implies."""
    value_type = attributes.get(_VALUE_TYPE)
    if value_type in {"date", "time"} and not is_date_format(code):
        return _DATE if value_type == "date" else _ELAPSED
    if value_type == "percentage" and "%" not in code:
        return "0%"
    if value_type == "currency" and code == GENERAL:
        return f"[${attributes.get(office('currency'), '')}]#,##0.00"
    return code


def _value(attributes: Attributes, shown: str | None, look: Look, day_zero: datetime) -> _Read:
    value_type = attributes.get(_VALUE_TYPE)
    if _is_error(attributes, shown):
        return Kind.ERROR, shown or attributes.get(_STRING_VALUE) or "#VALUE!", None
    if value_type in {"float", "percentage", "currency"}:
        return _number(attributes.get(_VALUE), shown, look, day_zero)
    if value_type in {"date", "time"}:
        return _moment(attributes, shown, look, day_zero)
    if value_type == "boolean" and attributes.get(office("boolean-value")) is not None:
        return Kind.BOOLEAN, attributes.get(office("boolean-value")) == "true", None
    if value_type is None and not shown:
        return _NOTHING
    return Kind.TEXT, attributes.get(_STRING_VALUE, shown or ""), None


def _is_error(attributes: Attributes, shown: str | None) -> bool:
    """Older files store an error as the number 0 and only show what it is."""
    if attributes.get(_EXTENDED_TYPE) == "error":
        return True
    return _FORMULA in attributes and shown is not None and _ERROR_SHOWN.fullmatch(shown) is not None


def _as_shown(shown: str | None) -> _Read:
    """A value that is missing or broken: what the maker saw stands in for it, as text."""
    return (Kind.TEXT, shown, None) if shown else _NOTHING


def _number(stored: str | None, shown: str | None, look: Look, day_zero: datetime) -> _Read:
    try:
        found = float(stored) if stored is not None and "_" not in stored else float("nan")
    except ValueError:
        return _as_shown(stored or shown)
    if found - found != 0:
        return _as_shown(shown)
    kind, value = read_serial(found, look.number_format, day_zero_1904=day_zero.year == 1904)
    return kind, value, (None if kind is Kind.NUMBER else found)


def _moment(attributes: Attributes, shown: str | None, look: Look, day_zero: datetime) -> _Read:
    if attributes.get(_VALUE_TYPE) == "time":
        return _time(attributes.get(office("time-value")), shown)
    return _date(attributes.get(office("date-value")), shown, look, day_zero)


def _date(stored: str | None, shown: str | None, look: Look, day_zero: datetime) -> _Read:
    try:
        moment = datetime.fromisoformat((stored or "").strip().removesuffix("Z")).replace(tzinfo=None)
    except ValueError:
        return _as_shown(stored or shown)
    serial = (moment - day_zero) / timedelta(days=1)
    code = look.number_format if is_date_format(look.number_format) else _DATE
    kind, value = read_serial(serial, code, day_zero_1904=day_zero.year == 1904)
    if kind is Kind.DATE:
        value = moment
    return kind, value, (None if kind is Kind.NUMBER else serial)


def _time(stored: str | None, shown: str | None) -> _Read:
    match = _PERIOD.fullmatch((stored or "").strip())
    if match is None:
        return _as_shown(stored or shown)
    days, hours, minutes = (int(part or 0) for part in match.group(2, 3, 4))
    seconds = float((match[5] or "0").replace(",", "."))
    try:
        period = timedelta(days=days, hours=hours, minutes=minutes, seconds=seconds)
    except OverflowError:
        return _as_shown(stored or shown)
    period = -period if match[1] else period
    return Kind.DURATION, period, period / timedelta(days=1)
