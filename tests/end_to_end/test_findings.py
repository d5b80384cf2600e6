"""Findings about names of woods and about the record, at their cells in real workbooks of both formats."""

from sheetkit import check


def test_findings_stand_at_their_cells(fill, suffix, tmp_path):
    rows = {
        "Stock": [["A", "hard maple", 10, 3, 2.0], ["W", "wenge", 10, 3, 2.0]],
        "Targets": [["P", "maple", 0.045, 0.002, 1], ["P", "wenge", 0.045, 0.002, 1], ["P", "wenge", 0.020, 0.002, 2]],
        "Measurements": [["W-1", "W", 0.045, 0.045, 0.045, 0.045, 0.045, 0.045]],
    }
    found = {problem.place: problem.found for problem in check(fill(tmp_path / f"job{suffix}", rows)).problems}
    assert found["Targets!C5"] == "a slice of 0.0200 in of wenge, thinner than any on Measurements"
    texts = [problem.found for problem in check(tmp_path / f"job{suffix}").problems if problem.place == "Targets!B3"]
    assert "maple, which may be the hard maple named elsewhere" in texts
