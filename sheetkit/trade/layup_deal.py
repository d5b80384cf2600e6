"""Which slices go to which panel: the worst stay out, the rest are shared fairly."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.trade.layup_model import LayupOptions, MeasuredSlice, WantedPanel


@dataclass(frozen=True, slots=True)
class Hand:
    """What one panel gets to begin with.

    Attributes:
        panel: the panel
        slices: places of its slices in the list of all slices [1]
        missing: layers of each kind for which there is no slice [1]
    """

    panel: WantedPanel
    slices: tuple[int, ...]
    missing: dict[str, int]


def badness(piece: MeasuredSlice, target_mm: float) -> float:
    """Find how far the worst reading of a slice is from its target.

    Args:
        piece: the slice
        target_mm: thickness planned, > 0 [mm]

    Source: common practice, no source: a slice is judged by its worst reading.

    >>> from sheetkit.trade.layup_model import Corners
    >>> round(badness(MeasuredSlice("A-1", "ash", Corners(1.0, 1.1, 0.9, 1.0, 1.15)), 1.0), 6)
    0.15
    """
    at = piece.corners
    readings = (at.near_left_mm, at.near_right_mm, at.far_left_mm, at.far_right_mm, at.middle_mm)
    return max(max(readings) - target_mm, target_mm - min(readings))


def targets_by_kind(panels: Sequence[WantedPanel]) -> dict[str, float]:
    """Find the thickness planned for each kind of layer.

    Args:
        panels: the panels to lay up

    Raises:
        ValueError: if layers of one kind have different targets.

    Source: definition: a kind is one species at one thickness.
    """
    targets: dict[str, float] = {}
    for layer in (layer for panel in panels for layer in panel.layers):
        if targets.setdefault(layer.kind, layer.target_mm) != layer.target_mm:
            raise ValueError(
                f"layers of kind {layer.kind} are planned at {targets[layer.kind]:g} and {layer.target_mm:g} mm; "
                "wanted one thickness for each kind"
            )
    return targets


def deal(
    slices: Sequence[MeasuredSlice], panels: Sequence[WantedPanel], options: LayupOptions
) -> tuple[list[Hand], list[int]]:
    """Share the slices out among the panels; where slices are short, the first panels are filled first.

    Args:
        slices: the usable slices
        panels: the panels to lay up
        options: how the lay-up is chosen

    Returns:
        What each panel gets, and the places of the slices left out, the best of them first.

    Source: own choice: best to worst, to and fro over the panels that still have room, so that none gets all the
    poor ones.
    """
    targets = targets_by_kind(panels)
    hands: list[list[int]] = [[] for _ in panels]
    missing: list[dict[str, int]] = [{} for _ in panels]
    spare: list[int] = []
    by_kind: dict[str, list[int]] = {}
    bad: dict[int, float] = {}
    rooms = [Counter(layer.kind for layer in panel.layers) for panel in panels]
    for place, piece in enumerate(slices):
        by_kind.setdefault(piece.kind, []).append(place)
    for kind, target in targets.items():
        fitting = by_kind.get(kind, [])
        bad |= {place: badness(slices[place], target) for place in fitting}
        fitting.sort(key=lambda place: (bad[place], place))
        room = [layers[kind] for layers in rooms]
        filled = _filled(room, len(fitting))
        turns = _turns(filled, options.best_first)
        for place, panel in zip(fitting, turns, strict=False):
            hands[panel].append(place)
        spare.extend(fitting[len(turns) :])
        for number, (wanted, got) in enumerate(zip(room, filled, strict=True)):
            if wanted > got:
                missing[number][kind] = wanted - got
    spare.sort(key=lambda place: (bad[place], place))
    dealt = [Hand(panel, tuple(sorted(hand)), short) for panel, hand, short in zip(panels, hands, missing, strict=True)]
    return dealt, spare


def _filled(room: list[int], slices: int) -> list[int]:
    """How many layers of each panel can be filled, the first panels first."""
    filled = []
    for wanted in room:
        filled.append(min(wanted, slices))
        slices -= filled[-1]
    return filled


def _turns(filled: list[int], best_first: bool) -> list[int]:
    """Whose turn it is, slice after slice, from the best to the worst."""
    if best_first:
        return [panel for panel, count in enumerate(filled) for _ in range(count)]
    left, turns, forth = list(filled), [], True
    while any(left):
        order = range(len(left)) if forth else range(len(left) - 1, -1, -1)
        for panel in order:
            if left[panel]:
                turns.append(panel)
                left[panel] -= 1
        forth = not forth
    return turns
