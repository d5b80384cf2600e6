"""What panels cost, on sums shown by hand."""

import pytest

from sheetkit.job.results import compute

PRICES = {
    "labour_rate": 30.0, "setup_s": 45 * 60.0, "pass_s": 120.0, "feed_mm_s": 5 * 304.8 / 60, "panel_work_s": 1800.0,
    "glue_price": 18.5, "glue_bottle_ml": 473.0, "blade_price": 28.0, "blade_life_s": 6 * 3600.0, "overhead_pct": 10.0,
}  # fmt: skip


@pytest.fixture
def small(job):
    """One board of 18 x 3 x 1 in for five layers of 0.040 in; every pass uses up 0.090 in, and 0.250 in are held."""
    job.board("A", "cherry", 1.0, length=18, width=3, price=20.0)
    job.panel("P", length=18, width=3).layer("cherry", 0.040, plies=5, panel="P")
    return job


def panel_of(job, index=0):
    return compute(job.inputs()).costing.panels[index]


def test_a_board_is_charged_by_what_is_used_up_of_it_held_wood_included(small):
    """5 * 0.090 + 0.250 of 1 in: 0.70 of 20.00."""
    assert panel_of(small).wood == pytest.approx(14.0)


def test_whole_boards_are_charged_where_the_job_asks_so(small):
    small.job["whole_boards"] = True
    assert panel_of(small).wood == pytest.approx(20.0)


def test_a_board_without_a_price_is_paid_by_its_nominal_board_feet(job):
    """18 * 3 * 1.25 / 144 = 0.46875 board feet at 16.00 are 7.50; 0.70 of it is 5.25."""
    job.board("A", "cherry", 1.0, length=18, width=3, nominal_mm=1.25 * 25.4).own("cherry", price_per_board_foot=16.0)
    job.panel("P", length=18, width=3).layer("cherry", 0.040, plies=5, panel="P")
    assert panel_of(job).wood == pytest.approx(5.25)


def test_time_is_what_the_saw_the_hands_and_the_glue_take(small):
    """Five slices and the truing pass: 6 * 1.5 ft at 5 ft/min are 1.8 min, 6 * 2 min beside it; 4 lines of 20 s and
    60 s to close are 140 s; waiting in the clamps for an hour is no work."""
    small.shop |= PRICES
    time = panel_of(small).time
    assert time.passes == 6
    assert time.cutting_s == pytest.approx(1.8 * 60)
    assert (time.handling_s, time.setup_s, time.other_s) == (720.0, 2700.0, 1800.0)
    assert time.gluing_s == pytest.approx(140.0)
    assert time.working_s == pytest.approx(108 + 720 + 2700 + 140 + 1800)
    assert time.clamped_s == pytest.approx(3600.0)


def test_everything_with_a_price_comes_together(small):
    """Work 5468 s at 30 an hour; blade 108 s of 6 h at 28; glue 18 * 3 in, 220 g/m2, 4 lines, a tenth left over,
    1.1 g/mL, at 18.50 for 473 mL; a tenth on top."""
    small.shop |= PRICES
    found = panel_of(small)
    glue_g = 18 * 3 * 0.0254**2 * 220 * 4 / 0.9
    assert found.work == pytest.approx(5468 / 3600 * 30)
    assert found.blade == pytest.approx(108 / 21600 * 28)
    assert found.glue == pytest.approx(glue_g / 1.1 / 473 * 18.5)
    direct = 14.0 + 5468 / 120 + 0.14 + glue_g / 1.1 / 473 * 18.5
    assert found.overhead == pytest.approx(direct * 0.1)
    assert found.cost == pytest.approx(direct * 1.1)


def test_lost_panels_are_divided_and_the_margin_is_a_share_of_the_price(small):
    small.job |= {"lost_pct": 25.0, "margin_pct": 30.0}
    found = panel_of(small)
    assert found.good == pytest.approx(14.0 / 0.75)
    assert found.price == pytest.approx(14.0 / 0.75 / 0.70)


def test_set_up_is_shared_out_over_the_copies_of_all_panels(small):
    """45 min over three panels."""
    small.shop |= PRICES
    small.board("B", "cherry", 1.0, length=18, width=3, price=20.0)
    small.panel("Q", length=18, width=3, copies=2).layer("cherry", 0.040, plies=2, panel="Q")
    assert panel_of(small).time.setup_s == pytest.approx(900.0)
    assert panel_of(small, 1).time.setup_s == pytest.approx(1800.0)


def test_panels_share_a_board_by_the_advances_of_their_passes(job):
    """5 * 0.090 for P and 2 * 0.070 for Q on one board: 0.59 + 0.25 of 1 in is used up, shared 45 to 14."""
    job.board("A", "cherry", 1.0, length=18, width=3, price=20.0)
    job.panel("P", length=18, width=3).layer("cherry", 0.040, plies=5, panel="P")
    job.panel("Q", length=18, width=3).layer("cherry", 0.020, plies=2, panel="Q")
    first, second = compute(job.inputs()).costing.panels
    assert first.wood == pytest.approx(20 * 0.84 * 45 / 59)
    assert second.wood == pytest.approx(20 * 0.84 * 14 / 59)


def test_a_slice_pays_for_its_kerf(small):
    """0.090 of 1 in at 20.00."""
    (item,) = compute(small.inputs()).costing.slices
    assert item.money == pytest.approx(1.8)


def test_slices_sawn_and_spoilt_are_paid_for_as_well(small):
    """Two sawn too thick for any layer, five still to saw: 7 * 0.090 + 0.250 of 1 in."""
    small.slice("A-1", 0.040, 0.060).slice("A-2", 0.040, 0.060)
    small.shop["kerf_allowance_mm"] = 0.050 * 25.4
    found = compute(small.inputs())
    used = 0.25 + sum(found.states["A"].advances_mm) / 25.4 + sum(p.advance_mm for p in found.plan.passes) / 25.4
    assert len(found.plan.passes) == 5
    assert found.costing.panels[0].wood == pytest.approx(20 * used)


def test_waste_is_what_is_charged_and_not_in_the_panel(small):
    """0.70 in charged, 5 * 0.040 = 0.20 in in the panel, same face."""
    (balance,) = compute(small.inputs()).costing.balances
    assert balance.net_mm3 / balance.used_mm3 == pytest.approx(0.20 / 0.70)


def test_what_has_no_price_is_left_out_and_said(job):
    job.board("A", "cherry", 1.0, length=18, width=3)
    job.panel("P", length=18, width=3).layer("cherry", 0.040, plies=5, panel="P")
    costing = compute(job.inputs()).costing
    assert costing.panels[0].cost is None
    assert costing.not_costed == (
        "wood of A (Price on Stock for the board, or Price on Species for a board foot)",
        "glue (Glue price and Glue in a bottle on Shop)",
        "blade (Blade price and Blade life and Feed speed on Shop)",
        "work (Labour rate on Shop)",
        "time in the cut (Feed speed on Shop)",
        "time at the saw besides (Time per pass on Shop)",
        "measuring (Time to measure a slice on Shop)",
        "set-up (Set-up time on Shop)",
        "all other work (Work per panel on Shop)",
        "overhead (Overhead on Shop)",
    )


def test_a_board_foot_price_needs_the_boards_size(job):
    job.board("A", "cherry", 1.0).own("cherry", price_per_board_foot=16.0)
    job.layer("cherry", 0.040, plies=5)
    first = compute(job.inputs()).costing.not_costed[0]
    assert first == "wood of A (Length and Width on Stock, since it is priced by the board foot)"


def test_a_job_without_panels_costs_nothing_and_breaks_nothing(job):
    costing = compute(job.board("A", "cherry", 1.0).inputs()).costing
    assert (costing.panels, costing.charges) == ((), ())


def test_no_copies_no_cost_each(small):
    small.panels[0] = type(small.panels[0])(
        **{name: getattr(small.panels[0], name) for name in small.panels[0].__dataclass_fields__} | {"copies": 0}
    )
    found = panel_of(small)
    assert found.each is None
