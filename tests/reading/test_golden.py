"""Workbooks saved by LibreOffice itself, read by us and by readers that share no code with ours."""

from pathlib import Path

import openpyxl
import pandas
import pytest

from sheetkit.reading import open_workbook
from sheetkit.reading.model import Kind, MergedArea, Visibility

GOLDEN = Path(__file__).parents[1] / "golden"
JOBS = ["inch_job", "metric_job"]


def read(name, suffix):
    return open_workbook(GOLDEN / f"{name}.{suffix}")


def comparable(cell):
    code = cell.number_format.replace("\\", "")
    return cell.kind, cell.value, code, cell.serial, cell.comment, cell.struck, cell.formula is not None


@pytest.mark.parametrize("name", JOBS)
def test_both_formats_of_one_job_read_alike(name):
    """LibreOffice saved the same content twice; only formulas are written in another dialect."""
    xlsx, ods = read(name, "xlsx"), read(name, "ods")
    for mine, other in zip(xlsx.sheets, ods.sheets, strict=True):
        assert {place: comparable(cell) for place, cell in mine.cells.items()} == {
            place: comparable(cell) for place, cell in other.cells.items()
        }
        assert (mine.name, mine.merged, mine.hidden_rows, mine.hidden_columns, mine.visibility) == (
            (other.name, other.merged, other.hidden_rows, other.hidden_columns, other.visibility)
        )


@pytest.mark.parametrize("name", JOBS)
def test_the_xlsx_reads_as_openpyxl_reads_it(name):
    workbook = read(name, "xlsx")
    results = openpyxl.load_workbook(GOLDEN / f"{name}.xlsx", data_only=True)
    formulas = openpyxl.load_workbook(GOLDEN / f"{name}.xlsx")
    for sheet in workbook.sheets:
        theirs = {
            (cell.row, cell.column): cell.value for row in results[sheet.name].iter_rows() for cell in row if cell.value
        }
        assert {place: cell.value for place, cell in sheet.cells.items() if cell.value is not None} == theirs
        assert {place: cell.formula for place, cell in sheet.cells.items() if cell.formula} == {
            (cell.row, cell.column): cell.value
            for row in formulas[sheet.name].iter_rows()
            for cell in row
            if cell.data_type == "f"
        }


@pytest.mark.parametrize("name", JOBS)
def test_the_ods_reads_as_pandas_reads_it(name):
    workbook = read(name, "ods")
    tables = pandas.read_excel(GOLDEN / f"{name}.ods", sheet_name=None, header=None, engine="odf")
    for sheet in workbook.sheets:
        theirs = {
            (row + 1, column + 1): value
            for row, values in enumerate(tables[sheet.name].itertuples(index=False))
            for column, value in enumerate(values)
            if not pandas.isna(value)
        }
        assert {place: cell.value for place, cell in sheet.cells.items()} == theirs


@pytest.mark.parametrize("suffix", ["xlsx", "ods"])
def test_what_a_maker_sees_beside_the_values_is_read(suffix):
    """What make_golden.py wrote before LibreOffice saved it."""
    workbook = read("inch_job", suffix)
    stock, targets, _, measurements, notes = workbook.sheets
    assert workbook.sheet_names() == ["Stock", "Targets", "For the customer", "Measurements", "Old notes"]
    assert stock.merged == [MergedArea(1, 2, 1, 9)]
    assert targets.merged == [MergedArea(1, 3, 1, 4)]
    assert stock.hidden_columns == {15}
    assert measurements.hidden_rows == {5}
    assert notes.visibility is Visibility.HIDDEN
    assert stock.cells[7, 6].comment == "measured at the thin end"
    assert stock.cells[5, 14].struck
    assert stock.cells[6, 6].value == '1-1/16"'
    assert stock.cells[9, 6].value == "5/4"
    assert [measurements.cells[4, column].value for column in range(4, 9)] == [0.0604] * 5
    assert (stock.cells[2, 3].kind, stock.cells[2, 3].serial) == (Kind.DATE, 45964.0)
    assert stock.cells[11, 9].value == 18.5 + 16 + 41 + 12.25 + 9
    assert workbook.problems == []
