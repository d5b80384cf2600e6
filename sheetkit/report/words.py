"""Turns of phrase that several result sheets share."""

from collections.abc import Sequence

from sheetkit.job.measure import Measure
from sheetkit.job.wording import counted
from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.headings import DIMENSION
from sheetkit.tables.value import default_value, written
from sheetkit.trade.offset import OffsetEstimate
from sheetkit.units import find_unit

_CONVERTED = (Kind.PRESSURE, Kind.FORCE, Kind.TEMPERATURE, Kind.SPREAD)
NONE_BEFORE = "none before the board is used up"
"""Said in place of the first slice out, where the board cannot give it."""


def finer(measure: Measure) -> str:
    """Number format for uncertainties and spreads, one digit more than slices have."""
    return measure.fine + "0"


def finer_signed(measure: Measure) -> str:
    """The same for what may lie below nought."""
    return f"+{finer(measure)};-{finer(measure)};{finer(measure)}"


def finer_text(length_mm: float, measure: Measure) -> str:
    """An uncertainty or a spread inside a sentence, with its unit."""
    return f"{measure.of(length_mm):.{measure.decimals + 1}f} {measure.unit}"


def signed_text(length_mm: float, measure: Measure) -> str:
    """A difference inside a sentence, with its sign and unit."""
    sign = "-" if length_mm < 0 else "+"
    return f"{sign}{measure.text(abs(length_mm))}"


def share_words(share: float) -> str:
    """A share of the slices as a maker would say it.

    >>> share_words(0.031), share_words(0.0042), share_words(0.00001), share_words(0.999)
    ('about 3 in 100', 'about 4 in 1000', 'fewer than 1 in 1000', 'nearly all')
    """
    if share >= 0.99:
        return "nearly all"
    if share >= 0.0095:
        return f"about {share * 100:.0f} in 100"
    return f"about {share * 1000:.0f} in 1000" if share >= 0.001 else "fewer than 1 in 1000"


def slices_words(count: int) -> str:
    """A number of slices."""
    return counted(count, "slice")


def with_blade(species: str, blade: str | None) -> str:
    """A wood, and the blade where blades are told apart."""
    return species if blade is None else f"{species} (blade {blade})"


def legend(text: str) -> str:
    """A name in a chart's legend: some office programs take what follows a comma for another name."""
    return text.replace(",", "")


def in_a_row(names: Sequence[str], places: Sequence[int]) -> str:
    """Names at some places of a list, those that follow one another as a stretch.

    >>> in_a_row("abcdefgh", [0, 2, 3, 4, 6, 7])
    'a, c to e, g, h'
    """
    stretches: list[list[int]] = []
    for place in places:
        if stretches and stretches[-1][-1] == place - 1:
            stretches[-1].append(place)
        else:
            stretches.append([place])
    parts = [
        f"{names[stretch[0]]} to {names[stretch[-1]]}" if len(stretch) > 2 else ", ".join(names[one] for one in stretch)
        for stretch in stretches
    ]
    return ", ".join(parts)


def estimate_name(estimate: OffsetEstimate) -> str:
    """What an offset is the offset of."""
    return with_blade(estimate.species, estimate.blade)


def default_in(column: Column, declared: str, unit: str) -> str:
    """A default in the unit that the job's templates print for it; a length or a time as it is declared.

    Args:
        column: of the setting
        declared: its default as the schema has it
        unit: "in" or "mm"
    """
    label = column.unit_inch if unit == "in" else column.unit_metric
    shown = find_unit(label, DIMENSION[column.kind]) if column.kind in _CONVERTED and label else None
    value = default_value(column)
    if shown is None or not isinstance(value, int | float):
        return declared
    figures = 2 if column.kind is Kind.TEMPERATURE else 3
    return written(shown.to_base(float(f"{shown.from_base(float(value)):.{figures}g}")), shown)
