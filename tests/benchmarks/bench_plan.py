"""How long planning and laying up take, with bound and gap. Run it by hand: python tests/benchmarks/bench_plan.py.

Not a test: a clock on a busy machine proves nothing. Scenarios are invented and the same at every run.
"""

import random
import time

from sheetkit.trade.layup import lay_up
from sheetkit.trade.layup_model import Corners, LayupOptions, MeasuredSlice, WantedLayer, WantedPanel
from sheetkit.trade.plan import plan_cuts
from sheetkit.trade.plan_model import COST, MISSING, Board, Demand

INCH = 25.4
THOU = 0.001 * INCH


def rack(species: str, boards: int, thicknesses: int, draw: int) -> tuple[list[Board], list[Demand]]:
    """Boards of all sorts, seven tenths of which are needed."""
    rng = random.Random(draw)
    found = []
    for number in range(boards):
        usable = rng.randint(300, 2000) * THOU
        pieces = {"P": rng.choice([1, 1, 1, 2])}
        price = round(usable * rng.uniform(0.8, 1.2), 2)
        found.append(Board(f"{species}-{number}", species, usable, pieces, price, started=rng.random() < 0.2))
    room = 0.7 * sum(board.usable_mm * board.pieces["P"] for board in found)
    wanted = []
    for number, more in enumerate(rng.sample(range(10, 130), thicknesses)):
        advance = (more + 50) * THOU
        pieces = max(1, int(room / thicknesses / advance))
        wanted.append(Demand(f"{species} {number}", species, "P", more * THOU, more * THOU, advance, pieces))
    return found, wanted


def plan_row(title: str, species: int, boards: int, thicknesses: int, draw: int) -> str:
    """One row of the table: time, cost reached, bound, gap."""
    racks = [rack(f"wood {number}", boards, thicknesses, 100 * draw + number) for number in range(species)]
    start = time.perf_counter()
    plan = plan_cuts([b for each, _ in racks for b in each], [d for _, each in racks for d in each])
    spent = time.perf_counter() - start
    levels = [level for proof in plan.proofs for level in proof.levels]
    cost = sum(level.value for level in levels if level.aim == COST)
    bound = sum(level.bound for level in levels if level.aim == COST)
    missing = sum(level.value for level in levels if level.aim == MISSING)
    proven = all(level.proven for level in levels if level.aim in (COST, MISSING))
    gap = 100 * (cost / bound - 1) if bound else 0.0
    runs = sum(len(each.passes) for each in plan.boards)
    return (
        f"{title:38} {spent:6.2f} s  cost {cost:9.2f}  bound {bound:9.2f}  gap {gap:5.2f} %  proven {proven!s:5}  "
        + (f"missing {missing:g}  runs {runs}")
    )


def slices(count: int, draw: int) -> list[MeasuredSlice]:
    """Readings of an invented shop, read to a thousandth of an inch."""
    rng = random.Random(draw)
    found = []
    for number in range(count):
        kind, target = ("ash", 1.0) if number % 2 == 0 else ("plum", 0.6)
        mean, end, side = target + rng.gauss(0.003, 0.012), rng.gauss(0.010, 0.010), rng.gauss(0.005, 0.010)
        ends = [(-end / 2, -side / 2), (-end / 2, side / 2), (end / 2, -side / 2), (end / 2, side / 2), (0.0, 0.0)]
        read = [round((mean + a + b + rng.gauss(0, 0.003)) / THOU) * THOU for a, b in ends]
        found.append(MeasuredSlice(f"S-{number}", kind, Corners(*read), board=f"B{number // 40}", sawn=number))
    return found


def layup_row(title: str, count: int, layers: int, panels: int, draw: int) -> str:
    """One row of the table: time, what remains, what sawing order would have left."""
    stack = tuple(
        WantedLayer("ash", 1.0, 0.05) if n % 2 == 0 else WantedLayer("plum", 0.6, 0.05) for n in range(layers)
    )
    wanted = [WantedPanel(f"P{number}", stack) for number in range(panels)]
    found = slices(count, draw)
    start = time.perf_counter()
    layup = lay_up(found, wanted, LayupOptions(resolution_mm=THOU / 10))
    spent = time.perf_counter() - start
    worst = max(panel.closeness.worst_mm for panel in layup.panels)
    plain = max(panel.in_sawing_order.worst_mm for panel in layup.panels)
    return (
        f"{title:38} {spent:6.2f} s  worst {worst:8.5f} mm  as sawn {plain:7.4f} mm  bound {layup.bound_mm:.5f}  "
        + (layup.proof)
    )


def main() -> None:
    """Print the table."""
    import scipy.optimize

    print(f"scipy {scipy.__version__}, loaded before the clock starts")
    for draw in range(3):
        print(plan_row(f"6 species, 10 boards, 4 thicknesses #{draw}", 6, 10, 4, draw))
    for draw in range(6):
        print(plan_row(f"1 species, 60 boards, 8 thicknesses #{draw}", 1, 60, 8, draw))
    for draw in range(6):
        print(layup_row(f"120 layers from 150 slices #{draw}", 150, 120, 1, draw))
    print(layup_row("2 panels of 60 from 150 slices", 150, 60, 2, 7))
    print(layup_row("120 layers from 100 slices", 100, 120, 1, 8))


if __name__ == "__main__":
    main()
