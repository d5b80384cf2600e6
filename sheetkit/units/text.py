"""Brings what was typed to plain characters, so that one grammar reads every spelling."""

import re
import unicodedata
from functools import lru_cache

_INCH_MARKS = "\u2033\u201c\u201d\u201e\u201f\u02dd\u3003\uff02\u02ba\u02ee\u2036\u275d\u275e\u301d\u301e\u301f"
_FOOT_MARKS = "\u2032\u2018\u2019\u201a\u201b\u02b9\u00b4\u0060\u02bc\u02bb\uff07\u2035\u02c8"
_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d\u2043"
_DROPPED = "\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f"
_OTHER = {"\u2044": "/", "\u2215": "/", "\u29f8": "/", "\u00f7": "/", "\u00d7": "x", "\u2715": "x", "\u22c5": ".",
          "\u00b7": ".",
          "\u00b5": "\u03bc", "\u066b": ".", "\u066c": ",", "\u2024": ".", "\u2026": "...", "\u2248": "~",
          "\u223c": "~", "\u2243": "~", "\u2245": "~", "\uff5e": "~", "\u02dc": "~", "\u3000": " "}  # fmt: skip
_TABLE = str.maketrans(
    dict.fromkeys(_INCH_MARKS, '"')
    | dict.fromkeys(_FOOT_MARKS, "'")
    | dict.fromkeys(_DASHES, "-")
    | dict.fromkeys(_DROPPED, "")
    | _OTHER
)
_RAISED = {decoded: plain for plain in "0123456789" for decoded in ("⁰¹²³⁴⁵⁶⁷⁸⁹"[int(plain)], "₀₁₂₃₄₅₆₇₈₉"[int(plain)])}
_SMALL_FRACTION = re.compile(r"([⁰¹²³⁴⁵⁶⁷⁸⁹]+)\s*[/\u2044\u2215]\s*([₀₁₂₃₄₅₆₇₈₉⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_DOUBLED = re.compile(r"''|\"\"+")
_SPACES = re.compile(r"\s+")
_ONE_OVER = re.compile(r"\u215f\s*(\d+)")


@lru_cache(maxsize=50_000)
def plain_text(text: str) -> str:
    """Fold typographic and full-width signs to ASCII, and every kind of space to one plain space.

    Fraction signs become a space and a typed fraction ("1½" gives "1 1/2"); two single marks become one inch mark.
    What has no plain counterpart stays as it is.

    >>> plain_text("1½″")
    '1 1/2"'
    """
    if text.isascii():
        return _SPACES.sub(" ", _DOUBLED.sub('"', text.replace("`", "'"))).strip()
    text = _SMALL_FRACTION.sub(lambda match: f" {_lowered(match[1])}/{_lowered(match[2])}", text)
    text = _ONE_OVER.sub(r" 1/\1", text)
    text = "".join(_plain_character(character) for character in text).translate(_TABLE)
    return _SPACES.sub(" ", _DOUBLED.sub('"', text)).strip()


def _lowered(digits: str) -> str:
    return "".join(_RAISED[digit] for digit in digits)


def _plain_character(character: str) -> str:
    if character.isascii():
        return character
    decomposition = unicodedata.decomposition(character)
    if decomposition.startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", character).replace("\u2044", "/")
    if unicodedata.category(character) == "Nd":
        return str(unicodedata.decimal(character))
    if 0xFF01 <= ord(character) <= 0xFF5E:
        return chr(ord(character) - 0xFEE0)
    if unicodedata.category(character) in {"Zs", "Zl", "Zp"}:
        return " "
    return character


@lru_cache(maxsize=50_000)
def folded(text: str) -> str:
    """Plain text in one case and without accents, for comparing words.

    >>> folded(" Moyenne  Générale ")
    'moyenne generale'
    """
    plain = plain_text(text).casefold()
    if plain.isascii():
        return plain
    decomposed = unicodedata.normalize("NFD", plain)
    return "".join(character for character in decomposed if not unicodedata.combining(character))
