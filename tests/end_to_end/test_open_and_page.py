"""`sheetkit refresh --open`, `--pdf`, and the launcher that calls it."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from sheetkit import check
from sheetkit.cli import main

DEMOS = sorted(
    path for path in (Path(__file__).parents[2] / "demo_workbooks").iterdir() if path.suffix != ".py" and path.is_file()
)
STOCK = [["A1", "black cherry", 20, 3, 1.5]]
TARGETS = [["P", "black cherry", 0.05, 0.002, 4]]


@pytest.fixture
def job(fill, tmp_path):
    return fill(tmp_path / "job.xlsx", {"Stock": STOCK, "Targets": TARGETS})


@pytest.fixture
def opened(monkeypatch):
    """What was opened instead of opening it."""
    names = []
    monkeypatch.setattr(click, "launch", lambda name: names.append(name) or 0)
    return names


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def test_the_workbook_is_opened_after_every_refresh_written_or_not(job, opened):
    assert run("refresh", "--open", job).exit_code == 0
    assert "nothing written" in run("refresh", "--open", job).output
    assert opened == [str(job), str(job)]


def test_a_workbook_with_findings_is_opened_and_one_that_cannot_be_refreshed_is_not(fill, tmp_path, opened):
    bad = fill(tmp_path / "bad.ods", {"Stock": [["A1", "black cherry", 20, 3, "thick"]], "Targets": TARGETS})
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(b"PK\x03\x04")
    assert run("refresh", "--open", bad, broken).exit_code == 2
    assert opened == [str(bad)]


def test_that_nothing_opens_it_is_said(job, monkeypatch):
    monkeypatch.setattr(click, "launch", lambda name: 1)
    result = run("refresh", "--open", job)
    assert result.exit_code == 2
    assert result.stderr == (
        f"{job}: found no program that opens it, wanted the spreadsheet program. "
        "To fix: open it by hand; it was refreshed.\n"
    )


@pytest.mark.parametrize("other", ["--dry-run", "--json"])
def test_opening_goes_with_nothing_that_leaves_nothing_to_look_at(job, opened, other):
    before = job.read_bytes()
    result = run("refresh", "--open", other, job)
    assert result.exit_code == 2
    assert "Error: --open goes with neither --dry-run nor --json" in result.stderr
    assert (opened, job.read_bytes()) == ([], before)


def test_one_file_for_several_workbooks_is_refused(job, tmp_path):
    result = run("refresh", "--pdf", tmp_path / "page.pdf", job, job)
    assert result.exit_code == 2
    assert "is one file, but several workbooks are named. Name a folder instead." in result.stderr


def test_without_libreoffice_nothing_is_changed(job, tmp_path, monkeypatch):
    before = job.read_bytes()
    monkeypatch.setenv("SHEETKIT_SOFFICE", str(tmp_path / "soffice"))
    result = run("refresh", "--pdf", tmp_path / "page.pdf", job)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"page.pdf: found no program {tmp_path / 'soffice'}, which SHEETKIT_SOFFICE names")
    assert job.read_bytes() == before


def test_a_dry_run_writes_no_pdf(job, tmp_path):
    assert run("refresh", "--dry-run", "--pdf", tmp_path / "page.pdf", job).exit_code == 0
    assert not (tmp_path / "page.pdf").exists()


@pytest.mark.skipif(sys.platform in {"win32", "darwin"}, reason="the launcher of other systems")
def test_the_launcher_refreshes_and_opens_workbooks_with_any_name(job, tmp_path, monkeypatch):
    """A stand-in for the program that opens files says what it was given."""
    assert run("launcher", tmp_path / "desk").exit_code == 0
    programs = tmp_path / "bin"
    programs.mkdir()
    (programs / "xdg-open").write_text('#!/bin/sh\necho "opened $1"\n')
    (programs / "xdg-open").chmod(0o755)
    monkeypatch.setenv("PATH", f"{programs}:/usr/bin:/bin")
    names = ["a b & c.xlsx", "größe 50% $HOME 'q'.xlsx"]
    for name in names:
        shutil.copy(job, tmp_path / name)
    command = [tmp_path / "desk" / "sheetkit-refresh.sh", *names]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)
    assert done.returncode == 0, done.stderr
    for name in names:
        assert f"{name}: refreshed." in done.stdout
        assert f"opened {tmp_path / name}\n" in done.stdout


@pytest.fixture
def poppler():
    """Readers of PDF files that know nothing of us; they come with LibreOffice in CI."""
    if shutil.which("pdfinfo") is None or shutil.which("pdftotext") is None:
        reason = "pdfinfo and pdftotext are not installed"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)

    def read(pdf):
        info = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
        words = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True, check=True).stdout
        return info, words

    return read


@pytest.mark.office
@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.name)
def test_the_page_of_every_demo_is_one_legible_page(demo, soffice, poppler, tmp_path):
    """Words of 10 pt type stand in boxes of about 12 pt; at the smallest scale, 0.7, they are 8 pt high."""
    job = shutil.copy(demo, tmp_path / demo.name)
    result = run("refresh", "--pdf", tmp_path / "pages", job)
    pdf = tmp_path / "pages" / f"{demo.stem} one page.pdf"
    assert f"Summary and Cut plan on one page: {pdf}" in result.output
    info, words = poppler(pdf)
    assert re.search(r"Pages: +1\n", info)
    width, height = map(float, re.search(r"Page size: +([\d.]+) x ([\d.]+)", info).groups())
    points = {"in": (612, 792), "mm": (595, 842)}[check(demo).progress.unit]
    assert (round(width), round(height)) == points, "Letter, or A4 by ISO 216, in points"
    boxes = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]+)<', words)
    shown = [box[4] for box in boxes]
    assert {"Summary:", "Cut", "Cautions", "Panels"} <= set(shown)
    assert not any("###" in word for word in shown)
    for left, top, right, bottom, word in boxes:
        assert 0 < float(left) < float(right) < width, word
        assert 0 < float(top) < float(bottom) < height, word
        assert float(bottom) - float(top) > 7.5, word
    assert max(float(box[2]) for box in boxes) > 0.8 * width, "the page is used in its width"
