"""What has to be known about an adhesive: settings with the range usual in the trade; its data sheet comes first."""

from dataclasses import dataclass

FOLLOW_THE_DATA_SHEET = "follow the adhesive's data sheet"


@dataclass(frozen=True, slots=True)
class Range:
    """What is usual for a figure of an adhesive.

    Attributes:
        low: least that is usual, in the unit of the figure [any]
        high: most that is usual, in the unit of the figure [any]
        unit: the unit both are in
        source: where the range comes from
    """

    low: float
    high: float
    unit: str
    source: str


PRACTICE = "common practice, no source"
USUAL = {
    "spread_gsm": Range(146.0, 244.0, "g/m²", PRACTICE + ": 30 to 50 lb per 1000 ft² of single line"),
    "solids_share": Range(0.45, 1.0, "share", PRACTICE + ": 0.45 to 0.55 where the adhesive holds water, 1 where not"),
    "density_g_ml": Range(1.05, 1.15, "g/mL", PRACTICE),
    "assembly_time_s": Range(
        300.0, 1200.0, "s", PRACTICE + ": 10 to 20 min in all at 70 °F and 50 %; less when hot or dry"
    ),
    "pressure_kpa": Range(
        345.0,
        1724.0,
        "kPa",
        "published shop figures disagree: softwood 50 to 75 or 100 to 150 psi, hardwood 100 to 150 or 175 to 250 psi",
    ),
    "clamp_time_s": Range(1800.0, 86400.0, "s", PRACTICE + ": 30 to 60 min unstressed, a day for full cure"),
    "rest_days": Range(1.0, 28.0, "days", PRACTICE),
    "wettest_pct": Range(9.0, 12.0, "%", PRACTICE),
    "driest_pct": Range(4.0, 7.0, "%", PRACTICE),
    "surface_age_s": Range(900.0, 86400.0, "s", PRACTICE),
    "line_mm": Range(
        0.05, 0.15, "mm", "trade-journal column by a university wood scientist on gluing pressure: 0.002 to 0.006 in"
    ),
}
"""The usual range of each figure; a figure outside is used as given, with a remark."""


def assembly_time_at(stated_s: float, stated_c: float, shop_c: float, halving_c: float = 10.0) -> float:
    """Estimate the time to full pressure in a shop warmer than the data sheet assumes; never longer than stated [s].

    Args:
        stated_s: time that the data sheet states, > 0 [s]
        stated_c: temperature it is stated for [°C]
        shop_c: temperature of shop, wood and adhesive [°C]
        halving_c: rise of temperature that halves the time, > 0 [K]

    Source: common practice, no source: drying and setting about double in speed for 10 K; the data sheet comes first.

    >>> assembly_time_at(stated_s=600.0, stated_c=20.0, shop_c=30.0)
    300.0
    >>> assembly_time_at(stated_s=600.0, stated_c=20.0, shop_c=12.0)
    600.0
    """
    return float(stated_s * min(1.0, 0.5 ** ((shop_c - stated_c) / halving_c)))
