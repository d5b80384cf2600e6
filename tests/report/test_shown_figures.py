"""How figures and words are shown on the result sheets: no more decimals than are meant, words where they belong."""

import pytest

from sheetkit.blank.write import write_blank
from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.builder import GAP
from sheetkit.report.model import HEADINGS, Look
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs

ROWS = {
    "in": {
        "Stock": [["A1", "hornbeam", 20, 3, 1.5], ["B1", "bubinga", 20, 3, 1.5]],
        "Targets": [["Block", "hornbeam", 0.06, 0.003], ["Block", "bubinga", 0.04, 0.003]],
        "Panels": [["Block", 9, 2.5, 8]],
    },
    "mm": {
        "Stock": [["A1", "hornbeam", 500, 75, 38], ["B1", "bubinga", 500, 75, 38]],
        "Targets": [["Block", "hornbeam", 1.5, 0.08], ["Block", "bubinga", 1, 0.08]],
        "Panels": [["Block", 230, 60, 8]],
    },
}
MEASURED = [["A1-1", "A1", 0.06, 0.0625, 0.0625, 0.0625, 0.0625, 0.0625]]


@pytest.fixture(scope="module")
def sheets_of(tmp_path_factory):
    """The result sheets of a job in inches or millimetres, by key."""

    def made(unit="in", readings=(), dial_division=None, **job):
        path = tmp_path_factory.mktemp("job") / "job.xlsx"
        shop = [] if dial_division is None else [("Dial division", dial_division)]
        rows = {**ROWS[unit], "Measurements": readings, "Shop": shop, "Job": list(job.items())}
        write_blank(path, unit, rows)
        workbook = open_workbook(path)
        inputs = read_inputs(workbook)
        return {sheet.key: sheet for sheet in result_sheets(workbook, inputs, compute(inputs))}

    return made


def row_of(sheet, first):
    """The row that begins with these words."""
    [found] = [row for row in sheet.rows if row and row[0] is not None and row[0].value == first]
    return found


def lines_of(sheet):
    return [str(row[0].value) for row in sheet.rows if row and row[0] is not None]


def test_a_panel_that_is_as_planned_is_not_said_to_be_nought_over(sheets_of):
    """16 layers: 8 x 0.06 + 8 x 0.04 + 15 x 0.003 = 0.845."""
    assert "Panel Block: 16 layers come to 0.845 in, the sum of the plan." in lines_of(sheets_of()["lay_up"])


def test_a_panel_half_sawn_says_how_the_slices_still_to_be_sawn_count(sheets_of):
    made = sheets_of(readings=MEASURED)
    assert (
        "They count as planned in the thicknesses and tapers below; As it stands, above, has what the settings to "
        "come give." in lines_of(made["lay_up"])
    )
    assert any(line.endswith("in the order of Lay-up, the rest as planned.") for line in lines_of(made["pictures"]))


def test_a_setting_that_is_not_given_stands_where_its_number_would(sheets_of):
    cost = sheets_of()["cost"]
    row = row_of(cost, "Labour rate")
    assert (row[1].value, row[1].look, row[1].number_format) == ("not given", Look.NO_NUMBER, "@" + GAP)
    [headings] = [r for r in cost.rows if len(r) > 1 and r[1] and r[1].value == "Value" and r[1].look in HEADINGS]
    assert headings[1].look is Look.NUMBER_HEADING


def test_words_in_the_columns_of_the_two_glues_stand_where_the_numbers_stand(sheets_of):
    row = row_of(sheets_of()["glue_up"], "Worst curl")
    assert [cell.look for cell in row[1:]] == [Look.NO_NUMBER, Look.NO_NUMBER]
    assert row[2].value == "none"


@pytest.mark.parametrize(("unit", "code"), [("in", "0.00"), ("mm", "#,##0")])
def test_a_face_in_square_millimetres_has_no_decimals(sheets_of, unit, code):
    assert row_of(sheets_of(unit)["glue_up"], "Face as glued, Block")[1].number_format == code + GAP


@pytest.mark.parametrize(("division", "code"), [(0.0005, "0.0000"), (0.00025, "0.00000")])
def test_settings_have_a_fifth_decimal_only_where_one_needs_it(sheets_of, division, code):
    row = row_of(sheets_of(dial_division=division)["dial_settings"], "Dial division")
    assert (row[1].value, row[1].number_format) == (division, code)


@pytest.mark.parametrize(("choice", "said"), [("64ths", True), ("in", False)])
def test_a_job_in_64ths_says_once_that_its_tables_do_not_reduce_them(sheets_of, choice, said):
    lines = lines_of(sheets_of(Unit=choice)["summary"])
    assert ("Panels (tables count 64ths as they are: 32/64 is 1/2)" in lines) is said
