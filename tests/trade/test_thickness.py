import pytest

from sheetkit.trade.thickness import (
    Readings,
    Verdict,
    batch,
    chance_between,
    judge,
    reading_uncertainty,
    shape_of,
)

INCH = 25.4


def corners(near_left: float, near_right: float, far_left: float, far_right: float, middle: float | None = None):
    return Readings(
        near_left_mm=near_left * INCH,
        near_right_mm=near_right * INCH,
        far_left_mm=far_left * INCH,
        far_right_mm=far_right * INCH,
        middle_mm=None if middle is None else middle * INCH,
    )


def test_a04_four_corners_give_mean_range_both_tapers_and_fail_on_the_worst():
    readings = corners(0.0410, 0.0430, 0.0450, 0.0430)
    shape = shape_of(readings)
    assert shape.mean_mm / INCH == pytest.approx(0.0430, abs=1e-9)
    assert shape.range_mm / INCH == pytest.approx(0.0040, abs=1e-9)
    assert shape.end_taper_mm / INCH == pytest.approx(0.0020, abs=1e-9)
    assert shape.side_taper_mm / INCH == pytest.approx(0.0, abs=1e-9)
    check = judge(readings, 0.043 * INCH, 0.0015 * INCH, caliper_mm=0.001 * INCH)
    assert check.verdict is Verdict.OUT
    assert check.worst_at in {"near left", "far left"}
    assert abs(check.worst_off_mm) / INCH == pytest.approx(0.0020, abs=1e-9)


def test_a_mean_on_target_does_not_save_a_slice_whose_corner_is_out():
    check = judge(corners(0.030, 0.042, 0.054, 0.042), 0.042 * INCH, 0.002 * INCH, caliper_mm=0.001 * INCH)
    assert check.shape.mean_mm == pytest.approx(0.042 * INCH)
    assert check.verdict is Verdict.OUT


def test_a_barrel_cut_shows_as_bow_and_not_as_taper():
    shape = shape_of(corners(0.040, 0.040, 0.040, 0.040, middle=0.037))
    assert shape.bow_mm / INCH == pytest.approx(-0.003)
    assert shape.end_taper_mm == pytest.approx(0)
    assert shape.side_taper_mm == pytest.approx(0)


def test_missing_corners_give_what_the_rest_allows():
    one_side = Readings(near_left_mm=1.0, far_left_mm=1.2, middle_mm=1.1)
    shape = shape_of(one_side)
    assert shape.end_taper_mm == pytest.approx(0.2)
    assert shape.side_taper_mm is None
    assert shape.bow_mm is None, "without a whole diagonal a taper would be taken for bow"
    diagonal = shape_of(Readings(near_left_mm=1.0, far_right_mm=1.2, middle_mm=1.15))
    assert diagonal.bow_mm == pytest.approx(0.05)
    assert diagonal.end_taper_mm is None


def test_readings_without_a_place_give_a_mean_and_a_spread_but_no_taper():
    shape = shape_of(Readings(others_mm=(1.0, 1.1, 1.3)))
    # Mean 3.4 / 3; squares about it (0.1333^2 + 0.0333^2 + 0.1667^2) / 2 = 0.02333.
    assert shape.mean_mm == pytest.approx(3.4 / 3)
    assert shape.sd_mm == pytest.approx(0.0233333**0.5, abs=1e-6)
    assert (shape.end_taper_mm, shape.side_taper_mm, shape.bow_mm) == (None, None, None)


def test_a_single_reading_has_no_spread():
    assert shape_of(Readings(middle_mm=1.0)).sd_mm is None


def test_nothing_read_is_not_a_verdict():
    check = judge(Readings(), 1.0, 0.1, caliper_mm=0.01)
    assert check.verdict is Verdict.NO_READING
    assert check.worst_mm is None


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        (1.000, Verdict.IN),
        (1.0835, Verdict.IN),
        (1.0836, Verdict.BORDERLINE),
        (1.1000, Verdict.BORDERLINE),
        (1.1164, Verdict.BORDERLINE),
        (1.1166, Verdict.OUT),
        (0.8834, Verdict.OUT),
        (0.9164, Verdict.BORDERLINE),
        (0.9166, Verdict.IN),
    ],
)
def test_a_reading_within_the_guard_band_of_a_limit_is_borderline(reading, verdict):
    """Limits 0.9 and 1.1; u = 0.01, so the guard band at 5 % is 1.6449 x 0.01 = 0.01645."""
    check = judge(Readings(middle_mm=reading), 1.0, 0.1, caliper_mm=0.0, repeatability_mm=0.01)
    assert check.guard_mm == pytest.approx(0.016449, abs=1e-6)
    assert check.verdict is verdict


def test_a_tolerance_finer_than_the_caliper_can_judge_is_said():
    check = judge(Readings(middle_mm=1.0), 1.0, 0.0004 * INCH, caliper_mm=0.001 * INCH)
    assert check.verdict is Verdict.BORDERLINE
    assert check.notes == ("The tolerance is finer than this caliper can judge: no reading could be accepted.",)


def test_a_caliper_coarser_than_a_tenth_of_the_tolerance_is_said_and_a_fine_one_is_not():
    coarse = judge(Readings(middle_mm=1.0), 1.0, 0.0015 * INCH, caliper_mm=0.001 * INCH)
    assert coarse.verdict is Verdict.IN
    assert "a tenth of the whole tolerance" in coarse.notes[0]
    assert judge(Readings(middle_mm=1.0), 1.0, 0.0015 * INCH, caliper_mm=0.0003 * INCH).notes == ()


def test_a12_a_pressed_stack_gives_a_mean_and_no_spread():
    """Case A12: 20 strips read 0.842 together, the tool good to 0.001 either way: 0.0421 to 0.00005; spread unknown."""
    stack = judge(Readings(others_mm=(0.842 * INCH / 20,), pressed=20), 0.042 * INCH, 0.002 * INCH, caliper_mm=0.0)
    assert stack.shape.mean_mm / INCH == pytest.approx(0.0421, abs=1e-9)
    assert stack.shape.sd_mm is None
    assert stack.verdict is Verdict.MEAN_ONLY
    assert reading_uncertainty(0.0, 0.001 * INCH, pressed=20) / INCH == pytest.approx(0.00005, abs=1e-9)


def test_a_pressed_stack_is_never_called_in_tolerance_slice_by_slice():
    pressed = Readings(others_mm=(0.0421 * INCH, 0.0422 * INCH), pressed=20)
    check = judge(pressed, 0.042 * INCH, 0.002 * INCH, caliper_mm=0.001 * INCH)
    assert check.verdict is Verdict.MEAN_ONLY
    assert check.shape.sd_mm is None
    assert check.notes[-1] == "20 slices were read together: their mean is known, their spread is not."
    assert check.uncertainty_mm == pytest.approx(0.001 * INCH / 12**0.5 / 20)


def test_a_pressed_stack_whose_mean_is_out_is_out():
    check = judge(Readings(others_mm=(1.5,), pressed=10), 1.0, 0.1, caliper_mm=0.02)
    assert check.verdict is Verdict.OUT


def test_repeatability_and_resolution_add_as_squares():
    assert reading_uncertainty(0.003 * 12**0.5, 0.004) == pytest.approx(0.005)


def test_without_uncertainty_a_reading_on_the_limit_is_in():
    assert chance_between(1.1, 0.0, 0.9, 1.1) == 1.0
    assert chance_between(1.1001, 0.0, 0.9, 1.1) == 0.0


def test_a_batch_tells_mean_least_range_spread_and_bias_apart():
    found = batch([1.00, 1.02, 1.04, 1.10], 1.03)
    assert found.mean_mm == pytest.approx(1.04)
    assert found.least_mm == 1.00
    assert found.range_mm == pytest.approx(0.10)
    # (0.04^2 + 0.02^2 + 0 + 0.06^2) / 3 = 0.0056 / 3
    assert found.sd_mm == pytest.approx((0.0056 / 3) ** 0.5)
    assert found.bias_mm == pytest.approx(0.01)
    assert batch([1.0], 1.0).sd_mm is None


def test_a16_a_bias_grows_with_every_layer():
    found = batch([0.041 * INCH] * 5, 0.040 * INCH)
    assert found.bias_over(36) / INCH == pytest.approx(0.036, abs=1e-9)


def test_a14_a_board_measured_on_four_sides_counts_with_its_mean():
    found = batch([side * INCH for side in (0.731, 0.742, 0.738, 0.729)], 0.75 * INCH)
    assert found.mean_mm / INCH == pytest.approx(0.735, abs=1e-9)
