"""Published instances of cutting stock, bin packing and number partitioning, solved by the planner and the lay-up."""

import pytest

from sheetkit.trade.layup import lay_up
from sheetkit.trade.layup_model import Corners, LayupOptions, MeasuredSlice, WantedLayer, WantedPanel
from sheetkit.trade.plan import plan_cuts
from sheetkit.trade.plan_model import COST, Board, Demand, PlanOptions

LONG_ENOUGH = PlanOptions(time_limit_s=60.0, node_limit=20_000)

U120_00 = """
42 69 67 57 93 90 38 36 45 42 33 79 27 57 44 84 86 92 46 38 85 33 82 73 49 70 59 23 57 72 74 69 33 42 28 46 30
64 29 74 41 49 55 98 80 32 25 38 82 30 35 39 57 84 62 50 55 27 30 36 20 78 47 26 45 41 58 98 91 96 73 84 37 93
91 43 73 85 81 79 71 80 76 83 41 78 70 23 42 87 43 84 60 55 49 78 73 62 36 44 94 69 32 96 70 84 58 78 25 80 58
66 83 24 98 60 42 43 43 39
"""


def boards_needed(stock: float, wanted: dict[float, int], rack: int) -> tuple[int, float]:
    """How many boards of one thickness the planner opens, and its bound; every layer must be made."""
    boards = [Board(f"B{number}", "ash", stock, {"P": 1}, cost=1.0) for number in range(rack)]
    demands = [Demand(f"d{width}", "ash", "P", width, width, width, pieces) for width, pieces in wanted.items()]
    plan = plan_cuts(boards, demands, LONG_ENOUGH)
    assert plan.shortages == ()
    assert all(plan.made[each.key] == each.pieces for each in demands)
    for each in plan.boards:
        assert sum(run.slices * run.advance_mm for run in each.passes) <= stock + 1e-9
    cost = next(level for level in plan.proofs[0].levels if level.aim == COST)
    assert len(plan.boards) == round(cost.value)
    return len(plan.boards), cost.bound


@pytest.mark.parametrize(("stock", "rolls", "relaxed"), [(100.0, 453, 452.25), (91.0, 551, 551.0)])
def test_the_textbook_rolls_are_cut_from_as_few_as_can_be(stock, rolls, relaxed):
    """Chvatal, Linear Programming (1983), chapter 13: 453 rolls of 100 (relaxed 452.25); recomputed for 91: 551."""
    opened, bound = boards_needed(stock, {45.0: 97, 36.0: 610, 31.0: 395, 14.0: 211}, rack=rolls + 40)
    assert opened == rolls
    assert relaxed <= bound <= rolls


def test_the_paper_mill_takes_73_rolls():
    """Standard encyclopaedia example of the cutting-stock problem; demand table from memory; 73, relaxed 72.917."""
    widths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
    pieces = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)
    opened, bound = boards_needed(5600.0, dict(zip(map(float, widths), pieces, strict=True)), rack=90)
    assert (opened, bound) == (73, 73.0)
    used = sum(width * count for width, count in zip(widths, pieces, strict=True))
    assert 100 * (1 - used / (73 * 5600)) == pytest.approx(0.401, abs=0.001)


def test_fractional_widths_take_44_rolls():
    """Chvatal, Linear Programming (1983), exercise to chapter 13, from memory: 44."""
    assert boards_needed(91.0, {25.5: 78, 22.5: 40, 20.0: 30, 15.0: 30}, rack=60) == (44, 44.0)


def test_u120_00_is_packed_into_48_bins():
    """Falkenauer, Journal of Heuristics 2 (1996); OR-Library, binpack1, first instance: 48; first fit gives 49."""
    items = [float(each) for each in U120_00.split()]
    assert (len(items), sum(items)) == (120, 7078.0)
    wanted = {width: items.count(width) for width in sorted(set(items), reverse=True)}
    assert boards_needed(150.0, wanted, rack=60) == (48, 48.0)


def test_a_kerf_between_parts_is_one_added_to_every_part_and_to_the_stock():
    """Exact: two parts of 48.5 with a kerf of 3 between them fill 100, so eight take four boards of 100 + 3."""
    kerf = 3.0
    assert boards_needed(100.0 + kerf, {48.5 + kerf: 8}, rack=6) == (4, 4.0)


@pytest.mark.parametrize(
    ("block", "strip", "kerf", "count", "share"),
    [
        (2.0, 0.0625, 0.045, 19, 0.59375),
        (1.0, 0.020, 0.045, 16, 0.320),
        (3.5, 0.125, 0.050, 20, 0.714286),
        (0.75, 0.008, 0.040, 16, 0.170667),
        (6.0, 0.03125, 0.0475, 76, 0.395833),
    ],
)
def test_slices_without_a_cut_after_the_last_one(block, strip, kerf, count, share):
    """Arithmetic, n = floor((L + k) / (t + k)); the share is n * t / L."""
    stock, advance = block + kerf, strip + kerf
    plan = plan_cuts([Board("A", "ash", stock, {"P": 1})], [Demand("d", "ash", "P", strip, strip, advance, 99)])
    assert plan.made["d"] == count
    assert plan.made["d"] * strip / block == pytest.approx(share, abs=1e-6)


@pytest.mark.parametrize(("numbers", "least"), [((8, 7, 6, 5, 4), 0), ((9, 7, 6, 5, 4), 1), ((16, 3, 2, 2), 9)])
def test_tapers_are_parted_as_evenly_as_numbers_can_be(numbers, least):
    """Karmarkar & Karp (1982), Korf (1998) on 8 7 6 5 4: best difference 0, greedy 4, largest differencing 2.

    The others by hand: an odd sum leaves at least 1 (9 + 7 = 6 + 5 + 4 + 1); 16 outweighs 3 + 2 + 2 by 9.
    """
    slices = [
        MeasuredSlice(f"A-{place}", "ash", Corners(9.0, 9.0, 9.0 + number, 9.0 + number, 9.0 + number / 2))
        for place, number in enumerate(numbers)
    ]
    wanted = WantedPanel("P", (WantedLayer("ash", 9.0 + sum(numbers) / 2 / len(numbers)),) * len(numbers))
    layup = lay_up(slices, [wanted], LayupOptions(resolution_mm=1e-6))
    assert abs(layup.panels[0].closeness.end_taper_mm) == pytest.approx(least, abs=1e-6)
    assert layup.residual_mm == pytest.approx(layup.bound_mm, abs=1e-5)
