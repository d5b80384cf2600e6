"""The blocks of the sheet Cost below the panels: time, boards, slices, waste, and the prices used."""

from collections.abc import Sequence
from datetime import date

from sheetkit.job.charges import NO_PANEL, BoardCharge
from sheetkit.job.costing import PanelCost
from sheetkit.report.builder import Figure, Heading, Value
from sheetkit.report.cost_page import DATE, GAP, MONEY, Page
from sheetkit.report.live import plain
from sheetkit.report.model import Link, Look, ReportCell
from sheetkit.report.sources import LENGTHS, MINUTES, PLAIN, SHARES
from sheetkit.tables.columns import columns_of
from sheetkit.tables.settings import Job, Shop
from sheetkit.trade.cost import MM3_PER_BOARD_FOOT, mark_up_of_margin, to_buy, waste_share

MM_PER_IN = 25.4
MM3_PER_DM3 = 1_000_000.0
TIME_CELLS = (("glue", 2), ("cutting", 5), ("gluing", 9), ("other", 10), ("working", 11), ("good min", 12))
"""Cells of the table of times that formulas elsewhere build upon, with their columns."""
LENGTHS_IN_FEET = ((1 / 12, "/12"), (1 / 304.8, "/304.8"), (1.0, ""))
"""From inches, millimetres and feet to feet."""
LENGTHS_IN_METRES = ((1 / 1000, "/1000"), (0.0254, "*0.0254"), (0.3048, "*0.3048"))
"""From millimetres, inches and feet to metres."""
HOURS = ((1.0, ""), (24.0, "*24"), (1 / 60, "/60"), (1 / 3600, "/3600"))
"""From hours, days, minutes and seconds to hours."""
FEEDS = ((1.0, ""), (1 / 12, "/12"), (60.0, "*60"), (1 / 1000, "/1000"), (5.0, "*5"))
"""From in/min or ft/s to ft/min, from mm/min or m/s to m/min, from in/s to ft/min."""


def times(page: Page) -> None:
    """What the panels take in time and glue."""
    sheet, costing = page.sheet, page.results.costing
    sheet.section("Time and glue, all copies")
    headings = (
        Heading("Panel", note="As named on Panels."),
        Heading("Glue to mix (mL)", "0", "All glue-ups of all copies, with what stays in pot and roller."),
        Heading("Passes", "0", "Slices sawn and to saw, spares and truing passes included."),
        Heading(f"Sawn ({page.sawn_unit})", "0.0", "Passes by the length of their boards."),
        Heading("In the cut (min)", "0.0", "Length sawn by the feed speed."),
        Heading("At the saw besides (min)", "0.0", "Passes by the time per pass."),
        Heading("Measuring (min)", "0.0", "Slices by the time to measure a slice, spares included."),
        Heading("Set-up (min)", "0.0", "Shared out over all panels of the job."),
        Heading("Gluing (min)", "0.0", "From the first spread to full pressure, all glue-ups."),
        Heading("Other work (min)", "0.0", "Work per panel on Shop, for all copies."),
        Heading("Working (min)", "0.0", "As far as it is known."),
        Heading("Each good one (min)", "0.0", "Divided by the copies and by the share of panels that is kept."),
        Heading("In clamps (h)", "0.0", "Waiting, one copy after another. Not work."),
        Heading("Rest (d)", "0", "From the last glue-up to machining. A rough estimate."),
    )
    first = sheet.next_row + 1
    sheet.table(headings, [_time(page, item, first + index) for index, item in enumerate(costing.panels)])


def _time(page: Page, item: PanelCost, row: int) -> list[Value]:
    name, time, at = item.panel.name, item.time, page.at
    for what, column in TIME_CELLS:
        page.cell_is(f"{what} {name}", row, column)
    opened = bool(page.results.costing.charges)
    mine = f"({at('for panel')}=A{row})*1"
    copies, pieces = item.panel.copies, sum(other.panel.copies for other in page.results.costing.panels)
    lost = f"/(1-{at('lost_pct')})" if page.inputs.job.lost_pct is not None else ""

    def minutes(duration_s: float | None, formula: str | None) -> ReportCell:
        value = None if duration_s is None else duration_s / 60.0
        return page.live(value, formula, number_format="0.0", lacking="not known")

    length = None if time.sawn_length_mm is None else time.sawn_length_mm / page.mm_per_sawn_unit
    glue = None if item.glue_g is None else item.glue_g / page.inputs.shop.glue_density_g_ml
    good = time.working_s / copies / (1.0 - item.lost_share) if copies else None
    return [
        name,
        page.live(glue, None, number_format="0", lacking="not known"),
        page.live(time.passes, f"SUMPRODUCT({mine},{at('passes')})" if opened else None, number_format="0"),
        page.live(
            length, f"SUMPRODUCT({mine},{at('sawn')})" if opened else None, number_format="0.0", lacking="not known"
        ),
        minutes(time.cutting_s, f"D{row}/{at('feed_mm_s')}"),
        minutes(time.handling_s, f"C{row}*{at('pass_s')}"),
        minutes(time.measuring_s, f"SUMPRODUCT({mine},{at('slices')})*{at('measure_s')}" if opened else None),
        minutes(time.setup_s, f"{at('setup_s')}*{copies}/{pieces}"),
        minutes(time.gluing_s, None),
        minutes(time.other_s, f"{at('panel_work_s')}*{copies}"),
        minutes(time.working_s, f"SUM(E{row}:J{row})"),
        minutes(good, f"K{row}/{copies}{lost}"),
        page.live(None if time.clamped_s is None else time.clamped_s / 3600.0, None, number_format="0.0", lacking=None),
        page.live(time.rest_days, None, number_format="0", lacking=None),
    ]


def boards(page: Page) -> None:
    """Every board that is opened, panel by panel."""
    sheet, unit, coarse = page.sheet, page.measure.board_unit, page.measure.coarse
    sheet.section("Boards")
    charges = page.results.costing.charges
    if not charges:
        sheet.line("No board is opened.")
        return
    whole = page.inputs.job.whole_boards
    sheet.line(
        "Every board that is opened is charged as a whole (Charge whole boards on Job)."
        if whole
        else "A board is charged by the share of it that is used up; what can still be sawn goes back to the rack."
    )
    headings = (
        Heading("Board", note="As named on Stock."),
        Heading("Wood", note="The board's wood."),
        Heading("For panel", note="The panel that this part of the board is charged to."),
        Heading("Board feet", "0.00", "By the nominal thickness where Stock gives one, else by the measured one."),
        Heading("Per board foot", MONEY, "Price on Species; counts where Stock gives no price for the board."),
        Heading("Price of board", MONEY, "Price on Stock; else board feet by the price per board foot."),
        Heading(f"Start ({unit})", coarse, "Thickness before the first pass."),
        Heading(f"Not charged ({unit})", coarse, "Can still be sawn afterwards."),
        Heading("Used up", "0%", "Share of the board's thickness that is sawn, trued away or held back."),
        Heading("Of it here", "0%", "The panel's part of what is used up, by the fence's advances."),
        Heading("Charged", MONEY, "Price of the board by what is used up and by the panel's part of that."),
        Heading("Slices", "0", "Sawn and to saw."),
        Heading("Passes", "0", "The truing pass counts for the panel sawn first."),
        Heading(f"Sawn ({page.sawn_unit})", "0.0", "Passes by the length of the board."),
    )
    first = page.boards_from = sheet.next_row + 1
    area = sheet.table(headings, [_board(page, charge, first + index) for index, charge in enumerate(charges)])
    if area is not None:
        for what, column in (("for panel", 3), ("charged", 11), ("slices", 12), ("passes", 13), ("sawn", 14)):
            page.column_is(what, area, column)


def _board(page: Page, charge: BoardCharge, row: int) -> list[Value]:
    board, price, measure = charge.board, charge.price, page.measure
    start = measure.of_board(board.thickness_mm)
    left = 0.0 if charge.whole else measure.of_board(max(0.0, charge.use.left_mm))
    length = None if board.length_mm is None else board.length_mm / page.mm_per_sawn_unit
    per_foot = price.by_wood.price_per_board_foot if price.by_wood is not None else None
    foot_source = (
        None if price.by_wood is None or per_foot is None
        else page.live_cells.sources.operand(price.by_wood.place, "price_per_board_foot", per_foot)
    )  # fmt: skip
    start_source = page.live_cells.sources.operand(board.place, "thickness_mm", start, LENGTHS)
    own = None if board.price is None else page.live_cells.sources.operand(board.place, "price", board.price)
    feet = ((length or 0.0), LENGTHS_IN_FEET if page.inch else LENGTHS_IN_METRES)
    length_source = page.live_cells.sources.operand(board.place, "length_mm", *feet)
    sawn = None if charge.sawn_length_mm is None or length is None else charge.sawn_length_mm / page.mm_per_sawn_unit
    return [
        board.board,
        board.species,
        charge.panel if charge.panel != NO_PANEL else ReportCell("none", Look.QUIET),
        page.live(price.feet, _feet(page, charge), number_format="0.00", lacking=None),
        page.live(per_foot, foot_source, lacking=None),
        page.live(price.money, f"D{row}*E{row}" if price.feet is not None else own, lacking="no price"),
        page.live(start, start_source, number_format=measure.coarse),
        page.live(left, _left(page, charge), number_format=measure.coarse),
        page.live(charge.used_share, f"(G{row}-H{row})/G{row}", number_format="0%"),
        page.live(charge.share, None, number_format="0%"),
        page.live(charge.money, f"F{row}*I{row}*J{row}", lacking=None),
        charge.slices,
        charge.passes,
        page.live(sawn, length_source and f"M{row}*{length_source}", number_format="0.0", lacking=None),
    ]  # fmt: skip


def _left(page: Page, charge: BoardCharge) -> str | None:
    """What can still be sawn, from Stock use; never below nought."""
    cell = page.live_cells.of(f"[{plain(f'still good {charge.board.board}')}]")
    return None if charge.whole or cell is None else f"MAX(0,{cell})"


def _feet(page: Page, charge: BoardCharge) -> str | None:
    """Board feet from the maker's own cells, where all three sizes are plain numbers."""
    board = charge.board
    sizes = (
        ("length_mm", board.length_mm),
        ("width_mm", board.width_mm),
        ("thickness_mm", board.thickness_mm) if board.nominal_mm is None else ("nominal_mm", board.nominal_mm),
    )
    operands = [
        None if size is None else page.live_cells.sources.operand(board.place, field, size / MM_PER_IN, LENGTHS)
        for field, size in sizes
    ]
    known = [operand for operand in operands if operand is not None]
    return "*".join(known) + "/144" if len(known) == len(sizes) else None


def slices(page: Page) -> None:
    """What a slice costs with its kerf."""
    costs = page.results.costing.slices
    if not costs:
        return
    sheet, measure = page.sheet, page.measure
    sheet.section("A slice still to saw, with the kerf that frees it")
    headings = (
        Heading("Wood", note="Of the layer that it is for."),
        Heading("Panel", note="Of the layer that it is for."),
        Heading("Board", note="The board that it comes from."),
        Heading(f"Layer ({measure.unit})", measure.fine, "Finished thickness."),
        Heading(f"Slice ({measure.unit})", measure.fine, "Thickness that should come off."),
        Heading(f"Used up ({measure.unit})", measure.fine, "What a pass uses up of the board: the fence's advance."),
        Heading("Of it slice", "0%", "The rest is sawdust: at these thicknesses the saw eats about half."),
        Heading("Layers in it", "0.0", "Layers that one slice gives when it is cut to length."),
        Heading("A slice", MONEY, "Wood only, truing and held wood not counted."),
        Heading("A layer", MONEY, "The slice, shared out over the layers in it."),
    )
    first = sheet.next_row + 1
    rows = {charge.board.board: page.boards_from + n for n, charge in enumerate(page.results.costing.charges)}
    records: list[list[Value]] = []
    for row, item in enumerate(costs, first):
        at, each = rows[item.board], None if item.money is None else item.money / item.layers
        records.append(
            [
                item.need.species, item.need.panel, item.board, measure.of(item.need.finished_mm),
                measure.of(item.slice_mm), measure.of(item.used_mm),
                Figure(item.slice_mm / item.used_mm, f"E{row}/F{row}"), item.layers,
                page.live(item.money, f"F{at}*F{row}{measure.to_board}/G{at}", lacking="no price"),
                page.live(each, f"I{row}/H{row}", lacking="no price"),
            ]
        )  # fmt: skip
    sheet.table(headings, records, name="slice_costs")


def balances(page: Page) -> None:
    """Which share of the wood is in the panels in the end."""
    known = [item for item in page.results.costing.balances if item.used_mm3 and item.net_mm3]
    if not known:
        return
    sheet = page.sheet
    unit, scale = ("board ft", MM3_PER_BOARD_FOOT) if page.inch else ("dm³", MM3_PER_DM3)
    sheet.section("Waste, as a share of what is charged")
    headings = (
        Heading("Wood", note="All its boards together."),
        Heading(f"In the panels ({unit})", "0.000", "Layers as finished, panels trimmed, all copies."),
        Heading(f"Charged ({unit})", "0.000", "By measured thickness."),
        Heading("Waste", "0%", "Kerf, truing, held wood, sanding, trim, offcuts and spares."),
        Heading(
            "To buy for 1", "0.00", "Divided by the share that is kept: 25 % waste asks 1 / 0.75 = 1.33, not 1.25."
        ),
    )
    first = sheet.next_row + 1
    records: list[list[Value]] = []
    for row, item in enumerate(known, first):
        used, net = (item.used_mm3 or 0.0) / scale, (item.net_mm3 or 0.0) / scale
        waste = waste_share(used, net)
        buy = to_buy(1.0, waste) if 0.0 <= waste < 1.0 else None
        records.append(
            [
                item.species,
                page.live(net, None, number_format="0.000"),
                page.live(used, None, number_format="0.000"),
                page.live(waste, f"1-B{row}/C{row}", number_format="0%"),
                page.live(buy, f"1/(1-D{row})", number_format="0.00", lacking=None),
            ]
        )
    sheet.table(headings, records)


def prices(page: Page) -> None:
    """The settings that the figures above build upon, each with its own cell."""
    sheet, inputs = page.sheet, page.inputs
    sheet.section("Prices and times used")
    feed = ("ft/min", 304.8 / 60.0, FEEDS) if page.inch else ("m/min", 1000.0 / 60.0, FEEDS)
    settings: Sequence[tuple[str, str, str, float, Sequence[tuple[float, str]], str]] = (
        ("Shop", "labour_rate", "an hour", 1.0, PLAIN, MONEY),
        ("Shop", "feed_mm_s", *feed, "0.0"),
        ("Shop", "pass_s", "min", 60.0, MINUTES, "0.00"),
        ("Shop", "measure_s", "min", 60.0, MINUTES, "0.00"),
        ("Shop", "setup_s", "min", 60.0, MINUTES, "0.0"),
        ("Shop", "panel_work_s", "min", 60.0, MINUTES, "0.0"),
        ("Shop", "piece_work_s", "min", 60.0, MINUTES, "0.0"),
        ("Shop", "piece_material", "a piece", 1.0, PLAIN, MONEY),
        ("Shop", "glue_price", "a bottle", 1.0, PLAIN, MONEY),
        ("Shop", "glue_bottle_ml", "mL", 1.0, PLAIN, "0"),
        ("Shop", "blade_price", "a blade", 1.0, PLAIN, MONEY),
        ("Shop", "blade_life_s", "h", 3600.0, HOURS, "0.0"),
        ("Shop", "overhead_pct", "", 100.0, SHARES, "0.0%"),
        ("Shop", "day_s", "h", 3600.0, HOURS, "0.0"),
        ("Job", "lost_pct", "", 100.0, SHARES, "0.0%"),
        ("Job", "pieces_lost_pct", "", 100.0, SHARES, "0.0%"),
        ("Job", "margin_pct", "of the price", 100.0, SHARES, "0.0%"),
    )
    names = {f"{c.__name__}.{column.field}": column.heading for c in (Shop, Job) for column in columns_of(c)}
    first = sheet.next_row + 1
    records: list[list[Value]] = []
    for row, (owner, field, unit, scale, factors, number_format) in enumerate(settings, first):
        value = getattr(inputs.shop if owner == "Shop" else inputs.job, field)
        place = inputs.setting_places.get(f"{owner}.{field}")
        shown = None if value is None else value / scale
        source = None if shown is None else page.live_cells.sources.operand(place, field, shown, factors)
        page.cell_is(field, row, 2)
        tab = inputs.sheets.get(owner, owner)
        where = ReportCell(tab, link=Link(tab, place.cell(field))) if place is not None else ReportCell(tab, Look.QUIET)
        cell = page.live(shown, source, number_format=f"{number_format}{GAP}", lacking="not given")
        records.append([names[f"{owner}.{field}"], cell, unit if shown is not None else None, where])
    if inputs.job.margin_pct is not None:
        mark_up = mark_up_of_margin(inputs.job.margin_pct / 100.0)
        cell = page.live(mark_up, f"1/(1-B{first + len(records) - 1})-1", number_format=f"0.0%{GAP}")
        records.append(["The same as a mark-up", cell, "of the cost", None])
    if inputs.job.start is not None:
        page.cell_is("start", first + len(records), 2)
        records.append(_start_date(page, inputs.job.start, names["Job.start"]))
    headings = (
        Heading("Setting", note="As named on its sheet."),
        Heading("Value", MONEY, "As it was read. Change it on its sheet: the figures above follow at once."),
        Heading("Unit", note="Of the value as shown here."),
        Heading("On sheet", note="Where it stands. Click to go there."),
    )
    sheet.table(headings, records, name="prices_used")


def _start_date(page: Page, start: date, name: str) -> list[Value]:
    """The calendar's first day, from the maker's own cell where that holds a date."""
    place = page.inputs.setting_places.get("Job.start")
    address = None if place is None else page.live_cells.sources.day(place, "start")
    cell = ReportCell(start, Look.TEXT, DATE, None if address is None else f"={address}")
    where = None if place is None else ReportCell(place.sheet, link=Link(place.sheet, place.cell("start")))
    return [name, cell, None, where]
