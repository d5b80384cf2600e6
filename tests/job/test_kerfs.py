"""True kerf by two ways, and a long run whose drift the offsets follow."""

import pytest

from sheetkit.errors import Harm
from sheetkit.job.results import compute

INCH = 25.4
STRIPS = (0.0410, 0.0412, 0.0414, 0.0411, 0.0413, 0.0412, 0.0410, 0.0414, 0.0412, 0.0412)
"""Ten strips, 0.412 in all (case A03)."""


def inches(length_mm):
    return length_mm / INCH


def block(job, now, set_to=0.042, allowance=0.036, strips=STRIPS):
    job.shop["kerf_allowance_mm"] = allowance * INCH
    job.board("A", "cherry", 1.482, now_mm=now and now * INCH).layer("cherry", 0.0412, tolerance=0.002)
    for number, strip in enumerate(strips, start=1):
        job.slice(f"A-{number}", set_to, strip)
    return compute(job.inputs())


def test_case_a03_the_block_before_and_after_gives_the_kerf(job):
    """(1.482 - 0.702 - 0.412) / 10 = 0.0368; the fence moved 0.078 each time, 0.780 in all: the two agree."""
    results = block(job, now=0.702)
    (kerf,) = results.kerfs
    assert inches(kerf.by_block.kerf_mm) == pytest.approx(0.0368, abs=1e-9)
    assert inches(kerf.by_advances.kerf_mm) == pytest.approx(0.0368, abs=1e-9)
    assert kerf.comparison.agree
    assert not any("lost" in problem.found for problem in results.problems)


def test_a_fence_that_does_not_move_as_dialled_is_found_at_the_cell(job):
    """0.800 lost where 0.780 was dialled: 0.020 more over 10 cuts."""
    results = block(job, now=0.682)
    (kerf,) = results.kerfs
    assert inches(kerf.unexplained_mm) == pytest.approx(0.020, abs=1e-9)
    (problem,) = [one for one in results.problems if "lost" in one.found]
    assert problem.found == "board A, which lost 0.0200 in more over 10 cuts than the dial was turned"
    assert (problem.sheet, problem.harm) == ("Stock", Harm.DOUBTFUL)


def test_the_truing_pass_is_taken_off_first(job):
    job.shop["truing_mm"] = 0.050 * INCH
    (kerf,) = block(job, now=0.652).kerfs
    assert inches(kerf.by_block.kerf_mm) == pytest.approx(0.0368, abs=1e-9)


def test_a_gap_in_the_numbers_leaves_the_block_unused(job):
    job.slice("A-12", 0.042, 0.0412)
    results = block(job, now=0.702)
    (kerf,) = results.kerfs
    assert kerf.by_block is None
    assert kerf.gap == "its slices' numbers leave gaps, so some cuts are not on Measurements"
    assert [one.harm for one in results.problems if "cannot be used" in one.found] == [Harm.NOTED]


def test_a_slice_without_a_reading_leaves_the_block_unused(job):
    results = block(job.slice("A-11", 0.042), now=0.624)
    assert results.kerfs[0].gap == "1 of its slices lacks a setting or a reading"


def test_boards_without_a_thickness_now_have_the_kerf_by_dial_alone(job):
    (kerf,) = block(job, now=None).kerfs
    assert (kerf.by_block, kerf.comparison, kerf.gap) == (None, None, "")


def long_run(job, slices, drift):
    """An offset of 0.002, rising by `drift` a cut, with a scatter of +-0.0001 in turn."""
    job.board("A", "cherry", 40.0).layer("cherry", 0.042, plies=4)
    for cut in range(slices):
        job.slice(f"A-{cut + 1}", 0.040, 0.042 + drift * cut + (0.0001 if cut % 2 else -0.0001))
    return compute(job.inputs()).learned


def test_a_long_clear_drift_is_followed_to_the_next_cut(job):
    """40 cuts at +0.0001 each: the plain mean lags at 0.002 + 19.5 x 0.0001, the next cut stands at 0.002 + 0.004."""
    learned = long_run(job, 40, 0.0001)
    assert learned.followed
    assert inches(learned.offsets.drift_mm) == pytest.approx(0.0001, rel=0.02)
    estimate = learned.of("cherry")
    assert inches(estimate.raw_mean_mm) == pytest.approx(0.00395, abs=1e-6)
    assert inches(estimate.offset_mm) == pytest.approx(0.0060, abs=0.0001)


def test_a_short_drift_is_not_followed(job):
    learned = long_run(job, 29, 0.0001)
    assert learned.run is None
    assert not learned.followed
    assert inches(learned.of("cherry").offset_mm) == pytest.approx(0.002 + 14 * 0.0001, abs=2e-5)


def test_a_long_steady_run_is_not_followed(job):
    learned = long_run(job, 40, 0.0)
    assert learned.run.slices == 40
    assert not learned.followed
    assert learned.offsets.drift_mm is None


def test_a_setting_changed_within_a_drifting_run_is_not_taken_for_a_slope(job):
    """Settings 0.040 and 0.038 in blocks over a drift of 0.0001: the slices follow the dial one for one."""
    job.board("A", "cherry", 40.0).layer("cherry", 0.042, plies=4)
    for cut in range(45):
        set_to = (0.040, 0.038, 0.039)[cut // 15]
        job.slice(f"A-{cut + 1}", set_to, set_to + 0.002 + 0.0001 * cut + (0.0001 if cut % 2 else -0.0001))
    learned = compute(job.inputs()).learned
    assert learned.followed
    assert learned.offsets.slope.slope == pytest.approx(1.0, abs=0.1)
    assert not learned.offsets.slope.use_line
