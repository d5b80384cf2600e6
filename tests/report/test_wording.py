"""Sentences of the result sheets: number, and the unit that the shop works in."""

import pytest

from sheetkit.errors import CellProblem, Harm
from sheetkit.job.measure import Measure
from sheetkit.report.lay_up import _differs
from sheetkit.report.problems import tally
from sheetkit.trade.balance import UnlikePair


def findings(*harms):
    return [CellProblem("Stock", "A3", "x", "y", "z", harm) for harm in harms]


def test_one_finding_and_several_agree_with_their_verb():
    assert tally(findings(Harm.STOPS_JOB, Harm.DOUBTFUL)) == "1 stops the job; 1 used, but check it"
    several = [Harm.STOPS_JOB] * 4 + [Harm.LEFT_OUT] * 2 + [Harm.DOUBTFUL] * 3
    assert tally(findings(*several)) == "4 stop the job; 2 left out; 3 used, but check them"


@pytest.mark.parametrize(
    ("unit", "words"), [("in", "0.0400 in against 0.0500 in"), ("mm", "1.016 mm against 1.270 mm")]
)
def test_an_unlike_pair_is_told_in_the_unit_of_the_shop(unit, words):
    pair = UnlikePair(1, 2, thickness_mm=(0.040 * 25.4, 0.050 * 25.4), grain=("flat", "quarter"))
    assert _differs(pair, Measure(unit)) == f"thickness {words}, flat grain against quarter grain"
