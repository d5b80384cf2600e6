"""What to look at before gluing and after: moisture of lots, age of surfaces, bleeding woods, rest."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import ceil


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot of wood with the moisture that a meter read.

    Attributes:
        name: the maker's name for board or lot
        species: label of the wood
        moisture_pct: moisture content by the meter, None where it was not read [%]
    """

    name: str
    species: str
    moisture_pct: float | None


@dataclass(frozen=True, slots=True)
class MoistureFinding:
    """A lot, or two, whose moisture stands against gluing.

    Attributes:
        lots: name of the lot, or of both where they differ too much
        kind: "too wet", "too dry", "too different" or "not read"
        text: one sentence with the figures
    """

    lots: tuple[str, ...]
    kind: str
    text: str


def moisture_findings(
    lots: Sequence[Lot], wettest_pct: float, driest_pct: float, difference_pct: float
) -> tuple[MoistureFinding, ...]:
    """List the lots that are too wet, too dry or too far from one another to be glued; lots are never averaged.

    Args:
        lots: every lot that goes into one panel
        wettest_pct: most moisture that wood may hold when it is glued [%]
        driest_pct: least moisture that wood should hold [%]
        difference_pct: most that two lots of one panel should differ [%]

    Source: own rule; the limits are settings, to be taken from the adhesive's data sheet.

    >>> lots = [Lot("M1", "maple", 8.9), Lot("W2", "walnut", 13.0)]
    >>> [finding.text for finding in moisture_findings(lots, 11.0, 6.0, 5.0)]
    ['W2 (walnut) reads 13 %, above the limit of 11 %']
    """
    read = [(lot, lot.moisture_pct) for lot in lots if lot.moisture_pct is not None]
    found = [_not_read(lot) for lot in lots if lot.moisture_pct is None]
    for lot, moisture in read:
        if moisture > wettest_pct:
            found.append(_out(lot, moisture, "too wet", f"above the limit of {wettest_pct:g} %"))
        elif moisture < driest_pct:
            found.append(_out(lot, moisture, "too dry", f"below the limit of {driest_pct:g} %"))
    if read:
        wet, dry = max(read, key=lambda pair: pair[1]), min(read, key=lambda pair: pair[1])
        apart = wet[1] - dry[1]
        if apart > difference_pct + 1e-9:
            text = (
                f"{wet[0].name} ({wet[0].species}) at {wet[1]:g} % and {dry[0].name} ({dry[0].species}) at "
                f"{dry[1]:g} % lie {apart:.3g} points apart, more than {difference_pct:g}"
            )
            found.append(MoistureFinding((wet[0].name, dry[0].name), "too different", text))
    return tuple(found)


def surface_is_stale(age_min: float, limit_min: float) -> bool:
    """Tell whether a surface is older than the adhesive likes; at the limit it is not.

    Args:
        age_min: age of the surface at gluing, >= 0 [min]
        limit_min: oldest that is wanted, > 0 [min]

    Source: the limit is a setting (common practice, no source: an hour for dense and oily woods).

    >>> surface_is_stale(age_min=110.0, limit_min=60.0)
    True
    """
    return age_min > limit_min


def bleeding_lines(dark_dust: Sequence[bool], pale: Sequence[bool]) -> tuple[tuple[int, int], ...]:
    """List the lines at which a wood with staining dust meets a pale one.

    Args:
        dark_dust: for each layer in order, whether its dust stains
        pale: for each layer in order, whether it shows stains

    Raises:
        ValueError: if the two lists differ in length.

    Returns:
        The two layers on either side of each such line, the first layer being 1.

    Source: own rule on traits that are common practice, no source.

    >>> bleeding_lines([False, True, False, False, False], [True, False, True, False, True])
    ((1, 2), (2, 3))
    """
    layers = list(zip(dark_dust, pale, strict=True))
    return tuple(
        (place, place + 1)
        for place, (one, other) in enumerate(pairwise(layers), start=1)
        if (one[0] and other[1]) or (one[1] and other[0])
    )


def earliest_machining(glued: date, rest_days: float) -> date:
    """Find the day before which a panel should not be machined; part of a day counts as a whole one.

    Args:
        glued: day of the last glue-up
        rest_days: days to rest, >= 0 [days]

    Source: calendar; the days are a setting (common practice, no source: about a week before finish machining).

    >>> earliest_machining(date(2024, 2, 26), rest_days=7.0)
    datetime.date(2024, 3, 4)
    """
    return glued + timedelta(days=ceil(rest_days - 1e-9))


def _not_read(lot: Lot) -> MoistureFinding:
    return MoistureFinding((lot.name,), "not read", f"{lot.name} ({lot.species}) has no moisture reading")


def _out(lot: Lot, moisture_pct: float, kind: str, limit: str) -> MoistureFinding:
    return MoistureFinding((lot.name,), kind, f"{lot.name} ({lot.species}) reads {moisture_pct:g} %, {limit}")
