"""The boards that pieces are cut from: each panel's layers as they will lie, before and after cutting and gluing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetkit.job.layers import ONLY_PANEL, PanelToMake
from sheetkit.job.laying import LaidPanel, Laying
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows_pieces import CutStep
from sheetkit.trade.exact import total_mm
from sheetkit.trade.pattern import Pattern
from sheetkit.trade.steps import Repeat, Step, Turn, panel_repeat

WAYS_TO_TURN = {
    "as sawn": Turn.AS_SAWN,
    "over": Turn.OVER,
    "end for end": Turn.END_FOR_END,
    "both": Turn.BOTH,
}


@dataclass(frozen=True, slots=True)
class PieceLayer:
    """One layer as it will lie.

    Attributes:
        species: label of the wood
        thickness_mm: finished thickness, measured where a slice lies here, else planned
        slice_name: the slice that lies here; empty while it is still to be sawn
    """

    species: str
    thickness_mm: float
    slice_name: str


@dataclass(frozen=True, slots=True)
class PieceStack:
    """A panel as the pieces see it.

    Attributes:
        panel: the panel
        layers: from the first face to the other
        glue_mm: thickness of a glue line
    """

    panel: PanelToMake
    layers: tuple[PieceLayer, ...]
    glue_mm: float

    @property
    def thickness_mm(self) -> float:
        """Through all layers and glue lines."""
        lines = [self.glue_mm] * (len(self.layers) - 1)
        return total_mm([*(layer.thickness_mm for layer in self.layers), *lines])

    @property
    def measured(self) -> int:
        """How many of its layers are measured slices."""
        return sum(bool(layer.slice_name) for layer in self.layers)

    @property
    def counted_as(self) -> str:
        """Whether its thickness is that of measured slices, in words."""
        if not self.measured:
            return "layers as planned"
        return "layers as measured" + (", the rest as planned" if self.measured < len(self.layers) else "")

    @property
    def repeat(self) -> Repeat:
        """How often its planned layers come again; measured ones differ by a hair from slice to slice."""
        return panel_repeat([(layer.species, layer.finished_mm) for layer in self.panel.layers], self.glue_mm)

    def pattern(self, length_mm: float, width_mm: float, many: int = 1, steps: Sequence[Step] = ()) -> Pattern:
        """The board that a piece is cut from.

        Args:
            length_mm: length of the panel
            width_mm: width of its slices, the thickness of the board as it lies for the pieces
            many: panels side by side
            steps: rounds of cutting and gluing
        """
        return Pattern(
            layers_mm=tuple(layer.thickness_mm for layer in self.layers),
            glue_mm=self.glue_mm,
            panel=(length_mm, width_mm),
            side_by_side=many,
            joint_mm=self.glue_mm if many > 1 else 0.0,
            steps=tuple(steps),
            repeat=self.repeat,
        )


def piece_stacks(panels: Sequence[PanelToMake], laying: Laying | None, inputs: Inputs) -> dict[str, PieceStack]:
    """Every panel that has layers, by name: from the lay-up where slices are measured, else from the plan."""
    laid: dict[str, LaidPanel] = {}
    for item in laying.panels if laying else ():
        laid.setdefault(item.panel.name, item)
    return {
        panel.name: PieceStack(panel, _layers(panel, laid.get(panel.name)), inputs.shop.glue_line_mm)
        for panel in panels
        if panel.layers
    }


def _layers(panel: PanelToMake, laid: LaidPanel | None) -> tuple[PieceLayer, ...]:
    planned = [PieceLayer(layer.species, layer.finished_mm, "") for layer in panel.layers]
    for placed in laid.lay.layers if laid else ():
        if laid and placed.slice_key:
            at = placed.number - 1
            measured_mm = laid.corners[placed.slice_key].mean_mm
            planned[at] = PieceLayer(planned[at].species, measured_mm, placed.slice_key)
    return tuple(planned)


def stack_of(panel: str | None, stacks: Mapping[str, PieceStack]) -> PieceStack | None:
    """The panel that a piece names, or the only one where it names none; None where that is not clear."""
    if panel is None:
        return next(iter(stacks.values())) if len(stacks) == 1 else stacks.get(ONLY_PANEL)
    return stacks.get(panel)


def steps_of(piece: str, inputs: Inputs) -> list[CutStep]:
    """The rounds of a piece in order: by number where given, else as they stand."""
    rows = [row for row in inputs.steps if row.piece.casefold() == piece.casefold()]
    places = {id(row): row.step if row.step is not None else number for number, row in enumerate(rows, 1)}
    return sorted(rows, key=lambda row: places[id(row)])


def trade_steps(rows: Sequence[CutStep], inputs: Inputs) -> tuple[Step, ...]:
    """The rounds as the trade's sums take them."""
    shop = inputs.shop
    return tuple(
        Step(
            angle_deg=row.angle_deg,
            strip_mm=row.strip_mm,
            kerf_mm=shop.blank_kerf_mm,
            turn=WAYS_TO_TURN[row.turn],
            slide_mm=row.slide_mm,
            glue_mm=shop.glue_line_mm,
            flatten_mm=row.flatten_mm,
        )
        for row in rows
    )
