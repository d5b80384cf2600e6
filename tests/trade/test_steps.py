"""Sawing into strips and gluing again. Cases A39 and A40 are worked by hand in inches; patterns against shapely."""

from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from sheetkit.trade.handles import blank_axes
from sheetkit.trade.pattern import GLUE, OUTSIDE, Pattern, layer_at, locate, points_of_piece, points_of_ring
from sheetkit.trade.steps import (
    BoardSize,
    Repeat,
    Step,
    Turn,
    panel_repeat,
    repeat_along_joint,
    shortest_run,
    strips_in_board,
    take_step,
    take_steps,
)

INCH = 25.4


def test_a39_the_loss_of_sawing_slantwise():
    board = BoardSize(24 * INCH, 6 * INCH, 0.75 * INCH)
    result = take_step(board, Step(angle_deg=45.0, strip_mm=INCH, kerf_mm=0.125 * INCH), Repeat(0.0, None))
    assert result.strips == 11
    assert result.strips * INCH * result.strip_length_mm / INCH**2 == pytest.approx(93.3, abs=0.05)
    assert result.strip_share == pytest.approx(0.648, abs=5e-4)


def test_a40_the_slide_is_the_repeat_along_the_joint():
    repeat = panel_repeat([("ash", INCH / 16), ("wenge", INCH / 16)] * 20, glue_mm=0.003 * INCH)
    assert repeat.across_mm / INCH == pytest.approx(0.131)
    along = repeat_along_joint(repeat, 45.0)
    assert along / INCH == pytest.approx(0.1853, abs=5e-5)
    board = BoardSize(24 * INCH, 6 * INCH, 0.75 * INCH)
    step = Step(angle_deg=45.0, strip_mm=INCH, kerf_mm=0.1, slide_mm=0.131 * INCH)
    assert take_step(board, step, repeat).mismatch_mm / INCH == pytest.approx(0.1853 - 0.131, abs=1e-4)
    step = Step(angle_deg=45.0, strip_mm=INCH, kerf_mm=0.1, slide_mm=-2 * along)
    assert take_step(board, step, repeat).mismatch_mm == pytest.approx(0.0, abs=1e-6)


def test_an_exact_number_of_strips_is_not_lost():
    """By hand at 90 degrees: 10 x 19.9 + 9 x 0.1 = 199.9."""
    step = Step(angle_deg=90.0, strip_mm=19.9, kerf_mm=0.1)
    assert strips_in_board(BoardSize(199.9, 80.0, 20.0), step) == 10
    assert strips_in_board(BoardSize(199.899, 80.0, 20.0), step) == 9


@pytest.mark.parametrize(
    ("layers", "repeat"),
    [
        ([("a", 1.0), ("b", 2.0)] * 3, 3.2),
        ([("a", 1.0), ("b", 2.0), ("a", 1.0), ("b", 2.0), ("a", 1.0)], 3.2),
        ([("a", 1.0)] * 4, 1.1),
        ([("a", 1.0), ("b", 2.0), ("c", 1.0)], None),
        ([("a", 1.0), ("b", 2.0), ("b", 2.0), ("a", 1.0)], None),
    ],
)
def test_the_repeat_of_a_panel(layers, repeat):
    assert panel_repeat(layers, glue_mm=0.1).across_mm == repeat


def test_a_second_slanted_cut_repeats_only_where_both_repeats_meet():
    """By hand: chevrons repeat 40 along and 4 across; at atan(4/10): run 10 per 4, so 4 times 4 across, 40 along."""
    angle = np.degrees(np.arctan2(4.0, 10.0))
    assert repeat_along_joint(Repeat(40.0, 4.0), angle) == pytest.approx(np.hypot(40.0, 16.0))
    assert repeat_along_joint(Repeat(40.0, 4.0), 90.0) == pytest.approx(4.0)
    assert repeat_along_joint(Repeat(41.7, 4.0), 33.3) is None
    assert repeat_along_joint(Repeat(None, 4.0), 33.3) is None
    assert repeat_along_joint(Repeat(0.0, None), 45.0) is None


def test_strips_sawn_whole_repeats_apart_are_alike_and_others_are_not():
    first = Step(angle_deg=45.0, strip_mm=20.0, kerf_mm=1.0, glue_mm=0.0)
    alike = Step(angle_deg=90.0, strip_mm=39.0, kerf_mm=1.0, turn=Turn.AS_SAWN)
    unlike = Step(angle_deg=90.0, strip_mm=33.0, kerf_mm=1.0, turn=Turn.AS_SAWN)
    board, repeat = BoardSize(900.0, 150.0, 20.0), Repeat(0.0, 3.0)
    assert take_steps(board, [first, alike], repeat)[1].repeat.along_mm == 39.0
    assert take_steps(board, [first, unlike], repeat)[1].repeat.along_mm is None


@pytest.mark.parametrize(
    ("board", "step", "said"),
    [
        (
            BoardSize(200.0, 150.0, 20.0),
            Step(45.0, 40.0, 1.0),
            "not one whole strip of 40.000 mm comes out of the board; the widest is 35.355 mm",
        ),
        (
            BoardSize(100.0, 150.0, 20.0),
            Step(45.0, 40.0, 1.0),
            "at this angle no whole strip comes out of the board; it must be longer than 150.000 mm",
        ),
        (
            BoardSize(900.0, 30.0, 20.0),
            Step(30.0, 40.0, 1.0),
            "trimming the slanted ends and the slide takes 69.282 mm off strips 60.000 mm long; "
            "without a slide strips below 34.641 mm work",
        ),
        (
            BoardSize(900.0, 100.0, 2.0),
            Step(60.0, 40.0, 1.0, flatten_mm=2.5),
            "flattening takes 2.500 mm off a board of 2.000 mm",
        ),
    ],
)
def test_a_round_that_gives_no_board_says_the_nearest_that_does(board, step, said):
    result = take_step(board, step, Repeat(0.0, 3.0))
    assert result.board is None
    assert result.kept_share == 0.0
    assert result.short.sentence() == said
    with pytest.raises(ValueError, match=r"comes out|trimming|flattening"):
        _ = Pattern((3.0,), 0.0, (900.0, 20.0), steps=(Step(30.0, 40.0, 1.0), step), repeat=Repeat(0.0, 3.0)).board


@pytest.mark.parametrize(("angle", "strip"), [(0.0, 10.0), (95.0, 10.0), (45.0, 0.0)])
def test_strips_that_cannot_be_sawn_are_refused(angle, strip):
    with pytest.raises(ValueError, match="cannot be sawn"):
        take_step(BoardSize(900.0, 100.0, 20.0), Step(angle, strip, 1.0), Repeat(0.0, 3.0))


def test_rounds_end_where_no_board_comes_out():
    rounds = [Step(30.0, 60.0, 1.0), Step(90.0, 10.0, 1.0)]
    assert len(take_steps(BoardSize(200.0, 30.0, 20.0), rounds, Repeat(0.0, 3.0))) == 1


def stripes(pattern):
    """The first board as shapely polygons with their layer; glue lines are what is left between."""
    pieces, at = [], 0.0
    for number, thickness in enumerate(pattern.layers_mm):
        pieces.append((box(0, at, pattern.panel[0], at + thickness), number))
        at += thickness + pattern.glue_mm
    return pieces


def sawn_and_glued(pieces, board, step, result):
    """The same round done forward: cut the polygons by each strip, move every part to its place, trim the zigzag."""
    sine, cosine = sin(radians(step.angle_deg)), cos(radians(step.angle_deg))
    run, foot = board.width_mm * cosine / sine, step.strip_mm / sine
    glued, trims = [], []
    for number in range(result.strips):
        start = number * (step.strip_mm + step.kerf_mm) / sine
        corners = ((start, 0), (start + foot, 0), (start + foot + run, board.width_mm), (start + run, board.width_mm))
        strip = Polygon(corners)
        middle = strip.centroid

        def moved(shape, number=number, middle=middle):
            shape = affinity.rotate(shape, 90.0 - step.angle_deg, origin=middle)
            if number % 2:
                over = -1 if step.turn in (Turn.OVER, Turn.END_FOR_END) else 1
                end = -1 if step.turn in (Turn.BOTH, Turn.END_FOR_END) else 1
                shape = affinity.scale(shape, over, end, origin=middle)
                shape = affinity.translate(shape, 0, step.slide_mm)
            left = number * (step.strip_mm + step.glue_mm) + step.strip_mm / 2
            return affinity.translate(shape, left - middle.x, -middle.y)

        trims.append(sorted(y for _, y in moved(strip).exterior.coords[:4])[1])
        glued += [(moved(shape.intersection(strip)), label) for shape, label in pieces if shape.intersects(strip)]
    low = max(trims)
    frame = box(0, low, result.board.length_mm, low + result.board.width_mm)
    cut = [(affinity.translate(shape.intersection(frame), 0, -low), label) for shape, label in glued]
    return [(shape, label) for shape, label in cut if shape.area > 0]


patterns = st.builds(
    Pattern,
    layers_mm=st.lists(st.sampled_from([3.0, 5.0, 8.0]), min_size=4, max_size=9).map(tuple),
    glue_mm=st.sampled_from([0.0, 0.5]),
    panel=st.just((260.0, 20.0)),
    repeat=st.just(Repeat(0.0, 8.0)),
)
rounds = st.builds(
    Step,
    angle_deg=st.sampled_from([35.0, 45.0, 60.0, 90.0]),
    strip_mm=st.sampled_from([9.0, 14.0]),
    kerf_mm=st.sampled_from([0.0, 1.5]),
    turn=st.sampled_from(list(Turn)),
    slide_mm=st.sampled_from([0.0, 4.0, -6.0]),
    glue_mm=st.sampled_from([0.0, 0.4]),
)


@settings(max_examples=25, deadline=None)
@given(plain=patterns, steps=st.lists(rounds, min_size=1, max_size=2), draw=st.integers(0, 10**6))
def test_the_pattern_is_that_of_polygons_really_cut_and_moved(plain, steps, draw):
    """Independent: shapely cuts the stripes strip by strip, mirrors, slides and trims them."""
    pattern = Pattern(plain.layers_mm, plain.glue_mm, plain.panel, steps=tuple(steps), repeat=plain.repeat)
    assume(all(result.board for result in pattern.results))
    pieces, board = stripes(pattern), pattern.first_board
    for step, result in zip(steps, pattern.results, strict=True):
        pieces, board = sawn_and_glued(pieces, board, step, result), result.board
    chance = np.random.default_rng(draw)
    x, y = chance.random(40) * board.length_mm, chance.random(40) * board.width_mm
    layers = layer_at(pattern, locate(pattern, x, y))
    for px, py, layer in zip(x, y, layers, strict=True):
        point = Point(px, py)
        if any(shape.boundary.distance(point) < 1e-6 for shape, _ in pieces):
            continue
        found = {label for shape, label in pieces if shape.contains(point)}
        assert found == (set() if layer == GLUE else {layer})


def test_turned_strips_meet_in_chevrons_without_a_slide():
    """At a joint, a strip turned over mirrors its neighbour: the same layer on both sides."""
    step = Step(angle_deg=45.0, strip_mm=20.0, kerf_mm=1.0)
    pattern = Pattern((3.0, 2.0) * 20, 0.0, (600.0, 20.0), steps=(step,), repeat=Repeat(0.0, 5.0))
    y = np.linspace(0.1, pattern.board.width_mm - 0.1, 400)
    for joint in (20.0, 40.0, 60.0):
        left = locate(pattern, np.full_like(y, joint - 1e-6), y).depth_mm
        right = locate(pattern, np.full_like(y, joint + 1e-6), y).depth_mm
        assert left == pytest.approx(right, abs=1e-4)


def test_side_by_side_panels_begin_again_after_their_joint():
    pattern = Pattern((2.0, 3.0), 0.5, (100.0, 20.0), side_by_side=3, joint_mm=0.25)
    assert pattern.board.width_mm == 3 * 5.5 + 2 * 0.25
    y = np.array([1.0, 2.2, 3.0, 5.6, 5.75 + 1.0, 2 * 5.75 + 5.4, 17.1, -0.1])
    layers = layer_at(pattern, locate(pattern, np.full_like(y, 50.0), y))
    assert layers.tolist() == [0, GLUE, 1, GLUE, 0, 1, OUTSIDE, OUTSIDE]


@settings(deadline=None)
@given(angle=st.floats(0, 90), roll=st.floats(-90, 90))
def test_stripes_on_the_side_of_a_piece_have_the_width_of_the_formula(angle, roll):
    """Independent of handles.py's formula: the depth changes along the face by its gradient."""
    axes = blank_axes(angle, roll)
    steps = np.array([0.0, 1.0, 0.0])
    x, y = points_of_piece(axes, (500.0, 500.0, 10.0), steps, np.array([0.0, 0.0, 1.0]), np.zeros(3))
    gradient = np.hypot(y[1] - y[0], y[2] - y[0])
    assert gradient**2 == pytest.approx(1 - (cos(radians(angle)) * cos(radians(roll))) ** 2, abs=1e-9)
    assert np.hypot(x[1] - x[0], y[1] - y[0]) <= 1 + 1e-9


def test_a_ring_turned_by_its_angle_brings_the_board_with_it():
    x, y = points_of_ring((0.0, 0.0), np.array([cos(radians(30.0))]), np.array([sin(radians(30.0))]), 30.0)
    assert (float(x[0]), float(y[0])) == (pytest.approx(1.0), pytest.approx(0.0, abs=1e-12))


@given(
    st.text("ab", max_size=40)
    | st.builds(lambda part, times: part * times, st.text("abc", max_size=7), st.integers(0, 9))
)
def test_the_shortest_run_is_what_trying_every_run_finds(items):
    tried = [run for run in range(1, len(items)) if items[run:] == items[:-run]]
    assert shortest_run(items) == min(tried, default=len(items))


def test_the_shortest_run_of_many_layers_compares_each_of_them_a_few_times_at_most():
    """Layers that differ at the end only, the worst for trying every run."""
    compared = 0

    class Layer(str):
        __slots__ = ()
        __hash__ = str.__hash__

        def __ne__(self, other):
            nonlocal compared
            compared += 1
            return str.__ne__(self, other)

        def __eq__(self, other):
            nonlocal compared
            compared += 1
            return str.__eq__(self, other)

    assert shortest_run([Layer("ash")] * 9_999 + [Layer("wenge")]) == 10_000
    assert compared < 4 * 10_000
