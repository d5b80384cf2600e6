"""Dial settings: the offset that the readings teach, wood by wood, and what to dial next."""

from sheetkit.job.measure import Measure
from sheetkit.job.needs import Need
from sheetkit.job.planning import dial_of, setting_of
from sheetkit.job.results import Results
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.dial_chart import dial_chart
from sheetkit.report.live import Live, agreed, plain
from sheetkit.report.model import Look, ReportSheet
from sheetkit.report.offsets import kerf_block, offsets_block
from sheetkit.report.words import finer
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.dial import turns_and_divisions
from sheetkit.trade.exact import nearest_multiple, total_mm

WIDTHS = (22, 12, 12, 12, 12, 12, 12, 12, 12, 40)


def dial_settings(inputs: Inputs, results: Results, measure: Measure, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        name: the tab's name
        live: the cells that formulas may build upon
    """
    sheet = SheetBuilder("dial_settings", name, "Dial settings", WIDTHS, landscape=True)
    woods = list(dict.fromkeys(need.species for need in results.needs))
    for wood in woods:
        sheet.line(lesson(wood, results, measure, inputs), Look.STRONG)
    if not woods:
        sheet.line("Targets names no layer that could be read, so there is nothing to dial.", Look.STRONG)
        _used(sheet, inputs, live)
        return sheet.sheet
    _settings(sheet, inputs, results, live)
    offsets_block(sheet, inputs, results, woods, live)
    _apart(sheet, results, measure)
    kerf_block(sheet, inputs, results, woods, live)
    _meaning(sheet, inputs, measure)
    _used(sheet, inputs, live)
    dial_chart(sheet, results, live)
    return sheet.sheet


def lesson(wood: str, results: Results, measure: Measure, inputs: Inputs) -> str:
    """One sentence: what the readings of a wood say."""
    learned = results.learned.of(wood)
    if not learned.readings:
        return (
            f"{wood}: no readings yet, so the setting rests on {learned.rests_on}. Saw one slice, measure it, refresh."
        )
    side = "thicker" if learned.offset_mm >= 0 else "thinner"
    slices = "1 slice" if learned.slices == 1 else f"{learned.slices} slices"
    return (
        f"{wood}: {slices} measured; they come off {measure.text(abs(learned.offset_mm))} {side} than set, "
        f"so the blade takes {measure.text(learned.kerf_mm)}, "
        f"not the {measure.text(inputs.shop.kerf_allowance_mm)} dialled."
    )


def _settings(sheet: SheetBuilder, inputs: Inputs, results: Results, live: Live) -> None:
    sheet.section("What to dial next")
    unit, fine = live.measure.unit, live.measure.fine
    headings = (
        Heading("Wood", note="Each wood is dialled on its own: the blade takes more of one than of another."),
        Heading(f"Layer ({unit})", fine, "Finished thickness."),
        Heading(f"As sawn ({unit})", fine, "Finished thickness and what sanding takes."),
        Heading(f"Tolerance ({unit})", fine, "Either way."),
        Heading(f"Set ({unit})", fine, "Beyond the kerf allowance, on a mark of the dial.", Look.STRONG),
        Heading("Turns", "0", "Of the whole advance: kerf allowance and set thickness.", Look.STRONG),
        Heading("Divisions", "0", "After the whole turns.", Look.STRONG),
        Heading(f"Expect ({unit})", fine, "Thickness that should come off."),
        Heading("In tolerance", "0%", "Chance that the next slice is. Empty while the readings are too few to say."),
        Heading("For panels", note="The panels that have such layers.", look=Look.WRAPPED),
    )
    grouped: dict[tuple[str, float], list[Need]] = {}
    for need in results.needs:
        grouped.setdefault((need.species, need.finished_mm), []).append(need)
    first = sheet.next_row + 1
    records = [_setting(needs, inputs, results, live, row) for row, needs in enumerate(grouped.values(), first)]
    sheet.table(headings, records, name="settings_next")


def _setting(needs: list[Need], inputs: Inputs, results: Results, live: Live, row: int) -> list[Value]:
    measure = live.measure
    need = min(needs, key=lambda item: item.tolerance_mm)
    dial = dial_of(inputs)
    setting = setting_of(need, results.learned, dial)
    advance = total_mm([setting.set_mm, inputs.shop.kerf_allowance_mm])
    turns, divisions = turns_and_divisions(max(0, nearest_multiple(advance, dial.division_mm)), dial)
    expected = live.of(f"E{row}+[{plain(f'offset {need.species}')}]")
    of_offset = setting.set_mm + results.learned.of(need.species).offset_mm
    return [
        need.species,
        measure.of(need.finished_mm),
        Figure(measure.of(need.sawn_mm), live.of(f"B{row}+2*[Sanding per face]")),
        measure.of(need.tolerance_mm),
        measure.of(setting.set_mm),
        turns,
        divisions,
        Figure(measure.of(setting.expected_mm), agreed(expected, of_offset, setting.expected_mm)),
        setting.chance,
        ", ".join(dict.fromkeys(item.panel for item in needs)),
    ]


def _apart(sheet: SheetBuilder, results: Results, measure: Measure) -> None:
    if not results.learned.apart:
        return
    sheet.section("Left out of the offsets, because they stand apart")
    for item, flag in results.learned.apart:
        with_all = results.learned.with_all.of(item.species or "", item.row.blade)
        sheet.line(
            f"Slice {item.row.slice}: {measure.text(abs(flag.deviation_mm))} "
            f"{'over' if flag.deviation_mm > 0 else 'under'} the others of its wood. "
            f"With every reading the offset would be {measure.text(with_all.offset_mm)}.",
            Look.WATCH,
        )


def _meaning(sheet: SheetBuilder, inputs: Inputs, measure: Measure) -> None:
    sheet.section("How it is worked out")
    allowance = measure.text(inputs.shop.kerf_allowance_mm)
    for text in (
        f"The fence moves by the set thickness and the kerf allowance of {allowance}; the slice is that advance less "
        "the true kerf. So slice = set + offset, and offset = kerf allowance - true kerf.",
        "Each wood's offset is learned from its own slices; while they are few it leans on the other woods, "
        "and with none at all it rests on theirs or on Known offset on Shop.",
        "Set = layer as sawn less offset, on the nearest mark of the dial.",
    ):
        sheet.line(text)


def _used(sheet: SheetBuilder, inputs: Inputs, live: Live) -> None:
    """The shop's settings that figures on several sheets build upon, each with its own cell."""
    sheet.section("Settings that the figures rest on")
    shop, measure = inputs.shop, live.measure
    settings = (
        ("Dial turn", "dial_turn_mm", dial_of(inputs).travel_per_turn_mm),
        ("Dial division", "dial_division_mm", shop.dial_division_mm),
        ("Kerf allowance", "kerf_allowance_mm", shop.kerf_allowance_mm),
        ("Truing pass", "truing_mm", shop.truing_mm),
        ("Held back", "held_mm", shop.held_mm),
        ("Sanding per face", "sanding_mm", shop.sanding_mm),
        ("Glue line", "glue_line_mm", shop.glue_line_mm),
    )
    shown = [measure.of(length_mm) for _, _, length_mm in settings]
    whole = all(round(length, measure.decimals) == length for length in shown)
    code = measure.fine if whole else finer(measure)
    headings = (
        Heading("Setting", note="As it is called on Shop."),
        Heading(f"Used ({measure.unit})", code, "From Shop, or what is assumed where Shop does not say."),
    )
    records: list[list[Value]] = []
    for row, (name, field, length_mm) in enumerate(settings, sheet.next_row + 1):
        place = inputs.setting_places.get(f"Shop.{field}")
        records.append([name, Figure(measure.of(length_mm), live.length(place, field, length_mm))])
        live.keep(name, sheet.sheet, row, 2)
    sheet.table(headings, records, name="settings_used")
