"""Thickness check: each slice against its tolerance, judged by its worst reading."""

from collections import Counter

from sheetkit.job.checking import CheckedSlice
from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Link, Look, ReportCell, ReportSheet
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.thickness import Verdict

WIDTHS = (12, 20, 11, 11, 11, 11, 12, 14, 11, 11, 11, 26)
LOOK_OF_VERDICT = {
    Verdict.IN: Look.GOOD,
    Verdict.MEAN_ONLY: Look.GOOD,
    Verdict.BORDERLINE: Look.WATCH,
    Verdict.OUT: Look.BAD,
    Verdict.NO_READING: Look.QUIET,
}


def tolerance_sentence(results: Results) -> str:
    """How many slices are in, out and borderline."""
    counts = Counter(item.check.verdict for item in results.checks if item.check is not None)
    measured = sum(counts.values()) - counts[Verdict.NO_READING]
    if not measured:
        return "No slice has been measured yet."
    kept = counts[Verdict.IN] + counts[Verdict.MEAN_ONLY]
    parts = [f"{kept} of {measured} measured slices in tolerance"]
    parts += [f"{counts[Verdict.BORDERLINE]} borderline"] if counts[Verdict.BORDERLINE] else []
    parts += [f"{counts[Verdict.OUT]} out"] if counts[Verdict.OUT] else []
    return ", ".join(parts) + "."


def thickness_check(inputs: Inputs, results: Results, measure: Measure, name: str) -> ReportSheet:
    """Build the sheet."""
    sheet = SheetBuilder("thickness_check", name, "Thickness check", WIDTHS, landscape=True)
    sheet.line(tolerance_sentence(results), Look.STRONG)
    if not results.checks:
        sheet.line("Type one row a slice into Measurements: its name, what was set, and the readings.")
        return sheet.sheet
    sheet.line(
        "A slice is judged by its worst reading against the layer it is nearest to. Borderline means that the caliper "
        f"(division {measure.text(inputs.shop.caliper_mm)}) cannot tell; such a slice does not count for the panels."
    )
    notes = dict.fromkeys(note for item in results.checks if item.check for note in item.check.notes)
    for note in notes:
        sheet.line(note, Look.CAUTION)
    sheet.blank()
    unit, fine, signed = measure.unit, measure.fine, measure.signed
    headings = (
        Heading("Slice", note="Click to go to its row on Measurements."),
        Heading("Wood"),
        Heading(f"As sawn ({unit})", fine, "What it should measure."),
        Heading(f"Tolerance ({unit})", fine, "Either way."),
        Heading(f"Mean ({unit})", fine, "Of all its readings."),
        Heading(f"Worst ({unit})", fine, "The reading farthest from what it should measure."),
        Heading(f"Off by ({unit})", signed, "Worst reading less what it should measure."),
        Heading("Worst at"),
        Heading(f"End taper ({unit})", signed, "Far less near: feed or drift of the blade."),
        Heading(f"Side taper ({unit})", signed, "Right less left: table or fence not square."),
        Heading(f"Bow ({unit})", signed, "Middle less corners: the blade bows in the cut."),
        Heading("Verdict"),
    )
    first = sheet.next_row
    sheet.table(headings, [_record(item, measure) for item in results.checks], name="slices_checked")
    sheet.freeze_at(first)
    return sheet.sheet


def _record(item: CheckedSlice, measure: Measure) -> list[Value]:
    row = item.slice.row
    slice_cell = ReportCell(row.slice, link=Link(row.place.sheet, row.place.cell("slice")))
    if item.check is None or item.need is None:
        why = "no layer of its wood" if item.slice.species else "board not known"
        return [slice_cell, item.slice.species, *([None] * 9), ReportCell(why, Look.QUIET)]
    shape = item.check.shape

    def length(value_mm: float | None) -> float | None:
        return None if value_mm is None else measure.of(value_mm)

    return [
        slice_cell,
        item.slice.species,
        measure.of(item.need.sawn_mm),
        measure.of(item.need.tolerance_mm),
        length(shape.mean_mm) if shape else None,
        length(item.check.worst_mm),
        length(item.check.worst_off_mm),
        item.check.worst_at,
        length(shape.end_taper_mm) if shape else None,
        length(shape.side_taper_mm) if shape else None,
        length(shape.bow_mm) if shape else None,
        ReportCell(_verdict(item), LOOK_OF_VERDICT[item.check.verdict]),
    ]


def _verdict(item: CheckedSlice) -> str:
    words = item.check.verdict.value if item.check else ""
    return words if item.slice.row.use else f"{words}, not to be used"
