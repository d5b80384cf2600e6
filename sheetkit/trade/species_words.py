"""How a wood's name is taken apart: case, accents, plurals, word order, words about figure or cut, typing slips."""

import re
import unicodedata

NOISE = frozenset(
    {"wood", "woods", "lumber", "timber", "board", "plank", "stock", "slice", "strip", "slab", "blank", "billet"}
    | {"veneer", "offcut", "scrap", "species", "kiln", "dried", "kd", "air", "ad", "fas", "select", "rough", "sawn"}
    | {"s2s", "s3s", "s4s", "reclaimed", "old", "new", "local", "domestic", "premium", "grade", "solid", "natural"}
    | {"steamed", "real", "quality", "bf", "thou", "mm", "in", "inch"}
)
"""Words that say nothing about which wood it is."""

LOOKS = {
    "curly": "curly",
    "figured": "figured",
    "quilted": "quilted",
    "quilt": "quilted",
    "flame": "flame",
    "flamed": "flame",
    "fiddleback": "fiddleback",
    "tiger": "tiger",
    "birdseye": "bird's-eye",
    "burl": "burl",
    "burr": "burl",
    "crotch": "crotch",
    "ribbon": "ribbon",
    "ripple": "ripple",
    "pommele": "pommele",
    "ambrosia": "ambrosia",
    "heartwood": "heartwood",
    "heart": "heartwood",
    "sapwood": "sapwood",
    "sap": "sapwood",
    "fumed": "fumed",
    "bleached": "bleached",
    "flat": "flat-sawn",
    "flatsawn": "flat-sawn",
    "plain": "flat-sawn",
    "plainsawn": "flat-sawn",
    "quarter": "quarter-sawn",
    "quartered": "quarter-sawn",
    "quartersawn": "quarter-sawn",
    "qs": "quarter-sawn",
    "rift": "rift-sawn",
    "riftsawn": "rift-sawn",
    "light": "light",
    "dark": "dark",
}
"""Words that set pieces of one wood apart without making it another wood."""

TREATED = {
    "spalted": "spalted",
    "dyed": "dyed",
    "ebonized": "ebonised",
    "ebonised": "ebonised",
    "stabilized": "stabilised",
    "stabilised": "stabilised",
    "torrefied": "torrefied",
    "roasted": "roasted",
    "thermo": "torrefied",
    "compressed": "compressed",
}
"""Words after which the figures of the untreated wood no longer hold."""

SHORTEST_FOR_ONE_SLIP = 5
SHORTEST_WITH_A_SLIP = 4
SHORTEST_FOR_TWO_SLIPS = 10


def plain_words(text: str) -> tuple[str, ...]:
    """Split a name into lower-case words without accents, punctuation, plurals or lone numbers, in its own order.

    Args:
        text: the name as the maker wrote it

    Source: common practice, no source.

    >>> plain_words("Bird's-Eye Maples (4/4)")
    ('birdseye', 'maple')
    """
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", text) if not unicodedata.combining(sign))
    bare = re.sub(r"['’`´]", "", bare.casefold())
    words = [singular(word) for word in re.findall(r"[^\W_]+", bare) if not word.isdigit()]
    joined = " ".join(words).replace("bird eye", "birdseye").replace("birds eye", "birdseye")
    return tuple(joined.split())


def singular(word: str) -> str:
    """Take the plural ending off a word, the same way for every name.

    Args:
        word: one lower-case word

    Source: rules of English plurals.

    >>> [singular(word) for word in ("cherries", "ashes", "maples", "cypress", "eucalyptus")]
    ['cherry', 'ash', 'maple', 'cypress', 'eucalyptus']
    """
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "xes")):
        return word[:-2]
    return word.removesuffix("s")


def slips_between(written: str, meant: str) -> int:
    """Count the typing slips between two words: a letter too many, missing, wrong, or two changed places.

    Args:
        written: the word as typed
        meant: the word it may stand for

    Source: Damerau, Communications of the ACM 7(3):171-176 (1964); each letter takes part in one slip at most.

    >>> slips_between("wlanut", "walnut"), slips_between("purplehart", "purpleheart"), slips_between("ash", "oak")
    (1, 1, 3)
    """
    before: list[int] = []
    last = list(range(len(meant) + 1))
    for i, sign in enumerate(written, start=1):
        row = [i]
        for j, wanted in enumerate(meant, start=1):
            best = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (sign != wanted))
            if i > 1 and j > 1 and sign == meant[j - 2] and written[i - 2] == wanted:
                best = min(best, before[j - 2] + 1)
            row.append(best)
        before, last = last, row
    return last[-1]


def is_near(written: str, meant: str) -> bool:
    """Tell whether a word is another with a slip of typing: same first letter, one slip, two in long words.

    Args:
        written: the word as typed
        meant: the word it may stand for

    Source: own rule; short words must match, because one letter turns many a short name into another wood.

    >>> is_near("padouck", "padouk"), is_near("elder", "alder"), is_near("ask", "ash")
    (True, False, False)
    """
    if written[:1] != meant[:1] or len(meant) < SHORTEST_FOR_ONE_SLIP or len(written) < SHORTEST_WITH_A_SLIP:
        return False
    allowed = 2 if len(meant) >= SHORTEST_FOR_TWO_SLIPS else 1
    return abs(len(written) - len(meant)) <= allowed and slips_between(written, meant) <= allowed
