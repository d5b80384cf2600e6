"""The pictures themselves: a panel's edge, a board, a handle, a bowl, each as a finished page."""

from collections.abc import Callable

import numpy as np

from sheetkit.report.pictures.board import BoardFromAbove, StackOnEdge
from sheetkit.report.pictures.bowl import BowlForm, views_of_bowl
from sheetkit.report.pictures.colour import Ramp, linear_of
from sheetkit.report.pictures.handle import HandleFace, RoundedHandle
from sheetkit.report.pictures.legend import legend_of, letters_of, order_of
from sheetkit.report.pictures.page import PIXELS_PER_MM, Figure, best_scale, compose, scale_in_words
from sheetkit.report.pictures.pieces import BowlPiece, BowlView, Drawing, HandlePiece, HandleView, PanelLook
from sheetkit.report.pictures.render import NOTHING, Render, Surface, render
from sheetkit.trade.handles import blank_axes, complement, faces_of_blank, layers_within, reach_through_stack
from sheetkit.trade.pattern import edges_of_layers, layer_at, locate, points_of_piece

InWords = Callable[[float], str]
EDGE_MM = 34.0
"""Height on the page of a panel's edge."""
LEAST_ROOM_PX = 13.0
"""A layer narrower than this on the page gets no letter of its own below it."""
LOOKED_AT = 64
"""Points each way at which a view is looked at for wood."""


def plain_mm(length_mm: float) -> str:
    """A length in millimetres, with no more digits than it needs."""
    return f"{length_mm:.2f}".rstrip("0").rstrip(".") + " mm"


def drawn(panel: PanelLook, surface: Surface, scale: float) -> Render:
    """The pixels of a view of a piece made from a panel."""
    edges = edges_of_layers(panel.pattern())
    colours = [colour for layer in panel.layers for colour in (layer.colour, panel.glue_colour)][:-1]
    return render(surface, Ramp(edges, colours), linear_of(panel.glue_colour), PIXELS_PER_MM * scale)


def draw_panel_edge(panel: PanelLook, in_words: InWords = plain_mm) -> Drawing:
    """The edge of one panel, layer by layer, with a letter under each layer that has room for one."""
    pattern = panel.pattern()
    scale = best_scale(pattern.stack_mm, 0.0)
    pixels = PIXELS_PER_MM * scale
    # Every row of pixels is like the first.
    row = drawn(panel, StackOnEdge(pattern, stretch_mm=1.0 / pixels), scale)
    high = round(EDGE_MM * PIXELS_PER_MM)
    whole = Render(*(np.broadcast_to(part, (high, *part.shape[1:])) for part in (row.light, row.cover)))
    letters, marks = letters_of(panel.layers), []
    edges = edges_of_layers(pattern)[::2] * pixels
    for layer, start in zip(panel.layers, edges, strict=False):
        if layer.thickness_mm * pixels >= LEAST_ROOM_PX:
            marks.append((start + layer.thickness_mm * pixels / 2, letters[layer.species, layer.colour]))
    figure = Figure(whole, across=in_words(pattern.stack_mm), marks=marks)
    facts = [
        f"{_layers(panel)}, first face on the left; {scale_in_words(scale)}",
        f"From the first face: {order_of(panel.layers)}",
    ]
    described = f"Edge of panel {panel.name}: {facts[0]}. {facts[1]}."
    return compose(f"{panel.name}: edge", facts, [figure], legend_of(panel, in_words), described)


def draw_board(panel: PanelLook, in_words: InWords = plain_mm) -> Drawing:
    """The board from above, after all its steps."""
    board = panel.pattern().board
    scale = best_scale(board.length_mm, board.width_mm)
    figure = Figure(
        drawn(panel, BoardFromAbove(panel.pattern()), scale), in_words(board.length_mm), in_words(board.width_mm)
    )
    rounds = len(panel.steps)
    made = f"after {rounds} {'round' if rounds == 1 else 'rounds'} of sawing and gluing" if rounds else "from above"
    facts = [
        f"{in_words(board.length_mm)} x {in_words(board.width_mm)} x {in_words(board.thickness_mm)}; "
        f"{_layers(panel)}; {scale_in_words(scale)}"
    ]
    described = f"Board from panel {panel.name} {made}: {facts[0]}."
    return compose(f"{panel.name}: {made}", facts, [figure], legend_of(panel, in_words), described)


def draw_handle(panel: PanelLook, piece: HandlePiece, view: HandleView, in_words: InWords = plain_mm) -> Drawing:
    """A handle from one of its four views."""
    surface = _seen_from(panel, piece, view)
    scale = best_scale(*surface.size_mm)
    figure = Figure(
        drawn(panel, surface, scale),
        in_words(surface.size_mm[0]),
        in_words(surface.size_mm[1]),
        shadow=view is HandleView.ROUNDED,
    )
    facts = handle_facts(panel, piece, in_words)
    facts[-1] += f"; {scale_in_words(scale)}"
    described = f"Handle {piece.name} {view.value}: {'; '.join(facts)}."
    return compose(f"{piece.name}: {view.value}", facts, [figure], legend_of(panel, in_words), described)


def shows_wood(panel: PanelLook, piece: HandlePiece, view: HandleView) -> bool:
    """Whether a view of a handle shows any wood: where its board is too small, one face may lie beside it."""
    if handle_fits(panel, piece):
        return True
    surface = _seen_from(panel, piece, view)
    across, down = (np.linspace(0.0, size, LOOKED_AT + 1)[1:] - size / (2 * LOOKED_AT) for size in surface.size_mm)
    hits = surface.hits(*np.broadcast_arrays(across[None, :], down[:, None]))
    return bool((hits.region != NOTHING).any())


def _seen_from(panel: PanelLook, piece: HandlePiece, view: HandleView) -> Surface:
    if view is HandleView.ROUNDED:
        return RoundedHandle(panel.pattern(), piece)
    return HandleFace(panel.pattern(), piece, view)


def draw_bowl(panel: PanelLook, piece: BowlPiece, view: BowlView, in_words: InWords = plain_mm) -> Drawing:
    """A bowl from one of its four views."""
    surfaces = views_of_bowl(BowlForm(panel.pattern(), piece), view)
    width_mm, height_mm = surfaces[0].size_mm
    scale = best_scale(width_mm, height_mm)
    facts = bowl_facts(panel, piece, in_words)
    facts[-1] += f"; {scale_in_words(scale)}"
    if view is BowlView.RIM_BAND:
        figures = [_half_band(panel, surface, scale, number) for number, surface in enumerate(surfaces)]
        facts.append(f"Half a turn of {in_words(width_mm)} in each band, in degrees from the grain of the base")
    else:
        down = "" if view is BowlView.THREE_QUARTERS else in_words(height_mm)
        shadow = view is not BowlView.SIDE
        figures = [Figure(drawn(panel, surfaces[0], scale), in_words(width_mm), down, shadow)]
    described = f"Bowl {piece.name} {view.value}: {'; '.join(facts)}."
    return compose(f"{piece.name}: {view.value}", facts, figures, legend_of(panel, in_words), described)


def _half_band(panel: PanelLook, surface: Surface, scale: float, half: int) -> Figure:
    step = surface.size_mm[0] * scale * PIXELS_PER_MM / 6
    marks = [(step * number, f"{180 * half + 30 * number}°") for number in range(7)]
    return Figure(drawn(panel, surface, scale), marks=marks)


def handle_facts(panel: PanelLook, piece: HandlePiece, in_words: InWords) -> list[str]:
    """Size, angle and layers of a handle in words."""
    sizes = " x ".join(in_words(size) for size in (piece.length_mm, piece.width_mm, piece.thickness_mm))
    side = faces_of_blank(piece.angle_deg, piece.roll_deg)[0]
    angle = f"{piece.angle_deg:g}° to the layers, {complement(piece.angle_deg):g}° from square"
    turned = f", turned {piece.roll_deg:g}° so that its side stands at {side.angle_deg:.1f}°" if piece.roll_deg else ""
    facts = [f"{sizes}; long axis {angle}{turned}", f"{layers_in_piece(panel, piece)} of the {_layers(panel)} in it"]
    if not handle_fits(panel, piece):
        facts.insert(
            1, f"{_board(panel, in_words)} is too small for it: wood that is missing stays white where it shows"
        )
    return facts


def bowl_facts(panel: PanelLook, piece: BowlPiece, in_words: InWords) -> list[str]:
    """Size, rings and layers of a bowl in words."""
    plan = piece.plan
    profile, rings = plan.profile, len(plan.rings) - 1
    size = f"{in_words(2 * max(profile.radii_mm))} across, {in_words(profile.height_mm)} high"
    turn = plan.rules.turn_deg
    turned = f", each turned {turn:g}° from the one below" if turn else ""
    facts = [
        f"{size}; {rings} {'ring' if rings == 1 else 'rings'} on a base{turned}",
        f"{_layers(panel)}" + (f", {panel.side_by_side} panels side by side" if panel.side_by_side > 1 else ""),
    ]
    board = panel.pattern().board
    if min(board.length_mm, board.width_mm) < plan.blank_diameter_mm - 1e-6:
        need = f"the largest ring of {in_words(plan.blank_diameter_mm)}"
        facts.insert(1, f"{_board(panel, in_words)} is too small for {need}: wood that is missing stays white")
    return facts


def layers_in_piece(panel: PanelLook, piece: HandlePiece) -> int:
    """Number of layers of which some wood lies in a handle; sampled finely where the board was glued up again."""
    pattern = panel.pattern()
    sizes = (piece.length_mm, piece.width_mm, piece.thickness_mm)
    middle = middle_of(panel, piece)
    if not panel.steps and panel.side_by_side == 1:
        reach = reach_through_stack(*sizes, piece.angle_deg, piece.roll_deg)
        return layers_within(pattern.layers_mm, reach, panel.glue_mm, middle[1])
    least = min(pattern.layers_mm)
    counts = [min(400, max(2, int(3 * size / least) + 2)) for size in sizes]
    lines = [np.linspace(-size / 2 + 1e-6, size / 2 - 1e-6, count) for size, count in zip(sizes, counts, strict=True)]
    long, wide, thick = np.meshgrid(lines[0], lines[1][[0, -1]], lines[2], indexing="ij")
    axes = blank_axes(piece.angle_deg, piece.roll_deg)
    found = layer_at(pattern, locate(pattern, *points_of_piece(axes, (*middle, 0.0), long, wide, thick)))
    return len({int(layer) for layer in np.unique(found) if layer >= 0})


def middle_of(panel: PanelLook, piece: HandlePiece) -> tuple[float, float]:
    """Where the middle of a handle lies in its board."""
    board = panel.pattern().board
    return piece.centre_mm or (board.length_mm / 2, board.width_mm / 2)


def handle_fits(panel: PanelLook, piece: HandlePiece) -> bool:
    """Whether every corner of a handle lies within its board."""
    board, axes, middle = panel.pattern().board, blank_axes(piece.angle_deg, piece.roll_deg), middle_of(panel, piece)
    halves = (piece.length_mm / 2, piece.width_mm / 2, piece.thickness_mm / 2)
    reach = [
        sum(half * abs(axis[part]) for half, axis in zip(halves, (axes.long, axes.wide, axes.thick), strict=True))
        for part in range(3)
    ]
    room = (
        min(middle[0], board.length_mm - middle[0]),
        min(middle[1], board.width_mm - middle[1]),
        board.thickness_mm / 2,
    )
    return all(need <= have + 1e-6 for need, have in zip(reach, room, strict=True))


def _board(panel: PanelLook, in_words: InWords) -> str:
    board = panel.pattern().board
    return f"The board of {in_words(board.length_mm)} x {in_words(board.width_mm)} x {in_words(board.thickness_mm)}"


def _layers(panel: PanelLook) -> str:
    count = len(panel.layers)
    return f"{count} {'layer' if count == 1 else 'layers'} of panel {panel.name}"
