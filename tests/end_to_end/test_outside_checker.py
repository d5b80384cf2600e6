"""The independent checker of written workbooks finds nothing wrong with templates and demos."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
WORKBOOKS = sorted([*(ROOT / "templates").glob("*.*s*"), *(ROOT / "demo_workbooks").glob("*.xlsx")])
WORKBOOKS += sorted((ROOT / "demo_workbooks").glob("*.ods"))


@pytest.mark.shared
@pytest.mark.office
@pytest.mark.parametrize("path", WORKBOOKS, ids=lambda path: path.name)
def test_no_finding(path, shared_folder, tmp_path):
    command = [sys.executable, str(shared_folder / "tools" / "open_everywhere.py"), str(path), "--work", str(tmp_path)]
    if modules := os.environ.get("SHEETKIT_NODE_MODULES"):
        command += ["--node-modules", modules]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    lines = done.stdout.splitlines()
    failed = [line for line in lines if line.strip().startswith("FAIL")]
    assert not failed, "\n".join(failed)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    if os.environ.get("CI") == "true":
        missing = [
            line
            for line in lines
            if "SKIP" in line and any(name in line for name in ("soffice", "LibreOffice", "jing", "SDK"))
        ]
        assert not missing, "\n".join(missing)
