"""The settings of glue, press and air, which stand on Shop below those of the saw.

Bounds catch slips of typing only; what is usual stands in the help, and the adhesive's data sheet comes before both.
"""

from dataclasses import dataclass

from sheetkit.tables.columns import Kind, column

SHEET_FIRST = "Follow the adhesive's data sheet."


@dataclass(frozen=True, kw_only=True)
class Gluing:
    """What the glue, the clamps and the air of the shop are like."""

    glue_line_mm: float = column(
        "Glue line",
        Kind.THICKNESS,
        "Thickness of one glue line in the pressed panel; 0.002 to 0.006 in is usual.",
        default="0.003 in",
        low="0 in",
        high="0.05 in",
    )
    spread_gsm: float = column(
        "Glue spread",
        Kind.SPREAD,
        "Wet glue on one spread face. A figure for a single glue line counts the line once: leave Faces spread at 1. "
        f"Usual: 146 to 244 g/m2 (30 to 50 lb/1000 ft2). {SHEET_FIRST}",
        default="220 g/m2",
        synonyms=("Spread", "Spread rate", "Coverage"),
        low="10 g/m2",
        high="1500 g/m2",
    )
    faces_spread: int = column(
        "Faces spread",
        Kind.COUNT,
        "1 where one face of each line is spread, 2 where both are.",
        default="1",
        low="1",
        high="2",
    )
    left_over_pct: float = column(
        "Glue left over",
        Kind.PERCENT,
        "Share of the mixed glue that stays in pot and roller.",
        default="10 %",
        synonyms=("Glue waste",),
        low="0",
        high="90",
    )
    glue_water_pct: float = column(
        "Water in glue",
        Kind.PERCENT,
        "Share of the wet glue that is water; 0 for a glue without water. Usual: 45 to 55 % where it holds water. "
        f"{SHEET_FIRST}",
        default="50 %",
        synonyms=("Water share", "Glue water"),
        low="0",
        high="90",
    )
    glue_density_g_ml: float = column(
        "Glue density",
        Kind.NUMBER,
        "Grams in a millilitre of wet glue. Usual: 1.05 to 1.15.",
        default="1.10",
        low="0.5",
        high="3",
    )
    assembly_s: float = column(
        "Assembly time",
        Kind.DURATION,
        f"From the first spread to full pressure. Usual: 5 to 20 min, less when hot or dry. {SHEET_FIRST}",
        default="10 min",
        synonyms=("Open time", "Working time", "Time to full pressure"),
        low="20 s",
        high="48 h",
    )
    assembly_at_c: float = column(
        "Assembly time stated at",
        Kind.TEMPERATURE,
        "Temperature for which the data sheet states that time. A warmer shop shortens it; a colder one never adds.",
        default="21 °C",
        low="-10 °C",
        high="60 °C",
    )
    line_s: float = column(
        "Time per layer",
        Kind.DURATION,
        "To spread one line and lay its layer.",
        default="20 s",
        synonyms=("Time per line", "Spreading time"),
        units=("s", "s"),
        low="1 s",
        high="1 h",
    )
    closing_s: float = column(
        "Closing time",
        Kind.DURATION,
        "From the last layer laid to full pressure.",
        default="60 s",
        synonyms=("Time to close",),
        units=("s", "s"),
        low="0 s",
        high="2 h",
    )
    most_lines: int | None = column(
        "Most lines at once",
        Kind.COUNT,
        "Most glue lines in one glue-up, if you want fewer than the time allows.",
        synonyms=("Lines per glue-up",),
        low="1",
        high="10000",
    )
    pressure_kpa: float = column(
        "Glue pressure",
        Kind.PRESSURE,
        "Pressure wanted on the face. Published figures disagree: 50 to 150 psi on softwood, 100 to 250 psi on "
        f"hardwood. {SHEET_FIRST}",
        default="1034 kPa",
        synonyms=("Clamping pressure", "Press pressure"),
        low="1 kPa",
        high="7000 kPa",
    )
    clamp_force_n: float = column(
        "Force of a clamp",
        Kind.FORCE,
        "What one clamp presses with when you tighten it, by its maker or a scale.",
        default="4448 N",
        synonyms=("Clamp force", "Force per clamp"),
        low="50 N",
        high="500 kN",
    )
    clamps: int | None = column(
        "Clamps",
        Kind.COUNT,
        "How many such clamps you have for one panel. Empty: the sheet says how many it takes.",
        synonyms=("Number of clamps",),
        low="0",
        high="1000",
    )
    vacuum_kpa: float | None = column(
        "Vacuum",
        Kind.PRESSURE,
        "What the gauge of your vacuum bag shows, if you have one (25 inches of mercury are 12.3 psi).",
        synonyms=("Vacuum gauge", "Bag pressure"),
        low="0 kPa",
        high="102 kPa",
    )
    altitude_mm: float = column(
        "Altitude",
        Kind.LENGTH,
        "Of the shop above the sea: the air presses less on a vacuum bag there.",
        default="0 ft",
        synonyms=("Elevation",),
        units=("ft", "m"),
        low="-1500 ft",
        high="20000 ft",
    )
    clamp_time_s: float = column(
        "Clamp time",
        Kind.DURATION,
        f"Under pressure before the clamps come off. Usual: 30 to 60 min, a day for full cure. {SHEET_FIRST}",
        default="60 min",
        synonyms=("Press time",),
        low="30 s",
        high="14 d",
    )
    rest_s: float = column(
        "Least rest",
        Kind.DURATION,
        f"From the last glue-up to machining, at least. About a week is usual. {SHEET_FIRST}",
        default="7 d",
        synonyms=("Rest", "Curing time", "Days of rest"),
        units=("d", "d"),
        low="0 d",
        high="365 d",
    )
    slip_mm: float = column(
        "Slip allowance",
        Kind.LENGTH,
        "Added at each end and edge of the layers for slipping on wet glue: the worst you have measured.",
        default="0 in",
        synonyms=("Slip",),
        low="0 in",
        high="2 in",
    )
    surface_limit_s: float = column(
        "Oldest surface",
        Kind.DURATION,
        f"Longest time from surfacing to gluing, mostly for dense and oily woods. {SHEET_FIRST}",
        default="60 min",
        synonyms=("Surface age limit",),
        low="1 min",
        high="60 d",
    )
    wettest_pct: float = column(
        "Wettest wood",
        Kind.PERCENT,
        f"Most moisture at which a board may be glued. Usual: 9 to 12 %. {SHEET_FIRST}",
        default="11 %",
        synonyms=("Moisture limit",),
        low="3",
        high="30",
    )
    driest_pct: float = column(
        "Driest wood",
        Kind.PERCENT,
        f"Least moisture at which a board should be glued. Usual: 4 to 7 %. {SHEET_FIRST}",
        default="6 %",
        low="0",
        high="20",
    )
    moisture_apart_pct: float = column(
        "Moisture apart",
        Kind.PERCENT,
        "Most that the moisture of two boards of one panel should differ, in points.",
        default="2 %",
        low="0",
        high="20",
    )
    shop_c: float = column(
        "Shop temperature",
        Kind.TEMPERATURE,
        "Of air, wood and glue when you glue.",
        default="21 °C",
        low="-10 °C",
        high="50 °C",
    )
    shop_humidity_pct: float = column(
        "Shop humidity",
        Kind.PERCENT,
        "Relative humidity of the air in the shop.",
        default="45 %",
        low="5",
        high="95",
    )
