"""Plan, saw, measure, plan again: the loop on small jobs whose answers can be worked out by hand."""

import pytest

from sheetkit.errors import Harm
from sheetkit.job.results import compute
from sheetkit.trade.thickness import Verdict

INCH = 25.4


def inches(length_mm):
    return length_mm / INCH


def test_the_first_plan_rests_on_the_kerf_allowance(job):
    results = compute(job.board("A", "cherry", 1.0).layer("cherry", 0.040, plies=3).inputs())
    assert [item.slice_name for item in results.plan.passes] == ["A-1", "A-2", "A-3"]
    assert [round(inches(item.position_mm), 4) for item in results.plan.passes] == [0.090, 0.180, 0.270]
    assert [(item.turns, item.divisions) for item in results.plan.passes] == [(1, 40), (3, 30), (5, 20)]
    assert [round(inches(item.left_mm), 4) for item in results.plan.passes] == [0.660, 0.570, 0.480]


def test_common_practice_readings_teach_the_kerf_and_the_next_setting(job):
    """Common practice, no source: 0.050 dialled as kerf; 0.010, 0.005 and 0.020 more give 0.012-0.014,
    0.0055-0.007 and 0.020-0.023; slices of a batch agree within about 0.001."""
    job.board("H", "holly", 1.2).board("W", "wenge", 1.2)
    job.layer("holly", 0.010, plies=20).layer("wenge", 0.020, plies=20)
    for number, reading in enumerate((0.0125, 0.0130, 0.0135, 0.0128, 0.0132), start=1):
        job.slice(f"H-{number}", 0.010, reading)
    for number, reading in enumerate((0.0210, 0.0215, 0.0220, 0.0212, 0.0218), start=1):
        job.slice(f"W-{number}", 0.020, reading)
    results = compute(job.inputs())
    holly, wenge = results.learned.of("holly"), results.learned.of("wenge")
    assert 0.047 <= inches(holly.kerf_mm) <= 0.050
    assert 0.047 <= inches(wenge.kerf_mm) <= 0.050
    assert inches(holly.offset_mm) - inches(wenge.offset_mm) > 0.0008
    for item in results.plan.passes:
        assert abs(inches(item.expected_mm) - inches(item.need.sawn_mm)) <= 0.001


def test_very_thin_slices_of_common_practice(job):
    """Common practice, no source: 0.005 more than one turn gives 0.0055 to 0.007."""
    job.board("H", "holly", 1.2).layer("holly", 0.006, plies=10)
    for number, reading in enumerate((0.0055, 0.006, 0.0065, 0.007), start=1):
        job.slice(f"H-{number}", 0.005, reading)
    results = compute(job.inputs())
    assert 0.047 <= inches(results.learned.of("holly").kerf_mm) <= 0.050
    thin = [problem for problem in results.problems if problem.harm is Harm.DOUBTFUL]
    assert "thinnest slice worth keeping" in thin[0].wanted


def test_what_is_left_follows_from_the_advances_whatever_came_off(job):
    job.board("A", "cherry", 1.0).layer("cherry", 0.040, plies=6)
    job.slice("A-1", 0.040, 0.043).slice("A-2", 0.040, 0.020)
    state = compute(job.inputs()).states["A"]
    assert inches(state.position_mm) == pytest.approx(0.180, abs=1e-9)
    assert inches(state.usable_mm) == pytest.approx(1.0 - 0.250 - 0.180, abs=1e-9)


def test_case_a11_numbers_are_never_used_again(job):
    job.board("MAP-03", "maple", 3.0).layer("maple", 0.040, plies=12)
    for number in range(1, 10):
        job.slice(f"MAP-03-{number}", 0.040, 0.040, use=number != 4)
    results = compute(job.inputs())
    assert results.plan.passes[0].slice_name == "MAP-03-10"
    assert sum(need.have for need in results.needs) == 8


def test_good_slices_are_not_sawn_again_and_bad_ones_are(job):
    job.board("A", "cherry", 2.0).layer("cherry", 0.040, plies=4)
    job.slice("A-1", 0.040, 0.040).slice("A-2", 0.040, 0.0405).slice("A-3", 0.040, 0.050)
    results = compute(job.inputs())
    assert [item.check.verdict for item in results.checks] == [Verdict.IN, Verdict.IN, Verdict.OUT]
    assert results.needs[0].have == 2
    assert len(results.plan.passes) == 2


def test_a_slice_is_judged_by_its_worst_reading_not_by_its_mean(job):
    """Case A04: mean 0.0430 on target, but 0.0410 and 0.0450 are out of +-0.0015."""
    job.board("A", "cherry", 2.0).layer("cherry", 0.043, tolerance=0.0015)
    job.slice("A-1", 0.043, 0.0410, 0.0430, 0.0450, 0.0430)
    check = compute(job.inputs()).checks[0].check
    assert inches(check.shape.mean_mm) == pytest.approx(0.0430, abs=1e-9)
    assert check.verdict is Verdict.OUT


def test_sanding_belongs_to_the_sawn_target(job):
    """Case A07: 1.250 usable, finished 0.040, 0.006 off each face, kerf 0.040: saw at 0.052, 13 strips."""
    job.shop.update(held_mm=0.0, sanding_mm=0.006 * INCH, kerf_allowance_mm=0.040 * INCH)
    results = compute(job.board("A", "cherry", 1.25).layer("cherry", 0.040, plies=20).inputs())
    assert inches(results.needs[0].sawn_mm) == pytest.approx(0.052, abs=1e-9)
    assert len(results.plan.passes) == 13


def test_short_stock_says_how_much_and_what_to_buy(job):
    job.board("A", "cherry", 0.5).layer("cherry", 0.050, plies=4)
    results = compute(job.inputs())
    assert len(results.plan.passes) == 2
    stop = results.stopped[0]
    assert stop.wanted == "stock for 2 more"
    assert "buy one more cherry board at least 0.450 in thick" in stop.fix
    assert stop.sheet == "Targets"


def test_a_board_too_short_for_the_panel_gives_nothing(job):
    """Case A09: finished 18, trim 3 each end: a 23-1/2 board is short by 1/2."""
    job.job["end_trim_mm"] = 3 * INCH
    job.panel("P", length=18, width=2).board("A", "cherry", 1.0, length=23.5, width=3)
    results = compute(job.layer("cherry", 0.040).inputs())
    assert not results.plan.passes
    assert results.plan.cuts.shortages[0].too_small
    note = next(problem for problem in results.problems if problem.sheet == "Stock")
    assert "0.500 in" in note.found or "0.500 in" in note.wanted or "0.500 in" in note.fix


def test_case_a17_spares_are_rounded_up_for_each_kind_on_its_own(job):
    job.job["spares_pct"] = 10.0
    job.board("A", "holly", 9.0).board("B", "wenge", 9.0).panel("P", repeats=20)
    job.layer("holly", 0.040).layer("wenge", 0.040)
    job.panels[0] = job.panels[0]
    needs = {need.species: need for need in compute(job.inputs()).needs}
    assert needs["wenge"].layers == 20
    assert needs["wenge"].to_saw == 22


def test_case_a15_glue_lines_add_up(job):
    """41 layers of 0.040 with lines of 0.003 are 1.760 thick, 1.640 without lines."""
    results = compute(job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=41).inputs())
    estimate = results.stacks[0].estimate
    assert inches(estimate.planned_mm) == pytest.approx(1.760, abs=1e-9)
    assert inches(estimate.planned_mm - estimate.glue_mm) == pytest.approx(1.640, abs=1e-9)


def test_a_reading_that_stands_apart_is_named_and_left_out_of_the_offset(job):
    job.board("A", "cherry", 4.0).layer("cherry", 0.040, plies=20)
    for number, reading in enumerate((0.0430, 0.0432, 0.0429, 0.0431, 0.0430, 0.0428), start=1):
        job.slice(f"A-{number}", 0.040, reading)
    job.slice("A-7", 0.040, 0.0730)
    results = compute(job.inputs())
    assert [item.row.slice for item, _ in results.learned.apart] == ["A-7"]
    assert inches(results.learned.of("cherry").offset_mm) == pytest.approx(0.003, abs=0.0003)
    assert any("slice A-7" in problem.found for problem in results.problems)


def test_a_pressed_stack_counts_as_many_slices_with_their_mean(job):
    """Case A12: 20 strips pressed together read 0.842, so their mean is 0.0421."""
    job.board("A", "cherry", 4.0).layer("cherry", 0.042, plies=30)
    job.slice("A-1", 0.040, 0.842, pressed=20)
    results = compute(job.inputs())
    assert inches(results.checks[0].check.shape.mean_mm) == pytest.approx(0.0421, abs=1e-9)
    assert results.states["A"].sawn == 20
    assert results.needs[0].have == 20


def test_nothing_at_all_is_no_error(job):
    results = compute(job.inputs())
    assert results.plan.passes == ()
    assert results.problems == []
