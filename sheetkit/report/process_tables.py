"""The figures of the process block, one table a question, one row a run."""

from collections.abc import Sequence

from sheetkit.job.measure import Measure
from sheetkit.job.process import Run
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.live import Live, agreed, joined
from sheetkit.report.words import NONE_BEFORE, finer, finer_signed, with_blade
from sheetkit.trade.capability import ENOUGH_FOR_CAPABILITY

INDEX, CHANCE = "0.00", "0.0000"
LOW, HIGH = "Lower 95 % confidence limit.", "Upper 95 % confidence limit. Empty where there is none."
CAPABILITY = {
    "Cp": "Whole tolerance over six short-term spreads, wherever the run's centre lies.",
    "Cpk": "From the run's centre to the nearer limit, over three short-term spreads.",
    "Pp": "Whole tolerance over six spreads of the whole run, wherever its centre lies.",
    "Ppk": "From the run's centre to the nearer limit, over three spreads of the whole run.",
}


def _first(measure: Measure) -> list[Heading]:
    return [
        Heading(f"Layer ({measure.unit})", measure.fine, "As sawn."),
        Heading("Wood", note="With the blade, where several are told apart."),
        Heading("Slices", "0", "Measured one by one."),
    ]


def _name(run: Run, measure: Measure) -> list[Value]:
    return [measure.of(run.target_mm), with_blade(run.species, run.blade), len(run.values_mm)]


def _length(measure: Measure, length_mm: float | None) -> float | None:
    return None if length_mm is None else measure.of(length_mm)


def means_of(run: Run, live: Live, *, last: int = 0) -> list[str | None]:
    """Cell of each slice's mean in the table of slices; None where it was restated to another setting.

    Args:
        run: the run
        live: the cells that formulas may build upon
        last: so many of the slices, from the end; 0 for all
    """
    return [
        agreed(live.of(f"[mean {item.row.place.row}]"), item.mean_mm or 0.0, value)
        for item, value in zip(run.slices[-last:], run.values_mm[-last:], strict=True)
    ]


def levels(sheet: SheetBuilder, runs: Sequence[Run], live: Live) -> None:
    """Which number to use where, and what a bias comes to."""
    measure = live.measure
    sheet.section("Level and spread")
    sheet.line(
        "The mean is for the height of the stack, the thinnest for strength and sanding, the range for the fit of "
        "neighbours. A bias adds up with every layer, scatter only with the root of their number: with many layers a "
        "small bias is what hurts."
    )
    unit, fine, signed = measure.unit, measure.fine, measure.signed
    headings = [
        *_first(measure),
        Heading(f"Mean ({unit})", finer(measure), "Of the slices' own means."),
        Heading(f"Bias ({unit})", finer_signed(measure), "Mean less what it should measure."),
        Heading(f"Thinnest ({unit})", fine, "The thinnest slice, by its mean."),
        Heading(f"Range ({unit})", fine, "Thickest less thinnest slice."),
        Heading(f"Spread ({unit})", finer(measure), "Standard deviation of the slices, n - 1."),
        Heading("Layers", "0", "Layers of this kind in one panel."),
        Heading(f"Bias in all ({unit})", signed, "Bias times layers."),
        Heading(f"Scatter ± ({unit})", fine, "Tolerance times the root of the layers: were all errors independent."),
        Heading(f"Worst ± ({unit})", fine, "Tolerance times layers: were all errors alike."),
    ]
    records = [_level(run, live, row) for row, run in enumerate(runs, sheet.next_row + 1)]
    sheet.table(headings, records, name="runs_level")


def _level(run: Run, live: Live, row: int) -> list[Value]:
    found, measure, means = run.batch, live.measure, means_of(run, live)
    known = [mean for mean in means if mean is not None]
    slices = joined(known) if len(known) == len(means) else None

    def of(formula: str) -> str | None:
        return None if slices is None else formula.replace("*", slices)

    return [
        *_name(run, measure),
        Figure(measure.of(found.mean_mm), of("AVERAGE(*)")),
        Figure(measure.of(found.bias_mm), f"D{row}-A{row}"),
        Figure(measure.of(found.least_mm), of("MIN(*)")),
        Figure(measure.of(found.range_mm), of("MAX(*)-MIN(*)")),
        _length(measure, found.sd_mm),
        run.layers,
        Figure(measure.of(found.bias_over(run.layers)), f"E{row}*I{row}"),
        measure.of(run.tolerance_mm * run.layers**0.5),
        measure.of(run.tolerance_mm * run.layers),
    ]


def control(sheet: SheetBuilder, runs: Sequence[Run], measure: Measure) -> None:
    """Limits of the slices and of their moving ranges."""
    unit = measure.unit
    headings = [
        *_first(measure),
        Heading(f"Centre ({unit})", finer(measure), "Mean of the slices."),
        Heading(f"Low ({unit})", finer(measure), "Lower control limit: centre less three short-term spreads."),
        Heading(f"High ({unit})", finer(measure), "Upper control limit."),
        Heading(f"Short-term ({unit})", finer(measure), "Standard deviation: mean moving range over 1.128."),
        Heading(f"Moving range ({unit})", finer(measure), "Mean difference of neighbours."),
        Heading(f"Its limit ({unit})", finer(measure), "3.267 times the mean moving range."),
        Heading("Ranges beyond", "0", "Differences of neighbours beyond their limit."),
        Heading("Signals", "0", "Slices that break a rule."),
        Heading("Settled", note="yes from 20 slices on."),
    ]
    sheet.table(headings, [_control(run, measure) for run in runs], name="runs_control")


def _control(run: Run, measure: Measure) -> list[Value]:
    chart = run.chart
    if chart is None:
        return [*_name(run, measure), *([None] * 9)]
    lengths = (chart.mean, chart.lower, chart.upper, chart.sigma, chart.moving_range, chart.range_upper)
    return [
        *_name(run, measure),
        *(measure.of(length) for length in lengths),
        sum(one > chart.range_upper + 1e-9 for one in chart.moving_ranges),
        len({place for signal in run.signals for place in signal.places}),
        "yes" if chart.settled else "not yet",
    ]


def drift(sheet: SheetBuilder, runs: Sequence[Run], measure: Measure) -> None:
    """Change from slice to slice."""
    if not runs:
        return
    sheet.section("Drift: change from one slice to the next")
    clear = [run for run in runs if run.drift and run.drift.clear]
    sheet.line(
        "A straight line through the run; called clear where a steady run would show so steep a line less than 5 times "
        "in 100, from 5 slices on. " + ("" if clear else "No run drifts clearly.")
    )
    unit, fine = measure.unit, finer_signed(measure)
    headings = [
        *_first(measure),
        Heading(f"Per slice ({unit})", fine, "How much thicker each slice is than the last; below nought thinner."),
        Heading(f"Standard error ({unit})", finer(measure), "Of the change per slice."),
        Heading(f"From ({unit})", fine, "95 % confidence interval."),
        Heading(f"To ({unit})", fine, "Upper end of that interval."),
        Heading("Chance", CHANCE, "Of so steep a line in a steady run."),
        Heading("Clear", note="Whether a steady run would hardly ever show so steep a line."),
        Heading("First out", note="Name of the first coming slice beyond the tolerance, were its board sawn on."),
    ]
    sheet.table(headings, [_drift(run, measure) for run in runs], name="runs_drift")


def _drift(run: Run, measure: Measure) -> list[Value]:
    line = run.drift
    if line is None:
        return [*_name(run, measure), *([None] * 7)]
    return [
        *_name(run, measure),
        *(measure.of(length) for length in (line.slope, line.standard_error, *line.interval)),
        line.p,
        "yes" if line.clear else "no",
        NONE_BEFORE if run.used_up else run.first_out or None,
    ]


def splits(sheet: SheetBuilder, runs: Sequence[Run], measure: Measure) -> None:
    """Spread within one slice and between slices."""
    if not runs:
        return
    sheet.section("Within a slice, and from slice to slice")
    sheet.line(
        "Spread within a slice comes from taper, bow, saw marks and the caliper; spread between slices from the fence, "
        "the blade and the wood. Standard deviations by a one-way random-effects model (restricted maximum "
        "likelihood), with 95 % confidence limits. An upper limit is missing where the slices agree better than chance "
        "allows."
    )
    unit, fine = measure.unit, finer(measure)
    headings = [
        *_first(measure),
        Heading("Readings", "0", "All readings of those slices."),
        Heading(f"Within ({unit})", fine, "Standard deviation of the readings of one slice."),
        Heading(f"Within, low ({unit})", fine, LOW),
        Heading(f"Within, high ({unit})", fine, HIGH),
        Heading(f"Between ({unit})", fine, "Standard deviation from slice to slice, without what is within them."),
        Heading(f"Between, low ({unit})", fine, LOW),
        Heading(f"Between, high ({unit})", fine, HIGH),
        Heading("Share within", "0%", "Of one reading's variance."),
        Heading("F", INDEX, "Variance ratio between over within."),
        Heading("Chance", CHANCE, "Of so large a ratio, did the slices not differ."),
    ]
    sheet.table(headings, [_split(run, measure) for run in runs], name="runs_split")


def _split(run: Run, measure: Measure) -> list[Value]:
    found = run.split
    if found is None:
        return [*_name(run, measure), *([None] * 10)]
    spreads = [spread for part in (found.within, found.between) for spread in (part.sd, part.lower, part.upper)]
    known = found.table.within_squares > 0
    return [
        *_name(run, measure),
        found.table.readings,
        *(_length(measure, spread) for spread in spreads),
        found.within_share,
        found.table.f_ratio if known else None,
        found.table.p if known else None,
    ]


def capability(sheet: SheetBuilder, runs: Sequence[Run], measure: Measure) -> None:
    """Indices with lower bounds, and the share out."""
    if not runs:
        return
    sheet.section("Can the saw hold the tolerance?")
    sheet.line(
        "Cp and Pp compare the tolerance with six spreads, Cpk and Ppk also count how far the run is off centre; "
        "below 1 some slices are out. Cp and Cpk go by neighbouring slices, Pp and Ppk by the whole run. At least: "
        "lower bound at 95 % confidence. Usually quoted from "
        f"{ENOUGH_FOR_CAPABILITY} slices on; the bounds tell what fewer leave open."
    )
    at_least = "Lower confidence bound, 95 %, one-sided."
    headings = [
        *_first(measure),
        *(Heading(name, INDEX, meaning) for name, meaning in CAPABILITY.items()),
        *(Heading(f"{name} at least", INDEX, at_least) for name in ("Cp", "Cpk", "Pp", "Ppk")),
        Heading("Expected out", "0.0%", "Taking the run's mean and spread for the truth."),
        Heading("Next one out", "0.0%", "Chance, allowing for how few slices they rest on."),
    ]
    sheet.table(headings, [_capability(run, measure) for run in runs], name="runs_capability")


def _capability(run: Run, measure: Measure) -> list[Value]:
    found = run.capability
    if found is None:
        return [*_name(run, measure), *([None] * 10)]
    return [
        *_name(run, measure),
        *(found.short.spread, found.short.worst, found.long.spread, found.long.worst),
        *(found.cp_lower, found.cpk_lower, found.pp_lower, found.ppk_lower),
        found.share_out,
        found.next_out,
    ]


def intervals(sheet: SheetBuilder, runs: Sequence[Run], measure: Measure) -> None:
    """Normal tolerance intervals."""
    if not runs:
        return
    sheet.section("Where nearly all slices lie")
    method = next(run.interval.method for run in runs if run.interval)
    sheet.line(
        f"Limits that hold at least 95 % of all slices, at 95 % confidence ({method}). They presume a steady run; few "
        "slices make them wide."
    )
    unit, fine = measure.unit, finer(measure)
    headings = [
        *_first(measure),
        Heading(f"From ({unit})", fine, "Nearly all slices are thicker than this."),
        Heading(f"To ({unit})", fine, "Nearly all slices are thinner than this."),
        Heading("Factor", INDEX, "Standard deviations on either side of the mean."),
        Heading(f"Allowed from ({unit})", fine, "What it should measure, less the tolerance."),
        Heading(f"Allowed to ({unit})", fine, "What it should measure, and the tolerance."),
        Heading("Inside", note="Whether they lie within what is allowed."),
    ]
    sheet.table(headings, [_interval(run, measure) for run in runs], name="runs_interval")


def _interval(run: Run, measure: Measure) -> list[Value]:
    found = run.interval
    if found is None:
        return [*_name(run, measure), *([None] * 6)]
    inside = run.lower_mm <= found.lower and found.upper <= run.upper_mm
    return [
        *_name(run, measure),
        measure.of(found.lower),
        measure.of(found.upper),
        found.factor,
        measure.of(run.lower_mm),
        measure.of(run.upper_mm),
        "yes" if inside else "no",
    ]
