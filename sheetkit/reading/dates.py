"""Whether a number is a date, a time or just a number, told by its number format, and the date it stands for."""

import re
from datetime import datetime, timedelta
from enum import Enum, auto
from functools import lru_cache
from typing import Final

from openpyxl.styles.numbers import STRIP_RE, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel

from sheetkit.reading.model import CellValue, Kind

LAST_SERIAL: Final = 2_958_466
"""The day after 31 December 9999 in the 1900 system; spreadsheet programs know no later one."""

LONGEST_CLOCK_DAYS: Final = 1000
"""A larger number under a clock format is a date of which only the time is shown, not a duration."""


class _Shape(Enum):
    NUMBER = auto()
    DATE = auto()
    CLOCK = auto()
    ELAPSED = auto()


def read_serial(serial: float, number_format: str, *, day_zero_1904: bool) -> tuple[Kind, CellValue]:
    """What a stored number means under its number format.

    Args:
        serial: the number as stored; for dates and times days since day zero
        number_format: format code in the notation of .xlsx
        day_zero_1904: dates count from 1904

    Returns:
        NUMBER, DATE or DURATION with its value; a number that is no date the programs can show stays NUMBER
    """
    shape = _shape(number_format)
    if shape is _Shape.NUMBER:
        return Kind.NUMBER, serial
    if shape is _Shape.ELAPSED or (shape is _Shape.CLOCK and 0 <= serial < LONGEST_CLOCK_DAYS):
        return _duration(serial)
    first_day = 0 if day_zero_1904 else 1
    if not first_day <= serial < LAST_SERIAL - (1462 if day_zero_1904 else 0):
        return Kind.NUMBER, serial
    moment = _moment(serial, MAC_EPOCH if day_zero_1904 else WINDOWS_EPOCH)
    return (Kind.NUMBER, serial) if moment is None else (Kind.DATE, moment)


def shows_a_number(number_format: str) -> bool:
    """Whether a number under this format is just a number."""
    return _shape(number_format) is _Shape.NUMBER


def _moment(serial: float, epoch: datetime) -> datetime | None:
    """The date, None where rounding carries it past the last one; below 1 the library would give a bare time."""
    whole_days = timedelta(days=1) if serial < 1 else timedelta(0)
    try:
        moment = from_excel(serial + whole_days.days, epoch)
    except OverflowError:
        return None
    return moment - whole_days if isinstance(moment, datetime) else None


def _duration(serial: float) -> tuple[Kind, CellValue]:
    """The duration to the millisecond, which is finer than what the programs show."""
    if abs(serial) >= LAST_SERIAL:
        return Kind.NUMBER, serial
    return Kind.DURATION, timedelta(milliseconds=round(serial * 86_400_000))


@lru_cache(maxsize=4096)
def _shape(number_format: str) -> _Shape:
    if not is_date_format(number_format):
        return _Shape.NUMBER
    if is_timedelta_format(number_format):
        return _Shape.ELAPSED
    codes = re.sub(r"[\\_].", "", STRIP_RE.sub("", number_format.split(";", maxsplit=1)[0])).lower()
    if re.search(r"[dy]", codes) or not re.search(r"[hs]", codes):
        return _Shape.DATE
    return _Shape.CLOCK
