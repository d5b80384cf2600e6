"""Values that are used with a guess, used and flagged, or asked about: each says where, what, and what to type."""

from datetime import UTC, datetime, timedelta

import pytest

from sheetkit.errors import Harm


def day(*numbers):
    return datetime(*numbers, tzinfo=UTC).replace(tzinfo=None)


def stock(*thicknesses, heading="Thickness (in)"):
    rows = [["Board", "Species", heading]]
    return [*rows, *([f"E{number}", "wenge", thickness] for number, thickness in enumerate(thicknesses, 1))]


def measured(*readings, heading="Thickness (in)"):
    return [["Slice", heading], *([f"E1-{number}", reading] for number, reading in enumerate(readings, 1))]


def inches(inputs):
    return [round(reading / 25.4, 6) for row in inputs.measurements for reading in row.readings_mm]


def found(inputs, sheet):
    return [(problem.cell, problem.harm) for problem in inputs.problems if problem.sheet == sheet]


# Dates


@pytest.mark.parametrize(
    ("date", "inch"),
    [
        (day(2024, 1, 8), 0.125), (day(2024, 1, 16), 0.0625), (day(2024, 3, 16), 0.1875), (day(2024, 5, 8), 0.625),
        (day(2024, 1, 2), 0.5), (day(2024, 3, 4), 0.75), (day(2024, 11, 16), 0.6875), (day(2024, 8, 1), 0.125),
        (day(2024, 8, 3), 0.375), (day(1932, 3, 1), 0.09375), (day(1964, 5, 1), 0.078125), (day(1932, 1, 1), 0.03125),
        (day(2002, 1, 1), 1.5), (day(2004, 1, 1), 1.25), (day(2008, 1, 1), 1.125), (day(2016, 1, 3), 1.1875),
    ],
)  # fmt: skip
def test_a_date_with_one_plausible_fraction_is_recovered(read, at, date, inch):
    inputs = read(Measurements=measured({"value": date, "number_format": "d-mmm"}))
    assert inches(inputs) == [inch]
    [problem] = at(inputs, "Measurements!B2")
    assert problem.harm is Harm.GUESSED
    assert f"read as {inch:g} in because" in problem.found


@pytest.mark.parametrize("date", [day(2024, 3, 14), day(2024, 12, 25), day(2024, 7, 9), day(1999, 12, 31)])
def test_a_date_that_is_no_fraction_is_asked_about(read, at, date):
    inputs = read(Measurements=measured(date))
    assert inches(inputs) == []
    assert at(inputs, "Measurements!B2")[0].harm is Harm.LEFT_OUT


def test_the_workbooks_date_formats_settle_the_order(read, at):
    seventh = {"value": day(2008, 1, 7), "number_format": "m/d/yyyy"}
    assert [row.thickness_mm / 25.4 for row in read(Stock=stock(seventh)).boards] == [1.875]
    seventh["number_format"] = "dd.mm.yyyy"
    assert [row.thickness_mm / 25.4 for row in read(Stock=stock(seventh)).boards] == [7.125]
    seventh["number_format"] = "d-mmm"
    assert read(Stock=stock(seventh)).boards == []
    other = [["Bought"], [{"value": day(2024, 3, 14), "number_format": "m/d/yyyy"}]]
    assert [row.thickness_mm / 25.4 for row in read(Stock=stock(seventh), Diary=other).boards] == [1.875]


def test_the_columns_own_dates_settle_the_order(read):
    plain = [{"value": each, "number_format": "d-mmm"} for each in (day(2024, 1, 16), day(2008, 1, 7))]
    assert [round(row.thickness_mm / 25.4, 6) for row in read(Stock=stock(*plain)).boards] == [0.0625, 1.875]


def test_a_date_may_stand_for_a_nominal_thickness(read, at):
    inputs = read(Stock=stock({"value": day(2024, 5, 4), "number_format": "m/d/yyyy"}))
    assert [row.thickness_mm for row in inputs.boards] == [31.75]
    assert "nominal thickness of 1.25 in because 5/4 becomes the date 5/4/2024" in at(inputs, "Stock!C2")[0].found


def test_day_numbers_in_the_1904_system(book):
    from sheetkit.tables.read import read_inputs

    # 8 January 2024 is day 45299 of the 1900 system and 43837 of the 1904 system (1462 days apart).
    assert inches(read_inputs(book(day_zero_1904=True, Measurements=measured(43837)))) == [0.125]
    assert inches(read_inputs(book(Measurements=measured(45299)))) == [0.125]


def test_a_number_in_a_cell_formatted_as_a_date_or_time_is_still_the_number(read, at):
    inputs = read(
        Measurements=measured(
            {"value": day(1900, 1, 1), "serial": 0.5}, {"value": timedelta(seconds=3628.8), "serial": 0.042}
        )
    )
    assert inches(inputs) == [0.5, 0.042]
    assert found(inputs, "Measurements") == [("B2", Harm.GUESSED), ("B3", Harm.GUESSED)]


def test_a_clock_time_in_a_thickness_column_is_asked_about(read, at):
    inputs = read(Measurements=measured({"value": timedelta(minutes=76), "number_format": "h:mm"}))
    assert inches(inputs) == []
    assert at(inputs, "Measurements!B2")[0].fix == (
        "format the cell as a number and type a thickness in inches, for example 1/16 or 0.052778"
    )


# Out of line


def test_values_off_by_a_power_of_ten_or_a_unit_are_asked_about(read, at):
    inputs = read(Measurements=measured(0.042, 0.043, 42, 0.42, 0.041, 1.07, 0.0041, 0.042))
    assert inches(inputs) == [0.042, 0.043, 0.041, 0.042]
    assert [cell for cell, harm in sorted(found(inputs, "Measurements")) if harm is Harm.LEFT_OUT] == [
        "B4",
        "B5",
        "B7",
        "B8",
    ]
    assert str(at(inputs, "Measurements!B4")[0]) == (
        "Measurements!B4: found 42, not sensible here, "
        "wanted a thickness in inches, not below 0.002 in and not above 1.5 in. "
        "To fix: type the right value, for example 42 thou if that is meant."
    )
    assert str(at(inputs, "Measurements!B5")[0]) == (
        "Measurements!B5: found 0.42, far out of line with the column, whose middle is 0.042 in; "
        "ten times too much, perhaps, "
        "wanted a value like the others, or one with its unit beside it. "
        "To fix: type 0.042 in if that is meant; if it is right, type it with its unit: 0.42 in."
    )
    assert "millimetres read as inches" in at(inputs, "Measurements!B7")[0].found


def test_a_value_with_its_unit_is_never_out_of_line(read):
    assert inches(read(Measurements=measured(0.042, 0.043, "0.42 in", 0.041, 0.042))) == [
        0.042,
        0.043,
        0.42,
        0.041,
        0.042,
    ]


def test_250_in_an_inch_column_is_asked_about(read, at):
    rows = [["Board", "Species", "Length (in)", "Thickness (in)"]]
    rows += [[f"E{number}", "wenge", length, 1] for number, length in enumerate([10, 250, 11, 9.5], 1)]
    inputs = read(Stock=rows)
    assert [row.length_mm for row in inputs.boards] == [254, None, 279.4, 241.3]
    assert "250 mm" in at(inputs, "Stock!C3")[0].fix


def test_a_column_of_two_sizes_is_left_alone(read):
    assert inches(read(Measurements=measured(0.042, 0.125, 0.041, 0.126, 0.043, 0.124))) == [
        0.042, 0.125, 0.041, 0.126, 0.043, 0.124,
    ]  # fmt: skip


def test_a_reading_near_its_setting_is_in_line_whatever_the_others_measure(read):
    rows = [["Slice", "Set (in)", "Reading 1 (in)"]]
    rows += [[f"E1-{number}", 0.0125, 0.0125] for number in range(1, 6)] + [["E1-6", 0.125, 0.126]]
    assert inches(read(Measurements=rows))[-1] == 0.126


def test_chosen_thicknesses_may_differ_as_they_like_but_for_an_exact_slip(read):
    rows = [["Species", "Thickness (in)"], ["wenge", 0.0625], ["wenge", 0.0625], ["padauk", 0.006], ["wenge", 0.0625]]
    assert [round(row.thickness_mm / 25.4, 6) for row in read(Targets=rows).targets] == [0.0625, 0.0625, 0.006, 0.0625]
    rows[3][1] = 0.625
    assert len(read(Targets=rows).targets) == 3


@pytest.mark.parametrize("bad", [0, -0.041, float("nan"), float("inf"), 1e300, True, "NaN", "#N/A", "", "-"])
def test_no_bad_value_is_ever_used(read, bad):
    assert inches(read(Measurements=measured(0.041, bad, 0.043))) == [0.041, 0.043]


def test_negative_and_zero_say_what_is_wrong(read, at):
    inputs = read(Measurements=measured(-0.041, 0))
    assert str(at(inputs, "Measurements!B2")[0]) == (
        "Measurements!B2: found -0.041, less than nothing, wanted a thickness in inches. "
        "To fix: type 0.041 in, without the minus sign, if that is meant."
    )
    assert str(at(inputs, "Measurements!B3")[0]) == (
        "Measurements!B3: found 0, and 0 is usually a slip here, wanted a thickness in inches. "
        "To fix: empty the cell if it was not measured; else type the value."
    )


# Units and marks


def test_a_unit_in_the_number_format_counts_as_written(read, at):
    inputs = read(Stock=stock({"value": 25.4, "number_format": '0.0" mm"'}, {"value": 1.5, "number_format": '0.00\\"'}))
    assert [row.thickness_mm for row in inputs.boards] == [25.4, 38.1]
    assert found(inputs, "Stock") == [("C2", Harm.GUESSED)]


def test_money_and_per_cent_formats_on_a_length_are_flagged(read, at):
    inputs = read(Stock=stock({"value": 1.25, "number_format": "$#,##0.00"}, {"value": 0.9, "number_format": "0%"}))
    assert [round(row.thickness_mm / 25.4, 6) for row in inputs.boards] == [1.25, 0.9]
    assert found(inputs, "Stock") == [("C2", Harm.DOUBTFUL), ("C3", Harm.DOUBTFUL)]


def test_mil_is_a_thousandth_of_an_inch_unless_the_column_is_metric(read, at):
    assert inches(read(Measurements=measured("13 mil"))) == [0.013]
    inputs = read(Measurements=measured("13 mil", heading="Thickness (mm)"))
    assert inches(inputs) == []
    assert at(inputs, "Measurements!B2")[0].fix == "type 13 mil or 13 mm"


def test_ranges_are_read_as_their_middle_only_where_a_mean_makes_sense(read, at):
    inputs = read(Measurements=measured(".041-.043"), Stock=stock("1.0-1.1"))
    assert inches(inputs) == [0.041, 0.043]
    assert at(inputs, "Measurements!B2")[0].harm is Harm.GUESSED
    assert inputs.boards == []
    assert at(inputs, "Stock!C2")[0].fix == "type 1 in or 1.1 in"
    corner = [["Slice", "Near left (in)"], ["E1-1", ".041-.043"]]
    inputs = read(Measurements=corner)
    assert inputs.measurements[0].near_left_mm == pytest.approx(1.0668)
    [entry] = [entry for entry in inputs.records[0].entries if entry.field == "near_left_mm"]
    assert (entry.low, entry.high) == (pytest.approx(1.0414), pytest.approx(1.0922))


def test_equal_readings_are_all_counted(read, at):
    assert inches(read(Measurements=measured("3 @ 0.041"))) == [0.041, 0.041, 0.041]
    inputs = read(Targets=[["Species", "Thickness (in)"], ["wenge", "3 @ 0.041"]])
    # Three layers in a cell for the thickness of one: used, two of them would be lost.
    assert inputs.targets == []
    [problem] = at(inputs, "Targets!B2")
    assert problem.found == '"3 @ 0.041", 3 of them in one cell'
    assert problem.fix == "type 0.041 in here if that is one of them, and 3 in a column of its own"


def test_a_nominal_thickness_asks_for_the_measured_one(read, at):
    inputs = read(Stock=stock("5/4"))
    assert [row.thickness_mm for row in inputs.boards] == [31.75]
    assert str(at(inputs, "Stock!C2")[0]) == (
        'Stock!C2: found "5/4", read as a nominal thickness of 1.25 in, wanted the measured thickness. '
        "To fix: measure the board and type what it measures; the yield needs the measured thickness."
    )


def test_a_ditto_mark_in_a_thickness_column_is_never_an_inch_mark(read, at):
    inputs = read(Targets=[["Species", "Thickness (in)"], ["wenge", '1/16"'], ["padauk", '"'], ["wenge", "''"]])
    assert [round(row.thickness_mm / 25.4, 6) for row in inputs.targets] == [0.0625] * 3
    assert found(inputs, "Targets") == [("B3", Harm.GUESSED), ("B4", Harm.GUESSED)]
    assert at(inputs, "Targets!B4")[0].found == "\"''\", read as 0.0625 in because it says the same as the row above"


def test_a_ditto_mark_names_no_board_and_repeats_no_gap(read, at):
    inputs = read(Stock=[["Board", "Species", "Thickness (in)"], ["E1", '"', 1], ['"', "wenge", 1]])
    assert inputs.boards == []
    assert found(inputs, "Stock") == [("B2", Harm.LEFT_OUT), ("A3", Harm.LEFT_OUT)]


def test_many_like_cells_become_one_finding_with_their_range(read):
    inputs = read(Measurements=measured(*["0,041"] * 40))
    [problem] = [problem for problem in inputs.problems if problem.sheet == "Measurements"]
    assert problem.cell == "B2:B41"
    assert problem.found.endswith("(likewise 39 more cells below it)")


# Words


@pytest.mark.parametrize(
    ("cell", "use", "remark"),
    [("no (chipped)", False, "chipped"), ("no - torn", False, "torn"), ("Y", True, ""), ("x", True, ""), (0, False, ""),
     (True, True, ""), ("nein", False, "")],
)  # fmt: skip
def test_yes_and_no_in_many_forms(read, cell, use, remark):
    [row] = read(Measurements=[["Slice", "Thickness (in)", "Use"], ["E1-1", 0.04, cell]]).measurements
    assert (row.use, row.place.remarks.get("use", "")) == (use, remark)


def test_a_word_that_is_neither_yes_nor_no_leaves_the_slice_out(read, at):
    inputs = read(Measurements=[["Slice", "Thickness (in)", "Use"], ["E1-1", 0.04, "maybe"]])
    assert inputs.measurements == []
    assert at(inputs, "Measurements!C2")[0].fix == "type yes or no"


@pytest.mark.parametrize(
    ("cell", "grain"), [("Quarter-sawn", "quarter"), ("QS", "quarter"), ("flat sawn", "flat"), ("RIFT", "rift")]
)
def test_grain_in_many_forms(read, cell, grain):
    [row] = read(Stock=[["Board", "Species", "Thickness (in)", "Grain"], ["E1", "wenge", 1, cell]]).boards
    assert row.grain == grain


@pytest.mark.parametrize(
    ("cell", "name"),
    [
        (7, "7"), (7.0, "7"), ({"value": 7, "number_format": "000"}, "007"), (3.1, "3.1"), ("'007", "007"),
        ("  A\u00a0 1 ", "A 1"),
        ({"value": 3.1, "number_format": "0.00"}, "3.10"), (1e5, "100000"),
    ],
)  # fmt: skip
def test_a_name_is_text_whatever_the_cell_holds(read, cell, name):
    assert [row.board for row in read(Stock=[["Board", "Species", "Thickness (in)"], [cell, "wenge", 1]]).boards] == [
        name
    ]


@pytest.mark.parametrize(
    ("cell", "likely"),
    [
        ({"value": 1e5, "number_format": "0.00E+00"}, "1E5"),
        ({"value": day(2024, 3, 1), "number_format": "d-mmm"}, "3-1 or 1-3"),
        ({"value": day(2024, 3, 1), "number_format": "m/d/yyyy"}, "3-1"),
        ({"value": timedelta(hours=3, minutes=1), "number_format": "h:mm"}, "3-01"),
    ],
)  # fmt: skip
def test_a_name_that_became_something_else_is_asked_about_with_the_likely_text(read, at, cell, likely):
    inputs = read(Stock=[["Board", "Species", "Thickness (in)"], [cell, "wenge", 1]])
    assert inputs.boards == []
    [problem] = at(inputs, "Stock!A2")
    assert f"it was probably typed {likely}" in problem.found
    assert problem.fix == "format the cell as text, then type the name again"


def test_two_woods_in_one_cell_are_asked_about(read, at):
    inputs = read(Targets=[["Species", "Thickness (in)"], ["maple/walnut", 0.04]])
    assert inputs.targets == []
    assert at(inputs, "Targets!A2")[0].fix == "type maple or black walnut"


def test_a_wood_has_one_label_on_every_sheet(read):
    stock_rows = [["Board", "Species", "Thickness (in)"], ["E1", "Hard Maple", 1], ["E2", "Flumwood", 1]]
    targets = [["Species", "Thickness (in)"], ["maple, hard", 0.04], ["flumwood", 0.04]]
    inputs = read(Stock=stock_rows, Targets=targets)
    assert [row.species for row in inputs.targets] == [row.species for row in inputs.boards]


@pytest.mark.parametrize(
    ("cell", "expected"),
    [("14 March 2024", "2024-03-14"), ("3/14/2024", "2024-03-14"), ("14.3.24", "2024-03-14"), (45365, "2024-03-14"),
     ("Mar 14, 2024", "2024-03-14"), (day(2024, 3, 14), "2024-03-14")],
)  # fmt: skip
def test_a_day_in_many_forms(read, cell, expected):
    [row] = read(Panels=[["Panel", "Glued on"], ["P1", cell]]).panels
    assert row.glued.isoformat() == expected


def test_a_day_that_could_be_two_is_asked_about(read, at):
    inputs = read(Panels=[["Panel", "Glued on"], ["P1", "3/4/2024"]])
    assert inputs.panels[0].glued is None
    assert at(inputs, "Panels!B2")[0].fix == "type 2024-03-04 or 2024-04-03"
