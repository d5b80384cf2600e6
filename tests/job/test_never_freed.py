"""Readings from which it follows that the fence should stand still: a finding, and the rest is planned."""

import pytest

from sheetkit import check, refresh
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


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
@pytest.mark.parametrize("price", [40, None])
def test_a_slice_that_asks_for_less_than_a_division_of_the_dial_is_a_finding(tmp_path, suffix, price):
    """0.02 in on a dial with marks 0.05 in apart: most passes would stand at the mark of the one before."""
    path = tmp_path / f"job{suffix}"
    stock = [["A1", "black cherry", 20, 3, 1.5, None, None, price], ["B1", "wenge", 20, 3, 1.5, None, None, price]]
    dial = [("Kerf allowance", 0), ("Dial division", 0.05), ("Dial turn", 0.5)]
    targets = [["P", "black cherry", 0.02, 0.002, 4], ["P", "wenge", 0.05, 0.002, 4]]
    write_blank(path, "in", {"Stock": stock, "Panels": [["P", 9, 2.5]], "Targets": targets, "Shop": dial})
    outcome = refresh(path)
    assert [str(problem) for problem in outcome.problems if problem.harm.words == "stops the job"] == [
        "Targets!C3: found a slice of 0.0200 in that asks the fence to move 0.0200 in, less than one division of the "
        "dial, 0.0500 in, wanted a movement of at least one division for every pass. To fix: ask for a thicker layer, "
        "or check Dial division and Kerf allowance on Shop."
    ]
    assert outcome.headlines[0] == "Can it be made? No: see what stops it."
    assert outcome.progress.slices_left > 0
