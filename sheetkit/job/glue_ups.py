"""How a panel is glued up: glue to mix, glue-ups within the glue's time, force, clamps and cauls."""

from dataclasses import dataclass
from math import ceil, sqrt

from sheetkit.job.needs import RoughSize
from sheetkit.tables.settings import Shop
from sheetkit.trade.adhesive import assembly_time_at
from sheetkit.trade.glue import GlueUpTimes, glue_mass, glue_up_times, glue_ups, lines_that_fit
from sheetkit.trade.press import (
    air_pressure,
    caul_thickness,
    clamp_spacing,
    clamps_needed,
    press_force,
    pressure_given,
    pressure_short_by,
    vacuum_pressure,
)

MM_PER_M = 1000.0


@dataclass(frozen=True, slots=True)
class GlueToMix:
    """Wet glue.

    Attributes:
        on_wood_g: what goes onto the wood
        to_mix_g: with what stays in pot and roller
    """

    on_wood_g: float
    to_mix_g: float


@dataclass(frozen=True, slots=True)
class Stages:
    """The glue-ups of one panel.

    Attributes:
        limit_s: time the glue gives in this shop, from first spread to full pressure
        fitting: lines that fit that time
        most_lines: lines in one glue-up at most, the maker's own wish counted
        times: each glue-up with its time line; empty where not even one line fits
    """

    limit_s: float
    fitting: int
    most_lines: int
    times: tuple[GlueUpTimes, ...]


@dataclass(frozen=True, slots=True)
class Pressing:
    """Force and pressure on the face of one panel.

    Attributes:
        area_mm2: face as glued
        asked_kpa: pressure wanted
        force_n: force that gives it
        needed: clamps that give that force
        used: clamps that are counted on: those at hand, else those needed
        given_kpa: pressure that these give
        short_kpa: what is missing with them, 0 where nothing is
        vacuum_kpa: pressure of a vacuum bag, by its gauge or at the most
        vacuum_short_kpa: what is missing with it
        rows: rows in which the clamps stand
        spacing_mm: distance between clamps along the panel
        caul_mm: thickness of a caul that spreads their pressure
    """

    area_mm2: float
    asked_kpa: float
    force_n: float
    needed: int
    used: int
    given_kpa: float
    short_kpa: float
    vacuum_kpa: float
    vacuum_short_kpa: float
    rows: int
    spacing_mm: float
    caul_mm: float


def stages_of(layers: int, shop: Shop) -> Stages:
    """Share the layers of a panel out over the fewest glue-ups."""
    limit = assembly_time_at(shop.assembly_s, shop.assembly_at_c, shop.shop_c)
    fitting = lines_that_fit(limit, shop.line_s, shop.closing_s)
    most = fitting if shop.most_lines is None else min(fitting, shop.most_lines)
    times = () if most < 1 else tuple(
        glue_up_times(up, limit, shop.line_s, shop.closing_s, shop.clamp_time_s) for up in glue_ups(layers, most)
    )  # fmt: skip
    return Stages(limit, fitting, most, times)


def glue_to_mix(area_mm2: float, lines: int, shop: Shop) -> GlueToMix:
    """How much glue a number of lines takes."""
    on_wood = glue_mass(area_mm2, lines, shop.spread_gsm, shop.faces_spread)
    return GlueToMix(on_wood, glue_mass(area_mm2, lines, shop.spread_gsm, shop.faces_spread, shop.left_over_pct))


def area_of(rough: RoughSize) -> float | None:
    """Face of the layers as glued, None where a size is not known [mm²]."""
    return None if rough.length_mm is None or rough.width_mm is None else rough.length_mm * rough.width_mm


def pressing_of(rough: RoughSize, shop: Shop) -> Pressing | None:
    """Force, clamps and cauls for one panel; None where its size is not known."""
    area = area_of(rough)
    if area is None or rough.length_mm is None or rough.width_mm is None:
        return None
    force = press_force(shop.pressure_kpa, area)
    needed = clamps_needed(force, shop.clamp_force_n)
    used = shop.clamps or max(needed, 1)
    given = pressure_given(used, shop.clamp_force_n, area)
    altitude_m = shop.altitude_mm / MM_PER_M
    vacuum = air_pressure(altitude_m) if shop.vacuum_kpa is None else vacuum_pressure(shop.vacuum_kpa, altitude_m)
    rows = clamp_rows(used, rough.length_mm, rough.width_mm)
    spacing = clamp_spacing(rough.length_mm, ceil(used / rows))
    return Pressing(
        area_mm2=area,
        asked_kpa=shop.pressure_kpa,
        force_n=force,
        needed=needed,
        used=used,
        given_kpa=given,
        short_kpa=pressure_short_by(shop.pressure_kpa, given),
        vacuum_kpa=vacuum,
        vacuum_short_kpa=pressure_short_by(shop.pressure_kpa, vacuum),
        rows=rows,
        spacing_mm=spacing,
        caul_mm=caul_thickness(spacing, rough.width_mm / rows),
    )


def clamp_rows(clamps: int, length_mm: float, width_mm: float) -> int:
    """Rows of clamps in which each presses a patch that is as nearly square as can be.

    >>> clamp_rows(6, 300.0, 75.0), clamp_rows(12, 300.0, 200.0)
    (1, 3)
    """
    return max(1, min(clamps, round(sqrt(clamps * width_mm / length_mm))))
