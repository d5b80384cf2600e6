"""Cost and time against sums shown by hand; worked cases from the trade are named beside them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade import cost

IN = 25.4
shares = st.floats(0.0, 0.95)
amounts = st.floats(0.01, 1e6)


def test_five_quarter_stock_is_paid_by_its_nominal_thickness():
    """Case A52: 5/4 x 7-1/2 in x 6 ft: 1.25 * 7.5 * 72 / 144 = 4.6875."""
    assert cost.board_feet(72 * IN, 7.5 * IN, 1.25 * IN) == pytest.approx(4.6875, rel=1e-12)


def test_a_foot_by_a_foot_by_an_inch_is_one_board_foot():
    """NIST Special Publication 811 (2008), appendix B.8: a board foot is 0.002359737 cubic metres."""
    assert cost.board_feet(12 * IN, 12 * IN, IN) == pytest.approx(1.0, rel=1e-12)
    assert pytest.approx(0.002359737, rel=1e-6) == cost.MM3_PER_BOARD_FOOT * 1e-9


def test_waste_is_a_share_of_what_is_bought():
    """Case A53: 6.0 net with a quarter of the purchase lost: 6 / 0.75 = 8, not 6 * 1.25 = 7.5."""
    assert cost.to_buy(6.0, 0.25) == pytest.approx(8.0)
    assert cost.waste_share(8.0, 6.0) == pytest.approx(0.25)


def test_a_slice_pays_for_its_kerf():
    """Case A55: (0.040 + 0.035) * 3 * 18 / 144 * 14 = 0.39375; without the kerf 0.21."""
    size = (18 * IN, 3 * IN)
    assert cost.slice_cost(*size, 0.040 * IN, 0.035 * IN, 14.0) == pytest.approx(0.39375)
    assert cost.slice_cost(*size, 0.040 * IN, 0.0, 14.0) == pytest.approx(0.21)


def test_set_up_is_shared_out_and_losses_are_divided():
    """Case A56: 45 / 6 + 25 = 32.5; 60 / 0.75 = 80, not 60 * 1.25 = 75."""
    assert cost.with_share_of_setup(25.0, 45.0, 6) == pytest.approx(32.5)
    assert cost.per_good_piece(60.0, 0.25) == pytest.approx(80.0)


def test_three_of_fourteen_lost_divide_as_in_case_a34():
    """Case A34: 3 of 14 failed, so 10 good ones cost as much as 10 / (11/14) = 12.7."""
    assert cost.per_good_piece(10.0, 3 / 14) == pytest.approx(12.727, abs=5e-4)


def test_margin_is_not_mark_up():
    """Case A57: 70 / 0.7 = 100; 70 * 1.3 = 91."""
    assert cost.price_at_margin(70.0, 0.30) == pytest.approx(100.0)
    assert 70.0 * (1.0 + cost.mark_up_of_margin(0.30)) == pytest.approx(100.0)
    assert 70.0 * (1.0 + cost.mark_up_of_margin(21.0 / 91.0)) == pytest.approx(91.0)


def test_time_in_the_cut_and_the_blade():
    """20 passes of 18 in at 5 ft/min: 360 in / 60 in/min = 6 min; of a blade for 24 that lasts 2 h: 24 * 6 / 120."""
    seconds = cost.cutting_time(20 * 18 * IN, 5 * 12 * IN / 60.0)
    assert seconds == pytest.approx(360.0)
    assert cost.blade_wear(seconds, 7200.0, 24.0) == pytest.approx(1.2)


@given(net=amounts, share=shares)
def test_what_is_bought_less_the_waste_is_the_net(net, share):
    bought = cost.to_buy(net, share)
    assert bought * (1.0 - share) == pytest.approx(net)
    assert cost.waste_share(bought, net) == pytest.approx(share, abs=1e-9)


@given(paid=amounts, margin=shares)
def test_the_margin_is_what_is_left_of_the_price_and_agrees_with_its_mark_up(paid, margin):
    price = cost.price_at_margin(paid, margin)
    assert (price - paid) / price == pytest.approx(margin, abs=1e-9)
    assert paid * (1.0 + cost.mark_up_of_margin(margin)) == pytest.approx(price)


@pytest.mark.parametrize("share", [1.0, 1.2, -0.1])
@pytest.mark.parametrize("sum_of", [cost.to_buy, cost.per_good_piece, cost.price_at_margin])
def test_a_share_that_leaves_nothing_is_refused(sum_of, share):
    with pytest.raises(ValueError, match=r"wanted at least 0 and less than 1"):
        sum_of(10.0, share)


def test_what_cannot_be_shared_or_reached_is_refused():
    with pytest.raises(ValueError, match="wanted at least 1"):
        cost.with_share_of_setup(1.0, 1.0, 0)
    with pytest.raises(ValueError, match="wanted more than 0"):
        cost.cutting_time(1.0, 0.0)
    with pytest.raises(ValueError, match="wanted more than 0"):
        cost.blade_wear(1.0, 0.0, 1.0)
