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
    """Half of ten slices at the present setting count and five layers of six are there: with the assumed record
    14 good, 6 bad. None good of n: 6/20 = 0.3, 6/20 * 7/21 = 0.1, 0.1 * 8/22 = 0.036, so three for one."""
    job.job["risk_pct"] = 5.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=6, tolerance=0.002)
    for number in range(1, 11):
        job.slice(f"A-{number}", 0.040, 0.040, use=number % 2 == 0)
    need = compute(job.inputs()).needs[0]
    assert (need.have, need.spares) == (5, 2)
    assert "5 of 10 slices on record did not count" in need.spares_why
    assert need.spares_why.endswith("is 3.64 %, at most 5 % asked")


def test_borderline_slices_of_the_record_do_not_count(job):
    """Both at a limit: 9 good, 3 bad. None good of n: 3/12 = 0.25, * 4/13 = 0.077, * 5/14 = 0.027, so three for one."""
    job.job["risk_pct"] = 5.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, tolerance=0.002)
    job.slice("A-1", 0.040, 0.042).slice("A-2", 0.040, 0.038)
    need = compute(job.inputs()).needs[0]
    assert (need.have, need.spares) == (0, 2)
    assert "2 of 2 slices on record did not count (out of tolerance, borderline, or marked" in need.spares_why


@pytest.mark.parametrize("other", [{"set_to": 0.040, "blade": "old"}, {"set_to": 0.041, "blade": "new"}])
def test_only_slices_of_this_blade_and_setting_are_on_record(job, other):
    """Four bad ones of another blade, or a division off, tell nothing: 10 good, 1 bad, one missing. None good of n:
    1/11 = 0.09, 1/11 * 2/12 = 0.015, so two for one."""
    job.job["risk_pct"] = 5.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=2, tolerance=0.002)
    for number in range(1, 5):
        job.slice(f"A-{number}", other["set_to"], other["set_to"], use=False, blade=other["blade"])
    job.slice("A-5", 0.040, 0.040, blade="new")
    need = compute(job.inputs()).needs[0]
    assert (need.have, need.spares) == (1, 1)
    assert "0 of 1 slices on record did not count" in need.spares_why


def test_the_needs_that_still_lack_slices_share_the_risk_of_the_job(job):
    """One missing on a record of one good one: short with 1/11 = 0.09 without a spare, 1/66 = 0.015 with one. A risk
    of 10 % allows the first; the half of it that each of two woods gets does not."""
    job.job["risk_pct"] = 10.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=2, tolerance=0.002).slice("A-1", 0.040, 0.040)
    (alone,) = compute(job.inputs()).needs
    assert alone.spares == 0
    assert alone.spares_why.endswith("is 9.09 %, at most 10 % asked")
    job.board("B", "ash", 9.0).layer("ash", 0.040, plies=2, tolerance=0.002).slice("B-1", 0.040, 0.040)
    needs = compute(job.inputs()).needs
    assert [need.spares for need in needs] == [1, 1]
    assert needs[0].spares_why.endswith("is 1.52 %, at most 5 % asked, its share of the job's 10 %")
    job.slice("B-2", 0.040, 0.040)
    assert [need.spares for need in compute(job.inputs()).needs] == [0, 0]


def test_without_a_risk_the_setting_decides(job):
    job.job["spares_pct"] = 10.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=21)
    need = compute(job.inputs()).needs[0]
    assert need.spares == 3
    assert need.to_saw == 24


def test_a_mirrored_panel_gains_or_loses_both_halves_of_a_repeat(job):
    """5 layers, mirrored: one repeat more is 10 layers more, not 5."""
    job.panel("P", repeats=2, mirror=True).board("A", "cherry", 9.0).board("B", "wenge", 9.0)
    for wood in ("cherry", "wenge", "cherry", "wenge", "cherry"):
        job.layer(wood, 0.020)
    job.panels[0] = dataclasses.replace(job.panels[0], thickness_mm=0.660 * INCH, tolerance_mm=0.010 * INCH)
    stack = compute(job.inputs()).stacks[0]
    assert stack.layers == 19
    assert stack.centring.layers == 10


def test_a_panel_that_misses_the_thickness_wanted_is_a_finding(job):
    """10 layers of 0.040 with 9 lines of 0.003 come to 0.427, not 0.500."""
    job.panel("P").board("A", "cherry", 9.0).layer("cherry", 0.040, plies=10)
    job.panels[0] = dataclasses.replace(job.panels[0], thickness_mm=0.500 * INCH, tolerance_mm=0.010 * INCH)
    found = [str(problem) for problem in compute(job.inputs()).problems]
    assert found == [
        "Panels!A3: found panel P, whose 10 layers and glue lines come to 0.4270 in as it stands, wanted 0.5000 in, "
        "within 0.0100 in. To fix: change Repeats or Plies, the layers, or the thickness wanted; Lay-up says what "
        "would come closest."
    ]


def test_once_every_layer_is_laid_the_panel_is_as_thick_as_its_lay_up_says(job):
    """Of three slices for two layers the two that meet the total are laid, and the stack is said to be theirs."""
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=2, tolerance=0.002)
    for number, thickness in enumerate((0.0415, 0.0395, 0.0405), start=1):
        corner_slice(job, f"A-{number}", thickness, thickness)
    results = compute(job.inputs())
    assert results.stacks[0].estimate.total_mm / INCH == pytest.approx(0.0395 + 0.0405 + 0.003, abs=1e-9)


def test_short_of_spares_only_is_no_reason_to_stop(job):
    """One slice left for one layer and one spare: the job can be made, without the spare."""
    job.job["spares_pct"] = 100.0
    results = compute(job.board("A", "cherry", 0.35).layer("cherry", 0.040).inputs())
    assert results.short == []
    assert results.stopped == []
    assert [problem.harm.words for problem in results.problems] == ["used, but check it"]
