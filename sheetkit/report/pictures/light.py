"""One lamp for all shaded views: from the upper left, in front; the rest of the room is evenly bright."""

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from sheetkit.trade.arrays import Array

LAMP = np.array([-0.46, 0.46, 0.76]) / np.linalg.norm([-0.46, 0.46, 0.76])
"""Direction towards the lamp: right, up, towards the viewer."""

ROOM = 0.46
SHINE = 0.09
BRIGHTEST = 1.08


HALF_WAY = (LAMP + np.array([0.0, 0.0, 1.0])) / np.linalg.norm(LAMP + np.array([0.0, 0.0, 1.0]))
"""Half way between the lamp and the viewer: surfaces that face it gleam."""


def lit(right: "Array", up: "Array", near: "Array") -> "Array":
    """How brightly a surface is lit, from its normal of any length: to the right, up, and towards the viewer."""
    over = 1 / np.sqrt(np.maximum(right * right + up * up + near * near, 1e-12))
    facing = np.maximum(0.0, _along(right, up, near, LAMP) * over)
    gleam = np.maximum(0.0, _along(right, up, near, HALF_WAY) * over)
    for _ in range(5):
        gleam = gleam * gleam
    return ROOM + (BRIGHTEST - ROOM) * facing + SHINE * gleam


def _along(right: "Array", up: "Array", near: "Array", way: "Array") -> "Array":
    return right * float(way[0]) + up * float(way[1]) + near * float(way[2])
