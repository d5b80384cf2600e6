"""Mean, range, tapers and bow of a slice as formulas over its readings on Measurements."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isclose
from statistics import fmean

from openpyxl.utils.cell import quote_sheetname, range_boundaries

from sheetkit.job.measured import CORNERS
from sheetkit.report.live import Live, agreed, joined
from sheetkit.report.model import Area
from sheetkit.tables.rows import Measurement
from sheetkit.trade.thickness import Shape


@dataclass(frozen=True, slots=True)
class ShapeFormulas:
    """Formulas for the form of one slice; None where its readings are no plain numbers, or some are missing."""

    mean: str | None = None
    spread: str | None = None
    end_taper: str | None = None
    side_taper: str | None = None
    bow: str | None = None


def shape_formulas(row: Measurement, shape: Shape | None, live: Live) -> ShapeFormulas:
    """The formulas of a slice that was read by itself.

    Args:
        row: its row on Measurements
        shape: what the engine found
        live: the cells that formulas may build upon
    """
    if shape is None or row.pressed != 1:
        return ShapeFormulas()
    found = _readings(row, live)
    if found is None or not found:
        return ShapeFormulas()
    numbers = [number for _, number in found.values()]
    mean = live.measure.of(shape.mean_mm)
    factors = (written for factor, written in live.fine_factors if isclose(fmean(numbers) * factor, mean, rel_tol=1e-7))
    factor, arguments = next(factors, None), joined([address for address, _ in found.values()])
    if factor is None or arguments is None:
        return ShapeFormulas()
    scale = {written: each for each, written in live.fine_factors}[factor]
    spread = (max(numbers) - min(numbers)) * scale
    return ShapeFormulas(
        mean=f"AVERAGE({arguments}){factor}",
        spread=_agreed(f"(MAX({arguments})-MIN({arguments})){factor}", spread, shape.range_mm, live),
        **_tapers(found, scale, factor, shape, live),
    )


def _tapers(
    found: dict[str, tuple[str, float]], scale: float, factor: str, shape: Shape, live: Live
) -> dict[str, str | None]:
    corners = [found.get(corner) for corner in CORNERS]
    four = [corner for corner in corners if corner is not None]
    if len(four) < len(CORNERS):
        return {}
    (nl, a), (nr, b), (fl, c), (fr, d) = four
    end, side = (c + d - a - b) / 2 * scale, (b + d - a - c) / 2 * scale
    tapers = {
        "end_taper": _agreed(f"({fl}+{fr}-{nl}-{nr})/2{factor}", end, shape.end_taper_mm, live),
        "side_taper": _agreed(f"({nr}+{fr}-{nl}-{fl})/2{factor}", side, shape.side_taper_mm, live),
    }
    middle = found.get("middle_mm")
    if middle is None:
        return tapers
    bow = (middle[1] - (a + b + c + d) / 4) * scale
    formula = f"({middle[0]}-({nl}+{nr}+{fl}+{fr})/4){factor}"
    return tapers | {"bow": _agreed(formula, bow, shape.bow_mm, live)}


def _agreed(formula: str, of_formula: float, engine_mm: float | None, live: Live) -> str | None:
    return None if engine_mm is None else agreed(formula, of_formula, live.measure.of(engine_mm))


def _readings(row: Measurement, live: Live) -> dict[str, tuple[str, float]] | None:
    """Address and number of each reading, by field; None where a cell holds no plain number."""
    place, sheet = row.place, quote_sheetname(row.place.sheet)
    found: dict[str, tuple[str, float]] = {}
    for name in (*CORNERS, "middle_mm"):
        if getattr(row, name) is not None:
            address = place.cells.get(name, "")
            number = live.sources.number(place.sheet, address)
            if number is None:
                return None
            found[name] = f"{sheet}!{address}", number
    further = place.cells.get("readings_mm")
    if not row.readings_mm or further is None:
        return found if not row.readings_mm else None
    left, top, right, bottom = (each or 1 for each in range_boundaries(further))
    numbers = live.sources.numbers(place.sheet, Area(top, left, bottom, right))
    if numbers is None or len(numbers) != len(row.readings_mm):
        return None
    addresses: Sequence[tuple[str, float]] = numbers
    return found | {f"reading {n}": (f"{sheet}!{at}", x) for n, (at, x) in enumerate(addresses)}
