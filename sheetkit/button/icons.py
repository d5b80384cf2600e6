"""The button's picture: layers of three woods in a turning arrow. Drawn large and made small."""

import io
import math
from typing import Final

from PIL import Image, ImageDraw

SIZES: Final = (16, 26, 42)
"""Of the toolbar's small and large buttons, and of the list of extensions [px]."""

_LARGE: Final = 640
_WOODS: Final = ("#7b3f1d", "#f0dfb4", "#b5793c", "#f0dfb4", "#7b3f1d")
_ARROW: Final = "#2f6f4f"
_GAP_DEG: Final = 50
"""Left open in the ring, where the arrow's head stands."""


def icon(size: int) -> bytes:
    """Draw the picture.

    Args:
        size: width and height, > 0 [px]

    Returns:
        PNG with a clear ground.
    """
    large = Image.new("RGBA", (_LARGE, _LARGE), (0, 0, 0, 0))
    draw = ImageDraw.Draw(large)
    _layers(draw)
    _arrow(draw)
    out = io.BytesIO()
    large.resize((size, size), Image.Resampling.LANCZOS).save(out, "PNG")
    return out.getvalue()


def _layers(draw: ImageDraw.ImageDraw) -> None:
    left, top, width, height = 190, 200, 260 / len(_WOODS), 240
    for number, wood in enumerate(_WOODS):
        start = left + number * width
        draw.rectangle((start, top, start + width, top + height), fill=wood)


def _arrow(draw: ImageDraw.ImageDraw) -> None:
    middle, outer, thick = _LARGE / 2, 300, 80
    box = (middle - outer, middle - outer, middle + outer, middle + outer)
    draw.arc(box, -90 + _GAP_DEG, 270, fill=_ARROW, width=thick)
    around = outer - thick / 2
    start = math.radians(-90 + _GAP_DEG)
    ahead = start - math.radians(42)
    points = [
        (middle + reach * math.cos(angle), middle + reach * math.sin(angle))
        for angle, reach in ((start, around - 110), (start, around + 110), (ahead, around))
    ]
    draw.polygon(points, fill=_ARROW)
