"""Short cautions for one job's own woods, thicknesses and glue; they defer to those who know, and promise nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

from sheetkit.trade.adhesive import FOLLOW_THE_DATA_SHEET
from sheetkit.trade.species import SpeciesMatch
from sheetkit.trade.species_data import NameKind, Reaction, reactions, woods

THIN_SLICE_MM = 3.175
"""Slices below 1/8 in: own choice of where the line on thin stock appears."""
HIGH_FORCE_N = 10_000.0
"""About a tonne: own choice of where the line on press force appears."""

DUST_LIMITS = (
    ("NIOSH, recommended", "1 mg/m³", "NIOSH Pocket Guide, wood dust"),
    ("OSHA, United States", "15 mg/m³ total, 5 mg/m³ respirable", "29 CFR 1910.1000 Table Z-3, particulates"),
    ("ACGIH", "1 mg/m³ inhalable, 0.5 mg/m³ for western red cedar", "ACGIH threshold limit values, wood dusts"),
    ("Great Britain", "3 mg/m³ hardwood and mixtures, 5 mg/m³ softwood, inhalable", "HSE EH40/2005, 4th edition, 2020"),
    ("European Union", "2 mg/m³ hardwood, since 17 January 2023", "Directive (EU) 2017/2398"),
)
"""Published limits of wood dust in the air, 8-hour averages unless the source says otherwise."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Attributes:
        topic: "blade", "dust", "reaction", "glue", "press" or "turning"
        text: one or two sentences for the maker
        source: where it comes from
    """

    topic: str
    text: str
    source: str


NEWTONS_PER_POUND_FORCE = 4.4482216152605
"""International yard and pound agreement (1959) and standard gravity, 9.80665 m/s²."""
PRACTICE = "common practice, no source"
BLADE = (
    "Thin slices can be drawn into the blade's slot, split or be thrown: close the gap round the blade, keep hands "
    "behind a push block or carriage, never reach for a slice while the blade runs. Follow the saw's manual."
)
BLADE_ANY = "Sawing can maim: keep guards and guides as the saw's manual says, and follow it before anything here."
NO_WATER = (
    "An adhesive without water may irritate or sensitise skin and lungs until it has cured, and so may its dust: "
    f"gloves, moving air, and {FOLLOW_THE_DATA_SHEET}."
)
WATER_BASED = f"Spread, open time, pressure and temperature here are settings, not advice: {FOLLOW_THE_DATA_SHEET}."
TURNING = (
    "A laminated blank can let go at a line, at once or months later, and throw pieces: look at every line first, "
    "stand out of its path, start slowly, wear a face shield, stop at any tick or crack. Follow the lathe's manual."
)
TURNING_YOUNG = "A blank that is still drying is more likely to fail; let it rest first."
OILY = (
    "{woods}: oil can keep glue from holding, and a joint may open weeks later; glue soon after surfacing and break a "
    f"test joint first; {FOLLOW_THE_DATA_SHEET}."
)
DUST = (
    "Wood dust harms lungs and nose, and some of it is linked to cancer; the fine dust of sanding hangs longest. "
    "Draw it off at the source and wear a fitted mask. Local rules set the limit; published ones: {limits}."
)
REACTION = "{label}: {kinds} reported{sites}{named}."
ABSENCE = (
    "{listed} proves nothing: reports are few and people differ, and once sensitised a little is enough. "
    "With a rash, sore eyes or wheezing stop, and ask a doctor."
)
FORCE = (
    "The press holds about {kilonewtons} kN ({pounds} lbf): a caul or clamp that slips lets go all at once. "
    "Stay within the rating of clamps and frame, centre the load, and follow the press's manual."
)


def cautions(
    matches: Sequence[SpeciesMatch],
    *,
    thinnest_mm: float | None,
    water_based: bool | None,
    force_n: float | None = None,
    turned: bool = False,
    rest_days: float | None = None,
) -> tuple[Caution, ...]:
    """Gather the cautions for one job, the sharpest tools first.

    Args:
        matches: every wood of the job, as understood
        thinnest_mm: thinnest slice that is sawn, None where nothing is sawn [mm]
        water_based: whether the adhesive holds water, None where nothing is glued
        force_n: greatest force of a press in the job, None where it is not known [N]
        turned: whether a piece goes on the lathe
        rest_days: days that the panel should rest, None where not known [days]

    Source: the source of each stands in it.

    >>> from sheetkit.trade.species import find_species
    >>> found = cautions([find_species("yew")], thinnest_mm=1.0, water_based=None)
    >>> [caution.topic for caution in found]
    ['blade', 'dust', 'reaction', 'reaction']
    """
    found: list[Caution] = []
    if thinnest_mm is not None:
        found.append(Caution("blade", BLADE if thinnest_mm < THIN_SLICE_MM else BLADE_ANY, PRACTICE))
    if turned:
        young = f" {TURNING_YOUNG}" if rest_days else ""
        found.append(Caution("turning", TURNING + young, PRACTICE))
    if force_n is not None and force_n >= HIGH_FORCE_N:
        found.append(Caution("press", _force_text(force_n), PRACTICE))
    found.extend(_dust(matches))
    found.extend(_reactions(matches))
    if water_based is not None:
        found.append(Caution("glue", WATER_BASED if water_based else NO_WATER, PRACTICE))
        found.extend(_oily(matches))
    return tuple(found)


def reported_reactions(match: SpeciesMatch) -> tuple[Reaction, ...]:
    """List the reactions reported for a wood, or for a group of woods it is sold under; none proves nothing.

    Args:
        match: the wood as it was understood

    Source: a chart in a woodturning journal (1990), compiled from the medical literature, read in reprints.

    >>> from sheetkit.trade.species import find_species
    >>> [reaction.wood for reaction in reported_reactions(find_species("indian rosewood"))]
    ['rosewood']
    """
    listed = reactions()
    return tuple(listed[name] for name in _names_it_goes_by(match) if name in listed)


def _names_it_goes_by(match: SpeciesMatch) -> list[str]:
    """The wood itself and the words it is sold under; for a bare word that is not listed, the woods it may mean."""
    if match.wood is None:
        return list(match.candidates)
    name = match.wood.name
    spalted = [f"spalted {name.split()[-1]}"] if "spalted" in match.qualifiers else []
    if match.wood.kind is NameKind.WOOD:
        sold_as = [wood.name for wood in woods().values() if wood.kind is NameKind.GROUP and name in wood.members]
        return [name, *sold_as, *spalted]
    return [name, *spalted] if name in reactions() else [*match.wood.members, *spalted]


def _dust(matches: Sequence[SpeciesMatch]) -> list[Caution]:
    if not matches:
        return []
    limits = "; ".join(f"{who} {limit}" for who, limit, _ in DUST_LIMITS)
    sources = "; ".join(source for _, _, source in DUST_LIMITS)
    return [Caution("dust", DUST.format(limits=limits), sources)]


def _reactions(matches: Sequence[SpeciesMatch]) -> list[Caution]:
    by_key = {match.key: match for match in matches}
    found = {key: reported_reactions(match) for key, match in by_key.items()}
    lines = [
        Caution("reaction", _reaction_text(by_key[key], reported), reported[0].source)
        for key, reported in found.items()
        if reported
    ]
    if by_key:
        bare = [by_key[key].label for key, reported in found.items() if not reported]
        listed = (
            f"That no reaction is listed here for {_listed(bare)}" if bare else "That a wood or reaction is not listed"
        )
        source = "HSE Woodworking Information Sheet 30, introduction"
        lines.append(Caution("reaction", ABSENCE.format(listed=listed), source))
    return lines


def _reaction_text(match: SpeciesMatch, reported: Sequence[Reaction]) -> str:
    kinds = dict.fromkeys(_KINDS[kind] for reaction in reported for kind in reaction.kinds)
    sites = ", ".join(dict.fromkeys(site for reaction in reported for site in reaction.sites))
    name = match.wood.name if match.wood is not None else ""
    others = [reaction.wood for reaction in reported if reaction.wood != name]
    return REACTION.format(
        label=match.label,
        kinds=_listed(list(kinds)),
        sites=f" ({sites})" if sites else "",
        named=f", {'partly ' if len(others) < len(reported) else ''}for {_listed(others)}" if others else "",
    )


def _force_text(force_n: float) -> str:
    kilonewtons = force_n / 1000.0
    return FORCE.format(kilonewtons=_two_figures(kilonewtons), pounds=_two_figures(force_n / NEWTONS_PER_POUND_FORCE))


def _two_figures(number: float) -> str:
    digits = 1 - floor(log10(number))
    return f"{round(number, digits):,.{max(0, digits)}f}"


def _oily(matches: Sequence[SpeciesMatch]) -> list[Caution]:
    by_key = {match.key: match for match in matches}
    oily = [match.label for match in by_key.values() if match.oily]
    return [Caution("glue", OILY.format(woods=_listed(oily)), PRACTICE)] if oily else []


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


_KINDS = {
    "irritant": "irritation",
    "sensitiser": "allergy",
    "lung inflammation": "inflammation of the lungs",
    "nausea": "nausea",
    "nasal cancer association": "a link with cancer of the nose",
}
