"""What LibreOffice prints of the demos in both formats: pages end where the engine reckoned, and headings stay."""

import os
import runpy
import shutil
import subprocess
from pathlib import Path

import pytest

from sheetkit import refresh
from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.model import HEADINGS, Look
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs

MAKE = runpy.run_path(str(Path(__file__).parents[2] / "demo_workbooks" / "make_demos.py"))


@pytest.fixture
def pages_of(soffice, tmp_path):
    """The lines of each printed page, blank ones and the footer left out."""
    if shutil.which("pdftotext") is None:
        if os.environ.get("CI") == "true":
            pytest.fail("pdftotext is not installed")
        pytest.skip("pdftotext is not installed")

    def read(workbook):
        pdf = soffice(workbook, "pdf", tmp_path)
        command = ["pdftotext", "-layout", pdf, "-"]
        text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        pages = [[" ".join(line.split()) for line in page.splitlines() if line.strip()] for page in text.split("\f")]
        return [[line for line in page if " of " not in line or "Page" not in line] for page in pages if page]

    return read


@pytest.mark.office
@pytest.mark.parametrize("demo", MAKE["DEMOS"], ids=lambda demo: demo.name.split(".")[0])
def test_no_printed_page_ends_with_a_heading(demo, suffix, fill, pages_of, tmp_path):
    job = fill(tmp_path / f"job{suffix}", demo.rows, demo.settings, demo.unit)
    refresh(job)
    workbook = open_workbook(job)
    inputs = read_inputs(workbook)
    landscape = [sheet for sheet in result_sheets(workbook, inputs, compute(inputs)) if sheet.landscape]
    heads = set()
    for sheet in landscape:
        for row in sheet.rows:
            words = [str(cell.value) for cell in row if cell is not None and cell.value is not None]
            if row and row[0] is not None and row[0].look is Look.SECTION:
                heads.add(words[0])
            elif row and row[0] is not None and row[0].look in HEADINGS:
                heads.add(" ".join(words))
    assert len(heads) > 20
    names = {sheet.name for sheet in landscape}
    printed = [page for page in pages_of(job) if any(page[0].startswith(name) for name in names)]
    assert len(printed) > 10
    assert [page[-1] for page in printed if page[-1] in heads] == []


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
