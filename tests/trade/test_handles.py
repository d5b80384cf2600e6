"""Faces cut at an angle through the layers. Cases A36 to A38 are worked by hand in inches."""

from math import atan, atan2, cos, degrees, hypot, inf, isclose, radians, sin, sqrt, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.handles import (
    angle_for_stripe,
    blank_axes,
    bookmatch_shift,
    complement,
    crown_radius,
    eye_width,
    faces_of_blank,
    layer_for_stripe,
    layers_within,
    reach_through_stack,
)

INCH = 25.4
angles = st.floats(0.5, 89.5)
rolls = st.floats(-89.0, 89.0)


def stripe(thickness, angle, roll=0.0):
    """How wide a layer shows on the side of a piece."""
    return thickness * faces_of_blank(angle, roll)[0].factor


def roll_of_slope(along, across):
    """The turn about the long axis that lets the wide face slope so much crosswise, in degrees."""
    return degrees(atan(tan(radians(across)) * cos(radians(along))))


def test_a36_the_same_30_degrees_mean_two_stripes():
    assert stripe(0.040 * INCH, 30.0) / INCH == pytest.approx(0.0800, abs=5e-5)
    assert stripe(0.040 * INCH, complement(30.0)) / INCH == pytest.approx(0.0462, abs=5e-5)
    assert stripe(0.003 * INCH, 30.0) / INCH == pytest.approx(0.006, abs=5e-5)


def test_a37_two_tilts_are_neither_added_nor_multiplied():
    """Case A37: 30 degrees along and 20 across make 34.31, and 0.040 shows 0.0710."""
    roll = roll_of_slope(along=30.0, across=20.0)
    assert faces_of_blank(30.0, roll)[0].angle_deg == pytest.approx(34.31, abs=0.005)
    assert stripe(0.040, 30.0, roll) == pytest.approx(0.0710, abs=5e-5)


def test_a38_the_eye_on_a_crown():
    assert eye_width(radius_mm=0.500, depth_mm=0.040) == pytest.approx(0.392, abs=5e-4)


@settings(deadline=None)
@given(angle=angles, roll=rolls)
def test_the_axes_stand_square_to_each_other(angle, roll):
    axes = blank_axes(angle, roll)
    for one, other in ((axes.long, axes.wide), (axes.wide, axes.thick), (axes.thick, axes.long)):
        assert sum(a * b for a, b in zip(one, other, strict=True)) == pytest.approx(0.0, abs=1e-12)
        assert sum(a * a for a in one) == pytest.approx(1.0)


@settings(deadline=None)
@given(along=angles, across=st.floats(0.0, 89.0))
def test_the_side_of_a_rolled_piece_has_the_angle_of_its_two_tilts(along, across):
    """Steepest slope of a plane: tan^2 of the angle is the sum of the squared slopes along and across."""
    side, _, _ = faces_of_blank(along, roll_of_slope(along, across))
    steepest = hypot(tan(radians(along)), tan(radians(across)))
    assert side.angle_deg == pytest.approx(degrees(atan(steepest)), abs=1e-6)


@settings(deadline=None)
@given(angle=angles, roll=rolls)
def test_the_three_faces_share_the_layers_between_them(angle, roll):
    """The squared parts of a unit vector along three square directions add up to 1."""
    assert sum(cos(radians(face.angle_deg)) ** 2 for face in faces_of_blank(angle, roll)) == pytest.approx(1.0)


@settings(deadline=None)
@given(angle=angles, roll=rolls)
def test_stripe_width_and_direction_agree_with_walking_over_the_face(angle, roll):
    """Independent: step along the face; the depth in the stack changes only square to the stripes, by 1/factor."""
    axes = blank_axes(angle, roll)
    edges = {"side": (axes.long, axes.wide), "edge": (axes.long, axes.thick), "end": (axes.wide, axes.thick)}
    for face in faces_of_blank(angle, roll):
        first, second = edges[face.name]
        way = radians(face.direction_deg)
        along = cos(way) * first[1] + sin(way) * second[1]
        square = -sin(way) * first[1] + cos(way) * second[1]
        assert along == pytest.approx(0.0, abs=1e-9)
        if face.factor < 1e6:
            assert abs(square) == pytest.approx(1 / face.factor)


def test_a_piece_along_the_layers_shows_one_layer_on_its_side_and_stripes_lengthwise_on_its_edge():
    side, edge, end = faces_of_blank(0.0)
    assert (side.angle_deg, side.factor, side.off_square_deg) == (0.0, inf, 90.0)
    assert (edge.angle_deg, edge.direction_deg, edge.factor) == (90.0, 0.0, 1.0)
    assert (end.angle_deg, end.direction_deg, end.factor) == (90.0, 0.0, 1.0)


def test_a_roll_of_90_gives_diagonal_stripes_on_the_side():
    side, edge, _ = faces_of_blank(30.0, 90.0)
    assert side.angle_deg == pytest.approx(90.0)
    assert side.direction_deg in (pytest.approx(30.0), pytest.approx(150.0))
    assert edge.angle_deg == pytest.approx(30.0)


@settings(deadline=None)
@given(thickness=st.floats(0.1, 10), angle=angles)
def test_the_wished_stripe_leads_back_to_angle_and_to_thickness(thickness, angle):
    wished = stripe(thickness, angle)
    assert layer_for_stripe(wished, angle) == pytest.approx(thickness)
    assert stripe(thickness, angle_for_stripe(thickness, wished).demand()) == pytest.approx(wished)


def test_a_stripe_narrower_than_its_layer_is_refused_with_the_narrowest_there_is():
    answer = angle_for_stripe(thickness_mm=2.54, stripe_mm=2.0)
    assert (answer.met, answer.value) == (False, 90.0)
    assert answer.sentence(lambda length: f"{length / INCH:.3f} in") == (
        "a stripe of 0.079 in is narrower than the layer itself; cut square through the layers it shows 0.100 in"
    )
    with pytest.raises(ValueError, match="narrower than the layer itself"):
        answer.demand()


def test_a_stripe_as_wide_as_its_layer_is_met_at_90_degrees():
    assert angle_for_stripe(0.1 * 3, 0.3).demand() == pytest.approx(90.0, abs=1e-5)


def test_stripes_across_a_face():
    """A side 100 by 30 at 30 degrees reaches 100 sin 30 = 50 through the stack: 25 layers of 2, or parts of 26."""
    reach = reach_through_stack(length_mm=100.0, width_mm=30.0, thickness_mm=0.0, angle_deg=30.0)
    assert reach == pytest.approx(50.0)
    assert layers_within([2.0] * 40, reach, centre_mm=25.0) == 25
    assert layers_within([2.0] * 40, reach, centre_mm=26.0) == 26
    assert layers_within([2.0] * 10, reach) == 10
    assert layers_within([2.0] * 40, 7.0, glue_mm=1.0, centre_mm=3.5 + 0.1) == 3


def test_a_rolled_box_reaches_as_far_as_its_corners():
    axes = blank_axes(25.0, 40.0)
    depths = [
        a * 50 * axes.long[1] + b * 15 * axes.wide[1] + c * 8 * axes.thick[1]
        for a in (-1, 1)
        for b in (-1, 1)
        for c in (-1, 1)
    ]
    assert reach_through_stack(100, 30, 16, 25.0, 40.0) == pytest.approx(max(depths) - min(depths))


@pytest.mark.parametrize("depth", [-0.1, 25.1])
def test_no_eye_where_the_boundary_misses_the_round(depth):
    with pytest.raises(ValueError, match=r"does not cut a round of radius 12\.5 mm"):
        eye_width(12.5, depth)


def test_a_little_more_sanding_moves_a_shallow_eye_far():
    """By hand: r 12.5, from 0.1 to 0.35 below the crown: 2 sqrt(2.49) = 3.156 and 2 sqrt(8.6275) = 5.875."""
    assert eye_width(12.5, 0.1) == pytest.approx(3.156, abs=5e-4)
    assert eye_width(12.5, 0.35) == pytest.approx(5.875, abs=5e-4)


@settings(deadline=None)
@given(radius=st.floats(5, 100), share=st.floats(0.05, 0.95))
def test_a_crown_cut_off_at_its_eye_has_the_radius_again(radius, share):
    rise = radius * share
    assert crown_radius(eye_width(radius, rise), rise) == pytest.approx(radius)


def test_opened_halves_miss_by_the_wood_lost_between_them():
    """1.2 mm lost at 30 degrees: the layer rises 1.2 while it runs 1.2 / tan 30 = 2.078 along the face."""
    assert bookmatch_shift(lost_mm=1.2, angle_deg=30.0) == pytest.approx(1.2 * sqrt(3))
    assert bookmatch_shift(lost_mm=1.2, angle_deg=90.0) == 0.0


@settings(deadline=None)
@given(angle=angles, roll=rolls)
def test_direction_follows_from_the_slopes_of_the_side(angle, roll):
    """Independent: stripes on the side run where rise along equals fall across: tan = -sin(a) / (cos(a) sin(r))."""
    side, _, _ = faces_of_blank(angle, roll)
    expected = degrees(atan2(-sin(radians(angle)), cos(radians(angle)) * sin(radians(roll)))) % 180.0
    apart = abs(side.direction_deg - expected)
    assert isclose(min(apart, 180.0 - apart), 0.0, abs_tol=1e-6)
    assert tan(radians(side.off_square_deg)) >= 0.0
