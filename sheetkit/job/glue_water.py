"""What the water of the glue does to a panel, kind of layer by kind of layer, and the same for a glue without water."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetkit.job.layers import PanelToMake
from sheetkit.job.needs import SAME_MM, RoughSize
from sheetkit.job.woods import JobWood, across_face
from sheetkit.tables.settings import Shop
from sheetkit.trade.density import dry_density
from sheetkit.trade.glue_water import Curl, WaterInLayers, curl, rest_days, swelling_pct, water_in_layers
from sheetkit.trade.stack import stack_thickness

DAY_S = 86_400.0


@dataclass(frozen=True, slots=True)
class LayerKind:
    """Layers of one wood and thickness in one panel.

    Attributes:
        species: label of the wood
        finished_mm: thickness in the panel
        grain: how its boards were sawn from the log, None where not known
        places: which layers they are, the first face is 1
        start_pct: moisture before gluing
    """

    species: str
    finished_mm: float
    grain: str | None
    places: tuple[int, ...]
    start_pct: float


@dataclass(frozen=True, slots=True)
class KindWater:
    """What the water does to one kind of layer; the worst of its layers, None where a figure is missing.

    Attributes:
        kind: the layers
        rise_pct: rise of moisture
        flat_pct: how much wider it swells where it is flat-sawn, as a share of its width
        quarter_pct: likewise where it is quarter-sawn
        curl: how it would curl if it lay free, by its grain, else by the livelier direction
    """

    kind: LayerKind
    rise_pct: float | None
    flat_pct: float | None
    quarter_pct: float | None
    curl: Curl | None

    @property
    def wet_pct(self) -> float | None:
        """Moisture it comes to [%]."""
        return None if self.rise_pct is None else self.kind.start_pct + self.rise_pct


@dataclass(frozen=True, slots=True)
class GlueWater:
    """What one glue's water does to a panel.

    Attributes:
        layers: rise of every layer
        kinds: kind by kind, as the layers first appear
        start_pct: moisture of the wettest layer before gluing
        rest_days: days until the water has left, never fewer than the least rest
        rest_known: the stack's rise is known, so that the days rest on more than the least rest
    """

    layers: WaterInLayers
    kinds: tuple[KindWater, ...]
    start_pct: float
    rest_days: float
    rest_known: bool

    @property
    def worst_curl(self) -> Curl | None:
        """The curl of the layer that curls most; None where none is known."""
        curls = [item.curl for item in self.kinds if item.curl is not None]
        return max(curls, key=lambda found: 1.0 / found.radius_mm if found.radius_mm else 0.0, default=None)

    @property
    def worst_swelling_pct(self) -> float | None:
        """The greatest swelling across the face in either direction [%]."""
        shares = [share for item in self.kinds for share in (item.flat_pct, item.quarter_pct) if share is not None]
        return max(shares, default=None)


def layer_kinds(
    panel: PanelToMake, grains: Mapping[str, str | None], starts: Mapping[str, float], shop_pct: float
) -> tuple[LayerKind, ...]:
    """The kinds of layer of a panel in the order in which they first appear."""
    places: dict[tuple[str, int], list[int]] = {}
    thicknesses: dict[tuple[str, int], float] = {}
    for place, layer in enumerate(panel.layers, start=1):
        key = (layer.species, round(layer.finished_mm / SAME_MM))
        places.setdefault(key, []).append(place)
        thicknesses.setdefault(key, layer.finished_mm)
    return tuple(
        LayerKind(key[0], thicknesses[key], grains.get(key[0]), tuple(found), starts.get(key[0], shop_pct))
        for key, found in places.items()
    )


def glue_water(
    panel: PanelToMake,
    kinds: Sequence[LayerKind],
    rough: RoughSize,
    woods: Mapping[str, JobWood],
    shop: Shop,
    solids_share: float,
) -> GlueWater:
    """Work out one panel with one glue.

    Args:
        panel: the panel
        kinds: its kinds of layer
        rough: its size as glued
        woods: the job's woods, by label
        shop: spread, glue line and least rest
        solids_share: what of the glue is not water
    """
    layers_mm = [layer.finished_mm for layer in panel.layers]
    densities = [_dry_density(woods[layer.species]) for layer in panel.layers]
    found = water_in_layers(layers_mm, densities, shop.spread_gsm * shop.faces_spread, solids_share)
    starts = {place: kind.start_pct for kind in kinds for place in kind.places}
    least = shop.rest_s / DAY_S
    thickness = stack_thickness(layers_mm, shop.glue_line_mm)
    rise = found.stack_rise_pct
    faces_mm = [size for size in (rough.width_mm, rough.length_mm) if size is not None]
    wettest = found.wettest_layer or 1
    return GlueWater(
        layers=found,
        kinds=tuple(_kind(kind, found, rough.width_mm, woods[kind.species]) for kind in kinds),
        start_pct=starts[wettest],
        rest_days=least if rise is None else rest_days(thickness, rise, faces_mm=faces_mm, least_days=least),
        rest_known=rise is not None,
    )


def _dry_density(wood: JobWood) -> float | None:
    return None if wood.figures.gravity is None else dry_density(wood.figures.gravity.value)


def _kind(kind: LayerKind, found: WaterInLayers, width_mm: float | None, wood: JobWood) -> KindWater:
    rises = [rise for place in kind.places if (rise := found.rise_pct[place - 1]) is not None]
    if not rises:
        return KindWater(kind, None, None, None, None)
    rise = max(rises)
    swelling = {
        grain: None if span is None else swelling_pct(span[1], kind.start_pct, rise)
        for grain in ("flat", "quarter")
        for span in [across_face(wood.figures, grain)]
    }
    lively = across_face(wood.figures, kind.grain)
    curled = None
    if lively is not None and width_mm is not None:
        curled = curl(kind.finished_mm, width_mm, lively[1], kind.start_pct, rise)
    return KindWater(kind, rise, swelling["flat"], swelling["quarter"], curled)
