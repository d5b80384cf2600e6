"""The woods of a job: what is known of each, and which boards a panel is made of."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetkit.errors import UnreadableValue
from sheetkit.job.layers import PanelToMake
from sheetkit.job.needs import Need
from sheetkit.job.planning import WorkPlan
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, SpeciesValues
from sheetkit.trade.movement import face_coefficients
from sheetkit.trade.species import NOT_LISTED, Outcome, SpeciesMatch, find_species
from sheetkit.trade.wood_figures import OwnFigures, WoodFigures, wood_figures

Span = tuple[float, float]
"""Least and greatest; the same twice where it is known for sure."""


@dataclass(frozen=True, slots=True)
class JobWood:
    """One wood of the job.

    Attributes:
        species: its label in this workbook
        match: how the name was understood
        figures: its movement and density, the maker's own first
    """

    species: str
    match: SpeciesMatch
    figures: WoodFigures


def job_woods(inputs: Inputs) -> dict[str, JobWood]:
    """Every wood that Targets or Stock names, by its label."""
    own = {row.species: _own(row) for row in inputs.species}
    labels = dict.fromkeys([row.species for row in inputs.targets] + [row.species for row in inputs.boards])
    return {label: _wood(label, own.get(label)) for label in labels}


def boards_of(panel: PanelToMake, needs: Sequence[Need], plan: WorkPlan, inputs: Inputs) -> list[Board]:
    """The boards that a panel's slices came from or will come from, in the order of Stock."""
    wanted = [need for need in needs if need.panel == panel.name]
    names = {item.board.board for need in wanted for item, _ in need.slices if item.board is not None}
    names |= {item.board for item in plan.passes if item.need.panel == panel.name}
    return [board for board in inputs.boards if board.board in names]


def grains_of(boards: Sequence[Board]) -> Mapping[str, str | None]:
    """How the boards of each wood were sawn from the log; None where they differ or one does not say."""
    found: dict[str, set[str | None]] = {}
    for board in boards:
        found.setdefault(board.species, set()).add(board.grain)
    return {species: next(iter(grains)) if len(grains) == 1 else None for species, grains in found.items()}


def start_moistures(boards: Sequence[Board]) -> Mapping[str, float]:
    """Moisture of each wood before gluing: the wettest of its boards; a wood without a reading is left out [%]."""
    found: dict[str, float] = {}
    for board in boards:
        if board.moisture_pct is not None:
            found[board.species] = max(board.moisture_pct, found.get(board.species, 0.0))
    return found


def across_face(figures: WoodFigures, grain: str | None) -> Span | None:
    """Movement across the face of a slice for each per cent of moisture; None where a figure it needs is missing."""
    radial, tangential = figures.radial, figures.tangential
    if grain == "flat" and tangential is not None:
        return tangential.value, tangential.value
    if grain == "quarter" and radial is not None:
        return radial.value, radial.value
    if radial is None or tangential is None:
        return None
    return face_coefficients(radial.value, tangential.value, grain)


def through_thickness(figures: WoodFigures, grain: str | None) -> Span | None:
    """The same through the thickness of a slice: the other of the two directions."""
    turned = {"flat": "quarter", "quarter": "flat"}
    return across_face(figures, turned.get(grain, grain) if grain is not None else None)


def _wood(label: str, own: OwnFigures | None) -> JobWood:
    try:
        match = find_species(label)
    except UnreadableValue:
        match = SpeciesMatch(label, label, label, Outcome.UNKNOWN, None, reason=NOT_LISTED)
    return JobWood(label, match, wood_figures(match, own))


def _own(row: SpeciesValues) -> OwnFigures:
    return OwnFigures(row.specific_gravity, row.movement_flat, row.movement_quarter, row.colour)
