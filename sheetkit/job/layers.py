"""Panels layer by layer, and what they ask of the saw."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Panel, Place, Target

Item = TypeVar("Item")
ONLY_PANEL = "Panel"
"""What the job's panel is called where the maker names none."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a panel.

    Attributes:
        species: label of the wood
        finished_mm: thickness in the panel
        tolerance_mm: how far the slice may be off, either way
        target: the row of Targets it comes from
    """

    species: str
    finished_mm: float
    tolerance_mm: float
    target: Target


@dataclass(frozen=True, slots=True)
class PanelToMake:
    """A panel with its layers in order, from the first face to the other.

    Attributes:
        name: the maker's name for it
        length_mm: finished length along the grain; None where it is not known
        width_mm: finished width; None where it is not known
        copies: how many such panels
        layers: first face to last
        once_mm: the layers that may be added or left out together: one repeat, both halves of it where it is mirrored,
            or one layer where all are alike
        thickness_mm: thickness the glued panel should have; None where none is asked for
        tolerance_mm: how far it may be off; None where that is not judged
        glued_mm: thickness measured after gluing, of copies their mean; None while it is not glued
        place: row of Panels, or None where the workbook has no such row
    """

    name: str
    length_mm: float | None
    width_mm: float | None
    copies: int
    layers: tuple[Layer, ...]
    once_mm: tuple[float, ...]
    thickness_mm: float | None
    tolerance_mm: float | None
    glued_mm: float | None
    place: Place | None


def panels_to_make(inputs: Inputs) -> list[PanelToMake]:
    """Every panel that has layers, in the order of Panels, then those that only Targets names."""
    layers_by_panel = _targets_by_panel(inputs)
    declared = {panel.panel: panel for panel in inputs.panels}
    names = [name for name in declared if name in layers_by_panel]
    names += [name for name in layers_by_panel if name not in declared]
    return [_panel(name, declared.get(name), layers_by_panel[name], inputs) for name in names]


def _targets_by_panel(inputs: Inputs) -> dict[str, list[Target]]:
    only = inputs.panels[0].panel if len(inputs.panels) == 1 else ONLY_PANEL
    grouped: dict[str, list[Target]] = {}
    for target in inputs.targets:
        grouped.setdefault(target.panel or only, []).append(target)
    return grouped


def _panel(name: str, declared: Panel | None, targets: Sequence[Target], inputs: Inputs) -> PanelToMake:
    job = inputs.job
    once = [_layer(target, job.tolerance_mm) for target in targets for _ in range(target.plies)]
    length = declared.length_mm if declared and declared.length_mm is not None else job.panel_length_mm
    width = declared.width_mm if declared and declared.width_mm is not None else job.panel_width_mm
    return PanelToMake(
        name=name,
        length_mm=length,
        width_mm=width,
        copies=declared.copies if declared else 1,
        layers=tuple(arranged(once, declared.repeats if declared else 1, declared.mirror if declared else False)),
        once_mm=_step(once, mirrored=declared.mirror if declared else False),
        thickness_mm=declared.thickness_mm if declared else None,
        tolerance_mm=declared.tolerance_mm if declared else None,
        glued_mm=declared.glued_mm if declared else None,
        place=declared.place if declared else None,
    )


def _step(once: Sequence[Layer], *, mirrored: bool) -> tuple[float, ...]:
    alike = len({(layer.species, layer.finished_mm) for layer in once}) == 1
    one_repeat = [*once, *once] if mirrored else once
    return tuple(layer.finished_mm for layer in (once[:1] if alike and not mirrored else one_repeat))


def _layer(target: Target, job_tolerance_mm: float) -> Layer:
    tolerance = target.tolerance_mm if target.tolerance_mm is not None else job_tolerance_mm
    return Layer(target.species, target.thickness_mm, tolerance, target)


def arranged(once: Iterable[Item], repeats: int, mirror: bool) -> list[Item]:
    """The list of layers laid `repeats` times in a row and, if asked, back again about its last layer."""
    run = list(once) * repeats
    return run + run[-2::-1] if mirror else run
