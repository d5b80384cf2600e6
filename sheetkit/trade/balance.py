"""Whether a stack is alike about its middle."""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.trade.exact import HAIR_PM, picometres


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer as the balance sees it.

    Attributes:
        species: its species
        thickness_mm: its thickness, > 0 [mm]
        grain: flat, quarter or rift; empty where it is not known
    """

    species: str
    thickness_mm: float
    grain: str = ""


@dataclass(frozen=True, slots=True)
class UnlikePair:
    """Two layers equally far from the middle that differ.

    Attributes:
        upper: number of the one, counted from 1 [1]
        lower: number of the other [1]
        species: both species where they differ, the upper one first; None where they do not
        thickness_mm: both thicknesses where they differ; None where they do not [mm]
        grain: both grains where they differ; None where they do not, or one is not known
    """

    upper: int
    lower: int
    species: tuple[str, str] | None = None
    thickness_mm: tuple[float, float] | None = None
    grain: tuple[str, str] | None = None


def unlike_pairs(layers: Sequence[Layer], tolerance_mm: float) -> list[UnlikePair]:
    """List the pairs of layers about the middle that differ by species, thickness or grain; none when balanced.

    Args:
        layers: the layers in order, may be empty
        tolerance_mm: difference in thickness that counts as none, >= 0 [mm]

    Source: balanced construction, alike layers at like distance from the middle: Wood Handbook, FPL-GTR-282 (2021),
    chapter 11, on plywood.

    >>> unlike_pairs([Layer("ash", 1.0), Layer("plum", 1.0), Layer("ash", 1.2)], tolerance_mm=0.1)
    [UnlikePair(upper=1, lower=3, species=None, thickness_mm=(1.0, 1.2), grain=None)]
    """
    found = []
    for place in range(len(layers) // 2):
        other = len(layers) - 1 - place
        pair = _pair(place + 1, other + 1, layers[place], layers[other], tolerance_mm)
        if pair.species or pair.thickness_mm or pair.grain:
            found.append(pair)
    return found


def _pair(upper: int, lower: int, one: Layer, other: Layer, tolerance_mm: float) -> UnlikePair:
    apart_pm = abs(picometres(one.thickness_mm) - picometres(other.thickness_mm))
    unlike_grain = bool(one.grain and other.grain and one.grain != other.grain)
    return UnlikePair(
        upper,
        lower,
        species=(one.species, other.species) if one.species != other.species else None,
        thickness_mm=(one.thickness_mm, other.thickness_mm) if apart_pm > picometres(tolerance_mm) + HAIR_PM else None,
        grain=(one.grain, other.grain) if unlike_grain else None,
    )
