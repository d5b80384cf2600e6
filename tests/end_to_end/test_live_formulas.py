"""Every formula on every result sheet: LibreOffice and an independent library come to the engine's figures.

A workbook of each demo, in both formats, as typed and refreshed; some of them read in another unit, too.
"""

import re
import runpy
from datetime import date
from pathlib import Path

import formulas
import numpy as np
import pytest
from openpyxl import load_workbook
from openpyxl.utils.cell import range_boundaries
from openpyxl.worksheet.formula import ArrayFormula

from sheetkit import refresh

UNITS = (("salad_servers_half_sawn", "thou"), ("fruit_bowl", "thou"), ("fruit_bowl", "64ths"))
"""Demos whose results are read in another unit."""
DEMOS = (
    *("salad_servers_planned", "salad_servers_half_sawn", "box_sides_metric", "fruit_bowl"),
    *(f"{demo} in {unit}" for demo, unit in UNITS),
)
MAKE = Path(__file__).parents[2] / "demo_workbooks" / "make_demos.py"
SUMS_OVER_INPUTS = re.compile(r"COUNTA|REPT|^=IFERROR\(IF\(SUM|^=\"These figures")
"""Formulas of freshness, which have tests of their own."""


@pytest.fixture(scope="module")
def demos(tmp_path_factory, fill):
    """Every demo in both formats, by name and format."""
    folder, made = tmp_path_factory.mktemp("demos"), runpy.run_path(str(MAKE))
    found = {}
    for demo in made["DEMOS"]:
        for suffix in (".xlsx", ".ods"):
            path = folder / f"{Path(demo.name).stem}{suffix}"
            made["type_in"](demo.name, path)
            refresh(path)
            found[path.stem, suffix] = path
            for unit in (unit for name, unit in UNITS if name == path.stem):
                other = path.with_stem(f"{path.stem} in {unit}")
                settings = {**demo.settings, "Job": {**demo.settings.get("Job", {}), "Unit": unit}}
                fill(other, demo.rows, settings, demo.unit)
                refresh(other)
                found[other.stem, suffix] = other
    return found


def number(value):
    """Days as the numbers under which spreadsheets keep them."""
    if isinstance(value, date):
        return float(value.toordinal() - date(1899, 12, 30).toordinal())
    return value


def close(value):
    return value if isinstance(value, str) else pytest.approx(number(value), rel=1e-8, abs=1e-9)


@pytest.mark.office
@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_libreoffice_comes_to_the_engines_figures_cell_by_cell(demos, recalculated, cells_of, suffix):
    names = [name for name in DEMOS if (name, suffix) in demos]
    assert set(names) == set(DEMOS)
    made = recalculated([demos[name, suffix] for name in names])
    for name, path in zip(names, made, strict=True):
        for tab in refresh(demos[name, suffix], dry_run=True).sheets.values():
            ours, theirs = cells_of(demos[name, suffix], tab), cells_of(path, tab)
            assert ours.keys() == theirs.keys(), (name, tab)
            wrong = {
                place: (value, theirs[place]) for place, value in ours.items() if number(theirs[place]) != close(value)
            }
            assert wrong == {}, (name, tab)


@pytest.mark.parametrize("name", DEMOS)
def test_an_independent_library_comes_to_the_same(demos, name):
    """The `formulas` library works each formula out from the values that the workbook holds."""
    path = demos[name, ".xlsx"]
    live, stored = load_workbook(path), load_workbook(path, data_only=True)
    tabs = {tab.upper(): tab for tab in stored.sheetnames}
    checked = {}
    for tab in refresh(path, dry_run=True).sheets.values():
        for row in live[tab].iter_rows():
            for cell in row:
                formula = cell.value
                if isinstance(formula, ArrayFormula) or not str(formula).startswith("="):
                    continue
                if SUMS_OVER_INPUTS.search(formula) and tab != "Stock use":
                    continue
                found = worked_out(formula, tab, stored, tabs)
                assert found == close(stored[tab][cell.coordinate].value), (tab, cell.coordinate, formula)
                checked[tab] = checked.get(tab, 0) + 1
    assert checked.keys() >= {"Summary", "Stock use", "Dial settings", "Lay-up", "Glue-up", "Cost"}
    assert sum(checked.values()) > 120


def worked_out(formula, tab, stored, tabs):
    """What the library makes of one formula."""

    def values(operand):
        sheet, _, area = operand.rpartition("!")
        named = tabs[re.sub(r"^\[.*\]", "", sheet.strip("'")).strip("'")] if sheet else tab
        left, top, right, bottom = range_boundaries(area)
        block = [
            [number(stored[named].cell(r, c).value) for c in range(left, right + 1)] for r in range(top, bottom + 1)
        ]
        return np.array(block, dtype=object)

    function = formulas.Parser().ast(formula)[1].compile()
    result = np.asarray(function(*(values(operand) for operand in function.inputs))).ravel()[0]
    return result if isinstance(result, str) else float(result)
