"""Result sheets of small jobs, and stand-ins for LibreOffice."""

import pytest

from sheetkit.blank.write import write_blank
from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs


@pytest.fixture
def sheets_of(tmp_path):
    """Summary and Cut plan of a job with so many layers, on boards that give about a dozen slices each."""

    def made(layers, unit="in"):
        path = tmp_path / "job.xlsx"
        thickness, slice_ = (1.5, 0.05) if unit == "in" else (38, 1.3)
        size = (20, 3) if unit == "in" else (500, 75)
        boards = [[f"A{number}", "black cherry", *size, thickness] for number in range(1, 21)]
        targets = [["P", "black cherry", slice_, 0.002 if unit == "in" else 0.05, layers]]
        write_blank(path, unit, {"Stock": boards, "Targets": targets})
        workbook = open_workbook(path)
        inputs = read_inputs(workbook)
        by_key = {sheet.key: sheet for sheet in result_sheets(workbook, inputs, compute(inputs))}
        return by_key["summary"], by_key["cut_plan"]

    return made


@pytest.fixture
def stand_in(tmp_path):
    """A program in LibreOffice's place."""

    def made(script):
        program = tmp_path / "bin" / "soffice"
        program.parent.mkdir(exist_ok=True)
        program.write_text(f"#!/bin/sh\n{script}\n")
        program.chmod(0o755)
        return program

    return made
