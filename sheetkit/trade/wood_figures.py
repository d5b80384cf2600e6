"""The figures of a wood for one job: the maker's own, else published, else derived; what is missing is asked for."""

from dataclasses import dataclass

from sheetkit.trade.density import gravity_from_basic
from sheetkit.trade.movement import coefficient_from_shrinkage
from sheetkit.trade.species import SpeciesMatch
from sheetkit.trade.species_data import Figure, Standing


@dataclass(frozen=True, slots=True)
class OwnFigures:
    """What the maker gives for a wood; None where nothing is given.

    Attributes:
        specific_gravity: oven-dry mass over the volume at 12 % moisture [1]
        movement_flat: movement across a flat-sawn face for each per cent of moisture, as a share [1/%]
        movement_quarter: movement across a quarter-sawn face likewise [1/%]
        colour: RRGGBB
    """

    specific_gravity: float | None = None
    movement_flat: float | None = None
    movement_quarter: float | None = None
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class WoodFigures:
    """The figures of one wood in one job, each with its standing; None where there is none.

    Attributes:
        label: the wood as the job calls it
        radial: movement across a quarter-sawn face for each per cent of moisture
        tangential: movement across a flat-sawn face likewise
        gravity: oven-dry mass over the volume at 12 % moisture
        colour: RRGGBB; None where the wood is not in the list and the maker gives none
        asks: one sentence for each figure that is missing, saying where to type it
    """

    label: str
    radial: Figure | None
    tangential: Figure | None
    gravity: Figure | None
    colour: str | None
    asks: tuple[str, ...]

    @property
    def flagged(self) -> tuple[str, ...]:
        """One sentence for each figure that is derived or from memory."""
        named = (("movement quarter", self.radial), ("movement flat", self.tangential), ("gravity", self.gravity))
        return tuple(
            f"{self.label}, {name} {figure.value:.3g}: {figure.standing}; {figure.source}"
            for name, figure in named
            if figure is not None and figure.standing in (Standing.DERIVED, Standing.MEMORY)
        )


def wood_figures(match: SpeciesMatch, own: OwnFigures | None = None) -> WoodFigures:
    """Gather the figures of a wood; nothing is filled in that is neither given, published nor derived by a stated rule.

    Args:
        match: the wood as it was understood
        own: what the maker gives for it, None for nothing

    Source: the source of each figure stands in it.

    >>> from sheetkit.trade.species import find_species
    >>> wood_figures(find_species("purpleheart")).tangential.standing
    <Standing.DERIVED: 'derived'>
    >>> wood_figures(find_species("padauk")).tangential is None
    True
    """
    own = own or OwnFigures()
    known = match.wood.figures if match.wood is not None and match.figures_hold else {}
    radial = _own(own.movement_quarter) or known.get("movement_radial") or _derived(known.get("shrinkage_radial"))
    tangential = _own(own.movement_flat) or known.get("movement_tangential")
    tangential = tangential or _derived(known.get("shrinkage_tangential"))
    gravity = _own(own.specific_gravity) or known.get("gravity_12") or _derived_gravity(known.get("gravity_basic"))
    listed = match.wood.colour if match.wood is not None and match.figures_hold else None
    return WoodFigures(
        label=match.label,
        radial=radial,
        tangential=tangential,
        gravity=gravity,
        colour=own.colour or listed,
        asks=_asks(match, radial, tangential, gravity),
    )


def _own(value: float | None) -> Figure | None:
    return None if value is None else Figure(value, Standing.OWN, "the maker's Species sheet")


def _derived(shrinkage: Figure | None) -> Figure | None:
    if shrinkage is None:
        return None
    source = f"derived from a shrinkage of {shrinkage.value:g} % ({shrinkage.source}) by 1 / (3000/S - 20)"
    return Figure(coefficient_from_shrinkage(shrinkage.value), _no_better_than_derived(shrinkage), source)


def _derived_gravity(basic: Figure | None) -> Figure | None:
    if basic is None:
        return None
    source = f"derived from a basic specific gravity of {basic.value:g} ({basic.source}) by Wood Handbook Eq. (4-13)"
    return Figure(gravity_from_basic(basic.value, 12.0), _no_better_than_derived(basic), source)


def _no_better_than_derived(figure: Figure) -> Standing:
    return Standing.MEMORY if figure.standing is Standing.MEMORY else Standing.DERIVED


def _asks(
    match: SpeciesMatch, radial: Figure | None, tangential: Figure | None, gravity: Figure | None
) -> tuple[str, ...]:
    missing = [
        heading
        for heading, figure in (
            ("Movement flat", tangential),
            ("Movement quarter", radial),
            ("Specific gravity", gravity),
        )
        if figure is None
    ]
    if not missing:
        return ()
    several = f"{', '.join(missing[:-1])} and {missing[-1]}" if len(missing) > 1 else missing[0]
    asked = f"{match.label}: no figure for {several.lower()}"
    if match.candidates:
        return (f"{asked}, since {match.reason}; write which one, or give your own on the Species sheet",)
    hint = f"; {match.wood.hint}" if match.wood is not None and match.wood.hint else ""
    return (f"{asked}; give your own on the Species sheet{hint}",)
