"""Problems: every cell that could not be used or had to be guessed, with a link to it."""

from collections.abc import Sequence

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.wording import counted
from sheetkit.report.builder import Heading, SheetBuilder, Value
from sheetkit.report.model import Link, Look, ReportCell, ReportSheet

LOOK_OF_HARM = {
    Harm.STOPS_JOB: Look.BAD,
    Harm.LEFT_OUT: Look.BAD,
    Harm.DOUBTFUL: Look.WATCH,
    Harm.GUESSED: Look.WATCH,
    Harm.NOTED: Look.TEXT,
}

OF_SEVERAL = {Harm.STOPS_JOB: "stop the job", Harm.DOUBTFUL: "used, but check them"}
"""The words for several findings, where they differ from those for one."""


def by_harm(problems: Sequence[CellProblem]) -> list[CellProblem]:
    """The most harmful first; within that, in the order found."""
    return sorted(problems, key=lambda problem: problem.harm)


def tally(problems: Sequence[CellProblem]) -> str:
    """How many of each kind, in words."""
    counts = {harm: sum(problem.harm is harm for problem in problems) for harm in Harm}
    return "; ".join(
        counted(count, harm.words, OF_SEVERAL.get(harm, harm.words)) for harm, count in counts.items() if count
    )


def problems_sheet(problems: Sequence[CellProblem], name: str) -> ReportSheet:
    """Build the sheet."""
    sheet = SheetBuilder("problems", name, "Problems", (22, 19, 42, 42, 60), landscape=True)
    if not problems:
        sheet.line("Nothing to mend: every cell was read as it stands.", Look.GOOD)
        return sheet.sheet
    sheet.line(f"{tally(problems)}. Click on a place to go there; mend it and refresh again.")
    sheet.blank()
    headings = (
        Heading("Where", note="Sheet and cell. Click to go there.", look=Look.WRAPPED),
        Heading("What it does", note="Whether it stops the job, was left out, or was read with a guess."),
        Heading("Found", note="What stands there.", look=Look.BESIDE_WORDS),
        Heading("Wanted", note="What would have been read without question.", look=Look.BESIDE_WORDS),
        Heading("To mend it", note="What to type or change; then refresh again.", look=Look.BESIDE_WORDS),
    )
    sheet.table(headings, [_record(problem) for problem in by_harm(problems)], name="problems_found")
    sheet.freeze_at(5)
    return sheet.sheet


def _record(problem: CellProblem) -> list[Value]:
    link = Link(problem.sheet, problem.cell.split(":")[0] or "A1") if problem.sheet else None
    return [
        ReportCell(problem.place, Look.WRAPPED, link=link),
        ReportCell(problem.harm.words, LOOK_OF_HARM[problem.harm]),
        problem.found,
        problem.wanted,
        problem.fix,
    ]
