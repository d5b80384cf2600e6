import numpy as np
import pytest

from sheetkit.trade.offset import Basis, Observation, learn, next_setting

INCH = 25.4
ALLOWANCE = 0.050 * INCH
CALIPER = 0.001 * INCH


def rows(species: str, set_in: float, slices_in: list[float], *, blade: str | None = None, first: int = 1):
    return [
        Observation(species=species, blade=blade, set_mm=set_in * INCH, slice_mm=value * INCH, order=first + place)
        for place, value in enumerate(slices_in)
    ]


COMMON = [
    *rows("ash", 0.010, [0.0125, 0.014, 0.012, 0.013, 0.0135]),
    *rows("alder", 0.005, [0.006, 0.0055, 0.007, 0.0065, 0.006], first=6),
    *rows("plum", 0.020, [0.021, 0.023, 0.0215, 0.020, 0.022], first=11),
]
"""Common practice, no source: what comes off for three settings of a shop that dials 0.050 in for the kerf."""


def found(observations, **more):
    return learn(observations, allowance_mm=ALLOWANCE, caliper_mm=CALIPER, **more)


@pytest.mark.parametrize("species", ["ash", "alder", "plum"])
def test_common_readings_give_the_true_kerf(species):
    assert 0.047 <= found(COMMON).of(species).kerf_mm / INCH <= 0.050


def test_common_readings_keep_the_species_apart():
    offsets = {one.species: one.offset_mm / INCH for one in found(COMMON).estimates}
    assert offsets["ash"] - offsets["alder"] > 0.0008
    assert offsets["ash"] - offsets["plum"] > 0.0008


@pytest.mark.parametrize(("species", "target_in"), [("ash", 0.013), ("alder", 0.012), ("plum", 0.0215), ("ash", 0.040)])
def test_the_corrected_setting_meets_the_target_within_a_division(species, target_in):
    estimate = found(COMMON).of(species)
    setting = next_setting(target_in * INCH, 0.002 * INCH, estimate, 0.001 * INCH)
    comes_off = setting.set_mm + estimate.raw_mean_mm
    assert abs(comes_off / INCH - target_in) < 0.001
    assert setting.set_mm / INCH == pytest.approx(round(setting.set_mm / INCH, 3), abs=1e-12), "on a mark of the dial"
    assert setting.chance > 0.8


def test_readings_that_rise_on_every_board_are_not_taken_for_drift():
    rising = [
        *rows("ash", 0.010, [0.012, 0.013, 0.014]),
        *rows("alder", 0.005, [0.0055, 0.006, 0.007], first=4),
        *rows("plum", 0.020, [0.020, 0.0215, 0.023], first=7),
    ]
    for one in found(rising).estimates:
        assert 0.047 <= one.kerf_mm / INCH <= 0.050


def test_one_species_alone_keeps_its_plain_mean_and_the_t_interval():
    values = [0.0125, 0.0140, 0.0120, 0.0130, 0.0135]
    one = found(rows("ash", 0.010, values)).of("ash")
    # Mean 0.0130; squares about it 2.5e-6, s = sqrt(2.5e-6 / 4) = 0.00079057; t(0.975, 4) = 2.7764 (any t table).
    s = (2.5e-6 / 4) ** 0.5
    half = 2.7764 * s / 5**0.5
    assert one.offset_mm / INCH == pytest.approx(0.003, abs=1e-9)
    assert one.standard_error_mm / INCH == pytest.approx(s / 5**0.5, rel=1e-6)
    assert one.interval_mm[0] / INCH == pytest.approx(0.003 - half, abs=1e-7)
    assert one.interval_mm[1] / INCH == pytest.approx(0.003 + half, abs=1e-7)
    assert (one.next_mm[1] - one.next_mm[0]) / INCH == pytest.approx(2 * 2.7764 * s * 1.2**0.5, abs=2e-7)
    assert one.basis is Basis.OWN
    assert one.own_share == 1.0


def test_few_readings_lean_on_the_other_species_and_many_do_not():
    others = rows("alder", 0.010, [0.0105, 0.0115, 0.011] * 4) + rows("plum", 0.010, [0.0110, 0.0120, 0.0115] * 4)
    few = found([*others, *rows("ash", 0.010, [0.0125])]).of("ash")
    many = found([*others, *rows("ash", 0.010, [0.0145, 0.0155, 0.015] * 20)]).of("ash")
    assert few.offset_mm < few.raw_mean_mm - 0.0001 * INCH
    assert few.basis is Basis.SHARED
    assert few.rests_on == f"its own readings and those of the other species, its own counting {few.own_share:.0%}"
    assert many.offset_mm == pytest.approx(many.raw_mean_mm, abs=0.00005 * INCH)
    assert many.rests_on == "its own readings"


def test_a_species_without_readings_rests_on_the_others_and_is_less_sure():
    offsets = found(COMMON)
    other = offsets.of("elm")
    assert other.rests_on == "the readings of the other species"
    assert other.raw_mean_mm is None
    assert min(one.offset_mm for one in offsets.estimates) < other.offset_mm
    assert other.offset_mm < max(one.offset_mm for one in offsets.estimates)
    assert other.standard_error_mm > 1.5 * offsets.of("ash").standard_error_mm


def test_without_any_reading_the_given_allowance_holds_and_nothing_is_claimed():
    one = learn([], allowance_mm=ALLOWANCE, given_offset_mm=0.002 * INCH).of("ash")
    assert one.rests_on == "the given allowance"
    assert one.offset_mm == 0.002 * INCH
    assert one.kerf_mm / INCH == pytest.approx(0.048)
    assert (one.standard_error_mm, one.interval_mm, one.next_mm, one.kerf_interval_mm) == (None, None, None, None)
    assert next_setting(0.040 * INCH, 0.002 * INCH, one, 0.001 * INCH).chance is None


def test_a_single_reading_gives_an_offset_but_no_interval():
    offsets = found(rows("ash", 0.010, [0.013]))
    one = offsets.of("ash")
    assert one.offset_mm / INCH == pytest.approx(0.003)
    assert one.interval_mm is None
    assert offsets.slice_sd_mm is None


def test_a_new_blade_is_learned_apart_and_the_difference_between_species_carries_over():
    old = rows("ash", 0.01, [0.013, 0.0131, 0.0129, 0.013] * 3, blade="A") + rows(
        "plum", 0.01, [0.011, 0.0111, 0.0109, 0.011] * 3, blade="A", first=13
    )
    new = rows("ash", 0.01, [0.023, 0.0231, 0.0229, 0.023], blade="B", first=25)
    offsets = found(old + new)
    assert offsets.of("ash", "A").offset_mm / INCH == pytest.approx(0.003, abs=5e-5)
    assert offsets.of("ash", "B").offset_mm / INCH == pytest.approx(0.013, abs=5e-5)
    unseen = offsets.of("plum", "B")
    assert unseen.offset_mm / INCH == pytest.approx(0.011, abs=2e-4)
    assert unseen.rests_on == "the readings of the other species"


def test_a_blade_that_has_sawn_nothing_takes_the_other_blades_value_and_claims_nothing():
    one = found(rows("ash", 0.01, [0.013, 0.014], blade="A")).of("ash", "C")
    assert one.rests_on == "the readings with other blades"
    assert one.offset_mm / INCH == pytest.approx(0.0035)
    assert one.interval_mm is None


def test_the_only_blade_need_not_be_named():
    offsets = found(rows("ash", 0.01, [0.013, 0.014], blade="A"))
    assert offsets.of("ash") == offsets.of("ash", "A")


def test_a_pressed_stack_counts_as_the_mean_of_its_slices():
    single = rows("ash", 0.010, [0.012, 0.013, 0.014])
    pressed = Observation(species="ash", set_mm=0.010 * INCH, slice_mm=0.0135 * INCH, slices=9, order=4)
    one = found([*single, pressed]).of("ash")
    # (3 x 0.003 + 9 x 0.0035) / 12 = 0.003375
    assert one.offset_mm / INCH == pytest.approx(0.003375, abs=1e-9)
    assert (one.readings, one.slices) == (4, 12)


def test_a_wild_reading_is_named_and_stays_in():
    readings = rows("ash", 0.010, [0.0125, 0.0131, 0.012, 0.013, 0.0135, 0.031])
    offsets = found(readings)
    assert [flag.index for flag in offsets.flagged] == [5]
    assert offsets.flagged[0].deviation_mm / INCH == pytest.approx(0.01795, abs=1e-6)
    assert offsets.of("ash").raw_mean_mm / INCH == pytest.approx(0.00585, abs=1e-6), "kept, so that the maker decides"
    assert found(readings[:5]).flagged == ()


def test_readings_one_division_apart_are_never_wild():
    assert found(rows("ash", 0.010, [0.013] * 9 + [0.014])).flagged == ()


def test_readings_that_agree_to_the_division_do_not_prove_that_nothing_varies():
    one = found(rows("ash", 0.010, [0.013, 0.013, 0.013])).of("ash")
    # Least spread: division / sqrt(12); t(0.975, 2) = 4.3027.
    assert (one.interval_mm[1] - one.interval_mm[0]) / 2 == pytest.approx(4.3027 * CALIPER / 12**0.5 / 3**0.5, rel=1e-4)


def test_an_exact_line_of_slope_one_gives_no_alarm():
    readings = [
        Observation(species="ash", set_mm=value, slice_mm=value + 0.1, order=place)
        for place, value in enumerate([0.2, 0.4, 0.6, 0.8])
    ]
    assert not found(readings).slope.use_line


def test_when_the_slices_do_not_follow_the_dial_the_fitted_line_is_used():
    """Slices of 1.2 x set + 0.05 mm, give or take 0.001 mm: for 0.77 mm dial (0.77 - 0.05) / 1.2 = 0.60 mm."""
    wobble = [0.001, -0.001, -0.001, 0.001] * 2
    readings = [
        Observation(species="ash", set_mm=mm, slice_mm=1.2 * mm + 0.05 + off, order=place)
        for place, (mm, off) in enumerate(zip([0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9], wobble, strict=True))
    ]
    offsets = learn(readings, allowance_mm=ALLOWANCE)
    assert offsets.slope.use_line
    assert offsets.slope.slope == pytest.approx(1.2, abs=0.005)
    setting = next_setting(0.77, 0.02, offsets.of("ash"), 0.001)
    assert setting.set_mm == pytest.approx(0.60, abs=0.002)
    assert setting.expected_mm == pytest.approx(0.77, abs=0.002)


def test_two_settings_are_too_few_for_a_slope():
    assert found(rows("ash", 0.010, [0.013, 0.012]) + rows("ash", 0.02, [0.023, 0.022])).slope is None


def test_settings_that_differ_only_between_species_are_no_test_of_the_slope():
    assert found(COMMON).slope is None


def test_a_long_drifting_run_may_be_allowed_for():
    """0.0002 in more at each cut, from 0.002 in: the 41st slice is 0.010 in over its set."""
    wobble = [0.0001, -0.0001]
    run = rows("ash", 0.01, [0.012 + 0.0002 * place + wobble[place % 2] for place in range(40)])
    followed = found(run, allow_drift=True)
    assert followed.drift_mm / INCH == pytest.approx(0.0002, abs=5e-6)
    assert followed.of("ash").offset_mm / INCH == pytest.approx(0.010, abs=2e-4)
    assert found(run).drift_mm is None


def test_the_order_of_the_rows_does_not_matter():
    offsets, reversed_ = found(COMMON), found(COMMON[::-1])
    for one in offsets.estimates:
        assert reversed_.of(one.species).offset_mm == pytest.approx(one.offset_mm, rel=1e-9)


@pytest.mark.parametrize(("exact", "dialled"), [(0.0104, 0.010), (0.0106, 0.011), (0.0105, 0.011)])
def test_a_setting_goes_to_the_nearest_mark(exact, dialled):
    given = learn([], allowance_mm=ALLOWANCE).of("ash")
    assert next_setting(exact * INCH, 0.001 * INCH, given, 0.001 * INCH).set_mm / INCH == pytest.approx(dialled)


def test_the_chance_to_fall_in_tolerance_is_that_of_the_t_distribution():
    """Five readings, mean offset 0, s = 0.1: the next differs by s sqrt(1.2) t(4); t(0.975, 4) = 2.7764."""
    spread = 0.1 / (0.625**0.5)
    readings = [
        Observation(species="ash", set_mm=1.0, slice_mm=1.0 + spread * step) for step in (-1.0, -0.5, 0.0, 0.5, 1.0)
    ]
    one = learn(readings, allowance_mm=ALLOWANCE).of("ash")
    setting = next_setting(1.0, 2.7764 * 0.1 * 1.2**0.5, one, 0.01)
    assert setting.chance == pytest.approx(0.95, abs=1e-4)


def test_an_unbelievable_slope_is_told_and_not_used():
    """Slices that do not change with the dial at all: the settings were noted wrongly."""
    readings = [
        Observation(species="ash", set_mm=mm, slice_mm=0.5 + off)
        for mm, off in zip([0.2, 0.3, 0.4, 0.5, 0.6], [0.001, -0.001, 0.0, 0.001, -0.001], strict=True)
    ]
    offsets = found(readings)
    assert not offsets.slope.use_line
    assert offsets.slope.words == (
        "The slices change by 0.00 for each 1 dialled, which is past belief: "
        "look for a set thickness that was noted wrongly. One offset is used for all settings."
    )


def test_one_species_says_nothing_of_how_far_another_differs():
    other = found(rows("ash", 0.010, [0.0125, 0.014, 0.012])).of("elm")
    assert other.rests_on == "the readings of the other species"
    assert other.interval_mm is None
    assert other.next_mm is None


def test_a_species_is_as_sure_as_it_says_over_many_jobs():
    """400 jobs of four species, five slices each: 95 % intervals hold between 93 and 97 % of the time."""
    random = np.random.default_rng(11)
    held = 0
    for _ in range(400):
        offsets = random.normal(0.05, 0.0127, 4)
        readings = [
            Observation(species=str(place), set_mm=1.0, slice_mm=1.0 + offset + error)
            for place, offset in enumerate(offsets)
            for error in random.normal(0, 0.0178, 5)
        ]
        for one, truth in zip(learn(readings, allowance_mm=ALLOWANCE).estimates, offsets, strict=True):
            held += one.interval_mm[0] <= truth <= one.interval_mm[1]
    assert 0.93 <= held / 1600 <= 0.97
