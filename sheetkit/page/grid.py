"""One grid of columns for sheets with different columns, so that they can stand below each other."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import Final

from sheetkit.report.model import ReportCell

_DIGIT_PX: Final = 7
_PADDING_PX: Final = 5
"""A column of n characters is so many pixels wide (ECMA-376 part 1, 18.3.1.13, with a digit of 7 pixels)."""
_NEAR_PX: Final = 14.0
"""Edges closer than this become one."""

Row = list[ReportCell | None]


@dataclass(frozen=True, slots=True)
class Grid:
    """The common columns.

    Attributes:
        edges_px: left edge of every column and the right edge of the last, from 0 [px]
    """

    edges_px: Sequence[float]

    @property
    def column_widths(self) -> list[float]:
        """Width of each column, in characters."""
        return [(right - left - _PADDING_PX) / _DIGIT_PX for left, right in pairwise(self.edges_px)]

    def put(self, row: Row, widths: Sequence[float]) -> Row:
        """The row of a sheet with these column widths, its cells spanning what they spanned."""
        edges = [self._nearest(edge) for edge in _edges(widths, self.edges_px[-1])]
        cells: Row = [None] * (len(self.edges_px) - 1)
        for column, cell in enumerate(row):
            if cell is not None:
                first, last = edges[column], edges[min(column + cell.columns, len(widths))]
                cells[first] = replace(cell, columns=last - first)
        return cells

    def _nearest(self, edge_px: float) -> int:
        return min(range(len(self.edges_px)), key=lambda index: abs(self.edges_px[index] - edge_px))


def common_grid(sheets: Sequence[Sequence[float]]) -> Grid:
    """A grid as wide as the widest sheet, with the edges of them all.

    Args:
        sheets: column widths of each sheet, in characters
    """
    widest = max(sheets, key=lambda widths: _edges(widths)[-1])
    edges = _edges(widest)
    for widths in sheets:
        for edge in _edges(widths, edges[-1]):
            if min(abs(edge - other) for other in edges) >= _NEAR_PX:
                edges.insert(bisect_left(edges, edge), edge)
    return Grid(edges)


def _edges(widths: Sequence[float], total_px: float | None = None) -> list[float]:
    """Edges of columns, stretched to a total where one is given [px]."""
    edges = [0.0, *accumulate(width * _DIGIT_PX + _PADDING_PX for width in widths)]
    stretch = 1.0 if total_px is None else total_px / edges[-1]
    return [edge * stretch for edge in edges]
