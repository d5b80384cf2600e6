"""What the panels need of each wood and thickness, and which measured slices already serve."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain

from sheetkit.job.layers import PanelToMake
from sheetkit.job.measured import SawnSlice
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, Target
from sheetkit.trade.exact import total_mm
from sheetkit.trade.roughsize import pieces_per_slice, rough_size
from sheetkit.trade.slicing import sawn_target

SAME_MM = 1e-6
"""Two targets closer than this are one."""


@dataclass(slots=True)
class Need:
    """Layers of one wood and thickness for one panel.

    Attributes:
        key: unique name, for the planner
        panel: the panel they are for
        species: the wood
        finished_mm: thickness in the panel
        sawn_mm: thickness of the slice as it leaves the saw
        tolerance_mm: how far a slice may be off, either way; the tightest of its layers
        layers: how many the panels hold, copies included
        spares: how many more are sawn in case some turn out badly
        spares_why: where that number comes from
        target: the first row of Targets that asks for them
        slices: slices already sawn that serve it, with the layers each gives
    """

    key: str
    panel: str
    species: str
    finished_mm: float
    sawn_mm: float
    tolerance_mm: float
    layers: int
    target: Target
    spares: int = 0
    spares_why: str = ""
    slices: list[tuple[SawnSlice, int]] = field(default_factory=list)

    @property
    def have(self) -> int:
        """Layers that the slices already sawn give."""
        return sum(layers for _, layers in self.slices)

    @property
    def to_saw(self) -> int:
        """Layers still to be sawn, spares included."""
        return max(0, self.layers + self.spares - self.have)


@dataclass(frozen=True, slots=True)
class RoughSize:
    """Size of a panel before it is trimmed; None where the maker gives no size."""

    length_mm: float | None
    width_mm: float | None


def rough_sizes(panels: Sequence[PanelToMake], inputs: Inputs) -> dict[str, RoughSize]:
    """Rough size of each panel by name."""
    job = inputs.job

    def size(finished_mm: float | None, trim_mm: float) -> float | None:
        return None if finished_mm is None else rough_size(finished_mm, total_mm([trim_mm, inputs.shop.slip_mm]))

    return {p.name: RoughSize(size(p.length_mm, job.end_trim_mm), size(p.width_mm, job.edge_trim_mm)) for p in panels}


def layers_of_slice(board: Board, rough: RoughSize, inputs: Inputs) -> int:
    """How many layers of a panel one slice of a board gives; a size that is not known is not checked."""
    length, rough_length = _known(board.length_mm, rough.length_mm)
    width, rough_width = _known(board.width_mm, rough.width_mm)
    return pieces_per_slice(length, width, rough_length, rough_width, crosscut_kerf_mm=inputs.shop.crosscut_kerf_mm)


def _known(have_mm: float | None, need_mm: float | None) -> tuple[float, float]:
    """Both sizes, or two equal ones where either is not known."""
    return (1.0, 1.0) if have_mm is None or need_mm is None else (have_mm, need_mm)


def needs_of(panels: Sequence[PanelToMake], inputs: Inputs) -> list[Need]:
    """Needs in the order in which Targets first names them, without regard to slices already sawn."""
    needs: dict[tuple[str, str, int], Need] = {}
    for panel in panels:
        for layer in panel.layers:
            key = (panel.name, layer.species, round(layer.finished_mm / SAME_MM))
            need = needs.get(key)
            if need is None:
                sawn = sawn_target(layer.finished_mm, inputs.shop.sanding_mm)
                name = f"{panel.name}/{layer.species}/{len(needs)}"
                needs[key] = need = Need(
                    name, panel.name, layer.species, layer.finished_mm, sawn, layer.tolerance_mm, 0, layer.target
                )
            need.layers += panel.copies
            need.tolerance_mm = min(need.tolerance_mm, layer.tolerance_mm)
    return list(needs.values())


def nearest_need(species: str, thickness_mm: float, needs: Sequence[Need]) -> Need | None:
    """The need of a wood whose sawn thickness is nearest; None where no panel wants that wood."""
    same = [need for need in needs if need.species == species]
    return min(same, key=lambda need: abs(need.sawn_mm - thickness_mm), default=None)


def share_out(
    slices: Sequence[tuple[SawnSlice, Need]], needs: Sequence[Need], layers: Mapping[tuple[str, str], int]
) -> None:
    """Give each usable slice to a need of its wood and thickness whose tolerance it keeps.

    That is the one with the tightest tolerance that still lacks layers, and of equals the first.

    Args:
        slices: each usable slice with the need by whose tolerance it is good
        needs: all needs; filled in place
        layers: layers that a slice gives, by board name and panel name
    """
    have = {need.key: need.have for need in needs}
    known: dict[str, list[Need]] = {}
    for item, nearest in slices:
        if nearest.key not in known:
            served = [need for need in alike(nearest, needs) if need.tolerance_mm >= nearest.tolerance_mm]
            known[nearest.key] = sorted(served, key=lambda need: need.tolerance_mm)
        board = item.board.board if item.board else ""
        fitting = ((need, count) for need in known[nearest.key] if (count := layers.get((board, need.panel), 0)))
        first = next(fitting, None)
        if first is None:
            continue
        need, count = next((pair for pair in chain([first], fitting) if have[pair[0].key] < pair[0].layers), first)
        need.slices.append((item, count * item.row.pressed))
        have[need.key] += count * item.row.pressed


def alike(nearest: Need, needs: Sequence[Need]) -> list[Need]:
    """The needs of the same wood and sawn thickness, itself included."""
    return [n for n in needs if n.species == nearest.species and abs(n.sawn_mm - nearest.sawn_mm) < SAME_MM]
