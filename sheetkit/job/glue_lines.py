"""What panels already glued teach about the glue line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from statistics import fmean

from sheetkit.job.gauging import Gauging
from sheetkit.job.layers import PanelToMake
from sheetkit.job.laying import LaidPanel, Laying, piece_key
from sheetkit.job.needs import Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.exact import total_mm
from sheetkit.trade.glue_line import LearnedLine, glue_line_from_panel, pooled_glue_line
from sheetkit.trade.thickness import reading_uncertainty


@dataclass(frozen=True, slots=True)
class GluedPanel:
    """A panel that was measured after gluing.

    Attributes:
        panel: the panel
        glued_mm: its thickness then; of several copies their mean
        slices_mm: sum of its slices as measured; None while not every layer has a measured slice
        line: the glue line that follows; None where none does
    """

    panel: PanelToMake
    glued_mm: float
    slices_mm: float | None
    line: LearnedLine | None


@dataclass(frozen=True, slots=True)
class GlueLines:
    """The glue line as the glued panels show it.

    Attributes:
        panels: every panel with a thickness measured after gluing
        together: what they show together; None while none shows any
    """

    panels: list[GluedPanel]
    together: LearnedLine | None


def glue_lines_of(
    panels: Sequence[PanelToMake], needs: Sequence[Need], laying: Laying | None, gauge: Gauging, inputs: Inputs
) -> GlueLines:
    """Compare each glued panel with its slices, taken to be laid as Lay-up says."""
    errors = _errors(needs, gauge, inputs)
    found: list[GluedPanel] = []
    for panel in panels:
        if panel.glued_mm is None or len(panel.layers) < 2 or not panel.copies:
            continue
        laid = [each for each in laying.panels if each.panel.name == panel.name] if laying else []
        found.append(_glued(panel, panel.glued_mm, laid, errors, gauge.uncertainty_mm))
    lines = [each.line for each in found if each.line is not None]
    return GlueLines(found, pooled_glue_line(lines) if lines else None)


def _glued(
    panel: PanelToMake, glued_mm: float, laid: Sequence[LaidPanel], errors: Mapping[str, float], panel_error_mm: float
) -> GluedPanel:
    """Copies are taken together: the mean of their slices, layer by layer, against the mean of the copies."""
    if not laid or any(each.lay.missing for each in laid):
        return GluedPanel(panel, glued_mm, None, None)
    keys = list(zip(*([layer.slice_key for layer in each.lay.layers] for each in laid), strict=True))
    corners = {key: corner for each in laid for key, corner in each.corners.items()}
    layers_mm = [fmean(corners[key].mean_mm for key in copies) for copies in keys]
    layer_errors = [hypot(*(errors[key] for key in copies)) / len(copies) for copies in keys]
    line = glue_line_from_panel(glued_mm, layers_mm, panel_error_mm / len(laid) ** 0.5, layer_errors)
    return GluedPanel(panel, glued_mm, total_mm(layers_mm), line)


def _errors(needs: Sequence[Need], gauge: Gauging, inputs: Inputs) -> dict[str, float]:
    """Standard uncertainty of the mean of each piece's readings, by the piece's name."""
    errors: dict[str, float] = {}
    for need in needs:
        for item, count in need.slices:
            if item.mean_mm is None:
                continue
            one = reading_uncertainty(inputs.shop.caliper_mm, gauge.repeatability_mm, pressed=item.row.pressed)
            for place in range(count):
                errors[piece_key(item, place, count)] = one / len(item.readings_mm) ** 0.5
    return errors
