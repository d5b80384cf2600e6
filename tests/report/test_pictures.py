"""Pictures measured: widths and shares in the pixels against formulas and shapely."""

from io import BytesIO
from math import cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely import affinity
from shapely.geometry import LineString, Point, box

from sheetkit.report.pictures import (
    BowlPiece,
    BowlView,
    HandlePiece,
    HandleView,
    LayerLook,
    PanelLook,
    draw_board,
    draw_bowl,
    draw_handle,
    draw_layout,
    draw_panel_edge,
    shows_wood,
)
from sheetkit.report.pictures.board import BoardFromAbove, StackOnEdge
from sheetkit.report.pictures.bowl import (
    FLOOR,
    INSIDE_WALL,
    OUTSIDE_WALL,
    RIM,
    TILT_OF_VIEW_DEG,
    BowlForm,
    FromAbove,
    FromTheSide,
    ThreeQuarters,
)
from sheetkit.report.pictures.colour import Ramp, bytes_of, ink_on, linear_of
from sheetkit.report.pictures.draw import drawn, handle_fits, layers_in_piece
from sheetkit.report.pictures.handle import HandleFace, RoundedHandle
from sheetkit.report.pictures.legend import legend_of, letters_of, order_of
from sheetkit.report.pictures.page import PIXELS_PER_MM, best_scale, scale_in_words
from sheetkit.report.pictures.render import NOTHING
from sheetkit.trade.blanks import BiasPanel, best_bias_layout
from sheetkit.trade.bowl_plan import RingRules, plan_bowl
from sheetkit.trade.bowl_profile import arc_profile, straight_profile
from sheetkit.trade.handles import blank_axes, faces_of_blank
from sheetkit.trade.pattern import layer_at
from sheetkit.trade.steps import Step, Turn

PALE = LayerLook("holly", 2.2, "FFFF00")
DARK = LayerLook("bog oak", 1.3, "0000FF")
RED = LayerLook("jarrah", 1.7, "FF0000")
GLUE = "00FF00"
"""Four colours that can be told apart in a mix: yellow holds red and green, so shares follow by solving."""

PANEL = PanelLook("Quilt", (PALE, DARK, RED, DARK) * 12, 320.0, 70.0, 0.15, GLUE)


def shares_of(drawn_view, colours):
    """How much of the covered area each colour takes, from the linear mix of all pixels."""
    total = drawn_view.light.reshape(-1, 3).sum(axis=0, dtype=np.float64)
    mix = np.array([linear_of(colour) for colour in colours]).T
    return np.linalg.lstsq(mix, total, rcond=None)[0] / drawn_view.cover.sum(dtype=np.float64)


def stripes_in_face(panel, axes_first, axes_second, normal_depth, size):
    """Area of each colour on a face by shapely: bands of depth, turned to the direction in which depth grows."""
    frame = box(-size[0] / 2, -size[1] / 2, size[0] / 2, size[1] / 2)
    growth = np.hypot(axes_first, axes_second)
    way = np.degrees(np.arctan2(axes_second, axes_first))
    areas, at = {}, 0.0
    for layer in panel.layers:
        for colour, thickness in ((layer.colour, layer.thickness_mm), (panel.glue_colour, panel.glue_mm)):
            start, end = (at - normal_depth) / growth, (at + thickness - normal_depth) / growth
            band = affinity.rotate(box(start, -1e4, end, 1e4), way, origin=(0, 0))
            areas[colour] = areas.get(colour, 0.0) + band.intersection(frame).area
            at += thickness
    return {colour: area / frame.area for colour, area in areas.items()}


@pytest.mark.parametrize(("angle", "roll"), [(30.0, 0.0), (85.0, 5.0), (20.0, 35.0), (10.0, 80.0), (55.0, -20.0)])
@pytest.mark.parametrize("view", [HandleView.SIDE, HandleView.TOP, HandleView.END])
def test_each_colour_takes_the_share_of_the_face_that_its_layers_take(angle, roll, view):
    """Independent: shapely cuts the bands of every layer and glue line with the face."""
    three = PanelLook("Quilt", (PALE, DARK) * 24, 320.0, 70.0, 0.15, "FF0000")
    piece = HandlePiece("Scale", 60.0, 24.0, 13.0, angle, roll)
    axes = blank_axes(angle, roll)
    first, second, normal, size, near = {
        HandleView.SIDE: (axes.long, axes.wide, axes.thick, (60.0, 24.0), 6.5),
        HandleView.TOP: (axes.long, axes.thick, axes.wide, (60.0, 13.0), -12.0),
        HandleView.END: (axes.wide, axes.thick, axes.long, (24.0, 13.0), 30.0),
    }[view]
    middle = three.pattern().stack_mm / 2 + near * normal[1]
    expected = stripes_in_face(three, first[1], second[1], middle, size)
    view_drawn = drawn(three, HandleFace(three.pattern(), piece, view), 2.0)
    assert view_drawn.cover.min() == 1.0
    found = shares_of(view_drawn, ["FFFF00", "0000FF", "FF0000"])
    assert found == pytest.approx([expected[c] for c in ("FFFF00", "0000FF", "FF0000")], abs=0.01)


@pytest.mark.parametrize("angle", [15.0, 30.0, 45.0, 70.0, 90.0])
def test_a_stripe_is_as_many_pixels_wide_as_the_formula_says(angle):
    """Along the length of the side, at roll 0, stripes stand square: t / sin(angle), in pixels."""
    two = PanelLook("Bars", (LayerLook("a", 3.0, "FFFFFF"), LayerLook("b", 2.0, "000000")) * 16, 320.0, 70.0, 0.0)
    piece = HandlePiece("Scale", 70.0, 20.0, 10.0, angle)
    pixels = PIXELS_PER_MM * 2.0
    row = drawn(two, HandleFace(two.pattern(), piece, HandleView.SIDE), 2.0).light[100, :, 0]
    crossings = np.nonzero(np.diff(row > 0.5))[0]
    places = crossings + (0.5 - row[crossings]) / (row[crossings + 1] - row[crossings])
    widths, bright = np.diff(places), row[crossings[:-1] + 2] > 0.5
    for width, white in zip(widths, bright, strict=True):
        layer = 3.0 if white else 2.0
        assert width == pytest.approx(layer / np.sin(np.radians(angle)) * pixels, abs=1.0)
        assert width == pytest.approx(layer * faces_of_blank(angle)[0].factor * pixels, abs=1.0)
    assert len(widths) >= 3


def test_a_glue_line_thinner_than_a_pixel_keeps_its_share():
    """0.02 mm lines between 1 mm layers, at a tenth of full size: two of a hundred parts of the light."""
    panel = PanelLook("Fine", (LayerLook("a", 0.98, "000000"),) * 60, 300.0, 70.0, 0.02, "FFFFFF")
    light = drawn(panel, BoardFromAbove(panel.pattern()), 0.1).light
    assert light.mean() == pytest.approx(59 * 0.02 / panel.pattern().stack_mm, rel=1e-3)


layers = st.lists(
    st.tuples(st.floats(0.1, 4.0), st.sampled_from(["FF0000", "00FF00", "0000FF", "808080"])), min_size=1, max_size=9
)


@settings(deadline=None)
@given(layers=layers, place=st.floats(0, 1), span=st.floats(0.01, 6.0))
def test_the_mean_colour_of_a_stretch_is_that_of_many_single_points(layers, place, span):
    edges = np.concatenate(([0.0], np.cumsum([thickness for thickness, _ in layers])))
    ramp = Ramp(edges, [colour for _, colour in layers])
    depth = place * edges[-1]
    found = ramp.mean(np.array([depth]), np.array([span]))[0]
    low, high = max(0.0, depth - span / 2), min(edges[-1], depth + span / 2)
    points = low + (np.arange(20000) + 0.5) / 20000 * max(high - low, 1e-9)
    slots = np.clip(np.searchsorted(edges, points, side="right") - 1, 0, len(layers) - 1)
    known = np.array([linear_of(colour) for _, colour in layers])
    if high - low > 0.005:
        assert found == pytest.approx(known[slots].mean(axis=0), abs=2e-3)


def test_linear_light_follows_the_srgb_standard():
    """IEC 61966-2-1: 0x0A lies on the straight part, 10 / 255 / 12.92; mid grey 0xBC is half the light (0.5029)."""
    assert linear_of("0A0A0A")[0] == pytest.approx(10 / 255 / 12.92)
    assert linear_of("BCBCBC")[0] == pytest.approx(0.5029, abs=1e-4)
    coded = np.arange(256)
    linear = np.array([linear_of(f"{value:02X}0000")[0] for value in coded])
    assert bytes_of(linear).tolist() == coded.tolist()
    assert (ink_on("E4D3AE"), ink_on("2A1D14")) == ("000000", "FFFFFF")


@pytest.mark.parametrize("colour", ["GG0000", "FFF", "#FFFFFF", "+12345", ""])
def test_a_text_that_is_no_colour_is_refused(colour):
    with pytest.raises(ValueError, match="not of the form RRGGBB"):
        linear_of(colour)


RULES = RingRules(board_mm=18.0, kerf_mm=1.0, wall_mm=8.0, glue_mm=0.1, turn_deg=25.0)
BOARD = PanelLook("Quilt", (PALE, DARK, RED, DARK) * 12, 320.0, 18.0, 0.15, GLUE, side_by_side=3)
CURVED = BowlPiece("Dish", plan_bowl(arc_profile(240.0, 90.0, 90.0, 9.0), RULES), 9.0)
STRAIGHT = BowlPiece("Dish", plan_bowl(straight_profile(240.0, 90.0, 90.0), RULES), 9.0)
CLOSED = BowlPiece("Pot", plan_bowl(arc_profile(150.0, 110.0, 90.0, 25.0), RingRules(18.0, 1.0, 8.0, boards=5)), 9.0)


def form(piece):
    return BowlForm(BOARD.pattern(), piece)


def test_the_rim_shows_the_board_turned_by_its_ring():
    """Independent: the ring of the rim cut out of turned bands by shapely, share by share."""
    piece = STRAIGHT
    view = FromAbove(form(piece))
    grid = (np.arange(1200) + 0.5) / 1200 * view.size_mm[0]
    u, v = (part.astype(np.float32) for part in np.meshgrid(grid, grid))
    hits = view.hits(u, v)
    radius = np.hypot(u - 120.0, v - 120.0)
    inner = form(piece).hollow[0][-1]
    on_rim = (radius > inner) & (radius < 120.0)
    pattern = BOARD.pattern()
    spots = type("Spots", (), {"depth_mm": hits.depth_mm, "joint": hits.joint, "inside": hits.region != NOTHING})
    found = layer_at(pattern, spots)[on_rim]
    ring = Point(0, 0).buffer(120.0, 512).difference(Point(0, 0).buffer(inner, 512))
    turn = piece.plan.rings[-1].turn_deg
    for number in range(0, 48, 7):
        start = sum(layer.thickness_mm for layer in BOARD.layers[:number]) + number * 0.15
        area = 0.0
        for panel in range(3):
            low = panel * (pattern.stack_mm + 0.15) + start - pattern.board.width_mm / 2
            band = box(-1e3, low, 1e3, low + BOARD.layers[number].thickness_mm)
            area += affinity.rotate(band, turn, origin=(0, 0)).intersection(ring).area
        assert (found == number).mean() == pytest.approx(area / ring.area, abs=2e-3)


@pytest.mark.parametrize("piece", [CURVED, STRAIGHT, CLOSED], ids=["arc", "straight", "closed in"])
def test_the_outlines_enclose_the_areas_of_the_bowl(piece):
    profile = piece.plan.profile
    widest = max(profile.radii_mm)
    above = drawn(BOARD, FromAbove(form(piece)), 0.5)
    pixel = (2 * widest) ** 2 / above.cover.size
    assert above.cover.sum(dtype=float) * pixel == pytest.approx(pi * widest**2, rel=2e-3)
    side = drawn(BOARD, FromTheSide(form(piece)), 0.5)
    pixel = 2 * widest * profile.height_mm / side.cover.size
    area = 2 * np.trapezoid(profile.radii_mm, profile.heights_mm)
    assert side.cover.sum(dtype=float) * pixel == pytest.approx(area, rel=2e-3)


@pytest.mark.parametrize("piece", [CURVED, STRAIGHT, CLOSED], ids=["arc", "straight", "closed in"])
def test_lines_of_sight_meet_the_first_surface_in_their_way(piece):
    """Independent: each line is followed downward through the solid bowl, which it must not have entered before."""
    shape = form(piece)
    view = ThreeQuarters(shape)
    sine, cosine = sin(radians(TILT_OF_VIEW_DEG)), cos(radians(TILT_OF_VIEW_DEG))
    chance = np.random.default_rng(7)
    u, v = (chance.random(400) * size for size in view.size_mm)
    surface, east, north, up = view.traced(u, v)
    rise = north * sine + up * cosine
    levels = np.arange(piece.plan.profile.height_mm, 0.0, -0.05)
    outside = np.array([piece.plan.profile.radius_at(z) for z in levels])
    radii, heights = shape.hollow
    hollow = np.where(levels > piece.floor_mm, np.interp(levels, heights, radii), 0.0)
    for number in range(len(u)):
        away = np.hypot(east[number], (rise[number] - levels * cosine) / sine)
        depth_in_wood = np.minimum(outside - away, away - hollow)
        if surface[number] == NOTHING:
            assert depth_in_wood.max() < 0.05
            continue
        assert depth_in_wood[levels > up[number] + 0.1].max(initial=-1.0) < 0.05
        if surface[number] in (OUTSIDE_WALL, INSIDE_WALL):
            wall = piece.plan.profile.outline_mm if surface[number] == OUTSIDE_WALL else zip(*shape.hollow, strict=True)
            met = Point(np.hypot(east[number], north[number]), up[number])
            assert LineString(list(wall)).distance(met) < 0.05
        elif surface[number] == FLOOR:
            assert up[number] == piece.floor_mm
    assert {OUTSIDE_WALL, INSIDE_WALL, RIM} <= set(surface.tolist())


def test_a_rounded_handle_stays_within_its_blank_and_shows_its_middle_layer():
    piece = HandlePiece("Grip", 100.0, 30.0, 20.0, 30.0)
    view = drawn(PANEL, RoundedHandle(PANEL.pattern(), piece), 1.0)
    assert 0.75 < view.cover.mean() < 1.0
    assert view.cover[view.cover.shape[0] // 2].mean() > 0.98
    hits = RoundedHandle(PANEL.pattern(), piece).hits(np.array([[50.0]]), np.array([[15.0]]))
    expected = PANEL.pattern().stack_mm / 2 + 10.0 * blank_axes(30.0).thick[1]
    assert float(hits.depth_mm[0, 0]) == pytest.approx(expected)


PIECE = HandlePiece("Bread saw grip", 80.0, 26.0, 14.0, 30.0, 10.0)


def every_drawing():
    yield draw_panel_edge(PANEL)
    yield draw_board(
        PanelLook("Zigzag", PANEL.layers, 320.0, 20.0, 0.15, GLUE, steps=(Step(45.0, 20.0, 1.0, Turn.OVER),))
    )
    for view in HandleView:
        yield draw_handle(PANEL, PIECE, view)
    for view in BowlView:
        yield draw_bowl(BOARD, CURVED, view)
    layout = best_bias_layout(BiasPanel(320.0, PANEL.pattern().stack_mm, 1.0), 80.0, 16.0, 30.0)
    yield draw_layout(PANEL, layout, "Bread saw grip")


def test_every_picture_is_a_png_of_its_size_says_what_it_is_and_comes_out_the_same_twice():
    for first, second in zip(every_drawing(), every_drawing(), strict=True):
        assert first.png == second.png
        image = Image.open(BytesIO(first.png))
        assert image.format == "PNG"
        assert (image.width / PIXELS_PER_MM, image.height / PIXELS_PER_MM) == (first.width_mm, first.height_mm)
        assert (first.width_mm, "layers" in first.description) == (164.0, True)
        assert len(first.png) < 700_000


@pytest.mark.parametrize("words", ["mm", "in"])
def test_lengths_are_in_the_makers_unit(words):
    in_words = (lambda x: f"{x / 25.4:.3f} in") if words == "in" else (lambda x: f"{x:.1f} mm")
    found = draw_handle(PANEL, PIECE, HandleView.END, in_words).description
    expected = "3.150 in x 1.024 in x 0.551 in" if words == "in" else "80.0 mm x 26.0 mm x 14.0 mm"
    assert expected in found
    assert "30° to the layers, 60° from square" in found
    side = faces_of_blank(30.0, 10.0)[0].angle_deg
    assert f"its side stands at {side:.1f}°" in found


def test_the_legend_names_every_wood_with_its_letter_number_and_thickness():
    entries = legend_of(PANEL, lambda length: f"{length:g} mm")
    assert [(entry.letter, entry.text) for entry in entries] == [
        ("A", "holly, 12 layers of 2.2 mm"),
        ("B", "bog oak, 24 layers of 1.3 mm"),
        ("C", "jarrah, 12 layers of 1.7 mm"),
        ("", "47 glue lines of 0.15 mm"),
    ]
    measured = PanelLook("One", (LayerLook("holly", 2.1, "FFFF00"), PALE), 300.0, 50.0, 0.0)
    assert [entry.text for entry in legend_of(measured, str)] == ["holly, 2 layers of 2.1 to 2.2"]


def test_the_order_of_layers_is_written_without_colour():
    assert order_of(PANEL.layers) == "A B C B, 12 times"
    assert order_of((*PANEL.layers, PALE)) == "A B C B, 12 times, then A"
    assert order_of((PALE, DARK, RED)) == "A B C"
    many = [LayerLook(f"wood {number}", 1.0, "808080") for number in range(28)]
    assert list(letters_of(many).values())[24:] == ["Y", "Z", "A1", "B1"]


def test_two_measured_layers_of_one_wood_share_its_letter():
    assert list(letters_of((PALE, LayerLook("holly", 2.19, "FFFF00"))).values()) == ["A"]


@pytest.mark.parametrize(
    ("size", "scale", "words"),
    [
        ((150.0, 20.0), 0.8, "scale 1 : 1.25"),
        ((140.0, 30.0), 1.0, "full size"),
        ((60.0, 20.0), 2.0, "scale 2 : 1"),
        ((280.0, 120.0), 0.5, "scale 1 : 2"),
    ],
)
def test_the_scale_is_the_largest_plain_one_that_fits(size, scale, words):
    assert best_scale(*size) == scale
    assert scale_in_words(scale) == words


def test_a_piece_larger_than_its_board_is_said_to_be():
    large = HandlePiece("Oar", 300.0, 40.0, 40.0, 45.0)
    assert not handle_fits(PANEL, large)
    assert "is too small for it" in draw_handle(PANEL, large, HandleView.SIDE).description
    assert "is too small for it" not in draw_handle(PANEL, PIECE, HandleView.SIDE).description
    narrow = PanelLook("Quilt", PANEL.layers, 320.0, 18.0, 0.15, GLUE)
    assert "too small for the largest ring of 240" in draw_bowl(narrow, STRAIGHT, BowlView.SIDE).description


def test_a_face_that_lies_beside_its_board_shows_no_wood():
    """The panel is 320 mm long: the ends of a handle of 400 mm along it lie 40 mm beside it, its side does not."""
    long = HandlePiece("Oar", 400.0, 30.0, 20.0, 0.0)
    assert {view for view in HandleView if not shows_wood(PANEL, long, view)} == {HandleView.END}
    assert all(shows_wood(PANEL, PIECE, view) for view in HandleView)


def test_the_layers_in_a_piece_are_counted_the_same_with_and_without_a_step():
    """A step square across, glued as sawn with neither kerf nor glue, changes nothing."""
    same = PanelLook("Quilt", PANEL.layers, 320.0, 70.0, 0.15, GLUE, steps=(Step(90.0, 320.0, 0.0, Turn.AS_SAWN),))
    for angle in (0.0, 12.0, 40.0, 90.0):
        piece = HandlePiece("Scale", 60.0, 24.0, 13.0, angle)
        assert layers_in_piece(same, piece) == layers_in_piece(PANEL, piece)


def test_the_edge_shows_the_first_face_on_the_left():
    edge = drawn(PANEL, StackOnEdge(PANEL.pattern(), 10.0), 1.0)
    assert edge.light[5, 3] == pytest.approx(linear_of("FFFF00"), abs=1e-6)
    assert edge.light[5, -3] == pytest.approx(linear_of("0000FF"), abs=1e-6)
