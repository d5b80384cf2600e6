"""Stock that falls short, through real workbooks: what can still be made of it."""

import pytest

from sheetkit import refresh


def test_short_stock_says_how_many_panels_it_makes_whole(fill, suffix, cells_of, tmp_path):
    """Own sum: 1.25 in less 0.05 for truing and 0.25 held are 10 advances of 0.095; four layers each make two panels
    whole, two of the three wait for two layers."""
    rows = {
        "Stock": [["A", "white ash", 10, 3, 1.25]],
        "Panels": [["P", 9, 2.5, 1, "no", 3]],
        "Targets": [["P", "white ash", 0.045, 0.002, 4]],
    }
    path = fill(tmp_path / f"job{suffix}", rows, {"Job": {"Spare slices": 0}})
    refresh(path)
    said = cells_of(path, "Stock use").values()
    assert "Panel P: 2 of 3 can be made whole, without spares." in said
    # The calendar promises no more than the stock gives.
    [ready] = [str(value) for value in cells_of(path, "Summary").values() if "can be ready" in str(value)]
    assert ready.startswith("What the stock gives can be ready on day ")


@pytest.mark.parametrize(
    ("unit", "left"), [("in", "0.510 in"), ("mm", "13.0 mm"), ("thou", "0.510 in"), ("64ths", "33/64 in")]
)
def test_what_stays_of_a_board_to_be_used_first_is_said_in_the_makers_unit(
    fill, suffix, cells_of, tmp_path, unit, left
):
    """Own sum: 1 in less 0.05 for truing, 0.25 held and two advances of 0.095 is 0.51 in: 12.954 mm, 32.6/64 in."""
    rows = {
        "Stock": [["A", "white ash", 10, 3, 1.0, None, None, None, "first"]],
        "Panels": [["P", 9, 2.5, 1, "no", 1]],
        "Targets": [["P", "white ash", 0.045, 0.002, 2]],
    }
    path = fill(tmp_path / f"job{suffix}", rows, {"Job": {"Spare slices": 0, "Unit": unit}})
    refresh(path)
    said = cells_of(path, "Stock use").values()
    assert f"Wish, A: use this board first: granted ({left} stay, since no more slices are needed)." in said
