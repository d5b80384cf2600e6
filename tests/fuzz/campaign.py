"""Tries mutated workbooks one after another in a guarded worker, and counts what became of them.

    python tests/fuzz/campaign.py --inputs 200
    python tests/fuzz/campaign.py --minutes 60 --keep FOLDER

The same number always gives the same inputs. Inputs that break a promise are kept, with what was found.
"""

import argparse
import json
import os
import selectors
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any, Final

from mutations import KINDS, MUTATIONS
from random_jobs import random_job
from starting_books import starting_books
from write_books import written

WORKER: Final = Path(__file__).with_name("one_input.py")
LONGEST: Final = 45.0
"""Processor time of all calls on one input, in seconds, after which the worker is ended."""
PATIENCE: Final = 300.0
"""Time on the clock after which it is ended whatever it does."""
TICKS: Final = os.sysconf("SC_CLK_TCK")


@dataclass
class Tally:
    """What became of the inputs of one kind.

    Attributes:
        tried: how many
        outcomes: how many were refused, read, and so on
        findings: how many broke a promise
        slowest: longest processor time of one call [s]
        peak: largest memory [bytes]
    """

    tried: int = 0
    outcomes: Counter[str] = field(default_factory=Counter)
    findings: int = 0
    slowest: float = 0.0
    peak: int = 0


class Worker:
    """The guarded process, started anew whenever it dies or is ended."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None
        self._errors = tempfile.TemporaryFile("w+")  # noqa: SIM115 - open as long as the worker lives
        self._served = 0

    def judge(self, path: Path) -> dict[str, Any]:
        """What became of an input."""
        if self._served >= 400:
            self.end()
        process = self._process or self._start()
        self._served += 1
        process.stdin.write(f"{path}\n")
        process.stdin.flush()
        start, used = time.monotonic(), _processor_time(process.pid)
        with selectors.DefaultSelector() as waiting:
            waiting.register(process.stdout, selectors.EVENT_READ)
            while not waiting.select(timeout=0.5):
                spent = _processor_time(process.pid) - used
                if spent > LONGEST or time.monotonic() - start > PATIENCE:
                    finding = f"does not end: {spent:.0f} s of processor time\n{self._last_errors()}"
                    self.end()
                    return {"outcome": "ended", "finding": finding, "seconds": spent, "peak": 0}
        answer = process.stdout.readline()
        if not answer:
            finding = f"the process died ({process.wait()})\n{self._last_errors()}"
            self._process = None
            return {"outcome": "died", "finding": finding, "seconds": 0.0, "peak": 0}
        return json.loads(answer)

    def end(self) -> None:
        """End the process."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def _start(self) -> "subprocess.Popen[str]":
        self._served = 0
        command = [sys.executable, str(WORKER)]
        self._process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=self._errors, text=True
        )
        return self._process

    def _last_errors(self) -> str:
        self._errors.seek(0)
        return self._errors.read()[-4000:]


def _processor_time(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS


def inputs(number: int, kinds: list[str]) -> Iterator[tuple[str, int, str, bytes]]:
    """Kind, index, file name and bytes, without end, the kinds in turn."""
    books = list(starting_books())
    index = 0
    while True:
        for kind in kinds:
            random = Random(f"{number}/{kind}/{index}")
            if kind in MUTATIONS:
                name, data = random.choice(books)
                yield kind, index, name, MUTATIONS[kind](data, random)
            else:
                suffix = random.choice([".xlsx", ".ods"])
                yield kind, index, f"random_rows{suffix}", written(random_job(random), suffix)
        index += 1


def run(
    *,
    number: int,
    count: int | None,
    minutes: float | None,
    kinds: list[str],
    keep: Path | None,
    first: int = 0,
    counts: Path | None = None,
) -> dict[str, Tally]:
    """Try inputs until the count or the time is reached; gives what became of them by kind.

    The counts are written to a file again and again, so that a run which is cut off has not been for nothing.
    """
    tallies = {kind: Tally() for kind in kinds}
    end = time.monotonic() + 60 * minutes if minutes is not None else float("inf")
    worker = Worker()
    with tempfile.TemporaryDirectory() as scratch:
        for tried, (kind, index, name, data) in enumerate(inputs(number, kinds)):
            if tried < first * len(kinds):
                continue
            if (count is not None and tried - first * len(kinds) >= count) or time.monotonic() > end:
                break
            folder = Path(scratch) / str(tried)
            folder.mkdir()
            path = folder / f"job{Path(name).suffix}"
            path.write_bytes(data)
            said = worker.judge(path)
            shutil.rmtree(folder)
            _count(tallies[kind], said)
            if counts is not None and tried % 20 == 0:
                _note(counts, tallies)
            if said["finding"] and keep is not None:
                _keep(keep, f"{number}-{kind.replace(' ', '_')}-{index}", path.suffix, name, data, said)
    worker.end()
    if counts is not None:
        _note(counts, tallies)
    return tallies


def _note(counts: Path, tallies: dict[str, Tally]) -> None:
    counts.write_text(json.dumps({kind: vars(tally) for kind, tally in tallies.items()}), "utf-8")


def _count(tally: Tally, said: dict[str, Any]) -> None:
    tally.tried += 1
    tally.findings += said["finding"] is not None
    tally.outcomes[said["outcome"] or "broke a promise"] += 1
    tally.slowest = max(tally.slowest, said["seconds"])
    tally.peak = max(tally.peak, said["peak"])


def _keep(folder: Path, stem: str, suffix: str, name: str, data: bytes, said: dict[str, Any]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{stem}{suffix}").write_bytes(data)
    (folder / f"{stem}.txt").write_text(f"from {name}\n{said['finding']}\n", "utf-8")


def table(tallies: dict[str, Tally]) -> str:
    """The counts as a Markdown table."""
    heads = (
        "kind of damage",
        "inputs",
        "read",
        "refused, one line",
        "broke a promise",
        "slowest call (s)",
        "most memory (MB)",
    )
    lines = [f"| {' | '.join(heads)} |", f"|{'---|' * len(heads)}"]
    for kind, tally in tallies.items():
        refused = tally.outcomes["refused"] + tally.outcomes["read, not written"]
        cells = (
            kind, tally.tried, tally.outcomes["read"], refused, tally.findings,
            f"{tally.slowest:.1f}", tally.peak >> 20,
        )  # fmt: skip
        lines.append(f"| {' | '.join(map(str, cells))} |")
    return "\n".join(lines)


def main() -> None:
    """Run from the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--inputs", type=int, help="how many to try")
    parser.add_argument("--minutes", type=float, help="how long to try")
    parser.add_argument("--number", type=int, default=1, help="another number gives other inputs")
    parser.add_argument("--first", type=int, default=0, help="index of each kind to begin with")
    parser.add_argument("--kind", action="append", choices=KINDS, help="only this kind; may be given again")
    parser.add_argument("--keep", type=Path, help="folder for inputs that broke a promise")
    parser.add_argument("--json", type=Path, help="keep the counts in this file as well")
    given = parser.parse_args()
    tallies = run(
        number=given.number, count=given.inputs, minutes=given.minutes, kinds=given.kind or list(KINDS),
        keep=given.keep, first=given.first, counts=given.json,
    )  # fmt: skip
    print(table(tallies))
    sys.exit(any(tally.findings for tally in tallies.values()))


if __name__ == "__main__":
    main()
