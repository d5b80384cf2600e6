import warnings

import numpy as np
import pytest

from sheetkit.trade.mixed import Design, fit
from sheetkit.trade.variance import one_way, split


def drawn(state: int, slices: int, readings: tuple[int, int], between: float, within: float) -> list[list[float]]:
    random = np.random.default_rng(state)
    return [
        list(1.0 + random.normal(0, between) + random.normal(0, within, random.integers(*readings)))
        for _ in range(slices)
    ]


def mixed_model(groups: list[list[float]]):
    """The general statistics library's random-effects model, by restricted maximum likelihood."""
    with warnings.catch_warnings():
        import statsmodels.api

        warnings.simplefilter("ignore")
        values = np.concatenate(groups)
        place = np.repeat(np.arange(len(groups)), [len(group) for group in groups])
        return statsmodels.api.MixedLM(values, np.ones_like(values), place).fit(reml=True)


@pytest.mark.parametrize(("state", "readings"), [(1, (4, 5)), (2, (2, 8)), (5, (1, 6))])
def test_estimates_are_those_of_an_independent_mixed_model(state, readings):
    groups = drawn(state, 12, readings, between=0.02, within=0.01)
    ours, theirs = split(groups), mixed_model(groups)
    assert ours.within.sd**2 == pytest.approx(theirs.scale, rel=1e-3)
    assert ours.between.sd**2 == pytest.approx(float(np.asarray(theirs.cov_re)[0, 0]), rel=2e-3)
    assert ours.mean == pytest.approx(float(theirs.fe_params[0]), rel=1e-6)
    assert ours.mean_error == pytest.approx(float(theirs.bse_fe[0]), rel=2e-3)
    for place, value in enumerate(ours.slice_means):
        effect = float(np.asarray(theirs.random_effects[place])[0])
        assert value == pytest.approx(float(theirs.fe_params[0]) + effect, abs=1e-5)


def test_with_equal_numbers_the_estimates_are_those_of_the_analysis_of_variance():
    """Balanced: within = MSW, between = (MSB - MSW) / readings (Searle, Casella & McCulloch)."""
    groups = [[1.0, 1.2, 1.1], [2.0, 2.1, 2.3], [3.1, 3.0, 2.9], [1.5, 1.4, 1.7]]
    table, found = one_way(groups), split(groups)
    within = table.within_squares / 8
    between = (table.between_squares / 3 - within) / 3
    assert found.within.sd == pytest.approx(within**0.5, rel=1e-5)
    assert found.between.sd == pytest.approx(between**0.5, rel=1e-5)


def test_slices_that_do_not_differ_get_no_spread_between_them():
    found = split([[1.0, 3.0], [3.0, 1.0], [1.5, 2.5]])
    assert found.between.sd == pytest.approx(0.0, abs=1e-4)
    assert found.between.lower == 0.0
    assert found.between.upper is None, "no slices agree better than their own readings do; a limit of 0 would mislead"
    assert found.within_share == pytest.approx(1.0, abs=1e-6)
    assert found.slice_means == (pytest.approx(2.0), pytest.approx(2.0), pytest.approx(2.0))


def test_one_slice_or_one_reading_each_cannot_be_split():
    assert split([[1.0, 2.0, 3.0]]) is None
    assert split([[1.0], [2.0], [3.0]]) is None


def test_limits_within_are_those_of_chi_square():
    """Within squares 0.10 with 4 degrees of freedom; chi2 0.4844 and 11.1433 by any table."""
    found = split([[1.0, 1.2], [2.0, 2.2], [3.0, 3.2], [4.0, 4.2]])
    # Four pairs 0.2 apart: 4 x 0.02 = 0.08.
    assert found.within.lower == pytest.approx((0.08 / 11.1433) ** 0.5, rel=1e-4)
    assert found.within.upper == pytest.approx((0.08 / 0.4844) ** 0.5, rel=1e-4)


@pytest.mark.parametrize(("between", "readings"), [(0.02, (3, 4)), (0.005, (3, 4)), (0.02, (2, 6))])
def test_limits_hold_about_as_often_as_they_claim(between, readings):
    """300 runs at 90 %: 255 to 285 and a little beyond, since the limits between are not exact."""
    held = [0, 0]
    for state in range(300):
        found = split(drawn(state, 8, readings, between, 0.01), confidence=0.9)
        held[0] += found.within.lower <= 0.01 <= found.within.upper
        held[1] += found.between.lower <= between <= (found.between.upper or 0.0)
    assert all(252 <= count <= 291 for count in held), held


def test_readings_within_a_slice_are_not_taken_for_so_many_slices():
    """Four slices, three all but equal readings each: the level is as unsure as four readings make it."""
    found = split([[value + wobble for wobble in (-0.001, 0.0, 0.001)] for value in (1.0, 2.0, 3.0, 4.0)])
    assert found.mean_error == pytest.approx((5 / 3 / 4) ** 0.5, rel=1e-3)


def test_the_average_over_spreads_tends_to_the_mixed_model_with_many_species():
    groups = drawn(7, 40, (3, 8), between=0.02, within=0.01)
    theirs = mixed_model(groups)
    place = np.repeat(np.arange(40), [len(group) for group in groups])
    design = Design(blades=np.zeros(len(place), dtype=int), species=place, slices=np.ones(len(place)))
    found = fit(design, np.concatenate(groups))
    assert found.slice_sd**2 == pytest.approx(theirs.scale, rel=0.03)
    assert found.species_sd**2 == pytest.approx(float(np.asarray(theirs.cov_re)[0, 0]), rel=0.1)
    for species in range(40):
        wanted = float(theirs.fe_params[0]) + float(np.asarray(theirs.random_effects[species])[0])
        assert found.distribution(design.row(0, species)).mean == pytest.approx(wanted, abs=3e-4)


def test_species_far_apart_are_hardly_drawn_together():
    place = np.repeat(np.arange(3), 5)
    design = Design(blades=np.zeros(15, dtype=int), species=place, slices=np.ones(15))
    values = np.tile([-0.01, 0.0, 0.01, 0.005, -0.005], 3) + place
    found = fit(design, values)
    for species in range(3):
        assert found.distribution(design.row(0, species)).mean == pytest.approx(species, abs=1e-3)
