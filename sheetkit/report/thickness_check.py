"""Thickness check: each slice against its tolerance, judged by its worst reading."""

from collections import Counter
from statistics import NormalDist

from sheetkit.job.checking import CheckedSlice
from sheetkit.job.measure import Measure
from sheetkit.job.needs import alike
from sheetkit.job.results import Results
from sheetkit.job.shapes import Form
from sheetkit.report.builder import Figure, Heading, Records, SheetBuilder, Value
from sheetkit.report.live import Live
from sheetkit.report.model import Link, Look, ReportCell, ReportSheet
from sheetkit.report.process import alarms, process_block
from sheetkit.report.process_charts import run_charts
from sheetkit.report.readings_live import shape_formulas
from sheetkit.report.repeat_readings import repeat_block
from sheetkit.report.words import NONE_BEFORE, finer, finer_signed, finer_text, with_blade
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.thickness import RISK, Verdict

WIDTHS = (12, 22, 11, 11, 11, 11, 11, 11, 12, 12, 11, 11, 11, 11, 28)
LOOK_OF_VERDICT = {
    Verdict.IN: Look.GOOD,
    Verdict.MEAN_ONLY: Look.GOOD,
    Verdict.BORDERLINE: Look.WATCH,
    Verdict.OUT: Look.BAD,
    Verdict.NO_READING: Look.QUIET,
}


def tolerance_sentence(results: Results) -> str:
    """How many slices are in, out and borderline, and which wood drifts out of tolerance."""
    drifting = [
        f" {with_blade(run.species, run.blade)} drifts: "
        + (f"{run.first_out} would be the first out." if run.first_out else f"first out, {NONE_BEFORE}.")
        for run in results.runs
        if run.first_out or run.used_up
    ]
    return _tally(results) + "".join(drifting)


def _tally(results: Results) -> str:
    counts = Counter(item.check.verdict for item in results.checks if item.check is not None)
    measured = sum(counts.values()) - counts[Verdict.NO_READING]
    if not measured:
        return "No slice has been measured yet."
    kept = counts[Verdict.IN] + counts[Verdict.MEAN_ONLY]
    parts = [f"{kept} of {measured} measured slices in tolerance"]
    parts += [f"{counts[Verdict.BORDERLINE]} borderline"] if counts[Verdict.BORDERLINE] else []
    parts += [f"{counts[Verdict.OUT]} out"] if counts[Verdict.OUT] else []
    return ", ".join(parts) + "."


def thickness_check(inputs: Inputs, results: Results, measure: Measure, name: str, live: Live) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        name: the tab's name
        live: the cells that formulas may build upon
    """
    sheet = SheetBuilder("thickness_check", name, "Thickness check", WIDTHS, landscape=True)
    sheet.line(_tally(results), Look.STRONG)
    if not results.checks:
        sheet.line("Type one row a slice into Measurements: its name, what was set, and the readings.")
        repeat_block(sheet, results.gauge, measure)
        return sheet.sheet
    for text in alarms(results.runs, measure):
        sheet.line(text, Look.WATCH)
    _how_it_is_judged(sheet, inputs, results, measure)
    further = sheet.next_row
    if results.runs:
        sheet.blank()
    _slices(sheet, results, live)
    _forms(sheet, inputs, results, measure)
    repeat_block(sheet, results.gauge, measure)
    if results.runs:
        link = Link(name, f"A{sheet.next_row + 1}")
        words = "How steady the sawing is, drift, capability and charts: below the slices."
        sheet.sheet.rows[further - 1] = [ReportCell(words, link=link, columns=len(WIDTHS))]
        process_block(sheet, results.runs, live)
        run_charts(sheet, results.runs, live)
    return sheet.sheet


def _how_it_is_judged(sheet: SheetBuilder, inputs: Inputs, results: Results, measure: Measure) -> None:
    gauge = results.gauge
    factor = NormalDist().inv_cdf(1 - RISK)
    source = f"the caliper's division ({measure.text(inputs.shop.caliper_mm)}, over the root of 12)"
    if gauge.repeatability_mm:
        source += f" and the spread of repeat readings ({finer_text(gauge.repeatability_mm, measure)})"
    sheet.line(
        "A slice is judged by its worst reading against the layer it is nearest to. A reading is in when it lies "
        f"inside the limit by a guard band of {finer_text(factor * gauge.uncertainty_mm, measure)}, and out when it "
        f"lies beyond it by as much: {factor:.2f} times the uncertainty of one reading, so that a reading called "
        f"in has a risk of at most {RISK:.0%} of being out. Between the two it is borderline: the caliper cannot tell, "
        "and the slice does not count for the panels."
    )
    if any(len({other.tolerance_mm for other in alike(need, results.needs)}) > 1 for need in results.needs):
        sheet.line(
            "Layers of one wood and thickness ask for different tolerances: a slice is judged by the tightest that it "
            "keeps, and serves only panels that ask for no tighter one."
        )
    sheet.line(f"The uncertainty of one reading is {finer_text(gauge.uncertainty_mm, measure)}, from {source}.")
    for note in dict.fromkeys(note for item in results.checks if item.check for note in item.check.notes):
        sheet.line(note, Look.CAUTION)


def _slices(sheet: SheetBuilder, results: Results, live: Live) -> None:
    sheet.section("Slice by slice")
    measure = live.measure
    unit, fine, signed = measure.unit, measure.fine, measure.signed
    headings = (
        Heading("Slice", note="Click to go to its row on Measurements."),
        Heading("Wood", note="Of the board that it came from."),
        Heading(f"As sawn ({unit})", fine, "What it should measure."),
        Heading(f"Tolerance ({unit})", fine, "Either way."),
        Heading(f"Mean ({unit})", fine, "Of all its readings."),
        Heading(f"Range ({unit})", fine, "Thickest less thinnest reading."),
        Heading(f"Worst ({unit})", fine, "The reading farthest from what it should measure."),
        Heading(f"Off by ({unit})", signed, "Worst reading less what it should measure."),
        Heading("Worst at", note="Where on the slice the worst reading was taken."),
        Heading(f"Uncertainty ({unit})", finer(measure), "Standard uncertainty of one reading."),
        Heading(f"Guard band ({unit})", finer(measure), "How far inside the limit the worst reading must lie."),
        Heading(f"End taper ({unit})", signed, "Far less near: feed or drift of the blade."),
        Heading(f"Side taper ({unit})", signed, "Right less left: table or fence not square."),
        Heading(f"Bow ({unit})", signed, "Middle less corners: the blade bows in the cut."),
        Heading("Verdict", note="Judged by the worst reading and the guard band. Only slices in tolerance are laid."),
    )
    first = sheet.next_row + 1
    for row, item in enumerate(results.checks, first):
        if item.check is not None and item.need is not None and item.check.shape is not None:
            live.keep(f"mean {item.slice.row.place.row}", sheet.sheet, row, 5)
    records = live.once(
        f"slices checked from row {first}",
        lambda: Records(_record(item, live, row) for row, item in enumerate(results.checks, first)),
    )
    sheet.table(headings, records, name="slices_checked")


def _record(item: CheckedSlice, live: Live, at: int) -> list[Value]:
    row, measure = item.slice.row, live.measure
    slice_cell = ReportCell(row.slice, link=Link(row.place.sheet, row.place.cell("slice")))
    if item.check is None or item.need is None:
        why = "no layer of its wood" if item.slice.species else "board not known"
        return [slice_cell, item.slice.species, *([None] * (len(WIDTHS) - 3)), ReportCell(why, Look.QUIET)]
    check, shape = item.check, item.check.shape

    formulas = shape_formulas(row, shape, live)

    def length(value_mm: float | None, formula: str | None = None) -> Value:
        return None if value_mm is None else Figure(measure.of(value_mm), formula)

    return [
        slice_cell,
        item.slice.species,
        measure.of(item.need.sawn_mm),
        measure.of(item.need.tolerance_mm),
        length(shape.mean_mm, formulas.mean) if shape else None,
        length(shape.range_mm, formulas.spread) if shape and shape.count > 1 else None,
        length(check.worst_mm),
        length(check.worst_off_mm, f"G{at}-C{at}"),
        check.worst_at,
        measure.of(check.uncertainty_mm) if shape else None,
        measure.of(check.guard_mm) if shape else None,
        length(shape.end_taper_mm, formulas.end_taper) if shape else None,
        length(shape.side_taper_mm, formulas.side_taper) if shape else None,
        length(shape.bow_mm, formulas.bow) if shape else None,
        ReportCell(_verdict(item), LOOK_OF_VERDICT[check.verdict]),
    ]


def _verdict(item: CheckedSlice) -> str:
    words = item.check.verdict.value if item.check else ""
    if item.check and item.check.verdict is Verdict.BORDERLINE and item.check.chance_in is not None:
        words += f", {item.check.chance_in:.0%} sure to be in"
    return words if item.slice.row.use else f"{words}, not to be used"


def _forms(sheet: SheetBuilder, inputs: Inputs, results: Results, measure: Measure) -> None:
    """Tapers and bow over all slices, with what usually brings them about."""
    if not results.forms:
        return
    sheet.section("Taper and bow over all slices")
    told = [form for form in results.forms if form.mean.side and abs(form.mean.mean) >= inputs.shop.caliper_mm / 2]
    for form in told:
        sheet.line(
            f"{form.name}: the slices are on average {measure.text(abs(form.mean.mean))} "
            f"{form.above if form.mean.side > 0 else form.below}, which is more than chance. Look for {form.cause}.",
            Look.WATCH,
        )
    if not told:
        sheet.line("No taper or bow shows that all slices share, beyond chance and half a caliper division.")
    unit, fine = measure.unit, finer_signed(measure)
    headings = (
        Heading("Figure", note="Each has its own cause; see the line above where one stands out."),
        Heading("Difference of", note="Which readings are compared."),
        Heading("Slices", "0", "Slices that were read at those places."),
        Heading(f"Mean ({unit})", fine, "Over all those slices."),
        Heading(f"From ({unit})", fine, "95 % confidence interval, Student's t."),
        Heading(f"To ({unit})", fine, "Upper end of that interval."),
        Heading(f"Largest ({unit})", measure.signed, "The largest of a single slice, either way."),
        Heading("At slice", note="The slice that has it."),
    )
    sheet.table(headings, [_form(form, measure) for form in results.forms], name="slice_shapes")


def _form(form: Form, measure: Measure) -> list[Value]:
    mean = form.mean
    lower, upper = (None if end is None else measure.of(end) for end in (mean.lower, mean.upper))
    return [
        form.name,
        form.sense,
        mean.count,
        measure.of(mean.mean),
        lower,
        upper,
        measure.of(form.worst_mm),
        form.worst,
    ]
