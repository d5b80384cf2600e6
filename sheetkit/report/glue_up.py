"""Glue-up: in how many goes each panel is glued, how it is pressed, what the glue's water does, when to machine it."""

from collections.abc import Mapping
from dataclasses import dataclass

from sheetkit.job.gluing import Gluing, PanelGluing
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.job.wording import counted
from sheetkit.report.amounts import Amounts, duration_text, minutes
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.glue_up_figures import glue_figures
from sheetkit.report.glue_up_water import rest_sentence, water_blocks
from sheetkit.report.glue_up_wood import figures_used, movement_block
from sheetkit.report.live import Live, plain
from sheetkit.report.model import Look, ReportCell, ReportSheet
from sheetkit.report.words import default_in
from sheetkit.tables.columns import Column, columns_of
from sheetkit.tables.inputs import Assumption, Inputs
from sheetkit.tables.settings import Job
from sheetkit.tables.settings_glue import Gluing as GlueSettings
from sheetkit.trade.glue import GlueUpTimes
from sheetkit.trade.press import CAULS_SPREAD

WIDTHS = (21, 20, 12, 13, 13, 13, 13, 14, 14, 14)
_PLACE_FIELDS = ("home_c", "home_humidity_pct")
_GLUE_SETTINGS: Mapping[str, Column] = {
    column.heading: column
    for column in (*columns_of(GlueSettings), *(c for c in columns_of(Job) if c.field in _PLACE_FIELDS))
}
PLACES_SHOWN = 8
"""So many pairs of layers are named one by one."""


@dataclass(frozen=True, slots=True)
class _Page:
    """What every block needs."""

    sheet: SheetBuilder
    inputs: Inputs
    measure: Measure
    amounts: Amounts
    live: Live


def glue_up(inputs: Inputs, results: Results, measure: Measure, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        name: the tab's name
        live: the cells that formulas may build upon
    """
    sheet = SheetBuilder("glue_up", name, "Glue-up", WIDTHS, landscape=True)
    gluing = results.gluing
    if not gluing.panels:
        sheet.line("Nothing to glue yet: Targets names no layer that could be read.", Look.STRONG)
        return sheet.sheet
    page = _Page(sheet, inputs, measure, Amounts(measure.board_unit), live)
    for item in gluing.panels:
        _in_short(page, item)
    sheet.blank()
    for caution in gluing.cautions:
        if caution.topic in ("glue", "press", "turning"):
            sheet.line(caution.text, Look.CAUTION)
    for item in gluing.panels:
        if item.lines:
            if item is not gluing.panels[0]:
                sheet.new_page()
            _details(page, item, gluing)
    glue_figures(sheet, inputs, gluing, amounts=page.amounts, live=live)
    figures_used(sheet, gluing)
    _settings(page)
    return sheet.sheet


def glue_assumptions(inputs: Inputs) -> list[Assumption]:
    """The defaults used for glue, press and air, which this sheet lists in place of Summary."""
    return [item for item in inputs.assumptions if item.name in _GLUE_SETTINGS]


def _in_short(page: _Page, item: PanelGluing) -> None:
    """How to glue a panel up in a few sentences, and what to look at first."""
    sheet, panel = page.sheet, item.panel
    copies = f", one of {panel.copies} copies" if panel.copies > 1 else ""
    layers, lines = counted(len(panel.layers), "layer"), counted(item.lines, "glue line")
    sheet.section(f"Panel {panel.name}{copies}: {layers}, {lines}")
    if not item.lines:
        sheet.line("One layer only: nothing to glue.")
        return
    for text in _sentences(page, item):
        sheet.line(text, Look.STRONG)
    sheet.line(rest_sentence(item), Look.STRONG)
    for text, look in _look_first(item):
        sheet.line(text, look)


def _details(page: _Page, item: PanelGluing, gluing: Gluing) -> None:
    sheet = page.sheet
    _glue_ups(page, item)
    _press(page, item)
    water_blocks(sheet, item, page.measure)
    movement_block(sheet, item, gluing.air, page.measure, page.amounts, page.inputs)


def _sentences(page: _Page, item: PanelGluing) -> list[str]:
    texts = [stage_sentence(item, page.inputs, page.amounts)]
    shop, amounts = page.inputs.shop, page.amounts
    if item.mix is None or item.pressing is None:
        return [*texts, "Glue and clamps cannot be told: give the panel's length and width on Panels or Job."]
    volume = amounts.volume_text(item.mix.to_mix_g / shop.glue_density_g_ml)
    left = f", of which {shop.left_over_pct:g} % stays in pot and roller" if shop.left_over_pct else ""
    texts.append(f"Mix {amounts.mass_text(item.mix.to_mix_g)} of glue in all, about {volume}{left}.")
    press = item.pressing
    texts.append(
        f"Press the face with {amounts.force_text(press.force_n)} ({amounts.pressure_text(press.asked_kpa)}), however "
        f"many layers lie in the press: {_clamps(press.needed)} of {amounts.force_text(shop.clamp_force_n)}."
    )
    return texts


def stage_sentence(item: PanelGluing, inputs: Inputs, amounts: Amounts) -> str:
    """How many layers, lines and glue-ups, and why so many."""
    shop, stages = inputs.shop, item.stages
    layers = len(item.panel.layers)
    head = f"{counted(layers, 'layer')} {'has' if layers == 1 else 'have'} {counted(item.lines, 'glue line')}."
    time = (
        f"the {duration_text(stages.limit_s)} that the glue gives at {amounts.temperature_text(shop.shop_c)}, "
        f"with {duration_text(shop.line_s)} a layer and {duration_text(shop.closing_s)} to close"
    )
    if not stages.times:
        return f"{head} Not even one fits {time}: take a slower glue, or spread and close faster."
    wished = stages.most_lines < stages.fitting
    limit = "you want no more than that at once (Most lines at once on Shop)" if wished else f"no more fit {time}"
    number = len(stages.times)
    if number == 1:
        return f"{head} All go into one glue-up; it could take {stages.most_lines}, as {limit}."
    return (
        f"{head} At most {stages.most_lines} go into one glue-up, as {limit}: so it takes {number} glue-ups, "
        "each laid onto the cured block of the one before."
    )


def _clamps(number: int) -> str:
    return counted(number, "clamp")


def _look_first(item: PanelGluing) -> list[tuple[str, Look]]:
    """What to look at before any glue is spread."""
    found = [(f"{finding.text}. Let it settle first.", Look.BAD) for finding in item.moisture if _counts(finding.kind)]
    unread = [finding.lots[0] for finding in item.moisture if finding.kind == "not read"]
    if item.stale:
        found.append(("The faces are older than the glue likes: surface them again just before gluing.", Look.BAD))
    if item.bleeding:
        places = ", ".join(f"{one}-{other}" for one, other in item.bleeding[:PLACES_SHOWN])
        more = ", ..." if len(item.bleeding) > PLACES_SHOWN else ""
        found.append(
            (
                f"Dark dust meets pale wood at {len(item.bleeding)} of {counted(item.lines, 'line')} (layers "
                f"{places}{more}): blow the dust off, scrape rather than sand, or seal the pale wood first.",
                Look.WATCH,
            )
        )
    if unread:
        found.append(
            (
                f"No moisture reading on Stock for {', '.join(unread)}; the moisture that the shop's air gives is "
                "taken for them.",
                Look.INTRO,
            )
        )
    return found


def _counts(kind: str) -> bool:
    return kind != "not read"


def _glue_ups(page: _Page, item: PanelGluing) -> None:
    times = item.stages.times
    if not times:
        return
    sheet, amounts = page.sheet, page.amounts
    sheet.section(f"Glue-ups of panel {item.panel.name}, in minutes from the first spread")
    headings = (
        Heading("Glue-up", note="In the order to do them; each is laid onto the cured block of the one before."),
        Heading("Layers", note="Layers laid new in this glue-up; layer 1 is the first of Targets."),
        Heading("Laid onto", note="What its first layer goes onto."),
        Heading("Lines", "0", "Lines to spread. A later glue-up spreads one onto the cured block."),
        Heading(
            f"Mix ({amounts.mass_unit})",
            amounts.mass_format,
            "Face as glued x lines x spread x faces spread / (1 - left over). Follow the adhesive's data sheet.",
        ),
        Heading("Last layer (min)", "0.0", "When its last layer must lie: lines x time per layer."),
        Heading("Pressed (min)", "0.0", "When full pressure must be on: plus closing time."),
        Heading("To spare (min)", "0.0", "Assembly time in this shop less that. A shop warmer than the data sheet "
                "states halves it for each 10 K (common practice, no source)."),
        Heading("Clamps off (min)", "0", "Not before: plus clamp time."),
    )  # fmt: skip
    records = [_glue_up(page, item, each, row) for row, each in enumerate(times, sheet.next_row + 1)]
    sheet.table(headings, records)


def _glue_up(page: _Page, item: PanelGluing, times: GlueUpTimes, row: int) -> list[Value]:
    up, of, panel = times.glue_up, page.live.of, plain(item.panel.name)
    mix = item.mix_of_one_line
    layers = f"{up.first_layer} to {up.last_layer}" if up.layers > 1 else str(up.first_layer)
    return [
        f"Glue-up {up.number}",
        layers,
        f"layer {up.first_layer - 1}" if up.onto_block else "nothing",
        up.lines,
        None if mix is None else Figure(page.amounts.mass(mix.to_mix_g * up.lines), of(f"D{row}*[mix of {panel}]")),
        Figure(minutes(times.line_done_s[-1]), of(f"D{row}*[Time per layer]")),
        Figure(minutes(times.closed_s), of(f"F{row}+[Closing time]")),
        Figure(minutes(times.spare_s), of(f"[Assembly time]-G{row}")),
        Figure(minutes(times.released_s), of(f"G{row}+[Clamp time]")),
    ]


def _press(page: _Page, item: PanelGluing) -> None:
    press, sheet, amounts = item.pressing, page.sheet, page.amounts
    if press is None:
        return
    sheet.section(f"Pressing panel {item.panel.name}")
    measure, shop = page.measure, page.inputs.shop
    area = measure.of_board(measure.of_board(press.area_mm2))
    rows = "one row" if press.rows == 1 else f"{press.rows} rows"
    sheet.line(
        f"Set {_clamps(press.used)} in {rows}, {measure.board_text(press.spacing_mm)} apart, on cauls at least "
        f"{measure.least_text(press.caul_mm)} thick; {CAULS_SPREAD.removesuffix(' (common practice, no source)')}. "
        f"Tighten a little, set the layers flush, then tighten fully. {_slip(page)}"
    )
    headings = (
        Heading("How", note="What is wanted, what the clamps give, and what a vacuum bag would give."),
        Heading(f"Pressure ({amounts.pressure_unit})", "0.0", "Pressure on the face: force / face as glued. Published "
                "figures disagree; follow the adhesive's data sheet."),
        Heading(f"Force ({amounts.force_unit})", "#,##0", "Pressure x face as glued, once: the same force passes "
                f"through every line. Face: {area:,.1f} {measure.board_unit}2."),
        Heading(f"Short ({amounts.pressure_unit})", "0.0", "Pressure wanted less pressure given, never below 0."),
        Heading("What it means", note="Whether that presses as hard as is wanted."),
    )  # fmt: skip
    sheet.table(headings, _press_rows(page, item, sheet.next_row + 1))
    if shop.clamps and press.short_kpa > 0.0:
        sheet.line(
            f"{_clamps(press.used)} cannot give the pressure wanted: it takes {press.needed}. Use more or stronger "
            "clamps, or a press, or a glue that wants less.",
            Look.BAD,
        )


def _slip(page: _Page) -> str:
    shop, job, measure = page.inputs.shop, page.inputs.job, page.measure
    if shop.slip_mm:
        return (
            f"The layers are {measure.board_text(shop.slip_mm)} larger at each end and edge for slipping on wet glue."
        )
    trims = f"{measure.board_text(job.end_trim_mm)} at the ends and {measure.board_text(job.edge_trim_mm)} at the edges"
    return (
        f"Layers slip on wet glue: what they slip must stay within the trim ({trims}), or set Slip allowance on Shop."
    )


def _press_rows(page: _Page, item: PanelGluing, first: int) -> list[list[Value]]:
    press, shop, amounts = item.pressing, page.inputs.shop, page.amounts
    if press is None:
        return []

    def row(place: int, how: str, kpa: float, short_kpa: float, words: str, look: Look = Look.TEXT) -> list[Value]:
        force_n, at_row = kpa * press.area_mm2 / 1000.0, first + place
        force = page.live.of(f"B{at_row}*[face of {plain(item.panel.name)}]{'' if amounts.inch else '/1000'}")
        return [
            how,
            amounts.pressure(kpa),
            Figure(amounts.force(force_n), force),
            Figure(amounts.pressure(short_kpa), f"MAX(0,B{first}-B{at_row})" if place else None),
            ReportCell(words, look, columns=len(WIDTHS) - 4),
        ]

    at = f"at {amounts.height_text(shop.altitude_mm)} above the sea"
    by = f"by its gauge, {at}" if shop.vacuum_kpa is not None else f"no more is possible {at}"
    bag = f"{_enough(press.vacuum_short_kpa)}; {by}"
    hand_look = Look.WATCH if press.short_kpa > 0.0 else Look.TEXT
    bag_look = Look.WATCH if press.vacuum_short_kpa > 0.0 and shop.vacuum_kpa is not None else Look.TEXT
    hand = "at hand" if shop.clamps else "needed"
    return [
        row(0, "Wanted", press.asked_kpa, 0.0, "as set on Shop; the adhesive's data sheet comes first"),
        row(1, f"{_clamps(press.used)} {hand}", press.given_kpa, press.short_kpa, _enough(press.short_kpa), hand_look),
        row(
            2,
            "Vacuum bag",
            press.vacuum_kpa,
            press.vacuum_short_kpa,
            bag,
            bag_look,
        ),
    ]


def _enough(short_kpa: float) -> str:
    return "not enough for the pressure wanted" if short_kpa > 0.0 else "gives the pressure wanted"


def _settings(page: _Page) -> None:
    found = glue_assumptions(page.inputs)
    if not found:
        return
    sheet = page.sheet
    sheet.section("Assumed for glue, press and air, because the workbook does not say")
    width = len(WIDTHS) - 3
    for item in found:
        sheet.grow(sheet.next_row, item.why, sum(WIDTHS[-width:]))
        value = default_in(_GLUE_SETTINGS[item.name], item.value, page.measure.board_unit)
        cells = [ReportCell(item.name), ReportCell(value), ReportCell(item.sheet)]
        sheet.sheet.rows.append([*cells, ReportCell(item.why, Look.WRAPPED, columns=width)])
