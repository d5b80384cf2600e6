"""Blocks of the sheet Glue-up: the water of the glue, the curl, and the rest before machining."""

from sheetkit.job.glue_water import GlueWater, KindWater
from sheetkit.job.gluing import PanelGluing
from sheetkit.job.measure import Measure
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Look, ReportCell
from sheetkit.trade.glue_water import is_worth_a_warning, water_sentence

RISE = (
    "100 x spread x water share x lines / (dry density x thickness), the lines being 1 for an inner layer and 1/2 for "
    "an outer one; all water is taken to go into the wood. Dry density: 1000 kg/m3 x specific gravity at 12 %."
)
SWELLING = (
    "Width x movement for each per cent x rise of moisture up to 30 %, if nothing held it: Wood Handbook, "
    "FPL-GTR-190, Eq. (13-2)."
)
REST = (
    "Least rest on Shop, or longer: until 1 point of the stack's rise is left, with 16 days for an inch (common "
    "practice, no source) and time as thickness squared, edges and ends open: Crank, The Mathematics of Diffusion "
    "(1975), Eq. (4.18); Newman (1936), from memory, for the edges and ends. An estimate."
)
CURL = (
    "If it lay free, wet on one face: Timoshenko (1925), two strips of one thickness, the wet half with twice the "
    "rise. In words: by how high its edge would stand against its width."
)


def water_blocks(sheet: SheetBuilder, item: PanelGluing, measure: Measure) -> None:
    """What the water does, then this glue beside one without water; of a glue without any, only that it has none."""
    sheet.section(f"Water from the glue, panel {item.panel.name}")
    water = item.water
    rise = water.layers.greatest_rise_pct
    warned = rise is not None and is_worth_a_warning(water.start_pct, rise)
    sheet.line(water_sentence(water.layers, water.start_pct), Look.WATCH if warned else Look.STRONG)
    if water.layers.water_gsm:
        _kinds(sheet, item, measure)
        _rest_and_compare(sheet, item)


def _kinds(sheet: SheetBuilder, item: PanelGluing, measure: Measure) -> None:
    width_mm = item.width_as_glued_mm
    wide = f"({measure.unit})" if width_mm is not None else "(% of width)"
    length = measure.fine if width_mm is not None else "0.00"
    high = measure.board_unit
    headings = (
        Heading("Wood", note="Of the layers."),
        Heading(f"Layer ({measure.unit})", measure.fine, "Finished thickness."),
        Heading("Layers", "0", "How many there are of this wood and thickness."),
        Heading("Before (%)", "0.0", "Moisture before gluing: the wettest of its boards by your meter; where none is "
                "measured, what the shop's air keeps wood at."),
        Heading("Rise (points)", "0.00", RISE),
        Heading("After (%)", "0.0", "Before plus rise. Above about 30 % wood swells no further."),
        Heading(f"Wider, flat {wide}", length, "Swelling across the face where the slice is flat-sawn. " + SWELLING),
        Heading(f"Wider, qtr {wide}", length, "Swelling across the face where it is quarter-sawn. " + SWELLING),
        Heading("Curl", note=CURL),
        Heading(f"Edge up ({high})", measure.panel, "How high the edge of a free slice would stand. " + CURL),
    )  # fmt: skip
    first = sheet.next_row + 1
    kinds = item.water.kinds
    sheet.table(headings, [_kind(each, width_mm, measure, row) for row, each in enumerate(kinds, first)])
    bare = dict.fromkeys(each.kind.species for each in item.water.kinds if each.rise_pct is None)
    if bare:
        sheet.line(
            f"No density is known for {', '.join(bare)}: what the water does to it is left out, and may be more. Give "
            "its specific gravity on Species.",
            Look.WATCH,
        )


def _kind(each: KindWater, width_mm: float | None, measure: Measure, row: int) -> list[Value]:
    def wider(share_pct: float | None) -> Value:
        if share_pct is None:
            return None
        return round(share_pct, 6) if width_mm is None else measure.of(width_mm * share_pct / 100.0)

    curl = each.curl
    look = Look.WATCH if curl is not None and curl.words not in ("none", "slight") else Look.TEXT
    return [
        each.kind.species,
        measure.of(each.kind.finished_mm),
        len(each.kind.places),
        round(each.kind.start_pct, 12),
        points(each.rise_pct),
        points(each.wet_pct, f"=D{row}+E{row}"),
        wider(each.flat_pct),
        wider(each.quarter_pct),
        None if curl is None else ReportCell(curl.words, look),
        None if curl is None else measure.of_board(curl.height_mm),
    ]


def points(value_pct: float | None, formula: str | None = None) -> ReportCell | None:
    """Points of moisture with three figures, whatever their size."""
    if value_pct is None:
        return None
    number_format = "0.00" if abs(value_pct) < 9.995 else "0.0" if abs(value_pct) < 99.95 else "0"
    return ReportCell(round(value_pct, 12), number_format=number_format, formula=formula)


def _rest_and_compare(sheet: SheetBuilder, item: PanelGluing) -> None:
    sheet.section(f"This glue beside one without water, panel {item.panel.name}")
    both = [item.water, item.dry]
    headings = (Heading("What", note="The same panel with the glue set on Shop, and with a glue without water."),
                Heading("This glue", note="With Water in glue and Glue spread as on Shop."),
                Heading("Without water", note="A glue that holds no water, spread alike."))  # fmt: skip
    dates = [item.machine_from, item.machine_from_dry]
    rows: list[list[Value]] = [
        ["Water a line (g/m2)", *(ReportCell(round(each.layers.water_gsm, 4), number_format="0") for each in both)],
        ["Wettest layer (points)", *(points(each.layers.greatest_rise_pct) for each in both)],
        ["Whole stack (points)", *(points(each.layers.stack_rise_pct) for each in both)],
        ["Widest swelling (%)", *(points(each.worst_swelling_pct) for each in both)],
        ["Worst curl", *(_worst_curl(each) for each in both)],
        [
            ReportCell("Days of rest", note=REST),
            *(ReportCell(round(each.rest_days, 4), number_format="0") for each in both),
        ],
    ]
    if item.machine_from is not None:
        rows.append(["Not to machine before", *(ReportCell(day, number_format="yyyy-mm-dd") for day in dates)])
    sheet.table(headings, rows)


def rest_sentence(item: PanelGluing) -> str:
    """How long to let a panel rest, from which day on to machine it, and what tells it better where water leaves."""
    days = item.water.rest_days
    day = "" if item.machine_from is None else f": not before {item.machine_from.isoformat()}"
    wet = item.water.layers.water_gsm > 0
    word = "about" if item.water.rest_known else "at least"
    number = f"{days:.0f}"
    text = f"Let it rest {word} {number} {'day' if number == '1' else 'days'} before you machine it{day}."
    if not wet:
        return f"{text} This glue brings no water that must leave: it cures as its data sheet says."
    if not item.water.rest_known:
        text += " It may take longer: without a density for each wood the water's way out cannot be reckoned."
    elif days > item.dry.rest_days:
        text += " That is a rough estimate on the slow side: along the grain water leaves faster."
    return text + " Weighing is the better test: it has dried when it stops losing. Machined too early, the lines show."


def _worst_curl(water: GlueWater) -> ReportCell | None:
    curl = water.worst_curl
    return None if curl is None else ReportCell(curl.words, Look.NO_NUMBER)
