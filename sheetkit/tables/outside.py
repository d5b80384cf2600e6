"""Numbers that are not sensible in their column: what is said of one, and of a column full of them."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from sheetkit.errors import CellProblem, UnreadableValue
from sheetkit.tables.columns import Kind
from sheetkit.tables.findings import LONGEST_LISTED, Findings, rows_in_words
from sheetkit.tables.layout import Use
from sheetkit.tables.value import SPOKEN, Context, Outside, Value, Way, bounds, written
from sheetkit.units import Dimension, Reading, Unit, find_unit
from sheetkit.units.words import UNITS, exact

LARGEST: Final = 1e15
"""No quantity in a workshop is larger, whatever its unit; a spreadsheet does not keep more digits either."""
MOST_OFFERS: Final = 2
MOST_SINGLE: Final = 50
"""So many values of a column are told one by one where each needs another mend."""
LONGEST_ROWS: Final = 80
"""So many characters of row numbers are listed."""
_OFFERED: Final = ", for example "
_LENGTHS: Final = ("thou", "mm", "in", "µm")
"""The units of length that are tried, the likeliest first."""
_POWERS: Final = (Fraction(1, 10), Fraction(1, 100), Fraction(1, 1000), Fraction(10), Fraction(100))


def inside(reading: Reading, context: Context) -> bool:
    """Whether a reading is sensible in its column."""
    return abs(reading.value) < LARGEST and all(
        _sensible(value, context, context.parts) for value in (reading.value, *reading.several)
    )


def _sensible(value: float, context: Context, parts: int) -> bool:
    low, high = bounds(context.column)
    slack = 1e-9
    return (low is None or value / parts >= low - slack) and (high is None or value / parts <= high + slack)


def unit_of(reading: Reading, context: Context) -> Unit:
    """The unit of a reading, that of its column where it has none."""
    return find_unit(reading.unit, context.dimension) or context.unit


def offer(reading: Reading, context: Context) -> str:
    """A reading as the maker would write it."""
    return written(reading.value, unit_of(reading, context))


def way_of(reading: Reading, context: Context) -> Way:
    """How a reading that is not sensible is out of range."""
    low, _ = bounds(context.column)
    if low is not None and low > 0 and reading.value == 0 and context.column.kind is not Kind.COUNT:
        return Way.NOTHING
    if low is not None and low >= 0 and reading.value < 0:
        return Way.NEGATIVE
    return Way.SMALL if low is not None and reading.value / context.parts < low else Way.LARGE


def outside(reading: Reading, context: Context, value: Value) -> UnreadableValue:
    """The finding for a value that is not sensible in its column."""
    way = way_of(reading, context)
    if way is Way.NOTHING:
        fix = "empty the cell if it was not measured; else type the value"
        return UnreadableValue(f"{value.found}, and 0 is usually a slip here", context.wanted, fix)
    if way is Way.NEGATIVE:
        fix = f"type {offer(replace(reading, value=-reading.value), context)}, without the minus sign, if that is meant"
        return UnreadableValue(f"{value.found}, less than nothing", context.wanted, fix)
    offers = _other_units(reading, context)
    fix = "type the right value" + (f"{_OFFERED}{' or '.join(offers)} if that is meant" if offers else "")
    return UnreadableValue(f"{value.found}, not sensible here", _wanted(context), fix)


def _wanted(context: Context) -> str:
    low, high = bounds(context.column)
    ends = []
    if low is not None:
        ends.append(f"not below {written(low * context.parts, context.unit)}")
    if high is not None:
        ends.append(f"not above {written(high * context.parts, context.unit)}")
    if context.parts > 1 and ends:
        ends[-1] += f" for {context.parts} slices"
    return f"{context.wanted}, {' and '.join(ends)}" if ends else context.wanted


def _other_units(reading: Reading, context: Context) -> list[str]:
    """What may have been meant by a value that is not sensible: another unit, or the point elsewhere."""
    percent = replace(reading, value=reading.value / 100)
    if context.dimension is Dimension.PERCENT and reading.value >= 100 and inside(percent, context):
        return [offer(percent, context)]
    if context.dimension is not Dimension.LENGTH or reading.own_unit or reading.several:
        return []
    offers = [f"{reading.amount:g} {label}" for label in _labels_that_fit([(reading.amount, context.parts)], context)]
    units = len(offers)
    for power in _POWERS:
        moved = replace(reading, value=float(exact(reading.value) * power))
        if not units and len(offers) < MOST_OFFERS and inside(moved, context):
            offers.append(offer(moved, context))
    return offers


def _labels_that_fit(amounts: Sequence[tuple[float, int]], context: Context) -> list[str]:
    """The units, other than the column's, in which every amount is sensible for its number of slices."""
    others = [unit for unit in UNITS.values() if unit.dimension is context.dimension]
    labels = _LENGTHS if context.dimension is Dimension.LENGTH else tuple(unit.label for unit in others)
    fitting = []
    for label in dict.fromkeys(labels):
        unit = find_unit(label, context.dimension)
        if unit is not None and label != context.unit.label:
            values = ((unit.to_base(amount), parts) for amount, parts in amounts)
            if all(abs(value) < LARGEST and _sensible(value, context, parts) for value, parts in values):
                fitting.append(label)
    return fitting[:MOST_OFFERS]


def say_of_column(values: Sequence[Value], use: Use, context: Context, findings: Findings) -> None:
    """Many numbers of a column that are out of range in the same way become one finding.

    Some among good ones stay single where no one unit would mend them all, unless they are too many to be listed.

    Args:
        values: the column's values, every row
        use: the column
        context: what is known about it
        findings: holds a finding about each of them; gets one in their place
    """
    bare = [value for value in values if value.outside is not None or (value.number is not None and not value.own_unit)]
    for way in Way:
        found = [(value, value.outside) for value in bare if value.outside is not None and value.outside.way is way]
        found = [(value, out) for value, out in found if not out.own_unit and out.said is not None]
        whole = len(found) == len(bare)
        if len(found) <= (1 if whole else LONGEST_LISTED):
            continue
        labels = _labels_that_fit([(out.amount, value.parts) for value, out in found], context)
        alike = way in (Way.NOTHING, Way.NEGATIVE) or bool(labels)
        if whole or alike or len(found) > MOST_SINGLE:
            said = [out.said for _, out in found if out.said is not None]
            findings.say_instead(said, _of_many(found, said[0], labels, use, context, whole=whole))


def _of_many(
    found: Sequence[tuple[Value, Outside]],
    of_first: CellProblem,
    labels: Sequence[str],
    use: Use,
    context: Context,
    *,
    whole: bool,
) -> CellProblem:
    (first, out), more = found[0], len(found) - 1
    spoken = SPOKEN.get(context.unit.label, context.unit.label)
    in_unit = f" in {spoken}" if spoken and out.way in (Way.SMALL, Way.LARGE) else ""
    others = f"{more} more value{'s' if more > 1 else ''} of the column"
    if not whole:
        others += f" ({_rows([value.spot.row for value, _ in found[1:]])})"
    wanted = _wanted(replace(context, parts=1)) if out.way in (Way.SMALL, Way.LARGE) else context.wanted
    return CellProblem(
        first.spot.sheet,
        first.spot.address,
        f"{first.found} and {others}, {'every one' if whole else 'each'} {out.way}{in_unit}",
        wanted,
        _mend(out, of_first, labels, use, whole=whole),
    )


def _rows(rows: Sequence[int]) -> str:
    words = rows_in_words(rows)
    if len(words) > LONGEST_ROWS:
        return f"between row {min(rows)} and row {max(rows)}"
    return f"row{'s' if len(rows) > 1 else ''} {words}"


def _mend(out: Outside, of_first: CellProblem, labels: Sequence[str], use: Use, *, whole: bool) -> str:
    if out.way is Way.NOTHING:
        return "empty the cells if they were not measured; else type the values"
    if out.way is Way.NEGATIVE:
        return "type them without the minus sign, if that is meant"
    if not labels:
        return f"{of_first.fix}; look at the others one by one" if _OFFERED in of_first.fix else "type the right values"
    if whole:
        units = " or ".join(f"({label})" for label in labels)
        place = f"the heading {use.heading_address}"
        return f"write {units} as the unit in {place} if that is meant; else type the right values"
    typed = " or ".join(f"{out.amount:g} {label}" for label in labels)
    return f"type each with its unit, for example {typed}, if that is meant; else type the right values"
