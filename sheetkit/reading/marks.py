"""The mark by which a sheet is known as ours: a workbook-wide defined name that points at its first cell.

Why a defined name: spreadsheet programs keep it when they save, it follows its sheet when that is renamed or
moved, it stays with the original when the maker copies the sheet (the copy is then the maker's own), and it
breaks when the sheet is deleted. The name says which result sheet it is; the sheet's own title says nothing.
"""

MARK_PREFIX = "sheetkit_result_"


def mark_name(key: str) -> str:
    """The defined name that marks the result sheet with this key."""
    return MARK_PREFIX + key


def key_of_mark(name: str) -> str | None:
    """The result key in a defined name, or None where the name is not a mark of ours."""
    lowered = name.lower()
    return lowered.removeprefix(MARK_PREFIX) if lowered.startswith(MARK_PREFIX) else None
