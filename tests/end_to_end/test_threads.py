"""`sheetkit.refresh()` called from several threads of one program at once."""

import logging
import shutil
import subprocess
import sys
import threading
import warnings
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from openpyxl import load_workbook

import sheetkit
from sheetkit.errors import WorkbookInUse

ROOT = Path(__file__).parents[2]
WOODS = ["black cherry", "wenge", "sugar maple", "black walnut"]


@pytest.fixture
def eight(fill, tmp_path):
    """Eight different jobs, four of each format: other woods, lengths, units, odd ones with formulas without result."""
    books = []
    for number in range(8):
        suffix = (".xlsx", ".ods")[number % 2]
        stock = [["A1", WOODS[number % 4], 20, 3, 1.5 + number / 8], ["B1", WOODS[(number + 1) % 4], 20, 3, 1.2]]
        targets = [["P", WOODS[number % 4], 0.05, 0.002, 3 + number], ["P", WOODS[(number + 1) % 4], 0.02, 0.002, 3]]
        readings = [[f"A1-{pass_}", "A1", 0.05, 0.053 + number / 4000, 0.053] for pass_ in range(1, 3 + number)]
        rows = {"Stock": stock, "Targets": targets, "Panels": [["P", 9, 2.5]], "Measurements": readings}
        if number < 3:
            rows["Handles"] = [["Grip", "P", 1, 4, 0.3, 0.1 + number / 100, 20]]
        path = fill(tmp_path / f"job{number}{suffix}", rows, {"Shop": {"Force of a clamp": f"{300 + number} kgf"}})
        if suffix == ".xlsx":
            book = load_workbook(path)
            book["Stock"]["E3"] = f"=1+{number}/8"
            book.save(path)
        books.append(path)
    return books


def test_eight_workbooks_at_once_come_out_as_one_after_another(eight, tmp_path):
    alone, together = tmp_path / "alone", tmp_path / "together"
    for folder in (alone, together):
        folder.mkdir()
        for path in eight:
            shutil.copy(path, folder)
    singles = [sheetkit.refresh(alone / path.name) for path in eight]
    filters, level = list(warnings.filters), logging.getLogger("schedula").level
    start = threading.Barrier(8)

    def run(path):
        start.wait()
        return sheetkit.refresh(path)

    with ThreadPoolExecutor(8) as pool:
        threaded = list(pool.map(run, [together / path.name for path in eight]))
    for path, single, other in zip(eight, singles, threaded, strict=True):
        assert (together / path.name).read_bytes() == (alone / path.name).read_bytes(), path.name
        assert (other.headlines, other.problems, other.written) == (single.headlines, single.problems, True)
    assert len({path.read_bytes() for path in alone.iterdir()}) == 8
    assert (list(warnings.filters), logging.getLogger("schedula").level) == (filters, level)


FIRST_USE = """
import sys, threading
from concurrent.futures import ThreadPoolExecutor
import sheetkit
start = threading.Barrier(4)
def run(path):
    start.wait()
    return sheetkit.refresh(path).written
with ThreadPoolExecutor(4) as pool:
    print(list(pool.map(run, sys.argv[1:])))
"""


def test_the_first_use_of_all_may_be_in_four_threads(eight, tmp_path):
    """Nothing is loaded yet: the parts of the engine are imported by four threads at once."""
    alone = tmp_path / "alone"
    alone.mkdir()
    for path in eight[:4]:
        shutil.copy(path, alone)
        sheetkit.refresh(alone / path.name)
    command = [sys.executable, "-W", "error", "-c", FIRST_USE, *map(str, eight[:4])]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False, cwd=ROOT)
    assert (done.stdout, done.stderr, done.returncode) == ("[True, True, True, True]\n", "", 0)
    assert [path.read_bytes() for path in eight[:4]] == [(alone / path.name).read_bytes() for path in eight[:4]]


def test_one_workbook_from_eight_threads_is_written_once_and_whole(eight):
    path = eight[1]
    start = threading.Barrier(8)

    def run(_):
        start.wait()
        try:
            return sheetkit.refresh(path).written
        except WorkbookInUse as busy:
            return busy.found

    with ThreadPoolExecutor(8) as pool:
        said = list(pool.map(run, range(8)))
    assert set(said) <= {True, False, "another refresh at work on it", "changed since it was read"}
    assert said.count(True) == 1
    assert sheetkit.refresh(path).written is False


def test_what_is_public_is_typed_and_documented():
    assert Path(sheetkit.__file__).with_name("py.typed").exists()
    for function in (sheetkit.refresh, sheetkit.check):
        assert function.__annotations__["return"] is sheetkit.Outcome
        assert "Args:" in function.__doc__
        assert "Raises:" in function.__doc__
        assert "thread" in function.__doc__


PRINTING = """
import sys, threading, time
import sheetkit
done, lines = threading.Event(), 0
def go_on():
    global lines
    while not done.is_set():
        print("printing", flush=True)
        lines += 1
        time.sleep(0.0005)
printer = threading.Thread(target=go_on)
printer.start()
try:
    sheetkit.refresh(sys.argv[1])
finally:
    done.set()
    printer.join()
print(lines)
"""


def script(code, workbook):
    """A script in a process of its own, with what it said."""
    command = [sys.executable, "-c", code, str(workbook)]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, check=True, cwd=ROOT)


def test_what_other_threads_print_meanwhile_is_not_lost(eight):
    done = script(PRINTING, eight[1])
    lines = done.stdout.splitlines()
    assert lines.count("printing") == int(lines[-1]) > 100


WARNING = """
import sys, threading, time, warnings
import sheetkit, sheetkit.reading.missing_results as formulas
done, given, worked_out = threading.Event(), 0, formulas._Engine.solve
def go_on():
    global given
    while not done.is_set():
        warnings.warn(f"number {given}")
        given += 1
        time.sleep(0.0005)
warner = threading.Thread(target=go_on)
def solve(self, key):
    if not warner.is_alive():
        warner.start()
        while given < 100:
            time.sleep(0.001)
    return worked_out(self, key)
formulas._Engine.solve = solve
try:
    sheetkit.refresh(sys.argv[1])
finally:
    done.set()
    warner.join()
print(given)
"""


def test_what_other_threads_warn_of_meanwhile_is_not_lost(eight):
    """Warnings begin while a formula is worked out, and go on until the refresh is over."""
    done = script(WARNING, eight[0])
    assert done.stderr.count("UserWarning: number ") == int(done.stdout) >= 100
