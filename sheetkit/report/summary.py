"""Summary: can it be made, what to do next, what is wrong; then panels, cautions and assumptions."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from sheetkit.errors import Harm, one_line
from sheetkit.job.measure import Measure
from sheetkit.job.piece_costs import known_sum
from sheetkit.job.results import Results
from sheetkit.job.stacks import StackOutlook
from sheetkit.job.wording import counted
from sheetkit.report.builder import Figure, Heading, SheetBuilder, Value
from sheetkit.report.cost_calendar import calendar_assumptions, done_sentence
from sheetkit.report.dial_settings import lesson
from sheetkit.report.glue_up import glue_assumptions
from sheetkit.report.live import Live, plain
from sheetkit.report.model import Link, Look, ReportCell, ReportSheet
from sheetkit.report.pieces import piece_assumptions, pieces_in_a_sentence
from sheetkit.report.problems import tally
from sheetkit.report.tabs import PURPOSES, TITLES
from sheetkit.report.thickness_check import tolerance_sentence
from sheetkit.tables.inputs import Inputs

UNREDUCED = "Panels (tables count 64ths as they are: 32/64 is 1/2)"
WIDTHS = (20, 22, 20, 20, 20, 20)
DECIDES = "What the setting decides."

CAUTIONS = {
    "blade": "Saw: thin stock at the blade can be pulled in. Follow the machine's manual; use its guards, a "
    "zero-clearance insert and a carriage or backing board.",
    "dust": "Dust: collect it at the source and wear a mask fit for wood dust. Some woods sensitise skin and lungs; "
    "that a wood has no report against it proves nothing.",
    "glue": "Glue: follow the adhesive's data sheet for spread, open time, pressure, ventilation and skin.",
    "": "This workbook does not know your machine, your skill or your local rules; those come first.",
}
"""Said by topic where the job's own woods, slices and glue give nothing closer; the last one always."""


@dataclass(frozen=True, slots=True)
class Headline:
    """One of the answers at the top.

    Attributes:
        label: the question
        answer: the answer in a sentence
        look: how it is drawn
        sheet: key of the result sheet with the details, "" for none
    """

    label: str
    answer: str
    look: Look
    sheet: str = ""

    @property
    def sentence(self) -> str:
        """Question and answer in one line."""
        return one_line(f"{self.label}{'' if self.label.endswith('?') else ':'} {self.answer}")


def headlines(inputs: Inputs, results: Results, measure: Measure) -> list[Headline]:
    """The answers at the top, also printed by the command."""
    pieces = pieces_in_a_sentence(results.pieces)
    return [
        _can_it_be_made(results),
        _do_next(results, measure),
        _what_is_wrong(results),
        Headline("In tolerance", tolerance_sentence(results), Look.WRAPPED, "thickness_check"),
        _dial(inputs, results, measure),
        _stock(results),
        *([Headline("Pieces", *pieces, "pieces")] if pieces else []),
        *_cost(results),
    ]


def summary(
    inputs: Inputs, results: Results, measure: Measure, names: Mapping[str, str], moved: Sequence[str], live: Live
) -> ReportSheet:
    """Build the sheet.

    Args:
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        names: tab name of each result sheet by key
        moved: sentences about result sheets that had to take another name
        live: the cells that formulas may build upon
    """
    job = inputs.job.job
    sheet = SheetBuilder("summary", names["summary"], f"Summary: {job}" if job else "Summary", WIDTHS)
    for headline in headlines(inputs, results, measure):
        tab = names.get(headline.sheet, "")
        sheet.answer(headline.label, headline.answer, headline.look, Link(tab) if tab else None, tab)
    for text in moved:
        sheet.line(text, Look.WATCH)
    _panels(sheet, results, live)
    _where_to_look(sheet, names)
    sheet.section("Cautions")
    for text in _cautions(results):
        sheet.line(text, Look.CAUTION)
    _assumptions(sheet, inputs, names)
    _hidden(sheet, inputs)
    return sheet.sheet


def _can_it_be_made(results: Results) -> Headline:
    answer, look, sheet = _hindrance(results) or _yes(results)
    return Headline("Can it be made?", answer, look, sheet)


def _hindrance(results: Results) -> tuple[str, Look, str] | None:
    """What keeps the job from being made, or makes the answer doubtful."""
    if not results.needs:
        return "Not yet: Targets names no layer that could be read.", Look.BAD, "problems"
    if results.short:
        woods = ", ".join(dict.fromkeys(need.species for need in results.short))
        return f"No: stock is short of {woods}. See what to buy.", Look.BAD, "stock_use"
    if results.stopped:
        return "No: see what stops it.", Look.BAD, "problems"
    left_out = sum(problem.harm is Harm.LEFT_OUT for problem in results.problems)
    if left_out:
        things = "1 cell or row was" if left_out == 1 else f"{left_out} cells or rows were"
        return f"As far as could be read, yes; but {things} left out.", Look.WATCH, "problems"
    return None


def _yes(results: Results) -> tuple[str, Look, str]:
    if results.plan.cuts.shortages:
        return "Yes, but not with all the spares asked for.", Look.WATCH, "stock_use"
    if not results.plan.passes:
        return "Yes: every slice is sawn and good.", Look.GOOD, "stock_use"
    boards = len({item.board for item in results.plan.passes})
    some = f"{boards} of {counted(len(results.states), 'board')} {'gives' if boards == 1 else 'give'}"
    return f"Yes: {some} every slice still to saw, spares included.", Look.GOOD, "stock_use"


def _do_next(results: Results, measure: Measure) -> Headline:
    if not results.needs:
        return Headline("Do next", "Fill in Stock and Targets, then refresh again.", Look.STRONG, "problems")
    if not results.plan.passes:
        words = "Mend what stops the job." if results.stopped else "Glue up; the layers are all there."
        return Headline("Do next", words, Look.STRONG)
    if all(need.have >= need.layers for need in results.needs):
        spares = len(results.plan.passes)
        words = f"Glue up; the layers are all there. Cut plan still lists {counted(spares, 'spare')}."
        return Headline("Do next", words, Look.STRONG, "cut_plan")
    first = results.plan.passes[0]
    turns = f"{counted(first.turns, 'turn')} + {first.divisions}"
    start = "" if results.states[first.board].started else "true its face, set the dial to 0, then "
    return Headline(
        "Do next",
        f"Board {first.board} ({first.need.species}): {start}dial to {turns} divisions "
        f"({measure.text(first.position_mm)}) and saw slice {first.slice_name}; "
        f"expect {measure.text(first.expected_mm)}.",
        Look.STRONG,
        "cut_plan",
    )


def _what_is_wrong(results: Results) -> Headline:
    mend = [problem for problem in results.problems if problem.harm < Harm.NOTED]
    if not mend:
        return Headline("What is wrong", "Nothing that needs mending.", Look.GOOD, "problems")
    look = Look.BAD if any(problem.harm <= Harm.LEFT_OUT for problem in mend) else Look.WATCH
    return Headline("What is wrong", f"Findings: {tally(mend)}.", look, "problems")


def _dial(inputs: Inputs, results: Results, measure: Measure) -> Headline:
    woods = dict.fromkeys(need.species for need in results.needs)
    coming = results.plan.passes[0].need.species if results.plan.passes else next(iter(woods), None)
    answer = lesson(coming, results, measure, inputs) if coming else "Nothing to dial yet."
    return Headline("Dial", answer, Look.WRAPPED, "dial_settings")


def _stock(results: Results) -> Headline:
    passes = results.plan.passes
    if not passes:
        return Headline("Still to saw", "Nothing.", Look.WRAPPED, "cut_plan")
    slices = counted(len(passes), "slice")
    layers = sum(item.layers for item in passes)
    return Headline(
        "Still to saw",
        f"{slices}, giving {counted(layers, 'layer')}. Plan: {results.plan.cuts.proof}.",
        Look.TEXT,
        "cut_plan",
    )


def _cost(results: Results) -> Iterator[Headline]:
    """What the job costs and when it can be ready, as far as the workbook says."""
    costing = results.costing
    money = known_sum([*(item.cost for item in costing.panels), *(item.own for item in costing.pieces)])
    parts = [] if money is None else [f"{money:,.2f} in all, as far as prices are given."]
    if costing.calendar.stages:
        parts.append(done_sentence(results))
    if parts:
        yield Headline("Cost and time", " ".join(parts), Look.WRAPPED, "cost")


def _panels(sheet: SheetBuilder, results: Results, live: Live) -> None:
    measure = live.measure
    if not results.stacks:
        return
    sheet.section("Panels" if measure.choice != "64ths" else UNREDUCED)
    unit, coarse = measure.board_unit, measure.coarse
    headings = (
        Heading("Panel", note="As named on Panels."),
        Heading("Layers", "0", "Of each copy."),
        Heading(f"As planned ({unit})", coarse, "Sum of the layers and of the glue lines."),
        Heading(f"As it stands ({unit})", coarse, "With the slices sawn so far and the settings to come."),
        Heading(f"Wanted ({unit})", coarse, "Thickness on Panels; empty where none is asked for."),
        Heading("In tolerance", "0%", "Chance that the glued panel is, where Panels gives it a tolerance."),
    )
    sheet.table(headings, [_panel(stack, live) for stack in results.stacks])


def _panel(stack: StackOutlook, live: Live) -> list[Value]:
    estimate, measure, panel = stack.estimate, live.measure, plain(stack.panel.name)
    wanted = stack.panel.thickness_mm
    copies = f" ({stack.panel.copies} copies)" if stack.panel.copies != 1 else ""
    return [
        f"{stack.panel.name}{copies}",
        Figure(stack.layers, live.of(f"[layers of panel {panel}]")),
        Figure(measure.of_board(estimate.planned_mm), live.of(f"[planned of panel {panel}]")),
        Figure(measure.of_board(estimate.total_mm), live.of(f"[standing of panel {panel}]")),
        None if wanted is None else _wanted(stack, wanted, live),
        stack.chance,
    ]


def _wanted(stack: StackOutlook, wanted_mm: float, live: Live) -> Figure:
    source = live.board_length(stack.panel.place, "thickness_mm", wanted_mm)
    return Figure(live.measure.of_board(wanted_mm), source)


def _where_to_look(sheet: SheetBuilder, names: Mapping[str, str]) -> None:
    sheet.section("Where to look")
    for key in TITLES:
        if key == "summary":
            continue
        described = ReportCell(PURPOSES[key], columns=len(WIDTHS) - 1)
        sheet.sheet.rows.append([ReportCell(names[key], link=Link(names[key])), described])


def _cautions(results: Results) -> list[str]:
    """The cautions for this job, and the general ones on what it says nothing about."""
    found = results.gluing.cautions
    topics = {caution.topic for caution in found}
    return [caution.text for caution in found] + [text for topic, text in CAUTIONS.items() if topic not in topics]


def _assumptions(sheet: SheetBuilder, inputs: Inputs, names: Mapping[str, str]) -> None:
    glue = glue_assumptions(inputs)
    pieces = piece_assumptions(inputs)
    calendar = calendar_assumptions(inputs)
    elsewhere = {item.name for item in (*glue, *pieces, *calendar)}
    here = [item for item in inputs.assumptions if item.name not in elsewhere]
    if not inputs.assumptions:
        return
    sheet.section("Assumed, because the workbook does not say")
    if glue:
        sheet.line(
            f"{counted(len(glue), 'setting')} of glue, press and air: see the end of {names['glue_up']}.",
            link=Link(names["glue_up"]),
        )
    if pieces and (inputs.handles or inputs.bowls or inputs.steps):
        sheet.line(
            f"{counted(len(pieces), 'setting')} of sawing pieces: see the end of {names['pieces']}.",
            link=Link(names["pieces"]),
        )
    if calendar:
        sheet.line(
            f"{counted(len(calendar), 'setting')} of the calendar: see {names['cost']}.", link=Link(names["cost"])
        )
    if not here:
        return
    width = len(WIDTHS) - 3
    headings = (
        Heading("On sheet", note="The sheet on which to set it."),
        Heading("Setting", note="Its name there."),
        Heading("Assumed", note="What was reckoned with, since its cell is empty."),
    )
    rows = [[item.sheet, item.name, item.value] for item in here]
    first = sheet.next_row
    sheet.table(headings, rows)
    sheet.sheet.rows[first - 1].append(ReportCell("What it is", Look.HEADING, note=DECIDES, columns=width))
    for offset, item in enumerate(here):
        sheet.sheet.rows[first + offset].append(ReportCell(item.why, Look.WRAPPED, columns=width))
        sheet.grow(first + 1 + offset, item.why, sum(WIDTHS[-width:]))


def _hidden(sheet: SheetBuilder, inputs: Inputs) -> None:
    hidden = {tab: rows for tab, rows in inputs.hidden_rows.items() if rows}
    if not hidden:
        return
    sheet.section("Hidden rows")
    policy = "count like the others" if inputs.job.hidden_rows == "use" else "are left out"
    places = "; ".join(f"{tab}: {', '.join(str(row) for row in rows)}" for tab, rows in hidden.items())
    sheet.line(f"Hidden or filtered rows {policy} (Hidden rows on Job changes that). {places}.")
