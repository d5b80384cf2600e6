"""How hand-kept tables are laid out: headings of every kind, totals, dittos, stacks pressed together, settings.

Every case is written to a real file in both formats and read back; 1 in = 25.4 mm exactly (NIST SP 811).
"""

import pytest

from sheetkit.errors import Harm

HEADINGS = ["Board", "Species", "Thickness (in)"]


def boards(inputs):
    return [(row.board, round(row.thickness_mm / 25.4, 6)) for row in inputs.boards]


def readings(inputs):
    return [(row.slice, [round(reading / 25.4, 6) for reading in row.readings_mm]) for row in inputs.measurements]


def about(inputs, place):
    name, _, cell = place.rpartition("!")
    return [problem for problem in inputs.problems if (problem.sheet, problem.cell) == (name, cell)]


@pytest.mark.parametrize(
    ("heading", "two_inches"),
    [
        ("THICKNESS (INCHES)", 2), ("Thickness/in", 2), ("thickness in mm", 50.8), ('Thickness ["]', 2),
        ('Thickness"', 2), ("T''", 2), ("Thickness″", 2), ("thk_mm", 50.8), ('Thickness (1/64")', 128),
        ("Thickness in 64ths", 128), ("Thickness [thou]", 2000), ("thickness (cm)", 5.08),
        ("Thickness (in) after planing", 2), ("Thickness (mm) approx", 50.8), ("Rough thickness, in", 2),
        ("Dicke (mm)", 50.8), ("Stärke mm", 50.8), ("Épaisseur (mm)", 50.8), ("Thickness (Zoll)", 2),
        ("Thickness\n(mm)", 50.8), ("Act. thickness (in)", 2),
    ],
)  # fmt: skip
def test_thickness_headings(saved, heading, two_inches):
    inputs = saved({"Stock": [["Board", "Species", heading], ["E1", "wenge", two_inches]]})
    assert boards(inputs) == [("E1", 2)]
    assert about(inputs, "Stock!C1") == []


@pytest.mark.parametrize("other", ["Thickness min", "Board ft", "Cost per board ft", "Thickness rank", "Min thickness"])
def test_a_heading_that_only_begins_like_another_is_not_that_one(saved, other):
    inputs = saved({"Stock": [["Board", "Species", other, "Thickness (in)"], ["E1", "wenge", 3.5, 2]]})
    assert boards(inputs) == [("E1", 2)]
    assert inputs.boards[0].price is None


def test_headings_in_german_and_french(saved):
    german = [["Brett", "Holzart", "Länge (mm)", "Dicke (mm)", "Bemerkung"], ["E1", "wenge", "914,4", 50.8, "trocken"]]
    french = [["Planche", "Essence", "Longueur (mm)", "Épaisseur (mm)"], ["E1", "wenge", "914,4", 50.8]]
    for rows in (german, french):
        inputs = saved({"Stock": rows})
        assert boards(inputs) == [("E1", 2)]
        assert inputs.boards[0].length_mm == 914.4


def test_a_column_that_numbers_the_layers_is_no_thickness(saved):
    for heading in ("Layer", "Layer no.", "Layer #"):
        inputs = saved({"Targets": [[heading, "Wood", "Thk (in)"], [1, "wenge", 0.05], [2, "wenge", 0.06]]})
        assert [round(row.thickness_mm / 25.4, 6) for row in inputs.targets] == [0.05, 0.06]
        assert about(inputs, "Targets!A1") == []
    inputs = saved({"Targets": [["Wood", "Layer (in)"], ["wenge", 0.05]]})
    assert [row.thickness_mm for row in inputs.targets] == [1.27]


def test_readings_by_their_place_on_the_slice(saved):
    inputs = saved(
        {"Measurements": [["Slice", "Left (in)", "Middle (in)", "Right (in)"], ["E1-1", 0.041, 0.042, 0.043]]}
    )
    assert readings(inputs) == [("E1-1", [0.041, 0.043])]
    assert inputs.measurements[0].middle_mm == pytest.approx(0.042 * 25.4)
    rows = [["Slice", "Near", None, "Far", None], [None, "L", "R", "L", "R"], ["E1-1", 0.041, 0.042, 0.043, 0.044]]
    inputs = saved({"Measurements": rows}, merged={"Measurements": ["B1:C1", "D1:E1"]})
    [row] = inputs.measurements
    corners = (row.near_left_mm, row.near_right_mm, row.far_left_mm, row.far_right_mm)
    assert [round(corner / 25.4, 6) for corner in corners] == [0.041, 0.042, 0.043, 0.044]


def test_a_stack_under_a_heading_of_its_own_is_no_reading_and_is_said(saved):
    inputs = saved({"Measurements": [["Slice", "Thickness of 10"], ["E1-1", 0.41]]})
    assert readings(inputs) == [("E1-1", [])]
    assert "not understood" in about(inputs, "Measurements!B1")[0].found


@pytest.mark.parametrize(
    "label",
    ["Total", "TOTALS", "Sum:", "Gesamt", "Summe", "Sous-total", "Total général", "Insgesamt", "Tot.", "T O T A L", "Ø",
     "Mittelwert", "Moyenne", "Std. dev.", "Grand total", "Diff", "Max", "Count: 2", "Walnut Total"],
)  # fmt: skip
def test_total_rows_in_many_words(saved, label):
    rows = [["Slice", "Thickness (in)"], ["E1-1", 0.041], ["E1-2", 0.043], [label, 0.084]]
    inputs = saved({"Measurements": rows})
    assert readings(inputs) == [("E1-1", [0.041]), ("E1-2", [0.043])]
    assert [problem.harm for problem in about(inputs, "Measurements!A4")] == [Harm.NOTED]


@pytest.mark.parametrize(
    "mark",
    [
        '"',
        "''",
        "”",
        "„",
        "``",
        "´´",
        "〃",
        "do.",
        "ditto",
        "idem",
        "ib.",
        "dto.",
        "dgl.",
        "wie oben",
        "s. o.",
        "↓",
        "|",
    ],
)
def test_ditto_marks(saved, mark):
    inputs = saved({"Stock": [HEADINGS, ["E1", "wenge", 2], ["E2", mark, mark]]})
    assert boards(inputs) == [("E1", 2), ("E2", 2)]
    assert [problem.harm for problem in about(inputs, "Stock!B3")] == [Harm.NOTED]
    assert [problem.harm for problem in about(inputs, "Stock!C3")] == [Harm.GUESSED]


def test_bounds_and_the_line_of_a_column_go_by_the_share_of_each_pressed_slice(saved):
    rows = [["Slice", "Reading (in)", "Pressed together"]]
    rows += [["E1-1", 0.041, None], ["E1-2", 0.042, 1], ["E1-3", 0.41, 10], ["E1-4", 2.1, 50], ["E1-5", "0.043", 1]]
    inputs = saved({"Measurements": rows})
    assert [reading for _, [reading] in readings(inputs)] == [0.041, 0.042, 0.41, 2.1, 0.043]
    assert not [problem for problem in inputs.problems if problem.sheet == "Measurements"]


@pytest.mark.parametrize(("total", "slices"), [(0.01, 10), (4.1, 10), (0.041, 10)])
def test_a_pressed_stack_out_of_line_by_its_share_is_asked_about(saved, total, slices):
    rows = [["Slice", "Reading (in)", "Pressed together"], ["E1-1", 0.041, 1], ["E1-2", 0.042, 1], ["E1-3", 0.041, 1]]
    inputs = saved({"Measurements": [*rows, ["E1-4", total, slices]]})
    assert readings(inputs)[3] == ("E1-4", [])
    [problem] = about(inputs, "Measurements!B5")
    assert problem.harm is Harm.LEFT_OUT
    assert "10 slices" in problem.found + problem.wanted


def test_the_mean_of_hidden_and_visible_rows_goes_by_the_share_too(saved):
    rows = [["Slice", "Reading (in)", "Pressed together"], ["E1-1", 0.04, 1], ["E1-2", 0.42, 10]]
    inputs = saved({"Measurements": rows}, hidden_rows={"Measurements": [3]})
    assert "all 2 rows (mean 0.041 in), visible 1 (mean 0.04 in)" in about(inputs, "Measurements!A3")[0].found


def test_slices_counted_anew_on_each_board_are_named_after_it(saved):
    stock = [HEADINGS, ["E1", "wenge", 2], ["E2", "wenge", 2]]
    rows = [["Slice", "Board", "Thickness (in)"], [1, "E1", 0.041], [2, "E1", 0.042], [1, "E2", 0.043]]
    inputs = saved({"Stock": stock, "Measurements": rows})
    assert [name for name, _ in readings(inputs)] == ["E1-1", "E1-2", "E2-1"]
    [problem] = about(inputs, "Measurements!A2")
    assert problem.harm is Harm.GUESSED
    assert problem.found == (
        'the slice "1", read as E1-1 because the slices are counted anew on each board (likewise 2 more)'
    )


def test_a_board_whose_zeros_got_lost_is_found_again(saved):
    rows = [["Slice", "Board", "Thickness (in)"], ["007-1", 7, 0.041]]
    inputs = saved({"Stock": [HEADINGS, ["007", "wenge", 2]], "Measurements": rows})
    assert [row.board for row in inputs.measurements] == ["007"]
    assert [problem.harm for problem in about(inputs, "Measurements!B2")] == [Harm.GUESSED]


def test_a_point_between_thousands_where_nothing_else_makes_sense(saved):
    rows = [["Board", "Species", "Length (mm)", "Thickness (mm)"], ["E1", "wenge", "1.250", 50.8]]
    inputs = saved({"Stock": rows})
    assert inputs.boards[0].length_mm == 1250
    assert [problem.harm for problem in about(inputs, "Stock!C2")] == [Harm.GUESSED]


def test_glue_among_the_layers_is_no_wood(saved):
    inputs = saved({"Targets": [["Species", "Thickness (in)", "Plies"], ["wenge", 0.05, 4], ["Glue line", 0.003, 9]]})
    assert len(inputs.targets) == 1
    assert [problem.harm for problem in about(inputs, "Targets!A3")] == [Harm.LEFT_OUT]


def test_a_wood_with_a_remark_in_brackets(saved, entry):
    inputs = saved({"Stock": [HEADINGS, ["E1", "Purpleheart (Peltogyne)", 2]]})
    assert inputs.boards[0].species == "purpleheart"
    assert entry(inputs, "Stock!B2").remark == "Peltogyne"


def test_line_breaks_in_a_cell_do_not_break_the_finding(saved):
    inputs = saved({"Measurements": [["Slice", "Thickness (in)"], ["E1-1", ".041\nfuzzy"]]})
    assert '".041 fuzzy"' in about(inputs, "Measurements!B2")[0].found


def test_bare_numbers_follow_the_unit_that_other_cells_of_the_column_name(saved):
    rows = [["Slice", "Thickness"], ["E1-1", "1.27 mm"], ["E1-2", 1.28], ["E1-3", 1.26]]
    inputs = saved({"Measurements": rows})
    assert [row.readings_mm[0] for row in inputs.measurements] == [1.27, 1.28, 1.26]
    [problem] = about(inputs, "Measurements!B1")
    assert problem.harm is Harm.GUESSED
    assert "read as mm as other cells of the column say" in problem.found
    rows = [["Slice", "Thickness"], ["E1-1", "1.27 mm"], ["E1-2", 0.05], ["E1-3", 0.051]]
    assert readings(saved({"Measurements": rows})) == [("E1-1", [0.05]), ("E1-2", [0.05]), ("E1-3", [0.051])]


# Settings


def test_settings_in_two_pairs_of_columns(saved):
    rows = [["Setting", "Value", None, "Setting", "Value"], ["Kerf", "0.9 mm", None, "Held back", "6 mm"]]
    shop = saved({"Shop": rows}).shop
    assert (shop.kerf_allowance_mm, shop.held_mm) == (0.9, 6)


def test_a_setting_on_the_wrong_sheet_is_sent_to_the_right_one(saved):
    inputs = saved({"Shop": [["Setting", "Value"], ["Home temperature", "20 °C"]]})
    assert inputs.shop.shop_c == 21
    [problem] = about(inputs, "Shop!A2")
    assert problem.harm is Harm.LEFT_OUT
    assert problem.fix == "move it to the sheet Job, where it belongs"


def test_a_setting_that_is_struck_through_is_said(saved):
    rows = [["Setting", "Value"], [{"value": "Kerf", "struck": True}, "0.9 mm"]]
    inputs = saved({"Shop": rows})
    assert inputs.shop.kerf_allowance_mm == 1.27
    assert [problem.harm for problem in about(inputs, "Shop!A2")] == [Harm.NOTED]


def test_defaults_are_shown_in_millimetres_too_where_the_workbook_is_metric(saved):
    metric = {"Stock": [["Board", "Species", "Thickness (mm)"], ["E1", "wenge", 50]]}
    shown = {assumption.name: assumption.value for assumption in saved(metric).assumptions}
    assert shown["Held back"] == "0.250 in (6.35 mm)"
    assert shown["Truing pass"] == "0.050 in (1.27 mm)"
    assert (shown["Altitude"], shown["Slip allowance"]) == ("0 m", "0 mm")
    assert shown["Spare slices"] == "10 %"
    inches = {"Stock": [HEADINGS, ["E1", "wenge", 2]]}
    shown = {assumption.name: assumption.value for assumption in saved(inches).assumptions}
    assert (shown["Held back"], shown["Altitude"], shown["Slip allowance"]) == ("0.250 in", "0 ft", "0 in")
