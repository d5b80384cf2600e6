"""Views of a handle: three flat faces, and the rounded form in the light."""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from sheetkit.report.pictures.light import lit
from sheetkit.report.pictures.pieces import HandlePiece, HandleView
from sheetkit.report.pictures.render import NOTHING, Hits
from sheetkit.trade.handles import BlankAxes, blank_axes
from sheetkit.trade.pattern import Pattern, locate, points_of_piece

if TYPE_CHECKING:
    from sheetkit.trade.arrays import Array

ROUNDNESS = 2.5
"""Power of the rounded section: 2 is an ellipse, more is squarer."""

SWELL = 0.14
"""By how much of its size the rounded form is slimmer at its ends than in its middle."""


@dataclass(frozen=True)
class HandleFace:
    """A flat face of a handle: its side, the top edge of that side, or its right end, each as it meets the eye."""

    pattern: Pattern
    piece: HandlePiece
    view: HandleView

    @cached_property
    def axes(self) -> BlankAxes:
        """Directions of the piece inside its board."""
        return blank_axes(self.piece.angle_deg, self.piece.roll_deg)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        piece = self.piece
        return {
            HandleView.TOP: (piece.length_mm, piece.thickness_mm),
            HandleView.END: (piece.width_mm, piece.thickness_mm),
        }.get(self.view, (piece.length_mm, piece.width_mm))

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        across, down = u_mm - self.size_mm[0] / 2, v_mm - self.size_mm[1] / 2
        piece, still = self.piece, np.zeros_like(u_mm)
        places = {
            HandleView.TOP: (across, still - piece.width_mm / 2, down),
            HandleView.END: (still + piece.length_mm / 2, across, down),
        }.get(self.view, (across, down, still + piece.thickness_mm / 2))
        return seen(self.pattern, self.axes, piece, places, np.ones_like(u_mm))


@dataclass(frozen=True)
class RoundedHandle:
    """The rounded form a maker would shape from the blank, seen from the side."""

    pattern: Pattern
    piece: HandlePiece

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return self.piece.length_mm, self.piece.width_mm

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        piece = self.piece
        along, across = u_mm - piece.length_mm / 2, v_mm - piece.width_mm / 2
        slim, growth = self._slimness(along)
        half_width = np.maximum(slim * piece.width_mm / 2, 1e-9)
        share = np.abs(across) / half_width
        inside = (share < 1.0) & (slim > 0.0)
        share = np.where(inside, share, 0.0)
        rest = (1.0 - share**ROUNDNESS) ** (1 / ROUNDNESS)
        height = rest * slim * piece.thickness_mm / 2
        # The normal is the gradient of (|across| / a)^p + (height / b)^p, where a and b are slim along the handle.
        normal_along = -growth / np.maximum(slim, 1e-9)
        normal_across = np.sign(across) * share ** (ROUNDNESS - 1) / half_width
        normal_up = rest ** (ROUNDNESS - 1) / np.maximum(slim * piece.thickness_mm / 2, 1e-9)
        light = lit(normal_along, -normal_across, normal_up)
        axes = blank_axes(piece.angle_deg, piece.roll_deg)
        hits = seen(self.pattern, axes, piece, (along, across, height), light)
        return Hits(hits.depth_mm, np.where(inside, hits.region, NOTHING), hits.joint, hits.light)

    def _slimness(self, along: "Array") -> tuple["Array", "Array"]:
        """Share of the full width and thickness along the handle, and how it grows: a slight swell and round ends."""
        half = self.piece.length_mm / 2
        nose = min(0.42 * self.piece.width_mm, half)
        swell = 1.0 - SWELL * (along / half) ** 2
        swell_growth = -2 * SWELL * along / half**2
        beyond = np.maximum(0.0, np.abs(along) - (half - nose)) / nose
        end = np.sqrt(np.maximum(0.0, 1.0 - beyond**2))
        end_growth = -np.sign(along) * beyond / (nose * np.maximum(end, 0.03))
        return swell * end, swell_growth * end + swell * end_growth


def seen(
    pattern: Pattern, axes: BlankAxes, piece: HandlePiece, places: tuple["Array", "Array", "Array"], light: "Array"
) -> Hits:
    """The layers at places of a piece, given along its length, width and thickness from its middle."""
    board = pattern.board
    middle = piece.centre_mm or (board.length_mm / 2, board.width_mm / 2)
    x_mm, y_mm = points_of_piece(axes, (*middle, 0.0), *places)
    spots = locate(pattern, x_mm, y_mm)
    return Hits(spots.depth_mm, np.where(spots.inside, spots.region, NOTHING), spots.joint, light)
