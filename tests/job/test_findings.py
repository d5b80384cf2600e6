"""What the record and the names of woods give reason to point out."""

import pytest

from sheetkit.job.results import compute


def said(job, words):
    return [str(problem) for problem in compute(job.inputs()).problems if words in problem.found]


def test_a_layer_thinner_than_any_slice_kept_so_far_is_said(job):
    """Case P10: the saw's own record; a slice not used is no evidence, nor is another wood."""
    job.board("A", "cherry", 3.0).board("W", "wenge", 3.0)
    job.layer("cherry", 0.040).layer("cherry", 0.012, plies=2).layer("wenge", 0.012)
    job.slice("A-1", 0.040, 0.040).slice("A-2", 0.030, 0.030).slice("A-3", 0.012, 0.012, use=False)
    assert said(job, "thinner than any") == [
        "Targets!A4: found a slice of 0.0120 in of cherry, thinner than any on Measurements, wanted no thinner than "
        "0.0300 in, the thinnest of this wood that was kept. To fix: nothing, if your saw can; saw one and look at it "
        "before the others, as the saw's manual allows."
    ]


def test_once_it_was_sawn_it_is_said_no_more(job):
    job.board("A", "cherry", 3.0).layer("cherry", 0.012, plies=2)
    job.slice("A-1", 0.040, 0.040).slice("A-2", 0.012, 0.0125)
    assert said(job, "thinner than any") == []


def test_slices_that_came_off_a_little_thick_are_evidence_enough(job):
    """0.040 wanted, 0.043 kept: the saw does saw so thin, the dial is off."""
    job.board("A", "cherry", 3.0).layer("cherry", 0.040, plies=2)
    assert said(job.slice("A-1", 0.040, 0.043), "thinner than any") == []


def test_a_bare_name_beside_a_fuller_one_is_asked_about(job):
    job.board("A", "hard maple", 3.0).layer("maple", 0.040)
    assert said(job, "named elsewhere") == [
        "Targets!A3: found maple, which may be the hard maple named elsewhere, wanted one name for one wood. To fix: "
        "if it is hard maple, type that here as well; until then the two are planned apart."
    ]


@pytest.mark.parametrize(("stock", "target"), [("sugar maple", "hard maple"), ("wenge", "maple"), ("maple", "maple")])
def test_one_wood_or_two_that_cannot_be_one_are_not_asked_about(job, stock, target):
    job.board("A", stock, 3.0).layer(target, 0.040)
    assert said(job, "named elsewhere") == []
