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
