"""The settings of sawing pieces out of panels, which stand on Shop below those of the glue."""

from dataclasses import dataclass

from sheetkit.tables.columns import Kind, column


@dataclass(frozen=True, kw_only=True)
class Piecework:
    """How panels become handles, boards and bowls."""

    blank_kerf_mm: float = column(
        "Blank kerf",
        Kind.LENGTH,
        "Lost at each cut when a panel is sawn into blanks or strips.",
        default="0.035 in",
        low="0 in",
        high="0.5 in",
    )
    blank_trim_mm: float = column(
        "Panel trim for blanks",
        Kind.LENGTH,
        "Trimmed off each edge of the finished panel before blanks are sawn.",
        default="0 in",
        low="0 in",
        high="2 in",
    )
    cleaning_mm: float = column(
        "Cleaning of sawn faces",
        Kind.LENGTH,
        "Taken off a sawn face before it is glued: bookmatched pairs, half rings.",
        default="0.010 in",
        low="0 in",
        high="0.25 in",
    )
    ring_kerf_mm: float = column(
        "Ring saw kerf",
        Kind.LENGTH,
        "Kerf of the saw that cuts rings, square to its blade.",
        default="0.035 in",
        low="0 in",
        high="0.5 in",
    )
    tilt_step_deg: float = column(
        "Tilt step",
        Kind.ANGLE,
        "Smallest step to which the ring saw's table can be tilted; 0 where any tilt can be set.",
        default="0.5 deg",
        low="0",
        high="5",
    )
    tilt_most_deg: float = column(
        "Greatest tilt",
        Kind.ANGLE,
        "How far the ring saw's table tilts from level.",
        default="45 deg",
        low="5",
        high="80",
    )
    turning_mm: float = column(
        "Turning allowance",
        Kind.LENGTH,
        "Wood left outside a bowl's profile for turning, measured level.",
        default="0 in",
        low="0 in",
        high="1 in",
    )
    floor_mm: float = column(
        "Bowl floor",
        Kind.LENGTH,
        "Finished thickness of a bowl's bottom where Bowls says nothing.",
        default="0.375 in",
        low="0.02 in",
        high="4 in",
    )
