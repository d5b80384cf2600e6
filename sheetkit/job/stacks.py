"""How thick each panel will be: as planned, and as the slices and settings stand now."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from sheetkit.job.layers import Layer, PanelToMake
from sheetkit.job.learning import Learned
from sheetkit.job.needs import SAME_MM, Need
from sheetkit.job.planning import dial_of, setting_of
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.dial import Dial
from sheetkit.trade.stack import stack_thickness


@dataclass(frozen=True, slots=True)
class StackOutlook:
    """Thickness of one panel.

    Attributes:
        panel: the panel
        layers: how many
        wood_mm: sum of the layers as planned
        glue_mm: sum of the glue lines
        planned_mm: both
        expected_mm: with the slices sawn so far, and the settings to come, in place of the targets
    """

    panel: PanelToMake
    layers: int
    wood_mm: float
    glue_mm: float
    planned_mm: float
    expected_mm: float


def stack_outlooks(
    panels: Sequence[PanelToMake], needs: Sequence[Need], learned: Learned, inputs: Inputs
) -> list[StackOutlook]:
    """The outlook of every panel that has layers."""
    dial = dial_of(inputs)
    likely = {
        (need.panel, need.species, round(need.finished_mm / SAME_MM)): _likely(need, learned, inputs, dial)
        for need in needs
    }
    return [_outlook(panel, likely, inputs) for panel in panels if panel.layers]


def _outlook(panel: PanelToMake, likely: Mapping[tuple[str, str, int], float], inputs: Inputs) -> StackOutlook:
    glue = inputs.shop.glue_line_mm
    planned = [layer.finished_mm for layer in panel.layers]
    expected = [likely[_key(panel, layer)] for layer in panel.layers]
    total = stack_thickness(planned, glue)
    wood = stack_thickness(planned, 0.0)
    return StackOutlook(panel, len(planned), wood, total - wood, total, stack_thickness(expected, glue))


def _key(panel: PanelToMake, layer: Layer) -> tuple[str, str, int]:
    return panel.name, layer.species, round(layer.finished_mm / SAME_MM)


def _likely(need: Need, learned: Learned, inputs: Inputs, dial: Dial) -> float:
    """Mean finished thickness of the layers that serve a need, sawn ones as measured, the others as expected."""
    coming = setting_of(need, learned, dial).expected_mm
    sawn = [item.mean_mm if item.mean_mm is not None else coming for item, count in need.slices for _ in range(count)]
    missing = max(0, need.layers - len(sawn))
    return fmean([*sawn, *([coming] * missing)]) - 2.0 * inputs.shop.sanding_mm
