"""Cell comments of .xlsx: the older notes, and threads of comments, whose notes are only a fallback."""

from collections.abc import Iterable, Iterator
from typing import Final

from sheetkit.reading.archive import Package
from sheetkit.reading.relationships import Relationship
from sheetkit.reading.safe_xml import Attributes, Target
from sheetkit.reading.xlsx_names import both_dialects, split_address
from sheetkit.reading.xlsx_text import TextTarget

_THREADS: Final = "{http://schemas.microsoft.com/office/spreadsheetml/2018/threadedcomments}"
_FALLBACK_HEAD: Final = "[Threaded comment]"
_FALLBACK_BODY: Final = "Comment:\n"


class _Notes(TextTarget):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self._address = ""
        self.starts.update(both_dialects({"comment": self._start_comment}))
        self.ends.update(both_dialects({"comment": self._end_comment}))

    def _start_comment(self, attributes: Attributes) -> None:
        self._address = attributes.get("ref", "")
        self.start_item()

    def _end_comment(self) -> None:
        self.found.append((self._address, _without_fallback(self.item().text)))


class _Threads(Target):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self._address = ""
        self.starts = {f"{_THREADS}threadedComment": self._start_comment, f"{_THREADS}text": self._start_text}
        self.ends = {f"{_THREADS}text": self._end_text}

    def _start_comment(self, attributes: Attributes) -> None:
        self._address = attributes.get("ref", "")

    def _start_text(self, _: Attributes) -> None:
        self.text = []

    def _end_text(self) -> None:
        self.found.append((self._address, self.take_text()))


def comments(package: Package, pointers: Iterable[Relationship]) -> dict[tuple[int, int], str]:
    """Comments of a sheet by (row, column); the entries of a thread stand one below the other.

    Args:
        package: the workbook
        pointers: the sheet's relationships

    Raises:
        DamagedWorkbook: a part of comments is broken
    """
    parts = [pointer for pointer in pointers if not pointer.external and package.find(pointer.target)]
    notes, threads = _Notes(), _Threads()
    for pointer in parts:
        if pointer.kind == "comments":
            package.stream(pointer.target, notes)
        elif pointer.kind == "threadedComment":
            package.stream(pointer.target, threads)
    return _by_cell(notes.found) | _by_cell(threads.found)


def _by_cell(found: list[tuple[str, str]]) -> dict[tuple[int, int], str]:
    pieces: dict[tuple[int, int], list[str]] = {}
    for place, text in _placed(found):
        pieces.setdefault(place, []).append(text)
    return {place: "\n".join(texts) for place, texts in pieces.items()}


def _placed(found: list[tuple[str, str]]) -> Iterator[tuple[tuple[int, int], str]]:
    for address, text in found:
        place = split_address(address)
        if place != (0, 0) and text.strip():
            yield place, text.strip()


def _without_fallback(text: str) -> str:
    """The comment itself where the note only tells readers without threads that there is one."""
    head, found, body = text.partition(_FALLBACK_BODY)
    return body if found and head.startswith(_FALLBACK_HEAD) else text
