"""Flat views of a board: a stretch of its edge with every layer, or the whole of it from above."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sheetkit.report.pictures.render import NOTHING, Hits
from sheetkit.trade.pattern import Pattern, locate

if TYPE_CHECKING:
    from sheetkit.trade.arrays import Array


@dataclass(frozen=True)
class BoardFromAbove:
    """A finished board from above, its length across the view; layers of an uncut panel run across as well."""

    pattern: Pattern

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return self.pattern.board.length_mm, self.pattern.board.width_mm

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        spots = locate(self.pattern, u_mm, self.size_mm[1] - v_mm)
        region = np.where(spots.inside, spots.region, NOTHING)
        return Hits(spots.depth_mm, region, spots.joint, np.ones_like(spots.depth_mm))


@dataclass(frozen=True)
class StackOnEdge:
    """A stretch of one panel's edge: its first face on the left, its last on the right."""

    pattern: Pattern
    stretch_mm: float

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the view."""
        return self.pattern.stack_mm, self.stretch_mm

    def hits(self, u_mm: "Array", v_mm: "Array") -> Hits:
        """What is seen at points of the view."""
        inside = (u_mm >= 0) & (u_mm <= self.pattern.stack_mm) & (v_mm >= 0) & (v_mm <= self.stretch_mm)
        region = np.where(inside, 0, NOTHING)
        return Hits(np.array(u_mm), region, np.zeros(u_mm.shape, dtype=bool), np.ones_like(u_mm))
