"""What a stack comes to, and how sure that is."""

import numpy as np
import pytest

from sheetkit.trade.stack import (
    GlueLine,
    LayerEstimate,
    chance_in_tolerance,
    estimate_stack,
    layers_to_centre,
    stack_thickness,
)

INCH = 25.4


def test_glue_lines_add_up_as_in_case_a15():
    """Case A15: 41 layers of 0.040, line 0.003: 1.760 in; 1.640 without lines; glue is 6.8 % of the height."""
    layers = [0.040 * INCH] * 41
    assert stack_thickness(layers, 0.003 * INCH) == pytest.approx(1.760 * INCH, abs=1e-9)
    assert stack_thickness(layers, 0.0) == pytest.approx(1.640 * INCH, abs=1e-9)
    stack = estimate_stack([LayerEstimate(each, each) for each in layers], GlueLine(0.003 * INCH))
    assert stack.glue_share == pytest.approx(0.068, abs=0.0005)


def test_random_and_systematic_build_up_of_case_a16_stand_side_by_side():
    """Case A16: 36 layers, 0.002 either way, mean 0.001 over: worst 0.072, statistical 0.012, bias 0.036 in."""
    layers = [LayerEstimate(0.041 * INCH, 0.040 * INCH, 0.002 * INCH)] * 36
    stack = estimate_stack(layers, GlueLine(0.0))
    assert stack.worst_mm == pytest.approx(0.072 * INCH, abs=1e-9)
    assert stack.statistical_mm == pytest.approx(0.012 * INCH, abs=1e-9)
    assert stack.bias_mm == pytest.approx(0.036 * INCH, abs=1e-9)


def test_forty_equal_independent_layers_add_as_the_root_of_the_sum_of_squares():
    """Variance addition: n 40, sigma 0.002 gives 0.0126491; 0.080 in the worst case."""
    stack = estimate_stack([LayerEstimate(1.0, 1.0, 0.002, 0.002)] * 40, GlueLine(0.0))
    assert stack.independent_mm == pytest.approx(0.0126491, abs=1e-7)
    assert stack.worst_mm == pytest.approx(0.080, abs=1e-12)


def test_a_shared_error_grows_with_the_layers_and_rules_with_dozens():
    """Own sum: 30 layers of one offset known to 0.001 and 30 of another known to 0.002: hypot(0.03, 0.06)."""
    ash = LayerEstimate(1.0, 1.0, spread_mm=0.004, shares="ash", offset_error_mm=0.001)
    plum = LayerEstimate(1.0, 1.0, spread_mm=0.004, shares="plum", offset_error_mm=0.002)
    stack = estimate_stack([ash, plum] * 30, GlueLine(0.0))
    assert stack.shared_mm == pytest.approx((0.03**2 + 0.06**2) ** 0.5, abs=1e-12)
    assert stack.independent_mm == pytest.approx(0.004 * 60**0.5, abs=1e-12)
    assert stack.shared_mm > 2 * stack.independent_mm


def test_measured_layers_share_no_offset_error():
    measured = LayerEstimate(1.0, 1.0, spread_mm=0.003, offset_error_mm=0.002)
    assert estimate_stack([measured] * 50, GlueLine(0.0)).shared_mm == 0.0


def test_both_parts_agree_with_a_simulated_shop():
    """Monte Carlo, fixed random state: offsets drawn once per stack, slices and lines one by one."""
    layers = [
        LayerEstimate(1.0, 1.0, spread_mm=0.010, shares="ash", offset_error_mm=0.002),
        LayerEstimate(0.6, 0.6, spread_mm=0.006, shares="plum", offset_error_mm=0.004),
    ] * 24
    glue = GlueLine(0.05, spread_mm=0.008, error_mm=0.003)
    stack = estimate_stack(layers, glue)
    rng, shops, lines = np.random.default_rng(11), 40_000, 47
    ash = 24 * rng.normal(0, 0.002, shops) + rng.normal(1.0, 0.010, (shops, 24)).sum(1)
    plum = 24 * rng.normal(0, 0.004, shops) + rng.normal(0.6, 0.006, (shops, 24)).sum(1)
    glued = lines * rng.normal(0, 0.003, shops) + rng.normal(0.05, 0.008, (shops, lines)).sum(1)
    totals = ash + plum + glued
    assert totals.mean() == pytest.approx(stack.total_mm, abs=4 * stack.standard_mm / shops**0.5)
    assert totals.std() == pytest.approx(stack.standard_mm, rel=4 / (2 * shops) ** 0.5)
    low, high = stack.total_mm - 0.2, stack.total_mm + 0.1
    share = np.mean((totals >= low) & (totals <= high))
    assert share == pytest.approx(chance_in_tolerance(stack.total_mm, stack.standard_mm, low, high), abs=0.01)


@pytest.mark.parametrize(
    ("total", "standard", "low", "high", "chance", "within"),
    [
        (-5.47, 0.05, -float("inf"), -5.40, 0.919, 0.001),
        (509.7, 8.6, 490.0, float("inf"), 0.989, 0.001),
        (10.0, 0.1, 9.9, 10.1, 0.682689, 1e-6),
    ],
)
def test_the_chance_of_landing_in_tolerance_is_the_conformance_probability(total, standard, low, high, chance, within):
    """JCGM 106:2012, 7.3.3 examples 1 and 2, from memory; the last is the normal share within one sigma, exact."""
    assert chance_in_tolerance(total, standard, low, high) == pytest.approx(chance, abs=within)


def test_without_uncertainty_a_stack_is_in_or_out():
    assert chance_in_tolerance(10.0, 0.0, 9.9, 10.0) == 1.0
    assert chance_in_tolerance(10.1, 0.0, 9.9, 10.0) == 0.0


@pytest.mark.parametrize(
    ("total", "layers", "off"), [(43.2, -3, 0.2), (38.6, 1, -0.4), (40.5, -1, -0.5), (40.0, 0, 0.0)]
)
def test_layers_are_added_or_left_out_to_centre_the_stack(total, layers, off):
    """Own sum: a layer and its line are 1 mm; a tie goes to the thinner stack."""
    found = layers_to_centre(total, 40.0, [0.95], 0.05)
    assert (found.layers, found.off_mm) == (layers, pytest.approx(off, abs=1e-9))


def test_a_whole_repeat_keeps_the_pattern():
    """Own sum: a repeat of 0.9 + 0.5 and two lines of 0.05 is 1.5; 4 mm too much is nearest to three repeats."""
    found = layers_to_centre(44.0, 40.0, [0.9, 0.5], 0.05)
    assert (found.layers, found.off_mm) == (-6, pytest.approx(-0.5, abs=1e-9))
    with pytest.raises(ValueError, match=r"^layers of no thickness were given; wanted at least one thicker than 0 mm$"):
        layers_to_centre(1.0, 2.0, [], 0.05)


def test_60_layers_are_as_thick_as_in_case_a18():
    """Case A18: 60 layers of 1/16, line 0.003: 3.927 in."""
    assert stack_thickness([INCH / 16] * 60, 0.003 * INCH) == pytest.approx(3.927 * INCH, abs=1e-9)
