"""Every result sheet in the order of its tab, and the name each may take."""

from collections.abc import Mapping
from typing import Any

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.reading.model import Workbook
from sheetkit.report.builder import lead_back
from sheetkit.report.cost import cost_sheet
from sheetkit.report.cut_plan import cut_plan
from sheetkit.report.dial_settings import dial_settings
from sheetkit.report.freshness import say_freshness
from sheetkit.report.glue_up import glue_up
from sheetkit.report.lay_up import lay_up_sheet
from sheetkit.report.live import Live
from sheetkit.report.model import ReportSheet
from sheetkit.report.pictures_sheet import pictures_sheet
from sheetkit.report.pieces import pieces_sheet
from sheetkit.report.printed_pages import settle_pages
from sheetkit.report.problems import problems_sheet
from sheetkit.report.sources import Sources
from sheetkit.report.stock_use import stock_use
from sheetkit.report.summary import summary
from sheetkit.report.tabs import TITLES
from sheetkit.report.thickness_check import thickness_check
from sheetkit.tables.inputs import Inputs


def tab_names(workbook: Workbook) -> dict[str, str]:
    """The tab of each result sheet: where it is now, else its own name, else the next free one.

    A sheet of the maker's that has one of our names keeps it.
    """
    present = workbook.result_sheets()
    taken = {name.casefold() for name in workbook.sheet_names()}
    names: dict[str, str] = {}
    for key, title in TITLES.items():
        if key in present:
            names[key] = present[key]
            continue
        candidates = [title, f"{title} (results)", *(f"{title} (results {number})" for number in range(2, 100))]
        names[key] = next(name for name in candidates if name.casefold() not in taken)
        taken.add(names[key].casefold())
    return names


def moved_sentences(workbook: Workbook, names: Mapping[str, str]) -> list[str]:
    """What to say about result sheets that had to give way to a sheet of the maker's."""
    theirs = {name.casefold() for name in workbook.sheet_names()} - {
        name.casefold() for name in workbook.result_sheets().values()
    }
    return [
        f"Your own sheet {title} was left alone; sheetkit's is called {names[key]}."
        for key, title in TITLES.items()
        if title.casefold() in theirs and names[key] != title
    ]


def result_sheets(workbook: Workbook, inputs: Inputs, results: Results) -> list[ReportSheet]:
    """Build every result sheet."""
    names = tab_names(workbook)
    measure = Measure(inputs.shown_in)
    moved = moved_sentences(workbook, names)
    pictures = pictures_sheet(results, measure, names["pictures"])
    problems = problems_sheet(results.problems, names["problems"])
    sources = Sources(workbook)
    # Formulas refer to cells of any sheet: all are drawn once to learn where these stand.
    places: dict[str, str] = {}
    kept: dict[str, Any] = {}
    for _ in range(2):
        live = Live(inputs, measure, sources, places, kept=kept)
        sheets = [
            summary(inputs, results, measure, names, moved, live),
            cut_plan(inputs, results, names["cut_plan"], live),
            stock_use(inputs, results, names["stock_use"], live),
            dial_settings(inputs, results, measure, names["dial_settings"], live),
            thickness_check(inputs, results, measure, names["thickness_check"], live),
            lay_up_sheet(inputs, results, measure, names["lay_up"], live),
            glue_up(inputs, results, measure, names["glue_up"], live),
            pieces_sheet(inputs, results, measure, names),
            pictures,
            cost_sheet(inputs, results, measure, names["cost"], live),
            problems,
        ]
        places = live.found
    for sheet in sheets[1:]:
        lead_back(sheet, names["summary"])
    say_freshness(sheets, workbook, inputs)
    for sheet in sheets:
        settle_pages(sheet)
    return sheets
