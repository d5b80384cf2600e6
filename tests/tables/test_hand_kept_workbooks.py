"""What workbooks kept by hand really hold, each case on real files in both formats (section 9 of the outside cases).

Thicknesses are compared in inches; 1 in = 25.4 mm exactly (NIST SP 811).
"""

from datetime import UTC, datetime, timedelta
from statistics import mean

import pytest

from sheetkit.errors import Harm
from sheetkit.tables.cells import read_cell
from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.findings import Findings, Spot
from sheetkit.tables.typed_dates import Days
from sheetkit.tables.value import Context
from sheetkit.units import find_unit

MM = 25.4


def day(*numbers):
    return datetime(*numbers, tzinfo=UTC).replace(tzinfo=None)


def stock(*thicknesses, heading="Thickness (in)"):
    rows = [["Board", "Species", heading]]
    rows += [[f"E{number}", "wenge", thickness] for number, thickness in enumerate(thicknesses, 1)]
    return {"Stock": rows}


def measured(*readings, heading="Thickness (in)"):
    rows = [["Slice", "Board", heading]]
    rows += [[f"E1-{number}", "E1", reading] for number, reading in enumerate(readings, 1)]
    return {"Measurements": rows}


def inches(inputs):
    return [round(reading / MM, 9) for row in inputs.measurements for reading in row.readings_mm]


def harms(inputs, sheet=None):
    return [problem.harm for problem in inputs.problems if sheet in (None, problem.sheet)]


def test_a60_inches_written_every_way(saved):
    written = ('1-1/2"', "3/64", "1½", ".0625", "1 1/2 in")
    inputs = saved(measured(*written) | stock(*written))
    assert inches(inputs) == [1.5, 0.046875, 1.5, 0.0625, 1.5]
    assert [row.thickness_mm for row in inputs.boards] == [38.1, 1.190625, 38.1, 1.5875, 38.1]
    assert inputs.problems == [problem for problem in inputs.problems if problem.sheet == ""]


def test_a61_a_fraction_that_became_a_date_is_recovered_and_said(saved, at):
    inputs = saved(stock({"value": day(2024, 1, 8), "number_format": "d-mmm"}))
    assert [row.thickness_mm for row in inputs.boards] == [3.175]
    [problem] = at(inputs, "Stock!C2")
    assert problem.harm is Harm.GUESSED
    assert "0.125 in because" in problem.found
    assert "1/8" in problem.found


def test_a61_in_a_day_first_workbook_the_same_fraction_is_the_first_of_august(saved, at):
    inputs = saved(stock({"value": day(2024, 8, 1), "number_format": "dd/mm/yyyy"}))
    assert [row.thickness_mm for row in inputs.boards] == [3.175]
    assert [problem.harm for problem in at(inputs, "Stock!C2")] == [Harm.GUESSED]


def test_a61_a_bare_day_number_is_recovered_too(saved, at):
    # 45299 is 8 January 2024 in the 1900 date system (days since 30 December 1899).
    inputs = saved(stock(45299))
    assert [row.thickness_mm for row in inputs.boards] == [3.175]
    assert "45299" in at(inputs, "Stock!C2")[0].found


def test_a61_a_date_with_two_plausible_readings_is_not_used_and_both_are_offered(saved, at):
    inputs = saved(stock({"value": day(2008, 1, 7), "number_format": "d-mmm"}))
    assert inputs.boards == []
    [problem] = at(inputs, "Stock!C2")
    assert problem.harm is Harm.LEFT_OUT
    assert problem.fix == "type 1.875 in or 7.125 in"  # 1-7/8 month first, 7-1/8 day first


def test_a62_decimal_commas_are_assumed_and_said(saved, at):
    inputs = saved(measured("0,041", "0,043", "0,040"))
    assert mean(inches(inputs)) == pytest.approx(0.041333, abs=1e-6)
    for cell in ("C2", "C3", "C4"):
        [problem] = at(inputs, f"Measurements!{cell}")
        assert problem.harm is Harm.GUESSED
        assert "decimal comma" in problem.found


def test_a62_an_ambiguous_comma_follows_its_column(saved, at):
    rows = [
        ["Board", "Species", "Length (mm)", "Thickness (mm)"],
        ["E1", "wenge", "1,250", "25,5"],
        ["E2", "wenge", "612,5", 26],
    ]
    inputs = saved({"Stock": rows})
    # 1.25 mm is shorter than any board, and the column shows decimal commas: nothing plausible is left.
    assert inputs.boards[0].length_mm is None
    assert at(inputs, "Stock!C2")[0].harm is Harm.LEFT_OUT
    assert inputs.boards[0].thickness_mm == 25.5
    rows[2][2] = 600
    # Without that proof 1250 mm is the only sensible length.
    inputs = saved({"Stock": rows})
    assert inputs.boards[0].length_mm == 1250
    assert at(inputs, "Stock!C2")[0].harm is Harm.GUESSED


def test_a63_the_cells_unit_beats_the_headings(saved):
    assert inches(saved(measured("1.6 mm"))) == pytest.approx([0.06299], abs=5e-6)
    shop = saved({"Shop": [["Setting", "Value"], ["Kerf (thou)", 35]]}).shop
    assert shop.kerf_allowance_mm / MM == pytest.approx(0.035, abs=1e-9)
    shop = saved({"Shop": [["Setting", "Value", "Unit"], ["Kerf allowance", "0.9 mm", "in"]]}).shop
    assert shop.kerf_allowance_mm == 0.9


def test_a64_remarks_are_kept_and_a_question_mark_marks_doubt(saved, at, entry):
    inputs = saved(measured("0.042 (fuzzy edge)", "0.040?"))
    assert inches(inputs) == [0.042, 0.04]
    assert inputs.measurements[0].place.remarks == {"readings_mm": "fuzzy edge"}
    assert entry(inputs, "Measurements!C3").doubtful
    assert [problem.harm for problem in at(inputs, "Measurements!C3")] == [Harm.DOUBTFUL]


def test_a65_title_heading_and_unit_row(saved):
    rows = [
        ["Walnut run 14 March", None, None],
        [None],
        ["Strip", "Thickness", "Note"],
        [None, "in", None],
        ["E1-1", 0.041, None],
    ]
    inputs = saved({"Measurements": rows}, merged={"Measurements": ["A1:C1"]})
    [row] = inputs.measurements
    assert (row.place.row, row.slice, row.readings_mm) == (5, "E1-1", (1.0414,))
    assert inputs.titles == {"Measurements": "Walnut run 14 March"}
    assert harms(inputs, "Measurements") == []


def test_a66_a_blank_row_does_not_end_the_table_or_shift_row_numbers(saved):
    rows = [["Readings"], [], ["Slice", "Thickness (in)"]]
    rows += [["E1-1", 0.041], ["E1-2", 0.042], ["E1-3", 0.041], [], ["E1-4", 0.04], ["E1-5", 0.041]]
    inputs = saved({"Measurements": rows})
    assert [row.place.row for row in inputs.measurements] == [4, 5, 6, 8, 9]


def test_a67_a_total_row_is_no_record(saved, at):
    rows = [["Species", "Thickness (in)", "Quantity"], ["wenge", 0.04, 4], ["maple, hard", 0.04, 6], ["wenge", 0.04, 5]]
    inputs = saved({"Targets": [*rows, ["Total", None, 15]]})
    assert [row.plies for row in inputs.targets] == [4, 6, 5]
    assert [problem.harm for problem in at(inputs, "Targets!A5")] == [Harm.NOTED]


def test_a68_hidden_rows_are_counted_both_ways_and_the_policy_is_said(saved, at):
    sheets = measured(0.041, 0.043, 0.040, 0.044, 0.042)
    inputs = saved(sheets, hidden_rows={"Measurements": [3, 5]})
    assert mean(inches(inputs)) == pytest.approx(0.042)
    assert inputs.hidden_rows == {"Measurements": [3, 5]}
    [problem] = at(inputs, "Measurements!A3")
    assert problem.found == (
        "hidden rows (3 and 5): all 5 rows (mean 0.042 in), visible 3 (mean 0.041 in); all rows are used"
    )
    sheets["Job"] = [["Setting", "Value"], ["Hidden rows", "leave out"]]
    inputs = saved(sheets, hidden_rows={"Measurements": [3, 5]})
    assert mean(inches(inputs)) == pytest.approx(0.041)
    assert "only visible rows are used" in at(inputs, "Measurements!A3")[0].found


def test_a69_a_formula_without_a_result_is_worked_out_and_said(saved, at):
    inputs = saved(measured({"formula": "=1/16"}, 0.06))
    first = inputs.measurements[0]
    assert first.readings_mm == (1.5875,)
    assert [problem.harm for problem in at(inputs, "Measurements!C2")] == [Harm.NOTED]


def test_a70_text_numbers_stray_spaces_and_curly_marks(saved):
    assert inches(saved(measured("'0.041", "0.041 ", "0.041\u00a0", "1/16”"))) == [0.041, 0.041, 0.041, 0.0625]


def test_a71_headings_and_names_that_nearly_match(saved):
    sheets = {"Stock ": [["Board", "SPECIES", " Thickness\n(in) "], ["E1", "wenge", 1.5]]}
    inputs = saved(sheets)
    assert [row.thickness_mm for row in inputs.boards] == [38.1]
    assert inputs.sheets["Stock"] == "Stock "


def test_a72_an_error_cell_is_named_and_not_used(saved, at):
    inputs = saved(measured(0.041, {"value": "#DIV/0!", "error": True}, 0.043))
    assert inches(inputs) == [0.041, 0.043]
    [problem] = at(inputs, "Measurements!C3")
    assert problem.harm is Harm.LEFT_OUT


@pytest.mark.parametrize("share", [{"value": 0.15, "number_format": "0%"}, "15%", 15])
def test_a73_per_cent_written_three_ways(saved, share):
    inputs = saved({"Job": [["Setting", "Value", "Unit"], ["Spare slices", share, "%"]]})
    assert inputs.job.spares_pct == 15


def test_a73_a_bare_share_could_be_either_and_is_asked_about(saved, at):
    inputs = saved({"Job": [["Setting", "Value", "Unit"], ["Spare slices", 0.15, "%"]]})
    assert inputs.job.spares_pct == 10  # the default, listed as an assumption
    assert "Spare slices" in [assumption.name for assumption in inputs.assumptions]
    [problem] = at(inputs, "Job!B2")
    assert problem.fix == "type 0.15 % or 15 %"


def test_a74_repeated_cells_are_three_readings(saved):
    rows = [["Slice", "Reading 1 (in)", "Reading 2 (in)", "Reading 3 (in)"], ["E1-1", {"value": 0.041, "repeat": 3}]]
    [row] = saved({"Measurements": rows}).measurements
    assert row.readings_mm == (1.0414, 1.0414, 1.0414)


def test_a75_a_cell_comment_is_kept_apart(saved):
    inputs = saved(measured({"value": "0.044", "comment": "fuzzy"}))
    [row] = inputs.measurements
    assert row.readings_mm == (1.1176,)
    assert row.place.remarks == {"readings_mm": "fuzzy"}


def test_a76_what_is_stored_is_used_and_the_difference_said(saved, at):
    inputs = saved(measured({"value": 0.13, "number_format": "# ?/?"}))
    assert inches(inputs) == [0.13]
    [problem] = at(inputs, "Measurements!C2")
    assert problem.harm is Harm.NOTED
    assert "1/8 on screen, but the cell holds 0.13" in problem.found
    inputs = saved(measured({"value": 0.0449, "number_format": "0.00"}))
    assert inches(inputs) == [0.0449]
    assert "0.04 on screen" in at(inputs, "Measurements!C2")[0].found


@pytest.mark.parametrize("mark", ['"', "do.", "〃", "same", "↑", "ditto", "''", "“"])
def test_a78_ditto_marks_repeat_the_cell_above(saved, mark):
    rows = [["Species", "Thickness (in)"], ["Maple", 0.04], [mark, 0.05], [mark, 0.06]]
    inputs = saved({"Targets": rows})
    assert [row.species for row in inputs.targets] == ["maple"] * 3


@pytest.mark.parametrize("name", ["1E5", "007", "3-1", "12", "0x1F", "1/8", "TRUE"])
def test_a79_names_stay_text(saved, name):
    assert [
        row.board for row in saved({"Stock": [["Board", "Species", "Thickness (in)"], [name, "wenge", 1]]}).boards
    ] == [name]


def test_a79_a_number_cell_gives_its_digits(saved):
    assert [
        row.board for row in saved({"Stock": [["Board", "Species", "Thickness (in)"], [7, "wenge", 1]]}).boards
    ] == ["7"]


def test_a79_a_name_that_became_a_date_is_asked_about(saved, at):
    name = {"value": day(2024, 3, 1), "number_format": "d-mmm"}
    inputs = saved({"Stock": [["Board", "Species", "Thickness (in)"], [name, "wenge", 1], ["E2", "wenge", 1]]})
    assert [row.board for row in inputs.boards] == ["E2"]
    [problem] = at(inputs, "Stock!A2")
    assert problem.harm is Harm.LEFT_OUT
    assert "3-1" in problem.found


def test_a80_one_wood_several_spellings_and_an_unknown_one(saved, at):
    rows = [["Species", "Thickness (in)"], [" padouk ", 0.04], ["Padauk", 0.04], ["paduk", 0.04], ["flumwood", 0.04]]
    inputs = saved({"Targets": rows})
    assert [row.species for row in inputs.targets][:3] == ["padauk"] * 3
    [problem] = at(inputs, "Targets!A5")
    assert problem.harm is Harm.DOUBTFUL


def test_a81_blank_dash_and_zero(saved, at):
    inputs = saved(measured(0.041, None, "-", 0.043))
    assert inches(inputs) == [0.041, 0.043]
    assert at(inputs, "Measurements!C3") == []
    assert at(inputs, "Measurements!C4") == []
    inputs = saved(measured(0.041, 0, 0.043))
    assert inches(inputs) == [0.041, 0.043]
    assert at(inputs, "Measurements!C3")[0].harm is Harm.LEFT_OUT


def test_a83_feet_and_inches(saved):
    rows = [["Board", "Species", "Length", "Thickness (in)"], ["E1", "wenge", "2' 6-1/2\"", 1]]
    assert saved({"Stock": rows}).boards[0].length_mm == 774.7  # 30.5 in


MINUTES = Column(field="time_s", heading="Time", kind=Kind.DURATION, help="", unit_inch="min", unit_metric="min")


@pytest.mark.parametrize("suffix", ["xlsx", "ods"])
def test_a82_a_clock_time_under_minutes_is_minutes_and_said(suffix, tmp_path, write_file):
    from sheetkit.reading import open_workbook

    path = tmp_path / f"times.{suffix}"
    write_file(path, {"Times": [["Time (min)"], [{"value": timedelta(minutes=45), "number_format": "h:mm"}]]})
    cell = open_workbook(path).sheets[0].cell(2, 1)
    findings = Findings()
    context = Context(column=MINUTES, unit=find_unit("min"))
    value = read_cell(cell, MINUTES, Spot("Times", 2, 1), context, Days(), None, findings)
    findings.say(value.spot, value.lines)
    assert value.value == 45 * 60
    [problem] = findings.all()
    assert problem.harm is Harm.GUESSED
    assert "45 min because the cell shows hours and minutes (h:mm)" in problem.found
