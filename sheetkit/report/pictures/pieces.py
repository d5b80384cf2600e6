"""What there is to draw: a panel with its looks, a handle, a bowl; and the picture that comes of it."""

from dataclasses import dataclass
from enum import StrEnum

from sheetkit.trade.bowl_plan import BowlPlan
from sheetkit.trade.pattern import Pattern
from sheetkit.trade.steps import Step, panel_repeat


@dataclass(frozen=True, slots=True)
class LayerLook:
    """One layer of the panel.

    Attributes:
        species: name of the wood, as the legend shows it
        thickness_mm: thickness, planned or as measured
        colour: RRGGBB
    """

    species: str
    thickness_mm: float
    colour: str


@dataclass(frozen=True)
class PanelLook:
    """A laminated panel, with the rounds of sawing and gluing that make the board for the piece.

    Attributes:
        name: the maker's name for it
        layers: in order, from the first face
        length_mm: length along the layers
        width_mm: width of the slices
        glue_mm: thickness of a glue line
        glue_colour: RRGGBB
        side_by_side: how many panels are glued side by side
        steps: rounds of sawing and gluing, in order
    """

    name: str
    layers: tuple[LayerLook, ...]
    length_mm: float
    width_mm: float
    glue_mm: float
    glue_colour: str = "4A3B2A"
    side_by_side: int = 1
    steps: tuple[Step, ...] = ()

    def pattern(self) -> Pattern:
        """The panel and its steps as the trade's sums take them."""
        plain = [(layer.species, layer.thickness_mm) for layer in self.layers]
        return Pattern(
            layers_mm=tuple(layer.thickness_mm for layer in self.layers),
            glue_mm=self.glue_mm,
            panel=(self.length_mm, self.width_mm),
            side_by_side=self.side_by_side,
            joint_mm=self.glue_mm if self.side_by_side > 1 else 0.0,
            steps=self.steps,
            repeat=panel_repeat(plain, self.glue_mm),
        )


@dataclass(frozen=True, slots=True)
class HandlePiece:
    """A handle or scale.

    Attributes:
        name: the maker's name for it
        length_mm: finished length
        width_mm: finished width
        thickness_mm: finished thickness
        angle_deg: angle of its long axis to the layers
        roll_deg: turn about its long axis; 0 has the width within the layers
        centre_mm: where its middle lies in the board, along and across it; None for the board's middle
    """

    name: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    angle_deg: float
    roll_deg: float = 0.0
    centre_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class BowlPiece:
    """A bowl from rings, turned.

    Attributes:
        name: the maker's name for it
        plan: its rings and its profile
        floor_mm: finished thickness of the bottom
        centre_mm: where the rings' middle lies in the board, along and across it; None for the board's middle
    """

    name: str
    plan: BowlPlan
    floor_mm: float
    centre_mm: tuple[float, float] | None = None


class HandleView(StrEnum):
    """From where a handle is seen, in the maker's words."""

    SIDE = "from the side"
    TOP = "from the top"
    END = "from the end"
    ROUNDED = "rounded"


class BowlView(StrEnum):
    """From where a bowl is seen, in the maker's words."""

    ABOVE = "from above"
    SIDE = "from the side"
    THREE_QUARTERS = "at three-quarters"
    RIM_BAND = "the outside below the rim, unrolled"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished picture.

    Attributes:
        png: the file's bytes, the same for the same input
        width_mm: size at which it prints well
        height_mm: size at which it prints well
        description: for readers who cannot see it
    """

    png: bytes
    width_mm: float
    height_mm: float
    description: str
