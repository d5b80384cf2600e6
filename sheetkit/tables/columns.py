"""How a column or a setting is declared: once, on the field that will hold it."""

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any


class Kind(StrEnum):
    """What a cell means. The base unit behind each kind is what the typed rows carry."""

    LENGTH = "length"
    """Millimetres."""
    THICKNESS = "thickness"
    """Millimetres; a thin slice or a stack."""
    STOCK_THICKNESS = "stock thickness"
    """Millimetres; quarter notation ("5/4") is read as a nominal thickness."""
    ANGLE = "angle"
    """Degrees."""
    PERCENT = "percent"
    """Per cent: 15 for 15 %."""
    COUNT = "count"
    """A whole number."""
    NUMBER = "number"
    """A plain number without a unit."""
    MONEY = "money"
    """An amount in the maker's currency."""
    DURATION = "duration"
    """Seconds."""
    TEMPERATURE = "temperature"
    """Degrees Celsius."""
    FORCE = "force"
    """Newtons."""
    PRESSURE = "pressure"
    """Kilopascals."""
    SPREAD = "spread"
    """Grams per square metre of single glue line."""
    SPEED = "speed"
    """Millimetres per second."""
    DATE = "date"
    """A calendar day."""
    TEXT = "text"
    """Free text, kept as it stands."""
    IDENTIFIER = "identifier"
    """A name of a board, slice or panel: text always, never a number or a date."""
    SPECIES = "species"
    """A wood; every spelling of one wood becomes one label."""
    CHOICE = "choice"
    """One of a short list of words."""
    YES_NO = "yes or no"
    """True or False."""
    COLOUR = "colour"
    """RRGGBB, or a colour's plain name."""


LENGTH_KINDS = frozenset({Kind.LENGTH, Kind.THICKNESS, Kind.STOCK_THICKNESS})


@dataclass(frozen=True, slots=True)
class Column:
    """One column of an input sheet, or one setting of a settings sheet.

    Attributes:
        field: name of the dataclass field that holds it, with its unit suffix
        heading: the heading, or the setting's name, as the templates print it
        kind: what its cells mean
        help: one or two sentences for the maker
        required: a row without it is left out, with a finding
        default: what an empty cell means, as the maker would write it ("0.050 in"); None for nothing
        synonyms: other headings that the trade uses for it
        choices: the words of a CHOICE, as the dropdown lists them
        low: smallest sensible value, as the maker would write it; below it the cell is asked about
        high: largest sensible value, likewise
        unit_inch: unit in which inch templates print the column
        unit_metric: unit in which metric templates print it
    """

    field: str
    heading: str
    kind: Kind
    help: str
    required: bool = False
    default: str | None = None
    synonyms: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    low: str | None = None
    high: str | None = None
    unit_inch: str = ""
    unit_metric: str = ""


_UNITS = {
    Kind.LENGTH: ("in", "mm"), Kind.THICKNESS: ("in", "mm"), Kind.STOCK_THICKNESS: ("in", "mm"),
    Kind.ANGLE: ("deg", "deg"), Kind.PERCENT: ("%", "%"), Kind.DURATION: ("min", "min"),
    Kind.TEMPERATURE: ("°F", "°C"), Kind.FORCE: ("lbf", "N"), Kind.PRESSURE: ("psi", "kPa"),
    Kind.SPREAD: ("lb/1000 ft2", "g/m2"), Kind.SPEED: ("ft/min", "m/min"),
}  # fmt: skip


def column(
    heading: str,
    kind: Kind,
    help: str,  # noqa: A002 - the schema's own word
    *,
    required: bool = False,
    default: str | None = None,
    synonyms: Sequence[str] = (),
    choices: Sequence[str] = (),
    low: str | None = None,
    high: str | None = None,
    units: tuple[str, str] | None = None,
) -> Any:
    """Declare a column on a field of a row class; the arguments are those of `Column`, `units` inch and metric."""
    unit_inch, unit_metric = units or _UNITS.get(kind, ("", ""))
    declared = Column(
        field="", heading=heading, kind=kind, help=help, required=required, default=default,
        synonyms=tuple(synonyms), choices=tuple(choices), low=low, high=high,
        unit_inch=unit_inch, unit_metric=unit_metric,
    )  # fmt: skip
    return dataclasses.field(metadata={"column": declared})


@cache
def columns_of(row_class: type) -> tuple[Column, ...]:
    """The columns declared on a row or settings class, in order."""
    return tuple(
        dataclasses.replace(field.metadata["column"], field=field.name)
        for field in dataclasses.fields(row_class)
        if "column" in field.metadata
    )
