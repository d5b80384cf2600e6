"""Charts of the runs: the slices in the order of sawing with target, tolerance and control limits."""

from sheetkit.job.measure import Measure
from sheetkit.job.process import Run
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.charts import (
    CONTROL_COLOUR,
    MOST_DRAWN,
    TARGET_COLOUR,
    TOLERANCE_COLOUR,
    axis_range,
    place_charts,
)
from sheetkit.report.live import Live
from sheetkit.report.model import Area, Chart, ChartKind, Look, ReportCell, Series
from sheetkit.report.process import run_name
from sheetkit.report.process_tables import means_of

FEWEST_FOR_CHART = 3
"""Slices below which a chart shows nothing."""

LINES = (
    ("Target", TARGET_COLOUR),
    ("Tolerance low", TOLERANCE_COLOUR),
    ("Tolerance high", TOLERANCE_COLOUR),
    ("Control limit low", CONTROL_COLOUR),
    ("Control limit high", CONTROL_COLOUR),
)


def charted(runs: list[Run]) -> list[Run]:
    """The runs that are drawn."""
    return [run for run in runs if run.chart is not None and len(run.values_mm) >= FEWEST_FOR_CHART]


def run_charts(sheet: SheetBuilder, runs: list[Run], live: Live) -> None:
    """The charts, one a run; their numbers stand below them on the same sheet."""
    measure = live.measure
    drawn = charted(runs)
    if not drawn:
        return
    sheet.new_page()
    sheet.section("Slices in the order of sawing")
    sheet.line("Each point is the mean of a slice. Dashed: target, tolerance, and the control limits of the run.")
    if any(_left_out(run) for run in drawn):
        sheet.line(
            f"Of a run of more than {MOST_DRAWN} slices the last {MOST_DRAWN} are drawn. Limits, capability, rules and "
            "every other figure go by all of its slices."
        )
    # The charts come first on the sheet, but take their numbers from below: their room is kept, then filled.
    before = len(sheet.sheet.charts)
    place_charts(sheet, [_chart(run, measure, Area(1, 1, 1, 1)) for run in drawn])
    places = [(chart.row, chart.column) for chart in sheet.sheet.charts[before:]]
    del sheet.sheet.charts[before:]
    sheet.screen_only()
    sheet.section("Numbers behind the charts")
    for run, (row, column) in zip(drawn, places, strict=True):
        area = _numbers(sheet, run, live)
        sheet.sheet.charts.append(_chart(run, measure, area, row, column))


def _numbers(sheet: SheetBuilder, run: Run, live: Live) -> Area:
    measure = live.measure
    sheet.line(run_name(run, measure), Look.STRONG)
    unit, fine = measure.unit, measure.fine
    headings = [
        Heading("Slice", note="In the order of sawing."),
        Heading(f"Thickness ({unit})", fine, "Mean of the slice's readings."),
    ]
    headings += [Heading(f"{name} ({unit})", fine, "A line of the chart, alike for all slices.") for name, _ in LINES]
    lines = [ReportCell(length, number_format=fine) for length in _lines(run, measure)]
    records: list[list[Value]] = [
        [item.row.slice, Figure(measure.of(value), formula), *lines]
        for item, value, formula in zip(
            run.slices[-MOST_DRAWN:], run.values_mm[-MOST_DRAWN:], means_of(run, live, last=MOST_DRAWN), strict=True
        )
    ]
    area = sheet.table(headings, records)
    sheet.blank()
    return area or Area(1, 1, 1, 1)


def _left_out(run: Run) -> bool:
    return len(run.values_mm) > MOST_DRAWN


def _lines(run: Run, measure: Measure) -> list[float]:
    chart = run.chart
    limits = (chart.lower, chart.upper) if chart else (run.lower_mm, run.upper_mm)
    return [measure.of(length) for length in (run.target_mm, run.lower_mm, run.upper_mm, *limits)]


def _chart(run: Run, measure: Measure, area: Area, row: int = 1, column: int = 1) -> Chart:
    def values(number: int) -> Area:
        return Area(area.first_row, number, area.last_row, number)

    names = values(1)
    series = [Series("Slice", values(2), names, colour="2F4B5C")]
    series += [
        Series(name, values(number), names, markers=False, dashed=True, colour=colour)
        for number, (name, colour) in enumerate(LINES, start=3)
    ]
    shown = [*(measure.of(value) for value in run.values_mm[-MOST_DRAWN:]), *_lines(run, measure)]
    which = f": the last {MOST_DRAWN:,} of {len(run.values_mm):,}" if _left_out(run) else ""
    return Chart(
        kind=ChartKind.LINE,
        title=f"{run_name(run, measure)}, in the order of sawing{which}",
        x_title="Slice",
        y_title=f"Thickness ({measure.unit})",
        series=series,
        row=row,
        column=column,
        width_mm=145.0,
        height_mm=85.0,
        y_format=measure.fine,
        y_range=axis_range(shown),
    )
