"""Block of the sheet Cost: the earliest day for each stage of what is still to do."""

from datetime import date

from sheetkit.job.calendar import Calendar, Stage, StageKind
from sheetkit.job.results import Results
from sheetkit.report.builder import Figure, Heading, Value
from sheetkit.report.cost_page import DATE, Page
from sheetkit.report.model import Look, ReportCell
from sheetkit.tables.columns import columns_of
from sheetkit.tables.inputs import Assumption, Inputs
from sheetkit.tables.settings_costs import WorkingDays

DAY = '"day "0'
_SETTINGS = frozenset(column.heading for column in columns_of(WorkingDays))


def calendar_assumptions(inputs: Inputs) -> list[Assumption]:
    """The defaults used for the calendar, which this sheet names in place of Summary."""
    return [item for item in inputs.assumptions if item.name in _SETTINGS]


def calendar_block(page: Page) -> None:
    """Write the block; nothing where nothing is to do."""
    calendar = page.results.costing.calendar
    if not calendar.stages:
        return
    sheet = page.sheet
    sheet.new_page()
    sheet.section("Calendar: the earliest day for each stage of what is still to do")
    sheet.line(done_sentence(page.results), Look.STRONG)
    for text in _how(page, calendar):
        sheet.line(text)
    shown = DATE if calendar.dated else DAY
    headings = (
        Heading("Stage", note="In the order to do them."),
        Heading("Panel", note="For which panel; empty where it is for all."),
        Heading("Work (h)", "0.0", "Working time as far as it is known; glue-ups with all other work on the panel."),
        Heading(
            "Days", "0", "Working days: work by Working day on Shop, rounded up, and so many glue-ups as a day allows."
        ),
        Heading("Begins", shown, "The working day after the stage before it, and not before the panel has rested."),
        Heading("Until", shown, "Last working day of the stage."),
        Heading("Then rests (d)", "0", "From the last glue-up to machining; see Glue-up."),
        Heading("Ready from", shown, "Day from which the next may be done with it."),
    )
    first = sheet.next_row + 1
    records = [_stage(page, calendar, index, first, shown) for index in range(len(calendar.stages))]
    sheet.table(headings, records, name="calendar")
    done = calendar.done
    if done is not None:
        last = first + len(records) - 1
        page.cell_is("done", last + 1, 8)
        cell = ReportCell(calendar.day(done), Look.TOTAL, shown, f"=MAX(F{first}:F{last},H{first}:H{last})")
        ends: list[ReportCell | None] = [ReportCell(None, Look.TOTAL) for _ in range(6)]
        sheet.sheet.rows.append([ReportCell("Everything ready", Look.TOTAL), *ends, cell])


def done_sentence(results: Results) -> str:
    """When everything is ready, or what the stock gives of it, in a sentence."""
    calendar = results.costing.calendar
    what = "What the stock gives" if results.plan.cuts.shortages else "Everything"
    if calendar.done is None:
        return "Nothing is left to do."
    day = calendar.day(calendar.done)
    if isinstance(day, date):
        return f"{what} can be ready on {day.isoformat()} at the earliest."
    return f"{what} can be ready on day {day} at the earliest, counted from the day on which you go on."


def _how(page: Page, calendar: Calendar) -> list[str]:
    shop = page.inputs.shop
    days = shop.days_worked.replace("sunday", "Sunday") if calendar.dated else "every day"
    texts = [
        f"{shop.day_s / 3600.0:g} h a day, {days}; {shop.between_s / 3600.0:g} h between glue-ups. One panel rests "
        "while the next is glued up. A shop that waits for a delivery or for dry weather takes longer.",
    ]
    if not calendar.dated:
        texts.append("Type a Start date on Job, and the stages have dates.")
    unknown = [stage.kind for stage in calendar.stages if stage.work_s is None and stage.kind is not StageKind.REST]
    if unknown:
        words = ", ".join(dict.fromkeys(unknown))
        texts.append(f"Counted as one day each, since no time is given for it: {words}.")
    if any(stage.waits_days for stage in calendar.stages):
        texts.append("The rest is that of Glue-up: a rough estimate on the slow side where water must leave the wood.")
    assumed = [item.name for item in calendar_assumptions(page.inputs)]
    if assumed:
        texts.append(f"Assumed, because Shop does not say: {', '.join(assumed)}.")
    return texts


def _stage(page: Page, calendar: Calendar, index: int, first: int, shown: str) -> list[Value]:
    stage, row = calendar.stages[index], first + index
    hours = None if stage.work_s is None else stage.work_s / 3600.0
    days = f"MAX(1,ROUNDUP(ROUND(C{row}/{page.at('day_s')},6),0))"
    until = f"E{row}+D{row}-1{_further(calendar, row)}"
    rests = stage.kind is StageKind.REST
    return [
        f"{stage.kind.value[:1].upper()}{stage.kind.value[1:]}",
        stage.panel or None,
        page.live(hours, _work(page, stage), number_format="0.0", lacking=None if rests else "not known"),
        None if rests else Figure(stage.days, None if hours is None or stage.kind is StageKind.GLUE else days),
        ReportCell(calendar.day(stage.begins), Look.TEXT, shown, _formula(_begins(page, calendar, index, first))),
        ReportCell(calendar.day(stage.until), Look.TEXT, shown, None if rests else f"={until}"),
        stage.waits_days if stage.waits_days else None,
        ReportCell(calendar.day(stage.ready), Look.TEXT, shown, f"=F{row}+G{row}" if stage.waits_days else f"=F{row}"),
    ]


def _formula(text: str | None) -> str | None:
    return None if text is None else f"={text}"


def _work(page: Page, stage: Stage) -> str | None:
    """Hours of a stage from the tables above; None where they are not there."""
    if stage.kind is StageKind.GLUE:
        return f"SUM({page.at(f'gluing {stage.panel}')},{page.at(f'other {stage.panel}')})/60"
    if stage.kind is StageKind.CUT:
        named = f'({page.at("piece panel")}="{stage.panel}")*1' if '"' not in stage.panel else None
        return None if named is None else f"SUMPRODUCT({named},{page.at('started')})*{page.at('piece_work_s')}/60"
    return None


def _begins(page: Page, calendar: Calendar, index: int, first: int) -> str | None:
    """When a stage begins: the first working day on or after what it waits for."""
    stage = calendar.stages[index]
    if stage.kind is StageKind.REST:
        return None
    worked = [number for number in range(index) if calendar.stages[number].kind is not StageKind.REST]
    if not worked:
        earliest = page.at("start") if calendar.dated else None
    elif stage.kind is StageKind.MEASURE:
        return f"F{first + worked[-1]}"
    else:
        earliest = f"F{first + worked[-1]}+1"
    if stage.kind is StageKind.CUT:
        glued = [number for number in range(index) if calendar.stages[number].panel == stage.panel]
        ready = [f"H{first + number}" for number in glued]
        earliest = f"MAX({','.join([earliest or '1', *ready])})"
    return None if earliest is None else _working(calendar, earliest)


def _working(calendar: Calendar, day: str) -> str:
    """The first working day that is not before a day."""
    first, in_a_row = calendar.week
    if in_a_row == 7:
        return day
    past = _past(day, first)
    return f"{day}+IF({past}<{in_a_row},0,7-{past})"


def _further(calendar: Calendar, row: int) -> str:
    """Days off between the working days of a stage."""
    first, in_a_row = calendar.week
    return "" if in_a_row == 7 else f"+{7 - in_a_row}*INT((D{row}-1+{_past(f'E{row}', first)})/{in_a_row})"


def _past(day: str, first: int) -> str:
    """How many days a day lies after the first working day of its week."""
    return f"MOD(WEEKDAY({day},2)+{6 - first},7)"
