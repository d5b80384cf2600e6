"""The mark by which a sheet is known as ours: a workbook-wide defined name that points at its first cell.

Why a defined name: spreadsheet programs keep it when they save, it follows its sheet when that is renamed or
moved, it stays with the original when the maker copies the sheet (the copy is then the maker's own), and it
breaks when the sheet is deleted. The name says which result sheet it is; the sheet's own title says nothing.

Some programs leave the name as it was when its sheet is deleted, and a sheet that the maker makes under the same
title then carries it. So the mark alone does not do: one of the sheet's first rows must also say that we wrote it.
"""

from typing import Final

from sheetkit.reading.model import Cell, Kind, Sheet

OWN_TEXT: Final = "Written by sheetkit"
"""Begins a cell of column A near the top of every result sheet."""

OWN_ROWS: Final = 4
"""So many first rows are looked at for it."""

MARK_PREFIX = "sheetkit_result_"


def mark_name(key: str) -> str:
    """The defined name that marks the result sheet with this key."""
    return MARK_PREFIX + key


def key_of_mark(name: str) -> str | None:
    """The result key in a defined name, or None where the name is not a mark of ours."""
    lowered = name.lower()
    return lowered.removeprefix(MARK_PREFIX) if lowered.startswith(MARK_PREFIX) else None


def is_own_text(cell: Cell | None) -> bool:
    """Whether the cell says that its sheet was written by us, in a place where our sheets say so."""
    if cell is None or cell.kind is not Kind.TEXT or cell.column != 1 or cell.row > OWN_ROWS:
        return False
    return str(cell.value).startswith(OWN_TEXT)


def has_own_text(sheet: Sheet) -> bool:
    """Whether one of the first cells of column A says that the sheet was written by us."""
    return any(is_own_text(sheet.cell(row, 1)) for row in range(1, OWN_ROWS + 1))
