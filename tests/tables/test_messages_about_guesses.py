"""What was read with a guess, or passed over, word for word: the maker must see what became of each cell."""

from datetime import UTC, datetime

import pytest

MARCH = datetime(2024, 3, 14, tzinfo=UTC).replace(tzinfo=None)
BOARDS = ["Board", "Species", "Thickness (in)"]
SLICES = ["Slice", "Thickness (in)"]
STOCK = [BOARDS, ["E1", "wenge", 1.5], ["E2", "wenge", 1.5]]


def settings(*rows):
    return [["Setting", "Value", "Unit"], *rows]


WHEN_IN_DOUBT = [
    (
        {"Stock": [BOARDS, ["E1", "wenge", 1.5], ["Total", None, 1.5]]},
        'Stock!A3: found "Total", taken for a total row, wanted a record, or a total. To fix: nothing if it is a '
        "total; else rename the row.",
    ),
    (
        {"Stock": [BOARDS, [{"value": text, "struck": True} for text in ("E1", "wenge", "1.5")], ["E2", "wenge", 1.5]]},
        'Stock!A2: found "E1", a row that is struck through; it is not used, wanted a row that counts. To fix: nothing '
        "if it is done with; else take the strike-through away.",
    ),
    (
        {"Stock": [*STOCK, ["Bought in the May sale"]]},
        'Stock!A4: found "Bought in the May sale", taken for a note, wanted a row of Stock, or a note. To fix: nothing '
        "if it is a note; else fill in the row's other cells.",
    ),
    (
        {"Targets": [["Panel", "Species", "Thickness (in)", "Plies"], ["P1", "wenge", 0.04, "none"]], "Stock": STOCK},
        'Targets!D2: found "none" for Plies, where an empty cell means 1, wanted Plies as a number. To fix: type 0 if '
        "there is none, or empty the cell for 1.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge", {"value": 1.5, "formula": "=3/2", "computed": True}]]},
        "Stock!C2: found the formula =3/2 without a stored result; it was worked out as 1.5, wanted Thickness, or a "
        "formula with its result. To fix: open the file in your spreadsheet program and save it, and compare.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge", {"value": 1.25, "struck": True}]]},
        "Stock!C2: found 1.25, struck through, wanted a value for Thickness that counts. To fix: take the "
        "strike-through away, or type the new value.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge", 1.5], ["E2", '"', 1.5]]},
        'Stock!B3: found """, read as wenge because it says the same as the row above, wanted Species, or a ditto mark '
        "below one. To fix: nothing if wenge is right; else type the value in full.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge", 1.5], ['"', "wenge", 1.5]]},
        'Stock!A3: found """, a ditto mark where each row needs its own name, wanted Board, or a ditto mark below one. '
        "To fix: type the Board in full.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge", "do."]]},
        'Stock!C2: found "do.", a ditto mark with nothing to repeat above it, wanted Thickness, or a ditto mark below '
        "one. To fix: type the Thickness in full.",
    ),
    (
        {"Panels": [["Panel", "Glued on"], ["P1", 45365]]},
        "Panels!B2: found 45365, read as 2024-03-14 because it is the number under which spreadsheets keep this day, "
        "wanted a date. To fix: type 2024-03-14 if that is right, else the right date.",
    ),
    (
        {"Stock": STOCK, "Shop": settings([{"value": "Truing pass", "struck": True}, 0.05, "in"])},
        'Shop!A2: found the setting "Truing pass", struck through; it is not used, wanted a setting of Shop that '
        "counts. To fix: nothing if it is done with; else take the strike-through away.",
    ),
    (
        {"Stock": STOCK, "Job": settings(["Colour of the van", "blue"])},
        'Job!A2: found the setting "Colour of the van", which is not known; it is not read, wanted a setting of Job. '
        "To fix: nothing if it is only for you.",
    ),
    (
        {"Stock": STOCK, "Shop": settings(["Truing", 0.05, "in"])},
        'Shop!A2: found the setting "Truing", read as Truing pass because no other is so near, wanted a setting of '
        "Shop. To fix: write it as Truing pass.",
    ),
    (
        {"Stock": [["Board", "Species", "Thickness (mm)"], ["E1", "wenge", 38]], "Shop": settings(["Truing pass", 1])},
        "Shop!B2: found 1 without a unit, read as mm as the headings of Stock say, wanted a value with its unit. To "
        "fix: nothing if it is in mm; else type the unit beside it.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge", {"value": 0.9, "number_format": "0%"}]]},
        "Stock!C2: found 90%; the cell is formatted as per cent, 0.9 is read, wanted a measured thickness in inches. "
        "To fix: format the cell as a number if 0.9 is right; else type a measured thickness in inches.",
    ),
    (
        {"Measurements": [SLICES, ["E1-1", {"value": 0.13, "number_format": "# ?/?"}]], "Stock": STOCK},
        "Measurements!B2: found 1/8 on screen, but the cell holds 0.13; 0.13 is used, wanted a thickness in inches. To "
        "fix: nothing if 0.13 is right; else type the value that you measured.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "elm", 1.5]]},
        'Stock!B2: found "elm", which may be american elm or european elm or wych elm; it is planned under this name, '
        "without figures, wanted the name of one wood. To fix: type american elm or european elm or wych elm.",
    ),
    (
        {"Stock": [BOARDS, *([f"E{number}", "gorblewood", 1.5] for number in range(1, 10))]},
        'Stock!B2: found "gorblewood", a wood that is not in the list; it is planned under this name, without figures '
        "(likewise 8 more cells of the sheet), wanted a wood that is known, for Species. To fix: check the spelling, "
        "or give the wood's own values on the sheet Species.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "wenge?", 1.5]]},
        'Stock!B2: found "wenge?", marked as doubtful; it is used, wanted a word for Species. To fix: take the mark '
        "away once it is sure.",
    ),
    (
        {"Stock": [BOARDS, [45365, "wenge", 1.5]]},
        "Stock!A2: found the number 45365, which is also the day number of 14-Mar-2024, wanted a name for Board, as "
        "text. To fix: nothing if 45365 is the name; else format the cell as text, then type the name again, for "
        "example 3-14 or 14-3.",
    ),
    (
        {"Stock": STOCK, "Shop": settings(["Clamp time", {"value": MARCH, "number_format": "d-mmm"}])},
        "Shop!B2: found 14-Mar (a date), wanted a duration in minutes. To fix: format the cell as a number or as text "
        "and type a duration in minutes.",
    ),
    (
        {"Stock": [BOARDS, ["E1", "?!", 1.5]]},
        'Stock!B2: found "?!", wanted the name of a wood. To fix: type the wood\'s name.',
    ),
]  # fmt: skip


@pytest.mark.parametrize(("sheets", "message"), WHEN_IN_DOUBT, ids=[message[:50] for _, message in WHEN_IN_DOUBT])
def test_what_is_said_of_what_is_read_with_a_guess_or_passed_over(read, sheets, message):
    assert message in [str(problem) for problem in read(**sheets).problems]


def test_what_is_said_of_merged_cells(read, sheet):
    rows = [BOARDS, ["E1", "wenge", 1.5], ["E2", None, 1.5]]
    found = [str(problem) for problem in read(sheet("Stock", rows, merged=["B2:B3"])).problems]
    assert (
        'Stock!B3: found "wenge", from the merged cell B2, wanted Species in each row. To fix: nothing if it holds for '
        "all merged rows; else split the cell."
    ) in found


NUMBERS = [
    ("2 ± 3", '"2 ± 3" (a tolerance larger than the value)', "type the value alone"),
    ("7 * 9", '"7 * 9" (two numbers)', "type one number, or give each number a cell of its own"),
    ("0.041 0.4", '"0.041 0.4" (several numbers)', "type one number, or give each number a cell of its own"),
    ("1; 2; three; 4", '"1; 2; three; 4" (several numbers)', "type one number, or give each number a cell of its own"),
    ("0.5 in / 25 mm", '"0.5 in / 25 mm" (several numbers that differ)', "type one number with its unit"),
    ("5/4 (1.06)", '"5/4 (1.06)" (a nominal size and another number)', "type the measured thickness alone"),
    (
        "12 kg", '"12 kg" (kg is no unit of length)',
        "type the number alone, or the number with its unit; a remark goes in brackets",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("text", "found", "fix"), NUMBERS, ids=[text for text, _, _ in NUMBERS])
def test_what_is_said_of_a_text_with_numbers(read, at, text, found, fix):
    problems = [str(problem) for problem in at(read(Stock=[BOARDS, ["E1", "wenge", text]]), "Stock!C2")]
    assert f"Stock!C2: found {found}, wanted one length in inches. To fix: {fix}." in problems
