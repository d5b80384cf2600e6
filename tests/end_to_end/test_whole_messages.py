"""Whole messages of findings in cells that no other test compares word for word, in both formats."""

import pytest

from sheetkit import check

GOOD = {
    "Stock": [["A1", "black cherry", 20, 3, 1.5, "flat"], ["B1", "wenge", 20, 3, 1.2, "flat"]],
    "Targets": [["P", "black cherry", 0.05, 0.002, 8], ["P", "wenge", 0.02, 0.002, 7]],
}
MESSAGES = [
    (
        ("Stock", 0, 5, "sur dosse"),
        'Stock!F3: found "sur dosse", wanted one of: flat, quarter, rift. To fix: type flat or quarter or rift.',
    ),
    (
        ("Stock", 0, 1, "maple/walnut"),
        'Stock!B3: found "maple/walnut", which names more than one wood, wanted one wood. '
        "To fix: type maple or black walnut.",
    ),
    (
        ("Stock", 0, 2, "2 @ 36"),
        'Stock!C3: found "2 @ 36", 2 of them in one cell, wanted one number: a length in inches. '
        "To fix: type 36 in here if that is one of them, and 2 in a column of its own.",
    ),
    (
        ("Targets", 0, 4, "2-3"),
        'Targets!E3: found "2-3", more than one number, wanted one number: a whole number. To fix: type 2 or 3.',
    ),
    (
        ("Targets", 0, 4, 2.5),
        "Targets!E3: found 2.5, wanted a whole number. To fix: type a whole number.",
    ),
]


@pytest.mark.parametrize(("put", "message"), MESSAGES, ids=lambda value: str(value[3]) if len(value) == 4 else "")
def test_the_whole_message(fill, tmp_path, suffix, put, message):
    sheet, row, column, value = put
    rows = {name: [list(cells) for cells in table] for name, table in GOOD.items()}
    rows[sheet][row][column] = value
    assert message in [str(problem) for problem in check(fill(tmp_path / f"job{suffix}", rows)).problems]


SETTINGS = [
    (
        {"Glue pressure": "20 psi"},
        "Shop!{}: found Glue pressure of 20 psi, wanted usually 50 psi to 250 psi (published shop figures disagree). "
        "To fix: nothing if the adhesive's data sheet says so; else type the figure that it gives.",
    ),
    (
        {"Clamp time": "5 min"},
        "Shop!{}: found Clamp time of 5 min, wanted usually 30 min to 1440 min (common practice, no source). To fix: "
        "nothing if the adhesive's data sheet says so; else type the figure that it gives.",
    ),
]


@pytest.mark.parametrize(("settings", "message"), SETTINGS, ids=["pressure", "clamps"])
def test_a_setting_outside_what_is_usual(fill, tmp_path, suffix, settings, message):
    said = check(fill(tmp_path / f"job{suffix}", GOOD, {"Shop": settings})).problems
    [found] = [problem for problem in said if problem.sheet == "Shop"]
    assert str(found) == message.format(found.cell)
