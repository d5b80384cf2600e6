"""How much of one workbook is kept in memory; what lies beyond is said, never dropped silently."""

from typing import Final

from sheetkit.errors import CellProblem, Harm

MAX_CELLS: Final = 1_000_000
"""Filled cells kept of one workbook."""

MAX_VISITED: Final = 8_000_000
"""Cells and rows looked at in one sheet, empty ones included."""

MAX_RUN_COLUMNS: Final = 1_024
"""Columns kept of one cell that is repeated along its row (.ods)."""

MAX_RUN_ROWS: Final = 10_000
"""Rows kept of one row that is repeated (.ods)."""

MAX_RUN_CELLS: Final = 50_000
"""Cells kept of one row that is repeated (.ods)."""

MAX_MERGED: Final = 100_000
"""Merged areas kept of one sheet."""


def sheet_too_large(sheet: str, cells: int) -> CellProblem:
    """The finding for a sheet of which only the first part was read."""
    return CellProblem(
        sheet,
        "",
        f"more filled cells than can be read; only the first {cells:,} of this sheet were",
        f"at most {MAX_CELLS:,} filled cells in the workbook",
        "delete what this sheet does not need, or move it to another workbook",
        Harm.LEFT_OUT,
    )


def run_too_long(sheet: str, area: str, kept: str) -> CellProblem:
    """The finding for a value that the file repeats further than a table can reach."""
    return CellProblem(
        sheet,
        area,
        f"the same content repeated over the whole area; only {kept} was read",
        f"at most {MAX_RUN_ROWS:,} equal rows and {MAX_RUN_COLUMNS:,} equal columns in one piece",
        "delete the rows or columns that the table does not need",
        Harm.LEFT_OUT,
    )
