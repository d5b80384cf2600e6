"""How thick each panel will be: as planned, as the slices and settings stand, and how sure that is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import fmean

from sheetkit.job.layers import Layer, PanelToMake
from sheetkit.job.laying import Laying
from sheetkit.job.learning import Learned
from sheetkit.job.needs import SAME_MM, Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.balance import Layer as BalanceLayer
from sheetkit.trade.balance import UnlikePair, unlike_pairs
from sheetkit.trade.exact import total_mm
from sheetkit.trade.offset import NextSetting
from sheetkit.trade.stack import (
    Centring,
    GlueLine,
    LayerEstimate,
    StackEstimate,
    chance_in_tolerance,
    estimate_stack,
    layers_to_centre,
)
from sheetkit.trade.thickness import reading_uncertainty


@dataclass(frozen=True, slots=True)
class StackOutlook:
    """Thickness of one panel.

    Attributes:
        panel: the panel
        layers: how many
        estimate: expected and planned thickness, and how sure that is
        spread_known: readings are enough to say how slices spread; else only the tolerances bound the total
        chance: that the glued panel lands in its own tolerance; None where it has none, or the spread is not known
        centring: layers more or fewer that bring it nearest to the thickness wanted; None where none is wanted
        unlike: pairs of layers about the middle that differ
    """

    panel: PanelToMake
    layers: int
    estimate: StackEstimate
    spread_known: bool
    chance: float | None
    centring: Centring | None
    unlike: tuple[UnlikePair, ...]


Kind = tuple[str, str, int]


def stack_outlooks(
    panels: Sequence[PanelToMake],
    needs: Sequence[Need],
    settings: Mapping[str, NextSetting],
    learned: Learned,
    inputs: Inputs,
) -> list[StackOutlook]:
    """The outlook of every panel that has layers."""
    estimates = {
        (need.panel, need.species, round(need.finished_mm / SAME_MM)): _estimates(
            need, settings[need.key], learned, inputs
        )
        for need in needs
    }
    return [_outlook(panel, estimates, learned, inputs) for panel in panels if panel.layers and panel.copies]


def as_laid(stack: StackOutlook, laying: Laying | None) -> StackOutlook:
    """The outlook with the thickness of the lay-up chosen, once every layer of every copy has its slice."""
    lays = [laid.lay for laid in laying.panels if laid.panel.name == stack.panel.name] if laying else []
    if not lays or any(lay.missing for lay in lays):
        return stack
    over = fmean(lay.closeness.total_mm for lay in lays)
    estimate = replace(stack.estimate, total_mm=total_mm([stack.estimate.planned_mm, over]), bias_mm=over)
    return replace(stack, estimate=estimate)


def _outlook(
    panel: PanelToMake, estimates: Mapping[Kind, list[LayerEstimate]], learned: Learned, inputs: Inputs
) -> StackOutlook:
    queues = {key: iter(found) for key, found in estimates.items()}
    layers = [next(queues[panel.name, layer.species, round(layer.finished_mm / SAME_MM)]) for layer in panel.layers]
    glue = GlueLine(inputs.shop.glue_line_mm)
    estimate = estimate_stack(layers, glue)
    known = learned.offsets.slice_sd_mm is not None
    wanted, tolerance = panel.thickness_mm, panel.tolerance_mm
    return StackOutlook(
        panel=panel,
        layers=len(layers),
        estimate=estimate,
        spread_known=known,
        chance=(
            chance_in_tolerance(estimate.total_mm, estimate.standard_mm, wanted - tolerance, wanted + tolerance)
            if known and wanted is not None and tolerance is not None
            else None
        ),
        centring=(
            layers_to_centre(estimate.total_mm, wanted, panel.once_mm, inputs.shop.glue_line_mm)
            if wanted is not None
            else None
        ),
        unlike=tuple(unlike_pairs([_balance(layer, inputs) for layer in panel.layers], SAME_MM)),
    )


def _balance(layer: Layer, inputs: Inputs) -> BalanceLayer:
    """A layer for the balance; its grain is known where every board of its wood agrees."""
    grains = {board.grain for board in inputs.boards if board.species == layer.species and board.use != "no"}
    grain = next(iter(grains)) if len(grains) == 1 else None
    return BalanceLayer(layer.species, layer.finished_mm, grain or "")


def _estimates(need: Need, coming: NextSetting, learned: Learned, inputs: Inputs) -> list[LayerEstimate]:
    """What each layer of a need is or will be: measured ones first, then those still to be sawn."""
    sanded = 2.0 * inputs.shop.sanding_mm
    offset = learned.of(need.species)
    found: list[LayerEstimate] = []
    for item, count in need.slices:
        if item.mean_mm is not None:
            error = reading_uncertainty(inputs.shop.caliper_mm, pressed=item.row.pressed) / len(item.readings_mm) ** 0.5
            measured = LayerEstimate(item.mean_mm - sanded, need.finished_mm, need.tolerance_mm, error)
            found += [measured] * count
    to_come = LayerEstimate(
        thickness_mm=coming.expected_mm - sanded,
        target_mm=need.finished_mm,
        tolerance_mm=need.tolerance_mm,
        spread_mm=learned.offsets.slice_sd_mm or 0.0,
        shares=need.species,
        offset_error_mm=offset.standard_error_mm or 0.0,
    )
    return found + [to_come] * max(0, need.layers - len(found))
