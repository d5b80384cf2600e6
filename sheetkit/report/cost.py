"""Cost: what the panels cost in wood, glue, blade and work, with live formulas that begin at the maker's own cells."""

from openpyxl.utils.cell import get_column_letter

from sheetkit.job.costing import PanelCost
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.cost_calendar import calendar_block
from sheetkit.report.cost_details import balances, boards, prices, slices, times
from sheetkit.report.cost_page import MONEY, WIDTHS, Page
from sheetkit.report.cost_pieces import PARTS, pieces, whole_job
from sheetkit.report.live import Live
from sheetkit.report.model import Area, Look, ReportCell, ReportSheet
from sheetkit.tables.inputs import Inputs


def cost_sheet(inputs: Inputs, results: Results, measure: Measure, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        name: the tab's name
        live: the cells that formulas may build upon
    """
    if not results.costing.panels:
        sheet = SheetBuilder("cost", name, "Cost", WIDTHS, landscape=True)
        sheet.line("Nothing to cost yet: Targets names no layer that could be read.", Look.STRONG)
        return sheet.sheet
    page = Page(SheetBuilder("cost", name, "Cost", WIDTHS, landscape=True), inputs, results, measure, live)
    _draw(page)
    return page.sheet.sheet


def _draw(page: Page) -> None:
    page.sheet.line(
        "In your own money, as typed on Stock, Species and Shop. Figures with a price behind them are live: change a "
        "price there and they follow at once; slices and boards follow at the next refresh."
    )
    _panels(page)
    pieces(page)
    whole_job(page)
    _not_costed(page)
    calendar_block(page)
    times(page)
    boards(page)
    slices(page)
    balances(page)
    prices(page)


def _panels(page: Page) -> None:
    sheet, costing = page.sheet, page.results.costing
    sheet.section("What the panels cost")
    headings = (
        Heading("Panel", note="As named on Panels."),
        Heading("Copies", "0", "How many such panels: Copies on Panels."),
        Heading("Wood", MONEY, "Boards by the share of them that is used up, truing, sawdust and held wood included."),
        Heading("Glue", MONEY, "All glue mixed, with what stays in the pot."),
        Heading("Blade", MONEY, "Price of a blade, by its time in the cut."),
        Heading("Work", MONEY, "Working time; waiting for glue costs nothing here."),
        Heading("Overhead", MONEY, "Overhead on Shop, as a share of what stands left of it."),
        Heading("Together", MONEY, "All copies."),
        Heading("Each", MONEY, "One copy, good or not."),
        Heading("Each good one", MONEY, "Divided by the share of panels that is kept (Panels lost on Job)."),
        Heading("Price each", MONEY, "Leaves the margin that Job asks for."),
    )
    first = sheet.next_row + 1
    records = [_panel(page, item, first + index) for index, item in enumerate(costing.panels)]
    area = sheet.table(headings, records)
    if area is None:
        return
    for _, part, column in PARTS:
        page.column_is(f"part {part}", area, column)
    page.panels_at = area
    if len(costing.panels) > 1:
        _together(page, area)


def _panel(page: Page, item: PanelCost, row: int) -> list[Value]:
    name, at = item.panel.name, page.at
    page.cell_is(f"copies {name}", row, 2)
    page.cell_is(f"good {name}", row, 10)
    wood = f"SUMPRODUCT(({at('for panel')}=A{row})*1,{at('charged')})"
    glue = f"{at(f'glue {name}')}/{at('glue_bottle_ml')}*{at('glue_price')}"
    blade = f"{at(f'cutting {name}')}/60/{at('blade_life_s')}*{at('blade_price')}"
    work = f"{at(f'working {name}')}/60*{at('labour_rate')}"
    lost = f"/(1-{at('lost_pct')})" if page.inputs.job.lost_pct is not None else ""
    return [
        name,
        item.panel.copies,
        page.live(item.wood, wood),
        page.live(item.glue, glue),
        page.live(item.blade, blade),
        page.live(item.work, work),
        page.live(item.overhead, f"SUM(C{row}:F{row})*{at('overhead_pct')}"),
        page.live(item.cost, f"SUM(C{row}:G{row})", Look.STRONG),
        page.live(item.each, f"H{row}/B{row}"),
        page.live(item.good, f"I{row}{lost}", Look.STRONG),
        page.live(item.price, f"J{row}/(1-{at('margin_pct')})", Look.STRONG, lacking="no margin"),
    ]


def _together(page: Page, area: Area) -> None:
    """The sums below the panels."""
    panels = page.results.costing.panels
    amounts = [
        [float(item.panel.copies) for item in panels],
        *([getattr(item, part) for item in panels] for part in ("wood", "glue", "blade", "work", "overhead", "cost")),
    ]
    cells: list[ReportCell | None] = [ReportCell("All panels", Look.TOTAL)]
    for column, parts in enumerate(amounts, 2):
        letter = get_column_letter(column)
        known = [part for part in parts if part is not None]
        formula = f"=SUM({letter}{area.first_row}:{letter}{area.last_row})" if known else None
        number_format = "0" if column == 2 else MONEY
        cells.append(ReportCell(round(sum(known), 12) if known else None, Look.TOTAL, number_format, formula))
    page.sheet.sheet.rows.append(cells)


def _not_costed(page: Page) -> None:
    missing = page.results.costing.not_costed
    if not missing:
        return
    page.sheet.section("Not costed, because the workbook does not say")
    for text in missing:
        page.sheet.line(f"{text[:1].upper()}{text[1:]}.", Look.WATCH)
