"""Result sheets with a block of each kind, for whatever is grafted in these tests."""

import io
from datetime import date

import pytest
from PIL import Image

from sheetkit.report.model import (
    Area,
    Chart,
    ChartKind,
    Link,
    Look,
    Picture,
    ReportCell,
    ReportSheet,
    Series,
    Table,
)

PASSES = 12
FIRST_PASS_ROW = 6


def png(colour, size=(60, 40)):
    target = io.BytesIO()
    Image.new("RGB", size, colour).save(target, "PNG")
    return target.getvalue()


def overview():
    """Every look, a formula across sheets, a link, notes, a picture, and text that must stay text."""
    long = "This goes on until it has to be wrapped over the whole width of the sheet, " * 3
    rows = [
        [ReportCell("Job overview", Look.TITLE, columns=4)],
        [ReportCell(long, Look.INTRO, columns=4)],
        [ReportCell("Wear a mask; follow the machine's manual. " + long, Look.CAUTION, columns=4)],
        [ReportCell("Figures", Look.SECTION, columns=4)],
        [ReportCell("Total"), ReportCell(30.4, Look.STRONG, "0.00", formula="='Cut plan'!B7*20", columns=3)],
        [ReportCell("Ready"), ReportCell(True), ReportCell("by"), ReportCell(date(2024, 5, 1))],
        [ReportCell("Typed by the maker"), ReportCell("=1+1"), ReportCell("+3"), ReportCell("@home")],
        [ReportCell("Odd characters"), ReportCell("bell\x07 _x0041_ <r>&</r> ü 木"), None, ReportCell("  kept  ")],
        [ReportCell("Go to the cut plan", link=Link("Cut plan", "B6")), None, ReportCell(0.125, number_format="0.0%")],
    ]
    rows += [
        [ReportCell(look.value, look, note=f"what {look.value} is for"), ReportCell(1.23456, look, "0.000")]
        for look in Look
    ]
    board = Picture(png((200, 120, 40)), "an orange board", 5, 6, 40, 25)
    return ReportSheet(
        "overview", "Overview", rows, [22, 16, 14, 26], pictures=[board], frozen_rows=1, row_heights={4: 24}
    )


def cut_plan():
    """A named table with formulas, and one chart of each kind."""
    headings = [("Pass", None), ("Set [mm]", "what the dial says"), ("Got [mm]", None), ("Verdict", None)]
    rows = [[ReportCell("Cut plan", Look.TITLE, columns=4)], [], [], []]
    rows.append([ReportCell(text, Look.HEADING, note=note) for text, note in headings])
    for number in range(1, PASSES + 1):
        setting = round(1.5 + number / 100, 4)
        got = ReportCell(
            round(setting + 0.004, 4), number_format="0.000", formula=f"=B{FIRST_PASS_ROW - 1 + number}+0.004"
        )
        verdict = ReportCell("good", Look.GOOD) if number % 2 else ReportCell("watch", Look.WATCH)
        rows.append([ReportCell(number), ReportCell(setting, number_format="0.000"), got, verdict])
    last = FIRST_PASS_ROW + PASSES - 1
    return ReportSheet(
        "cut_plan",
        "Cut plan",
        rows,
        [12, 14, 14, 16],
        frozen_rows=5,
        frozen_columns=1,
        repeated_rows=(5, 5),
        landscape=True,
        tables=[Table("cut_passes", Area(5, 1, last, 4))],
        charts=[_chart(kind, 4 + 18 * place, last) for place, kind in enumerate(ChartKind)],
        pictures=[Picture(png((20, 90, 60)), "a green board", 20, 1, 40, 25)],
    )


def _chart(kind, row, last):
    passes, settings, got = (Area(FIRST_PASS_ROW, column, last, column) for column in (1, 2, 3))
    series = [Series("set", settings, passes), Series("got", got, passes, dashed=True, markers=False)]
    narrow = (1.4, 1.8) if kind in {ChartKind.LINE, ChartKind.POINTS} else None
    shown = series[:1] if kind == ChartKind.SHARES else series
    return Chart(
        kind, f"Slices as {kind.value}", "Pass", "Thickness [mm]", shown, row, 6, y_format="0.00", y_range=narrow
    )


@pytest.fixture
def rich_sheets():
    """Two result sheets that refer to each other, with a block of each kind."""
    return [overview(), cut_plan()]
