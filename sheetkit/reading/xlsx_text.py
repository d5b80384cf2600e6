"""Texts of .xlsx: shared and inline strings, with the runs of rich text joined and phonetic runs left out."""

import re
from dataclasses import dataclass
from typing import Final

from sheetkit.reading.archive import Package
from sheetkit.reading.limits import Effort
from sheetkit.reading.safe_xml import Attributes, Target
from sheetkit.reading.xlsx_names import both_dialects

_ESCAPED: Final = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True, slots=True)
class RichText:
    """A text and whether its own runs strike it through.

    Attributes:
        text: all runs joined
        struck: True or False where the runs decide it; None where the cell's font does
    """

    text: str
    struck: bool | None = None


def unescape(text: str) -> str:
    """The text behind the standard's _xHHHH_ notation, line ends as line feeds.

    >>> unescape("a_x005F_x0041_b")
    'a_x0041_b'
    """
    if "_x" in text:
        text = _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)
        text = text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return text.replace("\r\n", "\n")


class TextTarget(Target):
    """Gathers the pieces of one string item; subclasses say where an item starts and ends."""

    def __init__(self) -> None:
        super().__init__()
        self._pieces: list[str] = []
        self._runs: list[bool | None] = []
        self._in_phonetic = False
        self._run_struck: bool | None = None
        self.starts.update(
            both_dialects(
                {
                    "t": self._start_piece,
                    "rPh": self._start_phonetic,
                    "r": self._start_run,
                    "rPr": self._start_properties,
                    "strike": self._strike,
                }
            )
        )
        self.ends.update(both_dialects({"t": self._end_piece, "rPh": self._end_phonetic}))

    def start_item(self) -> None:
        """Forget the last item."""
        self._pieces, self._runs = [], []
        self._run_struck = None

    def item(self) -> RichText:
        """The item gathered."""
        struck: bool | None = None
        if self._runs:
            struck = False if False in self._runs else (None if None in self._runs else True)
        return RichText(unescape("".join(self._pieces)), struck)

    def _start_piece(self, _: Attributes) -> None:
        if not self._in_phonetic:
            self.text = []

    def _end_piece(self) -> None:
        if self.text is None:
            return
        piece = self.take_text()
        self._pieces.append(piece)
        if piece.strip():
            self._runs.append(self._run_struck)

    def _start_phonetic(self, _: Attributes) -> None:
        self._in_phonetic = True

    def _end_phonetic(self) -> None:
        self._in_phonetic = False

    def _start_run(self, _: Attributes) -> None:
        self._run_struck = None

    def _start_properties(self, _: Attributes) -> None:
        self._run_struck = False

    def _strike(self, attributes: Attributes) -> None:
        self._run_struck = attributes.get("val", "1") not in {"0", "false"}


class _SharedStrings(TextTarget):
    def __init__(self, effort: Effort) -> None:
        super().__init__()
        self.items: list[RichText] = []
        self._effort = effort
        self.starts.update(both_dialects({"si": self._start_string}))
        self.ends.update(both_dialects({"si": lambda: self.items.append(self.item())}))

    def _start_string(self, _: Attributes) -> None:
        self._effort.visit()
        self.start_item()


def shared_strings(package: Package, part: str | None, effort: Effort) -> list[RichText]:
    """The workbook's shared strings in their order; none where it has no such part; raises DamagedWorkbook."""
    if part is None or package.find(part) is None:
        return []
    target = _SharedStrings(effort)
    package.stream(part, target)
    items = target.items
    target.forget()
    return items
