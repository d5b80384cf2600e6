"""Where the thickness of a board goes: slices, sawdust, truing, what is still good, what is held."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetkit.job.board_use import board_use
from sheetkit.job.results import compute

INCH = 25.4


def uses(job):
    inputs = job.inputs()
    results = compute(inputs)
    return [board_use(state, results.plan, inputs.shop) for state in results.states.values()]


@pytest.mark.parametrize(("slice_in", "kerf_in", "share"), [(0.040, 0.040, 0.5), (0.020, 0.035, 0.364)])
def test_the_saw_eats_half_as_in_case_a54(job, slice_in, kerf_in, share):
    """Case A54, printed to a tenth of a per cent."""
    job.shop["kerf_allowance_mm"] = kerf_in * INCH
    (use,) = uses(job.board("A", "cherry", 2.0).layer("cherry", slice_in, plies=10))
    assert use.share == pytest.approx(share, abs=0.0005)


def test_a_started_board_is_split_by_hand(job):
    """Own sum, 1 in: truing 0.05; two slices of 0.041 and 0.043 for advances of 0.09; one more of 0.038 set, for the
    offset learned is 0.002: advance 0.088, slice 0.040. 0.124 in slices, 0.144 in sawdust, 0.250 held, 0.432 good."""
    job.shop["truing_mm"] = 0.050 * INCH
    job.board("A", "cherry", 1.0).layer("cherry", 0.040, plies=3, tolerance=0.010)
    (use,) = uses(job.slice("A-1", 0.040, 0.041).slice("A-2", 0.040, 0.043))
    found = [use.start_mm, use.slices_mm, use.kerf_mm, use.truing_mm, use.left_mm, use.held_mm]
    assert [mm / INCH for mm in found] == pytest.approx([1.0, 0.124, 0.144, 0.050, 0.432, 0.250], abs=1e-9)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.integers(20, 60), max_size=6), st.integers(500, 2500), st.integers(1, 12))
def test_the_parts_add_up_to_the_board(job, sawn_thou, board_thou, plies):
    """Whatever was sawn and is still to come."""
    job.boards, job.targets, job.slices = [], [], []
    job.board("A", "cherry", board_thou / 1000).layer("cherry", 0.040, plies=plies)
    for number, reading in enumerate(sawn_thou, start=1):
        job.slice(f"A-{number}", 0.040, reading / 1000)
    (use,) = uses(job)
    parts = use.slices_mm + use.kerf_mm + use.truing_mm + use.left_mm + use.held_mm
    assert parts == pytest.approx(use.start_mm, abs=1e-9)
