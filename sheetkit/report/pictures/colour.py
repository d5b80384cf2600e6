"""Colours in linear light, and the exact mean colour of any stretch through the layers."""

import re
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sheetkit.trade.arrays import Array

HEX = re.compile("[0-9A-Fa-f]{6}")

CURVE_START = 0.04045
"""Where the straight part of the sRGB curve ends; this and the four numbers below: IEC 61966-2-1:1999, section 5.2."""


def linear_of(colour: str) -> "Array":
    """Turn RRGGBB into three parts of linear light, 0 to 1.

    Raises:
        ValueError: if the text is not six hexadecimal digits.
    """
    if not HEX.fullmatch(colour):
        raise ValueError(f"the colour {colour!r} is not of the form RRGGBB, six hexadecimal digits")
    coded = np.array([int(colour[start : start + 2], 16) for start in (0, 2, 4)], dtype=np.float64) / 255
    return np.where(coded <= CURVE_START, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def bytes_of(linear: "Array") -> "NDArray[np.uint8]":
    """Turn linear light, 0 to 1, into sRGB bytes."""
    clear = np.clip(linear, 0.0, 1.0)
    curve = _curve()
    return curve[(clear * (len(curve) - 1) + 0.5).astype(np.intp)]


def ink_on(colour: str) -> str:
    """Black or white, whichever reads better on a colour: the higher contrast ratio of WCAG 2.1, section 1.4.3."""
    brightness = float(linear_of(colour) @ np.array([0.2126, 0.7152, 0.0722]))
    return "000000" if (brightness + 0.05) / 0.05 >= 1.05 / (brightness + 0.05) else "FFFFFF"


LEAST_SPAN_MM = 1e-3
"""Colours are averaged over this much at least; far below what a pixel shows."""


class Ramp:
    """The colours met on the way through a panel; gives the mean over any stretch, however thin the layers.

    Args:
        edges_mm: where colours begin and end, rising, one more than there are colours
        colours: RRGGBB of each
    """

    def __init__(self, edges_mm: "Array", colours: list[str]) -> None:
        known = {colour: linear_of(colour) for colour in set(colours)}
        self._edges = np.asarray(edges_mm, dtype=np.float64)
        # In a panel of many metres single precision holds no micrometre: the least span must not vanish in its depth.
        self._least = max(LEAST_SPAN_MM, float(np.abs(self._edges).max()) * 2.0**-20)
        self._colours = np.array([known[colour] for colour in colours])
        sums = np.cumsum(self._colours * np.diff(self._edges)[:, None], axis=0)
        # Colour summed up to a depth is a straight line within each layer: its height at depth 0 and its slope.
        self._starts = np.concatenate((np.zeros((1, 3)), sums[:-1])) - self._edges[:-1, None] * self._colours

    def mean(self, depth_mm: "Array", span_mm: "Array") -> "Array":
        """Mean linear colour of stretches about depths; shape of the depths and three more."""
        kind = depth_mm.dtype
        half = np.maximum(span_mm, self._least) / 2
        first, last = float(self._edges[0]), float(self._edges[-1])
        low = np.clip(depth_mm - half, first, last - self._least)
        high = np.clip(depth_mm + half, first + self._least, last)
        over = 1 / (high - low)
        at_low, at_high = self._slot(low), self._slot(high)
        same = at_low == at_high
        out = np.empty((*depth_mm.shape, 3), dtype=kind)
        for part in range(3):
            colours, starts = self._colours[:, part].astype(kind), self._starts[:, part].astype(kind)
            pure = colours.take(at_low)
            above = starts.take(at_high) + high * colours.take(at_high)
            out[..., part] = np.where(same, pure, (above - starts.take(at_low) - low * pure) * over)
        return out

    def _slot(self, depth_mm: "Array") -> "NDArray[np.intp]":
        inner = self._edges[1:-1].astype(depth_mm.dtype)
        return np.searchsorted(inner, depth_mm, side="right")


def _curve() -> "NDArray[np.uint8]":
    """The sRGB curve as a table, fine enough that no byte is missed."""
    light = np.linspace(0.0, 1.0, 1 << 14)
    coded = np.where(light <= CURVE_START / 12.92, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return (coded * 255 + 0.5).astype(np.uint8)
