"""Clock times in cells: right in a column of durations, a puzzle anywhere else."""

import re
from dataclasses import replace
from datetime import timedelta

from sheetkit.errors import UnreadableValue
from sheetkit.reading.model import Cell
from sheetkit.tables.shown import quoted
from sheetkit.units import Dimension, Reading, Unit


def clock_readings(cell: Cell, time: timedelta, unit: Unit, wanted: str) -> tuple[Reading, ...]:
    """The ways to understand a clock time or a duration cell.

    Args:
        cell: the cell
        time: its value
        unit: the column's unit
        wanted: what the column holds, in the maker's words

    Raises:
        UnreadableValue: the column holds neither durations nor numbers that a clock format may have disguised
    """
    if unit.dimension is Dimension.DURATION:
        return _durations(cell, time, unit)
    number = cell.serial if cell.serial is not None else time / timedelta(days=1)
    seconds = number * 86_400
    typed_as_a_number = abs(seconds - round(seconds)) > 1e-4
    if typed_as_a_number and number > 0:
        because = f"the cell is formatted as a clock time, which shows it as {quoted(cell)}"
        return (Reading(value=unit.to_base(number), unit=unit.label, amount=number, because=because),)
    over, _, under = quoted(cell).partition(":")
    maybe = f", for example {over}/{int(under)}" if under.isdigit() and int(under) in (2, 4, 8, 16, 32, 64) else ""
    raise UnreadableValue(
        f"{quoted(cell)} (a clock time)",
        wanted,
        f"format the cell as a number and type {wanted}{maybe} or {number:.5g}",
    )


def clock_text(text: str, unit: Unit) -> tuple[Reading, ...]:
    """The ways to understand a clock time typed as text in a column of durations; none where it is no clock time."""
    match = re.fullmatch(r"\s*(\d{1,3}):([0-5]\d)(?::([0-5]\d))?\s*", text)
    if match is None or unit.dimension is not Dimension.DURATION:
        return ()
    first, second = int(match[1]), int(match[2])
    if match[3] is not None:
        seconds = float(3600 * first + 60 * second + int(match[3]))
        return (Reading(value=seconds, unit=unit.label, own_unit=True, amount=unit.from_base(seconds)),)
    ways = ((3600 * first + 60 * second, "hours and minutes"), (60 * first + second, "minutes and seconds"))
    return tuple(
        Reading(value=float(each), unit=unit.label, own_unit=True, amount=unit.from_base(each), because=f"it is {what}")
        for each, what in ways
    )


def _durations(cell: Cell, time: timedelta, unit: Unit) -> tuple[Reading, ...]:
    seconds = time.total_seconds()
    code = cell.number_format.lower()
    amount = unit.from_base(seconds)
    plain = Reading(value=seconds, unit=unit.label, own_unit=True, amount=amount)
    if "h" not in code or "[" in code or unit.label not in {"min", "s"}:
        return (plain,)
    hours_first = replace(plain, because=f"the cell shows hours and minutes ({cell.number_format})")
    if seconds < 3600 or "s" in code:
        return (hours_first,)
    short = replace(
        plain, value=seconds / 60, amount=amount / 60, because="minutes and seconds were meant, but the cell took hours"
    )
    return (hours_first, short)
