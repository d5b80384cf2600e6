"""The outside of a bowl as radius against height: straight, arc, ogee, or the maker's own table."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, atan2, cos, hypot, inf, pi, sin, tan

_Side = tuple[tuple[float, float], tuple[float, float]]

POINTS_OF_A_CURVE = 97
"""A curve is handed on as this many points; a straight side needs two."""


@dataclass(frozen=True, slots=True)
class Profile:
    """Outside radius of a bowl at rising heights; straight between neighbouring points.

    Attributes:
        radii_mm: radius at each height, the foot first, each > 0 [mm]
        heights_mm: height above the foot, from 0 upward, each more than the one before [mm]
    """

    radii_mm: tuple[float, ...]
    heights_mm: tuple[float, ...]

    @property
    def height_mm(self) -> float:
        """Height of the rim above the foot."""
        return self.heights_mm[-1]

    @property
    def outline_mm(self) -> list[tuple[float, float]]:
        """Pairs of radius and height, the foot first."""
        return list(zip(self.radii_mm, self.heights_mm, strict=True))

    def radius_at(self, height_mm: float) -> float:
        """Radius at a height; beyond either end the last slope goes on."""
        part = self._part(height_mm)
        return self.radii_mm[part] + self._slope(part) * (height_mm - self.heights_mm[part])

    def slope_at(self, height_mm: float) -> float:
        """How fast the radius grows with the height there; the mean of both sides at a corner."""
        upper = self._part(height_mm)
        lower = max(0, upper - 1) if height_mm == self.heights_mm[upper] else upper
        return (self._slope(lower) + self._slope(upper)) / 2

    def _part(self, height_mm: float) -> int:
        return min(max(0, bisect_right(self.heights_mm, height_mm) - 1), len(self.heights_mm) - 2)

    def _slope(self, part: int) -> float:
        rise = self.heights_mm[part + 1] - self.heights_mm[part]
        return (self.radii_mm[part + 1] - self.radii_mm[part]) / rise


def straight_profile(rim_diameter_mm: float, foot_diameter_mm: float, height_mm: float) -> Profile:
    """Draw a straight side from the foot to the rim.

    Args:
        rim_diameter_mm: outside diameter at the rim, > 0 [mm]
        foot_diameter_mm: outside diameter at the foot, > 0 [mm]
        height_mm: height of the rim above the foot, > 0 [mm]

    Source: a straight line.

    >>> straight_profile(rim_diameter_mm=200.0, foot_diameter_mm=80.0, height_mm=60.0).radius_at(30.0)
    70.0
    """
    return table_profile([(foot_diameter_mm / 2, 0.0), (rim_diameter_mm / 2, height_mm)], smooth=False)


def fullest_bulge(rim_diameter_mm: float, foot_diameter_mm: float, height_mm: float) -> float:
    """Find the bulge at which an arc from foot to rim starts out level; more cannot be turned from stacked rings.

    Args:
        rim_diameter_mm: outside diameter at the rim, > 0 [mm]
        foot_diameter_mm: outside diameter at the foot, > 0 [mm]
        height_mm: height of the rim above the foot, > 0 [mm]

    Source: sagitta of a circle: chord / 2 * tan(a / 2), where a is the angle between chord and tangent; here a is
    what the chord lacks to the level.

    >>> round(fullest_bulge(rim_diameter_mm=160.0, foot_diameter_mm=40.0, height_mm=60.0), 6)
    17.573593
    """
    run = abs(rim_diameter_mm - foot_diameter_mm) / 2
    return hypot(run, height_mm) / 2 * tan((pi / 2 - atan2(run, height_mm)) / 2)


def arc_profile(rim_diameter_mm: float, foot_diameter_mm: float, height_mm: float, bulge_mm: float) -> Profile:
    """Draw one arc from the foot to the rim.

    Args:
        rim_diameter_mm: outside diameter at the rim, > 0 [mm]
        foot_diameter_mm: outside diameter at the foot, > 0 [mm]
        height_mm: height of the rim above the foot, > 0 [mm]
        bulge_mm: how far the middle stands outside the straight line, square to it; negative is hollow [mm]

    Raises:
        ValueError: if the arc would run level or back before it reaches an end.

    Source: circle through two points with a given sagitta.

    >>> profile = arc_profile(rim_diameter_mm=200.0, foot_diameter_mm=80.0, height_mm=60.0, bulge_mm=8.0)
    >>> round(profile.radius_at(0.0), 9), round(profile.radius_at(60.0), 9)
    (40.0, 100.0)
    """
    _refuse_too_full(abs(bulge_mm), fullest_bulge(rim_diameter_mm, foot_diameter_mm, height_mm))
    foot, rim = (foot_diameter_mm / 2, 0.0), (rim_diameter_mm / 2, height_mm)
    return _from_points(_arc(foot, rim, bulge_mm, POINTS_OF_A_CURVE))


def ogee_profile(rim_diameter_mm: float, foot_diameter_mm: float, height_mm: float, bulge_mm: float) -> Profile:
    """Draw two arcs that meet smoothly half way: full below and flared above.

    Args:
        rim_diameter_mm: outside diameter at the rim, > 0 [mm]
        foot_diameter_mm: outside diameter at the foot, > 0 [mm]
        height_mm: height of the rim above the foot, > 0 [mm]
        bulge_mm: how far each half stands off its straight line; negative is hollow below and full above [mm]

    Raises:
        ValueError: if an arc would run level or back before it reaches an end.

    Source: two circles of one radius, tangent at the middle of the straight line.

    >>> profile = ogee_profile(rim_diameter_mm=200.0, foot_diameter_mm=80.0, height_mm=60.0, bulge_mm=4.0)
    >>> round(profile.radius_at(30.0), 9)
    70.0
    """
    _refuse_too_full(abs(bulge_mm), fullest_bulge(rim_diameter_mm, foot_diameter_mm, height_mm) / 2)
    foot, rim = (foot_diameter_mm / 2, 0.0), (rim_diameter_mm / 2, height_mm)
    middle = ((foot[0] + rim[0]) / 2, height_mm / 2)
    half = POINTS_OF_A_CURVE // 2 + 1
    return _from_points(_arc(foot, middle, bulge_mm, half) + _arc(middle, rim, -bulge_mm, half)[1:])


def table_profile(points_mm: Sequence[tuple[float, float]], smooth: bool = True) -> Profile:
    """Draw a side through the maker's own points.

    Args:
        points_mm: pairs of outside radius and height above the foot, the foot first at height 0 [mm]
        smooth: whether the side is a curve through the points that never swings past them, or straight between them

    Raises:
        ValueError: if there are fewer than two points, a radius is not above 0, or the heights do not rise from 0.

    Source: piecewise cubic that keeps the data's shape: Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246.

    >>> table_profile([(40.0, 0.0), (70.0, 20.0), (100.0, 60.0)]).radius_at(20.0)
    70.0
    """
    radii, heights = [radius for radius, _ in points_mm], [height for _, height in points_mm]
    if len(points_mm) < 2 or min(radii) <= 0.0:
        raise ValueError("a profile needs two points or more, each with a radius above 0")
    if heights[0] != 0.0 or any(upper <= lower for lower, upper in pairwise(heights)):
        raise ValueError("the heights of a profile must rise point by point, from 0 at the foot")
    if smooth and len(points_mm) > 2:
        return _smoothed(radii, heights)
    return Profile(tuple(radii), tuple(heights))


def inside_outline(profile: Profile, wall_mm: float, floor_mm: float) -> list[tuple[float, float]]:
    """Draw the turned inside as pairs of radius and height, from the middle of the floor up to the rim.

    Args:
        profile: the outside
        wall_mm: finished wall, square to the slope, > 0 [mm]
        floor_mm: thickness of the bottom, > 0 [mm]

    Raises:
        ValueError: if wall and floor leave no hollow.

    Source: parallel curve: a point belongs to the hollow when the outside is nowhere nearer to it than the wall.

    >>> side = straight_profile(rim_diameter_mm=200.0, foot_diameter_mm=200.0, height_mm=60.0)
    >>> inside_outline(side, wall_mm=8.0, floor_mm=10.0)
    [(0.0, 10.0), (92.0, 10.0), (92.0, 60.0)]
    """
    sides = _lengthened(profile, 2 * wall_mm)
    met = {z for side in sides for z in _levels_of_parallel(side, wall_mm)} | set(profile.heights_mm)
    heights = [floor_mm, *sorted(z for z in met if floor_mm + 1e-6 < z < profile.height_mm - 1e-6), profile.height_mm]
    points = list(zip(_clear_of(sides, wall_mm, heights), heights, strict=True))
    if floor_mm >= profile.height_mm or points[-1][0] <= 0.0:
        raise ValueError(f"a wall of {wall_mm} mm over a floor of {floor_mm} mm leaves no hollow in this bowl")
    return [(0.0, floor_mm), *((max(0.0, radius), height) for radius, height in points)]


def _lengthened(profile: Profile, by_mm: float) -> list[_Side]:
    """The straight parts of a profile, the first and the last drawn out beyond foot and rim."""
    low, high = -by_mm, profile.height_mm + by_mm
    points = [(profile.radius_at(low), low), *profile.outline_mm[1:-1], (profile.radius_at(high), high)]
    return list(pairwise(points))


def _growth(side: _Side) -> float:
    return (side[1][0] - side[0][0]) / (side[1][1] - side[0][1])


def _levels_of_parallel(side: _Side, wall_mm: float) -> tuple[float, float]:
    """Between which heights the parallel of a straight part runs."""
    up_mm = wall_mm * _growth(side) / hypot(1.0, _growth(side))
    return side[0][1] + up_mm, side[1][1] + up_mm


def _clear_of(sides: list[_Side], wall_mm: float, heights_mm: list[float]) -> list[float]:
    """The largest radius at each height that keeps the wall from every straight part, or from its nearer end."""
    import numpy as np

    levels, least = np.array(heights_mm), np.full(len(heights_mm), inf)
    for side in sides:
        (low_mm, low), (high_mm, high) = side
        start, end = _levels_of_parallel(side, wall_mm)
        growth = _growth(side)
        along = low_mm + growth * (levels - low) - wall_mm * hypot(1.0, growth)
        off = np.abs(levels - np.where(levels < start, low, high))
        near = np.sqrt(np.maximum(wall_mm * wall_mm - off * off, 0.0))
        beyond = np.where(off < wall_mm, np.where(levels < start, low_mm, high_mm) - near, inf)
        least = np.minimum(least, np.where((start <= levels) & (levels <= end), along, beyond))
    return [float(radius) for radius in least]


def _refuse_too_full(bulge_mm: float, limit_mm: float) -> None:
    if bulge_mm >= limit_mm:
        raise ValueError(f"a bulge of {bulge_mm:.3f} mm runs level at an end; it must stay below {limit_mm:.3f} mm")


def _arc(
    start: tuple[float, float], end: tuple[float, float], bulge_mm: float, points: int
) -> list[tuple[float, float]]:
    """Points on the circle through start and end, evenly turned; the bulge stands to the right of the way up."""
    across, up = end[0] - start[0], end[1] - start[1]
    chord = hypot(across, up)
    if abs(bulge_mm) < 1e-9 * chord:
        shares = [step / (points - 1) for step in range(points)]
        return [start, *((start[0] + share * across, start[1] + share * up) for share in shares[1:-1]), end]
    radius = (chord**2 / 4 + bulge_mm**2) / (2 * bulge_mm)
    half = asin(chord / 2 / radius)
    along, right = (across / chord, up / chord), (up / chord, -across / chord)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    drawn = []
    for step in range(points):
        turned = half * (2 * step / (points - 1) - 1)
        forth, out = radius * sin(turned), bulge_mm - radius * (1 - cos(turned))
        drawn.append(
            (middle[0] + forth * along[0] + out * right[0], middle[1] + forth * along[1] + out * right[1]),
        )
    return [start, *drawn[1:-1], end]


def _from_points(points: list[tuple[float, float]]) -> Profile:
    return Profile(tuple(radius for radius, _ in points), tuple(height for _, height in points))


def _smoothed(radii: list[float], heights: list[float]) -> Profile:
    from scipy.interpolate import PchipInterpolator

    curve = PchipInterpolator(heights, radii)
    dense = {heights[-1] * step / (POINTS_OF_A_CURVE - 1) for step in range(POINTS_OF_A_CURVE)} | set(heights)
    levels = sorted(dense)
    return Profile(tuple(float(radius) for radius in curve(levels)), tuple(levels))
