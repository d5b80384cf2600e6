"""The offsets learned, the true kerf by two ways, and the chart of measured against set: blocks of Dial settings."""

from sheetkit.job.kerfs import BoardKerf
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.live import Live, agreed
from sheetkit.report.model import Look
from sheetkit.report.words import estimate_name, finer, finer_signed, finer_text, signed_text, slices_words
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.enough import needed_for_offset
from sheetkit.trade.offset import OffsetEstimate


def estimates(results: Results, woods: list[str]) -> list[OffsetEstimate]:
    """The offset of each wood with the blade on the saw now, then those of other woods and blades with readings."""
    now = [results.learned.of(wood) for wood in woods]
    seen = {(one.species, one.blade) for one in now}
    return now + [one for one in results.learned.offsets.estimates if (one.species, one.blade) not in seen]


def offsets_block(sheet: SheetBuilder, inputs: Inputs, results: Results, woods: list[str], live: Live) -> None:
    """Offset, its uncertainty, and what the next slice may do."""
    sheet.section("What the readings say")
    sheet.line(
        "Offset: how much thicker than set a slice comes off. From, to: the offset itself lies there, 95 % confidence. "
        "Next from, next to: 95 of 100 slices to come should lie there. Empty where the readings are too few to say."
    )
    measure = live.measure
    unit, signed = measure.unit, finer_signed(measure)
    headings = (
        Heading("Wood", note="With the blade, where several are told apart."),
        Heading("Slices measured", "0", "Slices with a set thickness and a reading."),
        Heading(f"Plain mean ({unit})", signed, "Mean of measured less set, this wood and blade alone."),
        Heading(f"Offset ({unit})", signed, "Best estimate for the next slice.", Look.STRONG),
        Heading(f"Standard error ({unit})", finer(measure), "Of the offset."),
        Heading(f"From ({unit})", signed, "95 % confidence interval of the offset."),
        Heading(f"To ({unit})", signed, "Upper end of that interval."),
        Heading(f"Next from ({unit})", signed, "95 % prediction interval of the next slice's offset."),
        Heading(f"Next to ({unit})", signed, "Upper end of that interval."),
        Heading("Rests on", note="What the offset was learned from.", look=Look.WRAPPED),
    )
    found = estimates(results, woods)
    for index, row in enumerate(range(sheet.next_row + 1, sheet.next_row + 1 + len(found))):
        live.keep(f"offset {index}", sheet.sheet, row, 4)
        live.keep(f"plain mean {index}", sheet.sheet, row, 3)
        if index < len(woods):
            live.keep(f"offset {woods[index]}", sheet.sheet, row, 4)
    sheet.table(headings, [_offset(one, measure) for one in found], name="offsets_learned")
    _spreads(sheet, inputs, results, measure)
    _slope(sheet, results)
    _drift(sheet, results, measure)


def _offset(learned: OffsetEstimate, measure: Measure) -> list[Value]:
    def length(length_mm: float | None) -> float | None:
        return None if length_mm is None else measure.of(length_mm)

    return [
        estimate_name(learned),
        learned.slices,
        length(learned.raw_mean_mm),
        measure.of(learned.offset_mm),
        length(learned.standard_error_mm),
        *(length(end) for end in learned.interval_mm or (None, None)),
        *(length(end) for end in learned.next_mm or (None, None)),
        learned.rests_on,
    ]


def _spreads(sheet: SheetBuilder, inputs: Inputs, results: Results, measure: Measure) -> None:
    """Spread of slices and of woods, and how many slices pin the offset down."""
    found = results.learned.offsets
    if found.slice_sd_mm is None:
        return
    words = f"Slices of one wood spread by {finer_text(found.slice_sd_mm, measure)} (standard deviation)"
    if found.species_sd_mm is not None:
        words += f", the offsets of different woods by {finer_text(found.species_sd_mm, measure)}"
    half = inputs.shop.dial_division_mm / 2
    needed = needed_for_offset(found.slice_sd_mm, half) if found.slice_sd_mm > 0 else 2
    if needed is not None:
        words += (
            f". To know a wood's offset within half a division of the dial ({finer_text(half, measure)}) from its own "
            f"slices takes {needed} of them"
        )
    sheet.line(f"{words}.")


def _slope(sheet: SheetBuilder, results: Results) -> None:
    slope = results.learned.offsets.slope
    if slope is None:
        sheet.line(
            "Whether the slices follow the dial one for one cannot be said yet: that takes three different settings, "
            "and some wood sawn at more than one of them."
        )
        return
    sheet.line(slope.words, Look.WATCH if slope.p < 0.05 else Look.INTRO)
    sheet.line(
        f"Slope of measured on set {slope.slope:.3f}, standard error {slope.standard_error:.3f}, {slope.df} degrees of "
        f"freedom, {slope.settings} settings; chance of so large a departure from 1: {slope.p:.3f}."
    )


def _drift(sheet: SheetBuilder, results: Results, measure: Measure) -> None:
    learned = results.learned
    if learned.run is None:
        return
    drift, interval = learned.offsets.drift_mm, learned.offsets.drift_interval_mm
    if not learned.followed or drift is None or interval is None:
        sheet.line(f"Over the run of {slices_words(learned.run.slices)} the offset does not drift clearly.")
        return
    ends = " to ".join(f"{signed_text(end, measure)[:1]}{finer_text(abs(end), measure)}" for end in interval)
    sheet.line(
        f"The run of {slices_words(learned.run.slices)} drifts: {finer_text(abs(drift), measure)} "
        f"{'thicker' if drift > 0 else 'thinner'} with every cut since the blade's first ({ends}). The offsets follow "
        "that and are those of the next cut, so they differ from the plain means.",
        Look.WATCH,
    )


def kerf_block(sheet: SheetBuilder, inputs: Inputs, results: Results, woods: list[str], live: Live) -> None:
    """True kerf by wood, and by board in two ways."""
    measure = live.measure
    sheet.section("True kerf: the wood that the blade takes")
    sheet.line(
        f"Kerf = kerf allowance of {measure.text(inputs.shop.kerf_allowance_mm)} less offset, with the offset's "
        "uncertainty. It is what the blade takes, not what its packet says."
    )
    unit, fine = measure.unit, finer(measure)
    headings = (
        Heading("Wood", note="With the blade, where several are told apart."),
        Heading("Slices", "0", "Slices with a set thickness and a reading."),
        Heading(f"Plain kerf ({unit})", fine, "Advances less slices, over the cuts; this wood and blade alone."),
        Heading(f"Kerf ({unit})", fine, "Best estimate.", Look.STRONG),
        Heading(f"From ({unit})", fine, "95 % confidence interval."),
        Heading(f"To ({unit})", fine, "Upper end of that interval."),
    )
    records = [_kerf(one, index, inputs, live) for index, one in enumerate(estimates(results, woods))]
    sheet.table(headings, records, name="kerf_by_wood")
    if results.kerfs:
        sheet.blank()
        _boards(sheet, results.kerfs, measure)


def _kerf(learned: OffsetEstimate, index: int, inputs: Inputs, live: Live) -> list[Value]:
    measure, allowance = live.measure, inputs.shop.kerf_allowance_mm
    mean, less = learned.raw_mean_mm, live.of(f"[Kerf allowance]-[offset {index}]")
    return [
        estimate_name(learned),
        learned.slices,
        None
        if mean is None
        else Figure(measure.of(allowance - mean), live.of(f"[Kerf allowance]-[plain mean {index}]")),
        Figure(measure.of(learned.kerf_mm), agreed(less, allowance - learned.offset_mm, learned.kerf_mm)),
        *(None if end is None else measure.of(end) for end in learned.kerf_interval_mm or (None, None)),
    ]


def _boards(sheet: SheetBuilder, kerfs: list[BoardKerf], measure: Measure) -> None:
    sheet.line("By dial: what the fence advanced less what came off, board by board.")
    unit, fine = measure.unit, finer(measure)
    headings = [
        Heading("Board", note="As named on Stock."),
        Heading("Cuts", "0", "Slices of it with a set thickness and a reading."),
        Heading(f"By dial ({unit})", fine, "Every slice with a setting and a reading, also one that stands apart."),
        Heading(f"Its ± ({unit})", fine, "Standard uncertainty. Empty where slices were pressed together."),
    ]
    asked = any(kerf.board.now_mm is not None for kerf in kerfs)
    if not asked:
        sheet.line("Type what is left of a board into Thickness now on Stock, and the fence is checked as well.")
        sheet.table(headings, [_by_dial(kerf, measure) for kerf in kerfs], name="kerf_by_board")
        return
    sheet.line(
        "By board: what the board lost less what came off. Two ways that differ tell of a fence that does not move as "
        "dialled, or of cuts that are not on Measurements."
    )
    for kerf in kerfs:
        if kerf.comparison is not None:
            sheet.line(_compared(kerf, measure), Look.INTRO if kerf.comparison.agree else Look.WATCH)
        elif kerf.gap:
            sheet.line(f"Board {kerf.board.board}: its thickness now cannot be used, since {kerf.gap}.")
    headings += [
        Heading(f"By board ({unit})", fine, "Before the first pass less truing, less now, less slices, over the cuts."),
        Heading(f"Their ± ({unit})", fine, "Standard uncertainty."),
        Heading(f"Difference ({unit})", finer_signed(measure), "By dial less by board."),
        Heading(f"May differ ± ({unit})", fine, "Standard uncertainty of the difference; twice that is still chance."),
        Heading("Agree", note="Whether the two ways differ by no more than chance."),
    ]
    first = sheet.next_row + 1
    records = [_by_dial(kerf, measure) + _by_board(kerf, measure, row) for row, kerf in enumerate(kerfs, first)]
    sheet.table(headings, records, name="kerf_by_board")


def _by_dial(kerf: BoardKerf, measure: Measure) -> list[Value]:
    dial = kerf.by_advances
    return [
        kerf.board.board,
        dial.cuts,
        measure.of(dial.kerf_mm),
        measure.of(dial.uncertainty_mm) if kerf.single else None,
    ]


def _by_board(kerf: BoardKerf, measure: Measure, row: int) -> list[Value]:
    block, compared = kerf.by_block, kerf.comparison
    if block is None or compared is None:
        return [None] * 5
    return [
        measure.of(block.kerf_mm),
        measure.of(block.uncertainty_mm),
        Figure(measure.of(compared.difference_mm), f"C{row}-E{row}"),
        measure.of(compared.uncertainty_mm),
        "yes" if compared.agree else "no",
    ]


def _compared(kerf: BoardKerf, measure: Measure) -> str:
    words = f"Board {kerf.board.board}: {kerf.comparison.words if kerf.comparison else ''}"
    if kerf.comparison is None or kerf.comparison.agree:
        return words
    side = "more" if kerf.unexplained_mm > 0 else "less"
    words += f" In all it lost {measure.text(abs(kerf.unexplained_mm))} {side} than the dial was turned."
    if kerf.truing_mm:
        words += f" A truing pass that took that much {side} than {measure.text(kerf.truing_mm)} would do it too."
    return words
