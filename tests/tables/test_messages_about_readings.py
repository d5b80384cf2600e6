"""Why a cell was read as it was, and what else it may mean, word for word."""

from datetime import UTC, datetime, timedelta

import pytest

BOARDS = ["Board", "Species", "Thickness (in)"]
LONG = ["Board", "Species", "Length (in)", "Thickness (in)"]
STOCK = [BOARDS, ["E1", "wenge", 1.5], ["E2", "wenge", 1.5]]
METRIC = [["Board", "Species", "Thickness (mm)"], ["E1", "wenge", 38]]


def day(*numbers):
    return datetime(*numbers, tzinfo=UTC).replace(tzinfo=None)


def reading(content):
    return {"Stock": STOCK, "Measurements": [["Slice", "Thickness (in)"], ["E1-1", content]]}


def metric_reading(content):
    return {"Stock": METRIC, "Measurements": [["Slice", "Thickness (mm)"], ["E1-1", content]]}


def board(content):
    return {"Stock": [BOARDS, ["E1", "wenge", content]]}


def moist(content):
    return {"Stock": [[*BOARDS, "Moisture (%)"], ["E1", "wenge", 1.5, content]]}


def aged(content):
    return {"Panels": [["Panel", "Surface age (min)"], ["P", content]]}


PLAINLY = [
    (
        metric_reading("1 mil"),
        'Measurements!B2: found "1 mil", read as 1 mm because mil is taken as millimetre in a metric column, wanted a '
        "thickness in mm. To fix: type 1 mm plainly if that is right, else the right value.",
    ),
    (
        metric_reading("40 mil"),
        'Measurements!B2: found "40 mil", read as 40 mil because a mil is a thousandth of an inch, wanted a thickness '
        "in mm. To fix: type 40 mil plainly if that is right, else the right value.",
    ),
    (
        moist("0.08"),
        'Stock!D2: found "0.08", read as 8 % because 0.08 is taken as a share of 1, wanted a share in per cent. To '
        "fix: type 8 % plainly if that is right, else the right value.",
    ),
    (
        board({"value": 38.0, "number_format": '0" mm"'}),
        "Stock!C2: found 38 mm, read as 38 mm because its number format writes mm behind it, wanted a measured "
        "thickness in inches. To fix: type 38 mm plainly if that is right, else the right value.",
    ),
    (
        reading({"value": day(1900, 1, 1), "serial": 1.5, "number_format": "d-mmm"}),
        "Measurements!B2: found 1-Jan, read as 1.5 in because the cell is formatted as a date, but holds this number, "
        "wanted a thickness in inches. To fix: type 1.5 in plainly if that is right, else the right value.",
    ),
    (
        reading({"value": day(2026, 1, 8), "number_format": "d-mmm"}),
        "Measurements!B2: found 8-Jan, read as 0.125 in because 1/8 becomes the date 8-Jan when it is typed into a "
        "cell (month before day), wanted a thickness in inches. To fix: type 0.125 in plainly if that is right, else "
        "the right value.",
    ),
    (
        reading({"value": timedelta(days=0.0421), "number_format": "h:mm"}),
        "Measurements!B2: found 1:00:37, read as 0.0421 in because the cell is formatted as a clock time, which shows "
        "it as 1:00:37, wanted a thickness in inches. To fix: type 0.0421 in plainly if that is right, else the right "
        "value.",
    ),
    (
        board("1.5?"),
        'Stock!C2: found "1.5?", marked as doubtful; 1.5 in is used, wanted a measured thickness in inches. To fix: '
        "measure again, or take the mark away.",
    ),
    (
        reading("041"),
        'Measurements!B2: found "041", read as 0.041 in because a leading zero without a point is taken for a missing '
        "point, wanted a thickness in inches. To fix: type 0.041 in plainly if that is right, else the right value.",
    ),
    (
        reading("0.041-0.043"),
        'Measurements!B2: found "0.041-0.043", read as 0.042 in because it is a range, from 0.041 to 0.043; its middle '
        "is taken, wanted a thickness in inches. To fix: type 0.042 in plainly if that is right, else the right value.",
    ),
    (
        reading("0.041; 0.042"),
        'Measurements!B2: found "0.041; 0.042", read as 0.0415 in because the cell holds 2 numbers, taken as 2 '
        "readings, wanted a thickness in inches. To fix: type 0.0415 in plainly if that is right, else the right "
        "value.",
    ),
    (
        reading("0.041 (0.045)"),
        'Measurements!B2: found "0.041 (0.045)", read as 0.041 in because the number in brackets is kept as a remark '
        "only, wanted a thickness in inches. To fix: type 0.041 in plainly if that is right, else the right value.",
    ),
    (
        reading("0.041 ± 0.001"),
        'Measurements!B2: found "0.041 ± 0.001", read as 0.041 in because the value before the ± is taken; the '
        "tolerance behind it is kept as a remark only, wanted a thickness in inches. To fix: type 0.041 in plainly if "
        "that is right, else the right value.",
    ),
    (
        reading("0.041 +.001/-.002"),
        'Measurements!B2: found "0.041 +.001/-.002", read as 0.041 in because the value before the tolerance is taken; '
        "the tolerance is kept as a remark only, wanted a thickness in inches. To fix: type 0.041 in plainly if that "
        "is right, else the right value.",
    ),
    (
        reading('0.041 "burnt"'),
        'Measurements!B2: found "0.041 "burnt"", read as 0.041 in because the words in quotes are kept as a remark, '
        "wanted a thickness in inches. To fix: type 0.041 in plainly if that is right, else the right value.",
    ),
    (
        board("1 -1/2"),
        'Stock!C2: found "1 -1/2", read as 1.5 in because the hyphen before the fraction is taken for and, not for '
        "minus, wanted a measured thickness in inches. To fix: type 1.5 in plainly if that is right, else the right "
        "value.",
    ),
    (
        reading("edge near knot 0.041"),
        'Measurements!B2: found "edge near knot 0.041", read as 0.041 in because the words before it are kept as a '
        "remark, wanted a thickness in inches. To fix: type 0.041 in plainly if that is right, else the right value.",
    ),
    (
        {"Stock": [["Board", "Species", "Length (mm)", "Thickness (mm)"], ["E1", "wenge", "600,5", 38],
                   ["E2", "wenge", "1.234", 38]]},
        'Stock!C3: found "1.234", read as 1234 mm because the column has decimal commas, so its point could be a '
        "thousands separator, wanted a length in mm. To fix: type 1234 mm plainly if that is right, else the right "
        "value.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wengee", 1.5]]},
        "Stock!B2: found \"wengee\", read as wenge because 'wengee' is taken as a slip for wenge, wanted a wood that "
        "is known, for Species. To fix: nothing if it is wenge; else type the wood's full name.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "walnut", 1.5]]},
        'Stock!B2: found "walnut", read as black walnut because plain walnut is taken as black walnut; write the full '
        "name if it is another, wanted a wood that is known, for Species. To fix: nothing if it is black walnut; else "
        "type the wood's full name.",
    ),
]  # fmt: skip

ASKED = [
    (
        board("1.5'"),
        'Stock!C2: found "1.5\'", which can be read in more than one way (1.5 ft if its mark is a foot mark; 1.5 in '
        "if half of its inch mark is missing), wanted a measured thickness in inches. To fix: type 1.5 ft or 1.5 in.",
    ),
    (
        {"Stock": STOCK, "Job": [["Setting", "Value", "Unit"], ["Spare slices", 0.5, "%"]]},
        "Job!B2: found 0.5, which can be read in more than one way (0.5 % if 0.5 is taken as per cent; 50 % if 0.5 is "
        "taken as a share of 1), wanted a share in per cent. To fix: type 0.5 % or 50 %.",
    ),
    (
        metric_reading({"value": day(2026, 3, 4), "number_format": "d.mmm"}),
        "Measurements!B2: found 4.Mar, which can be read in more than one way (0.75 in if 3/4 becomes the date 4.Mar "
        "when it is typed into a cell (month before day); 4.3 mm if 4.3 becomes the date 4.Mar when it is typed with a "
        "point where the comma is usual), wanted a thickness in mm. To fix: type 0.75 in or 4.3 mm.",
    ),
    (
        aged({"value": timedelta(hours=5), "number_format": "h:mm"}),
        "Panels!B2: found 5:00, which can be read in more than one way (300 min if the cell shows hours and minutes "
        "(h:mm); 5 min if minutes and seconds were meant, but the cell took hours), wanted a duration in minutes. To "
        "fix: type 300 min or 5 min.",
    ),
    (
        aged("5:30"),
        'Panels!B2: found "5:30", which can be read in more than one way (330 min if it is hours and minutes; 5.5 min '
        "if it is minutes and seconds), wanted a duration in minutes. To fix: type 330 min or 5.5 min.",
    ),
    (
        {"Stock": [LONG, ["E1", "wenge", "201/2", 1.5]]},
        'Stock!C2: found "201/2", which can be read in more than one way (100.5 in if the fraction is larger than one; '
        "20.5 in if the space between the whole number and the fraction is missing), wanted a length in inches. To "
        "fix: type 100.5 in or 20.5 in.",
    ),
]

REFUSED = [
    (
        board({"formula": "=Z1"}),
        "Stock!C2: found the formula =Z1 without a stored result, wanted a measured thickness in inches. To fix: open "
        "the file in your spreadsheet program and save it, or type the value.",
    ),
    (
        board("1.1/2"),
        'Stock!C2: found "1.1/2", wanted one length in inches. To fix: type 1 1/2 if that is meant; a point stands '
        "before the fraction.",
    ),
    (
        {"Stock": [[*BOARDS, "Price"], ["E1", "wenge", 1.5, "cheap"]]},
        'Stock!D2: found "cheap", wanted an amount of money. To fix: type the number alone, or the number with its '
        "unit; a remark goes in brackets.",
    ),
    (
        moist("damp"),
        'Stock!D2: found "damp", wanted one share in per cent. To fix: type the number alone, or the number with its '
        "unit; a remark goes in brackets.",
    ),
    (
        {"Stock": [*STOCK, [], ["Slice", "Set thickness (in)", "Thickness (in)"], ["E1-1", 0.04, 0.041]]},
        "Stock!A5: found a table with the headings of Measurements from row 5 on; it is not read as Stock, wanted one "
        "table of Stock on this sheet. To fix: nothing if it is something else; else move its rows up to the table "
        "that ends above row 5.",
    ),
    (
        {"Stock": STOCK, "Shop": [["Setting", "Value", "Unit"], ["Truing pass", 0.05, "in"],
                                  ["Truing pass", 0.05, "in"]]},
        "Shop!B3: found the setting Truing pass more than once, in B2 and B3, each time the same, wanted one row for "
        "Truing pass. To fix: delete the row that does not count.",
    ),
    (
        {"Stock": STOCK, "Shop": [["Setting", "Value", "Unit"], ["Kerfs allow", 0.02, "in"]]},
        'Shop!A2: found the setting "Kerfs allow", which is not known; it is not read, wanted a setting of Shop. To '
        'fix: name it "Kerf allowance" if that is meant.',
    ),
]  # fmt: skip


HEADINGS = [
    (
        {"Stock": [["Board", "Species", "Thickness (kg)"], ["E1", "wenge", 1.5]]},
        'Stock!C1: found the heading "Thickness (kg)", whose unit is none of this column\'s, wanted a unit of length '
        "such as (in), (thou) or (mm). To fix: write (in), (thou) or (mm) in the heading.",
    ),
    (
        {"Stock": [["Board", "Species", "Length (rough)", "Thickness (in)"], ["E1", "wenge", 20, 1.5]]},
        'Stock!C1: found "rough" in the heading "Length (rough)", wanted a unit of length such as (in), (thou) or '
        "(mm). To fix: write (in), (thou) or (mm) in the heading.",
    ),
    (
        {"Panels": [["Panel", "Surface age (mm)"], ["P", 3]]},
        'Panels!B1: found the heading "Surface age (mm)", whose unit is none of this column\'s; read as minutes, '
        "wanted a unit such as (min). To fix: write (min) in the heading.",
    ),
    (
        {"Stock": [[*BOARDS, "Price (mm)"], ["E1", "wenge", 1.5, 8]]},
        'Stock!D1: found the heading "Price (mm)", whose unit is none of this column\'s; read without one, wanted a '
        "heading without a unit. To fix: take the unit out of the heading.",
    ),
    (
        {"Stock": STOCK, "Panels": [["Panel", "Glued on"], ["P", {"value": day(2024, 4, 13),
                                                                  "number_format": "dd/mm/yyyy"}], ["Q", "3/4/2024"]]},
        'Panels!B3: found "3/4/2024", read as 2024-04-03 because the workbook writes its dates with the day before '
        "month, wanted a date. To fix: type 2024-04-03 if that is right, else the right date.",
    ),
]  # fmt: skip


GUESSES = [
    (board({"value": 1.5, "formula": "=3/2", "computed": True}), "Stock!C2",
     "its formula carried no result and was worked out"),
    ({"Stock": STOCK, "Shop": [["Setting", "Value"], ["Truing pass", 0.05]]}, "Shop!B2",
     "its unit is taken as in as the headings of Stock say"),
]  # fmt: skip


@pytest.mark.parametrize(("sheets", "cell", "guess"), GUESSES, ids=["formula", "unit"])
def test_what_is_noted_of_a_cell_that_was_read_with_a_guess(read, entry, sheets, cell, guess):
    assert entry(read(**sheets), cell).guess == guess


def test_what_is_noted_of_a_merged_cell(read, entry, sheet):
    rows = [BOARDS, ["E1", "wenge", 1.5], ["E2", None, 1.5]]
    assert entry(read(sheet("Stock", rows, merged=["B2:B3"])), "Stock!B3").guess == "it is merged with B2"


def test_where_the_unit_of_bare_numbers_comes_from_is_said(read):
    told = read(Stock=[["Board", "Species", "Thickness"], ["E1", "wenge", 38]]).assumptions
    assert ("Job", "Unit", "mm") in [(each.sheet, each.name, each.value) for each in told]
    assert (
        "The unit of numbers that carry none, because nothing in the workbook names a unit, and the numbers are "
        "sensible in mm only."
    ) in [each.why for each in told]


EVERY = [*PLAINLY, *ASKED, *REFUSED, *HEADINGS]


@pytest.mark.parametrize(("sheets", "message"), EVERY, ids=[message[:60] for _, message in EVERY])
def test_what_is_said(read, sheets, message):
    assert message in [str(problem) for problem in read(**sheets).problems]
