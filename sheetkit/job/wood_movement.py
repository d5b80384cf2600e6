"""How a panel moves from the shop's air to that of its place: layer by layer, as a whole, and between neighbours."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import radians

from sheetkit.job.glue_water import LayerKind
from sheetkit.job.woods import JobWood, Span, across_face, through_thickness
from sheetkit.tables.rows_pieces import Bowl
from sheetkit.tables.settings import Job, Shop
from sheetkit.trade.moisture import air_doubts, equilibrium_moisture, humidity_for_moisture
from sheetkit.trade.movement import crossed_movement, crossing_doubts, moisture_change, movement, movement_doubts

ALIKE_MM = 1e-6
"""Neighbours of one wood that move apart by less than this move alike."""


@dataclass(frozen=True, slots=True)
class Air:
    """Moisture that the air keeps wood at.

    Attributes:
        shop_pct: in the shop
        home_pct: where the pieces will live
        doubts: why these may be off
        settling_humidity_pct: humidity at which the shop, as warm as it is, would keep wood as the place will; None
            where no air does
    """

    shop_pct: float
    home_pct: float
    doubts: tuple[str, ...]
    settling_humidity_pct: float | None


@dataclass(frozen=True, slots=True)
class KindMoves:
    """How one kind of layer would move if nothing held it; spans where the grain is not known.

    Attributes:
        kind: the layers
        face_mm: across the panel's width; None where width or figure is missing; negative shrinks
        thickness_mm: of one layer's thickness
    """

    kind: LayerKind
    face_mm: Span | None
    thickness_mm: Span | None


@dataclass(frozen=True, slots=True)
class Step:
    """Two kinds of layer that lie side by side and move differently.

    Attributes:
        one: the one
        other: the other
        step_mm: how far they move apart at most
        lines: at how many glue lines they meet
    """

    one: LayerKind
    other: LayerKind
    step_mm: float
    lines: int


@dataclass(frozen=True, slots=True)
class RingsTurned:
    """A bowl whose rings are turned against one another.

    Attributes:
        bowl: the maker's row
        movement_mm: how far neighbouring rings work against each other across the rim; None where no figure is known
        doubts: why that is a lot
    """

    bowl: Bowl
    movement_mm: float | None
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PanelMoves:
    """How one panel moves.

    Attributes:
        width_mm: finished width that the movement is counted on; None where not known
        kinds: kind by kind
        panel_face_mm: across the width, somewhere between these; None where a figure is missing
        panel_thickness_mm: through the thickness, sum of the layers; None where a figure is missing
        steps: neighbours that move differently, the greatest step first
        rings: bowls whose rings are turned
        doubts: why the figures may be off
    """

    width_mm: float | None
    kinds: tuple[KindMoves, ...]
    panel_face_mm: Span | None
    panel_thickness_mm: Span | None
    steps: tuple[Step, ...]
    rings: tuple[RingsTurned, ...]
    doubts: tuple[str, ...]


def air_of(job: Job, shop: Shop) -> Air:
    """What the air of the shop and that of the place keep wood at."""
    doubts = [*air_doubts(shop.shop_c, shop.shop_humidity_pct), *air_doubts(job.home_c, job.home_humidity_pct)]
    home_pct = equilibrium_moisture(job.home_c, job.home_humidity_pct)
    return Air(
        equilibrium_moisture(shop.shop_c, shop.shop_humidity_pct),
        home_pct,
        tuple(dict.fromkeys(doubts)),
        _settling_humidity(shop.shop_c, home_pct),
    )


def _settling_humidity(shop_c: float, home_pct: float) -> float | None:
    try:
        return humidity_for_moisture(shop_c, home_pct)
    except ValueError:
        return None


def panel_moves(
    kinds: Sequence[LayerKind],
    width_mm: float | None,
    woods: Mapping[str, JobWood],
    air: Air,
    bowls: Sequence[Bowl],
) -> PanelMoves:
    """Work out one panel.

    Args:
        kinds: its kinds of layer
        width_mm: finished width, None where not known
        woods: the job's woods, by label
        air: the air of shop and place
        bowls: the bowls sawn from this panel
    """
    moves = tuple(_kind(kind, width_mm, woods[kind.species], air) for kind in kinds)
    doubts = [text for kind in kinds for text in movement_doubts(round(kind.start_pct, 1), round(air.home_pct, 1))]
    return PanelMoves(
        width_mm=width_mm,
        kinds=moves,
        panel_face_mm=_between(moves),
        panel_thickness_mm=_sum_of_layers(moves),
        steps=_steps(moves),
        rings=tuple(_rings(bowl, kinds, woods, air) for bowl in bowls if bowl.turn_deg % 180.0),
        doubts=tuple(dict.fromkeys(doubts)),
    )


def _kind(kind: LayerKind, width_mm: float | None, wood: JobWood, air: Air) -> KindMoves:
    face, thickness = across_face(wood.figures, kind.grain), through_thickness(wood.figures, kind.grain)

    def moved(dimension_mm: float | None, span: Span | None) -> Span | None:
        if dimension_mm is None or span is None:
            return None
        ends = [movement(dimension_mm, end, kind.start_pct, air.home_pct) for end in span]
        return min(ends), max(ends)

    return KindMoves(kind, moved(width_mm, face), moved(kind.finished_mm, thickness))


def _between(moves: Sequence[KindMoves]) -> Span | None:
    spans = [item.face_mm for item in moves]
    known = [span for span in spans if span is not None]
    return (min(span[0] for span in known), max(span[1] for span in known)) if len(known) == len(spans) else None


def _sum_of_layers(moves: Sequence[KindMoves]) -> Span | None:
    low = high = 0.0
    for item in moves:
        if item.thickness_mm is None:
            return None
        low += item.thickness_mm[0] * len(item.kind.places)
        high += item.thickness_mm[1] * len(item.kind.places)
    return low, high


def _steps(moves: Sequence[KindMoves]) -> tuple[Step, ...]:
    by_place = {place: item for item in moves for place in item.kind.places}
    counts: dict[tuple[str, str], int] = {}
    found: dict[tuple[str, str], Step] = {}
    for place, following in pairwise(sorted(by_place)):
        one, other = sorted((by_place[place], by_place[following]), key=lambda item: item.kind.species)
        if one.face_mm is None or other.face_mm is None:
            continue
        apart = max(one.face_mm[1] - other.face_mm[0], other.face_mm[1] - one.face_mm[0])
        pair = (one.kind.species, other.kind.species)
        if pair[0] == pair[1] and apart < ALIKE_MM:
            continue
        counts[pair] = counts.get(pair, 0) + 1
        found[pair] = Step(one.kind, other.kind, apart, counts[pair])
    return tuple(sorted(found.values(), key=lambda step: (-step.step_mm, step.one.species, step.other.species)))


def _rings(bowl: Bowl, kinds: Sequence[LayerKind], woods: Mapping[str, JobWood], air: Air) -> RingsTurned:
    turn = radians(bowl.turn_deg)
    moved = [
        crossed_movement(bowl.rim_diameter_mm, span[1], moisture_change(kind.start_pct, air.home_pct), turn)
        for kind in kinds
        if (span := across_face(woods[kind.species].figures, kind.grain)) is not None
    ]
    return RingsTurned(bowl, max(moved, default=None), crossing_doubts(turn))
