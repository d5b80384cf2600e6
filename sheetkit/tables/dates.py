"""Reads the cells of a column of calendar days."""

import re
from datetime import date, datetime

from sheetkit.errors import Harm, UnreadableValue
from sheetkit.reading.model import Cell
from sheetkit.tables.findings import Line
from sheetkit.tables.typed_dates import Order, day_of
from sheetkit.tables.value import Value
from sheetkit.units import plain_text

_SURE = ("%Y-%m-%d", "%Y/%m/%d", "%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y", "%d.%m.%Y", "%d.%m.%y", "%d-%b-%Y",
         "%d-%b-%y", "%d %b %y", "%d %B %y", "%b %d %y")  # fmt: skip
_BY_ORDER = {
    Order.MONTH_FIRST: ("%m/%d/%Y", "%m/%d/%y", "%m-%d-%Y", "%m-%d-%y"),
    Order.DAY_FIRST: ("%d/%m/%Y", "%d/%m/%y", "%d-%m-%Y", "%d-%m-%y"),
}
_HOW = "type the date as 2024-03-14"


def read_date(cell: Cell, value: Value, order: Order | None) -> date:
    """A calendar day.

    Args:
        cell: the cell
        value: gets what has to be said about it
        order: what is known about month and day in the workbook

    Raises:
        UnreadableValue: it is no day, or could be two
    """
    if isinstance(cell.value, datetime):
        return cell.value.date()
    if isinstance(cell.value, float) and (day := day_of(cell.value, day_zero_1904=False)) is not None:
        value.guess = "it is the number under which spreadsheets keep this day"
        return _said(day.date(), value)
    text = re.sub(r"(?<=\d)(st|nd|rd|th)\b|,", " ", plain_text(str(cell.value)))
    text = " ".join(text.split())
    sure = _days(text, _SURE)
    if sure:
        return sure[0]
    ways = [order] if order else list(_BY_ORDER)
    found = [day for way in ways for day in _days(text, _BY_ORDER[way])[:1]]
    if not found:
        raise UnreadableValue(value.found, "a date", _HOW)
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
