"""What C code prints is dropped while a solver runs, and nothing that Python prints is; so are a thread's warnings."""

import subprocess
import sys
import threading
import warnings
from pathlib import Path

import pytest

from sheetkit.trade.silence import warnings_dropped

ROOT = Path(__file__).parents[2]
EIGHT_THREADS = """
import ctypes, os, sys, threading, time
from concurrent.futures import ThreadPoolExecutor
from sheetkit.trade.silence import c_output_dropped

library = ctypes.CDLL(None)
start, done, said = threading.Barrier(9), threading.Event(), []

def solve(number):
    start.wait()
    for _ in range(50):
        with c_output_dropped():
            library.puts(b"printed by oversight")
            library.fflush(None)
            time.sleep(0.0002 * number)

def go_on():
    start.wait()
    while not done.is_set():
        print("printing", flush=True)
        os.write(1, b"written\\n")
        said.append(1)

printer = threading.Thread(target=go_on)
printer.start()
with ThreadPoolExecutor(8) as pool:
    list(pool.map(solve, range(8)))
done.set()
printer.join()
library.puts(b"printed afterwards")
library.fflush(None)
print(len(said), flush=True)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the stream of its C library cannot be set")
def test_in_eight_threads_only_what_c_code_prints_meanwhile_is_dropped():
    command = [sys.executable, "-W", "error", "-c", EIGHT_THREADS]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True, cwd=ROOT)
    lines = done.stdout.splitlines()
    said = int(lines[-1])
    counts = {line: lines.count(line) for line in set(lines[:-1])}
    assert counts == {"printing": said, "written": said, "printed afterwards": 1}
    assert (said > 0, done.stderr) == (True, "")


NESTED = """
import ctypes
from sheetkit.trade.silence import c_output_dropped
library = ctypes.CDLL(None)
try:
    with c_output_dropped(), c_output_dropped():
        library.puts(b"dropped")
        raise ArithmeticError
except ArithmeticError:
    library.puts(b"kept")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the stream of its C library cannot be set")
def test_the_stream_is_put_back_after_a_failure():
    done = subprocess.run(
        [sys.executable, "-c", NESTED], capture_output=True, text=True, timeout=60, check=True, cwd=ROOT
    )
    assert (done.stdout, done.stderr) == ("kept\n", "")


def elsewhere(work):
    """Run it in another thread, and give what it raised."""
    raised = []

    def run():
        try:
            work()
        except Warning as warning:
            raised.append(str(warning))

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    return raised


def test_warnings_are_dropped_in_this_thread_and_nowhere_else():
    before = list(warnings.filters)
    with warnings_dropped():
        warnings.warn("here", stacklevel=1)
        assert elsewhere(lambda: warnings.warn("there", stacklevel=1)) == ["there"]
    with pytest.raises(UserWarning, match=r"^afterwards$"):
        warnings.warn("afterwards", stacklevel=1)
    with warnings_dropped():
        pass
    assert [each for each in warnings.filters if each in before] == before
    assert len(warnings.filters) == len(before) + 1


def test_warnings_are_dropped_although_a_filter_was_put_before_ours():
    with warnings_dropped():
        pass
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with warnings_dropped(), warnings_dropped():
            warnings.warn("here", stacklevel=1)
        assert sum(isinstance(each[1], threading.local) for each in warnings.filters) == 1


def test_a_warning_that_was_dropped_is_not_taken_for_one_already_shown():
    def warn():
        warnings.warn("again", stacklevel=1)

    with warnings.catch_warnings(record=True) as shown:
        warnings.simplefilter("default")
        with warnings_dropped():
            warn()
        warn()
    assert [str(each.message) for each in shown] == ["again"]


def test_another_thread_may_put_its_filters_back_meanwhile():
    """It has them from before; what comes after is dropped all the same, and only that."""
    inside, leave = threading.Event(), threading.Event()

    def hold():
        with warnings.catch_warnings():
            inside.set()
            leave.wait()

    other = threading.Thread(target=hold)
    other.start()
    inside.wait()
    with warnings_dropped():
        leave.set()
        other.join()
    with warnings_dropped():
        warnings.warn("here", stacklevel=1)
    with pytest.raises(UserWarning, match=r"^afterwards$"):
        warnings.warn("afterwards", stacklevel=1)


def test_a_failure_ends_it():
    with pytest.raises(ArithmeticError), warnings_dropped():
        raise ArithmeticError
    with pytest.raises(UserWarning, match=r"^afterwards$"):
        warnings.warn("afterwards", stacklevel=1)
