"""What pieces cost, on sums shown by hand, and worked cases from the trade asked of the whole engine."""

import pytest

from sheetkit.job.results import compute


@pytest.fixture
def block(job):
    """One layer 0.75 in thick, 12 in long and 4 in wide: three blanks 4 in long side by side, four deep, no kerf."""
    job.board("A", "cherry", 1.5, length=12, width=4, price=30.0)
    job.panel("P", length=12, width=4).layer("cherry", 0.75, panel="P")
    job.shop |= {"blank_kerf_mm": 0.0, "blank_trim_mm": 0.0}
    return job


def costs(job):
    return compute(job.inputs()).costing


def test_a_handle_carries_one_blanks_share_of_its_panel_with_what_is_left_between(block):
    """Of 1.5 in 0.80 + 0.25 are used up, so the panel costs 21.00; twelve blanks come out of it."""
    block.handle("Peg", 4, 1, 0.75, panel="P", quantity=5)
    (piece,) = costs(block).pieces
    assert compute(block.inputs()).pieces.handles[0].blanks.count == 12
    assert piece.share == pytest.approx(1 / 12)
    assert piece.each == pytest.approx(21.0 / 12)


def test_waste_of_the_panel_is_in_the_price_of_its_blanks(block):
    """Pegs 5 in long: two side by side, four deep, and the last 2 in of the panel are left: still 21.00, over eight."""
    block.handle("Peg", 5, 1, 0.75, panel="P", quantity=5)
    assert costs(block).pieces[0].from_panel == pytest.approx(21.0 / 8)


def test_a_piece_has_work_material_and_overhead_of_its_own(block):
    """Half an hour at 24 and 1.50 of finish, a tenth on top of both; the panel's overhead is on the panel: 2.10."""
    block.handle("Peg", 4, 1, 0.75, panel="P", quantity=5)
    block.shop |= {"labour_rate": 24.0, "piece_work_s": 1800.0, "piece_material": 1.5, "overhead_pct": 10.0}
    (piece,) = costs(block).pieces
    assert (piece.work, piece.material, piece.overhead) == pytest.approx((12.0, 1.5, 1.35))
    assert piece.from_panel == pytest.approx(21.0 * 1.1 / 12)
    assert piece.each == pytest.approx(21.0 * 1.1 / 12 + 12.0 + 1.5 + 1.35)


def test_pieces_lost_are_divided_and_more_are_started(block):
    """Case P56: a quarter lost. 60 min an attempt are 80 min a good one, not 75; for six good ones eight are started.
    Case P57: a margin of 30 % on the cost."""
    block.handle("Peg", 4, 1, 0.75, panel="P", quantity=6)
    block.shop |= {"piece_work_s": 3600.0}
    block.job |= {"pieces_lost_pct": 25.0, "margin_pct": 30.0}
    (piece,) = costs(block).pieces
    assert piece.good_s == pytest.approx(80 * 60)
    assert piece.to_start == 8
    assert piece.good == pytest.approx(21.0 / 12 / 0.75)
    assert piece.price == pytest.approx(21.0 / 12 / 0.75 / 0.70)


def test_set_up_is_shared_out_over_the_panels(block):
    """Case P56: 45 min of set-up over six panels of 25 min each: 32.5 min."""
    block.panels[0] = type(block.panels[0])(
        **{name: getattr(block.panels[0], name) for name in type(block.panels[0]).__dataclass_fields__} | {"copies": 6}
    )
    for name in "BCDEF":
        block.board(name, "cherry", 1.5, length=12, width=4, price=30.0)
    block.shop |= {"setup_s": 45 * 60.0, "panel_work_s": 25 * 60.0}
    assert costs(block).panels[0].good_s == pytest.approx(32.5 * 60)


def test_nominal_stock_is_paid_by_its_nominal_and_sawn_by_its_measured_thickness(job):
    """Case P52: 5/4 x 7-1/2 in x 6 ft, measured 1.0 in: 4.6875 board feet to pay; 0.75 in of it can be sawn."""
    job.board("A", "cherry", 1.0, length=72, width=7.5, nominal_mm=1.25 * 25.4).own("cherry", price_per_board_foot=8.0)
    job.panel("P", length=72, width=7.5).layer("cherry", 0.040, plies=3, panel="P")
    found = compute(job.inputs())
    (charge,) = found.costing.charges
    assert charge.price.feet == pytest.approx(4.6875)
    assert charge.price.money == pytest.approx(37.5)
    assert found.states["A"].first_usable_mm == pytest.approx(0.75 * 25.4)


def test_waste_is_a_share_of_what_is_bought(job):
    """Case P53: 6 in of layers out of 8 in used up: a quarter is lost, and 1 asks for 1 / 0.75."""
    job.board("A", "cherry", 9.0, length=12, width=4, price=30.0)
    job.shop |= {"kerf_allowance_mm": 0.75 * 25.4, "held_mm": 0.5 * 25.4, "dial_turn_mm": 25.4}
    job.panel("P", length=12, width=4).layer("cherry", 3.0, plies=2, panel="P")
    (balance,) = costs(job).balances
    assert balance.net_mm3 / balance.used_mm3 == pytest.approx(6.0 / 8.0)


@pytest.mark.parametrize(("slice_in", "kerf_in", "share"), [(0.040, 0.040, 0.5), (0.020, 0.035, 0.36364)])
def test_the_saw_eats_half(job, slice_in, kerf_in, share):
    """Case P54."""
    job.board("A", "cherry", 1.0, length=18, width=3, price=20.0)
    job.shop["kerf_allowance_mm"] = kerf_in * 25.4
    job.panel("P", length=18, width=3).layer("cherry", slice_in, plies=3, panel="P")
    (item,) = costs(job).slices
    assert item.slice_mm / item.used_mm == pytest.approx(share, abs=5e-6)


def test_a_slice_pays_for_its_kerf(job):
    """Case P55: 0.040 x 3 x 18 in, kerf 0.035, at 14.00 a board foot by measured thickness: 0.39375."""
    job.board("A", "cherry", 1.0, length=18, width=3).own("cherry", price_per_board_foot=14.0)
    job.shop["kerf_allowance_mm"] = 0.035 * 25.4
    job.panel("P", length=18, width=3).layer("cherry", 0.040, plies=3, panel="P")
    assert costs(job).slices[0].money == pytest.approx(0.39375)


def test_a_board_cut_and_glued_again_takes_a_whole_panel(block):
    block.step("Tray", 0.5, 90.0, panel="P")
    found = compute(block.inputs())
    assert found.pieces.boards[0].made
    (piece,) = found.costing.pieces
    assert (piece.piece, piece.quantity, piece.share) == ("Tray", 1, 1.0)


def test_a_bowl_takes_the_panels_that_its_boards_take(job):
    """A rim of 6 in from a panel 13 in long and 0.5 in wide, 6.1 in through its layers: two boards come out of it."""
    job.board("A", "cherry", 9.0, length=13, width=0.5, price=30.0)
    job.panel("P", length=13, width=0.5).layer("cherry", 6.1, panel="P")
    job.shop |= {"blank_kerf_mm": 0.0}
    job.bowl("Dish", 6, panel="P", foot=4, wall=0.25, profile="straight")
    found = compute(job.inputs())
    assert found.pieces.bowls[0].plan.rules.boards == 1
    assert found.costing.pieces[0].share == pytest.approx(0.5)


def test_a_piece_whose_panel_has_no_size_has_no_share(job):
    job.board("A", "cherry", 1.5, price=30.0)
    job.panel("P").layer("cherry", 0.75, panel="P")
    job.handle("Peg", 4, 1, 0.75, panel="P")
    (piece,) = costs(job).pieces
    assert (piece.share, piece.from_panel, piece.each, piece.good, piece.price) == (None, None, None, None, None)


def test_work_on_pieces_that_is_not_given_is_said(block):
    block.handle("Peg", 4, 1, 0.75, panel="P")
    assert "work on pieces (Work per piece on Shop)" in costs(block).not_costed
