"""The sheet Cost is live: LibreOffice and an independent library come to the engine's figures, and follow a price."""

import re
from datetime import date

import formulas
import numpy as np
import pytest
from openpyxl import load_workbook
from openpyxl.utils.cell import range_boundaries

from sheetkit import refresh

STOCK = [
    ["A1", "black cherry", 20, 3, 1.5, None, None, 12],
    ["A2", "black cherry", 20, 3, 1.5, None, None, 12],
    ["B1", "black walnut", 20, 3, 1.2, *[None] * 6, 1.25],
]
TARGETS = [
    ["P", "black cherry", 0.05, 0.002, 8], ["P", "black walnut", 0.02, 0.002, 7],
    ["Q", "black cherry", 0.03, 0.002, 8], ["Q", "black walnut", 0.02, 0.002, 7],
]  # fmt: skip
SETTINGS = {
    "Job": {"Panels lost": "10 %", "Margin": 30},
    "Shop": {
        "Labour rate": 30, "Set-up time": 45, "Time per pass": 2, "Feed speed": 5, "Work per panel": "1.5 h",
        "Glue price": 18.5, "Glue in a bottle": 473, "Blade price": 28, "Blade life": 6, "Overhead": 12,
    },
}  # fmt: skip


@pytest.fixture
def job(fill, tmp_path, suffix):
    rows = {
        "Stock": STOCK, "Targets": TARGETS, "Panels": [["P", 9, 2.5, None, None, 2], ["Q", 9, 2.5]],
        "Species": [["black walnut", None, None, None, None, 14]],
    }  # fmt: skip
    path = fill(tmp_path / f"job{suffix}", rows, SETTINGS)
    refresh(path)
    return path


@pytest.mark.office
def test_libreoffice_comes_to_the_engines_figures_cell_by_cell(job, recalculated, cells_of):
    ours, theirs = cells_of(job, "Cost"), cells_of(recalculated([job])[0], "Cost")
    assert ours.keys() == theirs.keys()
    for place, value in ours.items():
        assert theirs[place] == (value if isinstance(value, str) else pytest.approx(value, rel=1e-7, abs=1e-7)), place


@pytest.mark.office
def test_a_price_typed_in_is_followed_without_a_refresh(job, tmp_path, typed, recalculated, cells_of):
    """Both cherry boards at twice the price: their two charges double; all that is a sum of them follows."""
    changed = typed(job, tmp_path / f"dear{job.suffix}", {("Stock", 3, 8): 24, ("Stock", 4, 8): 24})
    before, after = cells_of(job, "Cost"), cells_of(recalculated([changed])[0], "Cost")
    rows = [
        row
        for (row, column), value in before.items()
        if column == 2 and value == "black cherry" and (row, 13) in before
    ]
    cherry = sum(before[row, 11] for row in rows)
    total = next(row for (row, column), value in before.items() if column == 1 and value == "All panels")
    assert after[total, 3] == pytest.approx(before[total, 3] + cherry)
    assert after[total, 8] == pytest.approx(before[total, 8] + cherry * 1.12)


@pytest.mark.office
def test_a_later_start_moves_the_calendar_without_a_refresh(fill, tmp_path, suffix, typed, recalculated, cells_of):
    """A week later, on the same weekday, every stage that is still to do is a week later; so is the end."""
    settings = {"Job": {"Start date": date(2027, 3, 1)}, "Shop": SETTINGS["Shop"] | {"Days worked": "weekdays"}}
    job_path = fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS}, settings)
    refresh(job_path)
    row = next(
        row for (row, column), value in cells_of(job_path, "Job").items() if (column, value) == (1, "Start date")
    )
    serial = (date(2027, 3, 8) - date(1899, 12, 30)).days
    later = recalculated([typed(job_path, tmp_path / f"later{suffix}", {("Job", row, 2): serial})])[0]
    before, after = days(cells_of(job_path, "Cost")), days(cells_of(later, "Cost"))
    assert len(before) > 8
    assert after == {place: day + 7 for place, day in before.items()}


def days(cells):
    """The days on the sheet as serial numbers, by place."""
    zero = date(1899, 12, 30).toordinal()
    return {place: value.toordinal() - zero for place, value in cells.items() if isinstance(value, date)}


def test_an_independent_library_comes_to_the_same(fill, tmp_path):
    job_path = tmp_path / "job.xlsx"
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": [["P", 9, 2.5, None, None, 2], ["Q", 9, 2.5]]}
    rows["Species"] = [["black walnut", None, None, None, None, 14]]
    refresh(fill(job_path, rows, SETTINGS))
    live, stored = load_workbook(job_path), load_workbook(job_path, data_only=True)
    tabs = {name.upper(): name for name in stored.sheetnames}

    def values(operand):
        sheet, _, area = operand.rpartition("!")
        named = tabs[re.sub(r"^\[.*\]", "", sheet.strip("'")).strip("'")] if sheet else "Cost"
        left, top, right, bottom = range_boundaries(area)
        block = [[stored[named].cell(r, c).value for c in range(left, right + 1)] for r in range(top, bottom + 1)]
        return np.array(block, dtype=object)

    checked = 0
    for row in live["Cost"].iter_rows(min_row=4):
        for cell in row:
            if not (isinstance(cell.value, str) and cell.value.startswith("=")):
                continue
            function = formulas.Parser().ast(cell.value)[1].compile()
            result = function(*(values(operand) for operand in function.inputs))
            found = float(np.asarray(result).ravel()[0])
            assert found == pytest.approx(stored["Cost"][cell.coordinate].value, rel=1e-7, abs=1e-7), cell.coordinate
            checked += 1
    assert checked > 70
