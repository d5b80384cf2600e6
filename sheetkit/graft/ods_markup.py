"""XML read for the places of its elements, so that pieces can be put in and taken out and all else keeps its bytes.

Everything works on UTF-8 bytes. A part in another encoding is turned into UTF-8 first and back at the end; one that
would not come back as it was is refused.
"""

import codecs
import re
from collections import ChainMap
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Self
from xml.parsers import expat

from sheetkit.errors import DamagedWorkbook
from sheetkit.graft.ods_rows import Piece, rows_without
from sheetkit.reading.safe_xml import MAX_DEPTH

_TAG = re.compile(rb"""<(?:[^"'>]|"[^"]*"|'[^']*')*>""")
_NAME = re.compile(rb"<([^\s/>]+)")
_DECLARED = re.compile(rb"""^(?:\xef\xbb\xbf)?<\?xml[^>]*?\sencoding\s*=\s*["']([A-Za-z][\w.-]*)["']""")
_ENCODING_BY_START: Final = {
    codecs.BOM_UTF16_LE: "utf-16-le",
    codecs.BOM_UTF16_BE: "utf-16-be",
    b"<\x00": "utf-16-le",
    b"\x00<": "utf-16-be",
}
_SAVE_AGAIN: Final = "open it in the spreadsheet program and save it again"

Path = tuple[str, ...]
"""Names from the root down, each as "namespace name"."""


def qualified(namespace: str, name: str) -> str:
    """The name under which elements and attributes are known here."""
    return f"{namespace} {name}"


@dataclass(slots=True)
class Node:
    """An element and where it stands.

    Attributes:
        name: "namespace name"
        attributes: by "namespace name"
        start: offset of the start tag
        tag_end: offset behind the start tag
        content_end: offset of the end tag; equal to `end` where the element is written as one empty tag
        end: offset behind the element
        scope: prefixes that hold inside it
        children: those of its elements that were asked for
    """

    name: str
    attributes: Mapping[str, str]
    start: int
    tag_end: int
    scope: Mapping[str, str]
    content_end: int = 0
    end: int = 0
    children: list[Self] = field(default_factory=list)

    def named(self, name: str) -> list[Self]:
        """The children of that name."""
        return [child for child in self.children if child.name == name]

    def first(self, name: str) -> Self | None:
        """The first child of that name."""
        return next(iter(self.named(name)), None)

    @property
    def is_empty_tag(self) -> bool:
        """Whether it is written ``<name/>``."""
        return self.tag_end == self.end


@dataclass(frozen=True, slots=True)
class Markup:
    """An XML part and its elements' places.

    Attributes:
        text: the part in UTF-8
        encoding: what the file uses
        root: the outermost element
        watched: elements met anywhere under the names asked for, in order
    """

    text: bytes
    encoding: str
    root: Node
    watched: Sequence[Node]

    def edited(self, edits: "Edits") -> bytes:
        """The part with the edits made, in its own encoding."""
        return b"".join(self.pieces(edits))

    def pieces(self, edits: "Edits") -> "Iterator[bytes | memoryview]":
        """The same in pieces."""
        if self.encoding == "utf-8":
            yield from edits.made(self.text)
        else:
            text = b"".join(edits.made(self.text)).decode("utf-8")
            yield text.encode(self.encoding, "xmlcharrefreplace")

    def tag(self, node: Node) -> str:
        """The element's name as the part writes it, with its prefix."""
        match = _NAME.match(self.text, node.start)
        return match[1].decode("utf-8") if match else ""


def read_markup(
    data: bytes,
    where: str,
    *,
    keep: Callable[[Path], bool],
    watch: frozenset[str] = frozenset(),
    plain_doctype: bool = False,
) -> Markup:
    """Read a part for its elements' places.

    Args:
        data: the part's bytes
        where: file and part, for messages
        keep: told the path of an element whose parent is kept, says whether it is wanted
        watch: names of elements wanted wherever they stand
        plain_doctype: accept a document type that declares nothing of its own

    Raises:
        DamagedWorkbook: not well-formed, with a document type, or in an encoding that does not come back as it was
    """
    text, encoding = _as_utf8(data, where)
    try:
        scanner = _scanned(text, keep, watch, plain_doctype)
    except (expat.ExpatError, _Refused) as error:
        found = str(error) if isinstance(error, _Refused) else f"XML that is not well-formed ({error})"
        raise _damaged(where, found) from error
    if scanner.root is None:
        raise _damaged(where, "no XML")
    return Markup(text, encoding, scanner.root, scanner.watched)


def _scanned(text: bytes, keep: Callable[[Path], bool], watch: frozenset[str], plain_doctype: bool) -> "_Scanner":
    """One pass without the rows that need not be looked at; over all where leaving them out breaks the nesting."""
    rows = rows_without(text, {name.rpartition(" ")[2] for name in watch})
    for passed_over in (rows, []) if rows else ([],):
        scanner = _Scanner(text, keep, watch, plain_doctype)
        try:
            scanner.run(passed_over)
            break
        except expat.ExpatError:
            if not passed_over:
                raise
    return scanner


class _Refused(Exception):
    """Something no sound workbook holds."""


_PASSED_OVER: Final[tuple[str, Node | None, bool]] = ("", None, False)
"""Stands for an open element that nobody asked for, in one that nobody asked for: most are, being cells."""


class _Scanner:
    """One pass of expat that notes offsets."""

    def __init__(self, text: bytes, keep: Callable[[Path], bool], watch: frozenset[str], plain_doctype: bool) -> None:
        self.root: Node | None = None
        self.watched: list[Node] = []
        self._text, self._keep, self._watch, self._plain_doctype = text, keep, watch, plain_doctype
        self._open: list[tuple[str, Node | None, bool]] = []
        self._scopes: list[ChainMap[str, str]] = [ChainMap({"xml": "http://www.w3.org/XML/1998/namespace"})]
        self._declared: dict[str, str] = {}
        self._parser = expat.ParserCreate("utf-8", " ")
        self._passed = 0

    def run(self, passed_over: Sequence[Piece]) -> None:
        parser = self._parser
        parser.StartDoctypeDeclHandler = self._doctype
        parser.StartNamespaceDeclHandler = self._namespace
        parser.ordered_attributes = True
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        whole, at = memoryview(self._text), 0
        for start, end in passed_over:
            parser.Parse(whole[at:start], False)
            self._passed, at = self._passed + end - start, end
        parser.Parse(whole[at:], True)

    @property
    def _at(self) -> int:
        """Offset of what the parser is at."""
        return self._passed + self._parser.CurrentByteIndex

    def _doctype(self, _name: str, _system: str | None, _public: str | None, has_subset: int) -> None:
        if has_subset or not self._plain_doctype:
            raise _Refused("a document type declaration")

    def _namespace(self, prefix: str | None, uri: str | None) -> None:
        self._declared[prefix or ""] = uri or ""

    def _start(self, name: str, attributes: list[str]) -> None:
        opened = self._open
        if len(opened) >= MAX_DEPTH:
            raise _Refused(f"elements nested more than {MAX_DEPTH} deep")
        if opened and not opened[-1][2] and not self._declared and name not in self._watch:
            opened.append(_PASSED_OVER)
            return
        scope = self._scopes[-1].new_child(self._declared) if self._declared else self._scopes[-1]
        self._scopes.append(scope)
        self._declared = {}
        parent = self._open[-1][1] if self._open else None
        kept = not self._open or (parent is not None and self._open[-1][2] and self._wanted(name))
        node = None
        if kept or name in self._watch:
            start = self._at
            match = _TAG.match(self._text, start)
            named = dict(zip(attributes[::2], attributes[1::2], strict=True))
            node = Node(name, named, start, match.end() if match else start, scope)
            if name in self._watch:
                self.watched.append(node)
        if kept and node is not None:
            if parent is None:
                self.root = node
            else:
                parent.children.append(node)
        self._open.append((name, node, kept))

    def _wanted(self, name: str) -> bool:
        return self._keep((*(opened[0] for opened in self._open), name))

    def _end(self, _name: str) -> None:
        entry = self._open.pop()
        if entry is _PASSED_OVER:
            return
        self._scopes.pop()
        node = entry[1]
        if node is None:
            return
        if self._text[node.tag_end - 2 : node.tag_end] == b"/>":
            node.content_end = node.end = node.tag_end
        else:
            node.content_end = self._at
            node.end = self._text.index(b">", node.content_end) + 1


@dataclass(slots=True)
class Edits:
    """Pieces to put in, take out or exchange; everything else stays."""

    _made: list[tuple[int, int, bytes]] = field(default_factory=list)
    _inside_empty: dict[int, tuple[int, bytes, list[bytes]]] = field(default_factory=dict)

    def replace(self, node: Node, piece: str | bytes) -> None:
        """Put the piece where the element stands."""
        self._made.append((node.start, node.end, _utf8(piece)))

    def remove(self, node: Node) -> None:
        """Take the element out."""
        self.replace(node, "")

    def insert(self, offset: int, piece: str | bytes) -> None:
        """Put the piece in; pieces put in at one place stand in the order given."""
        if piece:
            self._made.append((offset, offset, _utf8(piece)))

    def append(self, markup: Markup, node: Node, piece: str | bytes) -> None:
        """Put the piece in as the element's last content, opening an empty tag for it."""
        if not piece:
            return
        if not node.is_empty_tag:
            self.insert(node.content_end, piece)
            return
        closing = f"</{markup.tag(node)}>".encode()
        self._inside_empty.setdefault(node.tag_end, (node.tag_end - 2, closing, []))[2].append(_utf8(piece))

    def made(self, text: bytes) -> "Iterator[bytes | memoryview]":
        """The text with every edit made, in pieces."""
        opened = [(start, end, b">" + b"".join(inside) + closing)
                  for end, (start, closing, inside) in self._inside_empty.items()]  # fmt: skip
        whole, done = memoryview(text), 0
        for start, end, piece in sorted([*self._made, *opened], key=lambda edit: edit[:2]):
            if start < done:
                raise AssertionError("two edits of one place")
            yield whole[done:start]
            yield piece
            done = end
        yield whole[done:]


def _utf8(piece: str | bytes) -> bytes:
    return piece.encode("utf-8") if isinstance(piece, str) else piece


def _as_utf8(data: bytes, where: str) -> tuple[bytes, str]:
    """The part in UTF-8, and the encoding it came in."""
    encoding = _encoding(data)
    if encoding == "utf-8":
        return data, encoding
    try:
        text = data.decode(encoding)
        comes_back = text.encode(encoding) == data
        utf8 = text.encode("utf-8")
    except (LookupError, UnicodeError) as error:
        raise _damaged(where, f"text that cannot be read as {encoding}") from error
    if not comes_back:
        raise _damaged(where, f"text that cannot be written again as {encoding}")
    return utf8, encoding


def _encoding(data: bytes) -> str:
    """The encoding by mark or declaration, UTF-8 where neither says."""
    for start, name in _ENCODING_BY_START.items():
        if data.startswith(start):
            return name
    declared = _DECLARED.match(data)
    name = declared[1].decode("ascii").lower() if declared else "utf-8"
    return "utf-8" if name == "utf8" else name


def _damaged(where: str, found: str) -> DamagedWorkbook:
    return DamagedWorkbook(where, found, "a sound workbook", _SAVE_AGAIN)
