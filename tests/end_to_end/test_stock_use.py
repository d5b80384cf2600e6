"""Stock that falls short, through real workbooks: what can still be made of it."""

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
