"""Findings about hand-kept tables word for word: where, what was found, what was wanted, how to mend it."""

from datetime import UTC, datetime, timedelta

import pytest

from sheetkit.reading.model import Visibility

BOARDS = ["Board", "Species", "Thickness (in)"]
SLICES = ["Slice", "Thickness (in)"]
STOCK = [BOARDS, ["E1", "wenge", 1.5], ["E2", "wenge", 1.5]]


def day(*numbers):
    return datetime(*numbers, tzinfo=UTC).replace(tzinfo=None)


def named(cell):
    return {"Stock": [BOARDS, [cell, "wenge", 1.5]]}


def settings(*rows):
    return [["Setting", "Value", "Unit"], *rows]


TABLES = [
    (
        {"Stock": [*STOCK, [], ["Dealer", "Phone", "Open on"], ["Hollis", "none", "Friday"]]},
        "Stock!A5: found another table from row 5 on; it is not read as Stock, wanted one table of Stock on this "
        "sheet. To fix: nothing if it is something else; else move its rows up to the table that ends above row 5.",
    ),
    (
        {"Stock": [["Board", "Species", "Length (mm)", "Thickness"], ["E1", "wenge", 600, 38]]},
        'Stock!D1: found the heading "Thickness" without a unit; read as mm as the sheet\'s other headings say, wanted '
        "a heading with its unit. To fix: nothing if it is in mm; else write its unit behind it, for example "
        '"Thickness (mm)".',
    ),
    (
        {
            "Stock": STOCK,
            "Measurements": [["Slice", "Board", "Thickness (in)"], ["1", "E1", 0.04], ["2", "E1", 0.04],
                             ["1", "E2", 0.04]],
        },
        'Measurements!A2: found the slice "1", read as E1-1 because the slices are counted anew on each board '
        "(likewise 2 more), wanted a name for each slice, such as board and number. To fix: nothing if that is right; "
        "else give each slice its own name.",
    ),
    (
        {"Stock": STOCK, "Measurements": [SLICES, ["E1-1", 0.04], ["Z9-1", 0.04]]},
        'Measurements!A3: found the slice "Z9-1", whose name begins with no board of Stock, wanted a slice named after '
        "its board, such as E1-1, or its board in the column Board. To fix: type the board in the column Board, or add "
        "the board to Stock.",
    ),
    (
        {
            "Stock": [BOARDS, ["007", "wenge", 1.5]],
            "Measurements": [["Slice", "Board", "Thickness (in)"], ["a", 7, 0.04]],
        },
        'Measurements!B2: found "7", read as "007" because only the zeros before it differ, wanted a board that Stock '
        "has. To fix: type 007 if that is meant.",
    ),
    (
        {"Stock": STOCK, "Panels": [["Lid", "cherry"], ["Base", "wenge"]]},
        "Panels: found no heading row, wanted a row with the heading Panel. To fix: write it above the "
        "table.",
    ),
    (
        {"Stock": [["Board", "Specis", "Thickness (in)"], ["E1", "wenge", 1.5]]},
        'Stock!B1: found the heading "Specis", read as Species because it is nearly the same, wanted a heading of '
        "Stock. To fix: write it as Species.",
    ),
    (
        {"Stock": [["Board", "Species"], ["E1", "wenge"]]},
        "Stock!A1: found no column Thickness, wanted the headings Board, Species, Thickness. To fix: write "
        '"Thickness (in)" above the column that holds it.',
    ),
    (
        {"Stock": [[*BOARDS, "Cost per board ft"], ["E1", "wenge", 1.5, 12]]},
        'Stock!D1: found the heading "Cost per board ft", which is not understood; the column is not read, wanted a '
        'heading of Stock. To fix: nothing if it is only for you; else write "Price" if that is meant.',
    ),
    (
        {"Stock": [["Board", "Species", "Thickness (in)", "Thickness (mm)"], ["E1", "wenge", 1.5, 38.1]]},
        'Stock!C1: found more than one column for Thickness: C1 "Thickness (in)" and D1 "Thickness (mm)"; C1 is read, '
        "wanted one column for Thickness. To fix: rename the other headings if that is right, else this one.",
    ),
    (
        {"Stock": [["Board", "Species", "Thickness (in)", "Thickness (in)"], ["E1", "wenge", 1.5, 1.25]]},
        'Stock!C1: found the same heading more than once, C1 "Thickness (in)" and D1 "Thickness (in)", with different '
        "values in row 2; neither is read, wanted one column for Thickness. To fix: rename the heading of the column "
        "that does not count.",
    ),
    (
        {"Stock": [[*BOARDS, None, *BOARDS], ["E1", "wenge", 1.5, None, "E2", "wenge", 1.25]]},
        "Stock!E1:G1: found a second table beside the first; both are read as Stock, wanted one table of Stock on this "
        "sheet. To fix: nothing if that is right; else rename its headings.",
    ),
    (
        {"Lumber": STOCK, "Boards": STOCK},
        'Boards: found a second sheet that could be Stock; "Lumber" is read, this one is not, wanted one sheet Stock. '
        'To fix: rename the sheet that holds Stock, or move its rows to "Lumber".',
    ),
    (
        {"Stock": STOCK, "Shop": settings(["Kerf allowance", 0.05, "s"])},
        'Shop!C2: found the unit "s" for Kerf allowance, wanted a unit of length. To fix: type in or mm.',
    ),
    (
        {"Stock": STOCK, "Job": settings(["Panel length", 24, "in"], ["Panel length", 20, "in"])},
        "Job!B3: found the setting Panel length more than once, in B2 and B3; none is used, wanted one row for Panel "
        "length. To fix: delete the row that does not count.",
    ),
    (
        {"Stock": STOCK, "Shop": settings(["Truing pass", "-", "in"])},
        'Shop!B2: found "-", taken for an empty cell, which means 0.050 in, wanted Truing pass, or an empty cell. '
        "To fix: nothing if 0.050 in is right; else type the value.",
    ),
    (
        {"Measurements": [SLICES, *([f"E1-{number}", "0,041"] for number in range(1, 41))]},
        'Measurements!B2:B41: found "0,041", read as 0.041 in because its comma is taken as a decimal comma (likewise '
        "39 more cells below it), wanted a thickness in inches. To fix: type 0.041 in plainly if that is right, else "
        "the right value.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("sheets", "message"), TABLES, ids=[message[:60] for _, message in TABLES])
def test_what_is_said_of_a_table(read, sheets, message):
    assert message in [str(problem) for problem in read(**sheets).problems]


READINGS = [
    (float("nan"), "nan", "type a thickness in inches, or empty the cell"),
    ("#N/A", "the error #N/A", "mend the formula, or type a thickness in inches, or empty the cell"),
    (
        {"formula": "=A1*2"},
        "the formula =A1*2 without a stored result",
        "open the file in your spreadsheet program and save it, or type the value",
    ),
    (True, "TRUE", "type a thickness in inches, or empty the cell"),
    (
        {"value": timedelta(hours=1, minutes=16), "number_format": "h:mm"},
        "1:16 (a clock time)",
        "format the cell as a number and type a thickness in inches, for example 1/16 or 0.052778",
    ),
    (
        {"value": day(2024, 3, 30), "number_format": "d-mmm"},
        "30-Mar (a date)",
        "format the cell as a number or as text and type a thickness in inches",
    ),
    ("0..4", '"0..4" (two numbers)', "type one number"),
    (
        "O.O41",
        '"O.O41"',
        "type 0.041 if that is meant; letters stand among the digits",
    ),
    ("thin", '"thin"', "type the number alone, or the number with its unit; a remark goes in brackets"),
]


@pytest.mark.parametrize(("cell", "found", "fix"), READINGS, ids=[found for _, found, _ in READINGS])
def test_what_is_said_of_a_reading(read, at, cell, found, fix):
    """The thickness of a slice; a text without a number is no length at all."""
    [problem] = at(read(Measurements=[SLICES, ["E1-1", cell]]), "Measurements!B2")
    wanted = "one length in inches" if isinstance(cell, str) and cell[0] != "#" else "a thickness in inches"
    assert str(problem) == f"Measurements!B2: found {found}, wanted {wanted}. To fix: {fix}."


NAMES = [
    (
        {"value": day(2024, 3, 1), "number_format": "m/d/yyyy"},
        "the date 3/1/2024; it was probably typed 3-1",
    ),
    (
        {"value": timedelta(hours=3, minutes=1), "number_format": "h:mm"},
        "the clock time 3:01; it was probably typed 3-01",
    ),
    (
        {"value": 1e5, "number_format": "0.00E+00"},
        "the number 1.00E+05; it was probably typed 1E5",
    ),
    (float("inf"), "inf"),
]


@pytest.mark.parametrize(("cell", "found"), NAMES, ids=[found for _, found in NAMES])
def test_what_is_said_of_a_name_that_became_something_else(read, at, cell, found):
    [problem] = at(read(**named(cell)), "Stock!A2")
    assert str(problem) == (
        f"Stock!A2: found {found}, wanted a name for Board, as text. "
        "To fix: format the cell as text, then type the name again."
    )


CELLS = [
    (
        "Stock!B2", {"Stock": [BOARDS, ["E1", "Glue line", 1.5]]},
        '"Glue line", which is no wood, wanted a wood. To fix: take the row out; glue lines are counted by Shop.',
    ),
    (
        "Stock!B2", {"Stock": [BOARDS, ["E1", 0, 1.5]]},
        "0, wanted the name of a wood. To fix: type the wood's name.",
    ),
    (
        "Stock!B2", {"Stock": [BOARDS, ["E1", "#REF!", 1.5]]},
        "the error #REF!, wanted a word for Species. To fix: mend the formula, or type the word.",
    ),
    (
        "Stock!B2", {"Stock": [BOARDS, ["E1", {"formula": "=Z1"}, 1.5]]},
        "the formula =Z1 without a stored result, wanted a word for Species. To fix: open the file in your spreadsheet "
        "program and save it, or type the word.",
    ),
    (
        "Measurements!C2", {"Measurements": [[*SLICES, "Use"], ["E1-1", 0.04, "maybe"]]},
        '"maybe", wanted yes or no. To fix: type yes or no.',
    ),
    (
        "Panels!B2", {"Panels": [["Panel", "Glued on"], ["P1", "3/4/2024"]]},
        '"3/4/2024", which could be two days, wanted a date. To fix: type 2024-03-04 or 2024-04-03.',
    ),
    (
        "Panels!B2", {"Panels": [["Panel", "Glued on"], ["P1", "last week"]]},
        '"last week", wanted a date. To fix: type the date as 2024-03-14.',
    ),
    (
        "Species!B2", {"Species": [["Species", "Colour"], ["wenge", "like coal"]]},
        '"like coal", wanted a colour as RRGGBB, or its plain name. To fix: type for example 8B5A2B or brown.',
    ),
    (
        "Shop!B2", {"Shop": settings(["Shop temperature", 20, None]), "Stock": STOCK},
        "20, which can be read in more than one way (20 °F if it is in °F like the workbook; 20 °C if it is taken as "
        "°C), wanted a temperature in °F. To fix: type 20 °F or 20 °C.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("place", "sheets", "said"), CELLS, ids=[said[:40] for _, _, said in CELLS])
def test_what_is_said_of_a_cell(read, at, place, sheets, said):
    assert f"{place}: found {said}" in [str(problem) for problem in at(read(**sheets), place)]


HIDDEN = [
    (
        {"visibility": Visibility.HIDDEN},
        "Stock: found the hidden sheet Stock, which is read, wanted sheets that you see. To fix: nothing if it counts; "
        "else rename it.",
    ),
    (
        {"hidden_columns": {3}},
        'Stock!C1: found the hidden column C, "Thickness (in)", which is read, wanted columns that you see. To fix: '
        "nothing if it counts; else rename its heading.",
    ),
    (
        {"hidden_rows": {3}},
        "Stock!A3: found hidden rows (3): all 2 rows (mean 1.5 in), visible 1 (mean 1.5 in); all rows are used, wanted "
        "rows that you see. To fix: nothing if that is right; else set Hidden rows on the sheet Job to leave out.",
    ),
]


@pytest.mark.parametrize(("extra", "message"), HIDDEN, ids=["sheet", "column", "row"])
def test_what_is_said_of_what_the_maker_does_not_see(read, sheet, extra, message):
    assert message in [str(problem) for problem in read(sheet("Stock", STOCK, **extra)).problems]


def test_a_time_in_hours_where_minutes_are_usual(read):
    age = {"value": timedelta(minutes=45), "number_format": "h:mm"}
    found = [str(problem) for problem in read(Panels=[["Panel", "Surface age (min)"], ["P1", age]]).problems]
    assert (
        "Panels!B2: found 0:45, read as 45 min because the cell shows hours and minutes (h:mm), wanted a duration in "
        "minutes. To fix: type 45 min plainly if that is right, else the right value."
    ) in found
