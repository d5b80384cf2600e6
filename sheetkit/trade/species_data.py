"""The tables of woods that come with the package: names, published values with the source of each, reactions.

Movement is the share of the dimension for each per cent of moisture; shrinkage is green to oven-dry, per cent; specific
gravity is oven-dry mass, on the green volume (basic) or on the volume at 12 % moisture.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib import resources


class Standing(StrEnum):
    """How far a figure can be trusted, in the maker's words."""

    OWN = "your own value"
    PUBLISHED = "published"
    DERIVED = "derived"
    MEMORY = "from memory"


class NameKind(StrEnum):
    """What a name in the table of woods stands for."""

    WOOD = "wood"
    GROUP = "group"
    """A bare trade word that several woods go by."""
    USUAL = "usual"
    """A bare trade word that nearly always means one wood."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a wood with where it comes from.

    Attributes:
        value: the figure in the unit of its property, a share for movement, per cent for shrinkage [1 or %]
        standing: published, derived, from memory, or the maker's own
        source: book, edition and table, or the rule it was derived by
    """

    value: float
    standing: Standing
    source: str


@dataclass(frozen=True, slots=True)
class Reaction:
    """A reaction to a wood's dust that has been reported; that none is listed for a wood proves nothing.

    Attributes:
        wood: the wood, or group of woods, as the source names it
        kinds: irritant, sensitiser, and so on
        sites: where it shows; empty where the source names none
        source: where it was reported
    """

    wood: str
    kinds: tuple[str, ...]
    sites: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Wood:
    """A wood, or a bare trade word that several woods go by.

    Attributes:
        name: canonical name in plain word order, lower case
        kind: whether it is one wood or a word for several
        scientific: scientific name, empty where the trade name covers several or none is known for sure
        members: for a word that covers several, the woods it may mean
        aliases: other names the trade uses for it
        short_forms: abbreviations seen on racks and lists, read with a guess
        colour: what it looks like, our own choice, RRGGBB
        oily: its oil is known to hinder gluing (common practice, no source)
        dark_dust: its dust is known to stain pale wood beside it (common practice, no source)
        pale: it shows such stains (common practice, no source)
        hint: what is known about a figure that is not in the tables
        figures: published or recalled figures by property name
    """

    name: str
    kind: NameKind
    scientific: str
    members: tuple[str, ...]
    aliases: tuple[str, ...]
    short_forms: tuple[str, ...]
    colour: str
    oily: bool
    dark_dust: bool
    pale: bool
    hint: str
    figures: dict[str, Figure] = field(default_factory=dict)


@cache
def woods() -> dict[str, Wood]:
    """Every wood and every bare trade word, by name.

    Source: names and traits, common practice, no source; figures, the source beside each in data/wood_values.csv.

    >>> woods()["sugar maple"].figures["movement_tangential"].value
    0.00353
    """
    figures = _figures()
    return {row["name"]: _wood(row, figures.get(row["name"], {})) for row in _rows("woods")}


@cache
def reactions() -> dict[str, Reaction]:
    """Every reported reaction, by the wood or group of woods it was reported for.

    Source: the text beside each row in data/reactions.csv.

    >>> reactions()["yew"].kinds
    ('irritant',)
    """
    sources = _sources()
    return {
        row["wood"]: Reaction(row["wood"], _several(row["kinds"]), _several(row["sites"]), sources[row["source"]][1])
        for row in _rows("reactions")
    }


def _wood(row: dict[str, str], figures: dict[str, Figure]) -> Wood:
    traits = _several(row["traits"])
    return Wood(
        name=row["name"],
        kind=NameKind(row["kind"]),
        scientific=row["scientific"],
        members=_several(row["members"]),
        aliases=_several(row["aliases"]),
        short_forms=_several(row["short"]),
        colour=row["colour"],
        oily="oily" in traits,
        dark_dust="dark dust" in traits,
        pale="pale" in traits,
        hint=row["hint"],
        figures=figures,
    )


def _figures() -> dict[str, dict[str, Figure]]:
    sources = _sources()
    by_wood: dict[str, dict[str, Figure]] = {}
    for row in _rows("wood_values"):
        standing, text = sources[row["source"]]
        by_wood.setdefault(row["wood"], {})[row["property"]] = Figure(float(row["value"]), standing, text)
    return by_wood


@cache
def _sources() -> dict[str, tuple[Standing, str]]:
    return {row["code"]: (Standing(row["standing"]), row["text"]) for row in _rows("sources")}


def _rows(table: str) -> Iterator[dict[str, str]]:
    file = resources.files("sheetkit.trade") / "data" / f"{table}.csv"
    yield from csv.DictReader(file.read_text(encoding="utf-8").splitlines())


def _several(text: str) -> tuple[str, ...]:
    return tuple(part for part in text.split("|") if part)
