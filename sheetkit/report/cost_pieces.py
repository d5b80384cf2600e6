"""Blocks of the sheet Cost: what the pieces cost, the job as a whole, and which share of the money goes where."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from sheetkit.job.costing import PanelCost
from sheetkit.job.piece_costs import PieceCost, known_sum
from sheetkit.report.builder import Figure, Heading, Value
from sheetkit.report.charts import LOWEST_ROW_MM, STACKED, TALLEST_MM
from sheetkit.report.cost_page import GAP, MONEY, Page
from sheetkit.report.model import Area, Chart, ChartKind, Look, ReportCell, Series
from sheetkit.trade.cost import price_at_margin

PARTS = (
    ("Wood", "wood", 3),
    ("Glue", "glue", 4),
    ("Blade", "blade", 5),
    ("Work", "work", 6),
    ("Overhead", "overhead", 7),
)
"""Parts of a panel's cost: what they are called, and their column in the table of panels."""
CHART_COLUMNS = (5, 10)
"""Where the charts stand, beside the table of shares."""
COLUMNS = (("piece panel", 2), ("wanted", 3), ("started", 4), ("piece work", 7), ("material", 8), ("their own", 9))
"""Columns of the table of pieces that formulas elsewhere build upon."""


def pieces(page: Page) -> None:
    """Every piece with its share of a panel, its own work, and its price."""
    costs = page.results.costing.pieces
    if not costs:
        return
    sheet = page.sheet
    sheet.section("What the pieces cost")
    sheet.line(
        "A piece carries its share of a good panel, with what is left over between the blanks. Where nothing else is "
        "cut from a panel and the rest is not used, the last column is what it really costs."
    )
    headings = (
        Heading("Piece", note="As named on Handles, Bowls or Steps."),
        Heading("Panel", note="The panel that it is cut from."),
        Heading("Wanted", "0", "Good ones, pairs where they are bookmatched: Quantity, or one board from each copy."),
        Heading("To start", "0", "Wanted, divided by the share that is kept (Pieces lost on Job), rounded up."),
        Heading("Share of a panel", "0.0%", "One panel over the blanks it gives; see Pieces."),
        Heading("From panel", MONEY, "That share of a good panel, which carries the panels lost."),
        Heading("Work", MONEY, "Work per piece on Shop."),
        Heading("Material", MONEY, "Material per piece on Shop."),
        Heading("Overhead", MONEY, "On work and material; the panel carries its own."),
        Heading("Each", MONEY, "One attempt, good or not."),
        Heading("Each good one", MONEY, "Divided by the share of pieces that is kept, not multiplied."),
        Heading("Price each", MONEY, "Leaves the margin that Job asks for."),
        Heading("Time each (min)", "0.0", "Work on a good one, with its share of the work on the panel."),
        Heading("Each, rest unused", MONEY, "A good one, were all copies of its panel charged to these pieces alone."),
    )
    first = sheet.next_row + 1
    area = sheet.table(headings, [_piece(page, item, row) for row, item in enumerate(costs, first)], name="piece_costs")
    if area is not None:
        for what, column in COLUMNS:
            page.column_is(what, area, column)


def _piece(page: Page, item: PieceCost, row: int) -> list[Value]:
    at, job = page.at, page.inputs.job
    kept = f"/(1-{at('pieces_lost_pct')})" if job.pieces_lost_pct is not None else ""
    panel = next((one for one in page.results.costing.panels if one.panel.name == item.panel), None)
    minutes = [f"{at(f'good min {item.panel}')}*E{row}"] if item.panel_s is not None else []
    minutes += [at("piece_work_s")] if item.work_s is not None else []
    good_min = None if item.good_s is None else item.good_s / 60.0
    return [
        item.piece,
        item.panel,
        item.quantity,
        Figure(item.to_start, f"ROUNDUP(ROUND(C{row}{kept},6),0)"),
        page.live(item.share, None, number_format="0.0%", lacking="not known"),
        page.live(item.from_panel, f"{at(f'good {item.panel}')}*E{row}"),
        page.live(item.work, f"{at('piece_work_s')}/60*{at('labour_rate')}"),
        page.live(item.material, at("piece_material"), lacking="none given"),
        page.live(item.overhead, f"SUM(G{row}:H{row})*{at('overhead_pct')}", lacking=None),
        page.live(item.each, f"SUM(F{row}:I{row})"),
        page.live(item.good, f"J{row}{kept}", Look.STRONG),
        page.live(item.price, f"K{row}/(1-{at('margin_pct')})", Look.STRONG, lacking="no margin"),
        page.live(good_min, f"({'+'.join(minutes)}){kept}", number_format="0.0", lacking="not known"),
        _alone(page, item, panel, row, kept),
    ]


def _alone(page: Page, item: PieceCost, panel: PanelCost | None, row: int, kept: str) -> ReportCell:
    """A good piece, were nothing else cut from its panels."""
    alone = [one for one in page.results.costing.pieces if one.panel == item.panel]
    if panel is None or panel.good is None or len(alone) != 1 or not item.quantity:
        return ReportCell("panel is shared" if len(alone) > 1 else None, Look.QUIET)
    taken = max(float(panel.panel.copies), item.attempts * (item.share or 0.0))
    copies, good = page.at(f"copies {item.panel}"), page.at(f"good {item.panel}")
    panels = f"MAX({copies},C{row}{kept}*E{row})" if item.share is not None else copies
    own = (item.own or 0.0) / item.quantity
    value = panel.good * taken / item.quantity + own
    return page.live(value, f"{good}*{panels}/C{row}+SUM(G{row}:I{row}){kept}")


def whole_job(page: Page) -> None:
    """The job as a whole: money by its parts, their shares as a chart, time and price."""
    costing, sheet = page.results.costing, page.sheet
    parts = _parts(page, costing.panels, costing.pieces)
    known = [(name, money, formula) for name, money, formula in parts if money]
    total = known_sum(money for _, money, _ in known)
    sheet.section("The job as a whole")
    if total is None:
        sheet.line("Nothing of it has a price yet.")
        return
    headings = (
        Heading("Part", note="What the money goes into."),
        Heading("Money", MONEY + GAP, "All panels, and all pieces with those that are lost on the way."),
        Heading("Share", "0.0%", "Of the whole."),
    )
    first = sheet.next_row + 1
    last = first + len(known) - 1
    records: list[list[Value]] = [
        [
            name,
            page.live(money, formula, number_format=MONEY + GAP),
            Figure((money or 0.0) / total, f"B{row}/SUM($B${first}:$B${last})"),
        ]
        for row, (name, money, formula) in enumerate(known, first)
    ]
    area = sheet.table(headings, records, name="cost_shares")
    page.cell_is("whole job", last + 1, 2)
    sums = [page.live(total, f"SUM(B{first}:B{last})", Look.TOTAL, MONEY + GAP), ReportCell(None, Look.TOTAL)]
    sheet.sheet.rows.append([ReportCell("Whole job", Look.TOTAL), *sums])
    margin = page.inputs.job.margin_pct
    if margin is not None:
        formula = f"B{last + 1}/(1-{page.at('margin_pct')})"
        price = page.live(price_at_margin(total, margin / 100.0), formula, Look.TOTAL, MONEY + GAP)
        words = ReportCell("at the margin on Job", Look.QUIET, columns=2)
        sheet.sheet.rows.append([ReportCell("Price of all", Look.TOTAL), price, words])
    if area is not None and len(known) > 1:
        _charts(page, area, first)


def _charts(page: Page, area: Area, row: int) -> None:
    """Beside the table: the shares, and where there are several panels the parts of each."""
    panels, sheet = page.results.costing.panels, page.sheet
    charts = [_shares(area)]
    several = [item for item in panels if item.cost]
    if len(several) > 1 and page.panels_at is not None:
        charts.append(_by_panel(page, page.panels_at))
    for chart, column in zip(charts, CHART_COLUMNS, strict=False):
        sheet.sheet.charts.append(replace(chart, row=row, column=column))
    last = row + ceil(max(chart.height_mm for chart in charts) / LOWEST_ROW_MM)
    while sheet.next_row < last:
        sheet.blank()


def _parts(
    page: Page, panels: Sequence[PanelCost], costs: Sequence[PieceCost]
) -> list[tuple[str, float | None, str | None]]:
    """Name, money and formula of each part, over panels and pieces."""

    def of_pieces(what: str) -> str:
        kept = f"/(1-{page.at('pieces_lost_pct')})" if page.inputs.job.pieces_lost_pct is not None else ""
        return f"SUMPRODUCT({page.at('wanted')},{page.at(what)}){kept}"

    own = {
        "work": (known_sum(_times(item.work, item.attempts) for item in costs), "piece work"),
        "overhead": (known_sum(_times(item.overhead, item.attempts) for item in costs), "their own"),
    }
    found: list[tuple[str, float | None, str | None]] = []
    for name, part, _ in PARTS:
        of_panels = known_sum(getattr(item, part) for item in panels)
        pieces_part, column = own.get(part, (None, ""))
        terms = [f"SUM({page.at(f'part {part}')})"] if of_panels is not None else []
        terms += [of_pieces(column)] if pieces_part is not None else []
        found.append((name, known_sum((of_panels, pieces_part)), "+".join(terms) or None))
    material = known_sum(_times(item.material, item.attempts) for item in costs)
    return [*found, ("Material of pieces", material, of_pieces("material"))]


def _times(money: float | None, count: float) -> float | None:
    return None if money is None else money * count


def _shares(area: Area) -> Chart:
    count = area.last_row - area.first_row + 1
    values, names = Area(area.first_row, 3, area.last_row, 3), Area(area.first_row, 1, area.last_row, 1)
    return Chart(
        ChartKind.BARS,
        "Cost shares",
        "Part of the cost",
        "Share of the whole (%)",
        [Series("Share", values, names, colour=STACKED[0])],
        row=1,
        column=1,
        width_mm=108.0,
        height_mm=32.0 + 7.0 * count,
        y_format="0%",
    )


def _by_panel(page: Page, area: Area) -> Chart:
    """The parts of the cost, panel by panel."""
    panels = page.results.costing.panels
    names = Area(area.first_row, 1, area.last_row, 1)
    return Chart(
        ChartKind.STACKED_BARS,
        "What the panels cost",
        "Panel",
        "Cost (your money)",
        [
            Series(name, Area(area.first_row, column, area.last_row, column), names, colour=colour)
            for (name, part, column), colour in zip(PARTS, STACKED, strict=True)
            if any(getattr(item, part) for item in panels)
        ],
        row=1,
        column=1,
        width_mm=104.0,
        height_mm=min(TALLEST_MM, 40.0 + 8.0 * len(panels)),
        y_format="0",
    )
