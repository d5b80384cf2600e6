"""The texts inside a cell element of .ods: its paragraphs, and its comment apart from them."""

import re
from typing import Final

from sheetkit.reading.ods_names import count, office, text
from sheetkit.reading.ods_styles import Styles
from sheetkit.reading.ods_values import CellText
from sheetkit.reading.safe_xml import Attributes, Target

# Characters that XML cannot hold stand for the blanks that are meant while the others are collapsed.
_SPACE, _TAB, _BREAK = "\x00", "\x01", "\x02"
_MEANT: Final = str.maketrans({_SPACE: " ", _TAB: "\t", _BREAK: "\n"})
_BLANKS: Final = re.compile(r"[ \t\r\n]+")
_LAST_BLANK: Final = re.compile(r"[\r\n][ \t\r\n]*$")
_FIRST_BLANK: Final = re.compile(r"^[ \t]*[\r\n][ \t\r\n]*")
_MOST_SPACES: Final = 10_000


class _Paragraphs:
    """Paragraphs gathered so far, and which of their pieces are struck through."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.runs: list[bool | None] = []

    def text(self) -> str | None:
        return "\n".join(self.lines) if self.lines else None

    def struck(self) -> bool | None:
        if not self.runs or None in self.runs:
            return None if False not in self.runs else False
        return False not in self.runs


class CellTexts:
    """Gathers the texts of one cell after another; `listen` makes a target call it."""

    def __init__(self, target: Target, styles: Styles) -> None:
        self._target, self._styles = target, styles
        self._spans: list[bool | None] = []
        self._seen = 0
        self._outer: list[str] | None = None
        self.start_cell()

    def start_cell(self) -> None:
        """Forget the last cell."""
        self._cell = self._active = _Paragraphs()
        self._comment: _Paragraphs | None = None

    def take(self) -> CellText:
        """The texts of the cell that ends."""
        comment = self._comment.text() if self._comment is not None else None
        return CellText(self._cell.text(), self._cell.struck(), comment or None)

    def listen(self) -> None:
        """Make the target call this when it meets texts."""
        self._target.starts |= {
            text("p"): self._start_paragraph,
            text("h"): self._start_paragraph,
            text("span"): self._start_span,
            text("s"): lambda attributes: self._put(_SPACE * min(count(attributes.get(text("c"))), _MOST_SPACES)),
            text("tab"): lambda _: self._put(_TAB),
            text("line-break"): lambda _: self._put(_BREAK),
            text("ruby-text"): lambda _: self._target.skip(),
            office("annotation"): self._start_comment,
        }
        self._target.ends |= {
            text("p"): self._end_paragraph,
            text("h"): self._end_paragraph,
            text("span"): self._end_span,
            office("annotation"): self._end_comment,
        }

    def _start_paragraph(self, _: Attributes) -> None:
        self._target.text = []
        self._spans, self._seen = [], 0

    def _end_paragraph(self) -> None:
        self._close_run()
        self._active.lines.append(_collapse(self._target.take_text()))

    def _put(self, meant: str) -> None:
        self._target.data(meant)

    def _start_span(self, attributes: Attributes) -> None:
        self._close_run()
        inherited = self._spans[-1] if self._spans else None
        own = self._styles.text_struck(attributes.get(text("style-name"), ""))
        self._spans.append(inherited if own is None else own)

    def _end_span(self) -> None:
        self._close_run()
        if self._spans:
            self._spans.pop()

    def _close_run(self) -> None:
        """Note for the piece of text since the last change whether it is struck through."""
        pieces = self._target.text or []
        for piece in pieces[self._seen :]:
            if piece.strip():
                self._active.runs.append(self._spans[-1] if self._spans else None)
                break
        self._seen = len(pieces)

    def _start_comment(self, _: Attributes) -> None:
        self._outer, self._target.text = self._target.text, None
        self._comment = self._active = _Paragraphs()

    def _end_comment(self) -> None:
        self._target.text = self._outer
        self._active = self._cell


def _collapse(raw: str) -> str:
    """A run of blanks is one blank, and those that only lay the file out go; those meant stay.

    The standard drops one blank at a paragraph's start too; LibreOffice keeps it and so shows it to the maker.
    """
    if "\n" in raw or "\t" in raw or "  " in raw:
        raw = _BLANKS.sub(" ", _LAST_BLANK.sub("", _FIRST_BLANK.sub("", raw)))
    return raw.translate(_MEANT) if _SPACE in raw or _TAB in raw or _BREAK in raw else raw
