"""One of a kind is never told as several, on whichever result sheet."""

import re

import pytest

from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs

SEVERAL = re.compile(
    r"(?<![\d./,-])1 (more )?(layers|glue lines|lines|slices|boards|panels|blanks|pieces|pairs|copies|rings|passes|"
    r"cuts|turns|days|clamps|readings|strips|rounds|spares|repeats|settings|glue-ups|joints)\b"
)
ONE_LAYER = {"Stock": [["A", "black cherry", 20, 3, 0.4]], "Targets": [["P", "black cherry", 0.05, 0.002, 1]],
             "Panels": [["P", 9, 2.5, None, None, None, 2, 0.002]]}  # fmt: skip
TWO_LAYERS = {
    "Stock": [["A", "black cherry", 20, 3, 0.41], ["B", "black walnut", 20, 3, 0.31]],
    "Targets": [["P", "black cherry", 0.05, 0.002, 1], ["P", "black walnut", 0.05, 0.002, 1]],
    "Panels": [["P", 9, 2.5, None, None, None, 2, 0.002]],
    "Handles": [["H", "P", 1, 8, 1.5, 0.1]],
    "Measurements": [["A-1", "A", 0.05, 0.05]],
    "Bowls": [["Dish", "P", 1, 3, 2, 0.5]],
}


@pytest.mark.parametrize("rows", [ONE_LAYER, TWO_LAYERS], ids=["one layer", "two layers"])
@pytest.mark.parametrize("clamps", [1, 6])
def test_one_of_a_kind_is_told_as_one(fill, tmp_path, rows, clamps):
    settings = {"Shop": {"Clamps": clamps}, "Job": {"Spare slices": 0}}
    workbook = open_workbook(fill(tmp_path / "job.xlsx", rows, settings))
    inputs = read_inputs(workbook)
    sheets = result_sheets(workbook, inputs, compute(inputs))
    texts = [
        cell.value for sheet in sheets for row in sheet.rows for cell in row if cell and isinstance(cell.value, str)
    ]
    assert [text for text in texts if SEVERAL.search(text)] == []
    assert any("1 layer" in text for text in texts)


def test_spares_are_told_with_their_panel(fill, tmp_path):
    """Two panels that share a wood and a thickness have spares of their own."""
    rows = {**ONE_LAYER, "Panels": [["P", 9, 2.5], ["Q", 9, 2.5]]}
    rows["Targets"] = [["P", "black cherry", 0.05, 0.002, 1], ["Q", "black cherry", 0.05, 0.002, 1]]
    workbook = open_workbook(fill(tmp_path / "job.xlsx", rows))
    inputs = read_inputs(workbook)
    stock = next(sheet for sheet in result_sheets(workbook, inputs, compute(inputs)) if sheet.key == "stock_use")
    told = [row[0].value for row in stock.rows if row and row[0] and str(row[0].value).startswith("Spares of")]
    assert [text.partition(":")[0] for text in told] == [
        "Spares of black cherry, 0.0500 in, panel P", "Spares of black cherry, 0.0500 in, panel Q",
    ]  # fmt: skip
