"""Where the blanks lie in a panel, drawn over its layers."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from sheetkit.report.pictures.board import BoardFromAbove
from sheetkit.report.pictures.colour import linear_of
from sheetkit.report.pictures.draw import InWords, drawn, plain_mm
from sheetkit.report.pictures.legend import legend_of
from sheetkit.report.pictures.page import PIXELS_PER_MM, Figure, best_scale, compose, scale_in_words
from sheetkit.report.pictures.pieces import Drawing, PanelLook
from sheetkit.report.pictures.render import Render
from sheetkit.trade.blanks import BiasLayout

if TYPE_CHECKING:
    from sheetkit.trade.arrays import Array

FINER = 4
FADED = 0.62
"""How far the waste is faded towards the paper."""

OUTLINE, OUTLINE_PX = "1D1B18", 2
NUMBER_PX = 18

Corners = Sequence[tuple[float, float]]


def draw_layout(panel: PanelLook, layout: BiasLayout, name: str, in_words: InWords = plain_mm) -> Drawing:
    """The panel on its edge with every blank outlined and numbered, the waste faded."""
    width_mm, height_mm = layout.panel.length_mm, layout.panel.stack_mm
    scale = best_scale(width_mm, height_mm)
    plain = drawn(panel, BoardFromAbove(panel.pattern()), scale)
    figure = Figure(_with_blanks(plain, layout, PIXELS_PER_MM * scale), in_words(width_mm), in_words(height_mm))
    way = "along" if layout.strips_run_along else "across"
    facts = [
        f"{_many(layout.count, 'blank')} at {layout.angle_deg:g}° to the layers from "
        f"{_many(len(layout.strips), 'strip')} {way} them; "
        f"{100 * layout.share_used:.1f} % of the edge used",
        f"Blanks of {in_words(max(layout.along_mm, layout.across_mm))} x "
        f"{in_words(min(layout.along_mm, layout.across_mm))}, kerf {in_words(layout.panel.kerf_mm)}; "
        f"{_many(len(panel.layers), 'layer')}; {scale_in_words(scale)}",
    ]
    described = f"Blanks for {name} in panel {panel.name}: {'; '.join(facts)}."
    return compose(f"{name}: blanks from {panel.name}", facts, [figure], legend_of(panel, in_words), described)


def _many(count: int, thing: str) -> str:
    return f"1 {thing}" if count == 1 else f"{count} {thing}s"


def _with_blanks(plain: Render, layout: BiasLayout, pixels_per_mm: float) -> Render:
    down, across = plain.cover.shape
    blanks = [
        [(x * pixels_per_mm, (layout.panel.stack_mm - y) * pixels_per_mm) for x, y in corners]
        for corners in layout.corners_mm()
    ]
    inside, lines = _masks(blanks, across, down)
    light = plain.light + (1.0 - inside)[..., None] * FADED * (1.0 - plain.light)
    light += lines[..., None] * (linear_of(OUTLINE) - light)
    return Render(light, plain.cover)


def _masks(blanks: Sequence[Corners], across: int, down: int) -> tuple["Array", "Array"]:
    """Which pixels are blanks, and which are outlines and numbers, as shares."""
    size = (across * FINER, down * FINER)
    inside, lines = Image.new("L", size, 0), Image.new("L", size, 0)
    fill, pen = ImageDraw.Draw(inside), ImageDraw.Draw(lines)
    font = ImageFont.load_default(NUMBER_PX * FINER)
    for number, corners in enumerate(blanks, start=1):
        finer = [(x * FINER, y * FINER) for x, y in corners]
        fill.polygon(finer, fill=255)
        pen.line([*finer, finer[0]], fill=255, width=OUTLINE_PX * FINER, joint="curve")
        middle = (sum(x for x, _ in finer) / len(finer), sum(y for _, y in finer) / len(finer))
        radius = NUMBER_PX * FINER * 0.9
        fill.ellipse([middle[0] - radius, middle[1] - radius, middle[0] + radius, middle[1] + radius], fill=0)
        pen.text(middle, str(number), 255, font, anchor="mm")
    return _shares(inside, across, down), _shares(lines, across, down)


def _shares(mask: Image.Image, across: int, down: int) -> "Array":
    fine = np.asarray(mask, dtype=np.float64).reshape(down, FINER, across, FINER) / 255
    return np.asarray(fine.mean(axis=(1, 3)))
