"""One wood, many spellings; and nothing assumed in silence."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetkit.errors import UnreadableValue
from sheetkit.trade.species import Outcome, find_species, may_be_the_same, species_names
from sheetkit.trade.species_data import NameKind, reactions, woods
from sheetkit.trade.species_words import LOOKS, TREATED, slips_between


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Hard Maple", "sugar maple"),
        ("maple, hard", "sugar maple"),
        ("Maple, sugar", "sugar maple"),
        ("HARD-MAPLE ", "sugar maple"),
        ("maple (hard)", "sugar maple"),
        ("Rock maples", "sugar maple"),
        ("Acer saccharum", "sugar maple"),
        ("A. saccharum", "sugar maple"),
        ("black walnuts", "black walnut"),
        ("Purple Heart", "purpleheart"),
        ("yellow-poplar", "yellow poplar"),
        ("Gonçalo Alves", "goncalo alves"),
        ("bois d’arc", "osage orange"),
        ("teakwood", "teak"),
        ("4/4 white ash KD", "white ash"),
        ("padauk/padouk", "padauk"),
    ],
)
def test_every_usual_spelling_of_a_wood_gets_its_one_key_without_a_question(text, key):
    match = find_species(text)
    assert (match.key, match.certain, match.written) == (key, True, text)


@pytest.mark.parametrize("text", [" padouk ", "Padauk", "Paduk", "PADUAK", "african padouk"])
def test_a80_padouk_is_padauk(text):
    match = find_species(text)
    assert (match.key, match.label, match.certain) == ("padauk", "padauk", True)


@pytest.mark.parametrize(
    ("text", "key", "label"),
    [
        ("Khaya", "african mahogany", "khaya"),
        ("maple, hard", "sugar maple", "hard maple"),
        ("Maple, hard (curly)", "curly sugar maple", "curly hard maple"),
        ("Sugar maple", "sugar maple", "sugar maple"),
        ("Acer saccharum", "sugar maple", "sugar maple"),
    ],
)
def test_a_wood_is_called_as_its_maker_calls_it_whatever_it_is_compared_by(text, key, label):
    match = find_species(text)
    assert (match.key, match.label) == (key, label)


def test_a80_a_wood_that_is_not_listed_keeps_its_label_and_is_flagged():
    match = find_species("zircote")
    assert match.outcome is Outcome.UNKNOWN
    assert (match.key, match.label, match.wood) == ("zircote", "zircote", None)
    assert match.reason == "it is not in the list of woods"


def test_two_spellings_of_an_unlisted_wood_share_one_key():
    assert {find_species(text).key for text in ("Zircote", "zircotes ", "ZIRCOTE wood")} == {"zircote"}
    assert find_species("river gidgee").key == find_species("Gidgee, river").key


@pytest.mark.parametrize("text", ["maple", "Maples ", "Mpl", "maple wood", "mapel"])
def test_a_bare_trade_word_keeps_its_own_label_and_asks_which_wood(text):
    match = find_species(text)
    assert (match.outcome, match.key) == (Outcome.SEVERAL, "maple")
    assert match.candidates[:3] == ("sugar maple", "red maple", "silver maple")
    assert match.wood is not None
    assert match.wood.figures == {}


@pytest.mark.parametrize(
    ("text", "key", "reason"),
    [
        ("Wlanut", "black walnut", "'wlanut' is taken as a slip for black walnut"),
        ("Purplehart", "purpleheart", "'purplehart' is taken as a slip for purpleheart"),
        ("walnut", "black walnut", "plain walnut is taken as black walnut; write the full name if it is another"),
        ("pdk", "padauk", "'pdk' is taken as short for padauk"),
    ],
)
def test_a_guess_is_said_with_its_reason(text, key, reason):
    match = find_species(text)
    assert (match.outcome, match.key, match.reason) == (Outcome.GUESSED, key, reason)


@pytest.mark.parametrize("text", ["black oak", "elm burr oak", "brown stuff", "as", "peartree wood bench", "wood"])
def test_another_wood_or_no_wood_is_not_bent_into_a_listed_one(text):
    assert find_species(text).outcome is Outcome.UNKNOWN


def test_near_names_of_two_real_woods_stay_apart():
    assert find_species("elder").key == "elder"
    assert find_species("alder").key == "red alder"
    assert find_species("lancewood").key != find_species("lacewood").key


def test_figure_and_cut_set_pieces_apart_but_keep_the_woods_figures():
    curly, plain = find_species("curly hard maple"), find_species("hard maple")
    assert curly.key == "curly sugar maple" != plain.key
    assert curly.wood is plain.wood
    assert curly.figures_hold
    assert find_species("QS white oak").key == find_species("Oak, white, quartersawn").key == "quarter-sawn white oak"


def test_a_treated_wood_does_not_borrow_the_figures_of_the_untreated_one():
    assert not find_species("dyed hard maple").figures_hold
    assert not find_species("stabilized white ash").figures_hold
    assert find_species("white ash").figures_hold


def test_two_woods_in_one_cell_are_not_averaged_or_chosen_from():
    match = find_species("maple/walnut")
    assert (match.outcome, match.candidates) == (Outcome.UNKNOWN, ("maple", "black walnut"))
    assert match.reason == "it names maple and black walnut"


@pytest.mark.parametrize("text", ["", " - ", "12", "½", '"'])
def test_a_text_without_a_name_is_refused(text):
    with pytest.raises(UnreadableValue) as caught:
        find_species(text)
    assert caught.value.wanted == "the name of a wood"


def test_labels_that_may_mean_the_same_wood_are_paired():
    names = ["maple", "wenge", "Hard maple", "soft maple", "red maple"]
    assert may_be_the_same([find_species(name) for name in names]) == [
        ("maple", "sugar maple"),
        ("maple", "red maple"),
        ("soft maple", "red maple"),
    ]


def test_every_name_and_alias_in_the_list_leads_to_its_own_wood_only():
    for wood in woods().values():
        for name in (wood.name, *wood.aliases):
            found = find_species(name)
            expected = wood.members[0] if wood.kind is NameKind.USUAL else wood.name
            assert found.key == expected, name


def test_no_spelling_is_claimed_by_two_woods():
    claimed = {}
    for wood in woods().values():
        for name in (wood.name, *wood.aliases, *wood.short_forms):
            assert claimed.setdefault(name, wood.name) == wood.name, name


def test_the_tables_name_only_listed_woods_with_a_colour_each():
    listed = woods()
    assert len(species_names()) > 120
    for wood in listed.values():
        assert re.fullmatch("[0-9A-F]{6}", wood.colour), wood.name
        assert set(wood.members) <= set(listed), wood.name
        assert (wood.kind is NameKind.WOOD) == (not wood.members), wood.name
    assert set(reactions()) <= set(listed)


@settings(deadline=None)
@given(st.text(max_size=40))
def test_no_text_whatever_breaks_the_reading(text):
    try:
        match = find_species(text)
    except UnreadableValue:
        return
    assert match.key
    assert match.certain or match.reason


@settings(deadline=None)
@given(st.sampled_from(species_names()), st.integers(0, 30))
def test_two_neighbouring_letters_changed_over_never_turn_a_wood_into_another_without_saying_so(name, place):
    place %= len(name) - 1
    slipped = name[:place] + name[place + 1] + name[place] + name[place + 2 :]
    if any(sign.isalpha() for sign in slipped):
        match = find_species(slipped)
        assert match.key == name or not match.certain


def test_slips_are_counted_as_published():
    """Damerau, Communications of the ACM 7(3):171-176 (1964): one wrong, missing, extra or transposed letter each."""
    assert [slips_between(w, "cherry") for w in ("cheery", "chery", "cherrry", "chrery")] == [1, 1, 1, 1]


LOOKS_OF_A_PIECE = [*LOOKS, *TREATED, "quarter-sawn", "flat sawn", "bird's eye", "4/4", "rough", "old"]


@pytest.mark.parametrize("word", LOOKS_OF_A_PIECE)
def test_a_label_read_again_means_the_same(word):
    for name in (
        "hard maple",
        "maple",
        "walnut",
        "padouk",
        "zircote",
        "red gidgee",
        "mapel",
        "silky oak",
        "Acer",
        "tulip",
    ):
        for text in (f"{word} {name}", f"{name}, {word}"):
            match = find_species(text)
            again = find_species(match.label)
            assert again.key == match.key, text
            assert again.figures_hold == match.figures_hold, text


@pytest.mark.parametrize("name", [name for name in woods() if woods()[name].kind is not NameKind.USUAL])
def test_a_qualified_label_of_any_wood_read_again_means_the_same(name):
    match = find_species(f"curly {name}")
    assert find_species(match.label).key == match.key
    assert match.wood is not None


def test_figures_of_speech_about_a_wood_never_hide_which_wood_it_is():
    assert find_species("old reclaimed heart pine boards").key == "longleaf pine"
    assert find_species("rough sawn 8/4 hard maple, kiln dried").key == "sugar maple"


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("dyed veneer 12", "Dyed Veneer #012", True),
        ("dyed veneer 12", "dyed veneer 13", False),
        ("dyed veneer 12", "dyed veneer", False),
        ("gorble (4/4)", "gorble", True),
        ("gorble 1.5", "gorble", True),
        ("black cherry 2", "black cherry 3", True),
    ],
)
def test_a_number_at_the_end_tells_woods_of_ones_own_apart(one, other, same):
    """Of a wood that is known it is no part of the name."""
    assert (find_species(one).key == find_species(other).key) == same
