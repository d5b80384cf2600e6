"""Which of a panel's slices lies in which of its layers: mirror pairs alike, or in the order of sawing."""

from collections.abc import Sequence

from sheetkit.trade.layup_model import MeasuredSlice, WantedPanel


def place_slices(
    panel: WantedPanel, slices: Sequence[MeasuredSlice], thickness_mm: Sequence[float], keep_order: bool
) -> list[int | None]:
    """Find the slice for each layer.

    Args:
        panel: the panel
        slices: its slices, fewer than its layers while some are still to be sawn
        thickness_mm: mean thickness of each slice [mm]
        keep_order: whether slices of one kind keep the order of sawing

    Returns:
        For each layer the place of its slice in `slices`; none while it is still to be sawn.

    Source: own derivation: of slices sorted by thickness, neighbours are the pairs with the least differences.
    """
    layers: list[int | None] = [None] * len(panel.layers)
    for kind in dict.fromkeys(layer.kind for layer in panel.layers):
        mine = [place for place, piece in enumerate(slices) if piece.kind == kind]
        mine.sort(key=lambda place: (slices[place].board, slices[place].sawn, slices[place].key))
        if keep_order:
            where = [number for number, layer in enumerate(panel.layers) if layer.kind == kind]
            for number, place in zip(where, mine, strict=False):
                layers[number] = place
        else:
            _place_in_pairs(panel, kind, mine, slices, thickness_mm, layers)
    return layers


def mirror_pairs(panel: WantedPanel, kind: str) -> tuple[list[tuple[int, int]], list[int]]:
    """Find the layers of one kind that mirror each other about the middle, and those that stand alone.

    Args:
        panel: the panel
        kind: the kind of layer

    Returns:
        Pairs of layers from the outside in, and single layers, counted from 0.

    Source: definition: layers n and count + 1 - n are equally far from the middle.

    >>> from sheetkit.trade.layup_model import WantedLayer
    >>> mirror_pairs(WantedPanel("P", tuple(WantedLayer(k, 1.0) for k in "abaca")), "a")
    ([(0, 4)], [2])
    """
    last = len(panel.layers) - 1
    where = [number for number, layer in enumerate(panel.layers) if layer.kind == kind]
    pairs = [(n, last - n) for n in where if n < last - n and panel.layers[last - n].kind == kind]
    paired = {number for pair in pairs for number in pair}
    return pairs, [number for number in where if number not in paired]


def _place_in_pairs(
    panel: WantedPanel,
    kind: str,
    mine: list[int],
    slices: Sequence[MeasuredSlice],
    thickness_mm: Sequence[float],
    layers: list[int | None],
) -> None:
    pairs, singles = mirror_pairs(panel, kind)
    wanted = min(len(pairs), len(mine) // 2)
    grains = [slices[place].grain for place in mine]
    matched = _closest_pairs([thickness_mm[place] for place in mine], grains, wanted)
    for (low, high), (one, other) in zip(pairs, matched, strict=False):
        layers[low], layers[high] = mine[one], mine[other]
    used = {member for pair in matched for member in pair}
    free = [number for pair in pairs[wanted:] for number in pair]
    rest = [place for member, place in enumerate(mine) if member not in used]
    for number, place in zip([*singles, *free], rest, strict=False):
        layers[number] = place


def _closest_pairs(thickness_mm: list[float], grains: list[str], wanted: int) -> list[tuple[int, int]]:
    """So many pairs of neighbours in thickness that their differences are least in all; other grain counts as far."""
    order = sorted(range(len(grains)), key=lambda member: (grains[member], thickness_mm[member]))
    far = 1.0 + max(thickness_mm, default=0.0)

    def gap(place: int) -> float:
        one, other = order[place - 1], order[place]
        unlike = far if grains[one] != grains[other] else 0.0
        return unlike + abs(thickness_mm[other] - thickness_mm[one])

    best: list[list[float]] = [[0.0] + [float("inf")] * wanted for _ in range(len(order) + 1)]
    for place in range(1, len(order) + 1):
        for count in range(1, wanted + 1):
            joined = best[place - 2][count - 1] + gap(place - 1) if place > 1 else float("inf")
            best[place][count] = min(best[place - 1][count], joined)
    found, place, count = [], len(order), wanted
    while count:
        if best[place][count] == best[place - 1][count]:
            place -= 1
        else:
            pair = sorted((order[place - 2], order[place - 1]))
            found.append((pair[0], pair[1]))
            place, count = place - 2, count - 1
    return sorted(found)
