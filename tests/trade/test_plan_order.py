"""In which order to saw: the fewest changes of the dial."""

from itertools import pairwise, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.plan_grid import Rack
from sheetkit.trade.plan_model import Board, Demand
from sheetkit.trade.plan_order import order_of_settings
from sheetkit.trade.plan_runs import fewest_runs, with_fewer_runs

boards = st.lists(
    st.lists(st.sampled_from([1.5, 2.0, 2.5, 3.0]), min_size=1, max_size=3, unique=True), min_size=1, max_size=4
)


def changes(orders) -> int:
    """How often the set thickness changes, the first setting not counted."""
    return sum(a != b for a, b in pairwise([each for order in orders for each in order]))


@settings(max_examples=80, deadline=None)
@given(boards)
def test_no_other_order_of_the_settings_changes_the_dial_less_often(needed):
    """Brute force over every order on every board."""
    found = order_of_settings(needed)
    assert [sorted(each) for each in found] == [sorted(each) for each in needed]
    every = product(*(list(permutations(each)) for each in needed))
    assert changes(found) == min(changes(order) for order in every)


def test_a_board_takes_over_the_setting_that_stands():
    assert order_of_settings([[2.0, 3.0], [2.0, 5.0], [5.0]]) == [[3.0, 2.0], [2.0, 5.0], [5.0]]
    assert order_of_settings([]) == []


def demand(key: str, advance_mm: float, pieces: int) -> Demand:
    return Demand(key, "ash", "P", advance_mm - 1.0, advance_mm - 1.2, advance_mm, pieces)


def test_two_boards_that_share_two_thicknesses_part_them():
    """Own sum: 4 of 2 and 4 of 3 in all, 20 mm, from boards of 12: all of 3 from one, all of 2 from the other."""
    rack = Rack.of(
        [Board("A", "ash", 12.0, {"P": 1}), Board("B", "ash", 12.0, {"P": 1})],
        [demand("thin", 2.0, 4), demand("thick", 3.0, 4)],
    )
    mixed = {("A", "thin"): 2, ("A", "thick"): 2, ("B", "thin"): 2, ("B", "thick"): 2}
    parted = with_fewer_runs(rack, mixed)
    assert sorted(parted.values()) == [4, 4]
    assert rack.fits(parted)
    assert rack.made(parted) == rack.made(mixed) == [4, 4]
    assert fewest_runs(rack) == 2


def test_one_thickness_comes_from_both_where_the_lengths_ask_for_it():
    """Own sum: 5 of 2 and 4 of 3 fill two boards of 11 to the last.

    All five of 2 leave 1 mm, too little for a 3; all four of 3 need 12. So both come from both: four runs stay.
    """
    rack = Rack.of(
        [Board("A", "ash", 11.0, {"P": 1}), Board("B", "ash", 11.0, {"P": 1})],
        [demand("thin", 2.0, 5), demand("thick", 3.0, 4)],
    )
    mixed = {("A", "thin"): 1, ("A", "thick"): 3, ("B", "thin"): 4, ("B", "thick"): 1}
    assert with_fewer_runs(rack, mixed) == mixed


@pytest.mark.parametrize("room", [13.0, 14.0])
def test_a_split_of_one_thickness_saves_a_run(room):
    """Own sum: 3 of 2 and 6 of 3, 24 mm: four of 3 from one board, two of 3 and three of 2 from the other."""
    rack = Rack.of(
        [Board("A", "ash", room, {"P": 1}), Board("B", "ash", 13.0, {"P": 1})],
        [demand("thin", 2.0, 3), demand("thick", 3.0, 6)],
    )
    mixed = {("A", "thin"): 2, ("A", "thick"): 3, ("B", "thin"): 1, ("B", "thick"): 3}
    better = with_fewer_runs(rack, mixed)
    assert len(better) == 3
    assert rack.fits(better)
    assert rack.made(better) == [3, 6]


def test_boards_that_give_other_layers_per_slice_are_left_alone():
    rack = Rack.of(
        [Board("A", "ash", 12.0, {"P": 1}), Board("B", "ash", 12.0, {"P": 2})],
        [demand("thin", 2.0, 6), demand("thick", 3.0, 6)],
    )
    mixed = {("A", "thin"): 2, ("A", "thick"): 2, ("B", "thin"): 2, ("B", "thick"): 2}
    assert with_fewer_runs(rack, mixed) == mixed
