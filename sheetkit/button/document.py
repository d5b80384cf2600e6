"""Whether the open document can be refreshed, and where the maker was in it. Travels in the extension."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ENDINGS = (".xlsx", ".xlsm", ".ods")
_SAVE_AS = "To fix: File > Save As, into a folder of yours, as .xlsx or .ods; then press the button there."
_SIGNATURES = ("_xmlsignatures/", "meta-inf/documentsignatures.xml", "meta-inf/macrosignatures.xml")


class Document(NamedTuple):
    """What the office program knows of the open document.

    Attributes:
        spreadsheet: whether it is one
        title: what its window is called
        path: where it is on disk; "" where it was never saved, or is not on a disk of this machine
        read_only: whether it can not be saved
        password: whether it is protected by one
    """

    spreadsheet: bool
    title: str
    path: str
    read_only: bool
    password: bool


class Place(NamedTuple):
    """Where the maker was.

    Attributes:
        sheet: name of the sheet shown
        area: first column, first row, last column, last row of what was selected, from 0; None for none, or several
        corner: first column and first row in sight, from 0
        sheets: names of all sheets
    """

    sheet: str
    area: tuple[int, int, int, int] | None
    corner: tuple[int, int]
    sheets: tuple[str, ...]


def why_not(document: Document) -> str | None:
    """The message where a document cannot be refreshed; None where it can."""
    return next(_obstacles(document), None)


def _obstacles(document: Document) -> Iterator[str]:
    name = Path(document.path).name or document.title
    if not document.spreadsheet:
        yield "This is no spreadsheet. Open the workbook of your job, and press the button there."
    if not document.path:
        yield f"{name} is not kept on a disk of this machine yet, and only a file there can be refreshed. {_SAVE_AS}"
    if Path(name).suffix.lower() not in ENDINGS:
        yield f"{name} is none of the kinds of file that sheetkit works in: {', '.join(ENDINGS)}. {_SAVE_AS}"
    if document.password:
        yield (
            f"{name} is protected by a password, and sheetkit cannot look inside. To fix: File > Save As, without the "
            "mark at Save with password, if the workbook need not be protected."
        )
    if document.read_only:
        yield (
            f"{name} is open for reading only, so the results cannot be put into it. Perhaps it came with a mail, "
            f"somebody else has it open, or the file is write-protected. {_SAVE_AS}"
        )
    if signed(Path(document.path)):
        yield (
            f"{name} is digitally signed, and any change breaks the signature. To fix: File > Save As under another "
            "name, and press the button there."
        )


def signed(path: Path) -> bool:
    """Whether the file on disk carries a digital signature; False for one that cannot be read."""
    try:
        with zipfile.ZipFile(path) as package:
            return any(name.lower().startswith(_SIGNATURES) for name in package.namelist())
    except (OSError, zipfile.BadZipFile):
        return False


def where_to(place: Place, summary: str, sheets: tuple[str, ...]) -> str | None:
    """The sheet to show after a refresh: Summary when it is new, else where the maker was.

    Args:
        place: where the maker was
        summary: tab of Summary, "" where unknown
        sheets: names of all sheets now

    Returns:
        A name out of `sheets`; None where neither is there.
    """
    wished = summary if summary and summary not in place.sheets else place.sheet
    return next((name for name in (wished, summary) if name in sheets), None)


def wait(path: str) -> str:
    """What stands in the window while sheetkit works."""
    return f"sheetkit is refreshing {Path(path).name}. It opens again by itself."


def not_saved(path: str, reason: str) -> str:
    """The message where saving failed."""
    return (
        f"{Path(path).name} could not be saved, so nothing was done ({reason or 'no reason given'}). Your changes are "
        f"still in the open document. {_SAVE_AS}"
    )


def not_closed(path: str) -> str:
    """The message where the document would not close."""
    return (
        f"{Path(path).name} was saved, but not refreshed: it cannot be closed just now. To fix: finish what it is busy "
        "with, such as printing or an open dialog, and press the button again."
    )


def not_opened(path: str, answer: str) -> str:
    """The message where the document would not open again after the refresh."""
    return f"{answer}\n\n{path} did not open again by itself. To fix: open it with File > Open."


def step_failed(path: str, reason: str) -> str:
    """The message where the office program refused a step that should always work."""
    kept = f" What you saved is in {path}; open it with File > Open if it is not open." if path else ""
    return f"Not refreshed, or not shown: LibreOffice refused a step ({reason or 'no reason given'}).{kept}"
