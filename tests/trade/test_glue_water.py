"""Water from the glue against thin dry wood."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.glue_water import (
    curl,
    is_worth_a_warning,
    moisture_rise,
    rest_days,
    swelling_pct,
    water_in_layers,
    water_sentence,
)


@pytest.mark.parametrize(
    ("inches", "points"), [(0.75, 0.83), (0.125, 5.00), (0.0625, 10.00), (0.03125, 20.00), (0.005, 125.0)]
)
def test_the_water_balance_of_the_stated_inputs(inches, points):
    """Conservation of water: 200 g/m², half water, one line's worth, 630 kg/m³; the thinnest takes up 125 %."""
    rise = moisture_rise(inches * 25.4, 630.0, 200.0, 0.50)
    assert rise == pytest.approx(points, rel=0.001, abs=0.005)


def test_outer_layers_have_one_line_and_inner_ones_two_halves():
    found = water_in_layers([1.0, 2.0, 1.0], [500.0, 500.0, 800.0], 200.0, 0.5)
    assert found.rise_pct == pytest.approx((10.0, 10.0, 6.25))
    assert found.stack_rise_pct == pytest.approx(100.0 * 200.0 / (500.0 + 1000.0 + 800.0))


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0.1, 20.0), st.floats(200.0, 1200.0)), min_size=2, max_size=30), st.floats(0, 1))
def test_all_the_water_of_the_lines_is_found_again_in_the_layers(layers, solids):
    found = water_in_layers([t for t, _ in layers], [d for _, d in layers], 180.0, solids)
    taken = sum(rise / 100.0 * t * d for rise, (t, d) in zip(found.rise_pct, layers, strict=True))
    assert taken == pytest.approx(180.0 * (1.0 - solids) * (len(layers) - 1), rel=1e-9, abs=1e-9)


def test_a_wood_without_a_density_has_no_figure_and_takes_the_stacks_with_it():
    found = water_in_layers([1.0, 1.0, 1.0], [500.0, None, 500.0], 200.0, 0.5)
    assert found.rise_pct == (pytest.approx(10.0), None, pytest.approx(10.0))
    assert (found.stack_rise_pct, found.wettest_layer) == (None, 1)


def test_nothing_is_known_where_no_density_is():
    found = water_in_layers([1.0, 1.0], [None, None], 200.0, 0.5)
    assert (found.greatest_rise_pct, found.wettest_layer) == (None, None)
    assert water_sentence(found, 8.0) == (
        "The rise of moisture cannot be told: no density is known for any of these woods."
    )


def test_one_layer_has_no_line_and_no_water():
    found = water_in_layers([1.0], [500.0], 200.0, 0.5)
    assert found.rise_pct == (0.0,)
    assert found.stack_rise_pct == 0.0
    assert water_in_layers([], [], 200.0, 0.5).stack_rise_pct is None


def test_an_adhesive_without_water_adds_none():
    found = water_in_layers([0.5, 0.5], [500.0, 500.0], 200.0, 1.0)
    assert found.rise_pct == (0.0, 0.0)
    assert water_sentence(found, 8.0) == "This glue brings no water: the layers stay as dry as they are."


@pytest.mark.parametrize(
    ("thickness", "start", "sentence"),
    [
        (
            19.05,
            8.0,
            "The water in the glue raises layer 2 by 0.833 points of moisture, from 8 to 8.83 %, and the whole stack "
            "by 0.555 points: close to what ordinary boards take up.",
        ),
        (
            1.5875,
            8.0,
            "The water in the glue raises layer 2 by 10 points of moisture, from 8 to 18 %, and the whole stack by "
            "6.67 points: enough to swell and curl thin slices; let the panel rest before it is machined.",
        ),
        (
            0.127,
            8.0,
            "The water in the glue raises layer 2 by 125 points of moisture, from 8 to 133 %, and the whole stack by "
            "83.3 points: more than its cell walls can hold, so it swells as far as it can and curls.",
        ),
    ],
)
def test_the_sentence_says_what_the_figure_means(thickness, start, sentence):
    found = water_in_layers([thickness] * 3, [630.0] * 3, 200.0, 0.5)
    assert water_sentence(found, start) == sentence


def test_swelling_stops_where_the_cell_walls_are_full():
    """Sugar maple flat 0.00353 and quarter 0.00165 (Wood Handbook, Table 13-5), from 8 %: at most 22 points count."""
    assert swelling_pct(0.00353, 8.0, 10.0) == pytest.approx(3.53)
    assert swelling_pct(0.00165, 8.0, 10.0) == pytest.approx(1.65)
    assert swelling_pct(0.00353, 8.0, 125.0) == pytest.approx(0.353 * 22)


def test_curl_follows_the_bimetal_strip():
    """Timoshenko (1925): equal halves, curvature 1.5 * strain / thickness; 2 mm, strain 0.00353 * 4: 94.4 mm."""
    found = curl(2.0, 60.0, 0.00353, 8.0, 2.0)
    assert found.radius_mm == pytest.approx(2.0 / (1.5 * 0.01412))
    assert found.height_mm == pytest.approx(60.0**2 / (8.0 * found.radius_mm), rel=0.02)
    assert found.words == "strong"


@pytest.mark.parametrize(
    ("thickness", "rise", "words"),
    [(6.0, 0.0, "none"), (19.0, 0.05, "none"), (3.0, 0.2, "slight"), (2.0, 0.7, "marked"), (0.127, 22.0, "rolls up")],
)
def test_curl_in_words(thickness, rise, words):
    """By hand: height/width = 50 * 1.5 * 0.003 * 2 * rise / (8 * thickness): 0, 0.0001, 0.004, 0.020; a full turn."""
    assert curl(thickness, 50.0, 0.003, 8.0, rise).words == words


def test_a_slice_that_does_not_move_stays_flat():
    found = curl(1.0, 50.0, 0.003, 31.0, 10.0)
    assert (found.radius_mm, found.height_mm, found.words) == (None, 0.0, "none")


def test_rest_is_the_data_sheets_or_what_the_water_needs():
    assert rest_days(30.0, 0.9) == 7.0
    assert rest_days(25.4, 20.0, known_days=16.0) == pytest.approx(16.0)
    assert rest_days(50.8, 20.0, known_days=16.0) == pytest.approx(64.0)
    assert rest_days(10.0, 20.0, least_days=1.0) == pytest.approx(16.0 * (10.0 / 25.4) ** 2)


def test_water_leaves_a_block_by_all_its_faces():
    """A square prism dries in half the time of a slab; a long and wide panel as if it had no ends and edges."""
    assert rest_days(50.8, 20.0, faces_mm=(50.8,)) == pytest.approx(32.0)
    assert rest_days(50.8, 20.0, faces_mm=(50.8e3, 50.8e3)) == pytest.approx(64.0, rel=1e-5)


@pytest.mark.parametrize(
    ("rise", "sizes"), [(20.0, (90.0, 50.0, 180.0)), (8.0, (40.0, 60.0, 250.0)), (3.0, (25.4,) * 3)]
)
def test_a_block_has_dried_after_its_rest_by_the_whole_series(rise, sizes):
    """Crank, The Mathematics of Diffusion (2nd edition, 1975), Eq. (4.18), all its terms, for slabs of the three sizes;
    what is left in the block is their product (Newman, 1936, from memory). An inch keeps 5 % after 16 days."""
    first, *others = sizes
    days = rest_days(first, rise, faces_mm=others, least_days=0.0)
    orders = [2 * n + 1 for n in range(200)]

    def left(size_mm, time):
        rate = math.log(8 / math.pi**2 / 0.05) / 16.0 * (25.4 / size_mm) ** 2
        return sum(8 / (math.pi * n) ** 2 * math.exp(-(n**2) * rate * time) for n in orders)

    after = rise * math.prod(left(size, days) for size in sizes)
    half_way = rise * math.prod(left(size, days / 2) for size in sizes)
    assert after < 1.0 < half_way


@settings(deadline=None)
@given(st.floats(1.1, 60.0), st.floats(1.1, 60.0))
def test_more_water_never_rests_shorter(one, other):
    low, high = sorted((one, other))
    assert rest_days(30.0, low) <= rest_days(30.0, high)


def test_a_warning_comes_above_three_points_or_past_the_end_of_swelling():
    assert not is_worth_a_warning(8.0, 3.0)
    assert is_worth_a_warning(8.0, 3.1)
    assert is_worth_a_warning(29.0, 2.0)
