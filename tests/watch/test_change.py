"""The one line that says what a refresh changed."""

from dataclasses import replace
from pathlib import Path

from sheetkit.errors import CellProblem, Harm
from sheetkit.pipeline import Outcome, Progress
from sheetkit.watch.change import change

PLANNED = Outcome(
    path=Path("box.xlsx"), written=True, dry_run=False, headlines=["Can it be made? Yes."], problems=[],
    assumptions=[], records=[], progress=Progress("in", slices_sawn=0, slices_left=36, offsets_mm={}),
)  # fmt: skip


def found(harm):
    return CellProblem("Stock", "D7", "x", "a number", "type one", harm)


def test_the_first_refresh_tells_every_figure():
    assert change(None, PLANNED) == "refreshed; slices left 36, sawn 0, findings 0. Can it be made? Yes."


def test_later_ones_tell_only_what_is_different():
    """0.0127 mm are 0.0005 in: 25.4 mm make an inch."""
    after = replace(PLANNED, progress=Progress("in", 4, 32, {"ash": 0.0127}))
    assert change(PLANNED, after) == "refreshed; slices left 32 (was 36), sawn 4 (was 0), offset of ash +0.0005 in."


def test_an_offset_that_changes_tells_the_old_one_and_its_sign():
    before = replace(PLANNED, progress=Progress("mm", 4, 32, {"ash": 0.05, "teak": 0.1}))
    after = replace(PLANNED, progress=Progress("mm", 4, 32, {"ash": -0.02}))
    assert change(before, after) == (
        "refreshed; offset of ash -0.020 mm (was +0.050 mm), offset of teak none any more."
    )  # fmt: skip


def test_offsets_are_told_in_thou_where_the_maker_reads_thou():
    """0.0127 mm are half a thousandth of an inch."""
    after = replace(PLANNED, progress=Progress("thou", 4, 32, {"ash": 0.0127}))
    assert change(None, after).endswith("offset of ash +0.5 thou, findings 0. Can it be made? Yes.")


def test_findings_are_counted_without_those_for_information():
    after = replace(PLANNED, problems=[found(Harm.LEFT_OUT), found(Harm.GUESSED), found(Harm.NOTED)])
    assert change(PLANNED, after) == "refreshed; findings 2 (was 0)."


def test_the_answer_is_told_when_it_is_a_new_one():
    after = replace(PLANNED, headlines=["Can it be made? No: stock is short of ash."])
    assert change(PLANNED, after) == (
        "refreshed; as before: slices left 36, sawn 0, findings 0. Can it be made? No: stock is short of ash."
    )


def test_nothing_written_is_said():
    after = replace(PLANNED, written=False)
    assert change(PLANNED, after) == "already up to date; as before: slices left 36, sawn 0, findings 0."
