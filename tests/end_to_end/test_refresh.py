"""The whole run on real workbooks: plan, saw, measure, refresh, in both formats."""

import json
import zipfile

import pytest
from click.testing import CliRunner

from sheetkit import check, refresh
from sheetkit.cli import main
from sheetkit.report.tabs import TITLES

STOCK = [["A1", "black cherry", 20, 3, 1.5, None, None, 12], ["B1", "black walnut", 20, 3, 1.2, None, None, 30]]
TARGETS = [["P", "black cherry", 0.05, 0.002, 8], ["P", "black walnut", 0.02, 0.002, 7]]
PANELS = [["P", 9, 2.5]]
READINGS = [
    ["A1-1", "A1", 0.05, 0.053, 0.053, 0.053, 0.0535, 0.0535],
    ["A1-2", "A1", 0.05, 0.0525, 0.053, 0.053, 0.053, 0.0535],
    ["A1-3", "A1", 0.05, 0.053, 0.0535, 0.053, 0.053, 0.053],
]


@pytest.fixture
def job(fill, tmp_path, suffix):
    return fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})


def values(cells, row, columns):
    return [cells.get((row, column)) for column in columns]


def row_of(cells, first):
    return next(row for (row, column), value in sorted(cells.items()) if column == 1 and value == first)


def test_the_first_refresh_says_what_to_saw_and_where_the_dial_stands(job, cells_of):
    outcome = refresh(job)
    assert outcome.written
    assert outcome.problems == []
    plan = cells_of(job, "Cut plan")
    # advance 0.050 + 0.050: the dial stands at 0.100 (2 turns), then 0.200 (4 turns)
    assert values(plan, row_of(plan, "A1-1"), range(3, 8)) == pytest.approx([0.05, 2, 0, 0.1, 0.05])
    assert values(plan, row_of(plan, "A1-2"), range(3, 8)) == pytest.approx([0.05, 4, 0, 0.2, 0.05])
    assert values(plan, row_of(plan, "B1-1"), range(3, 8)) == pytest.approx([0.02, 1, 20, 0.07, 0.02])


def test_readings_typed_in_change_the_plan_that_is_left(fill, tmp_path, suffix, cells_of):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS, "Measurements": READINGS}
    path = fill(tmp_path / f"job{suffix}", rows)
    refresh(path)
    dial = cells_of(path, "Dial settings")
    row = row_of(dial, "black cherry")
    assert dial[row, 5] == pytest.approx(0.047, abs=0.0005)
    plan = cells_of(path, "Cut plan")
    assert plan[row_of(plan, "A1-4"), 6] == pytest.approx(0.3 + 0.097, abs=0.0011)
    check_rows = cells_of(path, "Thickness check")
    assert check_rows[row_of(check_rows, "A1-1"), 15] == "out of tolerance"


def test_the_second_refresh_changes_not_one_byte(job):
    refresh(job)
    first = job.read_bytes()
    assert refresh(job).written is False
    assert job.read_bytes() == first


def test_the_answers_stand_in_the_first_ten_rows(job, cells_of):
    refresh(job)
    summary = cells_of(job, "Summary")
    labels = {summary[row, 1] for row in range(1, 11) if (row, 1) in summary}
    assert {"Can it be made?", "Do next", "What is wrong"} <= labels
    assert summary[row_of(summary, "Can it be made?"), 2].startswith("Yes: 2 of 2 boards")


def test_both_formats_show_the_same(fill, tmp_path, cells_of):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS, "Measurements": READINGS}
    paths = [fill(tmp_path / f"job{suffix}", rows) for suffix in (".xlsx", ".ods")]
    for path in paths:
        refresh(path)
    for title in TITLES.values():
        first, second = (cells_of(path, title) for path in paths)
        assert first.keys() == second.keys(), title
        for place, value in first.items():
            if isinstance(value, str):
                assert second[place] == value, (title, place)
            else:
                assert second[place] == pytest.approx(value, abs=1e-9), (title, place)


def test_every_member_of_the_makers_file_is_still_there_as_it_was(job):
    with zipfile.ZipFile(job) as package:
        before = {name: package.read(name) for name in package.namelist()}
    refresh(job)
    with zipfile.ZipFile(job) as package:
        after = {name: package.read(name) for name in package.namelist()}
    changed = {name for name in before if before[name] != after.get(name)}
    assert changed <= {
        "[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml",
        "content.xml", "META-INF/manifest.xml", "settings.xml", "styles.xml",
    }  # fmt: skip


def test_check_and_a_dry_run_write_nothing(job):
    before = job.read_bytes()
    check(job)
    refresh(job, dry_run=True)
    assert job.read_bytes() == before


@pytest.mark.office
def test_libreoffice_opens_it_and_recalculates_to_the_same_values(fill, tmp_path, suffix, soffice, cells_of):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS, "Measurements": READINGS}
    path = fill(tmp_path / f"job{suffix}", rows)
    refresh(path)
    folder = tmp_path / "again"
    folder.mkdir()
    again = soffice(path, suffix[1:], folder)
    for title in TITLES.values():
        ours, theirs = cells_of(path, title), cells_of(again, title)
        assert ours.keys() == theirs.keys(), title
        for place, value in ours.items():
            if isinstance(value, str):
                assert theirs[place] == value
            else:
                assert theirs[place] == pytest.approx(value, abs=1e-9), (title, place)


def test_the_command_prints_the_answers_and_ends_with_0(job):
    result = CliRunner().invoke(main, ["refresh", str(job)])
    assert result.exit_code == 0, result.output
    assert "Can it be made? Yes: 2 of 2 boards give every slice still to saw, spares included." in result.output


def test_the_command_as_json_holds_the_same(job):
    result = CliRunner().invoke(main, ["refresh", "--json", str(job)])
    told = json.loads(result.output)[0]
    assert told["written"] is True
    assert told["problems"] == []
    assert told["sheets"]["summary"] == "Summary"


def test_check_as_json_prints_every_record_as_it_was_read(job):
    told = json.loads(CliRunner().invoke(main, ["check", "--json", str(job)]).output)[0]
    board = next(record for record in told["records"] if record["sheet"] == "Stock" and record["row"] == 3)
    thickness = next(entry for entry in board["entries"] if entry["field"] == "thickness_mm")
    assert (thickness["cell"], thickness["found"], thickness["unit"]) == ("E3", "1.5", "in")
    assert thickness["value"] == pytest.approx(38.1)


def test_the_rows_of_a_sheet_can_be_had_as_a_data_frame(job):
    stock = check(job).table("Stock")
    assert list(stock.index) == [3, 4]
    assert stock.loc[3, "board"] == "A1"
    assert stock["thickness_mm"].tolist() == pytest.approx([38.1, 30.48])
    assert check(job).table("Attic").empty
