"""Which layer lies at a point of a finished piece: from the piece to its board, back through the steps, into the panel.

A board is seen from above as in the steps: its length along x, its layers stacked along y, z up through its thickness.
Nothing changes along z, since layers and glue lines stand upright through the board. Points come as arrays.
"""

from dataclasses import dataclass, field, replace
from functools import cached_property
from math import cos, radians, sin, tan
from typing import TYPE_CHECKING

from sheetkit.trade.arrays import Array, Places
from sheetkit.trade.exact import total_mm
from sheetkit.trade.handles import BlankAxes
from sheetkit.trade.steps import BoardSize, Repeat, Step, StepResult, Turn, take_steps

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Flags = NDArray[np.bool_]
else:
    Flags = object

GLUE = -1
"""In place of a layer's number: a glue line of the panel, a joint between panels, or a joint of a step."""

OUTSIDE = -2
"""In place of a layer's number: no wood here."""


@dataclass(frozen=True)
class Pattern:
    """A panel, or several side by side, after any number of steps.

    Attributes:
        layers_mm: thicknesses of the layers in order, each > 0 [mm]
        glue_mm: thickness of a glue line between layers, >= 0 [mm]
        panel: length and width of one panel; the width is that of its slices, not of the stack [mm]
        side_by_side: how many panels are glued side by side, >= 1 [1]
        joint_mm: thickness of the joint between panels, >= 0 [mm]
        steps: rounds of sawing and gluing, in order
        repeat: how often the panel's layers come again, for the steps
    """

    layers_mm: tuple[float, ...]
    glue_mm: float
    panel: tuple[float, float]
    side_by_side: int = 1
    joint_mm: float = 0.0
    steps: tuple[Step, ...] = ()
    repeat: Repeat = field(default_factory=lambda: Repeat(0.0, None))

    @cached_property
    def stack_mm(self) -> float:
        """Thickness of one panel through its layers."""
        return total_mm([*self.layers_mm, *[self.glue_mm] * (len(self.layers_mm) - 1)])

    @cached_property
    def first_board(self) -> BoardSize:
        """The board before any step."""
        many = self.side_by_side
        return BoardSize(self.panel[0], many * self.stack_mm + (many - 1) * self.joint_mm, self.panel[1])

    @cached_property
    def results(self) -> tuple[StepResult, ...]:
        """What each step gives; fewer than the steps where one gives no board."""
        return tuple(take_steps(self.first_board, self.steps, self.repeat))

    @cached_property
    def board(self) -> BoardSize:
        """The board after the last step.

        Raises:
            ValueError: with the sentence, where a step gives no board.
        """
        if not self.results:
            return self.first_board
        last = self.results[-1]
        if last.board is None:
            raise ValueError(last.short.sentence() if last.short else "a step gives no board")
        return last.board


@dataclass(frozen=True, slots=True)
class Spots:
    """Where points of a board lie in its panel; arrays of one shape.

    Attributes:
        depth_mm: depth into the panel from its first face [mm]
        region: a number that changes wherever the points come from another strip or another panel
        joint: whether a point lies in a joint of a step or between panels
        inside: whether there is wood or glue at all
    """

    depth_mm: Array
    region: Places
    joint: Flags
    inside: Flags


def locate(pattern: Pattern, x_mm: Array, y_mm: Array) -> Spots:
    """Map points of the finished board back into the panel.

    Args:
        pattern: the panel and its steps
        x_mm: along the finished board's length, an array [mm]
        y_mm: along the finished board's width, an array [mm]

    Source: own derivation: the inverse of each step, last first: strip number from x, turned and slid back, then along
    the old cut; between panels, the remainder over one panel and its joint.

    >>> import numpy as np
    >>> pattern = Pattern(layers_mm=(2.0, 1.0), glue_mm=0.1, panel=(100.0, 20.0))
    >>> locate(pattern, np.array([5.0]), np.array([2.5])).depth_mm
    array([2.5])
    """
    import numpy as np

    x_mm, y_mm = np.asarray(x_mm) * 1.0, np.asarray(y_mm) * 1.0
    board = pattern.board
    inside = (x_mm >= 0) & (x_mm <= board.length_mm) & (y_mm >= 0) & (y_mm <= board.width_mm)
    spots = Spots(y_mm, np.zeros(np.broadcast(x_mm, y_mm).shape, dtype=np.intp), np.zeros_like(inside), inside)
    sizes = [pattern.first_board, *(result.board for result in pattern.results if result.board)]
    for step, before, result in zip(pattern.steps[::-1], sizes[-2::-1], pattern.results[::-1], strict=True):
        slide_mm = step.slide_mm if result.strips > 1 else 0.0
        x_mm, spots = _before_step(replace(step, slide_mm=slide_mm), before, x_mm, spots)
    return _within_one_panel(pattern, spots)


def layer_at(pattern: Pattern, spots: Spots) -> Places:
    """Find the layer at each spot: its number from 0, GLUE or OUTSIDE.

    Args:
        pattern: the panel and its steps
        spots: where the points lie in the panel

    Source: search among the edges of layers and glue lines, in order.

    >>> import numpy as np
    >>> pattern = Pattern(layers_mm=(2.0, 1.0), glue_mm=0.1, panel=(100.0, 20.0))
    >>> layer_at(pattern, locate(pattern, np.array([5.0, 5.0, 5.0]), np.array([1.0, 2.05, 2.5]))).tolist()
    [0, -1, 1]
    """
    import numpy as np

    edges = edges_of_layers(pattern)
    slot = np.clip(np.searchsorted(edges, spots.depth_mm, side="right") - 1, 0, len(edges) - 2)
    layer = np.where(slot % 2 == 0, slot // 2, GLUE)
    layer = np.where(spots.joint, GLUE, layer)
    layer = np.where(spots.inside, layer, OUTSIDE)
    return layer.astype(np.intp)


def edges_of_layers(pattern: Pattern) -> Array:
    """List the depths at which layers and glue lines begin and end: layer, line, layer, line ... layer.

    Args:
        pattern: the panel and its steps

    Source: running sum of thicknesses and lines.

    >>> edges_of_layers(Pattern(layers_mm=(2.0, 1.0), glue_mm=0.5, panel=(100.0, 20.0)))
    array([0. , 2. , 2.5, 3.5])
    """
    import numpy as np

    parts = [part for thickness in pattern.layers_mm for part in (thickness, pattern.glue_mm)][:-1]
    return np.concatenate(([0.0], np.cumsum(parts)))


def points_of_piece(
    axes: BlankAxes, centre_mm: tuple[float, float, float], long_mm: Array, wide_mm: Array, thick_mm: Array
) -> tuple[Array, Array]:
    """Map points of a handle into its board; its height in the board does not matter to the pattern.

    Args:
        axes: directions of the piece inside the board
        centre_mm: where the middle of the piece lies in the board [mm]
        long_mm: distances from its middle along its length [mm]
        wide_mm: distances from its middle along its width [mm]
        thick_mm: distances from its middle along its thickness [mm]

    Source: centre + long * length axis + wide * width axis + thick * thickness axis.

    >>> import numpy as np
    >>> from sheetkit.trade.handles import blank_axes
    >>> axes = blank_axes(angle_deg=90.0)
    >>> points = points_of_piece(axes, (50.0, 30.0, 0.0), np.array([10.0]), np.array([0.0]), np.array([4.0]))
    >>> [round(float(part[0]), 9) for part in points]
    [46.0, 40.0]
    """
    x_mm = centre_mm[0] + long_mm * axes.long[0] + wide_mm * axes.wide[0] + thick_mm * axes.thick[0]
    y_mm = centre_mm[1] + long_mm * axes.long[1] + wide_mm * axes.wide[1] + thick_mm * axes.thick[1]
    return x_mm, y_mm


def points_of_ring(
    centre_mm: tuple[float, float], east_mm: Array, north_mm: Array, turn_deg: Array | float
) -> tuple[Array, Array]:
    """Map points of a ring as it stands in the bowl into the board it was sawn from.

    Args:
        centre_mm: where the centre of the rings lies in the board [mm]
        east_mm: distances from the bowl's middle, along the grain of the base [mm]
        north_mm: distances from the bowl's middle, across the grain of the base [mm]
        turn_deg: turn of the ring from the base, against the clock seen from above [deg]

    Source: rotation back by the turn.

    >>> import numpy as np
    >>> points = points_of_ring((100.0, 100.0), np.array([0.0]), np.array([50.0]), turn_deg=90.0)
    >>> [round(float(part[0]), 9) for part in points]
    [150.0, 100.0]
    """
    import numpy as np

    turn = np.radians(turn_deg)
    cosine, sine = np.cos(turn), np.sin(turn)
    return centre_mm[0] + east_mm * cosine + north_mm * sine, centre_mm[1] - east_mm * sine + north_mm * cosine


def _before_step(step: Step, before: BoardSize, x_mm: Array, spots: Spots) -> tuple[Array, Spots]:
    """Points of the board before a step, from points of the board after it; depth holds their y."""
    import numpy as np

    cosine, sine = cos(radians(step.angle_deg)), sin(radians(step.angle_deg))
    slant_mm = 0.0 if step.angle_deg == 90.0 else step.strip_mm / tan(radians(step.angle_deg))
    pitch_mm = step.strip_mm + step.glue_mm
    strip = np.floor(x_mm / pitch_mm)
    across = x_mm - strip * pitch_mm
    odd = np.mod(strip, 2) == 1
    along = spots.depth_mm + slant_mm + max(0.0, step.slide_mm) - np.where(odd, step.slide_mm, 0.0)
    turned = np.where(odd & (step.turn in (Turn.OVER, Turn.END_FOR_END)), step.strip_mm - across, across)
    if step.turn in (Turn.END_FOR_END, Turn.BOTH):
        along = np.where(odd, before.width_mm / sine + slant_mm - along, along)
    start_mm = strip * (step.strip_mm + step.kerf_mm) / sine
    region = spots.region * 4099 + strip.astype(np.intp) + 1
    joint = spots.joint | (across > step.strip_mm)
    return start_mm + along * cosine + turned * sine, Spots(along * sine - turned * cosine, region, joint, spots.inside)


def _within_one_panel(pattern: Pattern, spots: Spots) -> Spots:
    import numpy as np

    if pattern.side_by_side == 1:
        return spots
    pitch_mm = pattern.stack_mm + pattern.joint_mm
    panel = np.clip(np.floor(spots.depth_mm / pitch_mm), 0, pattern.side_by_side - 1)
    depth = spots.depth_mm - panel * pitch_mm
    region = spots.region * 4099 + panel.astype(np.intp) + 1
    return Spots(depth, region, spots.joint | (depth > pattern.stack_mm), spots.inside)
