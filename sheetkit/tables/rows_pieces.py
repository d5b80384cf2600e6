"""The rows of the sheets about pieces cut from panels, declared like those in `rows.py`."""

from dataclasses import dataclass

from sheetkit.tables.columns import Kind, column
from sheetkit.tables.rows import Row

PROFILES = ("straight", "arc", "ogee")
TURNS = ("over", "end for end", "both", "as sawn")


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle(Row):
    """A handle or scale to cut from a panel."""

    piece: str = column(
        "Piece", Kind.IDENTIFIER, "Your name for the piece.", required=True, synonyms=("Handle", "Scale", "Name")
    )
    panel: str | None = column("Panel", Kind.IDENTIFIER, "The panel it is cut from. Empty: the job's only panel.")
    quantity: int = column(
        "Quantity", Kind.COUNT, "How many.", default="1", synonyms=("Qty", "Number", "Count"), low="0", high="10000"
    )
    length_mm: float = column(
        "Length",
        Kind.LENGTH,
        "Finished length.",
        required=True,
        synonyms=("L", "Len", "Long"),
        low="0.25 in",
        high="60 in",
    )
    width_mm: float = column(
        "Width",
        Kind.LENGTH,
        "Finished width.",
        required=True,
        synonyms=("W", "Wid", "Wd", "Wide"),
        low="0.1 in",
        high="24 in",
    )
    thickness_mm: float = column(
        "Thickness",
        Kind.LENGTH,
        "Finished thickness.",
        required=True,
        synonyms=("Thk", "T"),
        low="0.02 in",
        high="12 in",
    )
    angle_deg: float = column(
        "Angle to the layers",
        Kind.ANGLE,
        "Between the long axis of the piece and the layers; 0 runs along them.",
        default="0",
        synonyms=("Angle",),
        low="0",
        high="90",
    )
    tilt_deg: float = column(
        "Tilt", Kind.ANGLE, "Turn of the blank about its own long axis.", default="0", low="-90", high="90"
    )
    pair: bool = column(
        "Bookmatched",
        Kind.YES_NO,
        "yes splits a thicker blank and opens it into a pair; Quantity then counts pairs.",
        default="no",
        synonyms=("Pair", "Bookmatch"),
    )
    stripe_mm: float | None = column(
        "Stripe wished",
        Kind.THICKNESS,
        "How wide the thickest layer should show on the side. Pieces then says which angle, or which layer, gives it.",
        synonyms=("Stripe width", "Wished stripe"),
        low="0.002 in",
        high="12 in",
    )
    crown_mm: float | None = column(
        "Crown",
        Kind.LENGTH,
        "How far the middle of the rounded face stands above its edges. Given, Pieces says how wide the eyes come out.",
        synonyms=("Crown rise", "Rise"),
        low="0.002 in",
        high="6 in",
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowl(Row):
    """A ring bowl to build from a panel."""

    piece: str = column("Piece", Kind.IDENTIFIER, "Your name for the bowl.", required=True, synonyms=("Bowl", "Name"))
    panel: str | None = column(
        "Panel", Kind.IDENTIFIER, "The panel its rings are sawn from. Empty: the job's only panel."
    )
    quantity: int = column(
        "Quantity", Kind.COUNT, "How many.", default="1", synonyms=("Qty", "Number", "Count"), low="0", high="10000"
    )
    rim_diameter_mm: float = column(
        "Rim diameter",
        Kind.LENGTH,
        "Outside, at the top.",
        required=True,
        synonyms=("Rim", "Diameter"),
        low="0.5 in",
        high="48 in",
    )
    foot_diameter_mm: float = column(
        "Foot diameter",
        Kind.LENGTH,
        "Outside, at the bottom.",
        required=True,
        synonyms=("Foot", "Base diameter"),
        low="0.1 in",
        high="48 in",
    )
    wall_mm: float = column(
        "Wall",
        Kind.LENGTH,
        "Finished wall, square to the slope.",
        required=True,
        synonyms=("Wall thickness",),
        low="0.02 in",
        high="4 in",
    )
    board_thickness_mm: float | None = column(
        "Board thickness",
        Kind.LENGTH,
        "Measured thickness of the board that the rings are sawn from; it lies with the layers on edge. Empty: the "
        "width of the panel, which is the width of its slices.",
        synonyms=("Panel thickness",),
        low="0.05 in",
        high="12 in",
    )
    turn_deg: float = column(
        "Turn per ring",
        Kind.ANGLE,
        "How far each ring is turned from the one below.",
        default="0",
        synonyms=("Turn", "Rotation"),
        low="-360",
        high="360",
    )
    height_mm: float | None = column(
        "Height",
        Kind.LENGTH,
        "Finished height. Empty: from Rings, else as tall as the wall allows on straight sides.",
        synonyms=("H",),
        low="0.25 in",
        high="36 in",
    )
    rings: int | None = column(
        "Rings", Kind.COUNT, "Rings above the base. Empty: from Height.", synonyms=("Ring count",), low="1", high="200"
    )
    profile: str = column(
        "Profile",
        Kind.CHOICE,
        "Shape of the side. Rows on Profiles for this piece win.",
        default="straight",
        choices=PROFILES,
        synonyms=("Shape", "Side"),
    )
    bulge_mm: float | None = column(
        "Bulge",
        Kind.LENGTH,
        "How far an arc stands out of the straight line; for an ogee, each half. Negative is hollow. Empty: a tenth of "
        "the height.",
        low="-12 in",
        high="12 in",
    )
    boards: int = column(
        "Boards in turn",
        Kind.COUNT,
        "Rings come from so many boards one after the other; more boards allow steeper sides.",
        default="1",
        low="1",
        high="50",
    )
    floor_mm: float | None = column(
        "Floor",
        Kind.LENGTH,
        "Finished thickness of the bottom. Empty: Bowl floor on Shop.",
        synonyms=("Bottom", "Bottom thickness"),
        low="0.02 in",
        high="4 in",
    )
    halves: bool = column(
        "Half rings",
        Kind.YES_NO,
        "yes where the rings are sawn as halves and joined again.",
        default="no",
        synonyms=("Halves",),
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CutStep(Row):
    """A round of sawing a board into strips and gluing it again."""

    piece: str = column(
        "Piece",
        Kind.IDENTIFIER,
        "What the board is for: a piece of Handles or Bowls, or a name of its own.",
        required=True,
        synonyms=("For", "Name"),
    )
    panel: str | None = column(
        "Panel", Kind.IDENTIFIER, "The panel it starts from. Empty: that of the piece, else the job's only panel."
    )
    step: int | None = column(
        "Step",
        Kind.COUNT,
        "1 for the first round. Empty: in the order of the rows.",
        synonyms=("Round",),
        low="1",
        high="50",
    )
    strip_mm: float = column(
        "Strip width", Kind.LENGTH, "Width of a strip, square to the cut.", required=True, low="0.05 in", high="24 in"
    )
    angle_deg: float = column(
        "Angle of the cut",
        Kind.ANGLE,
        "Between the cut and the board's length; 90 is square across.",
        default="90",
        synonyms=("Angle", "Cut angle"),
        low="5",
        high="90",
    )
    turn: str = column(
        "Turn",
        Kind.CHOICE,
        "How every second strip is turned before it is glued.",
        default="over",
        choices=TURNS,
        synonyms=("Flip",),
    )
    slide_mm: float = column(
        "Slide",
        Kind.LENGTH,
        "How far every second strip is slid along the joint.",
        default="0 in",
        synonyms=("Shift",),
        low="-24 in",
        high="24 in",
    )
    flatten_mm: float = column(
        "Flattening",
        Kind.LENGTH,
        "Taken off the new board's thickness, both faces together.",
        default="0 in",
        low="0 in",
        high="2 in",
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfilePoint(Row):
    """A point of a bowl's outside."""

    piece: str = column("Piece", Kind.IDENTIFIER, "The bowl.", required=True, synonyms=("Bowl",))
    height_mm: float = column(
        "Height", Kind.LENGTH, "Above the foot; the first point lies at 0.", required=True, low="0 in", high="36 in"
    )
    radius_mm: float = column(
        "Radius", Kind.LENGTH, "Outside radius at that height.", required=True, low="0.05 in", high="24 in"
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )
