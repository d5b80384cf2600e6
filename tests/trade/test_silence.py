"""What C code prints is dropped while a solver runs, and nothing that Python prints is."""

import subprocess
import sys
from pathlib import Path

import pytest

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
