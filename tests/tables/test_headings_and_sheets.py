"""Where a table stands, which sheet it is, and what its headings mean."""

import pytest

from sheetkit.errors import CellProblem, Harm
from sheetkit.reading.model import Visibility
from sheetkit.tables.headings import match_heading, read_heading
from sheetkit.tables.read import read_inputs
from sheetkit.tables.schema import MEASUREMENTS, STOCK, TARGETS

ROWS = [["E1", "wenge", 24, 1.5], ["E2", "padauk", 25, 1.25]]
STOCK_ROWS = [["Board", "Species", "Length (in)", "Thickness (in)"], *ROWS]


def thicknesses(inputs):
    return [(row.board, row.thickness_mm) for row in inputs.boards]


EXPECTED = [("E1", 38.1), ("E2", 31.75)]


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Thickness (in)", "thickness_mm", "in"),
        (" Thickness\n(in) ", "thickness_mm", "in"),
        ("THICKNESS\u00a0(IN)", "thickness_mm", "in"),
        ("Thk.", "thickness_mm", None),
        ("T", "thickness_mm", None),
        ("Thickness, mm", "thickness_mm", "mm"),
        ("Thickness [mm]", "thickness_mm", "mm"),
        ("Thickness / mm", "thickness_mm", "mm"),
        ("Thickness: inches", "thickness_mm", "in"),
        ("Thickness mm", "thickness_mm", "mm"),
        ("Thickness in inches", "thickness_mm", "in"),
        ('Thickness (")', "thickness_mm", "in"),
        ("Thickness (thou)", "thickness_mm", "thou"),
        ("Thickness (0.001 in)", "thickness_mm", "thou"),
        ("Thickness (1/1000 in)", "thickness_mm", "thou"),
        ("Thickness (64ths)", "thickness_mm", "64ths"),
        ("Thickness_in", "thickness_mm", "in"),
        ("Thickness (in, measured)", "thickness_mm", "in"),
        ("Actual thickness (mm)", "thickness_mm", "mm"),
        ("Thickness (actual), in", "thickness_mm", "in"),
        ("Board thickness (in)", "thickness_mm", "in"),
        ("Thicknes (in)", "thickness_mm", "in"),
        ("Board #", "board", None),
        ("Board no.", "board", None),
        ("WOOD", "species", None),
        ("Moisture %", "moisture_pct", "%"),
        ("MC (%)", "moisture_pct", "%"),
        ("Nominal thickness", "nominal_mm", None),
        ("Weight", None, None),
        ("Sticker colour", None, None),
        ("Qty", None, None),
    ],
)
def test_a_heading_of_stock_is_understood(heading, field, unit):
    read = read_heading(heading)
    match = match_heading(read, STOCK)
    assert (match.column.field if match else None) == field
    if field:
        assert (read.unit.label if read.unit else None) == unit


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Reading 1", "readings_mm"),
        ("R2", "readings_mm"),
        ("Reading #3 (in)", "readings_mm"),
        ("Readings", "readings_mm"),
        ("Thickness 2", "readings_mm"),
        ("NL", "near_left_mm"),
        ("Left, near", "near_left_mm"),
        ("Near-left", "near_left_mm"),
        ("Strip", "slice"),
        ("Slice name", "slice"),
        ("Set at", "set_mm"),
        ("Set thickness (thou)", "set_mm"),
        ("Centre", "middle_mm"),
        ("Date", None),
        ("E1-1", None),
    ],
)
def test_a_heading_of_measurements_is_understood(heading, field):
    match = match_heading(read_heading(heading), MEASUREMENTS)
    assert (match.column.field if match else None) == field


def test_a_tolerance_may_be_headed_by_its_sign():
    assert match_heading(read_heading("± (in)"), TARGETS).column.field == "tolerance_mm"
    assert match_heading(read_heading("+/- (in)"), TARGETS).column.field == "tolerance_mm"


@pytest.mark.parametrize("name", ["Stock", "stock ", "STOCK", "S tock", "Boards", " lumber"])
def test_a_sheet_is_found_by_its_name(read, sheet, name):
    inputs = read(sheet(name, STOCK_ROWS))
    assert thicknesses(inputs) == EXPECTED
    assert inputs.sheets["Stock"] == name


def test_a_renamed_sheet_is_found_by_its_headings_and_named(read, sheet):
    inputs = read(
        sheet("Rack", STOCK_ROWS), sheet("Wants", [["Species", "Thickness (in)", "Plies"], ["wenge", 0.04, 3]])
    )
    assert thicknesses(inputs) == EXPECTED
    assert inputs.targets[0].plies == 3
    assert inputs.sheets == {"Stock": "Rack", "Targets": "Wants"}
    assert [str(problem) for problem in inputs.problems if problem.sheet == "Rack"] == [
        "Rack: found a sheet read as Stock because of its headings, wanted a sheet named Stock. "
        "To fix: nothing if it is Stock; else rename its headings."
    ]


def test_of_two_sheets_that_could_be_stock_the_named_one_is_read_and_both_are_named(read, sheet):
    inputs = read(sheet("Stock", STOCK_ROWS), sheet("Stock (2)", [STOCK_ROWS[0], ["X9", "wenge", 20, 1]]))
    assert thicknesses(inputs) == EXPECTED
    [problem] = [problem for problem in inputs.problems if problem.sheet == "Stock (2)"]
    assert problem.harm is Harm.DOUBTFUL
    assert '"Stock" is read, this one is not' in problem.found


def test_a_shown_sheet_goes_before_a_hidden_one(read, sheet):
    hidden = sheet("Boards", [STOCK_ROWS[0], ["X9", "wenge", 20, 1]], visibility=Visibility.HIDDEN)
    assert thicknesses(read(hidden, sheet("Lumber", STOCK_ROWS))) == EXPECTED


def test_a_hidden_sheet_alone_is_read_and_said(read, sheet):
    inputs = read(sheet("Stock", STOCK_ROWS, visibility=Visibility.HIDDEN))
    assert thicknesses(inputs) == EXPECTED
    assert "the hidden sheet Stock, which is read" in [problem.found for problem in inputs.problems]


def test_a_sheet_of_our_own_is_never_read(read, sheet):
    inputs = read(sheet("Stock", STOCK_ROWS, result_key="stock_use"))
    assert inputs.boards == []
    assert [problem.harm for problem in inputs.problems][:1] == [Harm.STOPS_JOB]


@pytest.mark.parametrize("row", [1, 2, 3, 4])
@pytest.mark.parametrize("name", ["Stock", "Lumber", "Copy of Stock"])
def test_a_copy_of_a_sheet_of_our_own_is_no_input(read, sheet, name, row):
    words = [["Written by sheetkit at each refresh."]]
    copy = sheet(name, [[]] * (row - 1) + words + STOCK_ROWS)
    assert read(copy).boards == []
    inputs = read(copy, sheet("Wood", STOCK_ROWS))
    assert thicknesses(inputs) == EXPECTED
    assert [problem for problem in inputs.problems if problem.sheet == name or name in problem.found.split('"')] == []


def test_formulas_without_result_are_told_of_on_input_sheets_only(book, sheet):
    workbook = book(sheet("Stock", STOCK_ROWS), sheet("Notes", [["plan"]]))
    told = [CellProblem(name, "A9", "a formula", "a formula with its result", "save") for name in ("Notes", "Stock")]
    workbook.without_result = told
    problems = read_inputs(workbook).problems
    assert [problem for problem in problems if problem in told] == [told[1]]


def test_missing_sheets_and_columns_stop_the_job_and_the_rest_is_read(read, at):
    inputs = read(Stock=[["Board", "Species", "Length (in)"], *ROWS])
    assert inputs.boards == []
    assert len(inputs.records) == 2
    assert [problem.fix for problem in at(inputs, "Stock!A1")] == [
        'write "Thickness (in)" above the column that holds it'
    ]
    assert [str(problem) for problem in inputs.problems if not problem.sheet] == [
        "the workbook: found no sheet Targets, wanted a sheet Targets with the headings Species, Thickness. "
        "To fix: add it, or rename the sheet that holds it to Targets."
    ]


def test_a_heading_whose_unit_is_unknown_is_pointed_at(read, at):
    inputs = read(Stock=[["Board", "Species", "Thickness (turns)"], ["E1", "wenge", 3]])
    [problem] = at(inputs, "Stock!C1")
    assert problem.harm is Harm.STOPS_JOB
    assert problem.found == 'no column Thickness; "Thickness (turns)" is not understood'


def test_two_heading_rows_with_a_merged_group(read, sheet):
    rows = [
        ["Slice", "Set", "Readings (in)", None, None, None, None, "Note"],
        [None, "in", "Near left", "Near right", "Middle", "Far left", "Far right", None],
        ["E1-1", 0.04, 0.041, 0.042, 0.043, 0.044, 0.045, "first"],
    ]
    [row] = read(sheet("Measurements", rows, merged=["C1:G1"])).measurements
    assert row.place.row == 3
    assert row.set_mm == 1.016
    assert (row.near_left_mm, row.near_right_mm, row.middle_mm, row.far_left_mm, row.far_right_mm) == (
        1.0414,
        1.0668,
        1.0922,
        1.1176,
        1.143,
    )
    assert (row.readings_mm, row.note) == ((), "first")


@pytest.mark.parametrize(
    ("merged", "below"),
    [
        (["B1:D1"], [1, 2, 3]),
        (["B1:D1"], ["1", "2", "3"]),
        (["B1:D1"], ["no 1", "no 2", "no 3"]),
        ([], ["1", "2", "3"]),
        ([], ["no 1", "no 2", "no 3"]),
    ],
)
def test_a_group_over_numbered_columns(read, sheet, merged, below):
    rows = [["Slice", "Readings (in)", None, None], [None, *below], ["E1-1", 0.041, 0.042, 0.043]]
    [row] = read(sheet("Measurements", rows, merged=merged)).measurements
    assert row.readings_mm == (1.0414, 1.0668, 1.0922)


def test_a_group_over_columns_without_headings_of_their_own(read, sheet):
    rows = [["Slice", "Readings (in)", None, None, "Note"], ["E1-1", 0.041, 0.042, 0.043, "first"]]
    [row] = read(sheet("Measurements", rows, merged=["B1:D1"])).measurements
    assert row.readings_mm == (1.0414, 1.0668, 1.0922)
    assert row.note == "first"


def test_filling_a_group_never_mislabels_the_next_heading(read, sheet):
    rows = [
        ["Board", "Species", "Size (in)", None, None, "Price"],
        [None, None, "L", "W", "T", "$"],
        ["E1", "wenge", 24, 2, 1, 5],
    ]
    [row] = read(sheet("Stock", rows, merged=["C1:E1", "A1:A2", "B1:B2"])).boards
    assert (row.length_mm, row.width_mm, row.thickness_mm, row.price) == (609.6, 50.8, 25.4, 5)


def test_one_heading_over_an_inch_and_a_metric_column(read, sheet):
    rows = [["Board", "Species", "Thickness", None], [None, None, "in", "mm"], ["E1", "wenge", 1, 25.4]]
    assert [row.thickness_mm for row in read(sheet("Stock", rows, merged=["C1:D1"])).boards] == [25.4]


def test_a_unit_row_below_the_headings(read):
    rows = [["Board", "Species", "Length", "Thickness"], [None, None, "[in]", "thou"], ["E1", "wenge", 24, 1250]]
    [row] = read(Stock=rows).boards
    assert (row.length_mm, row.thickness_mm, row.place.row) == (609.6, 31.75, 3)


def test_the_same_heading_twice_is_asked_about_and_both_are_named(read, at):
    rows = [["Board", "Species", "Thickness (in)", "Thickness (in)"], ["E1", "wenge", 1, 1.1], ["E2", "wenge", 1, None]]
    inputs = read(Stock=rows)
    assert inputs.boards == []
    [problem] = at(inputs, "Stock!C1")
    assert problem.harm is Harm.STOPS_JOB
    assert problem.found == (
        'the same heading more than once, C1 "Thickness (in)" and D1 "Thickness (in)", with different values in row 2; '
        "neither is read"
    )


def test_the_same_heading_twice_with_the_same_values_is_read_and_said(read, at):
    rows = [
        ["Board", "Species", "Thickness (in)", "Thickness (mm)"],
        ["E1", "wenge", 1, 25.4],
        ["E2", "wenge", 2, None],
    ]
    inputs = read(Stock=rows)
    assert [row.thickness_mm for row in inputs.boards] == [25.4, 50.8]
    assert [problem.harm for problem in at(inputs, "Stock!C1")] == [Harm.NOTED]


def test_a_misspelt_heading_is_read_with_a_guess(read, at):
    inputs = read(Stock=[["Board", "Specis", "Thicknes (in)"], ["E1", "wenge", 1.5]])
    assert [row.thickness_mm for row in inputs.boards] == [38.1]
    assert [problem.harm for problem in at(inputs, "Stock!B1") + at(inputs, "Stock!C1")] == [Harm.GUESSED] * 2


def test_a_hidden_column_is_read_and_said(read, sheet, at):
    inputs = read(sheet("Stock", STOCK_ROWS, hidden_columns={4}))
    assert thicknesses(inputs) == EXPECTED
    assert [problem.harm for problem in at(inputs, "Stock!D1")] == [Harm.NOTED]


def test_two_tables_side_by_side_are_both_read(read, sheet, at):
    heading = ["Board", "Species", "Thickness (in)"]
    inputs = read(Stock=[[*heading, None, *heading], ["E1", "wenge", 1.5, None, "E2", "padauk", 1.25]])
    assert thicknesses(inputs) == EXPECTED
    assert [problem.harm for problem in at(inputs, "Stock!E1")] == [Harm.NOTED]


@pytest.mark.parametrize(
    ("thickness", "unit", "expected", "harm"),
    [
        ("Thickness", None, "in", Harm.GUESSED),
        ("Thickness", "mm", "mm", Harm.NOTED),
        ("Thickness", "in", "in", Harm.NOTED),
    ],
)
def test_a_heading_without_a_unit_takes_its_neighbours_and_says_so(read, at, thickness, unit, expected, harm):
    length = f"Length ({unit})" if unit else "Length"
    inputs = read(Stock=[["Board", "Species", length, thickness], ["E1", "wenge", 60, 20]])
    assert inputs.boards[0].thickness_mm == {"in": 508, "mm": 20}[expected]
    assert [problem.harm for problem in at(inputs, "Stock!D1")] == [harm]


def test_the_jobs_unit_holds_where_no_heading_names_one_and_needs_no_saying(read):
    inputs = read(
        Job=[["Setting", "Value"], ["Unit", "mm"]], Stock=[["Board", "Species", "Thickness"], ["E1", "wenge", 20]]
    )
    assert inputs.unit == "mm"
    assert inputs.boards[0].thickness_mm == 20
    assert [problem for problem in inputs.problems if problem.sheet == "Stock"] == []


def test_without_any_unit_the_numbers_may_show_that_they_are_metric(read, at):
    inputs = read(Stock=[["Board", "Species", "Thickness"], ["E1", "wenge", 38], ["E2", "wenge", 42]])
    assert inputs.unit == "mm"
    assert [row.thickness_mm for row in inputs.boards] == [38, 42]
    [problem] = at(inputs, "Stock!C1")
    assert problem.harm is Harm.GUESSED
    assert "sensible in mm only" in problem.found
    assert [assumption.value for assumption in inputs.assumptions if assumption.name == "Unit"] == ["mm"]
