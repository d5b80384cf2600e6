"""Number format codes of .xlsx taken apart, so that they can be said in another format's terms.

Source: ECMA-376 part 1, 18.8.30 and 18.8.31 (sections, digits, dates, literals).
"""

import re
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache


class Shape(StrEnum):
    """What a section of a format code shows."""

    GENERAL = "general"
    NUMBER = "number"
    PERCENT = "percent"
    CURRENCY = "currency"
    FRACTION = "fraction"
    SCIENTIFIC = "scientific"
    DATE = "date"
    TIME = "time"
    TEXT = "text"
    LITERAL = "literal"


class PieceKind(StrEnum):
    """What a piece of a section is."""

    LITERAL = "literal"
    DIGITS = "digits"
    CURRENCY = "currency"
    DATE = "date"
    TEXT = "text"
    GENERAL = "general"


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of one kind: a literal text, the digits' places, a part of a date."""

    kind: PieceKind
    text: str


@dataclass(frozen=True, slots=True)
class Section:
    """One section of a format code.

    Attributes:
        shape: what it shows
        pieces: its parts from left to right
        condition: comparison and number ("<", "1") that a value must meet, None for the section's usual part
        colour: RRGGBB of the type, None for the cell's own
    """

    shape: Shape
    pieces: list[Piece] = field(default_factory=list)
    condition: tuple[str, str] | None = None
    colour: str | None = None

    @property
    def digits(self) -> str:
        """The digits' places as written, for example ``#,##0.0000``; empty where there are none."""
        return "".join(piece.text for piece in self.pieces if piece.kind is PieceKind.DIGITS)


_COLOURS = {
    "black": "000000", "blue": "0000FF", "cyan": "00FFFF", "green": "00FF00",
    "magenta": "FF00FF", "red": "FF0000", "white": "FFFFFF", "yellow": "FFFF00",
}  # fmt: skip
_PIECE = re.compile(
    r"""(?P<quoted>"[^"]*"?) | \\(?P<escaped>.) | _(?P<blank>.) | \*(?P<fill>.)
    | \[(?P<bracket>[^\]]*)\]
    | (?P<general>General)
    | (?P<ampm>AM/PM|A/P)
    | (?P<exponent>E[+-]0+)
    | (?P<fraction>[#?0]+(?:[ ]+[#?0]+)?[ ]*/[ ]*(?:[?#0]+|[1-9]\d*))
    | (?P<digits>[#?0][#?0,]*(?:\.[#?0]*)?,*|\.[#?0]+)
    | (?P<date>y+|m+|d+|h+|s+(?:\.0+)?)
    | (?P<text>@) | (?P<percent>%) | (?P<other>.)""",
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)
_CURRENCY_SIGNS = frozenset("$€£¥")


@lru_cache(maxsize=1000)
def sections_of(code: str) -> list[Section]:
    """The sections of a format code, at most four.

    >>> [section.shape.value for section in sections_of('0.000;-0.000;"none"')]
    ['number', 'number', 'literal']
    """
    pieces = re.findall(r'(?:"[^"]*"?|\\.|\[[^\]]*\]|[^;])+|(?<=;)(?=;)|(?<=;)$', code, re.DOTALL)
    return [_section(part) for part in pieces[:4]] or [Section(Shape.GENERAL)]


def _section(code: str) -> Section:
    """One section taken apart."""
    pieces: list[Piece] = []
    flags: set[str] = set()
    condition: tuple[str, str] | None = None
    colour: str | None = None
    for match in _PIECE.finditer(code):
        kind, text = match.lastgroup or "other", match.group(match.lastgroup or 0)
        if kind == "bracket":
            compared = re.fullmatch(r"(<=|>=|<>|<|>|=)(-?[\d.]+)", text)
            condition = (compared[1], compared[2]) if compared else condition
            colour = _COLOURS.get(text.lower(), colour)
        pieces.extend(_bracket(text, flags) if kind == "bracket" else _piece(kind, text, flags))
    return Section(_shape(flags), _joined(_minutes_told_apart(pieces)), condition, colour)


def _piece(kind: str, text: str, flags: set[str]) -> list[Piece]:
    """The piece for one match; what kinds were met is noted in flags."""
    if kind in {"quoted", "escaped", "blank"}:
        return [Piece(PieceKind.LITERAL, {"quoted": text.strip('"'), "escaped": text, "blank": " "}[kind])]
    if kind in {"digits", "fraction", "exponent"}:
        flags.add(kind)
        return [Piece(PieceKind.DIGITS, text)]
    if kind in {"date", "ampm"}:
        flags.add("date" if text[0] in "yYdD" or re.fullmatch("m{3,}", text, re.IGNORECASE) else "clock")
        flags.update({"month"} if text[0] in "mM" else set())
        return [Piece(PieceKind.DATE, text.lower())]
    if kind in {"text", "general"}:
        flags.add(kind)
        return [Piece(PieceKind.TEXT if kind == "text" else PieceKind.GENERAL, "")]
    return [] if kind == "fill" else _bare(text, flags)


def _bare(text: str, flags: set[str]) -> list[Piece]:
    """A character that stands for itself."""
    if text == "%":
        flags.add("percent")
    if text in _CURRENCY_SIGNS:
        flags.add("currency")
        return [Piece(PieceKind.CURRENCY, text)]
    return [Piece(PieceKind.LITERAL, text)]


def _bracket(text: str, flags: set[str]) -> list[Piece]:
    """A currency, or hours, minutes or seconds that run past their circle; anything else shows nothing."""
    if text.startswith("$"):
        symbol = text[1:].partition("-")[0]
        flags.update({"currency"} if symbol else set())
        return [Piece(PieceKind.CURRENCY, symbol)] if symbol else []
    if re.fullmatch(r"h+|m+|s+", text, re.IGNORECASE):
        flags.add("clock")
        return [Piece(PieceKind.DATE, f"[{text.lower()}]")]
    return []


def _shape(flags: set[str]) -> Shape:
    """What the kinds met in a section make of it."""
    order = (
        ("date", Shape.DATE), ("fraction", Shape.FRACTION), ("exponent", Shape.SCIENTIFIC), ("percent", Shape.PERCENT),
        ("currency", Shape.CURRENCY), ("digits", Shape.NUMBER), ("clock", Shape.TIME), ("text", Shape.TEXT),
        ("general", Shape.GENERAL),
    )  # fmt: skip
    return next((shape for flag, shape in order if flag in flags), Shape.LITERAL)


def _minutes_told_apart(pieces: list[Piece]) -> list[Piece]:
    """The pieces with the m's that are minutes written "n": those after hours or before seconds."""
    dates = [place for place, piece in enumerate(pieces) if piece.kind is PieceKind.DATE]
    told = list(pieces)
    for order, place in enumerate(dates):
        if pieces[place].text not in {"m", "mm"}:
            continue
        before = pieces[dates[order - 1]].text.strip("[") if order else ""
        after = pieces[dates[order + 1]].text.strip("[") if order + 1 < len(dates) else ""
        if before.startswith("h") or after.startswith("s"):
            told[place] = Piece(PieceKind.DATE, "n" * len(pieces[place].text))
    return told


def _joined(pieces: list[Piece]) -> list[Piece]:
    """The pieces with neighbouring literals made one."""
    joined: list[Piece] = []
    for piece in pieces:
        if joined and piece.kind is PieceKind.LITERAL and joined[-1].kind is PieceKind.LITERAL:
            joined[-1] = Piece(PieceKind.LITERAL, joined[-1].text + piece.text)
        else:
            joined.append(piece)
    return joined
