"""The campaign in its short form: a few inputs of every kind, the same ones at every run."""

import json
import os
import subprocess
import sys
from pathlib import Path

CAMPAIGN = Path(__file__).with_name("campaign.py")
INPUTS = 40
KINDS = {"bytes", "zip structure", "XML", "cells", "random rows"}


def test_forty_mutated_workbooks_break_no_promise(tmp_path):
    """Starts from the project's own workbooks only, so that the inputs do not hang on what lies beside it."""
    kept, counts = tmp_path / "kept", tmp_path / "counts.json"
    command = [sys.executable, "-W", "ignore", str(CAMPAIGN), "--number", "20", "--inputs", str(INPUTS)]
    command += ["--keep", str(kept), "--json", str(counts)]
    inside = os.environ | {"SHEETKIT_SHARED": str(tmp_path / "nothing"), "PYTHONPATH": str(CAMPAIGN.parents[2])}
    done = subprocess.run(command, env=inside, capture_output=True, text=True, timeout=900, check=False)
    told = [path.read_text("utf-8") for path in sorted(kept.glob("*.txt"))]
    assert (done.returncode, told, done.stderr) == (0, [], "")
    tallies = json.loads(counts.read_text("utf-8"))
    assert {kind: tally["tried"] for kind, tally in tallies.items()} == dict.fromkeys(KINDS, INPUTS // len(KINDS))
    read = {kind: tally["outcomes"].get("read", 0) for kind, tally in tallies.items()}
    assert read["cells"] > INPUTS // 10, "hardly an input was read: the campaign would prove nothing"
    assert read["random rows"] > INPUTS // 10
    assert sum(tally["outcomes"].get("refused", 0) for tally in tallies.values()) > INPUTS // 10
