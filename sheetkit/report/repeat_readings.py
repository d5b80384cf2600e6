"""Repeat readings: whether the caliper will do. A block of the sheet Thickness check."""

from sheetkit.job.gauging import Gauging
from sheetkit.job.measure import Measure
from sheetkit.job.wording import counted
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Look
from sheetkit.report.words import finer
from sheetkit.trade.gauge import ENOUGH_CATEGORIES, Study


def repeat_block(sheet: SheetBuilder, gauge: Gauging, measure: Measure) -> None:
    """The verdict in words, then the figures; nothing where nothing was read again."""
    if not gauge.readings:
        return
    sheet.section("Repeat readings: will the caliper do?")
    found = gauge.study
    if found is None:
        sheet.line(
            "No slice was read twice by the same person with the same tool, so nothing can be said. "
            "Read each slice again at its marked place.",
            Look.WATCH,
        )
        return
    if gauge.tolerance_mm:
        sheet.line(found.verdict(gauge.tolerance_mm), Look.WRAPPED)
    sheet.line(_meaning(gauge, found))
    unit = measure.unit
    headings = [
        Heading(f"Spread ({unit})", finer(measure), "Standard deviation."),
        Heading("Of what", note="Which part of the spread this is."),
        Heading("Of the spread", "0.0%", "As a share of the whole spread of the slices read again."),
        Heading("Of the tolerance", "0.0%", "Six spreads as a share of the whole tolerance, the tightest of the job."),
    ]
    sheet.table(headings, _records(gauge, found, measure), name="repeat_readings")
    sheet.line(_details(gauge, found))


def _records(gauge: Gauging, found: Study, measure: Measure) -> list[list[Value]]:
    parts = (
        ("same hand again", found.repeatability_mm, True),
        ("between hands", found.reproducibility_mm, True),
        ("measuring in all", found.measuring_mm, True),
        ("slice to slice", found.slices_mm, False),
        ("whole", found.total_mm, False),
    )
    return [
        [
            measure.of(spread),
            name,
            spread / found.total_mm if found.total_mm else None,
            3 * spread / gauge.tolerance_mm if gauge.tolerance_mm and measuring else None,
        ]
        for name, spread, measuring in parts
        if spread is not None
    ]


def _meaning(gauge: Gauging, found: Study) -> str:
    words = "Same hand again is repeatability: one person, one tool, one slice. "
    if found.reproducibility_mm is None:
        words += (
            "With one hand, or where not every hand read every slice equally often, the difference between hands "
            "(reproducibility) is not known. "
        )
    else:
        words += "Between hands is reproducibility: another person or another tool. "
    if gauge.given:
        return words + "The verdicts above go by Caliper repeatability on Shop, which wins."
    return words + "The verdicts above count measuring in all beside the caliper's division."


def _details(gauge: Gauging, found: Study) -> str:
    classes = "any number of" if found.categories == float("inf") else str(int(found.categories))
    words = (
        f"{gauge.readings} readings of {counted(gauge.slices, 'slice')} by {counted(gauge.hands, 'hand')}, by "
        f"{found.method}. "
        f"The readings can tell {classes} classes of slices apart; {ENOUGH_CATEGORIES} are wanted."
    )
    table = found.table
    if table is None:
        return words
    return f"{words} Interaction of slice and hand: F = {table.interaction_f:.2f}, chance {table.interaction_p:.3f}."
