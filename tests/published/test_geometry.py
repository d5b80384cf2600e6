"""Mathematics as printed in textbooks: frustums, Pappus, oblique sections; every value exact."""

from math import pi, sqrt

import pytest

from sheetkit.trade.bowl_volumes import frustum_volume, ring_volume
from sheetkit.trade.handles import faces_of_blank


@pytest.mark.parametrize(
    ("large", "small", "height", "expected"),
    [(4.0, 2.0, 3.0, 28 * pi), (3.0, 0.0, 4.0, 12 * pi), (2.0, 2.0, 5.0, 20 * pi)],
)
def test_frustum_cone_and_cylinder(large, small, height, expected):
    """Mathematics: V = pi h (R^2 + R r + r^2) / 3."""
    assert frustum_volume(large, small, height) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("radius", "wall", "board", "tangent", "expected"),
    [
        (4.0, 0.5, 0.75, 1 / sqrt(3), 3 * pi * (30 - sqrt(3)) / 32),
        (5.0, 0.375, 0.75, 0.5, 8.17304963785470),
        (100.0, 10.0, 19.0, 1.0, 102070.345315132),
    ],
)
def test_a_conical_ring_has_the_volume_of_pappus(radius, wall, board, tangent, expected):
    """Pappus of Alexandria, Collection VII: area times the way of its centroid, 2 pi Rc w T."""
    leaned = board * tangent
    assert ring_volume(radius, radius - wall, radius - leaned, radius - wall - leaned, board) == pytest.approx(
        expected, rel=1e-12
    )


@pytest.mark.parametrize(
    ("thickness", "angle", "expected"),
    [
        (0.0625, 90, 0.0625),
        (0.0625, 60, 0.0721688),
        (0.0625, 45, 0.0883883),
        (0.0625, 30, 0.125),
        (0.0625, 15, 0.2414815),
        (0.020, 10, 0.1151754),
        (0.125, 22.5, 0.3266407),
    ],
)
def test_stripe_widths(thickness, angle, expected):
    """Trigonometry: t / sin of the angle to the layers."""
    side, _, _ = faces_of_blank(float(angle))
    assert thickness * side.factor == pytest.approx(expected, abs=1e-7)


def test_an_oblique_cut_through_a_round_bar_is_an_ellipse():
    """Geometry: D 1.25 at 30 degrees to the axis gives 1.25 by 2.5; a layer as thick as the bar shows the long axis."""
    side, _, _ = faces_of_blank(30.0)
    assert 1.25 * side.factor == pytest.approx(2.5, rel=1e-12)
