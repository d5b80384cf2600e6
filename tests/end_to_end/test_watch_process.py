"""`sheetkit watch` as a process of its own: saves, lock files, a broken file, an unrelated one, and Ctrl-C."""

import queue
import signal
import subprocess
import sys
import threading

import pytest

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C is sent as a Unix signal")

LIMIT_S = 120
"""Generous: it only ends a test that hangs."""


class Running:
    """The process, and its lines as they come."""

    def __init__(self, *places):
        self.process = subprocess.Popen(
            [sys.executable, "-P", "-m", "sheetkit", "watch", *map(str, places)],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509 - no thread yet
        )  # fmt: skip
        self.lines = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self):
        for line in self.process.stdout:
            self.lines.put(line.rstrip("\n"))

    def next_line(self):
        """Without the time of day before it."""
        return self.lines.get(timeout=LIMIT_S).partition(" ")[2]

    def interrupt(self):
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(LIMIT_S), self.lines.get(timeout=LIMIT_S)


@pytest.fixture
def watching():
    started = []

    def start(*places):
        started.append(Running(*places))
        assert started[-1].next_line() == "Watching; Ctrl-C ends it."
        return started[-1]

    yield start
    for running in started:
        running.process.kill()
        running.process.wait()
        running.process.stdout.close()


STOCK = [["A1", "black cherry", 20, 3, 1.5]]


@pytest.mark.parametrize(("suffix", "lock"), [(".ods", ".~lock.{}#"), (".xlsx", "~${}")])
def test_a_folder_is_watched_through_a_working_day(fill, tmp_path, watching, suffix, lock):
    def save(path, layers):
        made = fill(
            tmp_path / f".being written{suffix}",
            {"Stock": STOCK, "Targets": [["P", "black cherry", 0.05, None, layers]]},
        )
        made.replace(path)

    job, accounts = tmp_path / f"job{suffix}", fill(tmp_path / "accounts.xlsx", {})
    before = accounts.read_bytes()
    save(job, 4)
    running = watching(tmp_path)
    first = {running.next_line(), running.next_line()}
    assert first == {
        "accounts.xlsx: left alone: it has neither result sheets of sheetkit nor rows on Stock and Targets.",
        f"{job.name}: refreshed; slices left 5, sawn 0, findings 0. "
        "Can it be made? Yes: 1 of 1 board gives every slice still to saw, spares included.",
    }
    beside = tmp_path / lock.format(job.name)
    beside.write_bytes(b"")
    save(job, 6)
    assert running.next_line().startswith(f"{job.name}: waits: open in a spreadsheet program. To go on: ")
    beside.unlink()
    assert running.next_line() == f"{job.name}: refreshed; slices left 7 (was 5)."
    whole = job.read_bytes()
    job.write_bytes(whole[:2000])
    assert running.next_line().startswith(f"{job.name}: not refreshed: found ")
    save(job, 4)
    assert running.next_line() == f"{job.name}: refreshed; slices left 5 (was 7)."
    assert running.interrupt() == (0, "No longer watching.")
    assert running.lines.empty()
    assert accounts.read_bytes() == before


def test_a_name_that_is_not_there_ends_it_at_once(tmp_path):
    command = [sys.executable, "-P", "-m", "sheetkit", "watch", str(tmp_path / "jbo.xlsx")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=LIMIT_S)
    assert done.returncode == 2
    assert done.stderr == (
        f"{tmp_path / 'jbo.xlsx'}: found no file or folder of that name, wanted a workbook, or a folder of workbooks. "
        "To fix: check the name and the folder.\n"
    )
