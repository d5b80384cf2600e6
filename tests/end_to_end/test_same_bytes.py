"""The same workbook gives the same bytes: on another day, in another place and language, under another name."""

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ANOTHER_DAY = """
import contextlib, datetime, locale, os, sys, time
with contextlib.suppress(locale.Error):
    locale.setlocale(locale.LC_ALL, "")
LATER = float(os.environ["SHIFT_S"])
for name in ("time", "monotonic", "perf_counter"):
    def moved(real=getattr(time, name)):
        return real() + LATER
    setattr(time, name, moved)
real_localtime, real_gmtime = time.localtime, time.gmtime
time.localtime = lambda seconds=None: real_localtime(time.time() if seconds is None else seconds)
time.gmtime = lambda seconds=None: real_gmtime(time.time() if seconds is None else seconds)
time.time_ns = lambda: int(time.time() * 1e9)
class AsReal(type):
    def __instancecheck__(cls, thing):
        return isinstance(thing, cls.__mro__[1])
class Moment(datetime.datetime, metaclass=AsReal):
    @classmethod
    def now(cls, tz=None):
        return cls.fromtimestamp(time.time(), tz)
    @classmethod
    def utcnow(cls):
        return cls.utcfromtimestamp(time.time())
    today = now
class Day(datetime.date, metaclass=AsReal):
    @classmethod
    def today(cls):
        return cls.fromtimestamp(time.time())
datetime.datetime, datetime.date = Moment, Day
from sheetkit import refresh
for path in sys.argv[1:]:
    if not refresh(path).written:
        sys.exit(f"not written: {path}")
print(datetime.date.today().year, locale.localeconv()["decimal_point"])
"""
SURROUNDINGS = {
    "as it is": {},
    "a year ago in Kiritimati": {"SHIFT_S": "-31536000", "TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1"},
    "in 2051 in Pago Pago": {"SHIFT_S": "789000000", "TZ": "Pacific/Pago_Pago", "LC_ALL": "C", "PYTHONHASHSEED": "2"},
    "optimised, in Latin": {"LC_ALL": "C.UTF-8", "PYTHONOPTIMIZE": "2", "PYTHONIOENCODING": "latin-1"},
    "German": {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "LANGUAGE": "de", "PYTHONHASHSEED": "4294967295"},
}  # fmt: skip


@pytest.fixture(scope="module")
def jobs(tmp_path_factory, fill):
    """A job of both formats with readings, a handle, a bowl, dates and money; and an old refresh of the same."""
    folder = tmp_path_factory.mktemp("jobs")
    rows = {
        "Stock": [["A1", "black cherry", 20, 6, 1.5, "flat", 8, 12], ["B1", "hickory", 20, 6, 1.2, "rift", 8, 30]],
        "Panels": [["P", 6, 5, None, None, None, None, None, None, "2026-03-01"]],
        "Targets": [["P", "black cherry", 0.05, 0.002, 6], ["P", "hickory", 0.02, 0.002, 5]],
        "Measurements": [[f"A1-{number}", "A1", 0.05, 0.053, 0.0525, 0.053, 0.0535, 0.053] for number in range(1, 7)],
        "Handles": [["Grip", "P", 1, 4, 0.3, 0.2, 20]],
        "Bowls": [["Bowl", "P", 1, 4, 2, 0.3]],
    }
    return [fill(folder / f"job{suffix}", rows) for suffix in (".xlsx", ".ods")]


@pytest.fixture(scope="module")
def german(tmp_path_factory):
    """A folder with a German locale, where the machine can make one; else the name alone, which Python then ignores."""
    folder = tmp_path_factory.mktemp("locales")
    if shutil.which("localedef"):
        command = ["localedef", "-i", "de_DE", "-f", "UTF-8", str(folder / "de_DE.UTF-8")]
        subprocess.run(command, capture_output=True, check=False)
    return folder


def refreshed(paths, around):
    environment = os.environ | {"SHIFT_S": "0", "PYTHONPATH": str(ROOT)} | around
    command = [sys.executable, "-c", ANOTHER_DAY, *map(str, paths)]
    done = subprocess.run(
        command, capture_output=True, text=True, timeout=120, check=False, cwd=paths[0].parent, env=environment
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout.split()


@pytest.fixture(scope="module")
def at_home(jobs, tmp_path_factory):
    folder = tmp_path_factory.mktemp("home")
    copies = [Path(shutil.copy(path, folder)) for path in jobs]
    refreshed(copies, {})
    return [path.read_bytes() for path in copies]


@pytest.mark.parametrize("where", [name for name in SURROUNDINGS if name != "as it is"])
def test_the_bytes_are_the_same_elsewhere(jobs, at_home, german, tmp_path, where):
    folder = tmp_path / "Ödland mit Zwischenraum"
    folder.mkdir()
    copies = [Path(shutil.copy(path, folder / f"another name{path.suffix}")) for path in jobs]
    around = dict(SURROUNDINGS[where])
    if where == "German":
        around["LOCPATH"] = str(german)
    year, point = refreshed(copies, around)
    assert point == ("," if where == "German" and (german / "de_DE.UTF-8").exists() else ".")
    assert {"a year ago in Kiritimati": "2025", "in 2051 in Pago Pago": "2051"}.get(where, year) == year
    assert [path.read_bytes() for path in copies] == at_home


def test_the_bytes_are_the_same_through_a_link_with_other_rights_and_from_another_folder(jobs, at_home, tmp_path):
    real = tmp_path / "real"
    real.mkdir()
    copies = [Path(shutil.copy(path, real)) for path in jobs]
    links = [tmp_path / f"link{path.suffix}" for path in jobs]
    for path, link in zip(copies, links, strict=True):
        path.chmod(0o600)
        link.symlink_to(path)
    command = [sys.executable, "-m", "sheetkit", "refresh", *(link.name for link in links)]
    environment = os.environ | {"PYTHONPATH": str(ROOT), "HOME": "/nonexistent", "TMPDIR": "/nonexistent"}
    subprocess.run(command, capture_output=True, timeout=120, check=False, cwd=tmp_path, env=environment, umask=0o077)
    assert [path.read_bytes() for path in copies] == at_home


CLOCKS = {"today", "now", "utcnow", "time", "time_ns", "localtime", "gmtime", "ctime", "strftime_now"}
HAVE_CLOCKS = {"time", "datetime", "date", "datetime.datetime", "datetime.date", "dt.datetime", "dt.date", "Timestamp"}
MAY_ASK_THE_DAY = {"cli.py"}
"""What is printed while a folder is watched carries the time of day."""


def test_no_module_of_the_engine_asks_for_the_day():
    asking = set()
    for path in (ROOT / "sheetkit").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            called = node.func if isinstance(node, ast.Call) else None
            if isinstance(called, ast.Attribute) and called.attr in CLOCKS and ast.unparse(called.value) in HAVE_CLOCKS:
                asking.add(path.name)
    assert asking <= MAY_ASK_THE_DAY
