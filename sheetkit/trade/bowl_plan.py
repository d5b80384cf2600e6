"""All rings of a bowl from its profile: the cuts on each board, and the wood left at every joint after turning.

Pieces are numbered from the base, which is 0, upward. Ring i comes from board i modulo the number of boards, and the
cut that frees it there also frees the inside of the ring that follows it on that board.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan, cos, degrees, hypot, radians, tan

from sheetkit.trade.bowl_pattern import turn_from_base
from sheetkit.trade.bowl_profile import Profile
from sheetkit.trade.bowl_volumes import ring_volume
from sheetkit.trade.bowls import least_tilt, settable_tilt, stack_height
from sheetkit.trade.exact import ceiling_of_ratio, floor_of_ratio, total_mm
from sheetkit.trade.wish import Answer

SHORT_MM = 1e-6
"""A length this short is the arithmetic's doing."""


@dataclass(frozen=True, slots=True)
class RingRules:
    """How the rings are to be sawn, glued and turned.

    Attributes:
        board_mm: measured thickness of the board, > 0 [mm]
        kerf_mm: kerf, square to the blade, >= 0 [mm]
        wall_mm: finished wall wanted, square to the slope, > 0 [mm]
        boards: how many boards give rings in turn, >= 1 [1]
        glue_mm: thickness of the joint between rings, >= 0 [mm]
        turning_mm: wood left outside the profile for turning, level, >= 0 [mm]
        tilt_division_deg: step of the saw's tilt scale; 0 when any tilt can be set [deg]
        turn_deg: turn of each ring from the ring below [deg]
    """

    board_mm: float
    kerf_mm: float
    wall_mm: float
    boards: int = 1
    glue_mm: float = 0.0
    turning_mm: float = 0.0
    tilt_division_deg: float = 0.0
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Ring:
    """One piece of the stack as sawn; the base is number 0 and has no hole.

    Attributes:
        number: counted from the base, which is 0 [1]
        board: which board it comes from, counted from 0 [1]
        bottom_mm: height of its lower face above the foot [mm]
        tilt_deg: tilt of its outer cut from the vertical [deg]
        outer_top_mm: outer radius on top of the board [mm]
        outer_bottom_mm: outer radius at the bottom of the board [mm]
        inner_top_mm: inner radius on top of the board; 0 where it has no hole [mm]
        inner_bottom_mm: inner radius at the bottom of the board; 0 where it has no hole [mm]
        turn_deg: turn from the base, below 360 [deg]
        wall_mm: least wall left anywhere in it after turning, square to the slope; below zero there is none [mm]
    """

    number: int
    board: int
    bottom_mm: float
    tilt_deg: float
    outer_top_mm: float
    outer_bottom_mm: float
    inner_top_mm: float
    inner_bottom_mm: float
    turn_deg: float
    wall_mm: float


@dataclass(frozen=True, slots=True)
class Joint:
    """Where a ring sits on the piece below it.

    Attributes:
        ring: number of the upper ring [1]
        height_mm: height above the foot [mm]
        ledge_mm: above zero the lower piece stands out on the outside, below zero the upper one does [mm]
        overlap_mm: level width of the glue face as stacked; below zero the pieces do not meet [mm]
        wall_mm: wall left after turning to the profile, square to the slope; below zero there is none [mm]
    """

    ring: int
    height_mm: float
    ledge_mm: float
    overlap_mm: float
    wall_mm: float


@dataclass(frozen=True, slots=True)
class BowlPlan:
    """A bowl ready to saw.

    Attributes:
        profile: the finished outside
        rules: how the rings are sawn, glued and turned
        rings: the base and the rings, from the foot up
        joints: every joint, from the foot up
        short: wishes that are not met, each with the nearest that is
    """

    profile: Profile
    rules: RingRules
    rings: tuple[Ring, ...]
    joints: tuple[Joint, ...]
    short: tuple[Answer, ...]

    @property
    def blank_diameter_mm(self) -> float:
        """Diameter of the largest cut, on either face of its board."""
        return 2 * max(max(ring.outer_top_mm, ring.outer_bottom_mm) for ring in self.rings)

    @property
    def rough_height_mm(self) -> float:
        """Height of the glued stack before the rim is trimmed to the profile."""
        return stack_height(len(self.rings) - 1, self.rules.board_mm, self.rules.glue_mm)

    @property
    def sawn_volume_mm3(self) -> float:
        """Wood in the stacked rings and the base, before turning."""
        return sum(
            ring_volume(
                ring.outer_top_mm,
                ring.inner_top_mm,
                ring.outer_bottom_mm,
                ring.inner_bottom_mm,
                self.rules.board_mm,
            )
            for ring in self.rings
        )


def rings_of_straight_bowl(rim_diameter_mm: float, foot_diameter_mm: float, rules: RingRules) -> Answer:
    """Count the rings of the tallest straight bowl that keeps the wall at every joint.

    Args:
        rim_diameter_mm: outside diameter at the rim, > 0 [mm]
        foot_diameter_mm: outside diameter at the foot, > 0 [mm]
        rules: how the rings are sawn, glued and turned

    Source: own derivation: the least tilt for the wall gives height = (rim - foot) / 2 / tan(tilt); rings + 1 boards.

    >>> rules = RingRules(board_mm=18.0, kerf_mm=1.0, wall_mm=8.0)
    >>> rings_of_straight_bowl(rim_diameter_mm=260.0, foot_diameter_mm=90.0, rules=rules).demand()
    7
    """
    tilt = least_tilt(rules.wall_mm, rules.kerf_mm, rules.board_mm, rules.boards)
    if not tilt.met:
        return Answer(False, 0, tilt.reason, tilt.lengths_mm)
    run_mm = (rim_diameter_mm - foot_diameter_mm) / 2
    height_mm = run_mm / tan(radians(tilt.value))
    pieces = floor_of_ratio(total_mm([height_mm, rules.glue_mm]), total_mm([rules.board_mm, rules.glue_mm]))
    if pieces < 2:
        reason = "with a wall of {} not one ring fits between foot and rim; their radii must differ by {} or more"
        least_run_mm = stack_height(1, rules.board_mm, rules.glue_mm) * tan(radians(tilt.value))
        return Answer(False, 0, reason, (rules.wall_mm, least_run_mm))
    return Answer(True, pieces - 1)


def plan_bowl(profile: Profile, rules: RingRules) -> BowlPlan:
    """Plan every ring of a bowl with any profile, each with its own tilt, and find the wall left at every joint.

    Args:
        profile: the finished outside
        rules: how the rings are sawn, glued and turned

    Source: own derivation: each outer cut is the straight line along the chord of its part of the profile, moved out
    until the profile lies inside it; the inside of a ring is the far side of the kerf of the next cut on its board.

    >>> from sheetkit.trade.bowl_profile import straight_profile
    >>> rules = RingRules(board_mm=18.0, kerf_mm=1.0, wall_mm=8.0)
    >>> plan = plan_bowl(straight_profile(rim_diameter_mm=216.0, foot_diameter_mm=72.0, height_mm=72.0), rules)
    >>> [round(ring.outer_top_mm, 6) for ring in plan.rings], round(plan.joints[1].wall_mm, 3)
    ([54.0, 72.0, 90.0, 108.0], 11.728)
    """
    lines = [_outer_line(profile, rules, bottom) for bottom in _bottoms(profile, rules)]
    holes = [_hole(profile, rules, lines, number) for number in range(len(lines))]
    rings = tuple(_ring(profile, rules, number, line, holes[number]) for number, line in enumerate(lines))
    joints = tuple(_joint(profile, lower, upper) for lower, upper in pairwise(rings))
    return BowlPlan(profile, rules, rings, joints, tuple(_shortfalls(rules, rings, joints)))


def fewest_boards(profile: Profile, rules: RingRules) -> Answer:
    """Find how many boards must give rings in turn before every joint of a profile keeps its wall.

    Args:
        profile: the finished outside
        rules: how the rings are sawn, glued and turned; its number of boards is not used

    Source: plan_bowl for 1, 2, 3 ... boards, up to a board for every ring.

    >>> from sheetkit.trade.bowl_profile import straight_profile
    >>> side = straight_profile(rim_diameter_mm=180.0, foot_diameter_mm=120.0, height_mm=108.0)
    >>> fewest_boards(side, RingRules(board_mm=18.0, kerf_mm=1.0, wall_mm=8.0)).demand()
    2
    """
    pieces = len(_bottoms(profile, rules))
    thickest = -float("inf")
    for boards in range(1, pieces + 1):
        plan = plan_bowl(profile, replace(rules, boards=boards))
        if not plan.short:
            return Answer(True, boards)
        thickest = max(thickest, min(joint.wall_mm for joint in plan.joints) if plan.joints else thickest)
    reason = "even with a board for every ring a wall of {} is not kept at every joint; the thickest is {}"
    return Answer(False, pieces, reason, (rules.wall_mm, thickest))


@dataclass(frozen=True, slots=True)
class _Line:
    """The side of a cut through a board: radius at its foot, growing upward by the tilt."""

    floor_mm: float
    radius_mm: float
    tilt_deg: float

    def at(self, height_mm: float) -> float:
        return self.radius_mm + (height_mm - self.floor_mm) * tan(radians(self.tilt_deg))


def _bottoms(profile: Profile, rules: RingRules) -> list[float]:
    pitch_mm = total_mm([rules.board_mm, rules.glue_mm])
    pieces = max(1, ceiling_of_ratio(total_mm([profile.height_mm, rules.glue_mm]), pitch_mm))
    return [number * pitch_mm for number in range(pieces)]


def _levels(profile: Profile, rules: RingRules, bottom_mm: float) -> list[float]:
    """Where something about the profile can be largest or least: both faces, and either side of every corner."""
    top_mm = min(bottom_mm + rules.board_mm, profile.height_mm)
    corners = [height for height in profile.heights_mm if bottom_mm < height < top_mm]
    beside = [height + side for height in corners for side in (-SHORT_MM, SHORT_MM)]
    return [bottom_mm, bottom_mm + SHORT_MM, *corners, *beside, top_mm - SHORT_MM, top_mm]


def _outer_line(profile: Profile, rules: RingRules, bottom_mm: float) -> _Line:
    levels = _levels(profile, rules, bottom_mm)
    growth = (profile.radius_at(levels[-1]) - profile.radius_at(levels[0])) / (levels[-1] - levels[0])
    tilt_deg = degrees(atan(growth))
    if rules.tilt_division_deg > 0:
        tilt_deg = settable_tilt(tilt_deg, rules.tilt_division_deg)
    through_foot = _Line(bottom_mm, 0.0, tilt_deg)
    radius_mm = max(profile.radius_at(level) - through_foot.at(level) for level in levels)
    return _Line(bottom_mm, radius_mm + rules.turning_mm, tilt_deg)


def _hole(profile: Profile, rules: RingRules, lines: list[_Line], number: int) -> _Line | None:
    """The inner side of a ring: the next cut on its board, or a cut of its own where the board has none."""
    if number == 0:
        return None
    floor_mm, tilt_deg = lines[number].floor_mm, lines[number].tilt_deg
    if number >= rules.boards:
        inner = lines[number - rules.boards]
        return _Line(floor_mm, inner.radius_mm + rules.kerf_mm / cos(radians(inner.tilt_deg)), inner.tilt_deg)
    through_foot = _Line(floor_mm, 0.0, tilt_deg)
    radius_mm = min(
        profile.radius_at(level) - rules.wall_mm * hypot(1.0, profile.slope_at(level)) - through_foot.at(level)
        for level in _levels(profile, rules, floor_mm)
    )
    own = _Line(floor_mm, radius_mm - rules.turning_mm, tilt_deg)
    return own if min(own.at(floor_mm), own.at(floor_mm + rules.board_mm)) > 0 else None


def _ring(profile: Profile, rules: RingRules, number: int, line: _Line, hole: _Line | None) -> Ring:
    bottom_mm, top_mm = line.floor_mm, line.floor_mm + rules.board_mm
    walls = [
        (profile.radius_at(level) - (hole.at(level) if hole else 0.0)) / hypot(1.0, profile.slope_at(level))
        for level in _levels(profile, rules, bottom_mm)
    ]
    return Ring(
        number=number,
        board=number % rules.boards,
        bottom_mm=bottom_mm,
        tilt_deg=line.tilt_deg,
        outer_top_mm=line.at(top_mm),
        outer_bottom_mm=line.radius_mm,
        inner_top_mm=hole.at(top_mm) if hole else 0.0,
        inner_bottom_mm=hole.radius_mm if hole else 0.0,
        turn_deg=turn_from_base(rules.turn_deg, number),
        wall_mm=min(walls),
    )


def _joint(profile: Profile, lower: Ring, upper: Ring) -> Joint:
    height_mm = upper.bottom_mm
    outer_mm = min(lower.outer_top_mm, upper.outer_bottom_mm)
    inner_mm = max(lower.inner_top_mm, upper.inner_bottom_mm)
    finished_mm = min(outer_mm, profile.radius_at(height_mm))
    return Joint(
        ring=upper.number,
        height_mm=height_mm,
        ledge_mm=lower.outer_top_mm - upper.outer_bottom_mm,
        overlap_mm=outer_mm - inner_mm,
        wall_mm=(finished_mm - inner_mm) / hypot(1.0, profile.slope_at(height_mm)),
    )


def _shortfalls(rules: RingRules, rings: Sequence[Ring], joints: Sequence[Joint]) -> list[Answer]:
    short = []
    for joint in joints:
        place = f"the joint below ring {joint.ring}"
        if joint.overlap_mm <= 0:
            reason = place + " does not close: the pieces miss each other by {}"
            short.append(Answer(False, 0.0, reason, (-joint.overlap_mm,)))
        elif joint.wall_mm < rules.wall_mm - SHORT_MM:
            reason = place + " keeps a wall of {} where {} is wanted"
            short.append(Answer(False, max(0.0, joint.wall_mm), reason, (max(0.0, joint.wall_mm), rules.wall_mm)))
    for ring in rings[1:]:
        at_joints = [joint.wall_mm for joint in joints if joint.ring in (ring.number, ring.number + 1)]
        if ring.wall_mm < rules.wall_mm - SHORT_MM and min(at_joints) >= rules.wall_mm - SHORT_MM:
            reason = f"ring {ring.number} is thinned to a wall of {{}} between its joints where {{}} is wanted"
            short.append(Answer(False, ring.wall_mm, reason, (ring.wall_mm, rules.wall_mm)))
    return short
