"""The planner against an independent solver, CP-SAT of ortools, and against trying every plan."""

import random
from itertools import product

import pytest

from sheetkit.trade.plan import plan_cuts
from sheetkit.trade.plan_model import COST, MISSING, Board, CuttingPlan, Demand, PlanOptions

cp_model = pytest.importorskip("ortools.sat.python.cp_model", reason="ortools is not installed")

PATIENT = PlanOptions(time_limit_s=20.0, node_limit=50_000)


def job(draw: int, boards: int, demands: int) -> tuple[list[Board], list[Demand]]:
    """An invented rack and what is wanted of it, in hundredths of a millimetre; enough or not as it falls."""
    rng = random.Random(draw)
    rack = [
        Board(
            f"B{number}",
            "ash",
            rng.randint(200, 2500) / 100,
            {"P": rng.choice([1, 1, 2, 3]), "Q": rng.choice([0, 1, 1, 2])},
            cost=float(rng.randint(1, 30)),
            started=rng.random() < 0.25,
        )
        for number in range(boards)
    ]
    share = rng.uniform(0.3, 1.1) / demands
    wanted = []
    for number in range(demands):
        advance = rng.randint(130, 420) / 100
        panel = rng.choice("PQ")
        room = sum(board.usable_mm * board.pieces[panel] for board in rack)
        wanted.append(
            Demand(f"d{number}", "ash", panel, advance - 1, advance - 1, advance, max(1, int(room * share / advance)))
        )
    return rack, wanted


def solved_elsewhere(rack: list[Board], wanted: list[Demand]) -> tuple[int, int]:
    """Least layers missing, then least cost, by CP-SAT."""
    model = cp_model.CpModel()
    cut = {(b.key, d.key): model.new_int_var(0, 200, "") for b in rack for d in wanted}
    opened = {b.key: model.new_bool_var("") for b in rack}
    short = {d.key: model.new_int_var(0, d.pieces, "") for d in wanted}
    for board in rack:
        used = sum(cut[board.key, d.key] * round(d.advance_mm * 100) for d in wanted)
        model.add(used <= round(board.usable_mm * 100) * opened[board.key])
    for d in wanted:
        model.add(sum(cut[b.key, d.key] * b.pieces[d.panel] for b in rack) + short[d.key] >= d.pieces)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 60
    model.minimize(sum(short.values()))
    assert solver.solve(model) == cp_model.OPTIMAL
    missing = round(solver.objective_value)
    model.add(sum(short.values()) == missing)
    least_incomplete(model, solver, wanted, short)
    model.minimize(sum(int(b.cost) * opened[b.key] for b in rack if not b.started))
    assert solver.solve(model) == cp_model.OPTIMAL
    return missing, round(solver.objective_value)


def least_incomplete(model, solver, wanted: list[Demand], short) -> None:
    flags = []
    for d in wanted:
        flag = model.new_bool_var("")
        model.add(short[d.key] <= d.pieces * flag)
        flags.append(flag)
    model.minimize(sum(flags))
    assert solver.solve(model) == cp_model.OPTIMAL
    model.add(sum(flags) <= round(solver.objective_value))


def reached(plan: CuttingPlan, rack: list[Board], wanted: list[Demand]) -> tuple[int, int]:
    """What the plan reaches, counted from its passes alone."""
    made = {d.key: 0 for d in wanted}
    for each in plan.boards:
        board = next(board for board in rack if board.key == each.board)
        assert sum(run.slices * round(run.advance_mm * 100) for run in each.passes) <= round(board.usable_mm * 100)
        for run in each.passes:
            panel = next(d.panel for d in wanted if d.key == run.demand)
            made[run.demand] += run.slices * board.pieces[panel]
    missing = sum(max(0, d.pieces - made[d.key]) for d in wanted)
    opened = {each.board for each in plan.boards}
    return missing, round(sum(board.cost for board in rack if board.key in opened and not board.started))


@pytest.mark.parametrize("draw", range(60))
def test_the_plan_is_as_good_as_an_independent_solver_says_it_can_be(draw):
    rack, wanted = job(draw, boards=2 + draw % 6, demands=1 + draw % 4)
    plan = plan_cuts(rack, wanted, PATIENT)
    assert reached(plan, rack, wanted) == solved_elsewhere(rack, wanted)
    levels = {level.aim: level for level in plan.proofs[0].levels}
    for aim in (MISSING, COST):
        assert levels[aim].proven
        assert levels[aim].bound <= levels[aim].value + 1e-6


@pytest.mark.parametrize("draw", range(100, 115))
def test_small_plans_are_as_good_as_trying_every_one(draw):
    rack, wanted = job(draw, boards=2, demands=2)
    wanted = [Demand(d.key, d.species, d.panel, d.target_mm, d.set_mm, d.advance_mm, min(d.pieces, 6)) for d in wanted]
    pairs = [(board, d) for board in rack for d in wanted]
    best = None
    for counts in product(range(7), repeat=4):
        used = dict.fromkeys((board.key for board in rack), 0)
        made = dict.fromkeys((d.key for d in wanted), 0)
        for (board, d), count in zip(pairs, counts, strict=True):
            used[board.key] += count * round(d.advance_mm * 100)
            made[d.key] += count * board.pieces[d.panel]
        if all(used[board.key] <= round(board.usable_mm * 100) for board in rack):
            missing = [max(0, d.pieces - made[d.key]) for d in wanted]
            cost = sum(board.cost for board in rack if used[board.key] and not board.started)
            reach = (sum(missing), sum(each > 0 for each in missing), cost)
            best = reach if best is None else min(best, reach)
    plan = plan_cuts(rack, wanted, PATIENT)
    missing, cost = reached(plan, rack, wanted)
    assert best is not None
    assert (missing, len(plan.shortages), cost) == best
