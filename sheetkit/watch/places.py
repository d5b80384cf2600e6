"""Which files are watched, and which of them are jobs."""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from sheetkit.errors import FileProblem
from sheetkit.reading import open_workbook
from sheetkit.tables.read import read_inputs
from sheetkit.tables.sheets import may_be_read

ENDINGS: Final = {".xlsx", ".xlsm", ".ods"}
_NOT_TAKEN: Final = (".", "~$")
"""Names that begin so are hidden files, lock files, or files that a program is still writing."""
_KEPT_COPY: Final = "(before refresh"
"""Stands in the names of the copies that `sheetkit refresh --keep-copy` leaves."""


def refuse_missing(places: Sequence[Path]) -> None:
    """Refuse a place that is not there when the watch begins: its name is probably misspelt.

    Raises:
        FileProblem: no such file or folder
    """
    for place in places:
        if not place.exists():
            wanted = "a workbook, or a folder of workbooks"
            raise FileProblem(str(place), "no file or folder of that name", wanted, "check the name and the folder")


def workbooks_in(folder: Path) -> Iterator[Path]:
    """Workbooks that lie in a folder itself, by name; lock files, hidden files and kept copies are left out.

    Raises:
        OSError: the folder cannot be looked at
    """
    with os.scandir(folder) as entries:
        names = sorted(entry.name for entry in entries if entry.is_file())
    for name in names:
        if Path(name).suffix.lower() in ENDINGS and not name.startswith(_NOT_TAKEN) and _KEPT_COPY not in name:
            yield folder / name


def is_job(path: Path) -> bool:
    """Whether a workbook is ours to refresh: it has result sheets of ours, or boards and layers that can be read.

    Raises:
        FileProblem: it cannot be read
    """
    workbook = open_workbook(path, may_be_read)
    if workbook.result_sheets():
        return True
    inputs = read_inputs(workbook)
    return bool(inputs.boards and inputs.targets)
