"""An XML part edited by byte offset: what is not touched keeps its bytes, encoding, prefixes and order.

The part is held as UTF-8 while it is edited and turned back into its own encoding at the end. What is put in is plain
ASCII, with character references for the rest, so that it fits any encoding.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final
from xml.parsers import expat
from xml.sax.saxutils import escape

from sheetkit.errors import DamagedWorkbook
from sheetkit.reading.safe_xml import MAX_DEPTH

_TAG: Final = re.compile(rb"<(?:[^\"'>]++|\"[^\"]*+\"|'[^']*+')*+>")
_DECLARED: Final = re.compile(rb"\A<\?xml[^>]*?\sencoding\s*=\s*[\"']([A-Za-z0-9._-]+)[\"']")
_BOMS: Final = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))
_NO_BOM: Final = ((b"<\x00", "utf-16-le"), (b"\x00<", "utf-16-be"))


@dataclass(slots=True, eq=False)
class Element:
    """One element and where it stands in the part's UTF-8 form.

    Attributes:
        name: as written, with its prefix
        attributes: by name as written
        parent: None for the root
        start: offset of its start tag
        inside: offset behind its start tag
        end: offset behind its end tag
        empty: start and end are one tag
        children: elements directly inside
        text: character data directly inside
    """

    name: str
    attributes: dict[str, str]
    parent: "Element | None"
    start: int
    inside: int
    empty: bool
    end: int = 0
    children: "list[Element]" = field(default_factory=list)
    text: str = ""

    @property
    def local(self) -> str:
        """The name without its prefix."""
        return self.name.rpartition(":")[2]

    @property
    def prefix(self) -> str:
        """The prefix with its colon; empty where there is none."""
        return "".join(self.name.rpartition(":")[:2])

    def lineage(self) -> "Iterator[Element]":
        """The element itself and what it stands in, outwards."""
        element: Element | None = self
        while element is not None:
            yield element
            element = element.parent

    def namespace(self, prefix: str = "") -> str | None:
        """What a prefix stands for at this element; None where it stands for nothing."""
        key = f"xmlns:{prefix}" if prefix else "xmlns"
        return next((each.attributes[key] for each in self.lineage() if key in each.attributes), None)

    def prefix_of(self, namespace: str) -> str | None:
        """A prefix, not empty, that stands for the namespace at this element."""
        candidates = [key[6:] for each in self.lineage() for key in each.attributes if key.startswith("xmlns:")]
        return next((prefix for prefix in candidates if self.namespace(prefix) == namespace), None)

    def qualified(self, namespace: str, local: str) -> str | None:
        """The value of an attribute with a namespace."""
        for name, value in self.attributes.items():
            prefix, _, rest = name.rpartition(":")
            if rest == local and prefix and prefix != "xmlns" and self.namespace(prefix) == namespace:
                return value
        return None

    def child(self, local: str) -> "Element | None":
        """The first child with this local name in the element's own namespace."""
        return next(
            (each for each in self.children if each.local == local and each.prefix == self.prefix), None
        ) or next((each for each in self.children if each.local == local), None)


class Markup:
    """An XML part being edited.

    Args:
        data: the part's bytes
        where: file and part, for messages

    Attributes:
        root: the outermost element

    Raises:
        DamagedWorkbook: not well-formed, with a document type, or in an encoding that cannot be kept
    """

    def __init__(self, data: bytes, where: str) -> None:
        self._original = data
        self._bom, self._encoding = _encoding_of(data)
        self._utf8 = _to_utf8(data[len(self._bom) :], self._encoding, where)
        self._edits: list[tuple[int, int, bytes]] = []
        self._appended: dict[Element, list[bytes]] = {}
        self.root: Element = _Builder(self._utf8, where).root

    def insert(self, at: int, content: str) -> None:
        """Put markup in at an offset."""
        self._edits.append((at, at, ascii_markup(content)))

    def replace(self, element: Element, content: str) -> None:
        """Put markup in place of an element."""
        self._edits.append((element.start, element.end, ascii_markup(content)))

    def remove(self, element: Element) -> None:
        """Take an element out."""
        self._edits.append((element.start, element.end, b""))

    def append(self, element: Element, content: str) -> None:
        """Put markup in as the element's last content."""
        self._appended.setdefault(element, []).append(ascii_markup(content))

    def set_attribute(self, element: Element, name: str, value: str) -> None:
        """Give an attribute that is there another value; one that is not there is not added."""
        if name not in element.attributes:
            return
        tag = self._utf8[element.start : element.inside]
        found = re.search(rb"\s" + re.escape(name.encode()) + rb"\s*=\s*(\"[^\"]*\"|'[^']*')", tag)
        if found is not None and element.attributes[name] != value:
            start, end = (element.start + offset for offset in found.span(1))
            self._edits.append((start + 1, end - 1, ascii_markup(attribute(value))))

    def raw(self, element: Element) -> str:
        """The element as it stands."""
        return self._utf8[element.start : element.end].decode("utf-8")

    def result(self) -> bytes:
        """The part with all edits made; the very bytes given where there are none."""
        edits = [*self._edits, *(self._append_edit(element) for element in self._appended)]
        if not edits:
            return self._original
        pieces, at = [], 0
        for start, end, content in sorted(edits, key=lambda edit: edit[:2]):
            pieces += [self._utf8[at:start], content]
            at = end
        utf8 = b"".join([*pieces, self._utf8[at:]])
        return self._bom + (utf8 if self._encoding == "utf-8" else utf8.decode("utf-8").encode(self._encoding))

    def _append_edit(self, element: Element) -> tuple[int, int, bytes]:
        content = b"".join(self._appended[element])
        if element.empty:
            closing = f"</{element.name}>".encode()
            return element.inside - 2, element.inside, b">" + content + closing
        at = self._utf8.rindex(b"</", element.inside, element.end)
        return at, at, content


class _Builder:
    """Builds the tree of elements with their offsets."""

    def __init__(self, utf8: bytes, where: str) -> None:
        self._utf8 = utf8
        self._open: list[Element] = []
        self._root: Element | None = None
        self._parser = expat.ParserCreate("utf-8")
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._data
        self._parser.StartDoctypeDeclHandler = self._doctype
        try:
            self._parser.Parse(utf8, True)
        except (expat.ExpatError, ValueError) as error:
            raise damaged(where, f"XML that is not well-formed ({error})") from error
        if self._root is None:
            raise damaged(where, "XML without content")
        self.root: Element = self._root

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        start = self._parser.CurrentByteIndex
        tag = _TAG.match(self._utf8, start)
        if tag is None or len(self._open) >= MAX_DEPTH:
            raise ValueError("a tag that cannot be placed")
        parent = self._open[-1] if self._open else None
        element = Element(name, attributes, parent, start, tag.end(), empty=tag[0].endswith(b"/>"))
        if parent is None:
            self._root = element
        else:
            parent.children.append(element)
        self._open.append(element)

    def _end(self, _name: str) -> None:
        element = self._open.pop()
        element.end = element.inside if element.empty else self._utf8.index(b">", self._parser.CurrentByteIndex) + 1

    def _data(self, text: str) -> None:
        if self._open:
            self._open[-1].text += text

    def _doctype(self, *_: object) -> None:
        raise ValueError("a document type declaration")


def attribute(text: str) -> str:
    """Text as it stands between the quotes of an attribute."""
    return escape(text, {'"': "&quot;", "\n": "&#10;", "\r": "&#13;", "\t": "&#9;"})


def ascii_markup(content: str) -> bytes:
    """Markup as bytes, with character references for what is not ASCII."""
    return content.encode("ascii", "xmlcharrefreplace")


def damaged(where: str, found: str) -> DamagedWorkbook:
    """The refusal of a broken file."""
    fix = "open it in the spreadsheet program and save it again"
    return DamagedWorkbook(where, found, "a sound workbook", fix)


def _encoding_of(data: bytes) -> tuple[bytes, str]:
    """The byte order mark, empty where there is none, and the encoding."""
    for bom, encoding in _BOMS:
        if data.startswith(bom):
            return bom, encoding
    for head, encoding in _NO_BOM:
        if data.startswith(head):
            return b"", encoding
    declared = _DECLARED.match(data)
    encoding = declared[1].decode("ascii").lower() if declared else "utf-8"
    return b"", "utf-8" if encoding == "utf8" else encoding


def _to_utf8(data: bytes, encoding: str, where: str) -> bytes:
    if encoding == "utf-8":
        return data
    try:
        text = data.decode(encoding)
        kept = text.encode(encoding) == data
    except (LookupError, UnicodeError) as error:
        raise damaged(where, f"text that is not in its declared encoding ({encoding})") from error
    if not kept:
        raise damaged(where, f"text whose encoding cannot be kept ({encoding})")
    return text.encode("utf-8")
