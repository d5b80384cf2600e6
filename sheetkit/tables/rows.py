"""One class a sheet: its fields are the sheet's columns, declared here and nowhere else.

Values are in base units (see `Kind`); None means the cell is empty and has no default.
"""

from dataclasses import dataclass
from datetime import date

from sheetkit.tables.columns import Kind, column
from sheetkit.tables.rows_base import SLICE_THICKEST, SLICE_THINNEST, Place, Row
from sheetkit.tables.rows_readings import Measurement, Repeat

__all__ = ["GRAINS", "Board", "Measurement", "Panel", "Place", "Repeat", "Row", "SpeciesValues", "Target"]

GRAINS = ("flat", "quarter", "rift")


@dataclass(frozen=True, slots=True, kw_only=True)
class Board(Row):
    """A board of stock."""

    board: str = column(
        "Board",
        Kind.IDENTIFIER,
        "Your name for the board. Slices are named after it.",
        required=True,
        synonyms=(
            "Board no",
            "Board name",
            "Stock",
            "Piece",
            "Blank",
            "Billet",
            "Cant",
            "Lot",
            "Plank",
            "ID",
            "Ref",
            "Name",
        ),
    )
    species: str = column(
        "Species",
        Kind.SPECIES,
        "The wood. Any usual name or spelling.",
        required=True,
        synonyms=("Wood", "Timber", "Wood species", "Kind of wood", "Material"),
    )
    length_mm: float | None = column(
        "Length",
        Kind.LENGTH,
        "Length along the grain. Empty: not checked.",
        synonyms=("L", "Len", "Long"),
        low="1 in",
        high="240 in",
    )
    width_mm: float | None = column(
        "Width",
        Kind.LENGTH,
        "Height of the slice: the face that the blade saws through. Empty: not checked.",
        synonyms=("W", "Wid", "Wd", "Wide", "Height"),
        low="0.25 in",
        high="36 in",
    )
    thickness_mm: float = column(
        "Thickness",
        Kind.STOCK_THICKNESS,
        "Measured before the first pass; what was sawn since follows from Measurements. 5/4 is nominal.",
        required=True,
        synonyms=("Thk", "Thick", "Th", "T", "Actual thickness", "Measured thickness", "Stock thickness"),
        low="0.02 in",
        high="24 in",
    )
    grain: str | None = column(
        "Grain",
        Kind.CHOICE,
        "How the board was sawn from the log.",
        choices=GRAINS,
        synonyms=("Cut", "Grain direction"),
    )
    moisture_pct: float | None = column(
        "Moisture",
        Kind.PERCENT,
        "Moisture content by your meter.",
        synonyms=("MC", "Moisture content"),
        low="2",
        high="40",
    )
    price: float | None = column("Price", Kind.MONEY, "What the whole board cost.", synonyms=("Cost", "Paid"), low="0")
    use: str = column(
        "Use",
        Kind.CHOICE,
        "no keeps the board out of the plan; first uses it up before the others.",
        default="yes",
        choices=("yes", "no", "first"),
        synonyms=("In use", "Available"),
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )
    now_mm: float | None = column(
        "Thickness now",
        Kind.LENGTH,
        "What is left, by caliper, after the last slice on Measurements. Checks the kerf and the fence; the plan goes "
        "by Thickness and the slices.",
        synonyms=("Measured now", "Thickness left"),
        low="0.02 in",
        high="24 in",
    )
    nominal_mm: float | None = column(
        "Nominal",
        Kind.LENGTH,
        "Thickness by which it was sold, such as 5/4: board feet on Cost go by it. Empty: by Thickness.",
        synonyms=("Nominal thickness",),
        units=("in", "in"),
        low="0.25 in",
        high="8 in",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel(Row):
    """A laminated panel to make."""

    panel: str = column(
        "Panel",
        Kind.IDENTIFIER,
        "Your name for the panel.",
        required=True,
        synonyms=("Panel name", "Lamination", "Block"),
    )
    length_mm: float | None = column(
        "Length",
        Kind.LENGTH,
        "Finished length along the grain.",
        synonyms=("L", "Len", "Long"),
        low="0.5 in",
        high="240 in",
    )
    width_mm: float | None = column(
        "Width",
        Kind.LENGTH,
        "Finished width across the layers' faces.",
        synonyms=("W", "Wid", "Wd", "Wide"),
        low="0.25 in",
        high="36 in",
    )
    repeats: int = column(
        "Repeats",
        Kind.COUNT,
        "How many times the list of layers in Targets is laid in a row.",
        default="1",
        synonyms=("Repeat",),
        low="1",
        high="10000",
    )
    mirror: bool = column(
        "Mirror",
        Kind.YES_NO,
        "yes lays the list forward and then backward about its last layer.",
        default="no",
        synonyms=("Mirrored",),
    )
    copies: int = column(
        "Copies",
        Kind.COUNT,
        "How many such panels.",
        default="1",
        synonyms=("Quantity", "Qty", "Number"),
        low="0",
        high="10000",
    )
    thickness_mm: float | None = column(
        "Thickness",
        Kind.LENGTH,
        "Thickness the glued panel should have. Empty: whatever its layers and glue lines add up to.",
        synonyms=("Thk", "T", "Panel thickness"),
        low="0.02 in",
        high="36 in",
    )
    tolerance_mm: float | None = column(
        "Tolerance",
        Kind.THICKNESS,
        "How far the glued panel may be off that, either way. Empty: not judged.",
        synonyms=("Tol", "+/-", "±"),
        low="0.0001 in",
        high="1 in",
    )
    surface_age_s: float | None = column(
        "Surface age",
        Kind.DURATION,
        "How old the faces are, or will be, when they are glued. Empty: not checked.",
        synonyms=("Time since surfacing",),
        low="0 min",
        high="365 d",
    )
    glued: date | None = column(  # noqa: RUF009 - declares, like every other field
        "Glued on",
        Kind.DATE,
        "Day of the last glue-up. Given, Glue-up says from which day on to machine it.",
        synonyms=("Glue date", "Date glued", "Glued"),
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )
    glued_mm: float | None = column(
        "Glued thickness",
        Kind.LENGTH,
        "Measured on the glued panel before a face of it is sanded; of copies the mean. Lay-up then says what your "
        "glue line comes to.",
        synonyms=("Thickness as glued", "Measured thickness", "Pressed thickness", "Actual thickness"),
        low="0.02 in",
        high="36 in",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Target(Row):
    """A layer, or a run of equal layers, of a panel, in order."""

    panel: str | None = column(
        "Panel",
        Kind.IDENTIFIER,
        "Which panel the layer belongs to. Empty: the job's only panel.",
        synonyms=("Lamination", "Block"),
    )
    species: str = column(
        "Species",
        Kind.SPECIES,
        "The wood of the layer.",
        required=True,
        synonyms=("Wood", "Timber", "Wood species", "Kind of wood", "Material"),
    )
    thickness_mm: float = column(
        "Thickness",
        Kind.THICKNESS,
        "Finished thickness of one layer.",
        required=True,
        synonyms=("Thk", "Thick", "Th", "T", "Target", "Target thickness", "Layer", "Finished thickness"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    tolerance_mm: float | None = column(
        "Tolerance",
        Kind.THICKNESS,
        "How far a slice may be off, either way. Empty: the job's tolerance.",
        synonyms=("Tol", "+/-", "±"),
        low="0.0001 in",
        high="0.25 in",
    )
    plies: int = column(
        "Plies",
        Kind.COUNT,
        "How many such layers follow one another.",
        default="1",
        synonyms=("Layers", "Count", "Quantity", "Qty", "Number", "How many", "Pcs", "Pieces"),
        low="1",
        high="10000",
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeciesValues(Row):
    """The maker's own values for a species."""

    species: str = column(
        "Species",
        Kind.SPECIES,
        "The wood.",
        required=True,
        synonyms=("Wood", "Timber", "Wood species", "Kind of wood", "Material"),
    )
    specific_gravity: float | None = column(
        "Specific gravity",
        Kind.NUMBER,
        "Oven-dry mass over volume at 12 % moisture.",
        synonyms=("SG", "Density"),
        low="0.05",
        high="1.5",
    )
    movement_flat: float | None = column(
        "Movement flat",
        Kind.NUMBER,
        "Change across a flat-sawn face for each per cent of moisture, as a share.",
        synonyms=("Tangential", "Movement tangential"),
        low="0",
        high="0.02",
    )
    movement_quarter: float | None = column(
        "Movement quarter",
        Kind.NUMBER,
        "Likewise across a quarter-sawn face.",
        synonyms=("Radial", "Movement radial"),
        low="0",
        high="0.02",
    )
    colour: str | None = column("Colour", Kind.COLOUR, "RRGGBB, for the pictures.", synonyms=("Color",))
    price_per_board_foot: float | None = column(
        "Price",
        Kind.MONEY,
        "Per board foot, for boards of it without a price on Stock.",
        synonyms=("Price per board foot",),
        low="0",
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )
