"""How steady the sawing is: a block of the sheet Thickness check, run by run in the order of sawing."""

from sheetkit.job.measure import Measure
from sheetkit.job.process import Run
from sheetkit.report.builder import SheetBuilder
from sheetkit.report.live import Live
from sheetkit.report.model import Look
from sheetkit.report.process_tables import capability, control, drift, intervals, levels, splits
from sheetkit.report.words import NONE_BEFORE, finer_text, in_a_row, share_words, slices_words, with_blade
from sheetkit.trade.capability import next_outside
from sheetkit.trade.control import ENOUGH_FOR_LIMITS, RUN_RULES
from sheetkit.trade.enough import ENOUGH_FOR_RUNS, FEWEST_FOR_SPREAD


def run_name(run: Run, measure: Measure) -> str:
    """A run in words."""
    return f"{with_blade(run.species, run.blade)} at {measure.text(run.target_mm)}"


def alarms(runs: list[Run], measure: Measure) -> list[str]:
    """What cannot wait, of the blade on the saw: drifts that lead out of tolerance, and run rules that are broken."""
    found = []
    for run in runs:
        if not run.now:
            continue
        if run.first_out:
            found.append(
                f"{run_name(run, measure)} drifts; sawn on as it is, {run.first_out} would be the first slice out."
            )
            continue
        if run.used_up:
            found.append(f"{run_name(run, measure)} drifts; first slice out: {NONE_BEFORE}.")
        if run.signals:
            found.append(f"{run_name(run, measure)} is not steady: {run.signals[0].rule}.")
    return found


def process_block(sheet: SheetBuilder, runs: list[Run], live: Live) -> None:
    """Sentences for the maker, then every figure."""
    measure = live.measure
    sheet.section("How steady the sawing is")
    for run in runs:
        sheet.line(story(run, measure), Look.WRAPPED)
        for text in _gaps(run, measure):
            sheet.line(text)
    levels(sheet, runs, live)
    charted = [run for run in runs if run.chart is not None]
    if charted:
        _signals(sheet, charted, measure)
        control(sheet, charted, measure)
    drift(sheet, [run for run in runs if run.drift is not None], measure)
    splits(sheet, [run for run in runs if run.split is not None], measure)
    capability(sheet, [run for run in runs if run.capability is not None], measure)
    intervals(sheet, [run for run in runs if run.interval is not None], measure)
    _rules(sheet)


def story(run: Run, measure: Measure) -> str:
    """What a run says, for a maker who knows no statistics."""
    count, bias = len(run.values_mm), run.batch.bias_mm
    start = f"{run_name(run, measure)}: {slices_words(count)} measured one by one"
    where = "on target" if abs(bias) < 1e-6 else f"{measure.text(abs(bias))} {'over' if bias > 0 else 'under'} target"
    if count < FEWEST_FOR_SPREAD:
        return f"{start}, on average {where}."
    parts = [f"{start}, on average {where}.", _spread(run, measure), _steady(run), _drifting(run, measure), _out(run)]
    return " ".join(part for part in parts if part)


def _spread(run: Run, measure: Measure) -> str:
    spread = run.batch.sd_mm or 0.0
    return (
        f"About two thirds of them lie within {finer_text(spread, measure)} of that."
        if spread > 0
        else "All are the same."
    )


def _steady(run: Run) -> str:
    if run.signals:
        return "The run is not steady, see below."
    if len(run.values_mm) < ENOUGH_FOR_RUNS:
        return ""
    return "Nothing speaks against a steady run."


def _drifting(run: Run, measure: Measure) -> str:
    line = run.drift
    if line is None or not line.clear:
        return ""
    pace = finer_text(abs(line.slope), measure)
    words = f"The slices get {pace} {'thicker' if line.slope > 0 else 'thinner'} from one to the next"
    if run.used_up:
        return f"{words}; sawn on at the same setting, the first out of tolerance: {NONE_BEFORE}."
    if not run.first_out:
        return f"{words}."
    return f"{words}; sawn on at the same setting, {run.first_out} would be the first out of tolerance."


def _out(run: Run) -> str:
    found = run.capability
    if found is None or not run.now:
        return ""
    words = f"Sawn on as it is, {share_words(found.next_out)} of the next slices would be out by their mean"
    centred = next_outside(run.target_mm, found.long_sd, found.slices, run.lower_mm, run.upper_mm)
    if found.next_out > 2 * centred and found.next_out > 0.001:
        words += f"; with the setting corrected, {share_words(centred)}"
    return f"{words}, allowing for how few were measured." if not found.enough else f"{words}."


def _gaps(run: Run, measure: Measure) -> list[str]:
    """What is not in the figures, or not as it was read."""
    found = []
    if run.set_mm is not None:
        found.append(
            f"The setting was changed within this run; each slice is restated to {measure.text(run.set_mm)}, set last."
        )
    if run.missing:
        needs = "; ".join(f"{one.what} ({one.more} more)" for one in run.missing)
        found.append(f"Cannot be said yet, with how many more measured slices it takes: {needs}.")
    if run.apart:
        found.append(_apart(run, measure))
    if run.unset:
        found.append(f"Left out, since their setting is not known: {', '.join(run.unset)}.")
    if run.pressed:
        found.append(f"{slices_words(run.pressed)} read in pressed stacks are left out: a stack tells no spread.")
    return found


def _apart(run: Run, measure: Measure) -> str:
    """What slices that stand apart do to the figures."""
    names = ", ".join(run.apart)
    one = len(run.apart) == 1
    words = f"{names} {'stands' if one else 'stand'} apart and {'is' if one else 'are'} counted here"
    found = run.without_apart
    if found is None:
        return f"{words}."
    return (
        f"{words}; without {'it' if one else 'them'} the spread would be {finer_text(found.long_sd, measure)}, Ppk "
        f"{found.long.worst:.2f}, and {share_words(found.share_out)} would be out."
    )


def _signals(sheet: SheetBuilder, runs: list[Run], measure: Measure) -> None:
    sheet.section("Control limits: slices one by one, and the difference from one to the next")
    sheet.line(
        "A steady saw keeps its slices between the control limits, which come from the differences between neighbours. "
        "They say what the saw does, not what the panel needs. "
        f"Limits from fewer than {ENOUGH_FOR_LIMITS} slices are not settled yet."
    )
    for run in runs:
        for signal in run.signals:
            names = in_a_row([item.row.slice for item in run.slices], signal.places)
            sheet.line(f"{run_name(run, measure)}: {signal.rule} ({names}). Usually {signal.likely}.", Look.WATCH)
    if not any(run.signals for run in runs):
        sheet.line("No run breaks a rule.")


def _rules(sheet: SheetBuilder) -> None:
    sheet.section("The rules, and why they are kept")
    for rule in RUN_RULES:
        sheet.line(f"{rule.words[0].upper()}{rule.words[1:]}: {rule.why}.")
    sheet.line(
        "Together they raise a false alarm about once in 92 slices of a steady run: a reason to look, not proof. "
        "All figures of this part go by the mean of each slice; the verdicts above go by its worst reading."
    )
