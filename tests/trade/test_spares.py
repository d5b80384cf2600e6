"""How many to saw so that enough good ones come out."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.spares import for_risk, for_share_out, with_share_on_top


def test_a_tenth_on_top_is_rounded_up_for_each_kind_on_its_own():
    """Case A17: 41 layers A-B-A...A: A 21 becomes 24, B 20 becomes 22."""
    assert [with_share_on_top(needed, 0.10).slices for needed in (21, 20)] == [24, 22]
    assert with_share_on_top(21, 0.10).reason == "21 needed and 10 % on top"


def test_the_chance_of_running_short_is_a_beta_binomial_sum():
    """Own sum by hand: record and prior together 2 good, 1 bad; of two sawn, both are good with 2/3 * 3/4 = 1/2.

    One needed: both bad 1/3 * 2/4 = 1/6.
    """
    assert for_risk(2, 1, 0, 0.5, prior_kept=1.0, prior_rejected=1.0).slices == 2
    assert for_risk(2, 1, 0, 0.5, prior_kept=1.0, prior_rejected=1.0).chance_short == pytest.approx(0.5, abs=1e-12)
    one = for_risk(1, 1, 0, 0.2, prior_kept=1.0, prior_rejected=1.0)
    assert (one.slices, one.chance_short) == (2, pytest.approx(1 / 6, abs=1e-12))


def test_the_chance_with_a_known_share_is_a_binomial_sum():
    """Own sum by hand: nine in ten good; of three sawn, fewer than two good: 0.1**3 + 3 * 0.9 * 0.1**2 = 0.028."""
    saw = for_share_out(2, 0.1, risk=0.05)
    assert (saw.slices, saw.chance_short) == (3, pytest.approx(0.028, abs=1e-12))
    assert for_share_out(2, 0.1, risk=0.02).slices == 4


def test_the_reason_is_told_in_a_sentence():
    assert for_risk(1, 1, 0, 0.2, prior_kept=1.0, prior_rejected=1.0).reason == (
        "1 needed; 0 of 1 slices on record did not count (out of tolerance, borderline, or marked not to be used), "
        "reckoned with 1 of 2 assumed; "
        "the chance of running short is 16.7 %, at most 20 % asked"
    )
    assert for_share_out(2, 0.1, risk=0.05).reason == (
        "2 needed and 10.0 % expected out of tolerance; the chance of running short is 2.8 %, at most 5 % asked"
    )


def test_a_share_of_the_jobs_risk_is_said():
    """Own sum by hand: nine in ten good; of n sawn none good: (1/10)**n, so 1 % at n = 2 for a third of 5 %."""
    saw = for_share_out(1, 0.1, risk=0.05 / 3, job_risk=0.05)
    assert saw.slices == 2
    assert saw.reason.endswith("is 1 %, at most 1.67 % asked, its share of the job's 5 %")
    assert for_risk(1, 1, 0, 0.1, 1.0, 1.0, job_risk=0.2).reason.endswith("10 % asked, its share of the job's 20 %")
    assert for_risk(1, 1, 0, 0.2, 1.0, 1.0, job_risk=0.2).reason.endswith("at most 20 % asked")


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 60), st.integers(0, 80), st.integers(0, 20), st.sampled_from([0.01, 0.05, 0.2]))
def test_one_slice_fewer_would_break_the_risk(needed, kept, rejected, risk):
    saw = for_risk(needed, kept, rejected, risk)
    assert saw.chance_short <= risk
    assert saw.slices == needed + saw.spares
    if saw.spares:
        assert for_risk(needed, kept, rejected, min(0.999, saw.chance_short * 1.000001)).slices == saw.slices
        assert for_risk(needed, kept, rejected, saw.chance_short * 0.999).slices > saw.slices


def test_a_simulated_shop_runs_short_no_more_often_than_the_risk():
    """Monte Carlo with a fixed draw: draw the share kept from the record's beta, saw, count."""
    import numpy as np

    saw = for_risk(20, 38, 2, 0.05)
    rng = np.random.default_rng(7)
    share = rng.beta(38 + 9, 2 + 1, 200_000)
    short = np.mean(rng.binomial(saw.slices, share) < 20)
    assert short == pytest.approx(saw.chance_short, abs=4 * (0.05 * 0.95 / 200_000) ** 0.5)


@pytest.mark.parametrize("risk", [0.0, 1.0, -0.1])
def test_a_risk_outside_its_range_is_refused(risk):
    with pytest.raises(ValueError, match=r"wanted more than 0 and less than 1$"):
        for_risk(5, 5, 0, risk)


def test_a_share_outside_its_range_is_refused():
    with pytest.raises(ValueError, match=r"^a share out of tolerance of 1 was given; wanted at least 0 and below 1$"):
        for_share_out(5, 1.0, 0.05)


def test_a_hopeless_risk_is_told():
    with pytest.raises(ValueError, match=r"^not even 100000 slices keep the chance of running short under 0.01$"):
        for_risk(5, 0, 1000, 0.01, prior_kept=0.01, prior_rejected=1.0)
