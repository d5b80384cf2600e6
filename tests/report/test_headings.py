"""Headings of the result sheets: each is explained, and each table has a name that no other has."""

import runpy
from itertools import pairwise
from pathlib import Path

import pytest

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.builder import FILTERED_FROM, Heading, SheetBuilder
from sheetkit.report.model import HEADINGS, Look, ReportCell
from sheetkit.report.problems import problems_sheet
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs

ROOT = Path(__file__).parents[2]
DEMOS = ("salad_servers_planned.xlsx", "salad_servers_half_sawn.xlsx", "box_sides_metric.ods", "fruit_bowl.xlsx")


@pytest.fixture(scope="module", params=DEMOS)
def sheets(request, tmp_path_factory):
    path = tmp_path_factory.mktemp("demo") / request.param
    runpy.run_path(str(ROOT / "demo_workbooks" / "make_demos.py"))["type_in"](request.param, path)
    workbook = open_workbook(path)
    inputs = read_inputs(workbook)
    return result_sheets(workbook, inputs, compute(inputs))


def test_every_heading_is_explained(sheets):
    cells = [(sheet.name, cell) for sheet in sheets for row in sheet.rows for cell in row if cell is not None]
    headings = [(name, cell) for name, cell in cells if cell.look in HEADINGS]
    assert len(headings) > 40
    assert [(name, cell.value) for name, cell in headings if not cell.note] == []


def test_a_heading_stands_where_its_column_stands(sheets):
    """Above the first figure of its column at the right, above words at the left."""
    wrong = []
    for sheet in sheets:
        for above, below in pairwise(sheet.rows):
            for heading, cell in zip(above, below, strict=False):
                if heading is None or heading.look not in HEADINGS or cell is None or cell.value is None:
                    continue
                is_figure = not isinstance(cell.value, str) or cell.look is Look.NO_NUMBER
                if is_figure is not (heading.look is Look.NUMBER_HEADING):
                    wrong.append((sheet.name, heading.value, cell.value))
    assert wrong == []


def test_words_of_findings_are_kept_clear_of_the_words_beside_them():
    """As cells and as headings; the place and the harm have room of their own."""
    problem = CellProblem("Stock", "D7", "24 or 26", "one thickness", "type the thinnest reading", Harm.LEFT_OUT)
    rows = problems_sheet([problem], "Problems").rows
    headings, record = rows[-2:]
    assert [cell.look is Look.BESIDE_WORDS for cell in record] == [False, False, True, True, True]
    assert [cell.number_format for cell in headings] == ["General", "General", *['"  "@'] * 3]


@pytest.mark.parametrize(("key", "first_heading"), [("cut_plan", "Slice"), ("lay_up", "Layer")])
def test_headings_that_come_again_and_again_stand_on_every_printed_page(sheets, key, first_heading):
    """Those of the first board or panel, which serve all, since all are alike."""
    [sheet] = [sheet for sheet in sheets if sheet.key == key]
    headings = [row for row in sheet.rows if row and row[0] is not None and row[0].look in HEADINGS]
    rows = [[cell.value for cell in row] for row in headings if row[0].value == first_heading]
    if not rows:
        assert sheet.repeated_rows is None
        return
    first, last = sheet.repeated_rows
    assert first == last
    assert [cell.value for cell in sheet.rows[first - 1]] == rows[0]
    assert all(row == rows[0] for row in rows)


def test_no_two_tables_have_one_name(sheets):
    names = [table.name.casefold() for sheet in sheets for table in sheet.tables]
    assert len(names) > 5
    assert sorted(set(names)) == sorted(names)


def test_a_long_table_has_filter_buttons_and_words_line_up_with_numbers():
    sheet = SheetBuilder("rack", "Rack", "Rack", (10, 10))
    headings = (Heading("Board"), Heading("Kept", "0%"))
    sheet.table(headings, [["B1", ReportCell("on the rack", Look.QUIET)]], name="short list")
    sheet.table(headings, [[f"B{n}", 0.5] for n in range(FILTERED_FROM)], name="short list")
    assert [(table.name, table.filtered) for table in sheet.sheet.tables] == [
        ("short_list", False), ("short_list_2", True),
    ]  # fmt: skip
    assert sheet.sheet.rows[4][1].look is Look.NO_NUMBER


def test_a_number_and_its_heading_keep_as_far_from_the_words_beside_them():
    sheet = SheetBuilder("rack", "Rack", "Rack", (10, 10, 10))
    headings = (Heading("Board"), Heading("Kept", "0%"), Heading("Note"))
    sheet.table(headings, [["B1", 0.5, "oak"], ["B2", ReportCell("on the rack", Look.QUIET), "ash"]])
    formats = [[cell.number_format for cell in row] for row in sheet.sheet.rows[-3:]]
    assert formats == [
        ["General", '@"  "', "General"],
        ["General", '0%"  "', "General"],
        ["General", '@"  "', "General"],
    ]
