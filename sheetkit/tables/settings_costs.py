"""The settings of cost and time: prices, work, wear and working days on Shop, what the job asks for on Job.

No price and no time of work has a default: what is not given is not costed, and Cost says so. The calendar's have one.
"""

from dataclasses import dataclass
from datetime import date

from sheetkit.tables.columns import Kind, column

WEEKS = {
    "every day": (0, 7),
    "weekdays": (0, 5),
    "all but sunday": (0, 6),
    "weekends": (5, 2),
}
"""First working day, counted from Monday as 0, and days in a row from there."""


@dataclass(frozen=True, kw_only=True)
class WorkingDays:
    """When this shop works, for the calendar."""

    day_s: float = column(
        "Bench time",
        Kind.DURATION,
        "How long you work on the job in a day, for the calendar on Cost.",
        default="4 h",
        synonyms=("Daily work", "Time at the bench"),
        units=("h", "h"),
        low="15 min",
        high="24 h",
    )
    days_worked: str = column(
        "Days worked",
        Kind.CHOICE,
        "Which days of the week you work. Counts where Job gives a start date.",
        default="every day",
        choices=tuple(WEEKS),
        synonyms=("Work days", "Working days"),
    )
    between_s: float = column(
        "Rest between glue-ups",
        Kind.DURATION,
        "From clamps off until the next layers are laid onto the block. A night is usual. Follow the adhesive's data "
        "sheet.",
        default="12 h",
        units=("h", "h"),
        low="0 h",
        high="720 h",
    )


@dataclass(frozen=True, kw_only=True)
class Prices(WorkingDays):
    """What work and material cost in this shop."""

    labour_rate: float | None = column(
        "Labour rate",
        Kind.MONEY,
        "What an hour of your work costs, for Cost. Empty: work is not costed.",
        synonyms=("Hourly rate", "Shop rate", "Wage"),
        low="0",
    )
    setup_s: float | None = column(
        "Set-up time",
        Kind.DURATION,
        "To set the saw up for the whole job; shared out over the panels.",
        synonyms=("Setup time", "Set-up", "Setup"),
        low="0 min",
        high="48 h",
    )
    pass_s: float | None = column(
        "Time per pass",
        Kind.DURATION,
        "To dial, carry back, take off and mark a slice, beside the time in the cut.",
        synonyms=("Minutes per pass", "Handling per pass"),
        low="0 s",
        high="2 h",
    )
    feed_mm_s: float | None = column(
        "Feed speed",
        Kind.SPEED,
        "How fast the wood goes through the blade: the length of a board by the time its cut takes.",
        synonyms=("Feed rate", "Feed"),
        low="0.05 m/min",
        high="60 m/min",
    )
    measure_s: float | None = column(
        "Time to measure a slice",
        Kind.DURATION,
        "To read a slice with the caliper and write it down.",
        synonyms=("Measuring time",),
        low="0 s",
        high="1 h",
    )
    panel_work_s: float | None = column(
        "Work per panel",
        Kind.DURATION,
        "All other work on one panel: sanding slices, setting up each glue-up, cleaning up, trimming.",
        synonyms=("Further work per panel",),
        low="0 min",
        high="500 h",
    )
    piece_work_s: float | None = column(
        "Work per piece",
        Kind.DURATION,
        "All work on one piece after its panel is ready: sawing out, shaping or turning, sanding, finish.",
        synonyms=("Time per piece", "Further work per piece"),
        low="0 min",
        high="500 h",
    )
    piece_material: float | None = column(
        "Material per piece",
        Kind.MONEY,
        "What else goes into one piece: finish, pins, liners, packing.",
        synonyms=("Hardware per piece",),
        low="0",
    )
    glue_price: float | None = column(
        "Glue price",
        Kind.MONEY,
        "What a bottle or tin of glue costs.",
        synonyms=("Price of glue", "Glue cost"),
        low="0",
    )
    glue_bottle_ml: float | None = column(
        "Glue in a bottle",
        Kind.NUMBER,
        "Millilitres of glue in it: 16 fl oz are 473, a US quart is 946, a US gallon 3785.",
        synonyms=("Bottle size",),
        low="5",
        high="250000",
    )
    blade_price: float | None = column(
        "Blade price", Kind.MONEY, "What a blade costs, its sharpenings included.", synonyms=("Blade cost",), low="0"
    )
    blade_life_s: float | None = column(
        "Blade life",
        Kind.DURATION,
        "How long a blade lasts in the cut, all sharpenings together.",
        units=("h", "h"),
        low="1 min",
        high="10000 h",
    )
    overhead_pct: float | None = column(
        "Overhead",
        Kind.PERCENT,
        "Rent, power, tools and the like, put on top of wood, glue, blade and work. 10 to 15 % is common.",
        low="0",
        high="300",
    )


@dataclass(frozen=True, kw_only=True)
class Selling:
    """What the job is to bring in."""

    margin_pct: float | None = column(
        "Margin",
        Kind.PERCENT,
        "Share of the price that should be left after the cost. 30 % on a cost of 70 asks 100; a mark-up of 30 % would "
        "ask 91.",
        synonyms=("Profit margin",),
        low="0",
        high="95",
    )
    lost_pct: float | None = column(
        "Panels lost",
        Kind.PERCENT,
        "Share of the panels that turn out badly. The cost of a good one is divided by the share that is kept.",
        synonyms=("Share lost", "Rejects"),
        low="0",
        high="90",
    )
    pieces_lost_pct: float | None = column(
        "Pieces lost",
        Kind.PERCENT,
        "Share of the pieces that turn out badly after their panel is ready. The cost of a good one is divided by the "
        "share that is kept.",
        synonyms=("Share of pieces lost",),
        low="0",
        high="90",
    )
    start: date | None = column(  # noqa: RUF009 - declares, like every other field
        "Start date",
        Kind.DATE,
        "Day from which the calendar on Cost counts what is still to do. Empty: it counts day 1, day 2 and so on.",
        synonyms=("Start", "Start on", "Begin"),
    )
    whole_boards: bool = column(
        "Charge whole boards",
        Kind.YES_NO,
        "yes charges the job with all of every board it opens; no leaves out what can still be sawn afterwards.",
        default="no",
    )
