"""Runs of slices: limits, rules, drift, split and capability, against published figures and sums shown by hand."""

import math
from importlib.resources import files

import pytest

from sheetkit.job.measure import Measure
from sheetkit.job.results import compute
from sheetkit.report.process import alarms, story
from sheetkit.report.thickness_check import tolerance_sentence

INCH = 25.4
FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
"""NIST/SEMATECH e-Handbook, section 6.3.2.2."""


def inches(length_mm):
    return length_mm / INCH


def one_run(job, readings, target, tolerance, set_to=None):
    job.board("A", "cherry", 40.0).layer("cherry", target, plies=4, tolerance=tolerance)
    for number, reading in enumerate(readings, start=1):
        job.slice(f"A-{number}", set_to or target, *(reading if isinstance(reading, tuple) else (reading,)))
    (run,) = compute(job.inputs()).runs
    return run


def test_the_handbooks_individuals_chart(job):
    """Mean 50.81, mean moving range 1.8778, limits 55.8041 and 45.8159 with d2 = 1.128;
    0.002 apart with d2 unrounded."""
    run = one_run(job, [value / 1000 for value in FLOW], 0.051, 0.010)
    assert 1000 * inches(run.chart.mean) == pytest.approx(50.81, abs=1e-4)
    assert 1000 * inches(run.chart.moving_range) == pytest.approx(1.8778, abs=1e-4)
    assert 1000 * inches(run.chart.upper) == pytest.approx(55.8041, abs=0.002)
    assert 1000 * inches(run.chart.lower) == pytest.approx(45.8159, abs=0.002)
    assert 1000 * inches(run.batch.sd_mm) == pytest.approx(2.03385, abs=1e-5)


def test_case_a06_the_run_drifts_and_slice_12_is_the_first_out(job):
    """0.0400 to 0.0410 in steps of 0.0002, upper limit 0.0420: slice 11 is on the limit, slice 12 beyond it."""
    run = one_run(job, [0.0400, 0.0402, 0.0404, 0.0406, 0.0408, 0.0410], 0.041, 0.001)
    assert inches(run.drift.slope) == pytest.approx(0.0002, abs=1e-9)
    assert run.drift.clear
    assert run.first_out == "A-12"


def test_the_first_slice_out_is_named_after_the_last_board(job):
    """The same run on two boards: A-1 to A-4, then B-1 and B-2; cut 12 is the sixth after B-2, so B-8."""
    job.board("A", "cherry", 4.0).board("B", "cherry", 4.0).layer("cherry", 0.041, tolerance=0.001)
    names = ("A-1", "A-2", "A-3", "A-4", "B-1", "B-2")
    for name, reading in zip(names, (0.0400, 0.0402, 0.0404, 0.0406, 0.0408, 0.0410), strict=True):
        job.slice(name, 0.040, reading)
    (run,) = compute(job.inputs()).runs
    assert run.orders == (1, 2, 3, 4, 5, 6)
    assert run.first_out == "B-8"


DRIFTING = (0.0400, 0.0402, 0.0404, 0.0406, 0.0408, 0.0410)
"""Upper limit 0.0420: slice 11 is on it, slice 12 beyond it."""


@pytest.mark.parametrize(("thickness", "first_out", "used_up"), [(1.33, "A-12", False), (1.32, "", True)])
def test_no_slice_is_foretold_that_the_board_cannot_give(job, thickness, first_out, used_up):
    """Each pass takes 0.040 and 0.050, 0.250 is held: 12 passes take 1.080 and 1.330, so that 1.320 gives 11."""
    job.board("A", "cherry", thickness).layer("cherry", 0.041, tolerance=0.001)
    for number, reading in enumerate(DRIFTING, start=1):
        job.slice(f"A-{number}", 0.040, reading)
    results = compute(job.inputs())
    assert (results.runs[0].first_out, results.runs[0].used_up) == (first_out, used_up)
    words = "A-12 would be the first out." if first_out else "first out, none before the board is used up."
    assert tolerance_sentence(results).endswith(f" cherry drifts: {words}")


def test_no_slice_is_foretold_that_is_sawn_already(job):
    """Slices 7 to 14 were sawn and not measured: 12 would have been the first out, 15 is the first to come."""
    job.board("A", "cherry", 9.0).layer("cherry", 0.041, tolerance=0.001)
    for number, reading in enumerate(DRIFTING, start=1):
        job.slice(f"A-{number}", 0.040, reading)
    for number in range(7, 15):
        job.slice(f"A-{number}", 0.040)
    (run,) = compute(job.inputs()).runs
    assert run.first_out == "A-15"


def test_only_the_blade_on_the_saw_is_foretold_and_named(job):
    job.board("A", "cherry", 9.0).layer("cherry", 0.041, tolerance=0.001)
    for number, reading in enumerate(DRIFTING, start=1):
        job.slice(f"A-{number}", 0.040, reading, blade="old")
    results = compute(job.inputs())
    assert "cherry (blade old) drifts: A-12 would be the first out." in tolerance_sentence(results)
    job.slice("A-7", 0.040, 0.041, blade="new")
    results = compute(job.inputs())
    assert [(run.blade, run.now, run.first_out) for run in results.runs] == [("old", False, ""), ("new", True, "")]
    assert "drifts" not in tolerance_sentence(results)
    assert alarms(results.runs, Measure("in")) == []
    assert "of the next slices" not in story(results.runs[0], Measure("in"))


def test_slices_that_were_not_measured_still_count_as_cuts(job):
    job.board("A", "cherry", 4.0).layer("cherry", 0.041, tolerance=0.001)
    for number, reading in ((1, 0.0400), (2, 0.0402), (4, 0.0406), (7, 0.0412)):
        job.slice(f"A-{number}", 0.040, reading)
    (run,) = compute(job.inputs()).runs
    assert run.orders == (1, 2, 4, 7)
    assert inches(run.drift.slope) == pytest.approx(0.0002, abs=1e-9)


def test_case_a16_worst_case_scatter_and_bias_of_36_layers(job):
    """36 layers, each within 0.002, mean 0.001 over: worst 0.072, statistical 0.012, bias 0.036."""
    job.board("A", "cherry", 40.0).layer("cherry", 0.040, plies=36, tolerance=0.002)
    for number, reading in enumerate((0.0408, 0.0410, 0.0412), start=1):
        job.slice(f"A-{number}", 0.040, reading)
    (run,) = compute(job.inputs()).runs
    assert run.layers == 36
    assert inches(run.batch.bias_over(run.layers)) == pytest.approx(0.036, abs=1e-9)
    assert inches(run.tolerance_mm * run.layers) == pytest.approx(0.072, abs=1e-9)
    assert inches(run.tolerance_mm * math.sqrt(run.layers)) == pytest.approx(0.012, abs=1e-9)


def test_the_layers_of_one_panel_not_of_all_its_copies_share_a_bias(job):
    job.panel("P", copies=3).board("A", "cherry", 40.0).layer("cherry", 0.040, plies=12, panel="P")
    job.slice("A-1", 0.040, 0.041)
    (run,) = compute(job.inputs()).runs
    assert run.layers == 12


def test_case_p13_mean_thinnest_range_and_sample_spread(job):
    """0.040, 0.041, 0.043: mean 0.124/3, thinnest 0.040, range 0.003, squares about the mean over n - 1."""
    run = one_run(job, (0.040, 0.041, 0.043), 0.041, 0.004)
    mean = 0.124 / 3
    spread = math.sqrt(sum((value - mean) ** 2 for value in (0.040, 0.041, 0.043)) / 2)
    assert inches(run.batch.mean_mm) == pytest.approx(mean, abs=1e-9)
    assert inches(run.batch.least_mm) == pytest.approx(0.040, abs=1e-9)
    assert inches(run.batch.range_mm) == pytest.approx(0.003, abs=1e-9)
    assert inches(run.batch.sd_mm) == pytest.approx(spread, abs=1e-9)


def test_a_published_data_set_splits_within_from_between(job):
    """NIST StRD SiRstv: 5 instruments read 5 times; F = 1.18046237440255."""
    text = files("scipy.stats.tests.data.nist_anova").joinpath("SiRstv.dat").read_text("utf-8").splitlines()
    pairs = [line.split() for line in text[60:] if len(line.split()) == 2]
    groups = {}
    for instrument, value in pairs:
        groups.setdefault(instrument, []).append(float(value) / 1000)
    run = one_run(job, [tuple(readings) for readings in groups.values()], 0.1962, 0.010)
    assert [len(item.readings_mm) for item in run.slices] == [5] * 5
    assert run.split.table.f_ratio == pytest.approx(1.18046237440255, rel=1e-8)
    assert 1000 * inches(run.split.table.residual_sd) == pytest.approx(0.104076068334656, rel=1e-8)


def test_capability_goes_by_the_slices_and_the_tolerance(job):
    """Ten slices 0.040 and 0.042 in turn, mean 0.041, n - 1 spread 0.001 sqrt(10/9), moving range 0.002 throughout:
    Pp = 0.003 / (3 x 0.0010541), Cp = 0.003 / (3 x 0.002 / 1.128379)."""
    run = one_run(job, [0.040, 0.042] * 5, 0.041, 0.003)
    assert run.capability.long.spread == pytest.approx(0.003 / (3 * 0.001 * math.sqrt(10 / 9)), rel=1e-9)
    assert run.capability.short.spread == pytest.approx(0.003 / (3 * 0.002 / (2 / math.sqrt(math.pi))), rel=1e-9)
    assert run.capability.ppk_lower < run.capability.long.worst


def test_the_tolerance_interval_uses_the_exact_factor(job):
    """ISO 16269-6:2014, Annex F: n = 10, 95 % at 95 %: 3.3935, rounded up."""
    run = one_run(job, [0.040, 0.042] * 5, 0.041, 0.003)
    assert run.interval.factor == pytest.approx(3.3935, abs=2e-4)
    assert inches(run.interval.upper) == pytest.approx(0.041 + 3.3934 * 0.001 * math.sqrt(10 / 9), abs=1e-6)


def test_few_slices_say_what_cannot_be_said_and_how_many_it_takes(job):
    run = one_run(job, (0.040, 0.041), 0.041, 0.002)
    assert run.capability is None
    assert run.interval is None
    assert [(one.what, one.more) for one in run.missing] == [
        ("how much the slices spread", 1),
        ("whether the run drifts", 3),
        ("whether the level has moved", 6),
        ("where the control limits settle", 18),
        ("whether the saw can hold the tolerance", 28),
    ]


def test_a_setting_changed_on_the_way_is_no_jump_of_the_saw(job):
    """Offset +0.003 throughout; the setting goes from 0.041 to 0.038: all slices are restated to 0.038."""
    job.board("A", "cherry", 4.0).layer("cherry", 0.041)
    for number, (set_to, reading) in enumerate(
        ((0.041, 0.0441), (0.041, 0.0439), (0.041, 0.0440), (0.038, 0.0411), (0.038, 0.0409), (0.038, 0.0410)), start=1
    ):
        job.slice(f"A-{number}", set_to, reading)
    (run,) = compute(job.inputs()).runs
    assert inches(run.set_mm) == pytest.approx(0.038)
    assert [round(inches(value), 4) for value in run.values_mm] == [0.0411, 0.0409, 0.0410, 0.0411, 0.0409, 0.0410]
    assert run.signals == ()


def test_a_slice_without_a_setting_is_named_where_the_setting_changed(job):
    job.board("A", "cherry", 4.0).layer("cherry", 0.041)
    job.slice("A-1", 0.041, 0.044).slice("A-2", None, 0.041).slice("A-3", 0.038, 0.041)
    (run,) = compute(job.inputs()).runs
    assert run.unset == ("A-2",)
    assert [item.row.slice for item in run.slices] == ["A-1", "A-3"]


def test_case_a12_a_pressed_stack_gives_no_spread(job):
    job.board("A", "cherry", 4.0).layer("cherry", 0.042)
    job.slice("A-1", 0.040, 0.842, pressed=20)
    results = compute(job.inputs())
    assert results.runs == []
    assert results.checks[0].check.shape.sd_mm is None
    job.slice("A-21", 0.040, 0.0421)
    (run,) = compute(job.inputs()).runs
    assert run.pressed == 20
    assert len(run.values_mm) == 1
    assert run.batch.sd_mm is None


def test_blades_make_runs_of_their_own(job):
    job.board("A", "cherry", 4.0).layer("cherry", 0.041)
    for number, (blade, reading) in enumerate((("old", 0.041), ("old", 0.042), ("new", 0.038)), start=1):
        job.slice(f"A-{number}", 0.040, reading, blade=blade)
    assert [(run.blade, len(run.slices)) for run in compute(job.inputs()).runs] == [("old", 2), ("new", 1)]


def test_a_slice_that_stands_apart_stays_in_the_figures_and_is_named(job):
    job.shop["caliper_mm"] = 0.0001 * INCH
    steady = (0.0430, 0.0432, 0.0429, 0.0431, 0.0430, 0.0428, 0.0431, 0.0429)
    run = one_run(job, (*steady, 0.0530), 0.043, 0.002)
    assert run.apart == ("A-9",)
    assert len(run.values_mm) == 9
    mean = sum(steady) / 8
    spread = math.sqrt(sum((value - mean) ** 2 for value in steady) / 7)
    assert inches(run.without_apart.long_sd) == pytest.approx(spread, rel=1e-9)


def test_eight_slices_on_one_side_are_named(job):
    """A level that moves up by 0.001 half-way: the mean lies between, and from the eighth slice on either side the rule
    holds (places 7 to 9 and 17 to 19, counted from 0)."""
    values = [0.040, 0.0401] * 5 + [0.041, 0.0411] * 5
    run = one_run(job, values, 0.0405, 0.002)
    rule = next(signal for signal in run.signals if "same side" in signal.rule)
    assert rule.places == (7, 8, 9, 17, 18, 19)
    assert run.drift.clear
