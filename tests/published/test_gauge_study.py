"""The crossed study that is widely reprinted: 10 slices, 3 hands, 3 trials.

Data: AIAG, Measurement Systems Analysis (from memory, and confirmed by reproducing every published figure below).
Figures of the analysis of variance: a published crossed-study example.
"""

import math

import pytest

from sheetkit.trade.chart_constants import chart_constants
from sheetkit.trade.gauge import Repeat, crossed, study

DATA = """
A1 0.29 -0.56 1.34 0.47 -0.80 0.02 0.59 -0.31 2.26 -1.36
A2 0.41 -0.68 1.17 0.50 -0.92 -0.11 0.75 -0.20 1.99 -1.25
A3 0.64 -0.58 1.27 0.64 -0.84 -0.21 0.66 -0.17 2.01 -1.31
B1 0.08 -0.47 1.19 0.01 -0.56 -0.20 0.47 -0.63 1.80 -1.68
B2 0.25 -1.22 0.94 1.03 -1.20 0.22 0.55 0.08 2.12 -1.62
B3 0.07 -0.68 1.34 0.20 -1.28 0.06 0.83 -0.34 2.19 -1.50
C1 0.04 -1.38 0.88 0.14 -1.46 -0.29 0.02 -0.46 1.77 -1.49
C2 -0.11 -1.13 1.09 0.20 -1.07 -0.67 0.01 -0.56 1.45 -1.77
C3 -0.15 -0.96 0.67 0.11 -1.45 -0.49 0.21 -0.49 1.87 -2.16
"""


def readings() -> list[list[list[float]]]:
    """By slice, then hand, then trial."""
    rows = {line.split()[0]: [float(value) for value in line.split()[1:]] for line in DATA.split("\n") if line.strip()}
    return [[[rows[f"{hand}{trial}"][piece] for trial in (1, 2, 3)] for hand in "ABC"] for piece in range(10)]


def test_sums_of_squares():
    table = crossed(readings()).table
    assert table.slices_squares == pytest.approx(88.3619, abs=1e-4)
    assert table.hands_squares == pytest.approx(3.1673, abs=1e-4)
    assert table.interaction_squares == pytest.approx(0.3590, abs=1e-4)
    assert table.repeat_squares == pytest.approx(2.7589, abs=1e-4)


def test_the_interaction_does_not_show_and_is_pooled():
    table = crossed(readings()).table
    assert table.interaction_f == pytest.approx(0.434, abs=1e-3)
    assert table.interaction_p == pytest.approx(0.974, abs=1e-3)
    assert table.pooled


def test_variance_components_after_pooling():
    found = crossed(readings())
    assert found.repeatability_mm**2 == pytest.approx(0.03997, abs=1e-5)
    assert found.reproducibility_mm**2 == pytest.approx(0.05146, abs=1e-5)
    assert found.measuring_mm**2 == pytest.approx(0.09143, abs=1e-5)
    assert found.slices_mm**2 == pytest.approx(1.08645, abs=1e-5)
    assert found.total_mm**2 == pytest.approx(1.17788, abs=1e-5)


def test_standard_deviations_shares_and_categories():
    found = crossed(readings())
    assert found.measuring_mm == pytest.approx(0.30237, abs=1e-5)
    assert found.slices_mm == pytest.approx(1.04233, abs=1e-5)
    assert found.total_mm == pytest.approx(1.08530, abs=1e-5)
    assert found.percent_of_spread == pytest.approx(27.86, abs=0.01)
    assert 100 * found.repeatability_mm / found.total_mm == pytest.approx(18.42, abs=0.01)
    assert 100 * found.reproducibility_mm / found.total_mm == pytest.approx(20.90, abs=0.01)
    assert 100 * found.slices_mm / found.total_mm == pytest.approx(96.04, abs=0.01)
    assert int(found.categories) == 4


def test_the_manuals_factor_for_a_single_range_of_ten():
    """The manual, 3rd and 4th edition, chapter III (from memory): 0.3146."""
    ten = chart_constants(10)
    assert 1 / math.hypot(ten.d2, ten.d3) == pytest.approx(0.3146, abs=5e-5)


def test_the_same_readings_as_loose_rows_give_the_same_study():
    rows = [
        Repeat(slice=str(piece), hand=hand, reading_mm=value)
        for piece, cells in enumerate(readings())
        for hand, cell in zip("ABC", cells, strict=True)
        for value in cell
    ]
    assert study(rows[::-1]).measuring_mm == pytest.approx(0.30237, abs=1e-5)
