"""Volumes of rings and bowls, and the wood that rings save against a solid block."""

from collections.abc import Sequence
from itertools import pairwise
from math import pi

BOARD_FOOT_MM3 = 144 * 25.4**3
"""A board foot is 144 cubic inches (NIST SP 811 (2008), appendix B.8); an inch is 25.4 mm by definition."""


def frustum_volume(radius_mm: float, other_radius_mm: float, height_mm: float) -> float:
    """Find the volume of a cone with its tip cut off.

    Args:
        radius_mm: radius of one end, >= 0 [mm]
        other_radius_mm: radius of the other end, >= 0 [mm]
        height_mm: distance between the ends, >= 0 [mm]

    Source: mathematics: pi * h * (R^2 + R * r + r^2) / 3.

    >>> round(frustum_volume(4.0, 2.0, 3.0) / pi, 12)
    28.0
    """
    return pi * height_mm * (radius_mm**2 + radius_mm * other_radius_mm + other_radius_mm**2) / 3


def ring_volume(
    outer_top_mm: float, inner_top_mm: float, outer_bottom_mm: float, inner_bottom_mm: float, height_mm: float
) -> float:
    """Find the volume of a ring with slanting sides.

    Args:
        outer_top_mm: outer radius at the top, > 0 [mm]
        inner_top_mm: inner radius at the top, >= 0 [mm]
        outer_bottom_mm: outer radius at the bottom, > 0 [mm]
        inner_bottom_mm: inner radius at the bottom, >= 0 [mm]
        height_mm: height of the ring, >= 0 [mm]

    Source: difference of two frustums; equals Pappus' 2 * pi * Rc * width * height when the walls are parallel.

    >>> round(ring_volume(100.0, 90.0, 81.0, 71.0, 19.0), 3)
    102070.345
    """
    outer = frustum_volume(outer_top_mm, outer_bottom_mm, height_mm)
    return outer - frustum_volume(inner_top_mm, inner_bottom_mm, height_mm)


def turned_volume(outline_mm: Sequence[tuple[float, float]]) -> float:
    """Find the volume inside a turned outline, given as radius at height from the bottom up.

    Args:
        outline_mm: pairs of radius and height, heights not falling [mm]

    Source: sum of frustums between neighbouring points.

    >>> round(turned_volume([(2.0, 0.0), (4.0, 3.0)]) / pi, 12)
    28.0
    """
    return sum(frustum_volume(lower[0], upper[0], upper[1] - lower[1]) for lower, upper in pairwise(outline_mm))


def board_feet(volume_mm3: float) -> float:
    """Turn a volume of wood into board feet.

    Args:
        volume_mm3: volume, >= 0 [mm3]

    Source: a board foot is 144 cubic inches (NIST SP 811 (2008), appendix B.8).

    >>> round(board_feet(144 * 25.4**3), 12)
    1.0
    """
    return volume_mm3 / BOARD_FOOT_MM3


def block_volume(diameter_mm: float, height_mm: float) -> float:
    """Find the volume of the square block or board that a round piece is cut from.

    Args:
        diameter_mm: largest diameter, > 0 [mm]
        height_mm: height of the block, or thickness of the board, > 0 [mm]

    Source: mathematics: D^2 * h.

    >>> block_volume(diameter_mm=200.0, height_mm=20.0)
    800000.0
    """
    return diameter_mm**2 * height_mm


def share_saved(diameter_mm: float, height_mm: float, board_mm: float, boards: int = 1) -> float:
    """Find the share of a solid block that rings from flat boards leave unbought.

    Args:
        diameter_mm: largest diameter of the bowl, > 0 [mm]
        height_mm: height of the bowl, > 0 [mm]
        board_mm: thickness of a board, > 0 [mm]
        boards: number of boards the rings come from, >= 1 [1]

    Source: own derivation: 1 - boards * board / height, both being of the same square.

    >>> share_saved(diameter_mm=290.0, height_mm=120.0, board_mm=20.0, boards=2)
    0.6666666666666667
    """
    return 1 - boards * block_volume(diameter_mm, board_mm) / block_volume(diameter_mm, height_mm)
