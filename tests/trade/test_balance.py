"""Balance about the middle, and tapers that fan out."""

import pytest

from sheetkit.trade.balance import Layer, UnlikePair, every_second_turned, summed_taper, unlike_pairs

WOODS = {"M": "maple", "W": "walnut", "P": "padauk"}
INCH = 25.4


def stack(letters: str) -> list[Layer]:
    return [Layer(WOODS[letter], 1.0, "flat") for letter in letters.split()]


def test_the_stacks_of_case_a19_are_balanced_and_not():
    """Case A19: M W M P M W M balanced; M W P M M W M not, pair 3/5, P against M."""
    assert unlike_pairs(stack("M W M P M W M"), 0.0) == []
    assert unlike_pairs(stack("M W P M M W M"), 0.0) == [UnlikePair(3, 5, species=("padauk", "maple"))]


def test_thickness_and_grain_count_as_well_as_species():
    one, other = Layer("ash", 1.0, "flat"), Layer("ash", 1.2, "quarter")
    assert unlike_pairs([one, other], 0.1) == [UnlikePair(1, 2, thickness_mm=(1.0, 1.2), grain=("flat", "quarter"))]
    assert unlike_pairs([one, Layer("ash", 1.1, "")], 0.1) == []


def test_an_even_stack_and_none_have_their_middle_between():
    assert unlike_pairs(stack("M W W M"), 0.0) == []
    assert unlike_pairs([], 0.0) == []


def test_small_tapers_the_same_way_make_the_fan_of_case_a20():
    """Case A20: 40 strips, each 0.002 thicker on one edge: 0.080 the same way round, 0 with every second flipped."""
    tapers = [0.002 * INCH] * 40
    assert summed_taper(tapers, [False] * 40) == pytest.approx(0.080 * INCH, abs=1e-9)
    assert summed_taper(tapers, every_second_turned(40)) == 0.0


def test_tapers_without_their_turns_are_refused():
    with pytest.raises(ValueError, match=r"^2 tapers but 1 turns were given; wanted one for each$"):
        summed_taper([0.1, 0.2], [True])
