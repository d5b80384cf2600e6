"""Whole bowls: rings with their own tilts, joints, and the wall left after turning."""

from dataclasses import replace
from itertools import pairwise
from math import atan, cos, degrees, pi, radians, sin, tan

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from sheetkit.trade.bowl_plan import RingRules, fewest_boards, plan_bowl, rings_of_straight_bowl
from sheetkit.trade.bowl_profile import (
    arc_profile,
    fullest_bulge,
    inside_outline,
    ogee_profile,
    straight_profile,
    table_profile,
)
from sheetkit.trade.bowl_volumes import ring_volume, turned_volume
from sheetkit.trade.bowls import least_tilt, stack_height

INCH = 25.4
RULES = RingRules(board_mm=18.0, kerf_mm=1.0, wall_mm=8.0)
FACETS = 512
ROUND = FACETS * np.sin(2 * pi / FACETS) / (2 * pi)
"""Area of a polygon with so many corners over that of its circle."""


def revolved(outline):
    return trimesh.creation.revolve(np.array(outline), sections=FACETS)


def straight_bowl(rim, foot, rules, rings=None):
    """A straight bowl with so many rings, or as tall as its wall allows."""
    if rings is None:
        rings = int(rings_of_straight_bowl(rim, foot, rules).demand())
    return plan_bowl(straight_profile(rim, foot, stack_height(rings, rules.board_mm, rules.glue_mm)), rules)


def test_a_cone_has_the_shift_face_and_wall_of_case_a41_and_the_base_of_case_a45():
    """A41: shift 0.750, face 0.7005, wall 0.495, not 0.75. A45: a foot of 3.000 is drawn 4.500 wide on top."""
    rules = RingRules(board_mm=0.750 * INCH, kerf_mm=0.035 * INCH, wall_mm=0.25 * INCH)
    plan = straight_bowl(12 * INCH, 3 * INCH, rules, rings=5)
    assert [ring.tilt_deg for ring in plan.rings] == [pytest.approx(45.0)] * 6
    for lower, upper in pairwise(plan.rings):
        assert (upper.outer_top_mm - lower.outer_top_mm) / INCH == pytest.approx(0.750)
        assert (upper.outer_top_mm - upper.inner_top_mm) / INCH == pytest.approx(0.7005, abs=5e-5)
        assert (upper.outer_top_mm - upper.outer_bottom_mm) / INCH == pytest.approx(0.750)
    assert plan.rings[0].outer_top_mm * 2 / INCH == pytest.approx(4.5)
    assert plan.profile.height_mm / INCH == pytest.approx(4.5)
    for joint in plan.joints:
        assert joint.ledge_mm == pytest.approx(0.0, abs=1e-9)
        assert joint.wall_mm / INCH == pytest.approx(0.75 * sin(radians(45.0)) - 0.035)
        assert joint.wall_mm / INCH == pytest.approx(0.495, abs=5e-4)
    assert plan.short == ()
    assert plan.blank_diameter_mm == pytest.approx(12 * INCH)


def test_a42_at_the_least_tilt_the_rings_are_as_far_apart_as_a_cut_shifts():
    """Case A42: wall 0.250, kerf 0.035, board 0.750: 22.33 degrees, spacing 0.308."""
    rules = RingRules(board_mm=0.750 * INCH, kerf_mm=0.035 * INCH, wall_mm=0.250 * INCH)
    run = 4 * 0.75 * INCH * tan(radians(least_tilt(rules.wall_mm, rules.kerf_mm, rules.board_mm).demand()))
    plan = straight_bowl(3 * INCH + 2 * run, 3 * INCH, rules, rings=3)
    assert plan.rings[1].tilt_deg == pytest.approx(22.33, abs=0.005)
    for lower, upper in pairwise(plan.rings):
        assert (upper.outer_top_mm - lower.outer_top_mm) / INCH == pytest.approx(0.308, abs=5e-4)
    assert [joint.wall_mm / INCH for joint in plan.joints] == [pytest.approx(0.250)] * 3


def test_a44_five_rings_and_a_base_come_out_of_the_blank():
    """Case A44: blank 11-1/2, inner disc 4, spacing and board 3/4: 5 rings and the base, 4.50 high. At 45 degrees the
    disc of 4 on top has a foot of 2-1/2; the wall that just fits is 0.75 sin 45 - 0.035."""
    wall = 0.75 * sin(radians(45.0)) - 0.035
    rules = RingRules(board_mm=0.750 * INCH, kerf_mm=0.035 * INCH, wall_mm=(wall - 1e-6) * INCH)
    assert rings_of_straight_bowl(11.5 * INCH, 2.5 * INCH, rules).demand() == 5
    plan = straight_bowl(11.5 * INCH, 2.5 * INCH, rules)
    assert plan.rings[0].outer_top_mm * 2 / INCH == pytest.approx(4.0)
    assert plan.rough_height_mm / INCH == pytest.approx(4.50)


def test_a_set_tilt_leaves_the_ledge_of_case_a43_at_every_ring():
    """Rings 1/4 in smaller each, 1/2 in board, set at 27 degrees: the cut is kept outside the profile at the top."""
    rules = RingRules(board_mm=0.5 * INCH, kerf_mm=0.035 * INCH, wall_mm=0.125 * INCH, tilt_division_deg=1.0)
    plan = straight_bowl(6 * INCH, 3.5 * INCH, rules, rings=4)
    assert {ring.tilt_deg for ring in plan.rings} == {27.0}
    assert [joint.ledge_mm / INCH for joint in plan.joints] == [pytest.approx(0.0048, abs=5e-5)] * 4
    assert sum(joint.ledge_mm for joint in plan.joints) / INCH == pytest.approx(0.019, abs=5e-4)
    ring = plan.rings[1]
    assert (ring.outer_top_mm - ring.outer_bottom_mm) / INCH == pytest.approx(0.2548, abs=5e-5)


def test_a_tilt_set_too_steep_lets_the_upper_ring_stand_out():
    """By hand: at 26.5 degrees the shift is 0.5 tan 26.5 = 0.2493 for a step of 0.250; exact at 26.565 degrees."""
    rules = RingRules(board_mm=0.5 * INCH, kerf_mm=0.035 * INCH, wall_mm=0.125 * INCH, tilt_division_deg=0.5)
    plan = straight_bowl(6 * INCH, 3.5 * INCH, rules, rings=4)
    assert plan.joints[0].ledge_mm / INCH == pytest.approx(0.5 * tan(radians(26.5)) - 0.250)
    exact = straight_bowl(6 * INCH, 3.5 * INCH, replace(rules, tilt_division_deg=0.0), rings=4)
    assert exact.rings[0].tilt_deg == pytest.approx(26.57, abs=0.005)
    assert [joint.ledge_mm for joint in exact.joints] == [pytest.approx(0.0, abs=1e-9)] * 4


@settings(max_examples=30, deadline=None)
@given(board=st.floats(10, 60), tilt=st.floats(10, 70), kerf=st.floats(0, 3))
def test_a_wall_a_hair_thinner_than_the_slope_gives_takes_one_board_and_a_hair_thicker_two(board, tilt, kerf):
    """H sin(tilt) - kerf is the wall of a cone that runs on; the rings of the first board are the ones that count."""
    wall = board * sin(radians(tilt)) - kerf
    if wall < 1.0:
        return
    assert least_tilt(wall, kerf, board).demand() == pytest.approx(tilt, abs=1e-4)
    height = 3 * board
    side = straight_profile(400.0 + 2 * height * tan(radians(tilt)), 400.0, height)
    for more, boards in ((-1e-3, 1), (1e-3, 2)):
        rules = RingRules(board_mm=board, kerf_mm=kerf, wall_mm=wall + more)
        assert fewest_boards(side, rules).demand() == boards


@pytest.mark.parametrize(("boards", "wall"), [(1, 8.0), (2, 20.0), (3, 30.0)])
def test_the_tallest_straight_bowl_keeps_the_wall_and_one_ring_more_would_not(boards, wall):
    rules = replace(RULES, boards=boards, wall_mm=wall)
    rings = int(rings_of_straight_bowl(260.0, 90.0, rules).demand())
    assert straight_bowl(260.0, 90.0, rules).short == ()
    assert straight_bowl(260.0, 90.0, rules, rings=rings).short == ()
    assert straight_bowl(260.0, 90.0, rules, rings=rings + 1).short != ()


def test_rings_from_two_boards_in_turn_have_the_wall_of_two_shifts():
    """By hand: m H sin(tilt) - kerf, for the rings that follow a cut on their own board."""
    plan = straight_bowl(200.0, 128.0, replace(RULES, boards=2), rings=7)
    tilt = radians(plan.rings[0].tilt_deg)
    assert tan(tilt) == pytest.approx(36.0 / 144.0)
    assert [ring.board for ring in plan.rings] == [0, 1, 0, 1, 0, 1, 0, 1]
    for ring in plan.rings[2:]:
        level = ring.outer_top_mm - ring.inner_top_mm
        assert level * cos(tilt) == pytest.approx(2 * 18.0 * np.sin(tilt) - 1.0)


def test_a_side_too_steep_for_one_board_says_which_joints_fail_and_how_many_boards_help():
    """By hand: 30 in 108 is 15.524 degrees, the shift 5, and 5 cos 15.524 - 1 = 3.818."""
    side = straight_profile(180.0, 120.0, 108.0)
    plan = plan_bowl(side, RULES)
    assert plan.short[0].sentence() == "the joint below ring 1 keeps a wall of 3.818 mm where 8.000 mm is wanted"
    assert fewest_boards(side, RULES).demand() == 2
    assert plan_bowl(side, replace(RULES, boards=2)).short == ()


def test_an_upright_side_takes_a_board_for_every_ring():
    side = straight_profile(120.0, 120.0, 90.0)
    assert fewest_boards(side, RULES).demand() == 5
    assert plan_bowl(side, RULES).short[0].sentence() == (
        "the joint below ring 1 does not close: the pieces miss each other by 1.000 mm"
    )


def test_a_wall_that_no_number_of_boards_keeps_is_told_with_the_thickest():
    """By hand: 72 out over 36 leans 63.435 degrees; of a wall of 60, 60 / cos 63.435 = 134 lies level, more than the
    radius, so that the ring has no hole; the joint at half the height, 108 out, keeps 108 cos 63.435 = 48.299."""
    side = straight_profile(288.0, 144.0, 36.0)
    answer = fewest_boards(side, replace(RULES, wall_mm=60.0))
    assert answer.sentence() == (
        "even with a board for every ring a wall of 60.000 mm is not kept at every joint; the thickest is 48.299 mm"
    )


def test_a_ring_that_a_bend_thins_between_its_joints_is_told():
    """By hand: the base leans 10 in 18 and its kerf is sqrt(1 + (10 / 18)**2) = 1.144 level, so that the hole of the
    ring above is 61.144 at 18 and 66.144 at 27; there the side is 70 out and turns to a slope of 2 in 1, square to
    which (70 - 66.144) / sqrt(5) = 1.724 is left. The joint keeps at least (70 - 61.144) / 1.144 = 7.741."""
    side = table_profile([(60.0, 0.0), (70.0, 18.0), (70.0, 27.0), (88.0, 36.0)], smooth=False)
    assert [each.sentence() for each in plan_bowl(side, replace(RULES, wall_mm=7.0)).short] == [
        "ring 1 is thinned to a wall of 1.724 mm between its joints where 7.000 mm is wanted"
    ]


def test_a_wall_no_tilt_can_leave_is_refused():
    answer = rings_of_straight_bowl(260.0, 90.0, replace(RULES, wall_mm=17.5))
    assert not answer.met
    assert "take them from 2 boards" in answer.sentence()
    with pytest.raises(ValueError, match=r"no tilt leaves a wall of 17\.500 mm"):
        answer.demand()


def test_a_rim_hardly_wider_than_the_foot_gives_no_ring():
    answer = rings_of_straight_bowl(110.0, 90.0, RULES)
    run = 36.0 * tan(radians(least_tilt(8.0, 1.0, 18.0).demand()))
    assert not answer.met
    assert answer.lengths_mm == (8.0, pytest.approx(run))
    assert rings_of_straight_bowl(90.0 + 2 * run + 1e-6, 90.0, RULES).demand() == 1


PROFILES = [
    arc_profile(260.0, 80.0, 90.0, 12.0),
    arc_profile(260.0, 80.0, 90.0, -10.0),
    ogee_profile(260.0, 80.0, 90.0, 6.0),
    table_profile([(40.0, 0.0), (95.0, 30.0), (120.0, 90.0)]),
    table_profile([(40.0, 0.0), (95.0, 30.0), (120.0, 90.0)], smooth=False),
]


@pytest.mark.parametrize("profile", PROFILES)
@pytest.mark.parametrize("division", [0.0, 1.0])
@pytest.mark.parametrize("boards", [1, 2])
def test_every_cut_of_a_curved_bowl_stays_outside_its_profile(profile, division, boards):
    rules = replace(RULES, tilt_division_deg=division, boards=boards, turning_mm=0.5, glue_mm=0.1)
    for ring in plan_bowl(profile, rules).rings:
        for share in np.linspace(0.0, 1.0, 41):
            height = ring.bottom_mm + share * 18.0
            if height <= profile.height_mm:
                outer = ring.outer_bottom_mm + share * (ring.outer_top_mm - ring.outer_bottom_mm)
                assert outer >= profile.radius_at(height) + 0.5 - 1e-5


@pytest.mark.parametrize("profile", PROFILES)
def test_the_wall_at_each_joint_is_what_a_fine_scan_of_the_stacked_wood_leaves(profile):
    """Independent: at levels a hair above and below each joint, the wood of both pieces, cut at the profile."""
    plan = plan_bowl(profile, RULES)
    for joint in plan.joints:
        lower, upper = plan.rings[joint.ring - 1], plan.rings[joint.ring]
        radii = np.arange(0.0, 160.0, 0.005)
        wood = (radii > lower.inner_top_mm) & (radii < lower.outer_top_mm)
        wood &= (radii > upper.inner_bottom_mm) & (radii < upper.outer_bottom_mm)
        left = wood & (radii < profile.radius_at(joint.height_mm))
        slope = radians(90.0) - np.arctan2(
            0.02, profile.radius_at(joint.height_mm + 0.01) - profile.radius_at(joint.height_mm - 0.01)
        )
        assert left.sum() * 0.005 * np.cos(slope) == pytest.approx(max(0.0, joint.wall_mm), abs=0.02)
        assert wood.sum() * 0.005 == pytest.approx(max(0.0, joint.overlap_mm), abs=0.02)


def test_turned_and_sawn_volumes_agree_with_revolved_meshes():
    """trimesh.creation.revolve, corrected for its facets."""
    plan = plan_bowl(PROFILES[0], RULES)
    for ring in plan.rings[1:]:
        corners = [
            (ring.inner_bottom_mm, 0.0),
            (ring.outer_bottom_mm, 0.0),
            (ring.outer_top_mm, 18.0),
            (ring.inner_top_mm, 18.0),
            (ring.inner_bottom_mm, 0.0),
        ]
        ours = ring_volume(ring.outer_top_mm, ring.inner_top_mm, ring.outer_bottom_mm, ring.inner_bottom_mm, 18.0)
        assert abs(revolved(corners).volume) / ROUND == pytest.approx(ours, rel=1e-9)
    outside = plan.profile.outline_mm
    inside = inside_outline(plan.profile, 8.0, 10.0)
    bowl = revolved([(0.0, 0.0), *outside, *inside[::-1]])
    assert bowl.is_watertight
    assert abs(bowl.volume) / ROUND == pytest.approx(turned_volume(outside) - turned_volume(inside), rel=1e-9)
    assert plan.sawn_volume_mm3 > turned_volume(outside) - turned_volume(inside)


@settings(deadline=None)
@given(rim=st.floats(100, 400), foot=st.floats(40, 90), height=st.floats(40, 150), share=st.floats(-0.95, 0.95))
def test_arcs_and_ogees_end_where_asked_and_bulge_as_asked(rim, foot, height, share):
    bulge = share * fullest_bulge(rim, foot, height)
    arc = arc_profile(rim, foot, height, bulge)
    assert (arc.radii_mm[0], arc.radii_mm[-1]) == (foot / 2, rim / 2)
    assert all(upper > lower for lower, upper in pairwise(arc.heights_mm))
    run, long = rim / 2 - foot / 2, np.hypot(rim / 2 - foot / 2, height)
    off = [((r - foot / 2) * height - z * run) / long for r, z in arc.outline_mm]
    assert max(off, key=abs) == pytest.approx(bulge, abs=1e-6)
    ogee = ogee_profile(rim, foot, height, bulge / 2)
    off = [((r - foot / 2) * height - z * run) / long for r, z in ogee.outline_mm]
    assert max(off) == pytest.approx(abs(bulge) / 2, rel=1e-3, abs=1e-6)
    assert min(off) == pytest.approx(-abs(bulge) / 2, rel=1e-3, abs=1e-6)


def test_an_arc_that_would_run_level_is_refused_with_the_limit():
    limit = fullest_bulge(160.0, 40.0, 60.0)
    with pytest.raises(ValueError, match=r"a bulge of 18\.000 mm runs level at an end; it must stay below 17\.574 mm"):
        arc_profile(160.0, 40.0, 60.0, 18.0)
    assert degrees(atan(arc_profile(160.0, 40.0, 60.0, limit * 0.999).slope_at(0.0))) > 85.0


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(40.0, 0.0)], "two points or more"),
        ([(40.0, 0.0), (-1.0, 10.0)], "radius above 0"),
        ([(40.0, 5.0), (50.0, 10.0)], "from 0 at the foot"),
        ([(40.0, 0.0), (50.0, 10.0), (60.0, 10.0)], "must rise point by point"),
    ],
)
def test_a_table_that_is_no_profile_is_refused(points, said):
    with pytest.raises(ValueError, match=said):
        table_profile(points)


def test_a_smooth_table_never_swings_past_its_points():
    side = table_profile([(40.0, 0.0), (80.0, 10.0), (80.0, 40.0), (100.0, 60.0)])
    assert max(side.radius_at(z) for z in np.linspace(10, 40, 61)) <= 80.0 + 1e-9


@pytest.mark.parametrize("profile", [*PROFILES, arc_profile(150.0, 110.0, 90.0, 25.0)])
def test_the_hollow_keeps_the_wall_from_the_outside_everywhere_and_no_more(profile):
    """Independent: shapely's distance of every inside point from the outside, drawn out beyond foot and rim."""
    ends = [(profile.radius_at(z), z) for z in (-30.0, profile.height_mm + 30.0)]
    outside = LineString([ends[0], *profile.outline_mm[1:-1], ends[1]])
    inside = inside_outline(profile, wall_mm=8.0, floor_mm=10.0)[1:]
    assert min(outside.distance(Point(point)) for point in inside) == pytest.approx(8.0, abs=1e-6)
    assert max(outside.distance(Point(point)) for point in inside) == pytest.approx(8.0, abs=1e-6)
    between = LineString(inside)
    assert min(outside.distance(between.interpolate(share / 500, normalized=True)) for share in range(501)) > 7.97


def test_a_wall_that_fills_the_bowl_leaves_no_hollow():
    with pytest.raises(ValueError, match="leaves no hollow"):
        inside_outline(straight_profile(40.0, 40.0, 30.0), wall_mm=20.0, floor_mm=5.0)


def test_turns_are_counted_from_the_base():
    plan = straight_bowl(260.0, 90.0, replace(RULES, turn_deg=7.5))
    assert [ring.turn_deg for ring in plan.rings][:6] == [0.0, 7.5, 15.0, 22.5, 30.0, 37.5]
