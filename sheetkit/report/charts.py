"""What the charts of the result sheets share: colours, axes, and room on the sheet."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor, log10

from sheetkit.report.builder import SheetBuilder
from sheetkit.report.model import Chart

COLOURS = ("2F4B5C", "C58A2E", "5E8A6A", "9B4438", "8FA6B5", "7A5C3E", "B7A6C2", "3F3F3B")
"""Colours for points that go with a line of the same colour."""
TARGET_COLOUR, TOLERANCE_COLOUR, CONTROL_COLOUR = "5E8A6A", "9B4438", "C58A2E"

STACKED = ("2F4B5C", "C58A2E", "F0E4C8", "5E8A6A", "B9BDB5")
"""Colours of parts that lie beside one another in a bar: no two are alike in a print in grey, neighbours least."""

MOST_DRAWN = 200
"""Slices of one kind in a chart and in its numbers, the last ones sawn: more points than that hide one another."""

LOWEST_ROW_MM = 4.4
"""Height of a row where it is least, so that what follows never lies under a chart."""
TALLEST_MM = 165.0
"""Height that a page which lies across has room for in every program and on both papers."""
CHARACTER_MM, PADDING_MM, GAP_MM = 1.85, 1.3, 4.0
"""Width of a character of a column, what every column has besides, and room between two charts."""


def axis_range(values: Sequence[float]) -> tuple[float, float] | None:
    """Round ends for an axis that shows these values; None without values.

    >>> axis_range([0.0571, 0.0583, 0.0530, 0.0570])
    (0.052, 0.059)
    """
    if not values:
        return None
    low, high = min(values), max(values)
    span = high - low or abs(high) * 0.1 or 1.0
    power = 10.0 ** floor(log10(span / 5))
    step = next(power * times for times in (1, 2, 5, 10) if span / (power * times) <= 6)
    decimals = max(0, 2 - floor(log10(step)))
    return round(floor(low / step - 0.25) * step, decimals), round(ceil(high / step + 0.25) * step, decimals)


def place_charts(sheet: SheetBuilder, charts: Sequence[Chart]) -> None:
    """Put charts below what stands on the sheet, side by side while the columns reach, and leave them their room."""
    row, column, height = sheet.next_row, 1, 0.0
    for chart in charts:
        if column > len(sheet.sheet.column_widths):
            row, column, height = row + _rows(height), 1, 0.0
        if column > 1 and not _fits(sheet, chart, column):
            row, column, height = row + _rows(height), 1, 0.0
        sheet.sheet.charts.append(replace(chart, row=row, column=column))
        height = max(height, chart.height_mm)
        column = _first_column_beyond(sheet, column, chart.width_mm + GAP_MM)
    last = row + _rows(height) if charts else row
    while sheet.next_row < last:
        sheet.blank()


def _rows(height_mm: float) -> int:
    return ceil(height_mm / LOWEST_ROW_MM) + 1


def _width_mm(sheet: SheetBuilder, column: int) -> float:
    return sheet.sheet.column_widths[column - 1] * CHARACTER_MM + PADDING_MM


def _fits(sheet: SheetBuilder, chart: Chart, column: int) -> bool:
    columns = range(column, len(sheet.sheet.column_widths) + 1)
    return sum(_width_mm(sheet, each) for each in columns) >= chart.width_mm


def _first_column_beyond(sheet: SheetBuilder, column: int, width_mm: float) -> int:
    while width_mm > 0 and column <= len(sheet.sheet.column_widths):
        width_mm -= _width_mm(sheet, column)
        column += 1
    return column
