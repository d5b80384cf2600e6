"""The settings of the job and of the shop: each field is one setting, declared here and nowhere else."""

from dataclasses import dataclass

from sheetkit.tables.columns import Kind, column
from sheetkit.tables.settings_costs import Prices, Selling
from sheetkit.tables.settings_glue import Gluing
from sheetkit.tables.settings_pieces import Piecework


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What the job asks for."""

    job: str | None = column(
        "Job", Kind.TEXT, "What the job is called on the result sheets.", synonyms=("Job name", "Name")
    )
    unit: str | None = column(
        "Unit",
        Kind.CHOICE,
        "Unit of the result sheets. Empty: the unit of Stock's thickness heading. thou: slices, dial settings and "
        "offsets in thousandths of an inch, boards, panels and pieces in decimal inches. 64ths: boards, panels and "
        "pieces in inches to the nearest 64th, slices, dial settings and offsets in decimal inches. With either, "
        "what you type without a unit is in inches.",
        choices=("in", "mm", "thou", "64ths"),
        synonyms=("Units",),
    )
    tolerance_mm: float = column(
        "Tolerance",
        Kind.THICKNESS,
        "How far a slice may be off its target, either way, where Targets says nothing.",
        default="0.002 in",
        low="0.0001 in",
        high="0.25 in",
    )
    spares_pct: float = column(
        "Spare slices",
        Kind.PERCENT,
        "Slices sawn on top of those needed, of each kind, rounded up.",
        default="10 %",
        low="0",
        high="200",
    )
    risk_pct: float | None = column(
        "Risk of running short",
        Kind.PERCENT,
        "Accepted chance that too few slices turn out good. Given, it decides the spares in place of Spare slices: by "
        "your own record of good and bad slices, else by the share expected out of tolerance.",
        low="0.1",
        high="50",
    )
    one_board: bool = column(
        "One board a wood",
        Kind.YES_NO,
        "Wish: all slices of one wood of a panel from one board, for colour.",
        default="no",
    )
    pairs: bool = column(
        "Neighbours in pairs", Kind.YES_NO, "Wish: slices of one thickness sawn two by two, for matching.", default="no"
    )
    keep_order: bool = column(
        "Keep sawing order", Kind.YES_NO, "Slices of one wood stay in the order they were sawn in.", default="no"
    )
    best_first: bool = column(
        "Best slices first",
        Kind.YES_NO,
        "The first panel gets the best slices; else all panels share them fairly.",
        default="no",
    )
    panel_length_mm: float | None = column(
        "Panel length",
        Kind.LENGTH,
        "Finished length of the panels, where Panels says nothing.",
        low="0.5 in",
        high="240 in",
    )
    panel_width_mm: float | None = column(
        "Panel width",
        Kind.LENGTH,
        "Finished width of the panels, where Panels says nothing.",
        low="0.25 in",
        high="36 in",
    )
    end_trim_mm: float = column(
        "End trim", Kind.LENGTH, "Cut off each end of the glued panel.", default="0.25 in", low="0 in", high="24 in"
    )
    edge_trim_mm: float = column(
        "Edge trim",
        Kind.LENGTH,
        "Cut off each long edge of the glued panel.",
        default="0.125 in",
        low="0 in",
        high="6 in",
    )
    home_c: float = column(
        "Temperature of its place",
        Kind.TEMPERATURE,
        "Of the room where the pieces will live.",
        default="21 °C",
        synonyms=("Home temperature",),
        low="-10 °C",
        high="50 °C",
    )
    home_humidity_pct: float = column(
        "Humidity of its place",
        Kind.PERCENT,
        "Relative humidity where the pieces will live; a heated house in winter may come down to 30 %.",
        default="35 %",
        synonyms=("Home humidity",),
        low="5",
        high="95",
    )
    hidden_rows: str = column(
        "Hidden rows",
        Kind.CHOICE,
        "Whether rows that are hidden or filtered out count.",
        default="use",
        choices=("use", "leave out"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(Selling, Asked):
    """The settings of one job: what it asks for first, then what it is to bring in."""


@dataclass(frozen=True, kw_only=True)
class Saw:
    """What saw, dial, caliper and blade are like."""

    dial_division_mm: float = column(
        "Dial division",
        Kind.THICKNESS,
        "Travel of the fence for one mark of the dial.",
        default="0.001 in",
        low="0.0001 in",
        high="0.5 in",
    )
    dial_turn_mm: float = column(
        "Dial turn",
        Kind.THICKNESS,
        "Travel of the fence for one whole turn of the dial.",
        default="0.050 in",
        low="0.001 in",
        high="2 in",
    )
    kerf_allowance_mm: float = column(
        "Kerf allowance",
        Kind.THICKNESS,
        "What you dial for the blade at every pass, before the slice's own thickness.",
        default="0.050 in",
        synonyms=("Kerf",),
        low="0 in",
        high="0.5 in",
    )
    offset_mm: float = column(
        "Known offset",
        Kind.THICKNESS,
        "How much thicker than set a slice comes off, until readings say better.",
        default="0 in",
        synonyms=("Offset",),
        low="-0.1 in",
        high="0.1 in",
    )
    truing_mm: float = column(
        "Truing pass",
        Kind.THICKNESS,
        "What the first pass takes off a board to make its face true, kerf included.",
        default="0.050 in",
        synonyms=("First pass",),
        low="0 in",
        high="2 in",
    )
    held_mm: float = column(
        "Held back",
        Kind.THICKNESS,
        "What must stay on the carriage or in the clamp at the end.",
        default="0.250 in",
        synonyms=("Holding", "Minimum holding"),
        low="0 in",
        high="6 in",
    )
    thinnest_slice_mm: float = column(
        "Thinnest slice",
        Kind.THICKNESS,
        "Thinner slices tear or cannot be kept.",
        default="0.008 in",
        low="0.001 in",
        high="0.25 in",
    )
    sanding_mm: float = column(
        "Sanding per face",
        Kind.THICKNESS,
        "Taken off each face of a slice after sawing.",
        default="0 in",
        synonyms=("Sanding allowance", "Sanding"),
        low="0 in",
        high="0.1 in",
    )
    crosscut_kerf_mm: float = column(
        "Crosscut kerf",
        Kind.LENGTH,
        "Lost when a slice is crosscut into several layers.",
        default="0.125 in",
        low="0 in",
        high="1 in",
    )
    caliper_mm: float = column(
        "Caliper division",
        Kind.THICKNESS,
        "Smallest step that the caliper or micrometer shows.",
        default="0.001 in",
        synonyms=("Caliper resolution", "Caliper"),
        low="0.00001 in",
        high="0.05 in",
    )
    repeatability_mm: float | None = column(
        "Caliper repeatability",
        Kind.THICKNESS,
        "Standard deviation of readings repeated at one place. Empty: as Repeats says, else the division alone counts.",
        synonyms=("Repeatability",),
        low="0 in",
        high="0.05 in",
    )
    blade: str | None = column(
        "Blade", Kind.IDENTIFIER, "The blade on the saw now, if you keep several and name them in Measurements."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop(Prices, Piecework, Gluing, Saw):
    """The settings of the shop: saw and dial, glue, press and air, sawing pieces out of panels, and prices last."""
