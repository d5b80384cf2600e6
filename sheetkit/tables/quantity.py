"""Reads the cell of a column that holds quantities: used where one reading is plausible, else asked about."""

import math
import re
from dataclasses import replace
from datetime import datetime, timedelta

from sheetkit.errors import Harm, UnreadableValue
from sheetkit.reading.model import Cell
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.clock import clock_readings, clock_text
from sheetkit.tables.columns import LENGTH_KINDS, Kind
from sheetkit.tables.findings import Findings, Line, Spot
from sheetkit.tables.outside import LARGEST, inside, offer, outside, unit_of, way_of
from sheetkit.tables.shown import currency_of, is_percent_format, quoted, unit_of_format
from sheetkit.tables.shown_and_stored import note_hidden_digits
from sheetkit.tables.typed_dates import day_of, typed_decimal, typed_fractions
from sheetkit.tables.value import Context, Outside, Value, written
from sheetkit.units import Comma, Dimension, Reading, find_unit, read_quantity
from sheetkit.units.words import exact

COLDEST_SHOP_C, WARMEST_SHOP_C = 5.0, 40.0
"""Temperatures at which people work and live; beyond them a bare number may be in the other scale."""
TOLERANCE = "tolerance_mm"
_EITHER_WAY = re.compile(r"^\s*(?:±|\+\s*/?\s*[-–−])\s*(?=[\d.,])")
_POINT_AND_THREE = re.compile(r"(?<![\d.,])[1-9]\d{0,2}\.\d{3}(?![\d.,])")
_POINT_GROUPS = "its point is taken as a thousands separator"
_CURRENCY = re.compile(r"^\s*([$€£¥]|(?:US|CA|AU|NZ)\$|[A-Z]{3}\b)\s*|\s*([$€£¥]|\b[A-Z]{3}|euros?|dollars?|kr|zł)\s*$")


def read_quantity_cell(cell: Cell, context: Context, spot: Spot, findings: Findings) -> Value:
    """One cell of a column of quantities.

    Args:
        cell: it holds something, and neither a dash nor a ditto mark
        context: what is known about its column
        spot: where it stands
        findings: collects what has to be said about it
    """
    value = Value(context.column, spot, found=quoted(cell), parts=context.parts)
    try:
        readings = cell_readings(cell, context)
        chosen = _choose(readings, context, value)
    except UnreadableValue as problem:
        why = re.search(r" \([^()]*\)$", problem.found) if context.dimension is Dimension.MONEY else None
        found = f"{value.found}{why[0]}" if why else problem.found
        said = findings.at(spot, found, problem.wanted, problem.fix)
        if value.outside is not None:
            value.outside.said = said
        value.refuse()
        return value
    _take(chosen, context, value)
    if context.column.kind is Kind.COUNT and value.number is not None:
        value.value = int(value.number)
    line = _line(chosen, context, value)
    value.lines += [line] if line else []
    note_hidden_digits(cell, context, value, chosen.amount)
    return value


def cell_readings(cell: Cell, context: Context) -> tuple[Reading, ...]:
    """All the ways in which a cell can be understood.

    Raises:
        UnreadableValue: it holds no quantity at all
    """
    value, fix = cell.value, f"type {context.wanted}, or empty the cell"
    if cell.kind is CellKind.ERROR:
        raise UnreadableValue(f"the error {value}", context.wanted, f"mend the formula, or {fix}")
    if cell.kind is CellKind.NO_RESULT:
        found = f"the formula {cell.formula} without a stored result"
        raise UnreadableValue(
            found, context.wanted, "open the file in your spreadsheet program and save it, or type the value"
        )
    if isinstance(value, bool):
        raise UnreadableValue("TRUE" if value else "FALSE", context.wanted, fix)
    if isinstance(value, datetime):
        return _date_readings(cell, value, context)
    if isinstance(value, timedelta):
        return clock_readings(cell, value, context.unit, context.wanted)
    if isinstance(value, float | int):
        return _number_readings(cell, float(value), context)
    return _text_readings(str(value), context)


def _text_readings(text: str, context: Context) -> tuple[Reading, ...]:
    currency = ""
    if context.dimension is Dimension.MONEY and (match := _CURRENCY.search(text)):
        text, currency = _CURRENCY.sub("", text, count=1), (match[1] or match[2]).strip()
    clock = clock_text(text, context.unit)
    if clock:
        return clock
    comma = context.comma
    if context.dimension is Dimension.MONEY:
        text = re.sub(r"(?<=\d)[.,]?\s*[-–—]+\s*$", "", text)
    if context.column.field == TOLERANCE:
        text = _EITHER_WAY.sub("", text)
    if context.dimension is Dimension.MONEY and re.fullmatch(r"\s*[1-9]\d{0,2},\d{3}\s*", text):
        comma = Comma.THOUSANDS
    readings = read_quantity(text, context.dimension, context.unit, comma=comma, quarters=context.quarters)
    if currency:
        return tuple(replace(reading, unit=currency, own_unit=True) for reading in readings)
    readings = _foot_mark_on_a_thickness(readings, text, context)
    readings = _share_in_text(_mil_in_a_metric_column(readings, context), context)
    if context.dimension is Dimension.TEMPERATURE:
        readings = _either_scale(readings, context)
    grouped = context.comma is not Comma.DECIMAL and _POINT_AND_THREE.search(text)
    if grouped and not any(inside(reading, context) for reading in readings):
        thousands = read_quantity(text, context.dimension, context.unit, comma=Comma.DECIMAL)
        return (*readings, *(replace(each, because=_POINT_GROUPS) for each in thousands if each.because))
    return readings


def _foot_mark_on_a_thickness(readings: tuple[Reading, ...], text: str, context: Context) -> tuple[Reading, ...]:
    """A thickness of so many feet is more likely one in inches with half of its mark missing."""
    inch = find_unit("in")
    marked = re.search(r"[\d.]\s*['\u2019\u2032\u00b4`]\s*$", text)
    if context.column.kind is Kind.LENGTH or not marked or readings[0].unit != "ft" or inch is None:
        return readings
    feet = [replace(each, because=each.because or "its mark is a foot mark") for each in readings]
    because = "half of its inch mark is missing"
    inches = [replace(each, value=inch.to_base(each.amount), unit="in", because=because) for each in readings]
    return (*feet, *inches)


def _share_in_text(readings: tuple[Reading, ...], context: Context) -> tuple[Reading, ...]:
    """A bare number below 1 in a column of per cent may be a share of 1, typed as text or not."""
    if context.dimension is not Dimension.PERCENT or len(readings) > 1 or readings[0].own_unit:
        return readings
    return tuple(
        replace(readings[0], value=each.value, amount=each.amount, because=each.because or readings[0].because)
        for each in _shares(readings[0].value)
    )


def _either_scale(readings: tuple[Reading, ...], context: Context) -> tuple[Reading, ...]:
    """A bare temperature that is none of a workshop in its column's scale may be meant in the other one."""
    if readings[0].own_unit or context.unit_is_named or _is_mild(readings[0].value):
        return readings
    other = find_unit("°C" if context.unit.label == "°F" else "°F")
    if other is None or not _is_mild(other.to_base(readings[0].amount)):
        return readings
    plain = replace(readings[0], because=readings[0].because or f"it is in {context.unit.label} like the workbook")
    value, because = other.to_base(plain.amount), f"it is taken as {other.label}"
    return (plain, replace(plain, value=value, unit=other.label, because=because))


def _is_mild(celsius: float) -> bool:
    return COLDEST_SHOP_C <= celsius <= WARMEST_SHOP_C


def _mil_in_a_metric_column(readings: tuple[Reading, ...], context: Context) -> tuple[Reading, ...]:
    """In metric shops "mil" is said for millimetre, elsewhere for a thousandth of an inch."""
    if readings[0].unit != "mil" or context.unit.label not in {"mm", "cm"}:
        return readings
    thou = [replace(reading, because=reading.because or "a mil is a thousandth of an inch") for reading in readings]
    metric = [
        replace(reading, value=reading.amount, unit="mm", because="mil is taken as millimetre in a metric column")
        for reading in readings
    ]
    return (*thou, *metric)


def _number_readings(cell: Cell, number: float, context: Context) -> tuple[Reading, ...]:
    if not math.isfinite(number) or abs(number) > LARGEST:
        raise UnreadableValue(str(number), context.wanted, f"type {context.wanted}, or empty the cell")
    if context.dimension is Dimension.PERCENT:
        return _percent_readings(number, cell)
    unit = unit_of_format(cell.number_format, context.dimension)
    label = currency_of(cell.number_format) if context.dimension is Dimension.MONEY else (unit or context.unit).label
    because = f"its number format writes {unit.label} behind it" if unit and unit.label != context.unit.label else ""
    plain = Reading(
        value=(unit or context.unit).to_base(number),
        unit=label,
        own_unit=unit is not None,
        because=because,
        amount=number,
    )
    if context.dimension is Dimension.TEMPERATURE:
        return _either_scale((plain,), context)
    day = day_of(number, day_zero_1904=context.day_zero_1904) if context.column.kind in LENGTH_KINDS else None
    if day is None or inside(plain, context):
        return (plain,)
    now = f"the day number {number:.0f} ({day.day}-{day:%b-%Y})"
    return (plain, *_typed_as_fraction(day, now, context), *_typed_as_decimal(day, now, cell, context))


def _percent_readings(number: float, cell: Cell) -> tuple[Reading, ...]:
    if is_percent_format(cell.number_format):
        share = float(exact(number) * 100)
        return (Reading(value=share, unit="%", own_unit=True, amount=share),)
    return _shares(number)


def _shares(number: float) -> tuple[Reading, ...]:
    share = float(exact(number) * 100)
    plain = Reading(value=number, unit="%", amount=number)
    if not 0 < abs(number) < 1:
        return (plain,)
    because = f"{number:g} is taken as a share of 1"
    return (
        replace(plain, because=f"{number:g} is taken as per cent"),
        replace(plain, value=share, amount=share, because=because),
    )


def _date_readings(cell: Cell, moment: datetime, context: Context) -> tuple[Reading, ...]:
    fix = f"format the cell as a number or as text and type {context.wanted}"
    if context.dimension is not Dimension.LENGTH:
        raise UnreadableValue(f"{quoted(cell)} (a date)", context.wanted, fix)
    readings: list[Reading] = []
    serial = cell.serial
    if serial is not None and 0 < serial < 400:
        because = "the cell is formatted as a date, but holds this number"
        readings.append(
            Reading(value=context.unit.to_base(serial), unit=context.unit.label, amount=serial, because=because)
        )
    readings += _typed_as_fraction(moment, f"the date {quoted(cell)}", context)
    readings += _typed_as_decimal(moment, f"the date {quoted(cell)}", cell, context)
    if not readings:
        raise UnreadableValue(f"{quoted(cell)} (a date)", context.wanted, fix)
    return tuple(readings)


def _typed_as_fraction(moment: datetime, now: str, context: Context) -> list[Reading]:
    inch = find_unit("in")
    assert inch is not None  # noqa: S101 - it is in our own table
    return [
        Reading(
            value=inch.to_base(typed.value),
            unit="in",
            amount=float(typed.value),
            nominal=typed.quarters,
            because=f"{typed.text} becomes {now} when it is typed into a cell"
            + (f" ({typed.order.value})" if typed.order else ""),
        )
        for typed in typed_fractions(moment, context.order, quarters=context.quarters)
    ]


def _typed_as_decimal(moment: datetime, now: str, cell: Cell, context: Context) -> list[Reading]:
    """In countries that write dates with points, 4.3 typed with a point instead of a comma becomes the 4th of March."""
    metric = context.unit.label in {"mm", "cm", "m", "µm"}
    if not (metric or re.search(r"d\W*\.\W*m", cell.number_format, re.IGNORECASE)):
        return []
    text = typed_decimal(moment, cell.number_format)
    if not text:
        return []
    amount = float(text)
    because = f"{text} becomes {now} when it is typed with a point where the comma is usual"
    return [Reading(value=context.unit.to_base(amount), unit=context.unit.label, amount=amount, because=because)]


def _choose(readings: tuple[Reading, ...], context: Context, value: Value) -> Reading:
    """The one plausible reading; raises UnreadableValue where there is none or more than one."""
    sensible = _different([reading for reading in readings if inside(reading, context)])
    if not sensible:
        value.outside = Outside(readings[0].amount, way_of(readings[0], context), own_unit=readings[0].own_unit)
        raise outside(readings[0], context, value)
    if len(sensible) > 1:
        offers = " or ".join(offer(reading, context) for reading in sensible)
        reasons = "; ".join(
            f"{offer(reading, context)} if {reading.because}" for reading in sensible if reading.because
        )
        raise UnreadableValue(
            f"{value.found}, which can be read in more than one way ({reasons})", context.wanted, f"type {offers}"
        )
    chosen = sensible[0]
    if chosen.several and not context.mean_makes_sense and len(set(chosen.several)) == 1:
        raise _counted(chosen, context, value)
    if chosen.several and not context.mean_makes_sense:
        offers = " or ".join(dict.fromkeys(written(each, unit_of(chosen, context)) for each in chosen.several))
        raise UnreadableValue(f"{value.found}, more than one number", f"one number: {context.wanted}", f"type {offers}")
    if context.column.kind is Kind.COUNT and chosen.value != int(chosen.value):
        raise UnreadableValue(value.found, context.wanted, "type a whole number")
    return chosen


def _counted(chosen: Reading, context: Context, value: Value) -> UnreadableValue:
    """The finding for a number of equal pieces in a cell that holds one measure."""
    count = len(chosen.several)
    return UnreadableValue(
        f"{value.found}, {count} of them in one cell",
        f"one number: {context.wanted}",
        f"type {offer(chosen, context)} here if that is one of them, and {count} in a column of its own",
    )


def _different(readings: list[Reading]) -> list[Reading]:
    kept: list[Reading] = []
    for reading in readings:
        if all(not math.isclose(reading.value, other.value, rel_tol=1e-9) for other in kept):
            kept.append(reading)
    return kept


def _take(chosen: Reading, context: Context, value: Value) -> None:
    value.value, value.unit, value.own_unit = chosen.value, chosen.unit, chosen.own_unit
    value.remark, value.guess, value.doubtful = chosen.remark, chosen.because, chosen.doubtful
    value.low, value.high, value.several = chosen.low, chosen.high, chosen.several
    if value.several and not context.many and len(set(value.several)) == 1:
        value.several = ()


def _line(chosen: Reading, context: Context, value: Value) -> Line | None:
    used = offer(chosen, context)
    because = f" because {chosen.because}" if chosen.because else ""
    if chosen.nominal:
        return Line(
            f"nominal {used}",
            f"{value.found}, read as a nominal thickness of {used}{because}",
            "the measured thickness",
            "measure the board and type what it measures; the yield needs the measured thickness",
            Harm.DOUBTFUL,
        )
    if chosen.doubtful:
        return Line(
            "doubtful",
            f"{value.found}, marked as doubtful; {used} is used{because}",
            context.wanted,
            "measure again, or take the mark away",
            Harm.DOUBTFUL,
        )
    if chosen.because:
        return Line(
            chosen.because,
            f"{value.found}, read as {used}{because}",
            context.wanted,
            f"type {used} plainly if that is right, else the right value",
            Harm.GUESSED,
        )
    return None
