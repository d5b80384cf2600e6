"""Charts as documents of their own inside an .ods package, with their numbers taken from the sheet's cells.

Source: OASIS OpenDocument 1.3 part 3, chapters 11 (charts) and 20 (their formatting).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import zip_longest
from xml.sax.saxutils import escape

from odf import chart as od
from odf import draw, office, text
from odf import table as tables
from odf.element import Element
from odf.namespaces import LOEXTNS, OFFICENS, TABLENS, TEXTNS
from odf.style import ChartProperties, GraphicProperties, Style, TextProperties
from openpyxl.utils.cell import get_column_letter

from sheetkit.graft.looks import CHART_AXIS, CHART_GRID, CHART_TEXT, series_colour
from sheetkit.graft.ods_formats import number_styles
from sheetkit.graft.ods_formula import quoted_sheet
from sheetkit.graft.ods_fragment import TEXT_ESCAPES, Raw, fragment
from sheetkit.graft.ods_styles import mm
from sheetkit.graft.ods_table import address
from sheetkit.report.model import Area, Chart, ChartKind, ReportSheet, Series

CHART_TYPE = "application/vnd.oasis.opendocument.chart"

_VERSION = "1.2"
_DASH = "dashed"
_SYMBOLS = ("circle", "square", "diamond", "arrow-up", "x", "plus", "asterisk", "arrow-down")
_CLASSES = {
    ChartKind.LINE: "chart:line",
    ChartKind.POINTS: "chart:scatter",
    ChartKind.COLUMNS: "chart:bar",
    ChartKind.BARS: "chart:bar",
    ChartKind.STACKED_BARS: "chart:bar",
    ChartKind.SHARES: "chart:circle",
}
_LYING = (ChartKind.BARS, ChartKind.STACKED_BARS)
_LINES = (ChartKind.LINE, ChartKind.POINTS)
_XML = '<?xml version="1.0" encoding="UTF-8"?>\n'


@dataclass(slots=True)
class _Plan:
    """One chart being drawn.

    Attributes:
        sheet: the sheet it stands on
        chart: what is drawn
        tab: name of that sheet's tab
        styles: where its styles go
        saying: where texts stand on that sheet
    """

    sheet: ReportSheet
    chart: Chart
    tab: str
    styles: Element
    saying: "Saying"

    def style(self, name: str, *properties: Element, number: str | None = None) -> str:
        """Keep a style of that name and give the name."""
        data_style = {} if number is None else {"datastylename": number}
        style = Style(name=name, family="chart", **data_style)
        for each in properties:
            style.addElement(each)
        self.styles.addElement(style)
        return name


Saying = Mapping[str, Sequence[tuple[int, int]]]
"""Rows and columns, from 1, of the cells that say a text."""


def saying_names(sheet: ReportSheet) -> Saying:
    """Where a sheet says the names of its charts' series."""
    found: dict[str, list[tuple[int, int]]] = {series.name: [] for chart in sheet.charts for series in chart.series}
    if found:
        for row, cells in enumerate(sheet.rows, start=1):
            for column, cell in enumerate(cells, start=1):
                if cell is not None and cell.value.__class__ is str and cell.value in found:
                    found[cell.value].append((row, column))
    return found


def chart_document(sheet: ReportSheet, chart: Chart, tab: str, saying: Saying) -> tuple[bytes, bytes]:
    """The chart's content.xml and styles.xml.

    Args:
        sheet: the sheet it stands on, whose cells hold its numbers
        chart: what to draw
        tab: name of that sheet's tab
        saying: as `saying_names` of that sheet
    """
    plan = _Plan(sheet, chart, tab, office.AutomaticStyles(), saying)
    drawn = _chart(plan)
    holder = office.Chart()
    holder.addElement(drawn)
    body = office.Body()
    body.addElement(holder)
    content = office.DocumentContent(version=_VERSION)
    content.addElement(plan.styles)
    content.addElement(body)
    return tuple((_XML + fragment(part, {})).encode() for part in (content, _common_styles()))  # type: ignore[return-value]


def ranges_of(chart: Chart, tab: str) -> str:
    """Every range the chart takes numbers or labels from, as one list."""
    areas = [area for series in chart.series for area in (series.categories, series.values) if area is not None]
    return " ".join(dict.fromkeys(address(tab, area) for area in areas))


def _common_styles() -> Element:
    """The styles.xml of a chart: the dashes that its lines may use."""
    styles = office.Styles()
    styles.addElement(
        draw.StrokeDash(name=_DASH, style="rect", dots1="1", dots1length="1.6mm", dots2="1", dots2length="1.6mm",
                        distance="1.0mm")
    )  # fmt: skip
    document = office.DocumentStyles(version=_VERSION)
    document.addElement(styles)
    return document


def _chart(plan: _Plan) -> Element:
    """Title, legend, plot and the numbers as they were when the file was written."""
    chart = plan.chart
    ground = GraphicProperties(stroke="none", fill="solid", fillcolor="#FFFFFF")
    drawn = od.Chart(
        attributes={"class": _CLASSES[chart.kind]},
        width=mm(chart.width_mm),
        height=mm(chart.height_mm),
        stylename=plan.style("whole", ground),
    )
    drawn.addElement(_title(plan, "title", chart.title, 11, bold=True))
    if len(chart.series) > 1 or chart.kind is ChartKind.SHARES:
        drawn.addElement(
            od.Legend(
                legendposition="bottom",
                stylename=plan.style("legend", GraphicProperties(stroke="none", fill="none"), _type(9)),
            )
        )
    drawn.addElement(_plot(plan))
    drawn.addElement(_numbers(plan))
    return drawn


def _type(size_pt: float, *, bold: bool = False) -> Element:
    """The type of a title or label."""
    return TextProperties(fontsize=f"{size_pt:g}pt", fontweight="bold" if bold else "normal", color=f"#{CHART_TEXT}")


def _title(plan: _Plan, name: str, words: str, size_pt: float, *, bold: bool = False, turned: bool = False) -> Element:
    """A title of the chart or of an axis."""
    turn = ChartProperties(rotationangle="90" if turned else "0")
    title = od.Title(stylename=plan.style(name, turn, _type(size_pt, bold=bold)))
    title.addElement(text.P(text=words))
    return title


def _plot(plan: _Plan) -> Element:
    """Axes and series."""
    chart = plan.chart
    properties = ChartProperties(
        includehiddencells="true",
        treatemptycells="leave-gap",
        vertical="true" if chart.kind in _LYING else "false",
        stacked="true" if chart.kind is ChartKind.STACKED_BARS else "false",
    )
    plot = od.PlotArea(cellrangeaddress=ranges_of(chart, plan.tab), stylename=plan.style("plot", properties))
    for axis in _axes(plan):
        plot.addElement(axis)
    for place, series in enumerate(chart.series):
        plot.addElement(_series(plan, place, series))
    wall = GraphicProperties(stroke="none", fill="none")
    plot.addElement(od.Wall(stylename=plan.style("wall", wall)))
    return plot


def _axes(plan: _Plan) -> Iterator[Element]:
    """The two axes; a chart of shares keeps only the labels of the first."""
    chart, round_chart = plan.chart, plan.chart.kind is ChartKind.SHARES
    x_axis = od.Axis(dimension="x", name="primary-x", stylename=_axis_style(plan, "x", chart.x_format))
    if not round_chart and chart.x_title:
        x_axis.addElement(_title(plan, "x-title", chart.x_title, 9, turned=chart.kind in _LYING))
    labels = next((series.categories for series in chart.series if series.categories is not None), None)
    if labels is not None and chart.kind is not ChartKind.POINTS:
        x_axis.addElement(od.Categories(cellrangeaddress=address(plan.tab, labels)))
    yield x_axis
    y_axis = od.Axis(dimension="y", name="primary-y", stylename=_axis_style(plan, "y", chart.y_format))
    if not round_chart:
        if chart.y_title:
            y_axis.addElement(_title(plan, "y-title", chart.y_title, 9, turned=chart.kind not in _LYING))
        line = GraphicProperties(stroke="solid", strokecolor=f"#{CHART_GRID}", strokewidth="0.2mm")
        y_axis.addElement(od.Grid(attributes={"class": "major"}, stylename=plan.style("grid", line)))
    yield y_axis


def _axis_style(plan: _Plan, dimension: str, code: str) -> str:
    """Style of an axis: numbers, limits, line."""
    chart, number = plan.chart, None
    styles = number_styles(code, f"{dimension}-numbers")
    for style in styles:
        plan.styles.addElement(style)
        number = f"{dimension}-numbers"
    limits = _limits(plan) if dimension == "y" else {}
    properties = ChartProperties(
        displaylabel="true",
        tickmarksmajorouter="true",
        tickmarksmajorinner="false",
        logarithmic="false",
        reversedirection="true" if dimension == "x" and chart.kind in _LYING else "false",
        axislabelposition="outside-end" if dimension == "y" and chart.kind in _LYING else "outside-start",
        linkdatastyletosource="false" if styles else "true",
        **({"gapwidth": "60", "overlap": "100" if chart.kind is ChartKind.STACKED_BARS else "0"}
           if dimension == "y" else {}),
        **limits,
    )  # fmt: skip
    line = GraphicProperties(stroke="solid", strokecolor=f"#{CHART_AXIS}", strokewidth="0.25mm")
    return plan.style(f"{dimension}-axis", properties, line, _type(9), number=number)


def _limits(plan: _Plan) -> dict[str, str]:
    """Lowest and highest value of the vertical axis where they are not left to the program.

    Bars are read by their length, so they begin at 0 unless the sheet says otherwise.
    """
    chart = plan.chart
    if chart.y_range is not None:
        return {"minimum": repr(chart.y_range[0]), "maximum": repr(chart.y_range[1])}
    values = [value for series in chart.series for value in _values(plan.sheet, series.values)]
    none_below = all(value >= 0 for value in values if isinstance(value, int | float))
    return {} if chart.kind in _LINES or not none_below else {"minimum": "0"}


def _series(plan: _Plan, place: int, series: Series) -> Element:
    """One series with its name, numbers and look."""
    kind = plan.chart.kind
    as_line = kind in _LINES or (kind is ChartKind.COLUMNS and series.dashed)
    drawn = od.Series(
        valuescellrangeaddress=address(plan.tab, series.values),
        stylename=_series_style(plan, place, series, as_line=as_line),
        attributes={"class": "chart:line" if as_line and kind is ChartKind.COLUMNS else _CLASSES[kind]},
    )
    label = _cell_saying(plan.saying, series)
    if label is not None:
        drawn.setAttribute("labelcelladdress", f"{quoted_sheet(plan.tab)}.{label}")
    else:
        drawn.setAttrNS(LOEXTNS, "label-string", f'"{series.name}"')
    if kind is ChartKind.POINTS and series.categories is not None:
        drawn.addElement(od.Domain(cellrangeaddress=address(plan.tab, series.categories)))
    if kind is ChartKind.SHARES:
        for point in range(_count(series.values)):
            fill = GraphicProperties(
                stroke="solid", strokecolor="#FFFFFF", fill="solid", fillcolor=f"#{series_colour(point, None)}"
            )
            drawn.addElement(od.DataPoint(stylename=plan.style(f"share{point}", fill)))
    return drawn


def _series_style(plan: _Plan, place: int, series: Series, *, as_line: bool) -> str:
    """Colour, line, markers, labels."""
    colour = f"#{series_colour(place, series.colour)}"
    if not as_line:
        bars = GraphicProperties(stroke="solid", strokecolor="#FFFFFF", strokewidth="0.1mm", fill="solid",
                                 fillcolor=colour)  # fmt: skip
        shares = (
            {"datalabelnumber": "percentage", "labelposition": "outside"} if plan.chart.kind is ChartKind.SHARES else {}
        )
        return plan.style(f"series{place}", ChartProperties(**shares), bars, _type(9))
    if series.markers:
        symbol = {"symboltype": "named-symbol", "symbolname": _SYMBOLS[place % len(_SYMBOLS)],
                  "symbolwidth": "2mm", "symbolheight": "2mm"}  # fmt: skip
    else:
        symbol = {"symboltype": "none"}
    stroke = {"stroke": "none"} if not series.line else {"stroke": "dash" if series.dashed else "solid"}
    if stroke["stroke"] == "dash":
        stroke["strokedash"] = _DASH
    line = GraphicProperties(**stroke, strokecolor=colour, strokewidth="0.5mm", fillcolor=colour)
    return plan.style(f"series{place}", ChartProperties(**symbol), line)


def _cell_saying(names: Saying, series: Series) -> str | None:
    """Address of the cell that says the series' name, best in its own column; None where no cell does."""
    saying = [(column != series.values.first_column, row, column) for row, column in names.get(series.name, ())]
    return f"${get_column_letter(min(saying)[2])}${min(saying)[1]}" if saying else None


def _count(area: Area) -> int:
    """Number of cells."""
    return (area.last_row - area.first_row + 1) * (area.last_column - area.first_column + 1)


def _numbers(plan: _Plan) -> Element:
    """The chart's own table: for programs that do not look the numbers up in the sheet."""
    columns = list(_columns(plan))
    drawn = tables.Table(name="local-table")
    head_columns, head_rows = tables.TableHeaderColumns(), tables.TableHeaderRows()
    head_columns.addElement(tables.TableColumn())
    rest = tables.TableColumns()
    rest.addElement(tables.TableColumn(numbercolumnsrepeated=str(max(1, len(columns) - 1))))
    body = tables.TableRows()
    for part in (head_columns, rest, head_rows, body):
        drawn.addElement(part)
    records = list(zip_longest(*columns))
    head_rows.childNodes.append(_rows_of(records[:1]))
    body.childNodes += [_rows_of(records[1:])] if records[1:] else []
    return drawn


def _columns(plan: _Plan) -> Iterator[list[object]]:
    """Labels first, then each series under its name (with its own horizontal values before it in a chart of points)."""
    chart = plan.chart
    labels = next((series.categories for series in chart.series if series.categories is not None), None)
    longest = max(_count(series.values) for series in chart.series)
    yield ["", *(_values(plan.sheet, labels) if labels is not None else [str(n + 1) for n in range(longest)])]
    for series in chart.series:
        if chart.kind is ChartKind.POINTS and series.categories is not None:
            yield ["", *_values(plan.sheet, series.categories)]
        yield [series.name, *_values(plan.sheet, series.values)]


def _values(sheet: ReportSheet, area: Area) -> list[object]:
    """The values in the area's cells."""
    found: list[object] = []
    for row in range(area.first_row, area.last_row + 1):
        cells = sheet.rows[row - 1] if row <= len(sheet.rows) else []
        for column in range(area.first_column, area.last_column + 1):
            cell = cells[column - 1] if column <= len(cells) else None
            found.append(None if cell is None else cell.value)
    return found


def _rows_of(records: Sequence[Sequence[object]]) -> Raw:
    return Raw((TABLENS, OFFICENS, TEXTNS), partial(_rows, records))


def _rows(records: Sequence[Sequence[object]], prefixes: Mapping[str, str]) -> Iterator[str]:
    """Rows of the chart's own table; as elements they take ten times as long."""
    table, paragraph = prefixes[TABLENS], f"{prefixes[TEXTNS]}:p"
    value_of = f"{prefixes[OFFICENS]}:value"

    def cell(value: object) -> str:
        kind = f'{value_of}-type="string"'
        if isinstance(value, int | float) and not isinstance(value, bool):
            kind = f'{value_of}-type="float" {value_of}="{value!r}"'
        shown = escape("" if value is None else str(value), TEXT_ESCAPES)
        said = f"<{paragraph}>{shown}</{paragraph}>" if shown else f"<{paragraph}/>"
        return f"<{table}:table-cell {kind}>{said}</{table}:table-cell>"

    for record in records:
        yield f"<{table}:table-row>{''.join(map(cell, record))}</{table}:table-row>"
