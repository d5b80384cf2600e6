"""What the shop's own record says: how thin it has sawn so far."""

from collections.abc import Iterable


def thinnest_kept(slices_mm: Iterable[tuple[float, bool]]) -> float | None:
    """Find the thinnest slice that was kept: the only evidence of how thin this saw can go.

    Args:
        slices_mm: mean thickness of each slice on record, and whether it was kept [mm]

    Returns:
        The thickness [mm]; none when no slice was kept yet.

    Source: common practice, no source: a target below it is a warning, not an error.

    >>> thinnest_kept([(0.5, True), (0.3, False), (0.4, True)])
    0.4
    """
    return min((thickness for thickness, kept in slices_mm if kept), default=None)
