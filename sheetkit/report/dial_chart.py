"""Chart of measured against set, with the fitted line: a block of Dial settings."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import Heading, Records, SheetBuilder, Value
from sheetkit.report.charts import COLOURS, MOST_DRAWN, axis_range, place_charts
from sheetkit.report.live import Live
from sheetkit.report.model import Area, Chart, ChartKind, Series
from sheetkit.report.words import estimate_name, legend

FEWEST_FOR_CHART = 3
"""Slices below which a chart shows nothing."""
MOST_LINES = 6
"""Woods drawn; more would not be told apart."""

Record = list[Value]


def dial_chart(sheet: SheetBuilder, results: Results, live: Live) -> None:
    """The chart, and its numbers below it on the same sheet."""
    measure = live.measure
    groups, whole = live.once("groups of the dial chart", lambda: _drawn(_groups(results, measure)))
    if sum(len(rows) for _, rows in groups) < FEWEST_FOR_CHART:
        return
    sheet.new_page()
    sheet.section("Measured against set")
    which = f" Of each wood the last {MOST_DRAWN} slices at each setting are drawn; the lines go by all."
    sheet.line(
        "Points: slices. Lines: what to expect of a wood that was sawn at several settings. Dashed: a slice that "
        "measures what was set. The vertical distance between the two is the offset."
        + ("" if whole else which)
        + (" Since the run drifts, the lines are those of the next cut." if results.learned.followed else "")
    )
    before = len(sheet.sheet.charts)
    place_charts(sheet, [_chart([], [], measure, whole=whole)])
    place = sheet.sheet.charts.pop(before)
    sheet.screen_only()
    sheet.section("Numbers behind the chart")
    series = _numbers(sheet, groups, live)
    shown = [value for _, rows in groups for row in rows for value in row[2:] if isinstance(value, float)]
    chart = _chart(series, shown, measure, whole=whole)
    sheet.sheet.charts.append(replace(chart, row=place.row, column=place.column))


def _groups(results: Results, measure: Measure) -> list[tuple[str, list[Record]]]:
    """Name and rows (name, slice, set, measured, fitted) of each wood and blade, then of what was left out."""
    learned = results.learned
    groups: list[tuple[str, list[Record]]] = []
    for estimate in learned.offsets.estimates[:MOST_LINES]:
        name = estimate_name(estimate)
        own = [one for _, one in learned.used if (one.species, one.blade) == (estimate.species, estimate.blade)]
        rows: list[Record] = [
            [
                name,
                one.name,
                measure.of(one.set_mm),
                measure.of(one.slice_mm),
                measure.of(estimate.expected_mm(one.set_mm)),
            ]
            for one in sorted(own, key=lambda one: one.set_mm)
        ]
        groups.append((name, rows))
    apart: list[Record] = [
        ["left out", item.row.slice, measure.of(item.row.set_mm), measure.of(item.mean_mm), None]
        for item, _ in learned.apart
        if item.row.set_mm is not None and item.mean_mm is not None
    ]
    return [*groups, ("left out", apart)] if apart else groups


def _drawn(groups: Iterable[tuple[str, list[Record]]]) -> tuple[list[tuple[str, list[Record]]], bool]:
    """Of each group the last slices at each setting, as many as are drawn; and whether these are all."""
    drawn, whole = [], True
    for name, rows in groups:
        left = Counter(row[2] for row in rows)
        kept = []
        for row in rows:
            left[row[2]] -= 1
            if left[row[2]] < MOST_DRAWN:
                kept.append(row)
        whole = whole and len(kept) == len(rows)
        drawn.append((name, kept))
    return drawn, whole


def _numbers(sheet: SheetBuilder, groups: Sequence[tuple[str, list[Record]]], live: Live) -> list[Series]:
    measure = live.measure
    unit, fine = measure.unit, measure.fine
    headings = (
        Heading("Wood", note="With the blade, where several are told apart; last the line of measured as set."),
        Heading("Slice", note="As named on Measurements."),
        Heading(f"Set ({unit})", fine, "Set thickness on Measurements."),
        Heading(f"Measured ({unit})", fine, "Mean of the slice's readings."),
        Heading(f"Fitted ({unit})", fine, "Set and offset; with the slope where the slices do not follow the dial."),
    )
    settings = [row[2] for _, rows in groups for row in rows]
    ends = sorted(value for value in settings if isinstance(value, float))
    one_for_one: list[Record] = [["one for one", None, end, end, None] for end in (ends[0], ends[-1])]
    every = (*(row for _, rows in groups for row in rows), *one_for_one)
    area = sheet.table(headings, live.once("records of the dial chart", lambda: Records(every)))
    first = area.first_row if area else 1
    series: list[Series] = []
    for index, (name, rows) in enumerate(groups):
        last, colour = first + len(rows) - 1, COLOURS[index]
        at_set = Area(first, 3, last, 3)
        series.append(Series(legend(name), Area(first, 4, last, 4), at_set, line=False, colour=colour))
        if name != "left out" and len({row[2] for row in rows}) > 1:
            fitted = Area(first, 5, last, 5)
            series.append(Series(legend(f"{name} fitted"), fitted, at_set, markers=False, colour=colour))
        first = last + 1
    dashed = Series("measured as set", Area(first, 4, first + 1, 4), Area(first, 3, first + 1, 3), markers=False,
                    dashed=True, colour="8A8A84")  # fmt: skip
    return [*series, dashed]


def _chart(series: Sequence[Series], shown: Sequence[float], measure: Measure, *, whole: bool) -> Chart:
    return Chart(
        kind=ChartKind.POINTS,
        title="Measured against set" + ("" if whole else f": the last {MOST_DRAWN} slices at each setting"),
        x_title=f"Set ({measure.unit})",
        y_title=f"Measured ({measure.unit})",
        series=series,
        row=1,
        column=1,
        width_mm=190.0,
        height_mm=105.0,
        x_format=measure.axis,
        y_format=measure.axis,
        y_range=axis_range(shown),
    )
