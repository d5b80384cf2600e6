"""Reads the cells of a column of calendar days."""

import re
from datetime import date, datetime
from typing import Final

from openpyxl.styles.numbers import is_date_format

from sheetkit.errors import Harm, UnreadableValue
from sheetkit.reading.model import Cell
from sheetkit.tables.findings import Line
from sheetkit.tables.typed_dates import Days, Order, day_of
from sheetkit.tables.value import Value
from sheetkit.units import plain_text

_SURE = ("%Y-%m-%d", "%Y/%m/%d", "%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y", "%d.%m.%Y", "%d.%m.%y", "%d-%b-%Y",
         "%d-%b-%y", "%d %b %y", "%d %B %y", "%b %d %y")  # fmt: skip
_BY_ORDER = {
    Order.MONTH_FIRST: ("%m/%d/%Y", "%m/%d/%y", "%m-%d-%Y", "%m-%d-%y"),
    Order.DAY_FIRST: ("%d/%m/%Y", "%d/%m/%y", "%d-%m-%Y", "%d-%m-%y"),
}
FIRST_YEAR: Final = 1900
"""Spreadsheet programs keep no earlier days, or not the same ones."""
LAST_YEAR: Final = 2999
"""A later day is a slip of the keys, and what is counted from it might outrun the calendar."""
_HOW = "type the date as 2024-03-14"


def read_date(cell: Cell, value: Value, days: Days) -> date:
    """A calendar day.

    Args:
        cell: the cell
        value: gets what has to be said about it
        days: how the workbook keeps its days

    Raises:
        UnreadableValue: it is no day, could be two, or is long past or far off
    """
    day = _day(cell, value, days)
    if day.year < FIRST_YEAR:
        raise _long_past(value)
    if day.year > LAST_YEAR:
        raise UnreadableValue(f"{value.found}, a day after {LAST_YEAR}", f"a date up to {LAST_YEAR}", _HOW)
    return day


def _long_past(value: Value) -> UnreadableValue:
    return UnreadableValue(f"{value.found}, a day before {FIRST_YEAR}", f"a date from {FIRST_YEAR} on", _HOW)


def _day(cell: Cell, value: Value, days: Days) -> date:
    order = days.order
    if isinstance(cell.value, datetime):
        return cell.value.date()
    if isinstance(cell.value, float) and (day := day_of(cell.value, day_zero_1904=days.day_zero_1904)) is not None:
        value.guess = "it is the number under which spreadsheets keep this day"
        return _said(day.date(), value)
    if isinstance(cell.value, float) and cell.value < 1 and is_date_format(cell.number_format):
        raise _long_past(value)
    text = re.sub(r"(?<=\d)(st|nd|rd|th)\b|,", " ", plain_text(str(cell.value)))
    text = " ".join(text.split())
    sure = _days(text, _SURE)
    if sure:
        return sure[0]
    ways = [order] if order else list(_BY_ORDER)
    found = [day for way in ways for day in _days(text, _BY_ORDER[way])[:1]]
    if not found:
        raise UnreadableValue(value.found, "a date", _HOW)
    if max(found).year < FIRST_YEAR:
        raise _long_past(value)
    if len(set(found)) > 1:
        raise UnreadableValue(f"{value.found}, which could be two days", "a date", f"type {found[0]} or {found[1]}")
    if order:
        value.guess = f"the workbook writes its dates with the {order.value}"
        return _said(found[0], value)
    return found[0]


def _days(text: str, formats: tuple[str, ...]) -> list[date]:
    found = []
    for code in formats:
        try:
            found.append(datetime.strptime(text, code).date())  # noqa: DTZ007 - a calendar day has no zone
        except ValueError:
            continue
    return found


def _said(day: date, value: Value) -> date:
    found = f"{value.found}, read as {day} because {value.guess}"
    fix = f"type {day} if that is right, else the right date"
    value.lines.append(Line(value.guess, found, "a date", fix, Harm.GUESSED))
    return day
