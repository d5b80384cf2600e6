"""Panels whose slices serve one another have their spares together, and are served one after the other."""

from collections import Counter
from dataclasses import replace

import pytest
from scipy.stats import binom

from sheetkit.errors import Harm
from sheetkit.job.pools import pools_of
from sheetkit.job.results import compute
from sheetkit.job.spares import decide_spares


def two_panels(job, first=2, second=2, thickness=9.0, **board):
    """Layers of 0.040 for panels P and Q, one kind of wood; a pass takes 0.040 and 0.050."""
    job.board("A", "cherry", thickness, **board)
    job.layer("cherry", 0.040, plies=first, tolerance=0.002, panel="P")
    return job.layer("cherry", 0.040, plies=second, tolerance=0.002, panel="Q")


def spares(results):
    return [need.spares for need in results.needs]


def test_a_share_on_top_is_rounded_up_once_for_both(job):
    """A tenth of 4 + 4 is 0.8: one slice, not one for each."""
    job.job["spares_pct"] = 10.0
    results = compute(two_panels(job, 4, 4).inputs())
    assert spares(results) == [1, 0]
    assert len(results.plan.passes) == 9
    assert [need.spares_why for need in results.needs] == [
        "for panels P and Q together, 8 needed and 10 % on top",
        "reckoned together with those of panel P",
    ]


def test_the_risk_is_that_of_one_binomial_over_what_both_need(job):
    """Nine in ten good: of n sawn for 20 + 20 fewer than 40 are good with sum C(n, k) 0.9**k 0.1**(n - k) over k < 40,
    which is 0.093 for 47 and 0.046 for 48. Two panels of 20 on their own, each with half of the risk, take 26 each:
    0.033 for 25, 0.012 for 26."""
    job.job["risk_pct"] = 5.0
    results = compute(two_panels(job, 20, 20, thickness=40.0).inputs())
    settings = {key: replace(setting, chance=0.9) for key, setting in results.plan.settings.items()}
    pools = pools_of(results.needs, results.layers, job.inputs())
    decide_spares(pools, settings, [], results.learned, job.inputs())
    together = next(n for n in range(40, 80) if binom.cdf(39, n, 0.9) <= 0.05)
    apart = next(n for n in range(20, 60) if binom.cdf(19, n, 0.9) <= 0.025)
    assert (together, apart) == (48, 26)
    assert sum(spares(results)) == together - 40
    assert spares(results) == [4, 4]
    assert results.needs[0].spares_why == (
        "for panels P and Q together, 40 needed and 10.0 % expected out of tolerance; the chance of running short is "
        "4.63 %, at most 5 % asked"
    )


def test_many_panels_are_not_all_named(job):
    job.board("A", "cherry", 9.0)
    for panel in "PQRSTU":
        job.layer("cherry", 0.040, tolerance=0.002, panel=panel)
    assert compute(job.inputs()).needs[0].spares_why == (
        "for panels P, Q, R and 3 more together, 6 needed and 0 % on top"
    )


def other_tolerance(job):
    job.layer("cherry", 0.040, plies=2, tolerance=0.003, panel="R")


def other_thickness(job):
    job.layer("cherry", 0.041, plies=2, tolerance=0.002, panel="R")


def larger_panel(job):
    """A slice of A gives two layers of a panel of 10, one of R."""
    job.panel("P", length=10.0, width=2.0).panel("Q", length=10.0, width=2.0).panel("R", length=20.0, width=2.0)
    job.layer("cherry", 0.040, plies=2, tolerance=0.002, panel="R")


@pytest.mark.parametrize("add", [other_tolerance, other_thickness, larger_panel])
def test_slices_that_do_not_serve_both_have_spares_of_their_own(job, add):
    job.job["spares_pct"] = 10.0
    add(two_panels(job, length=21.0, width=3.0))
    assert spares(compute(job.inputs())) == [1, 0, 1]


@pytest.mark.parametrize("wish", ["one_board", "pairs"])
def test_slices_that_must_stay_together_have_spares_of_their_own(job, wish):
    job.job |= {"spares_pct": 10.0, wish: True}
    assert spares(compute(two_panels(job).inputs())) == [1, 1]


def test_panels_are_served_one_after_the_other_and_spares_last(job):
    job.job["spares_pct"] = 25.0
    passes = compute(two_panels(job, 3, 3).inputs()).plan.passes
    assert [planned.need.panel for planned in passes] == ["P"] * 3 + ["Q"] * 3 + ["P", "Q"]


def test_stock_that_lacks_the_spares_alone_does_not_stop_the_job(job):
    """0.250 held and 8 passes of 0.090 are 0.970: 8 layers, and the spare is short."""
    job.job["spares_pct"] = 10.0
    results = compute(two_panels(job, 4, 4, thickness=0.98).inputs())
    made = results.plan.cuts.made
    assert [made[need.key] for need in results.needs] == [4, 4]
    assert [(problem.harm, problem.found) for problem in results.shortages] == [
        (
            Harm.DOUBTFUL,
            "stock for 4 of the 5 cherry layers of 0.0400 in still to be sawn for panel P, spares included",
        )
    ]
    assert results.short == []


def test_what_the_stock_lacks_is_told_of_the_panel_that_goes_without(job):
    """Room for 7 passes of 0.090: P has its 4 layers, Q 3 of 4."""
    results = compute(two_panels(job, 4, 4, thickness=0.90).inputs())
    assert [problem.found for problem in results.shortages] == [
        "stock for 3 of the 4 cherry layers of 0.0400 in still to be sawn for panel Q, spares included"
    ]
    assert [need.panel for need in results.short] == ["Q"]


def test_boards_that_give_unlike_numbers_of_layers_leave_nobody_short(job):
    """A is long enough for two layers a slice, B for one; each panel takes a slice of each board."""
    job.panel("P", length=10.0, width=2.0).panel("Q", length=10.0, width=2.0)
    two_panels(job, 3, 3, thickness=0.25 + 0.2, length=21.0, width=3.0)
    job.board("B", "cherry", 0.25 + 0.2, length=11.0, width=3.0)
    results = compute(job.inputs())
    made = Counter()
    for planned in results.plan.passes:
        made[planned.need.panel] += planned.layers
    assert (made, results.shortages) == ({"P": 3, "Q": 3}, [])


def test_spares_go_to_the_panels_that_still_lack_layers(job):
    """P has its 2 layers, Q lacks both; the record is 2 good ones. Of n sawn for 2, with 11 good and 1 bad: both of 2
    are good with 11/12 * 12/13 = 0.846, at most one of 3 with 1/12 * 2/13 * 3/14 + 3 * 11/12 * 1/13 * 2/14 = 0.033."""
    job.job["risk_pct"] = 5.0
    good_slices(two_panels(job), 2)
    results = compute(job.inputs())
    assert [(need.have, need.spares) for need in results.needs] == [(2, 0), (0, 1)]


def good_slices(job, count):
    for number in range(1, count + 1):
        job.slice(f"A-{number}", 0.040, 0.040)


def test_good_slices_beyond_the_layers_are_the_spares_of_all(job):
    job.job["spares_pct"] = 10.0
    good_slices(two_panels(job, 5, 5), 11)
    results = compute(job.inputs())
    assert [(need.have, need.to_saw) for need in results.needs] == [(6, 0), (5, 0)]
    assert results.plan.passes == ()


def test_good_slices_beyond_the_spares_of_one_panel_are_spares_of_another(job):
    """Two pools, since the tolerances differ: 5 and a spare each, and 12 good slices."""
    job.job["spares_pct"] = 10.0
    job.board("A", "cherry", 9.0).layer("cherry", 0.040, plies=5, tolerance=0.002, panel="P")
    good_slices(job.layer("cherry", 0.040, plies=5, tolerance=0.003, panel="Q"), 12)
    results = compute(job.inputs())
    assert [(need.have, need.to_saw) for need in results.needs] == [(6, 0), (6, 0)]


@pytest.mark.parametrize("tighter", ["P", "Q"])
def test_a_slice_counts_for_no_panel_whose_tolerance_it_misses(job, tighter):
    """Two layers of 0.040 each; A-1 to A-4 measure 0.044, which is good at ±0.005 and not at ±0.002."""
    job.board("A", "cherry", 9.0)
    for panel in "PQ":
        job.layer("cherry", 0.040, plies=2, tolerance=0.002 if panel == tighter else 0.005, panel=panel)
    for number in range(1, 5):
        job.slice(f"A-{number}", 0.040, 0.044)
    results = compute(job.inputs())
    have = {need.panel: (need.have, need.to_saw) for need in results.needs}
    assert have == {tighter: (0, 2), "PQ".replace(tighter, ""): (4, 0)}
    assert [item.serves for item in results.checks] == [True] * 4
    assert len(results.plan.passes) == 2


@pytest.mark.parametrize("tighter", ["P", "Q"])
def test_good_slices_go_where_no_others_do(job, tighter):
    """Four slices within ±0.002 and two that are only within ±0.005: each panel has three layers, and all six serve."""
    job.board("A", "cherry", 9.0)
    for panel in "PQ":
        job.layer("cherry", 0.040, plies=3, tolerance=0.002 if panel == tighter else 0.005, panel=panel)
    for number, reading in enumerate((0.040, 0.044, 0.040, 0.040, 0.044, 0.040), 1):
        job.slice(f"A-{number}", 0.040, reading)
    results = compute(job.inputs())
    assert {need.panel: need.have for need in results.needs} == {"P": 3, "Q": 3}
    of_tighter = next(need for need in results.needs if need.panel == tighter)
    assert [item.row.slice for item, _ in of_tighter.slices] == ["A-1", "A-3", "A-4"]
    assert results.plan.passes == ()
