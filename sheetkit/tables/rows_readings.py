"""The rows of what was measured: slices with their readings, and slices measured again. Values are in base units."""

from dataclasses import dataclass

from sheetkit.tables.columns import Kind, column
from sheetkit.tables.rows_base import SLICE_THICKEST, SLICE_THINNEST, Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement(Row):
    """A slice that was sawn, with its readings."""

    slice: str = column(
        "Slice",
        Kind.IDENTIFIER,
        "Board and pass, such as E1-3. A number is never used again, whatever became of the slice.",
        required=True,
        synonyms=("Slice no", "Strip", "Leaf", "Piece", "ID", "Name"),
    )
    board: str | None = column(
        "Board",
        Kind.IDENTIFIER,
        "The board it came from. Empty: taken from the slice's name.",
        synonyms=("Stock", "Blank", "Billet", "Cant"),
    )
    set_mm: float | None = column(
        "Set thickness",
        Kind.THICKNESS,
        "What was dialled beyond the kerf allowance.",
        synonyms=("Set", "Setting", "Dialled", "Dialed", "Dial", "Set at", "Set to", "Dial setting"),
        low="0 in",
        high=SLICE_THICKEST,
    )
    near_left_mm: float | None = column(
        "Near left",
        Kind.THICKNESS,
        "Reading at the corner nearest you, left.",
        synonyms=("NL", "Near-left"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    near_right_mm: float | None = column(
        "Near right",
        Kind.THICKNESS,
        "Reading at the corner nearest you, right.",
        synonyms=("NR", "Near-right"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    middle_mm: float | None = column(
        "Middle",
        Kind.THICKNESS,
        "Reading in the middle.",
        synonyms=("Mid", "M", "Centre", "Center"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    far_left_mm: float | None = column(
        "Far left",
        Kind.THICKNESS,
        "Reading at the far corner, left.",
        synonyms=("FL", "Far-left"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    far_right_mm: float | None = column(
        "Far right",
        Kind.THICKNESS,
        "Reading at the far corner, right.",
        synonyms=("FR", "Far-right"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    readings_mm: tuple[float, ...] = column(
        "Reading",
        Kind.THICKNESS,
        "Further readings anywhere on the slice: Reading 1, Reading 2 and so on.",
        synonyms=("Measured", "Measurement", "Thickness", "Thick", "Thk", "Actual", "Caliper reading"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    pressed: int = column(
        "Pressed together",
        Kind.COUNT,
        "How many slices were pressed together for one reading. Their mean is used, never a spread.",
        default="1",
        synonyms=("Pressed", "Stack of"),
        low="1",
        high="1000",
    )
    blade: str | None = column(
        "Blade", Kind.IDENTIFIER, "Which blade sawed it, if you keep several.", synonyms=("Band", "Saw blade")
    )
    use: bool = column(
        "Use",
        Kind.YES_NO,
        "no keeps the slice out of the panels; its readings still teach the dial.",
        default="yes",
        synonyms=("Keep", "Good", "OK"),
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat(Row):
    """A slice measured again, at one marked place, to learn how well it can be measured."""

    slice: str = column(
        "Slice",
        Kind.IDENTIFIER,
        "Which slice. Measure several slices, each several times at one marked place.",
        required=True,
        synonyms=("Slice no", "Strip", "Leaf", "Piece"),
    )
    person: str | None = column(
        "Person",
        Kind.TEXT,
        "Who measured. Empty: always the same.",
        synonyms=("Who", "Hand", "Measured by"),
    )
    tool: str | None = column(
        "Tool", Kind.TEXT, "With which caliper. Empty: always the same.", synonyms=("Caliper", "Micrometer", "Gauge")
    )
    readings_mm: tuple[float, ...] = column(
        "Reading",
        Kind.THICKNESS,
        "What was read. One a row, or Reading 1, Reading 2 and so on.",
        synonyms=("Measured", "Measurement", "Thickness", "Thick", "Thk", "Actual", "Caliper reading"),
        low=SLICE_THINNEST,
        high=SLICE_THICKEST,
    )
    note: str | None = column(
        "Note", Kind.TEXT, "Anything. Left alone.", synonyms=("Notes", "Remark", "Remarks", "Comment")
    )
