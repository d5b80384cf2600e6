"""The independent checker of written workbooks, on result sheets grafted into a sample of outside workbooks."""

import os
import subprocess
import sys

import pytest

from sheetkit.graft import graft_into

SAMPLE = [
    "xlsx/ClosedXML__DateTimeGroupAutoFilter.xlsx",
    "xlsx/docling__xlsx_03_chartsheet.xlsx",
    "xlsx/npoi__coordinate.xlsm",
    "xlsx/poi__ExcelWithAttachments.xlsm",
    "xlsx/xlnt__Issue445_inline_str.xlsx",
    "ods/calamine__picture.ods",
    "ods/lo__simple-monthly-budget.ods",
    "ods/python_ooo_dev_tools__col_chart.ods",
]
READER_AT_FAULT = ("reader.gnumeric", "_x0041_")
"""gnumeric turns the plain text _x0041_ of an .ods cell into A, as it would in an .xlsx one."""


@pytest.mark.shared
@pytest.mark.office
@pytest.mark.parametrize("name", SAMPLE)
def test_no_finding_beyond_what_the_maker_had(name, shared_folder, rich_sheets, tmp_path):
    original = shared_folder / "corpus" / name
    grafted = tmp_path / original.name
    with grafted.open("wb") as out:
        graft_into(original, rich_sheets, out)
    command = [sys.executable, str(shared_folder / "tools" / "open_everywhere.py"), str(grafted)]
    command += ["--baseline", str(original), "--work", str(tmp_path / "work")]
    if modules := os.environ.get("SHEETKIT_NODE_MODULES"):
        command += ["--node-modules", modules]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    failed = [line for line in done.stdout.splitlines() if line.strip().startswith("FAIL")]
    assert "PASS" in done.stdout, done.stdout + done.stderr
    assert not [line for line in failed if not all(words in line for words in READER_AT_FAULT)], "\n".join(failed)
