"""Balance about the middle."""

from sheetkit.trade.balance import Layer, UnlikePair, unlike_pairs

WOODS = {"M": "maple", "W": "walnut", "P": "padauk"}


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
