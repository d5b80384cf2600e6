"""The caliper: repeat readings, guard band, tapers and bow."""

import math

import pytest

from sheetkit.errors import Harm
from sheetkit.job.results import compute
from sheetkit.trade.thickness import Verdict

INCH = 25.4


def inches(length_mm):
    return length_mm / INCH


def test_without_repeat_readings_the_division_alone_counts(job):
    """0.0005 over the root of 12 is 0.000144."""
    found = compute(job.board("A", "cherry", 1.0).layer("cherry", 0.04).inputs()).gauge
    assert found.study is None
    assert inches(found.uncertainty_mm) == pytest.approx(0.0005 / math.sqrt(12), rel=1e-9)


def test_repeat_readings_widen_the_guard_band(job):
    """Each slice read twice, 0.0002 apart: repeatability 0.0002 / sqrt(2) = 0.000141, beside 0.000144: 0.000202 in all,
    guard band 1.645 times that, 0.000332. A reading 0.0003 inside its limit is borderline then, and was in before."""
    job.board("A", "cherry", 1.0).layer("cherry", 0.0400, tolerance=0.002).slice("A-1", 0.040, 0.0417)
    assert compute(job.inputs()).checks[0].check.verdict is Verdict.IN
    job.repeat("A-1", 0.0416).repeat("A-1", 0.0418).repeat("A-2", 0.0400, 0.0402)
    results = compute(job.inputs())
    assert inches(results.gauge.repeatability_mm) == pytest.approx(0.0002 / math.sqrt(2), rel=1e-9)
    assert inches(results.checks[0].check.guard_mm) == pytest.approx(1.6449 * 0.0002021, rel=1e-3)
    assert results.checks[0].check.verdict is Verdict.BORDERLINE


def test_the_shops_setting_wins_over_the_repeat_readings(job):
    job.shop["repeatability_mm"] = 0.0
    job.board("A", "cherry", 1.0).layer("cherry", 0.0400).repeat("A-1", 0.0416, 0.0418)
    found = compute(job.inputs()).gauge
    assert found.given
    assert inches(found.uncertainty_mm) == pytest.approx(0.0005 / math.sqrt(12), rel=1e-9)


def test_the_same_hand_is_the_same_however_it_is_written(job):
    job.board("A", "cherry", 1.0).layer("cherry", 0.0400)
    for person in ("Ida", " ida", "IDA "):
        job.repeat("A-1", 0.0416, person=person, tool="dial caliper")
    job.repeat("a-1", 0.0417, person="Ida", tool="micrometer")
    found = compute(job.inputs()).gauge
    assert (found.readings, found.slices, found.hands) == (4, 1, 2)


def test_readings_that_repeat_nothing_are_remarked_on(job):
    job.board("A", "cherry", 1.0).layer("cherry", 0.0400).repeat("A-1", 0.0416).repeat("A-2", 0.0400)
    results = compute(job.inputs())
    assert results.gauge.study is None
    (problem,) = results.problems
    assert (problem.sheet, problem.harm) == ("Repeats", Harm.NOTED)
    assert problem.found == "2 repeat readings, none of them a repeat"


def test_a_tolerance_finer_than_the_caliper_can_judge_is_said(job):
    """Case P12: +-0.0002 with a division of 0.0005: guard band 0.00024."""
    job.board("A", "cherry", 1.0).layer("cherry", 0.0400, tolerance=0.0002).slice("A-1", 0.040, 0.040)
    check = compute(job.inputs()).checks[0].check
    assert check.verdict is Verdict.BORDERLINE
    assert check.notes == ("The tolerance is finer than this caliper can judge: no reading could be accepted.",)


def test_case_a04_end_and_side_taper_are_told_apart(job):
    """Near-left 0.0410, near-right 0.0430, far-left 0.0450, far-right 0.0430: end taper 0.0020, side taper 0."""
    job.board("A", "cherry", 2.0).layer("cherry", 0.043, tolerance=0.0015)
    for number in (1, 2, 3):
        job.slice(f"A-{number}", 0.043, near_left=0.0410, near_right=0.0430, far_left=0.0450, far_right=0.0430)
    results = compute(job.inputs())
    assert results.checks[0].check.verdict is Verdict.OUT
    assert inches(results.checks[0].check.shape.range_mm) == pytest.approx(0.0040, abs=1e-9)
    by_name = {form.name: form.mean for form in results.forms}
    assert inches(by_name["End taper"].mean) == pytest.approx(0.0020, abs=1e-9)
    assert by_name["End taper"].side == 1
    assert by_name["Side taper"].side == 0
    assert "Bow" not in by_name


def test_case_p05_a_barrel_cut_shows_in_the_middle_reading_alone(job):
    """Edges on target, middle 0.004 thin on every second slice and as much fat on its neighbour."""
    job.board("A", "cherry", 2.0).layer("cherry", 0.043, tolerance=0.0015)
    edges = {"near_left": 0.043, "near_right": 0.043, "far_left": 0.043, "far_right": 0.043}
    job.slice("A-1", 0.043, middle=0.039, **edges).slice("A-2", 0.043, middle=0.047, **edges)
    results = compute(job.inputs())
    assert [item.check.verdict for item in results.checks] == [Verdict.OUT, Verdict.OUT]
    assert [item.check.worst_at for item in results.checks] == ["middle", "middle"]
    assert [round(inches(item.check.shape.bow_mm), 4) for item in results.checks] == [-0.004, 0.004]
