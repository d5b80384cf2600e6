"""When the watch refreshes, when it waits, and what it says; looked at by a clock that the tests turn."""

import os
import shutil

import pytest

from sheetkit import refresh
from sheetkit.blank.write import write_blank
from sheetkit.errors import FileProblem
from sheetkit.watch.places import is_job, refuse_missing
from sheetkit.watch.watcher import QUIET_S, RETRY_S, Watcher

STOCK = [["A1", "black cherry", 20, 3, 1.5]]
TARGETS = [["P", "black cherry", 0.05, 0.002, 4]]
FULL_LINE = (
    "refreshed; slices left 5, sawn 0, findings 0. "
    "Can it be made? Yes: 1 of 1 board gives every slice still to saw, spares included."
)
CHANGED_LINE = "refreshed; slices left 7 (was 5)."
"""4 layers and a tenth more, rounded up, are 5 slices; 6 layers are 7."""


class Watch:
    """A watch with its clock, what it said, and which files it refreshed."""

    def __init__(self, *places):
        self.now, self.lines, self.refreshed = 0.0, [], []
        self.watcher = Watcher(places, self.lines.append, self._refresh)

    def _refresh(self, path):
        self.refreshed.append(path.name)
        return refresh(path)

    def for_seconds(self, seconds):
        """Looks once a second; gives what was said meanwhile."""
        before = len(self.lines)
        for _ in range(round(seconds)):
            self.watcher.look(self.now)
            self.now += 1
        return self.lines[before:]


def fill(path, layers=4, **more):
    write_blank(path, "in", {"Stock": STOCK, "Targets": [["P", "black cherry", 0.05, 0.002, layers]], **more})
    return path


@pytest.fixture(params=[".xlsx", ".ods"])
def job(request, tmp_path):
    return fill(tmp_path / f"job{request.param}")


@pytest.fixture
def watch(job):
    watch = Watch(job)
    assert watch.for_seconds(10) == [f"{job.name}: {FULL_LINE}"]
    return watch


def test_a_workbook_is_refreshed_once_and_then_left_in_peace(watch, job):
    assert watch.for_seconds(100) == []
    assert watch.refreshed == [job.name]


def test_a_saved_change_is_refreshed_after_a_quiet_while(watch, job):
    fill(job, layers=6)
    assert watch.for_seconds(QUIET_S) == []
    assert watch.for_seconds(10) == [f"{job.name}: {CHANGED_LINE}"]
    assert watch.for_seconds(50) == []


def test_a_file_that_keeps_changing_is_waited_for(watch, job):
    for seconds in range(1, 20):
        os.utime(job, (seconds, seconds))
        assert watch.for_seconds(1) == []
    assert watch.refreshed == [job.name]


def test_a_new_time_alone_refreshes_nothing(watch, job):
    os.utime(job, (1, 1))
    assert watch.for_seconds(20) == []
    assert watch.refreshed == [job.name]


@pytest.mark.parametrize(("lock", "content"), [
    (".~lock.{}#", b",ann,bench,25.11.2026 09:00,file:///home/ann;"), ("~${}", b"\x03ann" + b" " * 50),
])  # fmt: skip
def test_a_workbook_that_is_open_is_refreshed_once_it_is_closed(watch, job, lock, content):
    beside = job.with_name(lock.format(job.name))
    beside.write_bytes(content)
    fill(job, layers=6)
    assert watch.for_seconds(60) == [
        f"{job.name}: waits: open in a spreadsheet program by ann. "
        f"To go on: save and close it there; if it is open nowhere, delete the file {beside.name} beside it."
    ]
    assert watch.refreshed == [job.name]
    beside.unlink()
    assert watch.for_seconds(10) == [f"{job.name}: {CHANGED_LINE}"]


def test_opening_a_workbook_without_a_change_says_nothing(watch, job):
    job.with_name(f".~lock.{job.name}#").write_bytes(b",ann,bench,,;")
    assert watch.for_seconds(60) == []


def test_a_half_written_workbook_is_told_of_once_and_waited_for(watch, job):
    whole = fill(job.with_name(f"next{job.suffix}"), layers=6).read_bytes()
    job.write_bytes(whole[: len(whole) // 2])
    lines = watch.for_seconds(RETRY_S * 3)
    assert len(lines) == 1
    assert lines[0].startswith(f"{job.name}: not refreshed: found ")
    assert lines[0].endswith(". Waits until it is saved again.")
    assert job.read_bytes() == whole[: len(whole) // 2]
    job.write_bytes(whole)
    assert watch.for_seconds(10) == [f"{job.name}: {CHANGED_LINE}"]


def test_a_workbook_that_is_replaced_in_one_step_is_taken_up(watch, job):
    fill(job.with_name(f"next{job.suffix}"), layers=6).replace(job)
    assert watch.for_seconds(10) == [f"{job.name}: {CHANGED_LINE}"]


def test_a_workbook_that_is_gone_for_a_moment_is_not_spoken_of(watch, job):
    away = job.rename(job.with_name("away"))
    assert watch.for_seconds(QUIET_S) == []
    away.rename(job)
    assert watch.for_seconds(20) == []


def test_a_deleted_workbook_is_waited_for(watch, job):
    away = job.rename(job.with_name("away"))
    assert watch.for_seconds(60) == [f"{job.name}: not there; waits until it is back."]
    away.rename(job)
    assert watch.for_seconds(20) == [f"{job.name}: as it was refreshed; nothing to do."]
    assert watch.refreshed == [job.name]


def test_what_failed_for_another_reason_is_tried_again_and_told_of_once(watch, job):
    fill(job, layers=6)
    job.chmod(0o444)
    lines = watch.for_seconds(RETRY_S * 2)
    assert lines == [
        f"{job.name}: not refreshed: found a file that may only be read, wanted one that can be written to. "
        "To fix: allow writing to the file, or refresh a copy. Waits until it is saved again."
    ]
    job.chmod(0o644)
    assert watch.for_seconds(RETRY_S + 5) == [f"{job.name}: {CHANGED_LINE}"]


def test_a_workbook_saved_while_it_is_refreshed_is_refreshed_again(job):
    watch = Watch(job)

    def save_meanwhile(path):
        outcome = refresh(path)
        if not watch.refreshed:
            fill(path, layers=6)
        watch.refreshed.append(path.name)
        return outcome

    watch.watcher.work = save_meanwhile
    assert watch.for_seconds(20) == [f"{job.name}: {FULL_LINE}", f"{job.name}: {CHANGED_LINE}"]


class TestFolder:
    """A folder's workbooks are taken up if they are jobs."""

    def test_a_job_is_refreshed_and_another_workbook_keeps_every_byte(self, tmp_path):
        fill(tmp_path / "job.xlsx")
        accounts = tmp_path / "accounts.xlsx"
        write_blank(accounts, "in", {})
        before = accounts.read_bytes()
        assert Watch(tmp_path).for_seconds(60) == [
            "accounts.xlsx: left alone: it has neither result sheets of sheetkit nor rows on Stock and Targets.",
            f"job.xlsx: {FULL_LINE}",
        ]
        assert accounts.read_bytes() == before

    def test_a_workbook_that_appears_is_taken_up(self, tmp_path):
        watch = Watch(tmp_path)
        assert watch.for_seconds(10) == []
        fill(tmp_path / "new.ods")
        assert watch.for_seconds(10) == [f"new.ods: {FULL_LINE}"]

    def test_a_blank_is_taken_up_once_it_is_filled_in(self, tmp_path):
        blank = tmp_path / "blank.xlsx"
        write_blank(blank, "in", {})
        watch = Watch(tmp_path)
        assert len(watch.for_seconds(10)) == 1
        fill(blank)
        assert watch.for_seconds(10) == [f"blank.xlsx: {FULL_LINE}"]

    def test_lock_files_kept_copies_and_hidden_files_are_no_workbooks(self, tmp_path):
        job = fill(tmp_path / "job.xlsx")
        for name in ("~$other.xlsx", ".hidden.xlsx", "job (before refresh).xlsx", "job (before refresh 2).xlsx"):
            shutil.copy(job, tmp_path / name)
        (tmp_path / "inner.xlsx").mkdir()
        watch = Watch(tmp_path)
        watch.for_seconds(20)
        assert watch.refreshed == ["job.xlsx"]

    def test_a_workbook_named_beside_its_folder_is_refreshed_once(self, tmp_path):
        job = fill(tmp_path / "job.xlsx")
        watch = Watch(tmp_path, job, tmp_path / "." / "job.xlsx")
        watch.for_seconds(20)
        assert watch.refreshed == ["job.xlsx"]

    def test_a_folder_that_is_gone_is_waited_for(self, tmp_path):
        folder = tmp_path / "jobs"
        folder.mkdir()
        watch = Watch(folder)
        watch.for_seconds(5)
        folder.rmdir()
        assert watch.for_seconds(60) == [
            f"{folder}: the folder cannot be looked at (No such file or directory); waits until it can."
        ]
        folder.mkdir()
        fill(folder / "job.xlsx")
        assert watch.for_seconds(10) == [f"job.xlsx: {FULL_LINE}"]


def test_a_refreshed_workbook_is_a_job_though_its_stock_is_gone(tmp_path):
    job = fill(tmp_path / "job.xlsx")
    refresh(job)
    assert is_job(job)


def test_a_place_that_is_not_there_is_refused_at_the_start(tmp_path):
    with pytest.raises(FileProblem) as refused:
        refuse_missing([tmp_path, tmp_path / "jbo.xlsx"])
    assert str(refused.value) == (
        f"{tmp_path / 'jbo.xlsx'}: found no file or folder of that name, wanted a workbook, or a folder of workbooks. "
        "To fix: check the name and the folder."
    )
