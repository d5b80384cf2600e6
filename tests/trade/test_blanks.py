"""Blanks at a bias, against shapely, a fine grid, and layouts worked by hand."""

from itertools import combinations, pairwise
from math import cos, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from sheetkit.trade.blanks import (
    BiasPanel,
    best_bias_layout,
    bias_layout,
    blank_too_large,
    height_of_pair,
    panel_length_for,
    rows_of_blanks,
    sawn_section,
)
from sheetkit.trade.handles import reach_through_stack

panels = st.builds(
    BiasPanel,
    length_mm=st.integers(60, 260).map(float),
    stack_mm=st.integers(25, 110).map(float),
    kerf_mm=st.sampled_from([0.0, 1.0, 2.5]),
    trim_mm=st.sampled_from([0.0, 1.5]),
)
angles = st.sampled_from([0.0, 7.0, 15.0, 30.0, 45.0, 61.5, 80.0, 90.0])


def on_a_fine_grid(panel, length, height, angle, step):
    """Brute force: strips at every multiple of the step, each measured by shapely, the best set by recursion."""
    inside = box(panel.trim_mm, panel.trim_mm, panel.length_mm - panel.trim_mm, panel.stack_mm - panel.trim_mm)
    turned = affinity.rotate(inside, -angle, origin=(0, 0))
    left, low, right, high = turned.bounds
    counts = []
    for number in range(int((high - low) / step) + 1):
        edges = [
            turned.intersection(LineString([(left - 1, y), (right + 1, y)]))
            for y in (low + number * step, low + number * step + height)
        ]
        if any(edge.is_empty for edge in edges):
            counts.append(0)
            continue
        usable = min(edge.bounds[2] for edge in edges) - max(edge.bounds[0] for edge in edges)
        counts.append(max(0, int((usable + panel.kerf_mm + 1e-9) // (length + panel.kerf_mm))))
    reach = -int(-(height + panel.kerf_mm - 1e-9) // step)
    best = [0] * (len(counts) + 1)
    for number in range(len(counts) - 1, -1, -1):
        best[number] = max(best[number + 1], counts[number] + best[min(len(counts), number + reach)])
    return best[0]


@settings(max_examples=12, deadline=None)
@given(panel=panels, angle=angles)
def test_no_fine_grid_of_strip_places_holds_more_and_a_hair_smaller_blank_holds_as_many(panel, angle):
    """A grid can miss the exact fit, so it bounds from below; blanks smaller by the grid's step bound from above."""
    step, length, height = 0.05, 33.0, 9.0
    exact = bias_layout(panel, length, height, angle).count
    grown = BiasPanel(panel.length_mm + 0.3, panel.stack_mm + 0.3, panel.kerf_mm, panel.trim_mm)
    assert on_a_fine_grid(panel, length, height, angle, step) <= exact
    assert exact <= on_a_fine_grid(grown, length, height - step, angle, step)


@settings(max_examples=40, deadline=None)
@given(panel=panels, angle=angles, length=st.sampled_from([20.0, 33.0]), height=st.sampled_from([5.0, 12.0]))
def test_every_blank_lies_in_the_panel_has_its_size_and_leaves_the_kerf(panel, angle, length, height):
    layout = best_bias_layout(panel, length, height, angle)
    inside = box(panel.trim_mm, panel.trim_mm, panel.length_mm - panel.trim_mm, panel.stack_mm - panel.trim_mm)
    shapes = [Polygon(corners) for corners in layout.corners_mm()]
    assert len(shapes) == layout.count
    for shape in shapes:
        assert inside.buffer(1e-5).contains(shape)
        assert shape.area == pytest.approx(length * height)
        x, y = shape.exterior.coords.xy
        long = max(pairwise(zip(x, y, strict=True)), key=lambda p: abs(p[1][0] - p[0][0]) + abs(p[1][1] - p[0][1]))
        run, rise = (long[1][0] - long[0][0]) / length, (long[1][1] - long[0][1]) / length
        assert abs(run * sin(radians(angle)) - rise * cos(radians(angle))) == pytest.approx(0.0, abs=1e-6)
    for one, other in combinations(shapes, 2):
        assert one.distance(other) >= panel.kerf_mm - 1e-5
    assert layout.share_used == pytest.approx(sum(s.area for s in shapes) / (panel.length_mm * panel.stack_mm))


def test_blanks_along_the_layers_that_fit_exactly_are_not_lost():
    """By hand: 3 x 99 + 2 x 1 = 299 in 300, 2 x 29 + 1 = 59 in 59."""
    layout = bias_layout(BiasPanel(300.0, 59.0, 1.0), 99.0, 29.0, 0.0)
    assert layout.count == 6
    assert bias_layout(BiasPanel(300.0, 58.999, 1.0), 99.0, 29.0, 0.0).count == 3
    tenths = BiasPanel(0.1 * 3 * 100, 60.0, 0.1)
    assert bias_layout(tenths, 9.9, 20.0 - 0.05, 0.0).count == 3 * 2


def test_blanks_at_right_angles_to_the_layers():
    """By hand in 100 by 60: along, 2 x 49 + 1 and 3 x 19 + 2 fit; upright, one row of 5 x 19 + 4; 60 by 32, 3 rows."""
    panel = BiasPanel(100.0, 60.0, 1.0)
    assert best_bias_layout(panel, 49.0, 19.0, 0.0).count == 6
    assert best_bias_layout(panel, 49.0, 19.0, 90.0).count == 5
    assert best_bias_layout(panel, 60.0, 32.0, 90.0).count == 3


def test_strips_across_the_blanks_can_win():
    """By hand, 40 by 25 at 15 degrees in 180 by 40: the first takes 40 cos 15 + 25 sin 15 = 45.11 of the length, each
    further one 41 / cos 15 = 42.45, so (180 - 45.11) / 42.45 + 1 = 4.18; strips along hold one each."""
    panel = BiasPanel(180.0, 40.0, 1.0)
    layout = best_bias_layout(panel, 40.0, 25.0, 15.0)
    assert (layout.count, layout.strips_run_along) == (4, False)
    assert bias_layout(panel, 40.0, 25.0, 15.0).count == 2


@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0, 90.0])
def test_the_least_panel_gives_the_wanted_number_and_a_shorter_one_does_not(angle):
    panel = BiasPanel(0.0, 90.0, 1.2, 1.0)
    length = panel_length_for(9, panel, 70.0, 18.0, angle).demand()
    assert best_bias_layout(BiasPanel(length, 90.0, 1.2, 1.0), 70.0, 18.0, angle).count >= 9
    assert best_bias_layout(BiasPanel(length - 0.01, 90.0, 1.2, 1.0), 70.0, 18.0, angle).count < 9


def test_a_blank_larger_than_the_stack_names_the_longest_that_fits():
    """By hand: 120 sin 30 + 20 cos 30 = 77.321; (60 - 17.321) / sin 30 = 85.359."""
    panel = BiasPanel(400.0, 60.0, 1.0)
    answer = panel_length_for(2, panel, 120.0, 20.0, 30.0)
    assert not answer.met
    assert answer.value == pytest.approx(85.359, abs=5e-4)
    assert best_bias_layout(panel, answer.value, 20.0, 30.0).count >= 1
    assert best_bias_layout(panel, answer.value + 0.01, 20.0, 30.0).count == 0
    assert bias_layout(panel, 120.0, 20.0, 30.0).strips == ()


def test_a_blank_too_high_at_any_length_is_said_so():
    answer = blank_too_large(BiasPanel(400.0, 20.0, 1.0), 50.0, 30.0, 10.0)
    assert answer is not None
    assert answer.value == 0.0
    assert answer.sentence().endswith("at this angle none of its height fits")


def test_a_blank_of_no_size_is_refused():
    with pytest.raises(ValueError, match="cannot be laid out"):
        bias_layout(BiasPanel(400.0, 20.0, 1.0), 50.0, 0.0, 10.0)


def test_rows_through_the_width():
    """By hand: 3 x 32 + 2 x 2 = 100 fits 100 exactly; with 1 trimmed off either edge only two do."""
    assert rows_of_blanks(100.0, 32.0, 2.0) == 3
    assert rows_of_blanks(100.0, 32.0, 2.0, trim_mm=1.0) == 2
    assert rows_of_blanks(30.0, 32.0, 2.0) == 0


@settings(deadline=None)
@given(width=st.floats(5, 60), thickness=st.floats(5, 60), roll=st.floats(-90, 90), angle=st.floats(0, 90))
def test_the_sawn_section_holds_the_turned_piece(width, thickness, roll, angle):
    """Independent: the box about the piece in the panel's own directions is at least as far through the stack."""
    across, high = sawn_section(width, thickness, roll)
    turned = affinity.rotate(box(-width / 2, -thickness / 2, width / 2, thickness / 2), roll, origin=(0, 0))
    left, low, right, top = turned.bounds
    assert (across, high) == (pytest.approx(right - left), pytest.approx(top - low))
    sawn = reach_through_stack(100.0, across, high, angle)
    assert sawn == pytest.approx(reach_through_stack(100.0, width, thickness, angle, roll))


def test_a_bookmatched_pair_comes_from_one_blank():
    assert height_of_pair(6.0, 1.1, 0.2) == 13.5
