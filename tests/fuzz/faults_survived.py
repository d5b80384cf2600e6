"""The whole table of faults survived: mutated workbooks, kills and failing writes, with the machine and the date.

    python tests/fuzz/faults_survived.py --minutes 60
    python tests/fuzz/faults_survived.py --counts COUNTS.json --counts OTHER.json

Counts are those that ``campaign.py --json`` keeps; with them no new inputs are tried.
"""

import argparse
import datetime as dt
import json
import os
import platform
import re
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Final

from campaign import Tally, run, table
from lxml import etree
from mutations import KINDS

ROOT: Final = Path(__file__).parents[2]
FAULTS: Final = {
    "refresh killed at a random moment": "test_a_refresh_killed_at_any_moment",
    "disk full at each write of a refresh": "test_a_disk_that_fills_up_at_any_write_of_a_refresh",
}
"""Tests of saving by the fault that they put in."""


def read_counts(paths: list[Path]) -> dict[str, Tally]:
    """Add up what several runs counted."""
    sums = {kind: Tally() for kind in KINDS}
    for path in paths:
        for kind, counted in json.loads(path.read_text("utf-8")).items():
            tally = sums[kind]
            tally.tried += counted["tried"]
            tally.findings += counted["findings"]
            tally.outcomes += Counter(counted["outcomes"])
            tally.slowest = max(tally.slowest, counted["slowest"])
            tally.peak = max(tally.peak, counted["peak"])
    return sums


def total(tallies: dict[str, Tally]) -> Tally:
    """All kinds together."""
    outcomes = sum((tally.outcomes for tally in tallies.values()), Counter[str]())
    return Tally(
        sum(tally.tried for tally in tallies.values()),
        outcomes,
        sum(tally.findings for tally in tallies.values()),
        max(tally.slowest for tally in tallies.values()),
        max(tally.peak for tally in tallies.values()),
    )


def saving_table(kills: int) -> str:
    """Faults put into saving, by running its tests in their long form; a test that fails counts for nothing."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.xml"
        command = [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            f"--junitxml={report}",
            "-o",
            "junit_family=xunit1",
        ]
        command += ["tests/graft/test_saving.py", "-k", " or ".join(FAULTS.values())]
        # Each case notes how many faults it put in, which only the older layout of the report can hold.
        asked = os.environ | {"SHEETKIT_KILLS": str(kills), "SHEETKIT_EVERY_WRITE": "1"}
        subprocess.run(command, cwd=ROOT, env=asked, stdout=subprocess.DEVNULL, check=False)
        cases = etree.parse(report).getroot().iter("testcase")
        lines = ["| fault while saving, .xlsx and .ods | tried | old or new file whole |", "|---|---|---|"]
        rows = {fault: [0, 0] for fault in FAULTS}
        for case in cases:
            fault = next(fault for fault, name in FAULTS.items() if case.get("name").startswith(name))
            tried = sum(int(item.get("value")) for item in case.iter("property") if item.get("name") == "survived")
            failed = case.find("failure") is not None or case.find("error") is not None
            rows[fault][0] += tried
            rows[fault][1] += 0 if failed else tried
    if not all(tried for tried, _ in rows.values()):
        sys.exit("no fault was put into saving: see what tests/graft/test_saving.py says")
    return "\n".join([*lines, *(f"| {fault} | {tried} | {whole} |" for fault, (tried, whole) in rows.items())])


def machine() -> str:
    """Processor, cores, Python and day."""
    information = Path("/proc/cpuinfo")
    named = re.search(r"model name\s*:\s*(.+)", information.read_text()) if information.exists() else None
    name = named[1] if named else platform.processor()
    today = dt.datetime.now(dt.UTC).date()
    return f"{name}, {os.cpu_count()} cores, {platform.system()}, Python {platform.python_version()}, {today}"


def main() -> None:
    """Run from the command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=60, help="how long to try inputs")
    parser.add_argument("--number", type=int, default=1, help="another number gives other inputs")
    parser.add_argument("--counts", type=Path, action="append", help="add up these counts instead; may be given again")
    parser.add_argument("--kills", type=int, default=200, help="how often to kill a refresh, in each format")
    parser.add_argument("--keep", type=Path, help="folder for inputs that broke a promise")
    given = parser.parse_args()
    if given.counts:
        tallies = read_counts(given.counts)
    else:
        tallies = run(number=given.number, count=None, minutes=given.minutes, kinds=list(KINDS), keep=given.keep)
    print(f"{machine()}\n")
    print(table(tallies | {"all": total(tallies)}))
    print(f"\n{saving_table(given.kills)}")


if __name__ == "__main__":
    main()
