"""Values as a cell of .xlsx can hold them."""

import math
import re
from datetime import date
from typing import Final

MAX_TEXT: Final = 32_767
NO_NUMBER: Final = "no value"

_ESCAPE_LIKE: Final = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_CONTROL: Final = re.compile("[\x00-\x08\x0b-\x1f]")
_NOT_IN_XML: Final = re.compile("[\ud800-\udfff\ufffe\uffff]")

Plain = str | float | bool | date | None


def cell_text(text: str) -> str:
    r"""Text in the standard's _xHHHH_ notation, cut with an ellipsis where it is longer than a cell can hold.

    Source: ECMA-376 Part 1, 22.9.2.19 (ST_Xstring).

    >>> cell_text("bell\x07, _x0041_")
    'bell_x0007_, _x005F_x0041_'
    """
    if text.isascii() and text.isprintable() and "_x" not in text and len(text) <= MAX_TEXT:
        return text
    if len(text) > MAX_TEXT // 2 and _length(text) > MAX_TEXT:
        text = text.encode("utf-16-le", "surrogatepass")[: 2 * (MAX_TEXT - 1)].decode("utf-16-le", "ignore") + "…"
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = _ESCAPE_LIKE.sub("_x005F_", text)
    return _NOT_IN_XML.sub("\ufffd", _CONTROL.sub(lambda match: f"_x{ord(match[0]):04X}_", text))


def plain_text(text: str) -> str:
    """Text for places that know no notation for control characters: titles, notes, descriptions."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return _NOT_IN_XML.sub("\ufffd", _CONTROL.sub(" ", text))


def plain_value(value: str | float | bool | date | None) -> Plain:
    """The value, with numbers that no cell can hold as text."""
    if isinstance(value, float) and not math.isfinite(value):
        return NO_NUMBER
    return value


def _length(text: str) -> int:
    return len(text.encode("utf-16-le", "surrogatepass")) // 2
