"""What a lay-up is made from and what it says, as plain values."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Turn(StrEnum):
    """How a slice lies in the stack against how it came off the saw."""

    AS_SAWN = "as sawn"
    END_FOR_END = "turned end for end, same face up"
    TURNED_OVER = "turned over, ends kept"
    OVER_AND_END = "turned over, end for end"

    @property
    def end_sign(self) -> int:
        """1 when the near end stays near, -1 when the ends change places [1]."""
        return 1 if self in (Turn.AS_SAWN, Turn.TURNED_OVER) else -1

    @property
    def side_sign(self) -> int:
        """1 when the left edge stays left, -1 when the edges change places [1]."""
        return 1 if self in (Turn.AS_SAWN, Turn.OVER_AND_END) else -1


TURNS = tuple(Turn)


@dataclass(slots=True)
class Corners:
    """Thickness at four corners and the middle.

    Attributes:
        near_left_mm: at the near end, left [mm]
        near_right_mm: at the near end, right [mm]
        far_left_mm: at the far end, left [mm]
        far_right_mm: at the far end, right [mm]
        middle_mm: in the middle [mm]
    """

    near_left_mm: float
    near_right_mm: float
    far_left_mm: float
    far_right_mm: float
    middle_mm: float

    @property
    def mean_mm(self) -> float:
        """Mean of the four corners [mm]."""
        return (self.near_left_mm + self.near_right_mm + self.far_left_mm + self.far_right_mm) / 4

    @property
    def end_taper_mm(self) -> float:
        """Far end less near end, signed [mm]."""
        return (self.far_left_mm + self.far_right_mm - self.near_left_mm - self.near_right_mm) / 2

    @property
    def side_taper_mm(self) -> float:
        """Right edge less left edge, signed [mm]."""
        return (self.near_right_mm + self.far_right_mm - self.near_left_mm - self.far_left_mm) / 2

    def lying(self, turn: Turn) -> "Corners":
        """The same slice as it lies in the stack."""
        ends = ((self.near_left_mm, self.near_right_mm), (self.far_left_mm, self.far_right_mm))
        (a, b), (c, d) = ends if turn.end_sign > 0 else ends[::-1]
        if turn.side_sign < 0:
            a, b, c, d = b, a, d, c
        return Corners(a, b, c, d, self.middle_mm)


@dataclass(slots=True)
class MeasuredSlice:
    """A slice that was sawn, measured, and found usable.

    Attributes:
        key: the slice's own name, different for each slice
        kind: what it can be used for, the same text as in the layers it fits, such as species and thickness
        corners: its thickness at four corners and the middle
        board: the board it was sawn from
        sawn: its number in the order of sawing [1]
        grain: flat, quarter or rift; empty where it is not known
    """

    key: str
    kind: str
    corners: Corners
    board: str = ""
    sawn: int = 0
    grain: str = ""


@dataclass(frozen=True, slots=True)
class WantedLayer:
    """A layer of a panel.

    Attributes:
        kind: what it is made of, the same text as in the slices that fit it
        target_mm: thickness planned, > 0 [mm]
        tolerance_mm: how far the layer may be from that either way, >= 0 [mm]
    """

    kind: str
    target_mm: float
    tolerance_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class WantedPanel:
    """A panel to lay up.

    Attributes:
        key: the panel's own name, different for each panel
        layers: its layers in order, the first at the bottom
    """

    key: str
    layers: tuple[WantedLayer, ...]


@dataclass(frozen=True, slots=True)
class LayupOptions:
    """How the lay-up is chosen.

    Attributes:
        resolution_mm: closer than this is not searched for, a tenth of the caliper's division, > 0 [mm]
        keep_order: whether slices of one kind keep the order of sawing within a panel
        best_first: whether the first panel gets the best slices instead of a fair share
        time_limit_s: longest search for a proof when the resolution is not reached; many times what the nodes take [s]
        node_limit: most search nodes for it; reached before the clock, so that a second run gives the same [1]
    """

    resolution_mm: float = 0.00254
    keep_order: bool = False
    best_first: bool = False
    time_limit_s: float = 60.0
    node_limit: int = 500


@dataclass(frozen=True, slots=True)
class PlacedLayer:
    """What lies in one layer.

    Attributes:
        number: number of the layer, counted from 1 at the bottom [1]
        slice_key: key of the slice; empty while it is still to be sawn
        turn: how it lies
        saw_at_mm: thickness the missing slice should have, none where a slice lies here [mm]
    """

    number: int
    slice_key: str
    turn: Turn = Turn.AS_SAWN
    saw_at_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Closeness:
    """How far a panel is from its plan; glue lines are the same in both and fall out.

    Attributes:
        total_mm: mean of the four corners less the plan [mm]
        end_taper_mm: far end less near end [mm]
        side_taper_mm: right edge less left edge [mm]
        corners: thickness less the plan at the four corners and the middle
    """

    total_mm: float
    end_taper_mm: float
    side_taper_mm: float
    corners: Corners

    @property
    def worst_mm(self) -> float:
        """The largest of total and both tapers, either way [mm]."""
        return max(abs(self.total_mm), abs(self.end_taper_mm), abs(self.side_taper_mm))


@dataclass(frozen=True, slots=True)
class PanelLayup:
    """The lay-up of one panel.

    Attributes:
        panel: key of the panel
        layers: what lies in each layer, the first at the bottom
        closeness: how far it is from its plan, layers still to be sawn counted as planned
        in_sawing_order: the same for slices stacked as they came off the saw, none turned
        pair_mismatch_mm: largest difference between the slices of a mirror pair [mm]
        mean_badness_mm: mean over its slices of the worst reading's distance from the target [mm]
        missing: layers still to be sawn, by kind [1]
        saw_at_mm: thickness that each of them should have, by kind [mm]
        reachable: whether that is within the layers' tolerance
    """

    panel: str
    layers: tuple[PlacedLayer, ...]
    closeness: Closeness
    in_sawing_order: Closeness
    pair_mismatch_mm: float
    mean_badness_mm: float
    missing: Mapping[str, int]
    saw_at_mm: Mapping[str, float]
    reachable: bool


@dataclass(frozen=True, slots=True)
class Layup:
    """Which slice lies in which layer, and how close that comes.

    Attributes:
        panels: the panels, in the order they were given
        left_out: keys of the slices not used, the worst first
        residual_mm: sum over panels of what total and tapers miss beyond the resolution [mm]
        bound_mm: no lay-up of these slices can have a smaller sum [mm]
        resolution_mm: the resolution searched for [mm]
    """

    panels: tuple[PanelLayup, ...]
    left_out: tuple[str, ...]
    residual_mm: float
    bound_mm: float
    resolution_mm: float

    @property
    def proof(self) -> str:
        """How good the lay-up is shown to be, in the maker's words."""
        if self.residual_mm <= 1e-9:
            return (
                f"total and both tapers within {self.resolution_mm:.2g} mm of the plan, finer than the caliper can tell"
            )
        if self.residual_mm <= self.bound_mm + 1e-6:
            return f"best possible with these slices; {self.residual_mm:.3g} mm remain"
        return f"{self.residual_mm:.3g} mm remain; at best {max(0.0, self.bound_mm):.3g} mm with these slices"
