"""Movement between neighbours, and the humidity at which the shop would leave none to come."""

import pytest

from sheetkit.job.glue_water import LayerKind
from sheetkit.job.wood_movement import Air, air_of, panel_moves
from sheetkit.job.woods import job_woods
from sheetkit.trade.moisture import equilibrium_moisture

INCH = 25.4


def step(job, *kinds):
    """How far two neighbours 3 in wide move apart when the wood goes from 9 to 6 %."""
    for species, _ in kinds:
        job.layer(species, 0.040)
    woods = job_woods(job.inputs())
    layers = [LayerKind(wood, INCH, grain, (place,), 9.0) for place, (wood, grain) in enumerate(kinds, start=1)]
    (found,) = panel_moves(layers, 3 * INCH, woods, Air(9.0, 6.0, (), None), []).steps
    return found.step_mm / INCH


def test_a32_grain_matters_more_than_species(job):
    """Case A32: sugar maple flat 0.00353, black walnut flat 0.00274: 0.0071; maple quarter 0.00165: 0.0169 in."""
    assert step(job, ("sugar maple", "flat"), ("black walnut", "flat")) == pytest.approx(0.0071, abs=0.00005)
    assert step(job, ("sugar maple", "flat"), ("sugar maple", "quarter")) == pytest.approx(0.0169, abs=0.00005)


def test_the_humidity_that_leaves_no_movement_to_come_is_the_inverse_of_the_air(job):
    inputs = job.inputs()
    air = air_of(inputs.job, inputs.shop)
    assert air.settling_humidity_pct is not None
    found = equilibrium_moisture(inputs.shop.shop_c, air.settling_humidity_pct)
    assert found == pytest.approx(air.home_pct, abs=1e-6)
