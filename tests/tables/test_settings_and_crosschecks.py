"""Settings sheets, and checks that need more than one row."""

import pytest

from sheetkit.errors import Harm

STOCK = [["Board", "Species", "Thickness (in)"], ["E1", "wenge", 1.5], ["E2", "padauk", 1.25]]


def test_settings_are_read_with_their_units_and_places(read):
    rows = [
        ["Settings of the shop"], [], ["Setting", "Value", "Unit", "Note"], ["Kerf allowance", 0.05, "in", "new blade"],
        ["Glue line", 3, "thou"], ["Held back", "1/4", "in"], ["Dial division", "0.02 mm", "in"], ["Truing", '3/64"'],
        ["Caliper", 0.01, "mm"],
    ]  # fmt: skip
    inputs = read(Shop=rows, Stock=STOCK)
    shop = inputs.shop
    assert (shop.kerf_allowance_mm, shop.glue_line_mm, shop.held_mm) == (1.27, 0.0762, 6.35)
    assert (shop.dial_division_mm, shop.truing_mm, shop.caliper_mm) == (0.02, 1.190625, 0.01)
    place = inputs.setting_places["Shop.kerf_allowance_mm"]
    assert (place.sheet, place.row, place.cells) == ("Shop", 4, {"kerf_allowance_mm": "B4"})
    assert "Kerf allowance" not in [assumption.name for assumption in inputs.assumptions]


def test_settings_without_a_heading_row(read):
    inputs = read(Shop=[["Kerf", "0.06 in"], ["Glue line", "0.004 in"]])
    assert (inputs.shop.kerf_allowance_mm, inputs.shop.glue_line_mm) == (1.524, 0.1016)


def test_defaults_are_filled_and_listed_as_assumptions(read):
    inputs = read(Stock=STOCK)
    assert (inputs.job.tolerance_mm, inputs.job.spares_pct, inputs.shop.dial_turn_mm) == (0.0508, 10, 1.27)
    listed = {assumption.name: (assumption.sheet, assumption.value) for assumption in inputs.assumptions}
    assert listed["Tolerance"] == ("Job", "0.002 in")
    assert listed["Dial turn"] == ("Shop", "0.050 in")


def test_an_unknown_setting_is_named_with_the_nearest_known_one(read, at):
    inputs = read(Job=[["Setting", "Value"], ["Colour of the van", "red"], ["Panel len", 10]])
    assert [problem.harm for problem in at(inputs, "Job!A2")] == [Harm.NOTED]
    [problem] = at(inputs, "Job!A3")
    assert problem.harm is not Harm.NOTED
    assert "Panel length" in problem.found + problem.fix


def test_a_setting_twice_is_asked_about_unless_both_say_the_same(read, at):
    rows = [["Setting", "Value", "Unit"], ["Panel length", 10, "in"], ["panel length", 12, "in"]]
    inputs = read(Job=rows)
    assert inputs.job.panel_length_mm is None
    assert at(inputs, "Job!B3")[0].found == "the setting Panel length more than once, in B2 and B3; none is used"
    rows[2][1] = 10
    inputs = read(Job=rows)
    assert inputs.job.panel_length_mm == 254
    assert at(inputs, "Job!B3")[0].harm is Harm.NOTED


def test_a_setting_that_cannot_be_read_keeps_its_default_and_says_so(read, at):
    inputs = read(Shop=[["Setting", "Value", "Unit"], ["Kerf allowance", "wide", "in"], ["Glue line", -3, "thou"]])
    assert inputs.shop.kerf_allowance_mm == 1.27
    assert {"Kerf allowance", "Glue line"} <= {assumption.name for assumption in inputs.assumptions}
    assert [problem.harm for problem in at(inputs, "Shop!B2") + at(inputs, "Shop!B3")] == [Harm.LEFT_OUT] * 2


@pytest.mark.parametrize("unit", ["fathoms", "kg", "s"])
def test_a_unit_that_is_none_is_flagged(read, at, unit):
    inputs = read(Shop=[["Setting", "Value", "Unit"], ["Kerf allowance", 0.05, unit]], Stock=STOCK)
    assert at(inputs, "Shop!C2")[0].harm is Harm.DOUBTFUL


def test_a_length_without_a_unit_follows_the_workbook_and_says_so(read, at):
    inputs = read(
        Shop=[["Setting", "Value"], ["Glue line", 0.1]],
        Stock=[["Board", "Species", "Thickness (mm)"], ["E1", "wenge", 30]],
    )
    assert inputs.shop.glue_line_mm == 0.1
    assert at(inputs, "Shop!B2")[0].found == "0.1 without a unit, read as mm as the headings of Stock say"


@pytest.mark.parametrize(("value", "expected"), [("mm", "mm"), ("inches", "in"), ("Millimetres", "mm"), ('"', "in")])
def test_the_jobs_unit_in_many_words(read, value, expected):
    inputs = read(Job=[["Setting", "Value"], ["Unit", value]])
    assert (inputs.unit, inputs.shown_in) == (expected, expected)


@pytest.mark.parametrize(
    ("value", "shown_in"),
    [
        ("thou", "thou"), ("Thou", "thou"), ("thousandths", "thou"), ("thousandth of an inch", "thou"), ("mil", "thou"),
        ("mils", "thou"), (".001 in", "thou"), ("64ths", "64ths"), ("64th", "64ths"), ("1/64", "64ths"),
        ("1/64 in", "64ths"), ("nearest 64th", "64ths"), ("fractions", "64ths"), ("sixty-fourths", "64ths"),
        ("64ths of an inch", "64ths"), ("64 ths", "64ths"), (64, "64ths"), (0.001, "thou"),
    ],
)  # fmt: skip
def test_a_choice_for_reading_alone_leaves_typed_numbers_in_inches(read, value, shown_in):
    inputs = read(
        Job=[["Setting", "Value"], ["Unit", value]],
        Shop=[["Setting", "Value"], ["Glue line", 0.004]],
        Stock=[["Board", "Species", "Thickness"], ["E1", "wenge", 1.5]],
    )
    assert (inputs.unit, inputs.shown_in, inputs.job.unit) == ("in", shown_in, shown_in)
    assert inputs.shop.glue_line_mm == pytest.approx(0.1016)
    assert inputs.boards[0].thickness_mm == pytest.approx(38.1)
    assert [problem for problem in inputs.problems if problem.sheet] == []


def test_without_a_choice_results_are_in_the_unit_of_what_is_typed(read):
    assert read(Stock=[["Board", "Species", "Thickness (mm)"], ["E1", "wenge", 30]]).shown_in == "mm"


def test_a_board_named_twice_keeps_its_first_row(read, at):
    inputs = read(Stock=[*STOCK, ["e1 ", "wenge", 9]])
    assert [(row.board, row.thickness_mm) for row in inputs.boards] == [("E1", 38.1), ("E2", 31.75)]
    assert str(at(inputs, "Stock!A4")[0]) == (
        'Stock!A4: found "e1" a second time; A2 has it already, and this row is not used, wanted each board once. '
        "To fix: give this row another name if it is another board; else delete the row that does not count."
    )
    assert [record.used for record in inputs.records] == [True, True, False]


def test_slices_are_told_apart_and_matched_with_their_boards(read, at):
    rows = [
        ["Slice", "Board", "Reading 1 (in)"], ["E1-1", "e1", 0.04], ["E1-1", "E1", 0.041], ["Z9-1", None, 0.04],
        ["X", "E22", 0.04], ["E2-1", None, 0.04], ["E 2-2", None, 0.04],
    ]  # fmt: skip
    inputs = read(Stock=STOCK, Measurements=rows)
    assert [(row.slice, row.board) for row in inputs.measurements] == [("E1-1", "E1"), ("E2-1", None), ("E 2-2", None)]
    assert [problem.harm for cell in ("A3", "A4", "B5") for problem in at(inputs, f"Measurements!{cell}")] == [
        Harm.LEFT_OUT
    ] * 3
    assert at(inputs, "Measurements!B5")[0].fix == "type E2 if that is meant, or add it to Stock"


def test_rows_of_an_unknown_panel_are_left_out_and_named(read, at):
    inputs = read(
        Panels=[["Panel", "Copies"], ["A", 1], ["B", 1]],
        Targets=[
            ["Panel", "Species", "Thickness (in)"],
            ["a", "wenge", 0.04],
            ["C", "wenge", 0.04],
            [None, "wenge", 0.04],
        ],
    )
    assert [row.panel for row in inputs.targets] == ["A", None]
    assert at(inputs, "Targets!A3")[0].found == '"C", which is no panel of Panels; the row is not used'


TARGETS = [["Panel", "Species", "Thickness (in)"], ["P", "gorblewood", 0.1]]


def numbered(*names):
    return [["Board", "Species", "Thickness (in)"], *([f"G{n}", name, 1] for n, name in enumerate(names, start=1))]


def test_numbered_boards_serve_the_wood_that_is_called_without_a_number(read, at):
    inputs = read(Stock=numbered("gorblewood 1", "Gorblewood 2"), Targets=TARGETS)
    assert [row.species for row in (*inputs.boards, *inputs.targets)] == ["gorblewood"] * 3
    said = [str(problem) for problem in at(inputs, "Targets!B2") if problem.harm is Harm.GUESSED]
    assert said == [
        "Targets!B2: found gorblewood, read as gorblewood 1 and Gorblewood 2 of Stock because no board is called "
        "gorblewood, wanted one name for one wood. To fix: nothing if they are one wood; else type the name as it "
        "stands on Stock."
    ]


def test_a_number_tells_woods_apart_where_a_board_has_the_plain_name_or_a_layer_the_number(read, at):
    inputs = read(Stock=numbered("gorblewood", "gorblewood 2"), Targets=TARGETS)
    assert [row.species for row in inputs.boards] == ["gorblewood", "gorblewood 2"]
    both = [*TARGETS, ["P", "gorblewood 2", 0.1]]
    inputs = read(Stock=numbered("gorblewood 1", "gorblewood 2"), Targets=both)
    assert [row.species for row in inputs.boards] == ["gorblewood", "gorblewood 2"]
    assert [row.species for row in inputs.targets] == ["gorblewood", "gorblewood 2"]
