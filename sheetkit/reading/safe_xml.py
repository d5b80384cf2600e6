"""XML from files of unknown origin: no document type, no entities, nothing fetched, bounded depth and memory.

`parse_tree` suits small parts. `stream` suits parts of any size: it makes no tree, it only calls a `Target`.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from lxml import etree

from sheetkit.errors import DamagedWorkbook

MAX_TREE_BYTES: Final = 16 * 1024 * 1024
MAX_DEPTH: Final = 256

Attributes = Mapping[str, str]
OnStart = Callable[[Attributes], None]
OnEnd = Callable[[], None]


def _safe_parser(target: "Target | None" = None) -> etree.XMLParser:
    """A parser that fetches nothing and keeps the library's own limits on names and values.

    A target refuses the document type before it can declare any entity. For it the library has to be told to resolve
    those that XML itself declares, or it hands on "&amp;" in attributes as "&#38;".
    """
    return etree.XMLParser(
        target=target,  # type: ignore[arg-type] # the stubs want bytes as well, which lxml gives for no XML
        resolve_entities="internal" if target is not None else False,  # type: ignore[arg-type] # stubs lag behind
        no_network=True,
        load_dtd=False,
        dtd_validation=False,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
    )


class EnoughRead(Exception):
    """Raised by a target to end the pass before the end of the part."""


class Target:
    """Takes the events of one pass; subclasses fill `starts` and `ends` with their handlers by qualified tag.

    Attributes:
        starts: what to call at the start of an element, by tag ("{namespace}name")
        ends: what to call at its end
        text: the pieces of text met so far while text is wanted, None while it is not
    """

    def __init__(self) -> None:
        self.starts: dict[str, OnStart] = {}
        self.ends: dict[str, OnEnd] = {}
        self.text: list[str] | None = None
        self._depth = 0
        self._skipped = 0

    def skip(self, levels: int = 1) -> None:
        """From a start handler: call no handler until this element ends, or the one that many levels up."""
        self._skipped = levels

    def start(self, tag: str, attributes: Attributes) -> None:
        """An element begins."""
        self._depth += 1
        if self._depth > MAX_DEPTH:
            raise _Hostile(f"elements nested more than {MAX_DEPTH} deep")
        if self._skipped:
            self._skipped += 1
            return
        handler = self.starts.get(tag)
        if handler is not None:
            handler(attributes)

    def end(self, tag: str) -> None:
        """An element ends."""
        self._depth -= 1
        if self._skipped:
            self._skipped -= 1
            return
        handler = self.ends.get(tag)
        if handler is not None:
            handler()

    def data(self, data: str) -> None:
        """A piece of text."""
        if self.text is not None and not self._skipped:
            self.text.append(data)

    def doctype(self, *_: str | None) -> None:
        """A document type could declare entities; no workbook needs one."""
        raise _Hostile("a document type declaration")

    def close(self) -> None:
        """The part ends."""

    def forget(self) -> None:
        """Let go of everything, once nothing more is wanted of it.

        Its handlers and the library's parser hold the target in a ring, and with it all that it has filled.
        """
        vars(self).clear()

    def take_text(self) -> str:
        """The text gathered so far; gathering ends."""
        text = "".join(self.text or ())
        self.text = None
        return text


class _Hostile(Exception):
    """Something no sound workbook holds."""


def stream(chunks: Iterable[bytes], target: Target, where: str) -> None:
    """Run one pass over an XML part, calling the target.

    Args:
        chunks: the part's bytes, piece by piece
        target: what takes the events
        where: file and part, for the message

    Raises:
        DamagedWorkbook: not well-formed, or with a document type, or nested too deep
    """
    parser = _safe_parser(target)
    try:
        for chunk in chunks:
            parser.feed(chunk)
        parser.close()
    except EnoughRead:
        return
    except (etree.XMLSyntaxError, _Hostile) as error:
        raise _damaged(where, error) from error


def parse_tree(data: bytes, where: str, *, plain_doctype: bool = False) -> etree._Element:
    """Parse a small XML part into a tree.

    Args:
        data: the part's bytes
        where: file and part, for the message
        plain_doctype: accept a document type that only names itself and declares nothing

    Raises:
        DamagedWorkbook: not well-formed, larger than `MAX_TREE_BYTES`, or with a document type
    """
    if len(data) > MAX_TREE_BYTES:
        raise _damaged(where, _Hostile(f"{len(data):,} bytes where far fewer are usual"))
    try:
        root = etree.fromstring(data, _safe_parser())
    except etree.XMLSyntaxError as error:
        raise _damaged(where, error) from error
    subset = root.getroottree().docinfo.internalDTD
    if subset is not None and not (plain_doctype and _declares_nothing(subset)):
        raise _damaged(where, _Hostile("a document type declaration"))
    return root


def _declares_nothing(subset: Any) -> bool:
    return not any(True for _ in subset.iterentities()) and not any(True for _ in subset.iterelements())


def _damaged(where: str, error: Exception) -> DamagedWorkbook:
    hostile = isinstance(error, _Hostile)
    found = str(error) if hostile else f"XML that is not well-formed ({_reason(error)})"
    return DamagedWorkbook(where, found, "a sound workbook", "open it in the spreadsheet program and save it again")


def _reason(error: Exception) -> str:
    """The parser's own words on one line, without the name it gives to text in memory."""
    lines = str(error).split(" (<string>")[0].splitlines()
    return lines[0][:120] if lines else "no content"
