"""How long sheetkit takes beside a yardstick: python tests/benchmarks/bench_speed.py [--quick] [--only NAME].

Every figure is a whole process, measured from its start to its end, on a file made anew for that run; the process and
its yardstick take turns. Both run from compiled sources. The jobs are invented; random readings are the same each time.
"""

import argparse
import compileall
import math
import os
import platform
import random
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from multiprocessing import get_context
from pathlib import Path

PROJECT = Path(__file__).parents[2]
DEMOS = sorted(path for path in (PROJECT / "demo_workbooks").iterdir() if path.suffix in {".xlsx", ".ods"})
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | {
    "PYTHONPATH": str(PROJECT)
}
RUNS = 5
FEWER_RUNS = ((120.0, 1), (20.0, 2))
"""Where a run takes longer than this [s], so many runs."""

SCALE = (200, 1_000, 5_000, 20_000, 100_000)
LARGE = 20_000
Rows = list[list[str | float]]
WOODS = {"black cherry": 0.05, "american holly": 0.02, "persimmon": 0.03, "black walnut": 0.04}
"""Finished thickness by wood [in]."""

OPENPYXL = "import sys, openpyxl; b = openpyxl.load_workbook(sys.argv[1]); {}b.save(sys.argv[2])"
ODFPY = "import sys, odf.opendocument, odf.table; b = odf.opendocument.load(sys.argv[1]); {}b.save(sys.argv[2])"
LOAD_AND_SAVE = {".xlsx": OPENPYXL.format(""), ".ods": ODFPY.format("")}
WITH_A_SHEET = {
    ".xlsx": OPENPYXL.format("b.create_sheet('More'); "),
    ".ods": ODFPY.format("b.spreadsheet.addElement(odf.table.Table(name='More')); "),
}
LIBRARY = {".xlsx": "openpyxl", ".ods": "odfpy"}


@dataclass(frozen=True)
class Taken:
    """Medians over the runs of one command: wall time [s], processor time [s], peak memory [MB]."""

    wall_s: float
    processor_s: float
    peak_mb: float
    runs: int


def run_once(command: Sequence[str | Path], *, changes: Path | None = None) -> Taken:
    """Run one process; where it is to change a file, make sure that it did."""
    before = changes.read_bytes() if changes is not None else b""
    with tempfile.TemporaryFile() as said:
        start = time.perf_counter()
        process = subprocess.Popen([sys.executable, *command], env=ENVIRONMENT, stdout=said, stderr=said)
        _, status, used = os.wait4(process.pid, 0)
        wall = time.perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode not in {0, 1} or (changes is not None and changes.read_bytes() == before):
            said.seek(0)
            raise SystemExit(f"{command} did not do its work: {said.read().decode()[-2000:]}")
    unit = 1e6 if sys.platform == "darwin" else 1e3
    return Taken(wall, used.ru_utime + used.ru_stime, used.ru_maxrss / unit, 1)


def medians(*rounds: Callable[[], Taken]) -> list[Taken]:
    """Run each in turn, five times after one for warmth, or fewer times in all where one takes long."""
    first = [once() for once in rounds]
    longest = max(one.wall_s for one in first)
    runs = next((fewer for limit, fewer in FEWER_RUNS if longest > limit), RUNS)
    taken: list[list[Taken]] = [[] if runs == RUNS else [one] for one in first]
    for _ in range(runs if runs == RUNS else runs - 1):
        for once, so_far in zip(rounds, taken, strict=True):
            so_far.append(once())
    return [
        Taken(
            statistics.median(one.wall_s for one in so_far),
            statistics.median(one.processor_s for one in so_far),
            statistics.median(one.peak_mb for one in so_far),
            len(so_far),
        )
        for so_far in taken
    ]


def refresh(source: Path, folder: Path) -> Callable[[], Taken]:
    """A refresh of a fresh copy."""

    def once() -> Taken:
        copy = folder / f"job{source.suffix}"
        shutil.copyfile(source, copy)
        return run_once(["-m", "sheetkit", "refresh", copy], changes=copy)

    return once


def python(code: str, *arguments: Path) -> Callable[[], Taken]:
    """A piece of Python in a process of its own."""
    return lambda: run_once(["-c", code, *arguments])


def make(what: Callable[..., None], *arguments: object) -> None:
    """Make a file in a process of its own: a process started from here counts this one's memory as its own peak."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as other:
        other.submit(what, *arguments).result()


def job(path: Path, slices: int) -> None:
    """A job of so many measured slices with six readings, a board for each hundred, a panel for each five hundred."""
    from sheetkit.blank.write import write_blank

    chance, woods = random.Random(1), list(WOODS)
    boards, panels = max(len(woods), slices // 100), max(1, slices // 500)
    stock: list[list[str | float]] = [
        [f"B{i}", woods[i % len(woods)], 40, 4, 14, "flat", "8 %", 20] for i in range(boards)
    ]
    targets: list[list[str | float]] = [
        [f"P{i}", wood, thickness, 0.002, 3] for i in range(panels) for wood, thickness in WOODS.items()
    ]
    measured: Rows = []
    for i in range(slices):
        board = i % boards
        thickness = WOODS[woods[board % len(woods)]]
        readings = [round(thickness + chance.gauss(0, 0.0004), 4) for _ in range(6)]
        measured.append([f"B{board}-{i // boards + 1}", f"B{board}", thickness - 0.003, *readings])
    rows: dict[str, Sequence[Sequence[str | float]]] = {
        "Stock": stock,
        "Panels": [[f"P{i}", 12, 3.5, 5, "yes", 1] for i in range(panels)],
        "Targets": targets,
        "Measurements": measured,
    }
    write_blank(path, "in", rows)


def with_picture(path: Path, source: Path) -> None:
    """The workbook with a sheet that holds a picture of 50 MB."""
    from io import BytesIO

    import openpyxl
    from openpyxl.drawing.image import Image
    from PIL import Image as Pillow

    side, picture = 4_083, BytesIO()
    Pillow.frombytes("RGB", (side, side), random.Random(2).randbytes(3 * side * side)).save(picture, "PNG")
    book = openpyxl.load_workbook(source)
    book.create_sheet("Photo of the shop").add_image(Image(picture), "B2")
    book.save(path)


def with_rows(path: Path, source: Path) -> None:
    """The workbook with a sheet of 100,000 rows that is not for sheetkit."""
    import openpyxl

    book = openpyxl.load_workbook(source)
    ledger = book.create_sheet("Ledger")
    for row in range(100_000):
        ledger.append([row, f"entry {row}", row * 0.25, "paid" if row % 3 else "open", row % 97, row / 7])
    book.save(path)


def saved_again(path: Path, source: Path) -> None:
    """The workbook as a library saves it, to compare like with like."""
    import openpyxl

    openpyxl.load_workbook(source).save(path)


def changed(path: Path, source: Path) -> None:
    """The workbook with the first number on Stock grown by a hundredth."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(path, "w") as new:
        part, pattern = _stock(old) if source.suffix == ".xlsx" else ("content.xml", _ODS_NUMBER)
        for entry in old.infolist():
            content = old.read(entry)
            if entry.filename == part:
                content, count = re.subn(pattern, _grown, content, count=1)
                if not count:
                    raise ValueError(f"{source}: no number on Stock")
            new.writestr(entry, content)


_XLSX_NUMBER = rb'(<c r="[A-Z]+[0-9]+"(?: s="[0-9]+")?><v>)([0-9.]+)'
_ODS_NUMBER = rb'(?s)(table:name="Stock".*?office:value=")([0-9.]+)'


def _grown(found: re.Match[bytes]) -> bytes:
    return found[1] + repr(round(float(found[2]) * 1.01, 6)).encode()


def _stock(package: zipfile.ZipFile) -> tuple[str, bytes]:
    """The part of an .xlsx file that holds the sheet Stock, and what a number in it looks like."""
    sheet = re.search(rb'<sheet [^>]*name="Stock"[^>]*r:id="([^"]+)"', package.read("xl/workbook.xml"))
    links = re.findall(rb"<Relationship [^>]*>", package.read("xl/_rels/workbook.xml.rels"))
    if sheet is None:
        raise ValueError("no sheet Stock")
    link = next(link for link in links if b'Id="%s"' % sheet[1] in link)
    target = re.search(rb'Target="/?(?:xl/)?([^"]+)"', link)
    if target is None:
        raise ValueError("a sheet without a part")
    return f"xl/{target[1].decode()}", _XLSX_NUMBER


@dataclass(frozen=True)
class Line:
    """One line of the table: a job beside its yardstick."""

    job: str
    yardstick: str
    ours: Taken
    theirs: Taken
    goal: str

    def __str__(self) -> str:
        ours, theirs = self.ours, self.theirs
        cells = (
            self.job,
            self.yardstick,
            f"{ours.wall_s:.2f} s",
            f"{theirs.wall_s:.2f} s",
            f"{ours.wall_s / theirs.wall_s:.2f}",
            f"{ours.processor_s / theirs.processor_s:.2f}" if theirs.processor_s else "",
            self.goal,
            f"{ours.peak_mb:.0f} / {theirs.peak_mb:.0f} MB" if theirs.peak_mb else f"{ours.peak_mb:.0f} MB",
            str(ours.runs),
        )
        return f"| {' | '.join(cells)} |"


HEAD = """| job | yardstick | job takes | yardstick takes | ratio | of processor time | goal | peak memory | runs |
| --- | --- | ---: | ---: | ---: | ---: | --- | ---: | ---: |"""


def starting(folder: Path, quick: bool) -> Iterator[Line | str]:
    """The help text beside an empty program."""
    ours, theirs = medians(lambda: run_once(["-m", "sheetkit", "--help"]), python("pass"))
    yield Line("`sheetkit --help`", "bare Python", ours, theirs, "0.15 s more")
    yield f"`--help` takes {ours.wall_s - theirs.wall_s:.2f} s more than bare Python (goal 0.15 s)."


def small(folder: Path, quick: bool) -> Iterator[Line | str]:
    """Each demo with a board made a little longer, beside adding a sheet with a library."""
    for demo in DEMOS:
        source = folder / f"changed{demo.suffix}"
        make(changed, source, demo)
        saved = folder / f"saved{demo.suffix}"
        ours, theirs = medians(refresh(source, folder), python(WITH_A_SHEET[demo.suffix], source, saved))
        yield Line(demo.name, f"{LIBRARY[demo.suffix]} adds a sheet", ours, theirs, "at most 3")


def large(folder: Path, quick: bool) -> Iterator[Line | str]:
    """Twenty thousand slices in both formats."""
    xlsx, ods = folder / "large.xlsx", folder / "large.ods"
    make(job, xlsx, LARGE)
    make(job, ods, LARGE)
    loads = [python(LOAD_AND_SAVE[path.suffix], path, folder / f"saved{path.suffix}") for path in (xlsx, ods)]
    in_xlsx, openpyxl, in_ods, odfpy = medians(refresh(xlsx, folder), loads[0], refresh(ods, folder), loads[1])
    yield Line("20,000 slices, .xlsx", "openpyxl loads and saves", in_xlsx, openpyxl, "below 1, less memory")
    yield Line("20,000 slices, .ods", "the same in .xlsx", in_ods, in_xlsx, "at most 2")
    yield Line("20,000 slices, .ods", "odfpy loads and saves", in_ods, odfpy, "at most 0.33")
    if quick:
        return
    again = [with_result_sheets(path, folder) for path in (xlsx, ods)]
    loads = [python(LOAD_AND_SAVE[path.suffix], path, folder / f"saved{path.suffix}") for path in again]
    in_xlsx, openpyxl = medians(refresh(again[0], folder), loads[0])
    in_ods, odfpy = medians(refresh(again[1], folder), loads[1])
    yield Line(
        "the .xlsx with result sheets in it", "openpyxl loads and saves", in_xlsx, openpyxl, "below 1, less memory"
    )
    yield Line("the .ods with result sheets in it", "the same in .xlsx", in_ods, in_xlsx, "at most 2")
    yield Line("the .ods with result sheets in it", "odfpy loads and saves", in_ods, odfpy, "at most 0.33")


def with_result_sheets(path: Path, folder: Path) -> Path:
    """The workbook after a refresh, as it is from then on, and with an input changed since."""
    refreshed, again = folder / f"refreshed{path.suffix}", folder / f"again{path.suffix}"
    shutil.copyfile(path, refreshed)
    run_once(["-m", "sheetkit", "refresh", refreshed], changes=refreshed)
    make(changed, again, refreshed)
    return again


def scale(folder: Path, quick: bool) -> Iterator[Line | str]:
    """From few slices to many."""
    took: dict[int, float] = {}
    for slices in SCALE[:-1] if quick else SCALE:
        source = folder / f"{slices}.xlsx"
        make(job, source, slices)
        (taken,) = medians(refresh(source, folder))
        took[slices] = taken.processor_s
        yield (
            f"{slices:,} slices: {taken.wall_s:.2f} s, processor {taken.processor_s:.2f} s, "
            f"peak {taken.peak_mb:.0f} MB, {taken.runs} runs."
        )
    last = sorted(took)[-2:]
    yield (
        f"Processor time grows with the number of slices to the power {slope(took):.2f} over all of these, "
        f"{slope({count: took[count] for count in last}):.2f} between the last two (goal 1)."
    )


def slope(took: dict[int, float]) -> float:
    """Slope of the straight line through the logarithms."""
    counts, times = ([math.log(value) for value in values] for values in (took.keys(), took.values()))
    return statistics.linear_regression(counts, times).slope


def ballast(folder: Path, quick: bool) -> Iterator[Line | str]:
    """What is not for sheetkit in a workbook, beside the same job without it and a copy of the file."""
    bare, plain = folder / "bare.xlsx", folder / "plain.xlsx"
    make(job, bare, SCALE[0])
    make(saved_again, plain, bare)
    for name, add in (("a picture of 50 MB", with_picture), ("100,000 rows not ours", with_rows)):
        source = folder / "ballast.xlsx"
        make(add, source, bare)
        ours, without, copying = medians(refresh(source, folder), refresh(plain, folder), copy(source, folder))
        both = Taken(without.wall_s + copying.wall_s, without.processor_s + copying.processor_s, without.peak_mb, 1)
        yield Line(f"200 slices, {name}", "without, and a copy", ours, both, "1")


def copy(source: Path, folder: Path) -> Callable[[], Taken]:
    """A copy of the file, made in this process."""

    def once() -> Taken:
        wall, processor = time.perf_counter(), time.process_time()
        shutil.copy(source, folder / "copied.xlsx")
        return Taken(time.perf_counter() - wall, time.process_time() - processor, 0.0, 1)

    return once


PARTS = {"small": small, "help": starting, "large": large, "scale": scale, "ballast": ballast}


def machine() -> str:
    """The processor, its cores, and the versions."""
    told = Path("/proc/cpuinfo")
    found = re.search(r"model name\s*: (.*)", told.read_text()) if told.exists() else None
    name = found[1] if found else platform.processor() or platform.machine()
    load = f", load {os.getloadavg()[0]:.1f} at the start" if hasattr(os, "getloadavg") else ""
    today = f"{datetime.now().astimezone():%Y-%m-%d}"
    return f"{name}, {os.cpu_count()} cores{load}, Python {platform.python_version()}, {today}"


def main() -> None:
    """Measure what is asked for, and print it as a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="no more than 20,000 slices, nothing twice")
    parser.add_argument("--only", choices=PARTS, action="append", help="only this part; can be given more than once")
    asked = parser.parse_args()
    compileall.compile_dir(PROJECT / "sheetkit", quiet=1)
    print(f"{machine()}. Medians of {RUNS} runs; of 2 where a run takes over 20 s, 1 over 120 s.\n\n{HEAD}", flush=True)
    remarks = []
    with tempfile.TemporaryDirectory() as name:
        for part in asked.only or PARTS:
            for result in PARTS[part](Path(name), asked.quick):
                if isinstance(result, Line):
                    print(result, flush=True)
                else:
                    remarks.append(result)
                    print(result, file=sys.stderr, flush=True)
    print("\n".join(["", *remarks]))


if __name__ == "__main__":
    main()
