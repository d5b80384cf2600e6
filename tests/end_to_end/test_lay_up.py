"""What Lay-up says of a panel's thickness, through real workbooks."""

from sheetkit import refresh


def test_a_panel_of_repeats_is_brought_closer_by_whole_repeats_only(fill, suffix, cells_of, tmp_path):
    """Own sum: a repeat of eight layers of 0.0625 in is half an inch; one is nearer to 0.65 in than none or two."""
    rows = {
        "Stock": [["A", "white ash", 10, 3, 3], ["B", "wenge", 10, 3, 3]],
        "Panels": [["P", 9, 2.5, 1, "no", 1, 0.65, 0.02]],
        "Targets": [["P", "white ash", 0.0625, 0.002, 4], ["P", "wenge", 0.0625, 0.002, 4]],
    }
    path = fill(tmp_path / f"job{suffix}", rows)
    refresh(path)
    said = [str(value) for value in cells_of(path, "Lay-up").values()]
    [outlook] = [text for text in said if text.startswith("Panel P: 8 layers come to")]
    assert outlook.endswith("0.650 in is wanted, and no repeat more or less would come closer.")
