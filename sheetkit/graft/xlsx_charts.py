"""Charts of a result sheet as native, editable charts of .xlsx."""

import re
from collections.abc import Sequence
from datetime import date, datetime
from types import MethodType
from typing import Any, Final
from xml.sax.saxutils import escape

from xlsxwriter.chart import Chart as NativeChart
from xlsxwriter.workbook import Workbook

from sheetkit.graft.looks import CHART_AXIS, CHART_GRID, CHART_TEXT, series_colour
from sheetkit.graft.xlsx_values import cell_text, plain_text, plain_value
from sheetkit.report.model import Area, Chart, ChartKind, ReportCell, ReportSheet, Series

_LIKE_A_CELL: Final = re.compile(r"!(?=\$?[A-Z]+\$?\d)")

_KINDS: Final = {
    ChartKind.LINE: {"type": "line"},
    ChartKind.POINTS: {"type": "scatter", "subtype": "straight_with_markers"},
    ChartKind.COLUMNS: {"type": "column"},
    ChartKind.BARS: {"type": "bar"},
    ChartKind.STACKED_BARS: {"type": "bar", "subtype": "stacked"},
    ChartKind.SHARES: {"type": "pie"},
}
_DRAWN_BY_LINE: Final = {ChartKind.LINE, ChartKind.POINTS}
_LYING: Final = {ChartKind.BARS, ChartKind.STACKED_BARS}
_MARKERS: Final = ("circle", "square", "diamond", "triangle", "x", "plus")


def native_chart(workbook: Workbook, tab: str, sheet: ReportSheet, chart: Chart, font: str) -> NativeChart:
    """The chart, ready to be put on its sheet.

    Args:
        workbook: where the chart lives
        tab: name of the sheet's tab
        sheet: holds the chart and its numbers
        chart: what to draw
        font: family of the type
    """
    native = workbook.add_chart(dict(_KINDS[chart.kind]))
    native._write_num_cache = MethodType(_write_numbers, native)
    native._write_str_cache = MethodType(_write_texts, native)
    for index, series in enumerate(chart.series):
        native.add_series(_series(tab, sheet, chart.kind, series, index))
    native.set_title({"name": _words(chart.title), "overlay": False, "name_font": _type(font, 11, bold=True)})
    native.set_legend({"none": True} if _needs_no_legend(chart) else {"position": "bottom", "font": _type(font, 9)})
    native.set_chartarea({"border": {"color": f"#{CHART_GRID}"}, "fill": {"color": "#FFFFFF"}})
    native.set_plotarea({"fill": {"none": True}})
    native.show_blanks_as("gap")
    if chart.kind != ChartKind.SHARES:
        _set_axes(native, sheet, chart, font)
    return native


def _needs_no_legend(chart: Chart) -> bool:
    return len(chart.series) == 1 and chart.kind != ChartKind.SHARES


def _set_axes(native: NativeChart, sheet: ReportSheet, chart: Chart, font: str) -> None:
    """The axis of the categories lies and that of the values stands, except where the bars lie."""
    grid = {"visible": True, "line": {"color": f"#{CHART_GRID}", "width": 0.5}}
    none = {"visible": False}
    across = _axis(chart.x_title, chart.x_format, font) | {"major_gridlines": none}
    up = _axis(chart.y_title, chart.y_format, font) | {"major_gridlines": grid}
    if chart.y_range is not None:
        up |= {"min": chart.y_range[0], "max": chart.y_range[1]}
    elif chart.kind not in _DRAWN_BY_LINE and not _goes_below_zero(sheet, chart):
        up |= {"min": 0}
    across |= {"label_position": "low"}
    if chart.kind in _LYING:
        # The first bar on top; without the crossing the numbers would stand on top as well.
        native.set_y_axis(across | {"reverse": True, "crossing": "max"})
        native.set_x_axis(up)
    else:
        native.set_x_axis(across)
        native.set_y_axis(up)


def _goes_below_zero(sheet: ReportSheet, chart: Chart) -> bool:
    values = [value for series in chart.series for value in _data(sheet, series.values)]
    return any(not isinstance(value, str) and value is not None and value < 0 for value in values)


def _axis(title: str, number_format: str, font: str) -> dict[str, Any]:
    axis: dict[str, Any] = {
        "name": _words(title),
        "name_font": _type(font, 9),
        "num_font": _type(font, 9),
        "line": {"color": f"#{CHART_AXIS}"},
        "major_tick_mark": "outside",
        "minor_tick_mark": "none",
    }
    return axis | ({"num_format": number_format} if number_format != "General" else {})


def _series(tab: str, sheet: ReportSheet, kind: ChartKind, series: Series, index: int) -> dict[str, Any]:
    colour = f"#{series_colour(index, series.colour)}"
    native: dict[str, Any] = {
        "name": _words(series.name),
        "values": _place(tab, series.values),
        "values_data": _data(sheet, series.values),
    }
    if series.categories is not None:
        native |= {
            "categories": _place(tab, series.categories),
            "categories_data": _data(sheet, series.categories),
        }
    if kind in _DRAWN_BY_LINE:
        return native | _drawn_by_line(series, colour, index)
    if kind == ChartKind.SHARES:
        count = len(native["values_data"])
        points = [{"fill": {"color": f"#{series_colour(each, None)}"}} for each in range(count)]
        labels = {"percentage": True, "leader_lines": True, "position": "outside_end"}
        return native | {"points": points, "data_labels": labels}
    fill = {"fill": {"color": colour}, "border": {"color": "#FFFFFF", "width": 0.5}}
    return native | fill | {"gap": 60}


def _drawn_by_line(series: Series, colour: str, index: int) -> dict[str, Any]:
    line: dict[str, Any] = {"color": colour, "width": 1.5} if series.line else {"none": True}
    if series.line and series.dashed:
        line["dash_type"] = "dash"
    marker: dict[str, Any] = {"type": "none"}
    if series.markers:
        shape = _MARKERS[index % len(_MARKERS)]
        marker = {"type": shape, "size": 5, "fill": {"color": colour}, "border": {"color": colour}}
    return {"line": line, "marker": marker}


def _place(tab: str, area: Area) -> list[str | int]:
    return [tab, area.first_row - 1, area.first_column - 1, area.last_row - 1, area.last_column - 1]


def _data(sheet: ReportSheet, area: Area) -> list[str | float | None]:
    """The values that a program shows until it has read the cells."""
    columns = range(area.first_column - 1, area.last_column)
    missing: list[list[ReportCell | None]] = [[]] * max(0, area.last_row - len(sheet.rows))
    return [
        _cached(cells[column] if column < len(cells) else None)
        for cells in (*sheet.rows[area.first_row - 1 : area.last_row], *missing)
        for column in columns
    ]


def _cached(cell: ReportCell | None) -> str | float | None:
    if cell is None:
        return None
    value = plain_value(cell.value)
    if value.__class__ is float:
        return value
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, date):
        return _days(value)
    return cell_text(value) if isinstance(value, str) else value


def _write_numbers(native: NativeChart, data: Sequence[str | float | None]) -> None:
    """Write the numbers that a program shows until it has read the cells; the library takes ten times as long."""
    points = [
        f'<c:pt idx="{index}"><c:v>{0 if isinstance(value, str) else value}</c:v></c:pt>'
        for index, value in enumerate(data)
        if value is not None
    ]
    head = f'<c:formatCode>General</c:formatCode><c:ptCount val="{len(data)}"/>'
    native.fh.write(f"<c:numCache>{head}{''.join(points)}</c:numCache>")


def _write_texts(native: NativeChart, data: Sequence[str | float | None]) -> None:
    """The same for labels."""
    points = [
        f'<c:pt idx="{index}"><c:v>{escape(str(value))}</c:v></c:pt>'
        for index, value in enumerate(data)
        if value is not None
    ]
    native.fh.write(f'<c:strCache><c:ptCount val="{len(data)}"/>{"".join(points)}</c:strCache>')


def _days(value: date) -> float:
    moment = value if isinstance(value, datetime) else datetime(value.year, value.month, value.day)  # noqa: DTZ001
    since = moment.replace(tzinfo=None) - datetime(1899, 12, 30)  # noqa: DTZ001 # the serial's day zero is naive
    return since.days + since.seconds / 86_400


def _type(font: str, size_pt: float, *, bold: bool = False) -> dict[str, Any]:
    return {"name": font, "size": size_pt, "bold": bold, "color": f"#{CHART_TEXT}"}


def _words(text: str) -> str:
    """A name for XlsxWriter, which takes ``Rack!A1`` for a cell; an invisible word joiner keeps it a text."""
    return _LIKE_A_CELL.sub("!\N{WORD JOINER}", plain_text(text))
