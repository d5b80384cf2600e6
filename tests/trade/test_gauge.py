import pytest

from sheetkit.trade.gauge import Repeat, Study, crossed, study


def test_repeats_by_one_hand_give_repeatability_alone():
    """Pairs 0.2, 0.4 and 0 apart: squares 0.02 + 0.08 + 0 over 3 degrees of freedom."""
    pairs = {"E1-1": (1.0, 1.2), "E1-2": (2.0, 2.4), "E1-3": (3.0, 3.0)}
    found = study([Repeat(slice=name, hand="", reading_mm=mm) for name, pair in pairs.items() for mm in pair])
    assert found.repeatability_mm == pytest.approx((0.10 / 3) ** 0.5)
    assert found.reproducibility_mm is None
    assert found.measuring_mm == found.repeatability_mm
    assert found.method == "repeats of each slice alone"


def test_slices_read_once_say_nothing():
    assert study([Repeat(slice="a", hand="", reading_mm=1.0), Repeat(slice="b", hand="", reading_mm=2.0)]) is None
    assert study([]) is None


def test_a_study_with_gaps_falls_back_to_the_repeats():
    rows = [Repeat(slice="a", hand=hand, reading_mm=mm) for hand, mm in (("x", 1.0), ("x", 1.1), ("y", 1.2))]
    assert study([*rows, Repeat(slice="b", hand="x", reading_mm=2.0)]).repeatability_mm == pytest.approx(0.005**0.5)


def test_a_hand_that_reads_higher_shows_as_reproducibility():
    found = crossed([[[1.0, 1.01], [1.2, 1.21]], [[2.0, 2.01], [2.2, 2.21]], [[3.0, 3.01], [3.2, 3.21]]])
    # The second hand reads 0.2 higher: variance 0.2^2 / 2 between two hands.
    assert found.reproducibility_mm == pytest.approx(0.02**0.5, rel=1e-3)
    assert found.repeatability_mm < 0.01


def test_an_interaction_that_shows_is_not_pooled():
    found = crossed([[[1.0, 1.01], [2.0, 2.01]], [[2.0, 2.01], [1.0, 1.01]], [[3.0, 3.01], [3.5, 3.51]]])
    assert not found.table.pooled
    assert found.repeatability_mm == pytest.approx((6 * 0.00005 / 6) ** 0.5)


@pytest.mark.parametrize(
    ("measuring", "verdict"),
    [
        (0.0005, "The caliper will do: measuring takes up 3 % of the tolerance."),
        (
            0.003,
            "The caliper will do with care: measuring takes up 18 % of the tolerance; "
            "read twice and use the mean where a slice is near a limit.",
        ),
        (
            0.01,
            "The caliper will not do for this tolerance: measuring takes up 60 % of the tolerance; "
            "use a finer one, or allow more.",
        ),
    ],
)
def test_the_verdict_is_said_in_words(measuring, verdict):
    """Six standard deviations against a tolerance of 0.05 either way, so 0.1 whole."""
    found = Study(repeatability_mm=measuring, reproducibility_mm=None, slices_mm=0.1, table=None, method="")
    assert found.verdict(0.05) == verdict


def test_a_caliper_that_always_reads_the_same_is_no_error():
    found = crossed([[[1.0, 1.0], [1.0, 1.0]], [[2.0, 2.0], [2.0, 2.0]]])
    assert found.measuring_mm == 0.0
    assert found.percent_of_spread == 0.0
