"""Adhesive by mass, glue-ups by time."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.adhesive import assembly_time_at
from sheetkit.trade.glue import (
    GlueUp,
    fewest_glue_ups,
    glue_lines,
    glue_mass,
    glue_share_pct,
    glue_up_times,
    glue_ups,
    lines_that_fit,
)


def test_both_faces_spread_take_twice_and_what_stays_in_the_pot_comes_on_top():
    single = glue_mass(50_000.0, 10, 200.0)
    assert single == pytest.approx(100.0)
    assert glue_mass(50_000.0, 10, 200.0, faces_spread=2) == pytest.approx(200.0)
    assert glue_mass(50_000.0, 10, 200.0, left_over_pct=20.0) == pytest.approx(125.0)


def test_a_limit_that_is_reached_to_the_second_still_fits():
    assert lines_that_fit(limit_s=600.0, line_s=0.1, closing_s=0.3) == 5997
    assert lines_that_fit(limit_s=1.2, line_s=0.1, closing_s=0.9) == 3
    assert lines_that_fit(limit_s=50.0, line_s=20.0, closing_s=60.0) == 0


@settings(deadline=None)
@given(st.integers(0, 400), st.integers(1, 60))
def test_the_glue_ups_lay_every_layer_once_in_order_and_none_takes_too_many_lines(layers, most_lines):
    ups = glue_ups(layers, most_lines)
    assert len(ups) == fewest_glue_ups(layers, most_lines) == -(-max(0, layers - 1) // most_lines)
    assert sum(up.lines for up in ups) == glue_lines(layers)
    assert all(1 <= up.lines <= most_lines for up in ups)
    assert [up.onto_block for up in ups] == [False, True, *[True] * len(ups)][: len(ups)]
    laid = [layer for up in ups for layer in range(up.first_layer, up.last_layer + 1)]
    assert laid == (list(range(1, layers + 1)) if layers > 1 else [])
    assert all(up.layers == up.lines + (not up.onto_block) for up in ups)


@settings(deadline=None)
@given(st.integers(2, 400), st.integers(1, 60))
def test_the_glue_ups_differ_by_one_line_at_most(layers, most_lines):
    lines = [up.lines for up in glue_ups(layers, most_lines)]
    assert max(lines) - min(lines) <= 1


def test_no_glue_up_is_possible_when_not_one_line_fits():
    with pytest.raises(ValueError, match="not even one line fits"):
        fewest_glue_ups(3, 0)
    assert fewest_glue_ups(1, 0) == 0


def test_the_steps_of_a_glue_up_follow_one_another():
    up = GlueUp(2, 14, 16, 3, onto_block=True)
    times = glue_up_times(up, limit_s=300.0, line_s=30.0, closing_s=45.0, clamp_s=1800.0)
    assert times.line_done_s == (30.0, 60.0, 90.0)
    assert (times.closed_s, times.spare_s, times.released_s) == (135.0, 165.0, 1935.0)


def test_the_share_of_glue_counts_every_line():
    assert glue_share_pct([2.0, 3.0, 4.0], 0.5) == pytest.approx(10.0)
    assert glue_share_pct([2.0], 0.5) == 0.0
    assert glue_share_pct([], 0.5) == 0.0


def test_a_warm_shop_shortens_the_time_and_a_cool_one_never_lengthens_it():
    assert assembly_time_at(600.0, 21.0, 31.0) == pytest.approx(300.0)
    assert assembly_time_at(600.0, 21.0, 26.0) == pytest.approx(424.264, abs=0.001)
    assert assembly_time_at(600.0, 21.0, 10.0) == 600.0
