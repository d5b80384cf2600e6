"""A picture as it is printed: title, figure to scale with its sizes, and a legend with names."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from sheetkit.report.pictures.colour import bytes_of, ink_on
from sheetkit.report.pictures.legend import Entry
from sheetkit.report.pictures.pieces import Drawing
from sheetkit.report.pictures.render import Render

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Font = ImageFont.FreeTypeFont | ImageFont.ImageFont

PIXELS_PER_MM = 6.5
"""165 dots to the inch: stripes and small type stay clear in print, and a workbook with ten pictures stays light."""

PAGE_MM = 164.0
"""Fits between margins of 20 mm on A4, and on letter."""

EDGE_MM = 6.0
DIMENSION_MM = 11.0
"""Room beside and below a figure for its dimension lines."""

INK, QUIET_INK, PAPER = (33, 31, 28), (105, 100, 92), (255, 255, 255)
TITLE_PX, TEXT_PX, SMALL_PX = 30, 20, 17
SCALES = (10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.25, 1.0)
SHADOW_DEPTH = 0.34


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawn view with its labels.

    Attributes:
        drawn: the pixels
        across: label of the dimension line below; empty for none
        down: label of the dimension line on the right; empty for none
        shadow: whether it throws a soft shadow on the page
        marks: texts along the lower edge: place in pixels from the left, text
    """

    drawn: Render
    across: str = ""
    down: str = ""
    shadow: bool = False
    marks: Sequence[tuple[float, str]] = ()


def best_scale(width_mm: float, height_mm: float, most_height_mm: float = 90.0) -> float:
    """The largest plain scale at which a view fits on the page: 2.0 is twice full size, 0.5 half."""
    room = PAGE_MM - 2 * EDGE_MM - DIMENSION_MM
    plain = [*SCALES, *(1 / scale for scale in (1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20))]
    for scale in plain:
        if width_mm * scale <= room and height_mm * scale <= most_height_mm:
            return float(scale)
    return min(room / width_mm, most_height_mm / max(height_mm, 1e-6))


def scale_in_words(scale: float) -> str:
    """A scale as it stands on drawings."""
    if abs(scale - 1.0) < 1e-9:
        return "full size"
    return f"scale {scale:g} : 1" if scale > 1 else f"scale 1 : {1 / scale:.3g}"


def compose(
    title: str, facts: Sequence[str], figures: Sequence[Figure], entries: Sequence[Entry], description: str
) -> Drawing:
    """Put title, figures and legend on a page just high enough for them."""
    edge, width = round(EDGE_MM * PIXELS_PER_MM), round(PAGE_MM * PIXELS_PER_MM)
    lines = [line for fact in facts for line in _wrapped(fact, width - 2 * edge, TEXT_PX)]
    columns = _legend_columns(entries, width - 2 * edge)
    legend_rows = -(-len(entries) // columns)
    head = edge + TITLE_PX + 12 + len(lines) * (TEXT_PX + 7) + 14
    tall = sum(_height(figure) for figure in figures)
    page = Image.new("RGB", (width, head + tall + legend_rows * 34 + edge), PAPER)
    pen = ImageDraw.Draw(page)
    pen.text((edge, edge - 4), title, INK, _font(TITLE_PX))
    for number, line in enumerate(lines):
        pen.text((edge, edge + TITLE_PX + 12 + number * (TEXT_PX + 7)), line, QUIET_INK, _font(TEXT_PX))
    top = head
    for figure in figures:
        _paste(page, figure, top)
        top += _height(figure)
    _draw_legend(pen, entries, edge, top + 6, (width - 2 * edge) // columns, columns)
    return Drawing(png_of(page), page.width / PIXELS_PER_MM, page.height / PIXELS_PER_MM, description)


def png_of(image: Image.Image) -> bytes:
    """The file's bytes; no date, no name of a program, the same for the same pixels."""
    file = BytesIO()
    image.save(file, "PNG", compress_level=4, dpi=(PIXELS_PER_MM * 25.4, PIXELS_PER_MM * 25.4))
    return file.getvalue()


@cache
def _font(size_px: int) -> "Font":
    return ImageFont.load_default(size_px)


def _length(text: str, size_px: int) -> float:
    return _font(size_px).getlength(text)


def _wrapped(text: str, room_px: int, size_px: int) -> list[str]:
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        # No letter is wider than its size, so that a short line need not be measured.
        if len(longer) * size_px <= room_px or _length(longer, size_px) <= room_px or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _height(figure: Figure) -> int:
    below = round(DIMENSION_MM * PIXELS_PER_MM) if figure.across else round(5 * PIXELS_PER_MM)
    return int(figure.drawn.cover.shape[0]) + below + (30 if figure.marks else 0) + (12 if figure.shadow else 0)


def _paste(page: Image.Image, figure: Figure, top: int) -> None:
    down, across = figure.drawn.cover.shape
    right_room = round(DIMENSION_MM * PIXELS_PER_MM) if figure.down else 0
    left = (page.width - right_room - across) // 2
    if figure.shadow:
        _throw_shadow(page, figure.drawn, left, top)
    behind = np.asarray(page.crop((left, top, left + across, top + down)))
    page.paste(Image.fromarray(_over(figure.drawn, behind)), (left, top))
    pen = ImageDraw.Draw(page)
    low = top + down
    for place, text in figure.marks:
        pen.text((left + place, low + 6), text, QUIET_INK, _font(SMALL_PX), anchor="ma")
    low += 30 if figure.marks else 0
    low += 12 if figure.shadow else 0
    if figure.across:
        _dimension_across(pen, left, left + across, low + 20, figure.across)
    if figure.down:
        _dimension_down(page, top, top + down, left + across + 20, figure.down)


def _over(drawn: Render, behind: "NDArray[np.uint8]") -> "NDArray[np.uint8]":
    """The view over what lies behind it, mixed in linear light."""
    if drawn.cover.min(initial=1.0) >= 1.0:
        # Where one row stands for all, as on a panel's edge, it is turned once.
        rows = drawn.light[:1] if drawn.light.strides[0] == 0 else drawn.light
        return np.broadcast_to(bytes_of(rows.astype(np.float64)), drawn.light.shape)
    bare = (1.0 - drawn.cover)[..., None]
    light_of = (np.arange(256) / 255) ** 2.2
    return bytes_of(drawn.light + bare * light_of[behind])


def _throw_shadow(page: Image.Image, drawn: Render, left: int, top: int) -> None:
    blur = max(4, round(0.03 * max(drawn.cover.shape)))
    grown = np.pad((drawn.cover * 255).astype(np.uint8), 2 * blur)
    soft = (
        Image.fromarray(grown)
        .filter(ImageFilter.GaussianBlur(blur / 2))
        .point([int(v * SHADOW_DEPTH) for v in range(256)])
    )
    dark = Image.new("RGB", soft.size, INK)
    page.paste(dark, (left - 2 * blur + blur // 3, top - 2 * blur + blur // 2), soft)


def _dimension_across(pen: ImageDraw.ImageDraw, start: int, end: int, level: int, text: str) -> None:
    half = int(_length(text, SMALL_PX) / 2) + 8
    middle = (start + end) // 2
    for x in (start, end - 1):
        pen.line([(x, level - 9), (x, level + 9)], QUIET_INK, 1)
    if end - start > 2 * half + 30:
        pen.line([(start, level), (middle - half, level)], QUIET_INK, 1)
        pen.line([(middle + half, level), (end - 1, level)], QUIET_INK, 1)
        pen.text((middle, level), text, INK, _font(SMALL_PX), anchor="mm")
    else:
        pen.line([(start, level), (end - 1, level)], QUIET_INK, 1)
        pen.text((middle, level + 10), text, INK, _font(SMALL_PX), anchor="ma")


def _dimension_down(page: Image.Image, start: int, end: int, place: int, text: str) -> None:
    label = Image.new("L", (int(_length(text, SMALL_PX)) + 4, SMALL_PX + 8), 0)
    ImageDraw.Draw(label).text((2, 2), text, 255, _font(SMALL_PX))
    label = label.rotate(90, expand=True)
    pen, middle, half = ImageDraw.Draw(page), (start + end) // 2, label.height // 2 + 8
    for y in (start, end - 1):
        pen.line([(place - 9, y), (place + 9, y)], QUIET_INK, 1)
    if end - start > 2 * half + 24:
        pen.line([(place, start), (place, middle - half)], QUIET_INK, 1)
        pen.line([(place, middle + half), (place, end - 1)], QUIET_INK, 1)
        at = (place - label.width // 2, middle - label.height // 2)
    else:
        pen.line([(place, start), (place, end - 1)], QUIET_INK, 1)
        at = (place + 12, middle - label.height // 2)
    page.paste(Image.new("RGB", label.size, INK), at, label)


def _legend_columns(entries: Sequence[Entry], room_px: int) -> int:
    widest = max((_length(entry.text, TEXT_PX) for entry in entries), default=1.0) + 60
    return max(1, min(len(entries) or 1, int(room_px // widest), 3))


def _draw_legend(
    pen: ImageDraw.ImageDraw, entries: Sequence[Entry], left: int, top: int, column_px: int, columns: int
) -> None:
    rows = -(-len(entries) // columns)
    for number, entry in enumerate(entries):
        x, y = left + (number // rows) * column_px, top + (number % rows) * 34
        pen.rectangle([x, y, x + 36, y + 25], f"#{entry.colour}", QUIET_INK, 1)
        pen.text((x + 18, y + 13), entry.letter, f"#{ink_on(entry.colour)}", _font(SMALL_PX), anchor="mm")
        pen.text((x + 48, y + 13), entry.text, INK, _font(TEXT_PX), anchor="lm")
