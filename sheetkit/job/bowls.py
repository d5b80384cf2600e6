"""Ring bowls: the profile, the rings, the boards they take, and what of it cannot be."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from sheetkit.job.piece_stacks import PieceStack, trade_steps
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows_pieces import Bowl, CutStep
from sheetkit.trade.blanks import rows_of_blanks
from sheetkit.trade.bowl_pattern import arc_of_turn, colour_changes, reads_same_both_ways, rings_to_repeat
from sheetkit.trade.bowl_plan import BowlPlan, RingRules, fewest_boards, plan_bowl, rings_of_straight_bowl
from sheetkit.trade.bowl_profile import (
    Profile,
    arc_profile,
    fullest_bulge,
    inside_outline,
    ogee_profile,
    straight_profile,
    table_profile,
)
from sheetkit.trade.bowl_volumes import block_volume, share_saved, turned_volume
from sheetkit.trade.bowls import half_ring_oval, least_tilt, panels_side_by_side, stack_height
from sheetkit.trade.pattern import Pattern
from sheetkit.trade.wish import Answer

BULGE_SHARE = 0.1
"""Bulge of an arc where none is given, as a share of the height."""

MOST_PIECES = 24
"""For a taller stack the boards in turn are not searched through."""

MOST_RINGS = 240
"""No bowl is planned with more."""


class CannotBeMadeError(ValueError):
    """A bowl cannot be made.

    Args:
        field: the column to look at
        found: what stands in the way
        fix: what would work
    """

    def __init__(self, field: str, found: Answer, fix: str) -> None:
        super().__init__(field, found, fix)
        self.field, self.found, self.fix = field, found, fix


@dataclass(frozen=True)
class BowlAnswer:
    """One bowl.

    Attributes:
        row: what the maker asked for
        stack: the panel its rings come from
        steps: rounds of cutting and gluing before the rings are sawn
        plan: the rings
        pattern: the board that the rings are sawn from; with a panel of unknown length, one just large enough
        side_by_side: panels glued side by side for one board
        panels_needed: panels that all the boards take; None where a panel's length is not known
        floor_mm: finished thickness of the bottom
        steepest: least tilt at which this wall comes out of these boards
        fewest: boards in turn that keep the wall; None where it was not searched for
        turned_mm3: wood in the finished bowl
        block_mm3: a solid block for it
        boards_mm3: the square boards for the rings
        saved: share of the block that the boards leave unbought
        repeats_after: rings after which the pattern stands as it began; None where rings are not turned
        turn_arc_mm: length of one turn along the rim
        changes: colour changes once around the rim ring; None on a board that was cut and glued
        oval_mm: out of round where the rings are halves; None where they are whole
    """

    row: Bowl
    stack: PieceStack
    steps: tuple[CutStep, ...]
    plan: BowlPlan
    pattern: Pattern
    side_by_side: int
    panels_needed: int | None
    floor_mm: float
    steepest: Answer
    fewest: Answer | None
    turned_mm3: float
    block_mm3: float
    boards_mm3: float
    saved: float
    repeats_after: int | None
    turn_arc_mm: float
    changes: int | None
    oval_mm: float | None

    @property
    def least_wall_mm(self) -> float:
        """The thinnest wall left anywhere."""
        return min([ring.wall_mm for ring in self.plan.rings[1:]] + [joint.wall_mm for joint in self.plan.joints])

    @property
    def missed_joints(self) -> int:
        """Joints that do not close."""
        return sum(joint.overlap_mm <= 0 for joint in self.plan.joints)

    @property
    def board_large_enough(self) -> bool:
        """Whether the largest ring fits on the board."""
        board = self.pattern.board
        return min(board.length_mm, board.width_mm) >= self.plan.blank_diameter_mm - 1e-6


def bowl_answer(row: Bowl, stack: PieceStack, steps: Sequence[CutStep], inputs: Inputs) -> BowlAnswer:
    """Work a bowl out.

    Args:
        row: the maker's row
        stack: the panel its rings come from
        steps: its rounds of cutting and gluing, in order
        inputs: the shop's settings and the points of profiles

    Raises:
        CannotBeMadeError: the bowl cannot be made at all.
        ValueError: with the sentence, where a step gives no board.
    """
    shop = inputs.shop
    flattened = sum(step.flatten_mm for step in steps)
    rules = _rules(row, stack, flattened, inputs)
    plan = _plan(row, rules, inputs)
    floor = row.floor_mm if row.floor_mm is not None else shop.floor_mm
    hollow = _hollow(plan.profile, row, floor)
    blank = plan.blank_diameter_mm
    many = 1 if steps else panels_side_by_side(blank, stack.thickness_mm, stack.glue_mm)
    length = stack.panel.length_mm if stack.panel.length_mm is not None else blank
    pattern = stack.pattern(length, rules.board_mm + flattened, many, trade_steps(steps, inputs))
    widest = 2 * max(plan.profile.radii_mm)
    block = block_volume(widest, plan.profile.height_mm)
    return BowlAnswer(
        row=row,
        stack=stack,
        steps=tuple(steps),
        plan=plan,
        pattern=pattern,
        side_by_side=many,
        panels_needed=None
        if stack.panel.length_mm is None or steps
        else _panels_needed(row, plan, stack, many, inputs),
        floor_mm=floor,
        steepest=least_tilt(rules.wall_mm, rules.kerf_mm, rules.board_mm, rules.boards),
        fewest=fewest_boards(plan.profile, rules) if plan.short and len(plan.rings) <= MOST_PIECES else None,
        turned_mm3=turned_volume(plan.profile.outline_mm) - turned_volume(hollow),
        block_mm3=block,
        boards_mm3=rules.boards * block_volume(blank, rules.board_mm),
        saved=share_saved(widest, plan.profile.height_mm, rules.board_mm, rules.boards)
        if blank == widest
        else 1 - rules.boards * block_volume(blank, rules.board_mm) / block,
        repeats_after=rings_to_repeat(row.turn_deg, _same_both_ways(stack, many)) if row.turn_deg else None,
        turn_arc_mm=arc_of_turn(row.rim_diameter_mm / 2, row.turn_deg),
        changes=None if pattern.steps else _changes(pattern, stack, plan.profile.radii_mm[-1]),
        oval_mm=half_ring_oval(shop.blank_kerf_mm, shop.cleaning_mm) if row.halves else None,
    )


def _rules(row: Bowl, stack: PieceStack, flattened_mm: float, inputs: Inputs) -> RingRules:
    board = row.board_thickness_mm
    if board is None and stack.panel.width_mm is not None:
        board = stack.panel.width_mm - flattened_mm
    if board is None or board <= 0.0:
        raise CannotBeMadeError(
            "board_thickness_mm",
            Answer(False, 0.0, f"no thickness of the board for {row.piece}"),
            "type it here, or give the panel its Width on Panels",
        )
    return RingRules(
        board_mm=board,
        kerf_mm=inputs.shop.ring_kerf_mm,
        wall_mm=row.wall_mm,
        boards=row.boards,
        glue_mm=inputs.shop.glue_line_mm,
        turning_mm=inputs.shop.turning_mm,
        tilt_division_deg=inputs.shop.tilt_step_deg,
        turn_deg=row.turn_deg,
    )


def _plan(row: Bowl, rules: RingRules, inputs: Inputs) -> BowlPlan:
    points = [(point.radius_mm, point.height_mm) for point in inputs.profiles if _same(point.piece, row.piece)]
    if points:
        _refuse_too_many(max(height for _, height in points) / (rules.board_mm + rules.glue_mm), "board_thickness_mm")
        try:
            return plan_bowl(table_profile(sorted(points, key=lambda point: point[1])), rules)
        except ValueError as refused:
            fix = "on Profiles, give at least two points, the first at height 0, and each height once"
            raise CannotBeMadeError("piece", Answer(False, 0.0, str(refused)), fix) from refused
    if row.height_mm is not None:
        _refuse_too_many(row.height_mm / (rules.board_mm + rules.glue_mm), "height_mm")
        return plan_bowl(_profile(row, row.height_mm), rules)
    if row.rings is not None:
        return plan_bowl(_profile(row, stack_height(row.rings, rules.board_mm, rules.glue_mm)), rules)
    return _tallest(row, rules)


def _tallest(row: Bowl, rules: RingRules) -> BowlPlan:
    """As many rings as the wall allows; fewer where the curve, or the tilt that can be set, takes too much of it."""
    most = rings_of_straight_bowl(row.rim_diameter_mm, row.foot_diameter_mm, rules)
    if not most.met:
        fix = "ask for a thinner wall, take rings from more boards in turn, or give a Height or Rings of your own"
        raise CannotBeMadeError("wall_mm", most, fix)
    _refuse_too_many(most.value, "board_thickness_mm")
    tried = [
        plan_bowl(_profile(row, stack_height(rings, rules.board_mm, rules.glue_mm)), rules)
        for rings in range(int(most.value), max(0, int(most.value) - 4), -1)
    ]
    return next((plan for plan in tried if not plan.short), tried[-1])


def _refuse_too_many(rings: float, field: str) -> None:
    if rings > MOST_RINGS:
        found = Answer(False, MOST_RINGS, f"a stack of about {rings:.0f} rings")
        raise CannotBeMadeError(field, found, f"take thicker boards, or a height of {MOST_RINGS} boards at the most")


def _profile(row: Bowl, height_mm: float) -> Profile:
    rim, foot = row.rim_diameter_mm, row.foot_diameter_mm
    if row.profile == "straight":
        return straight_profile(rim, foot, height_mm)
    bulge = row.bulge_mm if row.bulge_mm is not None else BULGE_SHARE * height_mm
    try:
        return (arc_profile if row.profile == "arc" else ogee_profile)(rim, foot, height_mm, bulge)
    except ValueError as refused:
        limit = fullest_bulge(rim, foot, height_mm) / (1 if row.profile == "arc" else 2)
        reason = "with a bulge of {} the side would run level or turn back; it must stay below {}"
        raise CannotBeMadeError(
            "bulge_mm", Answer(False, limit, reason, (abs(bulge), limit)), "ask for a smaller bulge, or a taller bowl"
        ) from refused


def _hollow(profile: Profile, row: Bowl, floor_mm: float) -> list[tuple[float, float]]:
    try:
        return inside_outline(profile, row.wall_mm, floor_mm)
    except ValueError as refused:
        reason = "a wall of {} over a floor of {} leaves no hollow in a bowl {} high"
        answer = Answer(False, 0.0, reason, (row.wall_mm, floor_mm, profile.height_mm))
        fix = "ask for a thinner wall or floor, or a larger bowl"
        raise CannotBeMadeError("wall_mm" if floor_mm < profile.height_mm else "floor_mm", answer, fix) from refused


def _panels_needed(row: Bowl, plan: BowlPlan, stack: PieceStack, side_by_side: int, inputs: Inputs) -> int | None:
    """Panels for every board of every such bowl; None where not one board comes out of a panel's length."""
    length, width = stack.panel.length_mm or 0.0, stack.panel.width_mm
    kerf = inputs.shop.blank_kerf_mm
    along = rows_of_blanks(length, plan.blank_diameter_mm, kerf)
    deep = max(1, rows_of_blanks(width, plan.rules.board_mm, kerf)) if width is not None else 1
    if along < 1:
        return None
    return ceil(side_by_side * plan.rules.boards * row.quantity / (along * deep))


def _same_both_ways(stack: PieceStack, many: int) -> bool:
    layers = [(layer.species, layer.finished_mm) for layer in stack.panel.layers] * many
    total = sum(thickness for _, thickness in layers) + stack.glue_mm * (len(layers) - 1)
    return reads_same_both_ways(layers, total / 2, stack.glue_mm)


def _changes(pattern: Pattern, stack: PieceStack, radius_mm: float) -> int:
    """Colour changes around a ring, counted at the glue lines between layers of different woods."""
    layers = [*stack.layers] * pattern.side_by_side
    at, boundaries = 0.0, []
    middle = pattern.first_board.width_mm / 2
    for layer, following in pairwise(layers):
        at += layer.thickness_mm
        if layer.species != following.species:
            boundaries.append(at + stack.glue_mm / 2 - middle)
        at += stack.glue_mm
    return colour_changes(radius_mm, boundaries)


def _same(one: str, other: str) -> bool:
    return one.casefold() == other.casefold()
