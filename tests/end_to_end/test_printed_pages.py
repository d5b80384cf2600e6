"""What LibreOffice prints of the demos in both formats: headings stay with what they head, and charts are whole."""

import os
import re
import runpy
import shutil
import subprocess
from pathlib import Path

import pytest
from lxml import html
from PIL import Image

from sheetkit import refresh
from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.model import HEADINGS, ChartKind, Look
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs

MAKE = runpy.run_path(str(Path(__file__).parents[2] / "demo_workbooks" / "make_demos.py"))


LINE_APART_PT = 3.0
"""Words so far apart in height stand on different lines."""
SHADE = 40
"""A word that is seen is so much darker than the paper around it, of 255."""


def printed_lines(words, picture):
    """The lines of a page, from the top; what is there as text but cut off by the page's end is left out."""
    seen = []
    for word in words:
        box = [float(word.get(side)) for side in ("xmin", "ymin", "xmax", "ymax")]
        lightest_darkest = picture.crop([round(edge) for edge in box]).getextrema()
        if min(box) >= 0 and lightest_darkest[1] - lightest_darkest[0] > SHADE:
            seen.append(((box[1] + box[3]) / 2, box[0], word.text_content()))
    lines = []
    for height, left, text in sorted(seen):
        if not lines or height - lines[-1][0] > LINE_APART_PT:
            lines.append((height, []))
        lines[-1][1].append((left, text))
    return [" ".join(text for _, text in sorted(line)) for _, line in lines]


@pytest.fixture
def pages_of(soffice, tmp_path):
    """The lines of each printed page as they are seen, the footer left out."""
    for program in ("pdftotext", "pdftoppm"):
        if shutil.which(program) is None:
            if os.environ.get("CI") == "true":
                pytest.fail(f"{program} is not installed")
            pytest.skip(f"{program} is not installed")

    def read(workbook):
        pdf = soffice(workbook, "pdf", tmp_path)
        text = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True).stdout
        subprocess.run(["pdftoppm", "-gray", "-r", "72", pdf, tmp_path / "page"], check=True)
        pictures = sorted(tmp_path.glob("page-*.pgm"))
        found = html.fromstring(text).findall(".//page")
        assert len(found) == len(pictures)
        pages = []
        for words, path in zip(found, pictures, strict=True):
            with Image.open(path) as picture:
                pages.append(printed_lines(words.findall(".//word"), picture))
        return [[line for line in page if " of " not in line or "Page" not in line] for page in pages if page]

    return read


MANY_BOARDS = {
    "Stock": [[f"A{number}", "white ash", 10, 3, 1.25] for number in range(1, 21)],
    "Panels": [["P", 9, 2.5, 1, "no", 1]],
    "Targets": [["P", "white ash", 0.045, 0.002, 4]],
}
LYING = {ChartKind.BARS, ChartKind.STACKED_BARS}
JOBS = {demo.name.split(".")[0]: (demo.rows, demo.settings, demo.unit) for demo in MAKE["DEMOS"]}


def words_of(row):
    """The words of each cell of a row."""
    return [str(cell.value).split() for cell in row if cell is not None and cell.value is not None]


def looks(row):
    return row[0].look if row and row[0] is not None else None


def leading_lines(sheet):
    """Titles, sentences and headings of a sheet that must not end a page, each with the words of its cells."""
    charts = {chart.row for chart in sheet.charts}
    found, open_lines = [], []
    for number, row in enumerate(sheet.rows[: sheet.printed_rows], 1):
        if looks(row) is Look.SECTION:
            found += open_lines[:1]
            open_lines = [(Look.SECTION, words_of(row))]
        elif looks(row) in HEADINGS:
            found += [*open_lines, (Look.HEADING, words_of(row))]
            open_lines = []
        elif number in charts:
            found += open_lines
            open_lines = []
        elif open_lines and words_of(row):
            open_lines.append((Look.INTRO, words_of(row)))
    return found + open_lines[:1]


def printed_end_of(look, cells, line):
    """Whether a printed line may be the last of a row: a title whole, and the end of sentences and headings.

    Headings wrap cell by cell, so that the last line has the ends of some of them.
    """
    if look is Look.SECTION:
        return line == " ".join(cells[0])
    ends = ["|".join(re.escape(" ".join(words[first:])) for first in range(len(words))) for words in cells]
    return re.fullmatch("".join(f"(?:(?:{end}) )?" for end in ends), f"{line} ") is not None


def titles(page, chart):
    """The lines of a page with a chart's title; those longer than a chart is wide go on in the next line."""
    begins = " ".join(chart.title.split()[:5])
    return [number for number, line in enumerate(page) if begins in line and line not in page[:number]]


def whole_charts(page, chart):
    """Whether below the title stands the title of the axis at the foot; what follows a cut is on the next page."""
    foot = chart.y_title if chart.kind in LYING else chart.x_title
    return all(any(foot in line for line in page[number + 1 :]) for number in titles(page, chart))


@pytest.mark.parametrize(
    ("look", "cells", "line", "is_end"),
    [
        (Look.HEADING, ("Layer", "Planned (in)", "Standard error (in)"), "Layer (in) error (in)", True),
        (Look.HEADING, ("Layer", "Planned (in)", "Standard error (in)"), "error (in)", True),
        (Look.HEADING, ("Layer", "Planned (in)", "Standard error (in)"), "3 0.055 0.001", False),
        (Look.HEADING, ("Slices (mm)", "Truing (mm)", "Held (mm)"), "Slices Truing Held", False),
        (Look.INTRO, ("Each point is the mean of a slice.",), "a slice.", True),
        (Look.INTRO, ("Each point is the mean of a slice.",), "Each point is", False),
        (Look.SECTION, ("Board C1",), "Board C1", True),
        (Look.SECTION, ("Board C1",), "C1", False),
    ],
)
def test_the_printed_end_of_a_row_is_known(look, cells, line, is_end):
    assert printed_end_of(look, [cell.split() for cell in cells], line) is is_end


@pytest.mark.office
@pytest.mark.parametrize("job", [*JOBS, "twenty_boards"])
def test_no_printed_page_parts_a_heading_from_its_records_or_a_chart(job, suffix, fill, pages_of, tmp_path):
    rows, settings, unit = JOBS.get(job, (MANY_BOARDS, {"Job": {"Spare slices": 0}}, "in"))
    path = fill(tmp_path / f"job{suffix}", rows, settings, unit)
    refresh(path)
    workbook = open_workbook(path)
    inputs = read_inputs(workbook)
    landscape = [sheet for sheet in result_sheets(workbook, inputs, compute(inputs)) if sheet.landscape]
    pages = pages_of(path)
    tried = charted = 0
    for sheet in landscape:
        printed = [page for page in pages if page[0].startswith(sheet.name)]
        leading = leading_lines(sheet)
        tried += len(leading)
        ends = [page[-1] for page in printed]
        assert [end for end in ends if any(printed_end_of(look, cells, end) for look, cells in leading)] == []
        for chart in sheet.charts:
            assert [whole_charts(page, chart) for page in printed if titles(page, chart)] == [True]
            charted += 1
    assert tried > 20
    assert charted > 0


@pytest.mark.office
def test_every_printed_page_of_the_cut_plan_has_the_headings_of_the_passes(suffix, fill, pages_of, tmp_path):
    [demo] = [demo for demo in MAKE["DEMOS"] if demo.name.startswith("salad_servers_planned")]
    job = fill(tmp_path / f"job{suffix}", demo.rows, demo.settings, demo.unit)
    refresh(job)
    plan = [page for page in pages_of(job) if page[0].startswith("Cut plan")]
    assert len(plan) == 3
    assert all(any(line.startswith("Slice Layer (in) Set (in) Turns Divisions") for line in page) for page in plan)
    passes = [line.split()[0] for page in plan for line in page if line[:3] in ("C1-", "H1-", "H2-", "P1-")]
    assert len(passes) == len(set(passes)) == 36
