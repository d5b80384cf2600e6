"""Real workbooks for the whole run: blanks filled in, in either format, and a way to open them in LibreOffice."""

import os
import shutil
import subprocess

import pytest
from openpyxl import load_workbook
from python_calamine import CalamineWorkbook

from sheetkit.blank.write import write_blank


@pytest.fixture(scope="session")
def fill():
    """Type rows, and settings by their name, into a blank of either format."""

    def filled(path, rows, settings=None, unit="in"):
        pairs = {name: list(values.items()) for name, values in (settings or {}).items()}
        write_blank(path, unit, {**rows, **pairs})
        return path

    return filled


@pytest.fixture(params=[".xlsx", ".ods"])
def suffix(request):
    """Both formats."""
    return request.param


@pytest.fixture(scope="session")
def soffice(tmp_path_factory):
    """Run LibreOffice on a file and get the converted one back; skips where it is not installed, fails in CI."""
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("CI") == "true":
            pytest.fail("LibreOffice is not installed")
        pytest.skip("LibreOffice is not installed")
    profile = tmp_path_factory.mktemp("office_profile")

    def convert(path, to, folder):
        command = [program, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", to]
        command += ["--outdir", str(folder), str(path)]
        done = subprocess.run(command, capture_output=True, timeout=180, check=False)
        made = folder / f"{path.stem}.{to.split(':')[0]}"
        assert made.exists(), done.stderr.decode()
        return made

    return convert


@pytest.fixture(scope="session")
def cells_of():
    """Every non-empty cell of a sheet as an independent reader sees it, by (row, column) from 1."""

    def read(path, sheet):
        if path.suffix == ".xlsx":
            rows = load_workbook(path, data_only=True)[sheet].iter_rows()
            return {(c.row, c.column): c.value for row in rows for c in row if c.value not in (None, "")}
        rows = CalamineWorkbook.from_path(str(path)).get_sheet_by_name(sheet).to_python(skip_empty_area=False)
        return {
            (r, c): value for r, row in enumerate(rows, 1) for c, value in enumerate(row, 1) if value not in (None, "")
        }

    return read
