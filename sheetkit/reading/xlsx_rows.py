"""Rows of plain cells read straight from a sheet part; all else in it goes through the XML parser.

A sheet of many records is mostly rows of numbers and shared texts. Such rows are so simple that a strict pattern
tells them: known attributes in one order, a value of digits, nothing else. The parser, which calls back for every
element and text, takes several times as long for them. Whatever the pattern does not tell is given to the parser, in
a document of its own with the sheet's root element, and so is everything where the beginning of the part holds
comments, declarations or another form of the standard.
"""

import itertools
import re
from collections.abc import Callable, Iterable, Iterator
from typing import Final

from lxml import etree

from sheetkit.reading.xlsx_names import MAIN_NAMESPACES

_HEAD_MOST: Final = 256 * 1024
_DATA: Final = b"<sheetData>"
_ENDS: Final = b"</sheetData></worksheet>"
_SPACES: Final = MAIN_NAMESPACES
_ROW_END: Final = b"</row>"
_ROOT: Final = re.compile(rb'(?:\xef\xbb\xbf)?(?:<\?xml version="1\.0"[^<>?]*\?>\s*)?(<worksheet [^<>]*>)')
_CELL: Final = (
    rb'<c r="([A-Z]{1,3})([1-9][0-9]{0,6})"(?: s="([0-9]{1,5})")?(?: t="(n|s)")?'
    rb"(?:/>|><v>([-+0-9.eE]{1,32})</v></c>)"
)
_CELLS: Final = re.compile(_CELL)
_ROW: Final = re.compile(
    rb'\s*<row r="([1-9][0-9]{0,6})"((?: [A-Za-z0-9:]{1,20}="[^"<>&]{0,40}")*)>((?:'
    + re.sub(rb"\((?!\?)", rb"(?:", _CELL)
    + rb")*)</row>"
)
_ATTRIBUTE: Final = re.compile(rb'([A-Za-z0-9:]+)="([^"]*)"')
_MOST_ODD: Final = 200
"""So many pieces between plain rows go to the parser one by one, then the rest of the sheet goes to it as a whole."""
_ODD_MOST: Final = 64 * 1024
_LONGEST_ROW: Final = 4 * 1024 * 1024

PlainCell = tuple[bytes, bytes, bytes, bytes, bytes]
"""Column letters, row, style, type and value, as written; empty where nothing is."""
TakeRow = Callable[[bytes, bytes, list[PlainCell]], bool]
"""Takes a row: its number, its other attributes, its cells. False where it would rather have it parsed."""
Parse = Callable[[Iterable[bytes]], bool]
"""Parses one document; False where no more is to be read."""


def attributes_of(written: bytes) -> dict[str, str]:
    """The attributes of a row of plain cells."""
    return {name.decode(): value.decode("utf-8", "replace") for name, value in _ATTRIBUTE.findall(written)}


def read_rows(chunks: Iterable[bytes], take: TakeRow, parse: Parse) -> None:
    """One pass over a sheet part.

    Args:
        chunks: the part's bytes, piece by piece
        take: what takes rows of plain cells
        parse: what parses all else
    """
    source = iter(chunks)
    read = b""
    for chunk in source:
        read += chunk
        if _DATA in read or len(read) > _HEAD_MOST:
            break
    begin = _begin_of_plain_rows(read)
    if begin is None:
        parse(itertools.chain([read], source))
    elif parse([read[:begin], _ENDS]):
        root = _ROOT.match(read)
        _Rows(root[0] + _DATA if root else b"", take, parse).run(read[begin:], source)


def _begin_of_plain_rows(read: bytes) -> int | None:
    """Where the rows begin; None where the part does not begin in the plain form."""
    begin = read.find(_DATA) + len(_DATA)
    match = _ROOT.match(read)
    if begin < len(_DATA) or match is None or b"<!" in read[:begin] or b"<?" in read[match.start(1) : begin]:
        return None
    try:
        root = etree.fromstring(read[:begin] + _ENDS, etree.XMLParser(resolve_entities=False, no_network=True))
    except etree.XMLSyntaxError:
        return None
    data = root[-1].tag if len(root) else ""
    return (
        begin
        if any((root.tag, data) == (f"{{{space}}}worksheet", f"{{{space}}}sheetData") for space in _SPACES)
        else None
    )


class _Rows:
    """The rows of one part, up to its end.

    Args:
        opening: what a document of some of its rows begins with
        take: what takes rows of plain cells
        parse: what parses all else
    """

    def __init__(self, opening: bytes, take: TakeRow, parse: Parse) -> None:
        self._opening, self._take, self._parse = opening, take, parse
        self._odd: list[bytes] = []
        self._odd_size = self._parsed = 0

    def run(self, buffer: bytes, source: Iterator[bytes]) -> None:
        """Read to the end.

        Args:
            buffer: what follows the beginning, as far as it is read
            source: the rest
        """
        at = 0
        while True:
            end = buffer.find(_ROW_END, at)
            if end < 0:
                more = next(source, b"") if self._may_go_on(buffer, at) else b""
                if not more:
                    break
                buffer, at = buffer[at:] + more, 0
                continue
            match = _ROW.match(buffer, at)
            if match is not None:
                if self._odd and not self._flush():
                    return
                if self._take(match[1], match[2], _CELLS.findall(match[3])):
                    at = match.end()
                    continue
            end += len(_ROW_END)
            piece = buffer[at:end]
            if not piece.lstrip().startswith(b"<row") or b"<!" in piece or b"<?" in piece or self._parsed > _MOST_ODD:
                break
            self._odd.append(piece)
            self._odd_size += len(piece)
            if self._odd_size > _ODD_MOST and not self._flush():
                return
            at = end
        if not self._odd or self._flush():
            self._parse(itertools.chain([self._opening, buffer[at:]], source))

    @staticmethod
    def _may_go_on(buffer: bytes, at: int) -> bool:
        return len(buffer) - at < _LONGEST_ROW

    def _flush(self) -> bool:
        """Have the odd rows parsed that stand between rows of plain cells."""
        pieces, self._odd, self._odd_size = self._odd, [], 0
        self._parsed += 1
        return self._parse([self._opening, *pieces, _ENDS])
