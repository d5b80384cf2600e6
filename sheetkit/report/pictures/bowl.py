"""Views of a turned bowl: each point is led back to its ring, the ring's turn, the board, and the layer."""

from dataclasses import dataclass
from functools import cached_property
from math import cos, pi, radians, sin
from typing import TYPE_CHECKING

import numpy as np

from sheetkit.report.pictures.light import lit
from sheetkit.report.pictures.pieces import BowlPiece, BowlView
from sheetkit.report.pictures.render import NOTHING, Hits, Surface
from sheetkit.trade.bowl_profile import inside_outline
from sheetkit.trade.pattern import Pattern, locate, points_of_ring

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from sheetkit.trade.arrays import Array, Places

    Flags = NDArray[np.bool_]
    Wall = Callable[[Array | float], tuple[Array, Array]]

TILT_OF_VIEW_DEG = 36.0
"""How far above the rim's level the three-quarter view looks from."""

LEVELS_SCANNED = 48
LEVELS_OF_A_CURVE = 2048
UPRIGHT_MM = 1e-6
RIM_HAIR_MM = 1e-3
"""Points of the rim are looked up this much below it, so that they belong to the last ring."""

OUTSIDE_WALL, INSIDE_WALL, RIM, FLOOR = 1, 2, 3, 4
SURFACES = 8


@dataclass(frozen=True)
class BowlForm:
    """The finished surfaces of a bowl and the rings behind them."""

    pattern: Pattern
    piece: BowlPiece

    @cached_property
    def height_mm(self) -> float:
        """Height of the rim above the foot."""
        return self.piece.plan.profile.height_mm

    @cached_property
    def widest_mm(self) -> float:
        """Largest outside radius."""
        return max(self.piece.plan.profile.radii_mm)

    @cached_property
    def hollow(self) -> tuple["Array", "Array"]:
        """Inside radii and heights, from the edge of the floor up."""
        rules = self.piece.plan.rules
        points = inside_outline(self.piece.plan.profile, rules.wall_mm, self.piece.floor_mm)[1:]
        return np.array([radius for radius, _ in points]), np.array([height for _, height in points])

    @cached_property
    def outer(self) -> "_Curve":
        """Outside radius and its growth over the height."""
        profile = self.piece.plan.profile
        return _Curve(np.array(profile.radii_mm), np.array(profile.heights_mm))

    @cached_property
    def inner(self) -> "_Curve":
        """Inside radius and its growth over the height, from the floor up."""
        return _Curve(*self.hollow)

    def hits(self, surface: "Places", east: "Array", north: "Array", up: "Array", light: "Array") -> Hits:
        """The layers at points of the finished bowl; east and north from its middle, up from its foot."""
        plan, board = self.piece.plan, self.pattern.board
        pitch_mm = plan.rules.board_mm + plan.rules.glue_mm
        ring = np.clip(np.floor(up / pitch_mm), 0, len(plan.rings) - 1).astype(np.intp)
        in_joint = (up - ring * pitch_mm > plan.rules.board_mm) & (surface != NOTHING)
        turns = np.array([ring.turn_deg for ring in plan.rings], dtype=east.dtype)
        middle = self.piece.centre_mm or (board.length_mm / 2, board.width_mm / 2)
        spots = locate(self.pattern, *points_of_ring(middle, east, north, turns[ring]))
        region = (spots.region * len(plan.rings) + ring) * SURFACES + surface
        shown = (surface != NOTHING) & spots.inside
        return Hits(spots.depth_mm, np.where(shown, region, NOTHING), (spots.joint & shown) | in_joint, light)


@dataclass(frozen=True)
class FromAbove:
    """The open bowl seen straight from above."""

    form: BowlForm

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return 2 * self.form.widest_mm, 2 * self.form.widest_mm

    @cached_property
    def _seen_inside(self) -> tuple["Array", "Array"]:
        """Inside radii as far as nothing above hides them, with their heights."""
        radii, heights = self.form.hollow
        return np.minimum.accumulate(radii[::-1])[::-1], heights

    @cached_property
    def _seen_outside(self) -> tuple["Array", "Array"]:
        """Outside radii from the rim down as far as nothing above hides them, with their heights."""
        profile = self.form.piece.plan.profile
        return np.maximum.accumulate(np.array(profile.radii_mm)[::-1]), np.array(profile.heights_mm)[::-1]

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        form = self.form
        east, north = u_mm - form.widest_mm, form.widest_mm - v_mm
        radius = np.sqrt(east * east + north * north)
        inside, outside = self._seen_inside, self._seen_outside
        limits = [inside[0][0], inside[0][-1], outside[0][0], max(outside[0][-1], np.nextafter(outside[0][0], np.inf))]
        kinds = np.array([FLOOR, INSIDE_WALL, RIM, OUTSIDE_WALL, NOTHING])
        surface = kinds[sum((radius >= limit).astype(np.intp) for limit in limits)]
        up = np.full_like(east, form.height_mm - RIM_HAIR_MM)
        up[surface == FLOOR] = form.piece.floor_mm
        wall = surface == INSIDE_WALL
        up[wall] = _looked_up(radius[wall], *inside)
        light = _light_inside(form, surface, east, north, up, straight_down=True)
        bulge = surface == OUTSIDE_WALL
        if bulge.any():
            up[bulge] = np.interp(radius[bulge], *outside)
            light[bulge] = lit(east[bulge] / radius[bulge], north[bulge] / radius[bulge], -form.outer(up[bulge])[1])
        return form.hits(surface, east, north, up, light)


@dataclass(frozen=True)
class FromTheSide:
    """The outside seen level."""

    form: BowlForm

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return 2 * self.form.widest_mm, self.form.height_mm

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        form = self.form
        east, up = u_mm - form.widest_mm, form.height_mm - v_mm
        radius, growth = form.outer(up)
        south = np.sqrt(np.maximum(0.0, radius**2 - east**2))
        surface = np.where(np.abs(east) < radius, OUTSIDE_WALL, NOTHING)
        light = lit(east / radius, -growth, south / radius)
        return form.hits(surface, east, -south, up, light)


@dataclass(frozen=True)
class ThreeQuarters:
    """The bowl seen from the front and above, with its inside."""

    form: BowlForm

    @cached_property
    def _sine(self) -> float:
        return sin(radians(TILT_OF_VIEW_DEG))

    @cached_property
    def _cosine(self) -> float:
        return cos(radians(TILT_OF_VIEW_DEG))

    @cached_property
    def _lowest_mm(self) -> float:
        profile = self.form.piece.plan.profile
        return min(z * self._cosine - r * self._sine for r, z in profile.outline_mm)

    @cached_property
    def _highest_mm(self) -> float:
        profile = self.form.piece.plan.profile
        return max(z * self._cosine + r * self._sine for r, z in profile.outline_mm)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return 2 * self.form.widest_mm, self._highest_mm - self._lowest_mm

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        form = self.form
        surface, east, north, up = self.traced(u_mm, v_mm)
        light = np.where(
            surface == OUTSIDE_WALL,
            self._light_outside(east, north, up),
            _light_inside(form, surface, east, north, up, straight_down=False),
        )
        return form.hits(surface, east, north, up, light)

    def traced(self, u_mm: "Array", v_mm: "Array") -> tuple["Places", "Array", "Array", "Array"]:
        """Which surface is met at points of the view, and where: east and north from the middle, up from the foot."""
        form = self.form
        east, rise = u_mm - form.widest_mm, self._highest_mm - v_mm
        squared, ahead = east * east, rise / self._sine
        at_rim = squared + (ahead - form.height_mm * self._slant) ** 2
        rim_out, rim_in = float(form.outer(form.height_mm)[0]), float(form.hollow[0][-1])
        surface, up = np.full(east.shape, NOTHING, dtype=np.intp), np.zeros_like(east)
        on_rim = at_rim <= rim_out**2
        up[on_rim], surface[on_rim] = form.height_mm - RIM_HAIR_MM, RIM
        through = at_rim < rim_in**2
        up[through], met = self._first_met(squared[through], ahead[through], form.inner, form.piece.floor_mm, -1)
        surface[through] = np.where(met, INSIDE_WALL, FLOOR)
        beside = ~on_rim & (np.abs(east) < form.widest_mm)
        up[beside], met = self._first_met(squared[beside], ahead[beside], form.outer, 0.0, 1)
        surface[beside] = np.where(met, OUTSIDE_WALL, NOTHING)
        return surface, east, ahead - up * self._slant, up

    @cached_property
    def _slant(self) -> float:
        """How far a line of sight goes away for each millimetre that it goes down."""
        return self._cosine / self._sine

    def _first_met(
        self, squared: "Array", ahead: "Array", wall: "Wall", bottom_mm: float, side: int
    ) -> tuple["Array", "Flags"]:
        """Where lines of sight going down meet a wall, and whether they do; side is 1 from outside, -1 inside.

        A line meets the cone between two levels where east^2 + (ahead - z * slant)^2 = radius(z)^2, a quadratic in z.
        """
        levels = np.linspace(self.form.height_mm, bottom_mm, LEVELS_SCANNED + 1)
        radii = wall(levels)[0]
        part = np.full(squared.shape, LEVELS_SCANNED, dtype=np.int16)
        for number in range(LEVELS_SCANNED, 0, -1):
            off = (ahead - float(levels[number] * self._slant)) ** 2
            off += squared
            met = off <= float(radii[number] ** 2) if side > 0 else off >= float(radii[number] ** 2)
            part[met] = number - 1
        found = part < LEVELS_SCANNED
        part = np.minimum(part, LEVELS_SCANNED - 1)
        growth = (np.diff(radii) / np.diff(levels)).astype(squared.dtype)[part]
        low, radius = levels.astype(squared.dtype)[part + 1], radii.astype(squared.dtype)[part + 1]
        near = ahead - low * self._slant
        second = self._slant**2 - growth**2
        first = -2 * (near * self._slant + radius * growth)
        none = squared + near**2 - radius**2
        root = np.sqrt(np.maximum(0.0, first**2 - 4 * second * none))
        # The stable form of the root: from outside the upper crossing, from inside the one that leaves the hollow.
        z = _root_within(second, first, none, root, levels[0] - levels[1])
        return np.where(found, low + z, bottom_mm).astype(squared.dtype), found

    def _light_outside(self, east: "Array", north: "Array", up: "Array") -> "Array":
        radius, growth = self.form.outer(up)
        return _seen_tilted(east / radius, north / radius, -growth)


@dataclass(frozen=True)
class RimBand:
    """Half a turn of the outside below the rim, unrolled at the rim's length; half 0 begins at the base's grain."""

    form: BowlForm
    half: int
    rings: int = 3

    @cached_property
    def _bottom_mm(self) -> float:
        rings = self.form.piece.plan.rings
        return rings[max(0, len(rings) - self.rings)].bottom_mm

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return pi * float(self.form.outer(self.form.height_mm)[0]), self.form.height_mm - self._bottom_mm

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        form = self.form
        up = np.clip(form.height_mm - v_mm, self._bottom_mm, form.height_mm - RIM_HAIR_MM)
        angle = u_mm * (pi / self.size_mm[0]) + self.half * pi
        radius, _ = form.outer(up)
        surface = np.full(u_mm.shape, OUTSIDE_WALL, dtype=np.intp)
        return form.hits(surface, radius * np.cos(angle), radius * np.sin(angle), up, np.ones_like(u_mm))


def views_of_bowl(form: BowlForm, view: BowlView) -> list[Surface]:
    """The surfaces to render for a view; the unrolled band takes two, half a turn each."""
    if view is BowlView.RIM_BAND:
        return [RimBand(form, 0), RimBand(form, 1)]
    if view is BowlView.ABOVE:
        return [FromAbove(form)]
    return [FromTheSide(form) if view is BowlView.SIDE else ThreeQuarters(form)]


def _looked_up(radius: "Array", radii: "Array", heights: "Array") -> "Array":
    """Heights at radii from a fine table; radii rising, or all alike where the wall stands upright."""
    if radii[-1] - radii[0] <= UPRIGHT_MM:
        return np.full_like(radius, heights[0])
    steps = LEVELS_OF_A_CURVE * 4
    table = np.interp(np.linspace(radii[0], radii[-1], steps + 1), radii, heights).astype(radius.dtype)
    place = (radius - float(radii[0])) * (steps / float(radii[-1] - radii[0]))
    return table.take(np.clip(place + 0.5, 0, steps).astype(np.int32))


class _Curve:
    """Radius and its growth over height, as a fine table: looked up far faster than it is interpolated."""

    def __init__(self, radii: "Array", heights: "Array") -> None:
        self._low, self._high = float(heights[0]), float(heights[-1])
        levels = np.linspace(self._low, self._high, LEVELS_OF_A_CURVE + 1)
        self._radii = np.interp(levels, heights, radii)
        self._growth = np.gradient(self._radii, levels)

    def __call__(self, height_mm: "Array | float") -> tuple["Array", "Array"]:
        place = (np.asarray(height_mm) - self._low) * (LEVELS_OF_A_CURVE / (self._high - self._low))
        kind = place.dtype
        slot = np.clip(place, 0, LEVELS_OF_A_CURVE - 1).astype(np.int32)
        rest = np.clip(place - slot.astype(kind), 0.0, 1.0)
        low, rise = self._radii[:-1].astype(kind), np.diff(self._radii).astype(kind)
        return low.take(slot) + rest * rise.take(slot), self._growth.astype(kind).take(slot)


def _root_within(second: "Array", first: "Array", none: "Array", root: "Array", step_mm: float) -> "Array":
    """The solution of second * z^2 + first * z + none = 0 that lies nearest to the middle of the step."""
    turned = -(first + np.where(first >= 0, root, -root)) / 2
    one = turned / np.where(np.abs(second) > 1e-6, second, np.where(second < 0, -1e-6, 1e-6))
    other = none / np.where(np.abs(turned) > 1e-9, turned, 1e-9)
    middle = step_mm / 2
    best = np.where(np.abs(one - middle) < np.abs(other - middle), one, other)
    return np.clip(best, 0.0, step_mm)


def _seen_tilted(east: "Array", north: "Array", up: "Array") -> "Array":
    """Light on a normal given in the bowl's directions, seen at three-quarters."""
    tilt = radians(TILT_OF_VIEW_DEG)
    return lit(east, up * cos(tilt) + north * sin(tilt), up * sin(tilt) - north * cos(tilt))


def _light_inside(
    form: BowlForm, surface: "Places", east: "Array", north: "Array", up: "Array", straight_down: bool
) -> "Array":
    """Light on rim, inside wall and floor; deep places get less from the room."""
    _, growth = form.inner(np.maximum(up, form.piece.floor_mm))
    safe = np.maximum(np.sqrt(east * east + north * north), 1e-6)
    on_wall = surface == INSIDE_WALL
    out_east, out_north = np.where(on_wall, -east / safe, 0.0), np.where(on_wall, -north / safe, 0.0)
    facing_up = np.where(on_wall, growth, 1.0)
    shown = lit(out_east, out_north, facing_up) if straight_down else _seen_tilted(out_east, out_north, facing_up)
    depth = np.clip((form.height_mm - up) / max(form.height_mm - form.piece.floor_mm, 1e-9), 0.0, 1.0)
    return shown * (1.0 - 0.22 * depth)
