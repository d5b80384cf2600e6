"""The glue line that a press and a glue really give, learned from panels already glued.

An error that every reading shares, such as the caliper's zero, goes into the line whole; it goes out again when the
same caliper measures the next slices, so the line learned foretells the next panel rightly all the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from sheetkit.trade.exact import total_mm


@dataclass(frozen=True, slots=True)
class LearnedLine:
    """A glue line as glued panels show it.

    Attributes:
        thickness_mm: of one line; below zero where the panel is thinner than its slices were [mm]
        standard_mm: its standard uncertainty from the readings [mm]
        lines: how many lines it rests on [1]
    """

    thickness_mm: float
    standard_mm: float
    lines: int


def glue_line_from_panel(
    panel_mm: float, layers_mm: Sequence[float], panel_error_mm: float = 0.0, layer_errors_mm: Sequence[float] = ()
) -> LearnedLine:
    """Learn the glue line from a glued panel; below zero when the slices were pressed thinner, or read too thick.

    Args:
        panel_mm: thickness of the glued panel, before any face of it is sanded [mm]
        layers_mm: thickness of each of its layers as measured before gluing, at least two [mm]
        panel_error_mm: standard uncertainty of the panel's thickness, >= 0 [mm]
        layer_errors_mm: standard uncertainty of each layer's thickness, each >= 0 [mm]

    Raises:
        ValueError: if there are fewer than two layers.

    Source: own derivation: (panel - sum of slices) / (n - 1); independent errors by JCGM 100:2008 (GUM), 5.1.2.

    >>> line = glue_line_from_panel(4.1, [1.0, 2.0, 1.0], panel_error_mm=0.03, layer_errors_mm=[0.02, 0.02, 0.02])
    >>> round(line.thickness_mm, 6), round(line.standard_mm, 6), line.lines
    (0.05, 0.022913, 2)
    """
    lines = len(layers_mm) - 1
    if lines < 1:
        raise ValueError(f"{len(layers_mm)} layers were given; a glue line needs at least two")
    over = total_mm([panel_mm, *(-each for each in layers_mm)])
    return LearnedLine(over / lines, hypot(panel_error_mm, *layer_errors_mm) / lines, lines)


def pooled_glue_line(found: Sequence[LearnedLine]) -> LearnedLine:
    """Take the lines of several glued panels together, each panel by the number of its lines.

    Args:
        found: what each panel shows, at least one

    Raises:
        ValueError: if there is none.

    Source: own derivation: what all panels are thicker than their slices, over all their lines; independent errors by
    JCGM 100:2008 (GUM), 5.1.2.

    >>> pooled_glue_line([LearnedLine(0.1, 0.03, 10), LearnedLine(0.2, 0.04, 10)])
    LearnedLine(thickness_mm=0.15, standard_mm=0.025, lines=20)
    """
    lines = sum(each.lines for each in found)
    if not lines:
        raise ValueError("no glued panel was given; wanted at least one")
    over = total_mm([each.thickness_mm * each.lines for each in found])
    return LearnedLine(over / lines, hypot(*(each.standard_mm * each.lines for each in found)) / lines, lines)
