"""Mean, range, tapers and bow of a slice as formulas over its readings on Measurements."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import isclose
from statistics import fmean

from openpyxl.utils.cell import quote_sheetname

from sheetkit.job.measured import CORNERS
from sheetkit.reading.xlsx_names import LAST_ROW, split_address
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
    if not found:
        return ShapeFormulas()
    numbers = [number for _, number in found.values()]
    mean, middle = live.measure.of(shape.mean_mm), fmean(numbers)
    fitting = (pair for pair in live.fine_factors if isclose(middle * pair[0], mean, rel_tol=1e-7))
    factor, written = next(fitting, (0.0, None))
    if written is None:
        return ShapeFormulas()
    own = str(row.place.row)
    columns = tuple((name, address.removesuffix(own)) for name, (address, _) in found.items())
    pattern = _pattern(columns, written)
    if pattern.mean is None:
        return pattern

    def agreeing(formula: str | None, of_formula: float, engine_mm: float | None) -> str | None:
        if formula is None or engine_mm is None:
            return None
        return agreed(formula.replace(_ANY_ROW, own), of_formula, live.measure.of(engine_mm))

    spread = (max(numbers) - min(numbers)) * factor
    # Of a slice that lacks a corner the pattern has no formula for what follows.
    a, b, c, d, bowed = (found.get(name, ("", 0.0))[1] for name in (*CORNERS, "middle_mm"))
    return ShapeFormulas(
        mean=pattern.mean.replace(_ANY_ROW, own),
        spread=agreeing(pattern.spread, spread, shape.range_mm),
        end_taper=agreeing(pattern.end_taper, (c + d - a - b) / 2 * factor, shape.end_taper_mm),
        side_taper=agreeing(pattern.side_taper, (b + d - a - c) / 2 * factor, shape.side_taper_mm),
        bow=agreeing(pattern.bow, (bowed - (a + b + c + d) / 4) * factor, shape.bow_mm),
    )


_ANY_ROW = str(LAST_ROW)
"""Stands for the row in formulas that are alike in every row."""


@lru_cache(maxsize=256)
def _pattern(columns: tuple[tuple[str, str], ...], factor: str) -> ShapeFormulas:
    """The formulas over cells of one row, by field and column; those of other rows differ in the row alone."""
    cells = {name: f"{column}{_ANY_ROW}" for name, column in columns}
    arguments = joined(list(cells.values()))
    if arguments is None:
        return ShapeFormulas()
    mean, spread = f"AVERAGE({arguments}){factor}", f"(MAX({arguments})-MIN({arguments})){factor}"
    if any(corner not in cells for corner in CORNERS):
        return ShapeFormulas(mean, spread)
    nl, nr, fl, fr = (cells[corner] for corner in CORNERS)
    return ShapeFormulas(
        mean,
        spread,
        end_taper=f"({fl}+{fr}-{nl}-{nr})/2{factor}",
        side_taper=f"({nr}+{fr}-{nl}-{fl})/2{factor}",
        bow=f"({cells['middle_mm']}-({nl}+{nr}+{fl}+{fr})/4){factor}" if "middle_mm" in cells else None,
    )


@lru_cache(maxsize=64)
def _quoted(sheet: str) -> str:
    return str(quote_sheetname(sheet))


def _readings(row: Measurement, live: Live) -> dict[str, tuple[str, float]] | None:
    """Address and number of each reading, by field; None where a cell holds no plain number."""
    place, sheet = row.place, _quoted(row.place.sheet)
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
    first, _, last = further.partition(":")
    (top, left), (bottom, right) = split_address(first), split_address(last or first)
    numbers = live.sources.numbers(place.sheet, Area(top, left, bottom, right))
    if numbers is None or len(numbers) != len(row.readings_mm):
        return None
    addresses: Sequence[tuple[str, float]] = numbers
    return found | {f"reading {n}": (f"{sheet}!{at}", x) for n, (at, x) in enumerate(addresses)}
