"""The lay-up: which measured slice in which layer, which way round."""

import random
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.layup import closeness, lay_up
from sheetkit.trade.layup_model import (
    TURNS,
    Corners,
    Layup,
    LayupOptions,
    MeasuredSlice,
    Turn,
    WantedLayer,
    WantedPanel,
)

DIVISION = 0.02
FINE = LayupOptions(resolution_mm=DIVISION / 10)


def corners(mean: float, end: float = 0.0, side: float = 0.0) -> Corners:
    low_left, low_right = mean - end / 2 - side / 2, mean - end / 2 + side / 2
    return Corners(low_left, low_right, low_left + end, low_right + end, mean)


def piece(key: str, mean: float, end: float = 0.0, side: float = 0.0, kind: str = "ash", **more) -> MeasuredSlice:
    return MeasuredSlice(key, kind, corners(mean, end, side), **more)


def panel(*kinds: str, key: str = "P", tolerance: float = 0.05) -> WantedPanel:
    targets = {"ash": 1.0, "plum": 0.6}
    return WantedPanel(key, tuple(WantedLayer(kind, targets[kind], tolerance) for kind in kinds))


def shop(draw: int, count: int, kinds: tuple[str, ...] = ("ash", "plum")) -> list[MeasuredSlice]:
    """Readings of an invented shop: a little over, tapered the same way, read to a division."""
    rng, found = random.Random(draw), []
    for number in range(count):
        kind = kinds[number % len(kinds)]
        mean = {"ash": 1.0, "plum": 0.6}[kind] + rng.gauss(0.002, 0.012)
        ideal = corners(mean, rng.gauss(0.010, 0.010), rng.gauss(0.006, 0.010))
        read = [
            round(each / DIVISION) * DIVISION
            for each in (
                ideal.near_left_mm,
                ideal.near_right_mm,
                ideal.far_left_mm,
                ideal.far_right_mm,
                ideal.middle_mm,
            )
        ]
        found.append(MeasuredSlice(f"S-{number + 1}", kind, Corners(*read), board="S", sawn=number + 1))
    return found


def keys(layup: Layup, number: int = 0) -> list[str]:
    return [layer.slice_key for layer in layup.panels[number].layers]


def test_a_turn_changes_the_signs_it_says():
    at = corners(1.0, end=0.04, side=0.02)
    for turn in TURNS:
        lying = at.lying(turn)
        assert lying.end_taper_mm == pytest.approx(0.04 * turn.end_sign, abs=1e-12)
        assert lying.side_taper_mm == pytest.approx(0.02 * turn.side_sign, abs=1e-12)
        assert lying.mean_mm == pytest.approx(1.0, abs=1e-12)
        assert lying.lying(turn) == at
    twisted = Corners(1.0, 2.0, 3.0, 5.0, 2.5)
    assert twisted.lying(Turn.END_FOR_END) == Corners(5.0, 3.0, 2.0, 1.0, 2.5)
    assert twisted.lying(Turn.TURNED_OVER) == Corners(2.0, 1.0, 5.0, 3.0, 2.5)
    assert twisted.lying(Turn.OVER_AND_END) == Corners(3.0, 5.0, 1.0, 2.0, 2.5)


def test_the_fan_of_case_a20_is_laid_flat():
    """Case A20: 40 strips each 0.002 in thicker on one edge fan out to 0.080; laid against each other, 0."""
    inch = 25.4
    strips = [piece(f"A-{n}", 1.0, side=0.002 * inch, sawn=n) for n in range(40)]
    (laid,) = lay_up(strips, [panel(*["ash"] * 40)], FINE).panels
    assert laid.in_sawing_order.side_taper_mm == pytest.approx(0.080 * inch, abs=1e-9)
    assert laid.closeness.side_taper_mm == pytest.approx(0.0, abs=1e-9)


def test_the_total_is_brought_to_the_plan_by_the_choice_of_slices():
    """Own sum: of 0.96, 0.98, 1.01, 1.02, 1.05 only 0.98 with 1.02 makes 2.00."""
    slices = [piece(f"A-{n}", mean) for n, mean in enumerate((0.96, 0.98, 1.01, 1.02, 1.05))]
    layup = lay_up(slices, [panel("ash", "ash")], FINE)
    assert sorted(keys(layup)) == ["A-1", "A-3"]
    assert layup.left_out == ("A-4", "A-0", "A-2")


def test_the_worst_slices_stay_out_when_the_plan_can_be_met_without_them():
    """Own sum: 0.90 with 1.10 makes 2.00 as well as 0.99 with 1.01, but they are ten times worse."""
    slices = [piece(f"A-{n}", mean) for n, mean in enumerate((0.90, 1.10, 0.99, 1.01))]
    assert sorted(keys(lay_up(slices, [panel("ash", "ash")], FINE))) == ["A-2", "A-3"]


def test_a_bad_corner_counts_even_when_the_mean_is_right():
    crooked = piece("bad", 1.0, end=0.2)
    good = [piece("a", 0.99), piece("b", 1.01)]
    assert sorted(keys(lay_up([crooked, *good], [panel("ash", "ash")], FINE))) == ["a", "b"]


def best_by_trying_all(slices: list[MeasuredSlice], layers: int, resolution: float) -> float:
    targets = {"ash": 1.0}
    best = float("inf")
    for chosen in combinations(slices, layers):
        for turns in product(TURNS, repeat=layers):
            off = closeness(list(zip(chosen, turns, strict=True)), targets)
            parts = (off.total_mm, off.end_taper_mm, off.side_taper_mm)
            best = min(best, sum(max(0.0, abs(part) - resolution) for part in parts))
    return best


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(*[st.integers(-8, 8)] * 3), min_size=2, max_size=5), st.integers(1, 4))
def test_small_lay_ups_are_as_good_as_trying_every_one(offs, layers):
    layers = min(layers, len(offs))
    slices = [piece(f"A-{n}", 1 + a / 100, b / 100, c / 100) for n, (a, b, c) in enumerate(offs)]
    layup = lay_up(slices, [panel(*["ash"] * layers)], FINE)
    expected = best_by_trying_all(slices, layers, FINE.resolution_mm)
    assert layup.residual_mm == pytest.approx(expected, abs=1e-6)
    assert layup.bound_mm <= layup.residual_mm + 1e-9


@pytest.mark.parametrize("draw", range(4))
def test_sixty_layers_from_eighty_measured_slices_meet_the_plan_finer_than_the_caliper(draw):
    layup = lay_up(shop(draw, 80), [panel(*["ash", "plum"] * 30)], FINE)
    (laid,) = layup.panels
    assert laid.closeness.worst_mm <= DIVISION / 10 + 1e-9
    assert laid.in_sawing_order.worst_mm > DIVISION
    assert layup.proof == "total and both tapers within 0.002 mm of the plan, finer than the caliper can tell"
    assert len(set(keys(layup))) == 60


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(4, 30), st.integers(1, 2), st.booleans())
def test_every_layer_gets_its_own_slice_of_its_kind_and_the_sums_are_those_of_the_slices(draw, count, copies, keep):
    slices = shop(draw, count)
    panels = [panel(*["ash", "plum", "ash"], key=f"P{n}") for n in range(copies)]
    options = LayupOptions(resolution_mm=DIVISION / 10, keep_order=keep)
    layup = lay_up(slices, panels, options)
    by_key = {each.key: each for each in slices}
    seen = []
    for wanted, laid in zip(panels, layup.panels, strict=True):
        lying = []
        for layer, place in zip(wanted.layers, laid.layers, strict=True):
            if place.slice_key:
                assert by_key[place.slice_key].kind == layer.kind
                lying.append((by_key[place.slice_key], place.turn))
                seen.append(place.slice_key)
        assert closeness(lying, {"ash": 1.0, "plum": 0.6}) == laid.closeness
        assert len(lying) + sum(laid.missing.values()) == 3
    assert len(seen) == len(set(seen))
    assert sorted([*seen, *layup.left_out]) == sorted(by_key)


def test_what_cannot_be_met_is_told_with_its_bound():
    """Own sum: three layers of the thinnest, 1.02, 1.03 and 1.04, are 0.09 over; less the resolution of 0.002."""
    slices = [piece(f"A-{n}", 1.02 + n / 100) for n in range(6)]
    layup = lay_up(slices, [panel("ash", "ash", "ash")], FINE)
    assert layup.residual_mm == pytest.approx(0.088, abs=1e-9)
    assert layup.proof == "best possible with these slices; 0.088 mm remain"


def test_mirror_pairs_get_slices_alike_in_thickness_and_grain():
    """Own sum: sorted, 0.98 0.985 and 1.015 1.02 pair up; the middle is 1.00."""
    means = {"a": 0.98, "b": 1.02, "c": 1.00, "d": 0.985, "e": 1.015}
    layup = lay_up([piece(key, mean) for key, mean in means.items()], [panel(*["ash"] * 5)], FINE)
    order = keys(layup)
    assert {frozenset((order[0], order[4])), frozenset((order[1], order[3]))} == {frozenset("ad"), frozenset("be")}
    assert order[2] == "c"
    assert layup.panels[0].pair_mismatch_mm == pytest.approx(0.005, abs=1e-9)
    grains = [piece("a", 1.0, grain="flat"), piece("b", 1.0, grain="quarter"), piece("c", 1.0, grain="flat")]
    assert keys(lay_up(grains, [panel("ash", "plum", "ash", "plum", "ash")], FINE))[2] == "b"


def test_slices_of_one_kind_keep_the_order_of_sawing_where_asked():
    slices = [piece(f"A-{n}", 1.0 + (n % 3) / 500, board="A", sawn=n) for n in (5, 3, 9, 1)]
    options = LayupOptions(resolution_mm=0.01, keep_order=True)
    assert keys(lay_up(slices, [panel("ash", "ash", "ash", "ash")], options)) == ["A-1", "A-3", "A-5", "A-9"]


def test_panels_of_one_job_share_the_poor_slices():
    """Own sum: the badness 1..8 hundredths, to and fro: 1 4 5 8 and 2 3 6 7, both 4.5 in the mean."""
    slices = [piece(f"A-{n}", 1 + (-1) ** n * n / 100) for n in range(1, 9)]
    wide = LayupOptions(resolution_mm=0.1)
    fair = lay_up(slices, [panel(*["ash"] * 4, key="one"), panel(*["ash"] * 4, key="two")], wide)
    assert [each.mean_badness_mm for each in fair.panels] == pytest.approx([0.045, 0.045], abs=1e-9)
    first = lay_up(
        slices,
        [panel(*["ash"] * 4, key="one"), panel(*["ash"] * 4, key="two")],
        LayupOptions(resolution_mm=0.1, best_first=True),
    )
    assert [each.mean_badness_mm for each in first.panels] == pytest.approx([0.025, 0.065], abs=1e-9)


def test_two_panels_exchange_slices_so_that_both_meet_the_plan():
    """Own sum: 0.98 1.02 and 0.96 1.04 both make 2.00."""
    slices = [piece(f"A-{n}", mean) for n, mean in enumerate((0.98, 1.04, 1.02, 0.96))]
    layup = lay_up(slices, [panel("ash", "ash", key="one"), panel("ash", "ash", key="two")], FINE)
    assert [laid.closeness.total_mm for laid in layup.panels] == pytest.approx([0.0, 0.0], abs=1e-9)


def test_half_way_it_says_how_thick_the_missing_slices_should_be():
    """Own sum: two of 1.01 are 0.02 over, so each of the two still to saw should be 0.99."""
    (laid,) = lay_up([piece("a", 1.01), piece("b", 1.01)], [panel(*["ash"] * 4)], FINE).panels
    assert laid.missing == {"ash": 2}
    assert laid.saw_at_mm == {"ash": pytest.approx(0.99, abs=1e-9)}
    assert laid.reachable
    assert [layer.saw_at_mm for layer in laid.layers if not layer.slice_key] == pytest.approx([0.99, 0.99], abs=1e-9)


def test_half_way_it_says_when_the_missing_slices_can_no_longer_save_the_panel():
    """Own sum: 0.12 over and one layer left that may be 0.05 under."""
    layup = lay_up([piece("a", 1.06), piece("b", 1.06)], [panel(*["ash"] * 3)], FINE)
    assert layup.panels[0].saw_at_mm == {"ash": pytest.approx(0.88, abs=1e-9)}
    assert not layup.panels[0].reachable


def test_nothing_sawn_yet_asks_for_the_plan():
    (laid,) = lay_up([], [panel("ash", "plum")], FINE).panels
    assert laid.saw_at_mm == {"ash": 1.0, "plum": 0.6}
    assert laid.closeness.worst_mm == 0.0


def test_the_same_slices_give_the_same_lay_up_twice():
    slices = shop(3, 50)
    panels = [panel(*["ash", "plum"] * 10, key="one"), panel(*["ash", "plum"] * 10, key="two")]
    assert lay_up(slices, panels, FINE) == lay_up(slices, panels, FINE)


def test_layers_of_one_kind_at_two_thicknesses_are_refused():
    wrong = WantedPanel("P", (WantedLayer("ash", 1.0), WantedLayer("ash", 1.2)))
    expected = r"^layers of kind ash are planned at 1 and 1.2 mm; wanted one thickness for each kind$"
    with pytest.raises(ValueError, match=expected):
        lay_up([], [wrong])


def test_two_slices_of_one_key_are_refused():
    with pytest.raises(ValueError, match=r"^two slices have the same key; wanted a key of its own for each$"):
        lay_up([piece("a", 1.0), piece("a", 1.0)], [panel("ash")])
