"""From a surface to pixels: stripes by their exact mean, every other edge by finer sampling."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from sheetkit.report.pictures.colour import Ramp

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sheetkit.trade.arrays import Array, Places

NOTHING = -1
"""Region where the view shows no piece."""

AT_ONCE = 100_000
"""So many pixels on edges are sampled finely at once; more only fill the memory."""

FINE = 4
"""A pixel on an edge is sampled at this many points each way."""


@dataclass(frozen=True, slots=True)
class Hits:
    """What a view shows at points; arrays of one shape.

    Attributes:
        depth_mm: depth into the panel
        region: a number for what is seen there, NOTHING beside the piece; edges are where it changes
        joint: whether a glue joint of rings, strips or panels is seen
        light: how brightly it is lit, 1 for the wood's own colour
    """

    depth_mm: "Array"
    region: "Places"
    joint: "NDArray[np.bool_]"
    light: "Array"


class Surface(Protocol):
    """A view of a piece: u to the right and v downward, in millimetres from its upper left corner."""

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""


@dataclass(frozen=True, slots=True)
class Render:
    """A drawn view.

    Attributes:
        light: linear light, height by width by 3, already weighted by cover
        cover: share of each pixel that the piece covers, height by width
    """

    light: "Array"
    cover: "Array"


def render(surface: Surface, ramp: Ramp, glue: "Array", pixels_per_mm: float) -> Render:
    """Draw a view; the same input gives the same pixels."""
    width_mm, height_mm = surface.size_mm
    across, down = max(1, round(width_mm * pixels_per_mm)), max(1, round(height_mm * pixels_per_mm))
    u_mm = ((np.arange(across) + 0.5) * (width_mm / across)).astype(np.float32)
    v_mm = ((np.arange(down) + 0.5) * (height_mm / down)).astype(np.float32)
    hits = surface.hits(*np.broadcast_arrays(u_mm[None, :], v_mm[:, None]))
    span = _span(hits)
    cover = (hits.region != NOTHING).astype(np.float32)
    light = _colours(hits, span, ramp, glue)
    all_rows, all_columns = np.nonzero(_edges(hits))
    fine = _fine_offsets()
    for start in range(0, len(all_rows), AT_ONCE):
        rows, columns = all_rows[start : start + AT_ONCE], all_columns[start : start + AT_ONCE]
        u_fine = u_mm[columns][:, None] + fine[:, 0] * (width_mm / across)
        v_fine = v_mm[rows][:, None] + fine[:, 1] * (height_mm / down)
        parts = surface.hits(u_fine, v_fine)
        shares = _colours(parts, np.repeat(span[rows, columns][:, None] / FINE, FINE * FINE, axis=1), ramp, glue)
        light[rows, columns] = shares.mean(axis=1)
        cover[rows, columns] = (parts.region != NOTHING).mean(axis=1)
    return Render(light, cover)


def _colours(hits: Hits, span: "Array", ramp: Ramp, glue: "Array") -> "Array":
    colours = ramp.mean(hits.depth_mm, span)
    colours[hits.joint] = glue
    colours *= hits.light[..., None]
    colours[hits.region == NOTHING] = 0.0
    return colours


def _span(hits: Hits) -> "Array":
    """How much depth a pixel spans; the smaller of both sides' differences, so that edges do not count."""
    squares = np.zeros_like(hits.depth_mm)
    for axis in (0, 1):
        if hits.depth_mm.shape[axis] < 2:
            continue
        change = np.abs(np.diff(hits.depth_mm, axis=axis))
        crossed = np.diff(hits.region, axis=axis) != 0
        change = np.where(crossed, np.inf, change)
        edge = np.full_like(np.take(change, [0], axis=axis), np.inf)
        least = np.minimum(np.concatenate((edge, change), axis=axis), np.concatenate((change, edge), axis=axis))
        squares += np.where(np.isinf(least), np.float32(0), least) ** 2
    return np.sqrt(squares)


def _edges(hits: Hits) -> "NDArray[np.bool_]":
    edges = hits.joint.copy()
    for axis in (0, 1):
        crossed = (np.diff(hits.region, axis=axis) != 0) | (np.diff(hits.joint, axis=axis) != 0)
        first = [slice(None)] * 2
        second = [slice(None)] * 2
        first[axis], second[axis] = slice(0, -1), slice(1, None)
        edges[tuple(first)] |= crossed
        edges[tuple(second)] |= crossed
    return edges


def _fine_offsets() -> "Array":
    """Places within a pixel, as shares of it from its middle."""
    steps = (np.arange(FINE) + 0.5) / FINE - 0.5
    across, down = np.meshgrid(steps, steps)
    return np.stack((across.ravel(), down.ravel()), axis=1).astype(np.float32)
