"""What a stack of layers comes to, how sure that is, and whether it can be centred in its tolerance.

``total = sum of layers + (n - 1) * glue line``. Errors that differ from layer to layer add as the root of the sum of
squares; an error that all layers share, the offset's own, adds n times, and with dozens of layers it rules.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, isfinite
from statistics import NormalDist

from sheetkit.trade.exact import millimetres, picometres, total_mm


@dataclass(frozen=True, slots=True)
class GlueLine:
    """The glue line between two layers.

    Attributes:
        thickness_mm: its thickness, >= 0 [mm]
        tolerance_mm: how far one line may be from that either way, >= 0 [mm]
        spread_mm: standard deviation from line to line, >= 0 [mm]
        error_mm: standard uncertainty of the thickness itself, shared by all lines, >= 0 [mm]
    """

    thickness_mm: float
    tolerance_mm: float = 0.0
    spread_mm: float = 0.0
    error_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class LayerEstimate:
    """A layer as planned or as measured.

    Attributes:
        thickness_mm: thickness expected, or the mean measured, > 0 [mm]
        target_mm: thickness planned, > 0 [mm]
        tolerance_mm: how far it may be from the planned one either way, >= 0 [mm]
        spread_mm: standard deviation from slice to slice, or the reading's own uncertainty once measured, >= 0 [mm]
        shares: name of the offset it shares its error with, usually the species; empty once measured
        offset_error_mm: standard uncertainty of that offset, >= 0 [mm]
    """

    thickness_mm: float
    target_mm: float
    tolerance_mm: float = 0.0
    spread_mm: float = 0.0
    shares: str = ""
    offset_error_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class StackEstimate:
    """What a stack comes to, and how sure that is.

    Attributes:
        total_mm: thickness expected [mm]
        planned_mm: thickness with every layer at its target [mm]
        bias_mm: expected less planned [mm]
        worst_mm: all tolerances used up the same way, either way [mm]
        statistical_mm: tolerances as independent, root of the sum of squares, either way [mm]
        independent_mm: standard uncertainty from what differs layer to layer [mm]
        shared_mm: standard uncertainty from errors that layers share [mm]
        glue_mm: thickness of all glue lines, part of the total [mm]
    """

    total_mm: float
    planned_mm: float
    bias_mm: float
    worst_mm: float
    statistical_mm: float
    independent_mm: float
    shared_mm: float
    glue_mm: float

    @property
    def standard_mm(self) -> float:
        """Standard uncertainty of the total, both parts together [mm]."""
        return hypot(self.independent_mm, self.shared_mm)

    @property
    def glue_share(self) -> float:
        """Share of the total that is glue [1]."""
        return self.glue_mm / self.total_mm if self.total_mm > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Centring:
    """How many layers to add or leave out so that the total comes nearest to the target.

    Attributes:
        layers: layers to add, negative to leave out [1]
        total_mm: thickness then expected [mm]
        off_mm: how far that is from the target [mm]
    """

    layers: int
    total_mm: float
    off_mm: float


def stack_thickness(layers_mm: Sequence[float], glue_line_mm: float) -> float:
    """Add up layers and the glue lines between them.

    Args:
        layers_mm: thickness of each layer, may be empty [mm]
        glue_line_mm: thickness of one glue line, >= 0 [mm]

    Source: own derivation: n layers have n - 1 lines between them.

    >>> stack_thickness([1.0, 2.0, 1.0], glue_line_mm=0.05)
    4.1
    """
    lines = max(0, len(layers_mm) - 1)
    return millimetres(sum(picometres(each) for each in layers_mm) + lines * picometres(glue_line_mm))


def estimate_stack(layers: Sequence[LayerEstimate], glue: GlueLine) -> StackEstimate:
    """Work out what a stack comes to, with worst case, independent and shared uncertainty apart.

    Args:
        layers: the layers in order
        glue: the glue line

    Source: sum of variances for independent errors, JCGM 100:2008 (GUM), 5.1.2; fully correlated ones add as they are,
    GUM 5.2.2, note 1. Worst case: own derivation, the sum of all tolerances.

    >>> stack = estimate_stack([LayerEstimate(1.1, 1.0, 0.2, 0.1, "ash", 0.05)] * 4, GlueLine(0.1))
    >>> [round(x, 3) for x in (stack.total_mm, stack.bias_mm, stack.worst_mm, stack.independent_mm, stack.shared_mm)]
    [4.7, 0.4, 0.8, 0.2, 0.2]
    """
    lines = max(0, len(layers) - 1)
    total = stack_thickness([each.thickness_mm for each in layers], glue.thickness_mm)
    planned = stack_thickness([each.target_mm for each in layers], glue.thickness_mm)
    return StackEstimate(
        total_mm=total,
        planned_mm=planned,
        bias_mm=total_mm([total, -planned]),
        worst_mm=total_mm([each.tolerance_mm for each in layers]) + lines * glue.tolerance_mm,
        statistical_mm=hypot(*(each.tolerance_mm for each in layers), lines**0.5 * glue.tolerance_mm),
        independent_mm=hypot(*(each.spread_mm for each in layers), lines**0.5 * glue.spread_mm),
        shared_mm=hypot(*_shared_by_offset(layers), lines * glue.error_mm),
        glue_mm=lines * glue.thickness_mm,
    )


def chance_in_tolerance(total_mm: float, standard_mm: float, low_mm: float, high_mm: float) -> float:
    """Find the probability that a panel lands within its limits.

    Args:
        total_mm: thickness expected [mm]
        standard_mm: its standard uncertainty, >= 0 [mm]
        low_mm: least thickness allowed; minus infinity where there is none [mm]
        high_mm: greatest thickness allowed; infinity where there is none [mm]

    Source: conformance probability with two limits, JCGM 106:2012, 7.4.

    >>> round(chance_in_tolerance(10.0, 0.1, 9.8, 10.2), 4)
    0.9545
    """
    if standard_mm <= 0:
        return float(low_mm <= total_mm <= high_mm)
    normal = NormalDist(total_mm, standard_mm)
    below = normal.cdf(low_mm) if isfinite(low_mm) else 0.0
    return (normal.cdf(high_mm) if isfinite(high_mm) else 1.0) - below


def layers_to_centre(total_mm: float, target_mm: float, layers_mm: Sequence[float], glue_line_mm: float) -> Centring:
    """Find how many layers more or fewer bring the total nearest to the target.

    Args:
        total_mm: thickness expected of the stack as it is [mm]
        target_mm: thickness wanted [mm]
        layers_mm: the layers added or left out together, one layer, or a whole repeat to keep the pattern [mm]
        glue_line_mm: thickness of one glue line, >= 0 [mm]

    Raises:
        ValueError: if the layers and their glue lines together are not greater than zero.

    Source: own derivation: each layer brings its own glue line; a tie goes to the thinner stack.

    >>> layers_to_centre(43.0, 40.0, layers_mm=[0.95], glue_line_mm=0.05)
    Centring(layers=-3, total_mm=40.0, off_mm=0.0)
    """
    step_pm = sum(picometres(each) for each in layers_mm) + len(layers_mm) * picometres(glue_line_mm)
    if step_pm <= 0:
        raise ValueError("layers of no thickness were given; wanted at least one thicker than 0 mm")
    gap_pm = picometres(target_mm) - picometres(total_mm)
    steps = -((step_pm - 2 * gap_pm) // (2 * step_pm))
    centred_pm = picometres(total_mm) + steps * step_pm
    return Centring(steps * len(layers_mm), millimetres(centred_pm), millimetres(centred_pm - picometres(target_mm)))


def _shared_by_offset(layers: Sequence[LayerEstimate]) -> list[float]:
    """One sum per offset; different offsets are independent of one another."""
    sums: dict[str, float] = {}
    for each in layers:
        if each.shares:
            sums[each.shares] = sums.get(each.shares, 0.0) + each.offset_error_mm
    return list(sums.values())
