"""The cutting plan: what comes from which board, what is short, and what to buy."""

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.trade.plan import plan_cuts
from sheetkit.trade.plan_model import COST, MISSING, RUNS, Board, CuttingPlan, Demand, Level, PlanOptions, Proof

QUICK = PlanOptions(time_limit_s=1.0, node_limit=200)


def board(key: str, usable_mm: float, cost: float = 1.0, **more) -> Board:
    return Board(key, more.pop("species", "ash"), usable_mm, more.pop("pieces", {"P": 1}), cost=cost, **more)


def demand(key: str, advance_mm: float, pieces: int, **more) -> Demand:
    return Demand(
        key,
        more.pop("species", "ash"),
        more.pop("panel", "P"),
        target_mm=advance_mm - 1.0,
        set_mm=advance_mm - 1.25,
        advance_mm=advance_mm,
        pieces=pieces,
        **more,
    )


def cuts(plan: CuttingPlan) -> dict[tuple[str, str], int]:
    return {(each.board, run.demand): run.slices for each in plan.boards for run in each.passes}


def test_the_cheaper_of_two_boards_is_opened_when_either_would_do():
    plan = plan_cuts([board("A", 20.0, cost=9.0), board("B", 12.0, cost=5.0)], [demand("d", 2.5, 4)])
    assert cuts(plan) == {("B", "d"): 4}
    assert plan.untouched == ("A",)
    assert (plan.boards[0].used_mm, plan.boards[0].left_mm) == (10.0, 2.0)
    assert plan.proof == "best possible"


def test_a_started_board_costs_nothing_and_goes_first():
    plan = plan_cuts([board("A", 20.0, cost=1.0), board("B", 12.0, cost=50.0, started=True)], [demand("d", 2.5, 4)])
    assert cuts(plan) == {("B", "d"): 4}


def test_a_fit_that_is_exact_in_decimal_inches_is_used():
    """Eleven advances of 0.0625 + 0.045 in out of 1.1825 in: no slice may be lost to binary fractions."""
    inch = 25.4
    plan = plan_cuts([board("A", 1.1825 * inch)], [demand("d", 0.0625 * inch + 0.045 * inch, 11)])
    assert plan.made == {"d": 11}
    assert plan.shortages == ()


def test_a_long_slice_gives_several_layers_and_a_narrow_board_none():
    """Own sum: seven layers at three a slice take three slices; the narrow board stays."""
    rack = [board("narrow", 50.0, cost=0.5, pieces={"P": 0}), board("long", 9.0, cost=9.0, pieces={"P": 3})]
    plan = plan_cuts(rack, [demand("d", 3.0, 7)])
    assert cuts(plan) == {("long", "d"): 3}
    assert plan.made == {"d": 9}


def test_species_are_planned_apart():
    rack = [board("A", 10.0), board("W", 10.0, species="walnut")]
    plan = plan_cuts(rack, [demand("a", 2.0, 3), demand("w", 2.5, 2, species="walnut")])
    assert cuts(plan) == {("A", "a"): 3, ("W", "w"): 2}
    assert [proof.species for proof in plan.proofs] == ["ash", "walnut"]


def test_what_is_short_is_told_with_the_smallest_purchase_that_mends_it():
    """Own sum: 20 mm give eight of 2.5 and 12 mm four; fourteen are wanted, so two more: 5 mm, or one more board."""
    plan = plan_cuts([board("A", 20.0), board("B", 12.0)], [demand("d", 2.5, 14)])
    (short,) = plan.shortages
    assert (short.demand, short.species, short.panel, short.pieces, short.needed) == ("d", "ash", "P", 2, 14)
    assert not short.too_small
    (buy,) = plan.purchases
    assert (buy.species, buy.usable_mm, buy.like_board, buy.boards, buy.proven) == ("ash", 5.0, "A", 1, True)
    assert plan.made == {"d": 12}


def test_the_thickness_to_buy_uses_up_what_the_rack_still_gives():
    """Own sum: four of 4 and three of 3 take 25 mm; one of 4 and two of 3 use all 10 mm of the rack, so buy 15 mm.

    Two more boards of 10 mm do: two of 4, and one of 4 with one of 3.
    """
    plan = plan_cuts([board("A", 10.0)], [demand("thick", 4.0, 4), demand("thin", 3.0, 3)])
    assert plan.purchases[0].usable_mm == 15.0
    assert plan.purchases[0].boards == 2


def test_a_short_rack_makes_as_many_layers_as_it_can_and_completes_a_demand_where_that_is_free():
    """Own sum: 9 mm give three of 3 at most, or two of 4 (8 mm): three thin ones, and they complete their demand."""
    plan = plan_cuts([board("A", 9.0)], [demand("thick", 4.0, 5), demand("thin", 3.0, 3)])
    assert plan.made == {"thick": 0, "thin": 3}
    assert [(short.demand, short.pieces) for short in plan.shortages] == [("thick", 5)]


def test_of_two_equal_demands_one_is_complete_rather_than_both_short():
    """Own sum: 12 mm give four of 3; demands of four and four: one whole, not two and two."""
    plan = plan_cuts([board("A", 12.0)], [demand("one", 3.0, 4), demand("other", 3.0, 4, panel="P")])
    assert sorted(plan.made.values()) == [0, 4]


def test_no_board_of_the_species_is_told_as_too_small_whatever_its_thickness():
    plan = plan_cuts([board("A", 50.0, pieces={"P": 0})], [demand("d", 3.0, 2)])
    assert plan.shortages[0].too_small
    assert (plan.purchases[0].usable_mm, plan.purchases[0].like_board) == (6.0, "")


def test_nothing_needed_touches_no_board():
    plan = plan_cuts([board("A", 50.0)], [demand("d", 3.0, 0)])
    assert plan.boards == ()
    assert plan.untouched == ("A",)
    assert plan.made == {"d": 0}


def test_slices_of_one_panel_come_from_one_board_where_wished_although_two_would_be_cheaper():
    """Own sum: six slices of 2.5 need 15 mm; the two cheap boards give three each."""
    rack = [board("X", 8.0, cost=1.0), board("Y", 8.0, cost=1.0), board("Z", 16.0, cost=9.0)]
    assert cuts(plan_cuts(rack, [demand("d", 2.5, 6)])) == {("X", "d"): 3, ("Y", "d"): 3}
    wished = plan_cuts(rack, [demand("d", 2.5, 6, one_board=True)])
    assert cuts(wished) == {("Z", "d"): 6}
    assert [(each.wish, each.subject, each.honoured) for each in wished.wishes] == [
        ("slices from one board", "ash for P", True)
    ]


def test_a_wish_that_would_leave_layers_missing_is_reported_not_granted():
    rack = [board("X", 8.0), board("Y", 8.0)]
    (outcome,) = plan_cuts(rack, [demand("d", 2.5, 6, one_board=True)]).wishes
    assert not outcome.honoured
    assert outcome.reason == "the slices come from 2 boards; fewer would leave layers missing"


def test_pairs_come_from_neighbouring_cuts_where_wished():
    """Own sum: three and three would be cheaper; in pairs it must be four and two, so the dearer board is opened."""
    rack = [board("X", 8.0, cost=1.0), board("Y", 8.0, cost=1.0), board("Z", 10.0, cost=2.0)]
    plan = plan_cuts(rack, [demand("d", 2.5, 6, pairs=True)])
    assert sorted(cuts(plan).values()) == [2, 4]
    assert plan.wishes[0].honoured


def test_a_board_to_use_up_first_is_used_up_before_a_cheaper_one():
    rack = [board("X", 8.0, cost=9.0, use_first=True), board("Y", 20.0, cost=1.0)]
    plan = plan_cuts(rack, [demand("d", 2.5, 5)])
    assert cuts(plan) == {("X", "d"): 3, ("Y", "d"): 2}
    assert (plan.wishes[0].subject, plan.wishes[0].honoured) == ("X", True)


def test_remnants_worth_keeping_are_left_rather_than_two_thin_ones():
    """Own sum: six of 2 from started boards of 16 and 12: all from B leaves 16 and 0; three and three, 10 and 6."""
    rack = [board("A", 16.0, started=True), board("B", 12.0, started=True)]
    plan = plan_cuts(rack, [demand("d", 2.0, 6)], PlanOptions(useful_remnant_mm=7.0))
    assert cuts(plan) == {("B", "d"): 6}


def test_two_boards_or_demands_of_one_name_are_refused():
    with pytest.raises(ValueError, match=r"^boards with the same key: A; wanted a key of its own for each$"):
        plan_cuts([board("A", 1.0), board("A", 2.0)], [])
    with pytest.raises(ValueError, match=r"^demands with the same key: d; wanted a key of its own for each$"):
        plan_cuts([], [demand("d", 1.0, 1), demand("d", 2.0, 1)])


def test_an_advance_of_nothing_is_refused():
    with pytest.raises(ValueError, match=r"^the fence does not move for d; wanted an advance of more than 0 mm$"):
        plan_cuts([board("A", 1.0)], [demand("d", 0.0, 1)])


@pytest.mark.parametrize("part", [7, 11, 13])
def test_lengths_on_no_common_grid_lose_no_slice_either(part):
    """Own sum: one board is an inch, so many parts of it; the other half an inch and three parts: both fill exactly."""
    inch = 25.4
    rack = [board("A", inch), board("B", inch / 2 + 3 * inch / part)]
    plan = plan_cuts(rack, [demand("half", inch / 2, 1), demand("part", inch / part, part + 3)])
    assert plan.shortages == ()
    assert plan.made == {"half": 1, "part": part + 3}


def test_a_purchase_is_found_although_filling_boards_greedily_would_never_serve_all():
    """Own sum: the narrow wood of panel Q comes from A alone, 10 mm for five of 2, so all of P must be bought.

    Two boards like the thickest fresh one, B, of 6 mm: two slices of 3 each, three wanted.
    """
    rack = [board("A", 10.0, pieces={"P": 1, "Q": 1}, started=True), board("B", 6.0, pieces={"P": 1, "Q": 0})]
    wanted = [demand("p", 3.0, 5), demand("q", 2.0, 5, panel="Q")]
    plan = plan_cuts(rack, wanted)
    assert sum(each.pieces for each in plan.shortages) == 3
    assert (plan.purchases[0].like_board, plan.purchases[0].boards, plan.purchases[0].usable_mm) == ("B", 2, 9.0)


def test_the_proof_is_told_in_words():
    missing, runs = Level(MISSING, 0.0, 0.0, proven=True), Level(RUNS, 12.0, 4.0, proven=False)
    sure, unsure = Level(COST, 50.0, 50.0, proven=True), Level(COST, 51.0, 50.0, proven=False)
    assert Proof("ash", (missing, sure)).sentence == "best possible"
    best = Proof("ash", (missing, sure, runs))
    assert best.sentence == "best possible in layers and cost; settings of the dial 12, at least 4"
    near = Proof("ash", (missing, unsure, runs))
    assert near.sentence == "within 2.0 % of the best possible, as far as was searched"
    short = Proof("ash", (Level(MISSING, 5.0, 3.0, proven=False),))
    assert short.sentence == "layers missing 5, at best 3, as far as was searched"
    plan = CuttingPlan((), (), {}, proofs=(best, near))
    assert plan.proof == near.sentence


racks = st.lists(
    st.tuples(st.integers(0, 60_000), st.integers(0, 3), st.integers(0, 9), st.booleans()), min_size=1, max_size=5
)
needs = st.lists(st.tuples(st.integers(1_500, 6_000), st.integers(0, 15)), min_size=1, max_size=3)


@settings(max_examples=40, deadline=None)
@given(racks, needs)
def test_a_plan_never_uses_more_than_a_board_has_and_its_sums_close(rack, need):
    boards = [board(f"B{n}", mm / 1000, cost, pieces={"P": p}, started=s) for n, (mm, p, cost, s) in enumerate(rack)]
    demands = [demand(f"d{n}", advance / 1000, pieces) for n, (advance, pieces) in enumerate(need)]
    plan = plan_cuts(boards, demands, QUICK)
    by_key, made = {each.key: each for each in boards}, dict.fromkeys(plan.made, 0)
    for each in plan.boards:
        used_um = sum(run.slices * round(run.advance_mm * 1000) for run in each.passes)
        assert used_um <= round(by_key[each.board].usable_mm * 1000)
        assert each.used_mm == pytest.approx(used_um / 1000, abs=1e-9)
        assert each.used_mm + each.left_mm == pytest.approx(by_key[each.board].usable_mm, abs=1e-9)
        for run in each.passes:
            assert run.pieces == run.slices * by_key[each.board].pieces["P"]
            made[run.demand] += run.pieces
    assert made == plan.made
    short = {each.demand: each.pieces for each in plan.shortages}
    assert all(plan.made[each.key] + short.get(each.key, 0) >= each.pieces for each in demands)
    assert {each.board for each in plan.boards} | set(plan.untouched) == set(by_key)
    assert all(level.bound <= level.value + 1e-6 for proof in plan.proofs for level in proof.levels)


def drawn_rack(draw, pairs):
    """Ten boards and four thicknesses of an invented shop; the same at every run."""
    rng, panels = random.Random(draw), ["P", "Q"]
    boards, room = [], 0.0
    for number in range(10):
        usable = rng.randint(300, 2000) * 0.0254
        pieces = {panel: rng.choice([1, 1, 2, 0]) for panel in panels}
        price = round(usable * rng.uniform(0.8, 1.2), 2)
        started, first = rng.random() < 0.2, rng.random() < 0.1
        boards.append(Board(f"b{number}", "ash", usable, pieces, price, started=started, use_first=first))
        room += 0.7 * usable
    wanted = []
    for number in range(4):
        thick = rng.randint(10, 130) * 0.0254
        advance = thick + 50 * 0.0254
        count = max(1, int(room / 4 / advance))
        panel = panels[number % 2]
        wanted.append(Demand(f"d{number}", "ash", panel, thick, thick, advance, count, one_board=pairs, pairs=pairs))
    return boards, wanted


@pytest.mark.parametrize(("draw", "pairs"), [(3, False), (3, True), (1, True)])
def test_the_plan_does_not_hang_on_how_fast_the_machine_is(monkeypatch, draw, pairs):
    """Two seconds go by between one look at the clock and the next: it is the nodes that end the searches."""
    boards, wanted = drawn_rack(draw, pairs)
    quick = plan_cuts(boards, wanted)
    for module in ("plan_settle", "plan_patterns"):
        ticks = itertools.count(0.0, 2.0)
        monkeypatch.setattr(f"sheetkit.trade.{module}.monotonic", lambda ticks=ticks: next(ticks))
    assert plan_cuts(boards, wanted) == quick
