"""The lay-up from measured slices, stacks with their uncertainty, and spares under a risk."""

import dataclasses

import pytest

from sheetkit.job.laying import piece_corners
from sheetkit.job.measured import sawn_slices
from sheetkit.job.results import compute

INCH = 25.4


def corner_slice(job, name, near, far, board=None):
    """A slice measured at its four corners: even across, changing from near to far."""
    job.slice(name, None, board=board)
    row = job.slices[-1]
    ends = {"near_left_mm": near, "near_right_mm": near, "far_left_mm": far, "far_right_mm": far}
    job.slices[-1] = dataclasses.replace(row, **{field: value * INCH for field, value in ends.items()})
    return job


def test_case_a20_slices_with_the_same_taper_are_turned_so_that_it_cancels(job):
    """40 strips, each 0.002 thicker at one end: 0.080 the same way round, 0 with every second one turned."""
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=40, tolerance=0.002)
    for number in range(1, 41):
        corner_slice(job, f"A-{number}", 0.039, 0.041)
    lay = compute(job.inputs()).laying.panels[0].lay
    assert lay.in_sawing_order.end_taper_mm / INCH == pytest.approx(0.080, abs=1e-9)
    assert lay.closeness.end_taper_mm / INCH == pytest.approx(0.0, abs=1e-9)


def test_half_way_it_says_how_thick_the_missing_slices_should_be(job):
    """Two slices 0.001 over each leave two missing ones that should be 0.001 under."""
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=4, tolerance=0.002)
    corner_slice(job, "A-1", 0.041, 0.041)
    corner_slice(job, "A-2", 0.041, 0.041)
    lay = compute(job.inputs()).laying.panels[0].lay
    missing = [layer.saw_at_mm / INCH for layer in lay.layers if not layer.slice_key]
    assert missing == pytest.approx([0.039, 0.039], abs=1e-6)


def test_a_long_slice_is_crosscut_into_pieces_that_share_its_taper(job):
    job.panel("P", length=4, width=2).board("A", "cherry", 2.0, length=8, width=2)
    job.layer("cherry", 0.040, plies=2, tolerance=0.004)
    corner_slice(job, "A-1", 0.038, 0.042)
    results = compute(job.inputs())
    assert results.needs[0].have == 2
    corners = results.laying.panels[0].corners
    assert corners["A-1a"].far_left_mm / INCH == pytest.approx(0.040, abs=1e-9)
    assert corners["A-1b"].near_left_mm / INCH == pytest.approx(0.040, abs=1e-9)
    assert corners["A-1b"].far_left_mm / INCH == pytest.approx(0.042, abs=1e-9)


def test_a_slice_without_all_its_corners_has_its_mean_everywhere(job):
    job.board("A", "cherry", 2.0).layer("cherry", 0.040).slice("A-1", 0.040, 0.039, 0.041)
    item = sawn_slices(job.inputs())[0]
    corners = piece_corners(item, 0, 1, sanding_mm=0.0)
    assert corners.near_left_mm == corners.far_right_mm == corners.middle_mm == pytest.approx(0.040 * INCH)


def test_case_a16_worst_case_and_statistical_are_shown_apart(job):
    """36 layers of +-0.002: worst +-0.072, statistical +-0.012; a mean 0.001 over the target gives +0.036."""
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=36, tolerance=0.002)
    for number in range(1, 37):
        job.slice(f"A-{number}", 0.040, 0.041)
    estimate = compute(job.inputs()).stacks[0].estimate
    assert estimate.worst_mm / INCH == pytest.approx(0.072, abs=1e-9)
    assert estimate.statistical_mm / INCH == pytest.approx(0.012, abs=1e-9)
    assert estimate.bias_mm / INCH == pytest.approx(0.036, abs=1e-9)


def test_case_a19_unlike_pairs_about_the_middle_are_named(job):
    """M W P M M W M is not balanced: pair 3/5 has P against M."""
    job.board("A", "maple", 9.0)
    for wood in ("maple", "wenge", "pear", "maple", "maple", "wenge", "maple"):
        job.layer(wood, 0.040)
    unlike = compute(job.inputs()).stacks[0].unlike
    assert [(pair.upper, pair.lower) for pair in unlike] == [(3, 5)]


def test_layers_more_or_fewer_that_would_centre_the_panel(job):
    """20 layers of 0.040 with lines of 0.003 are 0.857; 0.900 is one layer of 0.043 more."""
    job.panel("P").board("A", "cherry", 9.0).layer("cherry", 0.040, plies=20)
    job.panels[0] = dataclasses.replace(job.panels[0], thickness_mm=0.900 * INCH, tolerance_mm=0.010 * INCH)
    centring = compute(job.inputs()).stacks[0].centring
    assert centring.layers == 1
    assert centring.total_mm / INCH == pytest.approx(0.900, abs=1e-9)


def test_with_a_risk_the_makers_own_record_decides_the_spares(job):
    """Half of the slices at the present setting were kept, so more than the needed number is sawn, with the reason."""
    job.job["risk_pct"] = 5.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=20, tolerance=0.002)
    for number in range(1, 11):
        job.slice(f"A-{number}", 0.040, 0.040, use=number % 2 == 0)
    need = compute(job.inputs()).needs[0]
    assert need.have == 5
    assert need.spares > 5
    assert "5 of 10 slices on record were rejected" in need.spares_why


def test_without_a_risk_the_setting_decides(job):
    job.job["spares_pct"] = 10.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=21)
    need = compute(job.inputs()).needs[0]
    assert need.spares == 3
    assert need.to_saw == 24
