"""The room that headings take, in widths of a digit of the cells below, so that neighbours stay apart."""

from collections.abc import Mapping
from functools import lru_cache

CLEAR = 0.9
"""Least room between a heading and its neighbour, in digits."""
NARROWEST, PADDING = 0.92, 0.2
"""Width of the narrowest usual type of headings as a share of the one counted here; what some programs give a column
besides, in digits."""
_DIGIT = 556
_BY_WIDTH: Mapping[int, str] = {
    278: " ,./:;ijlI",
    333: "()-ft'[]",
    389: "r",
    500: "z",
    556: "aceksvxyJ0123456789",
    611: "bdghnopquFLTZ",
    667: "EPSVXY",
    722: "ABCDHKNRU",
    778: "wGOQ",
    833: "M",
    889: "m%",
    944: "W",
}
"""Widths of heavy type in thousandths of its height. Source: Adobe Font Metrics of Helvetica Bold, which Arial Bold and
Liberation Sans Bold share."""
_WIDTHS = {character: width for width, characters in _BY_WIDTH.items() for character in characters}


@lru_cache(maxsize=1024)
def digits_wide(text: str) -> float:
    """Width of a heading in digits; a character that is not listed counts as a wide letter.

    >>> round(digits_wide("Layer (mm)"), 2)
    9.68
    """
    return sum(_WIDTHS.get(character, 611) for character in text) / _DIGIT


def broken(text: str, room: float) -> list[str]:
    """The lines of a heading in a column so many digits wide: words go on in the next line.

    >>> broken("Standard error (in)", 12)
    ['Standard', 'error (in)']
    """
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and digits_wide(longer) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def room_for(text: str, room: float, behind: float = 0.0) -> float:
    """Width of a column that keeps its heading clear of the one beside it.

    A heading that no usual type breaks, or that all do, keeps its lines; one that would just fit gets room for them.
    One kept off the text beside it by spaces is not broken, since a break would leave only its last line spaces.

    Args:
        text: the heading
        room: the column's width, in digits
        behind: room kept behind the heading, in digits
    """
    whole = digits_wide(text) + behind + CLEAR
    if behind or digits_wide(text) * NARROWEST <= room + PADDING:
        return max(room, whole)
    return max([room, *(digits_wide(line) + CLEAR for line in broken(text, room))])
