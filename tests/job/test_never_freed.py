"""Readings from which it follows that the fence should stand still: a finding, and the rest is planned."""

import pytest

from sheetkit import check
from sheetkit.blank.write import write_blank


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_a_wood_that_comes_off_thicker_than_the_layer_wanted_is_a_finding(tmp_path, suffix):
    """Set 0.01, read 0.11 and no kerf allowance: 0.05 would need a movement of 0.05 - 0.10 in; wenge leans on it."""
    path = tmp_path / f"job{suffix}"
    write_blank(
        path,
        "in",
        {
            "Stock": [["A1", "black cherry", 20, 3, 1.5], ["B1", "wenge", 20, 3, 1.5]],
            "Panels": [["P", 9, 2.5]],
            "Targets": [["P", "black cherry", 0.05, 0.002, 4], ["P", "wenge", 0.15, 0.002, 4]],
            "Measurements": [[f"A1-{number}", "A1", 0.01, 0.11] for number in range(1, 9)],
            "Shop": [("Kerf allowance", 0)],
        },
    )
    outcome = check(path)
    stops = [str(problem) for problem in outcome.problems if problem.harm.words == "stops the job"]
    assert stops == [
        "Targets!C3: found a slice of 0.0500 in that no movement of the fence would free: black cherry comes off "
        "0.1000 in thicker than set, and the kerf allowance is 0.0000 in, wanted a slice thicker than that, less the "
        "kerf allowance. To fix: check Kerf allowance on Shop, and Set thickness and readings of black cherry on "
        "Measurements."
    ]
    assert outcome.headlines[0] == "Can it be made? No: see what stops it."
