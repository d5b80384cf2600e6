"""Rows of an .ods file's tables that a search for other elements may pass over: they are nearly all of a workbook."""

from collections.abc import Collection, Iterator, Set
from typing import Final

_TABLE: Final = b"<table:table "
_TABLE_END: Final = b"</table:table>"
_ROW: Final = b"<table:table-row"
_ROW_NAME_ENDS: Final = (b" ", b">")
_ROW_END: Final = b"</table:table-row>"
_UNUSUAL: Final = (
    *(b"<table:table" + more for more in (b"\t", b"\n", b"\r", b">", b"/")),
    *(b"</table:table" + more for more in (b" ", b"\t", b"\n", b"\r")),
)
"""Other ways to write the tags of a table: where one would go unseen, its neighbours would seem to be one table."""
_HIDING: Final = (b"<!--", b"<![CDATA[")

Piece = tuple[int, int]
"""Offsets, from and to."""


def rows_without(text: bytes, wanted: Set[str]) -> list[Piece]:
    """Pieces of whole rows in which no element is wanted, in order.

    Rows are told by their usual tags alone. That is sound where a part has neither comments nor sections that hide
    markup, for a "<" then always begins a tag; no piece is found where it has, or writes tables otherwise. Rows may
    stand in groups that a piece cuts through: what is left then does not nest, and a parser that passes over the pieces
    says so.

    Args:
        text: the part in UTF-8
        wanted: local names of elements wanted wherever they stand
    """
    if any(word in text for word in (*_HIDING, *_UNUSUAL)) or text.find(b"<?", 1) >= 0:
        return []
    # What declares a namespace may name elements otherwise.
    words = [b"xmlns", *(name.encode() for name in wanted if not any(other in name for other in wanted - {name}))]
    found: list[Piece] = []
    for start, end in _tables(text):
        first, last = _first_row(text, start, end), text.rfind(_ROW_END, start, end)
        if 0 <= first < last and text.find(_TABLE, start + 1, end) < 0:
            found += _between(text, first, last + len(_ROW_END), words)
    return found


def _tables(text: bytes) -> Iterator[Piece]:
    """Tables from their start tag to their end tag; one with another inside ends where that does."""
    start = text.find(_TABLE)
    while start >= 0:
        end = text.find(_TABLE_END, start)
        if end < 0:
            return
        yield start, end
        start = text.find(_TABLE, end)


def _first_row(text: bytes, start: int, end: int) -> int:
    found = [at for name_end in _ROW_NAME_ENDS if (at := text.find(_ROW + name_end, start, end)) >= 0]
    return min(found, default=-1)


def _between(text: bytes, start: int, end: int, words: Collection[bytes]) -> Iterator[Piece]:
    """The rows from start to end without those that hold one of the words."""
    for spot in sorted(spot for word in words for spot in _spots(text, word, start, end)):
        row = max(text.rfind(_ROW + name_end, start, spot) for name_end in _ROW_NAME_ENDS)
        if start < row:
            yield start, row
        start = max(start, text.find(_ROW_END, spot, end) + len(_ROW_END))
    if start < end:
        yield start, end


def _spots(text: bytes, word: bytes, start: int, end: int) -> Iterator[int]:
    """Where a word stands."""
    at = text.find(word, start, end)
    while at >= 0:
        yield at
        at = text.find(word, at + 1, end)
