"""Blanks from a laminated panel at a bias, counted exactly over every place the strips can take.

The panel is seen on its edge: its length runs along the layers, its stack through them. Blanks lie at an angle to the
layers. Either strips run along the blanks, as high as a blank, and are crosscut to length; or strips run across them,
as wide as a blank is long, and are ripped to height. Kerf that falls into waste costs nothing.
"""

from bisect import bisect_right
from dataclasses import dataclass, replace
from math import cos, radians, sin

from sheetkit.trade.exact import floor_of_ratio, total_mm
from sheetkit.trade.handles import reach_through_stack
from sheetkit.trade.wish import Answer

HAIR_MM = 1e-6
"""A miss of less than a nanometre is the arithmetic's doing."""

CLOSE_MM = 1e-3
"""The least panel is found to within this."""


@dataclass(frozen=True, slots=True)
class BiasPanel:
    """A panel on its edge, and what sawing it costs.

    Attributes:
        length_mm: length along the layers, > 0 [mm]
        stack_mm: thickness through the layers, > 0 [mm]
        kerf_mm: kerf of every cut, >= 0 [mm]
        trim_mm: what is trimmed off each of the four edges first, >= 0 [mm]
    """

    length_mm: float
    stack_mm: float
    kerf_mm: float
    trim_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class BlankStrip:
    """One strip with its blanks, measured along and across the strips from the trimmed corner they lean away from.

    Attributes:
        offset_mm: where the strip's near edge lies, across the strips [mm]
        start_mm: where its first blank begins, along the strips [mm]
        blanks: how many blanks it gives, >= 1 [1]
    """

    offset_mm: float
    start_mm: float
    blanks: int


@dataclass(frozen=True, slots=True)
class BiasLayout:
    """The most blanks of one size that strips of one direction give.

    Attributes:
        panel: the panel sawn
        angle_deg: angle of the blanks to the layers [deg]
        along_mm: size of a blank along the strip [mm]
        across_mm: size of a blank across the strip, the width of a strip [mm]
        strips: the strips, in order across
        strips_run_along: whether the strips run along the blanks, or across them
    """

    panel: BiasPanel
    angle_deg: float
    along_mm: float
    across_mm: float
    strips: tuple[BlankStrip, ...]
    strips_run_along: bool

    @property
    def count(self) -> int:
        """Number of blanks."""
        return sum(strip.blanks for strip in self.strips)

    @property
    def share_used(self) -> float:
        """Share of the panel's edge area that becomes blanks."""
        return self.count * self.along_mm * self.across_mm / (self.panel.length_mm * self.panel.stack_mm)

    @property
    def strip_angle_deg(self) -> float:
        """Angle of the strips to the layers; strips across the blanks lean the other way."""
        return self.angle_deg if self.strips_run_along else 90.0 - self.angle_deg

    def corners_mm(self) -> list[tuple[tuple[float, float], ...]]:
        """The four corners of every blank as (along the layers, through the stack) from the untrimmed corner."""
        return [
            self._blank(strip.offset_mm, strip.start_mm + number * (self.along_mm + self.panel.kerf_mm))
            for strip in self.strips
            for number in range(strip.blanks)
        ]

    def _blank(self, offset_mm: float, start_mm: float) -> tuple[tuple[float, float], ...]:
        cosine, sine, trim = cos(radians(self.strip_angle_deg)), sin(radians(self.strip_angle_deg)), self.panel.trim_mm
        ends = (start_mm, start_mm + self.along_mm)
        sides = (offset_mm, offset_mm + self.across_mm)
        corners = ((ends[0], sides[0]), (ends[1], sides[0]), (ends[1], sides[1]), (ends[0], sides[1]))
        placed = [(a * cosine - s * sine + trim, a * sine + s * cosine + trim) for a, s in corners]
        if self.strips_run_along:
            return tuple(placed)
        return tuple((self.panel.length_mm - x, y) for x, y in placed)


def bias_layout(panel: BiasPanel, blank_length_mm: float, blank_height_mm: float, angle_deg: float) -> BiasLayout:
    """Find the most blanks from strips that run along them, with the strips at the best places.

    Args:
        panel: the panel on its edge
        blank_length_mm: length of a blank, > 0 [mm]
        blank_height_mm: size of a blank square to its length, seen on the panel's edge, > 0 [mm]
        angle_deg: angle of the blanks to the layers, 0 to 90 [deg]

    Raises:
        ValueError: if a size of the blank is not above 0.

    Source: own derivation: a strip holds c blanks exactly while its place lies between two bounds; pushed towards the
    corner, every strip of a best layout lies at such a bound or whole pitches beyond one, so those places suffice.

    >>> panel = BiasPanel(length_mm=300.0, stack_mm=60.0, kerf_mm=1.0)
    >>> bias_layout(panel, blank_length_mm=99.0, blank_height_mm=29.0, angle_deg=0.0).count
    6
    """
    if min(blank_length_mm, blank_height_mm) <= 0:
        raise ValueError(f"a blank of {blank_length_mm} by {blank_height_mm} mm cannot be laid out")
    bounds = _bounds_by_count(panel, blank_length_mm, blank_height_mm, angle_deg)
    places = _best_places(bounds, blank_height_mm + panel.kerf_mm)
    ranges = _Ranges(panel, blank_height_mm, angle_deg)
    strips = tuple(BlankStrip(offset, ranges.start(offset), count) for offset, count in places)
    return BiasLayout(panel, angle_deg, blank_length_mm, blank_height_mm, strips, strips_run_along=True)


def best_bias_layout(panel: BiasPanel, blank_length_mm: float, blank_height_mm: float, angle_deg: float) -> BiasLayout:
    """Find the better of the two layouts, strips along the blanks or across them; along when they are equal.

    Args:
        panel: the panel on its edge
        blank_length_mm: length of a blank, > 0 [mm]
        blank_height_mm: size of a blank square to its length, seen on the panel's edge, > 0 [mm]
        angle_deg: angle of the blanks to the layers, 0 to 90 [deg]

    Source: bias_layout for the blank as it lies and, mirrored, for its height at the complement of the angle.

    >>> panel = BiasPanel(length_mm=300.0, stack_mm=60.0, kerf_mm=1.0)
    >>> best_bias_layout(panel, blank_length_mm=80.0, blank_height_mm=20.0, angle_deg=30.0).count
    6
    """
    along = bias_layout(panel, blank_length_mm, blank_height_mm, angle_deg)
    across = _across(panel, blank_length_mm, blank_height_mm, angle_deg)
    return across if across.count > along.count else along


def rows_of_blanks(panel_width_mm: float, blank_width_mm: float, kerf_mm: float, trim_mm: float = 0.0) -> int:
    """Count how often a blank fits into the width of the slices, which multiplies every layout.

    Args:
        panel_width_mm: width of the panel, the width of its slices, > 0 [mm]
        blank_width_mm: width of a blank, > 0 [mm]
        kerf_mm: kerf of every cut, >= 0 [mm]
        trim_mm: what is trimmed off either edge first, >= 0 [mm]

    Source: own derivation: n blanks and n - 1 kerfs within the trimmed width.

    >>> rows_of_blanks(panel_width_mm=100.0, blank_width_mm=32.0, kerf_mm=2.0)
    3
    """
    usable = total_mm([panel_width_mm, -trim_mm, -trim_mm, kerf_mm])
    return max(0, floor_of_ratio(usable, total_mm([blank_width_mm, kerf_mm])))


def sawn_section(width_mm: float, thickness_mm: float, roll_deg: float) -> tuple[float, float]:
    """Find the width and height of the square-sawn blank that a piece turned about its long axis is planed from.

    Args:
        width_mm: width of the finished piece, > 0 [mm]
        thickness_mm: thickness of the finished piece, > 0 [mm]
        roll_deg: turn about the long axis; 0 has the width within the layers [deg]

    Source: box around a turned rectangle.

    >>> [round(size, 6) for size in sawn_section(width_mm=30.0, thickness_mm=20.0, roll_deg=90.0)]
    [20.0, 30.0]
    """
    cosine, sine = abs(cos(radians(roll_deg))), abs(sin(radians(roll_deg)))
    return width_mm * cosine + thickness_mm * sine, width_mm * sine + thickness_mm * cosine


def height_of_pair(thickness_mm: float, kerf_mm: float, cleaning_mm: float = 0.0) -> float:
    """Find the height of the blank that is split and opened into a bookmatched pair.

    Args:
        thickness_mm: finished thickness of each half, > 0 [mm]
        kerf_mm: kerf of the cut between them, >= 0 [mm]
        cleaning_mm: what cleaning takes off each sawn face, >= 0 [mm]

    Source: own derivation: 2 * (thickness + cleaning) + kerf.

    >>> height_of_pair(thickness_mm=6.0, kerf_mm=1.0, cleaning_mm=0.25)
    13.5
    """
    return total_mm([thickness_mm, thickness_mm, cleaning_mm, cleaning_mm, kerf_mm])


def panel_length_for(
    wanted: int, panel: BiasPanel, blank_length_mm: float, blank_height_mm: float, angle_deg: float
) -> Answer:
    """Find the least length of panel, to a thousandth of a millimetre, that gives a wanted number of blanks.

    Args:
        wanted: number of blanks wanted from one row, >= 1 [1]
        panel: stack, kerf and trim of the panel; its length is not used
        blank_length_mm: length of a blank, > 0 [mm]
        blank_height_mm: size of a blank square to its length, seen on the panel's edge, > 0 [mm]
        angle_deg: angle of the blanks to the layers, 0 to 90 [deg]

    Source: best_bias_layout, halved between too short and long enough; the count never falls as the panel grows.

    >>> panel = BiasPanel(length_mm=0.0, stack_mm=60.0, kerf_mm=1.0)
    >>> panel_length_for(6, panel, blank_length_mm=99.0, blank_height_mm=29.0, angle_deg=0.0).demand()
    299.0
    """
    refused = blank_too_large(panel, blank_length_mm, blank_height_mm, angle_deg)
    if refused is not None:
        return refused
    enough = blank_length_mm + blank_height_mm + 2 * panel.trim_mm
    while _count(panel, enough, blank_length_mm, blank_height_mm, angle_deg) < wanted:
        enough *= 2
    short = 0.0
    while enough - short > CLOSE_MM / 8:
        middle = (short + enough) / 2
        if _count(panel, middle, blank_length_mm, blank_height_mm, angle_deg) < wanted:
            short = middle
        else:
            enough = middle
    close = _up_to_close(enough)
    shorter = total_mm([close, -CLOSE_MM])
    serves = _count(panel, shorter, blank_length_mm, blank_height_mm, angle_deg) >= wanted
    return Answer(True, shorter if serves else close)


def blank_too_large(
    panel: BiasPanel, blank_length_mm: float, blank_height_mm: float, angle_deg: float
) -> Answer | None:
    """Tell why no blank fits into the stack, however long the panel, with the longest that does; None where one fits.

    Args:
        panel: stack, kerf and trim of the panel
        blank_length_mm: length of a blank, > 0 [mm]
        blank_height_mm: size of a blank square to its length, seen on the panel's edge, > 0 [mm]
        angle_deg: angle of the blanks to the layers, 0 to 90 [deg]

    Source: reach_through_stack against the trimmed stack, solved for the length.

    >>> panel = BiasPanel(length_mm=300.0, stack_mm=60.0, kerf_mm=1.0)
    >>> blank_too_large(panel, blank_length_mm=120.0, blank_height_mm=20.0, angle_deg=30.0).sentence()
    'the blank reaches 77.321 mm through a stack of 60.000 mm; at this angle one of 85.359 mm length fits'
    """
    stack_mm = total_mm([panel.stack_mm, -panel.trim_mm, -panel.trim_mm])
    reach_mm = reach_through_stack(blank_length_mm, 0.0, blank_height_mm, angle_deg)
    if reach_mm <= stack_mm + HAIR_MM:
        return None
    reason = "the blank reaches {} through a stack of {}; at this angle "
    longest_mm = (stack_mm - blank_height_mm * cos(radians(angle_deg))) / sin(radians(angle_deg)) if angle_deg else 0.0
    if longest_mm <= 0:
        return Answer(False, 0.0, reason + "none of its height fits", (reach_mm, stack_mm))
    return Answer(False, longest_mm, reason + "one of {} length fits", (reach_mm, stack_mm, longest_mm))


class _Ranges:
    """From where to where along a strip its blanks can lie, as straight lines over the strip's place."""

    def __init__(self, panel: BiasPanel, across_mm: float, angle_deg: float) -> None:
        cosine, sine = cos(radians(angle_deg)), sin(radians(angle_deg))
        length = panel.length_mm - 2 * panel.trim_mm
        stack = panel.stack_mm - 2 * panel.trim_mm
        self.lows: list[tuple[float, float]] = []
        self.highs: list[tuple[float, float]] = []
        self.places: list[tuple[float, float]] = []
        for edge in (0.0, across_mm):
            self._add(cosine, -sine, edge, length)
            self._add(sine, cosine, edge, stack)

    def _add(self, along: float, across: float, edge: float, limit: float) -> None:
        """Demand 0 <= along * a + across * (place + edge) <= limit of every point of a blank."""
        if along < 1e-12:
            self.places += [(across, across * edge), (-across, limit - across * edge)]
            return
        slope = -across / along
        self.lows.append((slope, slope * edge))
        self.highs.append((slope, limit / along + slope * edge))

    def start(self, place: float) -> float:
        return max(slope * place + at_zero for slope, at_zero in self.lows)

    def bounds(self, needed_mm: float) -> tuple[float, float] | None:
        """Between which places a strip has the needed length; None where it never has."""
        demands = [
            (high[0] - low[0], high[1] - low[1] - needed_mm + HAIR_MM) for high in self.highs for low in self.lows
        ]
        least, most = -float("inf"), float("inf")
        for slope, at_zero in demands + [(slope, at_zero + HAIR_MM) for slope, at_zero in self.places]:
            if abs(slope) < 1e-12:
                if at_zero < 0:
                    return None
            elif slope > 0:
                least = max(least, -at_zero / slope)
            else:
                most = min(most, -at_zero / slope)
        return (least, most) if least <= most else None


def _bounds_by_count(
    panel: BiasPanel, along_mm: float, across_mm: float, angle_deg: float
) -> list[tuple[float, float]]:
    """For 1, 2, 3 ... blanks: between which places a strip holds as many; each within the one before."""
    ranges = _Ranges(panel, across_mm, angle_deg)
    found: list[tuple[float, float]] = []
    while True:
        count = len(found) + 1
        bounds = ranges.bounds(count * along_mm + (count - 1) * panel.kerf_mm)
        if bounds is None:
            return found
        found.append(bounds)


def _best_places(bounds: list[tuple[float, float]], pitch_mm: float) -> list[tuple[float, int]]:
    """Places of strips at least a pitch apart with the most blanks in all, by running over the places that matter."""
    if not bounds:
        return []
    last = bounds[0][1]
    places = sorted(
        {least + step * pitch_mm for least, _ in bounds for step in range(int((last - least) / pitch_mm + HAIR_MM) + 1)}
    )
    best, choice = [0], [(0, 0)]
    for number, place in enumerate(places):
        count = sum(least - HAIR_MM <= place <= most + HAIR_MM for least, most in bounds)
        before = bisect_right(places, place - pitch_mm + HAIR_MM, hi=number)
        taken = best[before] + count
        best.append(max(taken, best[-1]))
        choice.append((count, before) if taken > best[-2] else (0, number))
    return _followed_back(places, choice)


def _followed_back(places: list[float], choice: list[tuple[int, int]]) -> list[tuple[float, int]]:
    strips, at = [], len(places)
    while at > 0:
        count, before = choice[at]
        if count:
            strips.append((places[at - 1], count))
        at = before
    return strips[::-1]


def _across(panel: BiasPanel, blank_length_mm: float, blank_height_mm: float, angle_deg: float) -> BiasLayout:
    """Strips across the blanks lean the other way; seen in a mirror they stand at the complement of the angle."""
    mirrored = bias_layout(panel, blank_height_mm, blank_length_mm, 90.0 - angle_deg)
    return replace(mirrored, angle_deg=angle_deg, strips_run_along=False)


def _count(panel: BiasPanel, length_mm: float, blank_length_mm: float, blank_height_mm: float, angle_deg: float) -> int:
    grown = BiasPanel(length_mm, panel.stack_mm, panel.kerf_mm, panel.trim_mm)
    return best_bias_layout(grown, blank_length_mm, blank_height_mm, angle_deg).count


def _up_to_close(length_mm: float) -> float:
    return total_mm([CLOSE_MM * -(-(length_mm - HAIR_MM) // CLOSE_MM)])
