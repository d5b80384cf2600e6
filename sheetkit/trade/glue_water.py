"""The water that glue brings into thin layers: how wet they get, how far they swell and curl, how long to rest."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi

from sheetkit.trade.moisture import MOISTURE_WHERE_SWELLING_ENDS_PCT, days_until_left, settling_days
from sheetkit.trade.movement import moisture_change

RISE_WORTH_A_WARNING_PCT = 3.0
"""Own choice: a few points of moisture are what ordinary glue-ups of thick boards get by with."""


@dataclass(frozen=True, slots=True)
class WaterInLayers:
    """What the water of the glue does to the layers of a panel.

    Attributes:
        water_gsm: water that one line brings [g/m²]
        rise_pct: rise of moisture of each layer, first face to last, None where its density is not known [%]
        stack_rise_pct: rise of the whole stack, None where a density is not known [%]
        wettest_layer: the layer that rises most, the first face is layer 1, None where none is known [count]
    """

    water_gsm: float
    rise_pct: tuple[float | None, ...]
    stack_rise_pct: float | None
    wettest_layer: int | None

    @property
    def greatest_rise_pct(self) -> float | None:
        """Rise of the layer that rises most, None where none is known [%]."""
        return None if self.wettest_layer is None else self.rise_pct[self.wettest_layer - 1]


@dataclass(frozen=True, slots=True)
class Curl:
    """How a slice that is wetted on one face would curl if it lay free.

    Attributes:
        radius_mm: radius of the curl, None where it stays flat [mm]
        height_mm: how high its edge would stand [mm]
        words: "none", "slight", "marked", "strong" or "rolls up"
    """

    radius_mm: float | None
    height_mm: float
    words: str


def moisture_rise(
    layer_mm: float, dry_density_kg_m3: float, spread_gsm: float, solids_share: float, lines: float = 1.0
) -> float:
    """Find by how much the water of the glue raises the moisture of a layer [%].

    Args:
        layer_mm: thickness of the layer, > 0 [mm]
        dry_density_kg_m3: oven-dry mass in a cubic metre of the wood, > 0 [kg/m³]
        spread_gsm: wet adhesive on one line, >= 0 [g/m²]
        solids_share: what of it is not water, from 0 to 1 [1]
        lines: lines whose water the layer takes: 1 for an inner layer, which has half of two; (n - 1) / n for a
            stack of n equal layers [count]

    Source: conservation of water, all of it going into the wood: 100 * spread * (1 - solids) * lines / (density *
    thickness).

    >>> round(moisture_rise(layer_mm=19.05, dry_density_kg_m3=630.0, spread_gsm=200.0, solids_share=0.5), 2)
    0.83
    """
    return 100.0 * spread_gsm * (1.0 - solids_share) * lines / (dry_density_kg_m3 * layer_mm)


def water_in_layers(
    layers_mm: Sequence[float], dry_densities_kg_m3: Sequence[float | None], spread_gsm: float, solids_share: float
) -> WaterInLayers:
    """Share the water of every line between the two layers it joins, and set it against their dry wood.

    Args:
        layers_mm: thickness of each layer, first face to last, each > 0 [mm]
        dry_densities_kg_m3: oven-dry mass in a cubic metre of each layer's wood, None where not known [kg/m³]
        spread_gsm: wet adhesive on one line, both faces together where both are spread, >= 0 [g/m²]
        solids_share: what of it is not water, from 0 to 1; 1 shows the same panel with an adhesive without water [1]

    Raises:
        ValueError: if the two lists differ in length.

    Source: conservation of water; half of each line's water goes to either side (own assumption).

    >>> found = water_in_layers([1.0, 1.0, 1.0], [600.0] * 3, spread_gsm=240.0, solids_share=0.5)
    >>> [round(rise, 6) for rise in found.rise_pct], round(found.stack_rise_pct, 6), found.wettest_layer
    ([10.0, 20.0, 10.0], 13.333333, 2)
    """
    last = len(layers_mm) - 1
    rises = tuple(
        None if dry is None else moisture_rise(thickness, dry, spread_gsm, solids_share, _lines_beside(place, last))
        for place, (thickness, dry) in enumerate(zip(layers_mm, dry_densities_kg_m3, strict=True))
    )
    known = [(rise, -place) for place, rise in enumerate(rises, start=1) if rise is not None]
    water = spread_gsm * (1.0 - solids_share)
    stack = _stack_rise(layers_mm, dry_densities_kg_m3, water)
    return WaterInLayers(water, rises, stack, -max(known)[1] if known else None)


def _lines_beside(place: int, last: int) -> float:
    return ((place > 0) + (place < last)) / 2.0


def _stack_rise(layers_mm: Sequence[float], densities: Sequence[float | None], water_gsm: float) -> float | None:
    dry_gsm = 0.0
    for thickness, dry in zip(layers_mm, densities, strict=True):
        if dry is None:
            return None
        dry_gsm += thickness * dry
    return 100.0 * water_gsm * (len(layers_mm) - 1) / dry_gsm if dry_gsm else None


def swelling_pct(coefficient: float, start_pct: float, rise_pct: float) -> float:
    """Find how far the face of a layer swells across the grain, as a share of its width [%].

    Args:
        coefficient: movement across that face for each per cent of moisture, as a share [1/%]
        start_pct: moisture content before gluing, >= 0 [%]
        rise_pct: rise of moisture from the glue, >= 0 [%]

    Source: Wood Handbook, FPL-GTR-190 (2010), Eq. (13-2); what rises above 30 % swells nothing. A rough figure where
    the moisture leaves 6 to 14 %.

    >>> round(swelling_pct(coefficient=0.0035, start_pct=8.0, rise_pct=17.0), 2)
    5.95
    """
    return 100.0 * coefficient * moisture_change(start_pct, start_pct + rise_pct)


def curl(layer_mm: float, width_mm: float, coefficient: float, start_pct: float, rise_pct: float) -> Curl:
    """Estimate how a slice curls when one face takes up the water of its line before the other has any.

    Args:
        layer_mm: thickness of the slice, > 0 [mm]
        width_mm: width across the grain, >= 0 [mm]
        coefficient: movement across its face for each per cent of moisture, as a share [1/%]
        start_pct: moisture content before gluing, >= 0 [%]
        rise_pct: rise of moisture of the whole slice once the water is spread through it, >= 0 [%]

    Source: Timoshenko, J. Opt. Soc. Am. 11(3):233-255 (1925), two strips of equal thickness and stiffness: curvature =
    1.5 * difference of strain / thickness; the wet half is taken to hold twice the rise. The words are our own.

    >>> found = curl(layer_mm=1.0, width_mm=50.0, coefficient=0.003, start_pct=8.0, rise_pct=1.0)
    >>> round(found.radius_mm, 1), round(found.height_mm, 1), found.words
    (111.1, 2.8, 'strong')
    """
    strain = coefficient * moisture_change(start_pct, start_pct + 2.0 * rise_pct)
    if strain <= 0.0 or width_mm <= 0.0:
        return Curl(None, 0.0, "none")
    radius = layer_mm / (1.5 * strain)
    half_angle = width_mm / (2.0 * radius)
    height = radius * (1.0 - cos(min(half_angle, pi)))
    return Curl(radius, height, _curl_words(half_angle, height / width_mm))


def rest_days(
    panel_mm: float,
    stack_rise_pct: float,
    *,
    faces_mm: Sequence[float] = (),
    allowed_pct: float = 1.0,
    least_days: float = 7.0,
    known_mm: float = 25.4,
    known_days: float = 16.0,
) -> float:
    """Estimate the days until the water of the glue has left the panel, never fewer than the least [days].

    Args:
        panel_mm: thickness of the panel, > 0 [mm]
        stack_rise_pct: rise of moisture of the whole stack, >= 0 [%]
        faces_mm: width and length of the panel, as far as they are known, since water leaves by edges and ends too;
            each > 0 [mm]
        allowed_pct: what may be left of it, > 0 [%]
        least_days: rest that the adhesive wants in any case, >= 0 [days]
        known_mm: thickness whose settling time is known, > 0 [mm]
        known_days: that time (common practice, no source: two weeks to a month for an inch) [days]

    Source: Crank, The Mathematics of Diffusion (2nd edition, 1975), Eq. (4.18), with time as thickness squared; Newman,
    Industrial and Engineering Chemistry 28 (1936), 545, from memory: what is left in a block is the product of what is
    left in slabs of its three sizes, so that the rates add. On the slow side: water leaves faster along the grain.
    Weighing the panel until it stops losing is the better test.

    >>> round(rest_days(panel_mm=30.0, stack_rise_pct=16.6), 1), rest_days(panel_mm=30.0, stack_rise_pct=0.0)
    (20.8, 7.0)
    """
    as_a_slab_mm = sum(size_mm**-2 for size_mm in (panel_mm, *faces_mm)) ** -0.5
    settled = settling_days(as_a_slab_mm, known_mm, known_days)
    return max(least_days, days_until_left(stack_rise_pct, allowed_pct, settled))


def is_worth_a_warning(start_pct: float, rise_pct: float) -> bool:
    """Tell whether a rise of moisture from the glue should be pointed out.

    Args:
        start_pct: moisture content before gluing, >= 0 [%]
        rise_pct: rise of moisture from the glue, >= 0 [%]

    Source: own choice: more than three points, or past the end of swelling.

    >>> is_worth_a_warning(start_pct=8.0, rise_pct=0.9), is_worth_a_warning(start_pct=8.0, rise_pct=17.2)
    (False, True)
    """
    return rise_pct > RISE_WORTH_A_WARNING_PCT or start_pct + rise_pct > MOISTURE_WHERE_SWELLING_ENDS_PCT


def water_sentence(water: WaterInLayers, start_pct: float) -> str:
    """Say in a sentence what the water of the glue does to this panel.

    Args:
        water: what was found for its layers
        start_pct: moisture content before gluing, >= 0 [%]

    Source: own wording of the figures; ordinary boards take up 1 to 2 points, Wood Handbook, FPL-GTR-190 (2010),
    ch. 10, from memory.

    >>> water_sentence(WaterInLayers(0.0, (0.0, 0.0), 0.0, 1), start_pct=8.0)
    'This glue brings no water: the layers stay as dry as they are.'
    """
    most = water.greatest_rise_pct
    if water.water_gsm == 0.0:
        return "This glue brings no water: the layers stay as dry as they are."
    if most is None:
        return "The rise of moisture cannot be told: no density is known for any of these woods."
    stack = water.stack_rise_pct
    whole = "" if stack is None else f", and the whole stack by {stack:.3g} points"
    figures = (
        f"The water in the glue raises layer {water.wettest_layer} by {most:.3g} points of moisture, "
        f"from {start_pct:.3g} to {start_pct + most:.3g} %{whole}"
    )
    if start_pct + most > MOISTURE_WHERE_SWELLING_ENDS_PCT:
        return f"{figures}: more than its cell walls can hold, so it swells as far as it can and curls."
    if is_worth_a_warning(start_pct, most):
        return f"{figures}: enough to swell and curl thin slices; let the panel rest before it is machined."
    return f"{figures}: close to what ordinary boards take up."


def _curl_words(half_angle_rad: float, height_share: float) -> str:
    if half_angle_rad >= pi:
        return "rolls up"
    for limit, words in ((0.002, "none"), (0.01, "slight"), (0.05, "marked")):
        if height_share < limit:
            return words
    return "strong"
