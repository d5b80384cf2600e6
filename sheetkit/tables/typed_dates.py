"""What was typed before a spreadsheet program made a date of it: 1/8 became 8 January, 1-7/8 the 7 January 2008."""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from fractions import Fraction

from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH

from sheetkit.reading.model import Cell, Kind, Workbook


class Order(StrEnum):
    """Which comes first where a date is typed in figures."""

    MONTH_FIRST = "month before day"
    DAY_FIRST = "day before month"


@dataclass(frozen=True, slots=True)
class Days:
    """How a workbook keeps its days.

    Attributes:
        order: what its dates show about month and day; None where they show nothing
        day_zero_1904: numbers of days count from 1904
    """

    order: Order | None = None
    day_zero_1904: bool = False


@dataclass(frozen=True, slots=True)
class Typed:
    """A fraction that a program may have turned into a date.

    Attributes:
        text: as it was probably typed
        value: the fraction
        order: the order of month and day that it supposes; None where it supposes none
        quarters: whole quarters, the name of a nominal thickness
    """

    text: str
    value: Fraction
    order: Order | None
    quarters: bool = False


FIRST_TYPED = 2010
"""A day and a month get the year in which they were typed; a date further back was no number with a point."""
_FRACTION_YEARS = {2002: 2, 2004: 4, 2008: 8, 2016: 16, 1932: 32, 1964: 64}
"""Years that a two-figure denominator becomes: below 30 the programs take 20xx, from 30 on 19xx."""


def typed_fractions(moment: datetime, order: Order | None, *, quarters: bool) -> list[Typed]:
    """The fractions that a date may have been typed as.

    Only what people write counts: a denominator of 2 to 64 that is a power of two, or whole quarters where the
    column may hold them.

    Args:
        moment: the date
        order: what is known about the order of month and day in this workbook
        quarters: 5/4 and the like are plausible
    """
    found: list[Typed] = []
    month, day, year = moment.month, moment.day, moment.year
    if year in (1932, 1964) and day == 1:
        found += _fraction(0, month, year % 100, None, quarters=False)
    for way, first, second in ((Order.MONTH_FIRST, month, day), (Order.DAY_FIRST, day, month)):
        if order in (None, way):
            if year > 1990:
                found += _fraction(0, first, second, way, quarters=quarters)
            if year in _FRACTION_YEARS and not (year < 1990 and day == 1):
                found += _fraction(first, second, _FRACTION_YEARS[year], way, quarters=False)
    return found


def _fraction(whole: int, over: int, under: int, order: Order | None, *, quarters: bool) -> list[Typed]:
    if quarters and not whole and under == 4 and 4 <= over <= 16:
        return [Typed(f"{over}/4", Fraction(over, 4), order, quarters=True)]
    if over >= under or under not in (2, 4, 8, 16, 32, 64) or (whole and not over % 2):
        return []
    text = f"{whole}-{over}/{under}" if whole else f"{over}/{under}"
    return [Typed(text, whole + Fraction(over, under), order)]


def typed_decimal(moment: datetime, number_format: str) -> str:
    """The number that a date may have been typed as with a point: day and month, or month and a two-figure year.

    Args:
        moment: the date
        number_format: how the cell shows it, which tells the two ways apart
    """
    code = number_format.lower()
    if moment.year in _FRACTION_YEARS and "m" in code and "d" in code:
        return ""
    if "d" in code or "m" not in code:
        if moment.year < FIRST_TYPED:
            return ""
        return f"{moment.day}.{moment.month}"
    return f"{moment.month}.{moment.year % 100:02d}" if moment.day == 1 else ""


def typed_names(moment: datetime, order: Order | None) -> list[str]:
    """The names such as 3-1 that a date may have been typed as, the likelier first."""
    ways = {Order.MONTH_FIRST: f"{moment.month}-{moment.day}", Order.DAY_FIRST: f"{moment.day}-{moment.month}"}
    names = [ways[order]] if order else list(ways.values())
    if moment.day == 1 and not order:
        names.append(f"{moment.month}-{moment.year % 100}")
    return list(dict.fromkeys(names))


def day_of(serial: float, *, day_zero_1904: bool) -> datetime | None:
    """The date that a bare day number stands for, where it is one of the years in which dates are typed today."""
    if serial != int(serial) or not 10_000 <= serial <= 60_000:
        return None
    return (MAC_EPOCH if day_zero_1904 else WINDOWS_EPOCH) + timedelta(days=int(serial))


def order_of_format(number_format: str) -> Order | None:
    """The order of month and day in a number format that shows both in figures; None where it tells nothing.

    The built-in short date follows the machine's language, so it proves nothing about where the file was typed.
    """
    code = re.sub(r'"[^"]*"|\\.|\[[^\]]*\]', "", number_format.split(";", maxsplit=1)[0]).lower()
    if code in {"mm-dd-yy", "m/d/yy", "d-mmm", "d-mmm-yy", "mmm-yy"} or re.match(r"y", code):
        return None
    match = re.search(r"(?<![dmy])(m{1,2}|d{1,2})[^a-z]{1,3}(m{1,2}|d{1,2})(?![dmy])", code)
    if match is None or match[1][0] == match[2][0] or "h" in code[: match.start()]:
        return None
    return Order.MONTH_FIRST if match[1][0] == "m" else Order.DAY_FIRST


def order_in(workbook: Workbook) -> Order | None:
    """The order that the workbook's own date formats show, where they agree."""
    seen = {
        order_of_format(cell.number_format)
        for sheet in workbook.sheets
        if sheet.result_key is None
        for cell in sheet.cells.values()
        if cell.kind is Kind.DATE
    } - {None}
    return seen.pop() if len(seen) == 1 else None


def order_of_column(cells: list[Cell], *, quarters: bool) -> Order | None:
    """The order that the dates of one length column prove: those that are a plausible fraction in one order only."""
    proven: set[Order] = set()
    for cell in cells:
        if cell.kind is Kind.DATE and isinstance(cell.value, datetime):
            ways = {typed.order for typed in typed_fractions(cell.value, None, quarters=quarters) if typed.order}
            proven |= ways if len(ways) == 1 else set()
    return proven.pop() if len(proven) == 1 else None
