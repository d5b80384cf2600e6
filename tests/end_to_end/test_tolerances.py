"""Layers of one thickness with different tolerances in real workbooks: Thickness check says which one counts."""

import pytest

from sheetkit import refresh

STOCK = [["A", "white ash", 10, 3, 2.0]]
SAID = (
    "Layers of one wood and thickness ask for different tolerances: a slice is judged by the tightest that it keeps, "
    "and serves only panels that ask for no tighter one."
)


@pytest.mark.parametrize(("of_second", "said"), [(0.005, True), (0.002, False)])
def test_the_tolerance_that_a_slice_was_judged_by_stands_beside_it(fill, suffix, cells_of, tmp_path, of_second, said):
    targets = [["P", "white ash", 0.041, 0.002, 3], ["Q", "white ash", 0.041, of_second, 3]]
    slices = [["A-1", "A", 0.041, *[0.041] * 5], ["A-2", "A", 0.041, *[0.045] * 5]]
    path = fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": targets, "Measurements": slices}, {})
    refresh(path)
    cells = cells_of(path, "Thickness check")
    assert (SAID in cells.values()) == said
    rows = {cells[row, 1]: row for row, column in cells if column == 1 and cells[row, 1] in {"A-1", "A-2"}}
    verdict = max(column for row, column in cells if row == rows["A-1"])
    judged = [(cells[rows[name], 4], cells[rows[name], verdict]) for name in ("A-1", "A-2")]
    assert judged == [(0.002, "in tolerance"), (of_second, "in tolerance" if said else "out of tolerance")]
