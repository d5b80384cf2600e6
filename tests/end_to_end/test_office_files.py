"""Workbooks saved by LibreOffice itself: titles above the tables, notes, a chart, a picture, a renamed sheet."""

import shutil
import zipfile
from pathlib import Path

import pytest

from sheetkit import refresh
from sheetkit.report.tabs import TITLES

GOLDEN = Path(__file__).parents[1] / "golden"
MAY_CHANGE = {
    "[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml",
    "content.xml", "META-INF/manifest.xml", "settings.xml", "styles.xml",
}  # fmt: skip


@pytest.fixture(params=["inch_job.xlsx", "inch_job.ods", "metric_job.xlsx", "metric_job.ods"])
def kept(request, tmp_path):
    """A copy of a workbook saved by LibreOffice."""
    return Path(shutil.copy(GOLDEN / request.param, tmp_path / request.param))


def members(path):
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def test_the_job_is_read_planned_and_written_back(kept, cells_of):
    outcome = refresh(kept)
    assert outcome.written
    assert outcome.headlines[0] == "Can it be made? No: stock is short of pear, wenge, elm. See what to buy."
    summary = cells_of(kept, "Summary")
    assert "Can it be made?" in summary.values()
    assert any(problem.sheet == "For the customer" for problem in outcome.problems)


def test_chart_picture_and_every_other_member_stay_as_they_were(kept):
    before = members(kept)
    refresh(kept)
    after = members(kept)
    assert {name for name in before if before[name] != after.get(name)} <= MAY_CHANGE
    assert any("chart" in name.lower() or name.startswith("Object") for name in before)
    assert any(name.lower().endswith(".png") for name in before)


def test_a_second_refresh_changes_nothing(kept):
    refresh(kept)
    first = kept.read_bytes()
    refresh(kept)
    assert kept.read_bytes() == first


@pytest.mark.parametrize("job", ["inch_job", "metric_job"])
def test_both_formats_come_to_the_same(job, tmp_path, cells_of):
    paths = [Path(shutil.copy(GOLDEN / f"{job}{suffix}", tmp_path)) for suffix in (".xlsx", ".ods")]
    for path in paths:
        refresh(path)
    for title in ("Cut plan", "Stock use", "Dial settings", "Lay-up"):
        first, second = (cells_of(path, title) for path in paths)
        assert first.keys() == second.keys(), title
        for place, value in first.items():
            expected = value if isinstance(value, str) else pytest.approx(value, abs=1e-9)
            assert second[place] == expected, (title, place)


def test_inches_and_millimetres_come_to_the_same_plan(tmp_path, cells_of):
    paths = [Path(shutil.copy(GOLDEN / f"{job}.xlsx", tmp_path)) for job in ("inch_job", "metric_job")]
    for path in paths:
        refresh(path)
    inch, metric = (cells_of(path, "Cut plan") for path in paths)
    passes = {row: value for (row, column), value in inch.items() if column == 1 and isinstance(value, str)}
    slices = [row for row, value in passes.items() if value.count("-") == 1 and value.split("-")[1].isdigit()]
    assert slices
    for row in slices:
        assert metric[row, 1] == inch[row, 1]
        assert metric[row, 6] == pytest.approx(inch[row, 6] * 25.4, abs=0.26)


@pytest.mark.office
def test_libreoffice_shows_every_sheet_of_the_result(kept, soffice, cells_of, tmp_path):
    refresh(kept)
    folder = tmp_path / "again"
    folder.mkdir()
    again = soffice(kept, kept.suffix[1:], folder)
    for title in TITLES.values():
        assert cells_of(again, title).keys() == cells_of(kept, title).keys(), title
