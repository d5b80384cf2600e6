"""How much of one workbook is kept in memory; what lies beyond is said, never dropped silently."""

from dataclasses import dataclass
from typing import Final

from sheetkit.errors import CellProblem, DamagedWorkbook, Harm

MAX_CELLS: Final = 1_000_000
"""Filled cells kept of one workbook."""

MAX_VISITED: Final = 4_000_000
"""Cells and rows looked at in one workbook, empty ones included."""

FIRST_ROWS: Final = 1_000
"""By so many rows it shows whether a sheet is one that somebody wants to read."""

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


MAX_FORMULA: Final = 8_192
"""Characters of a formula; Excel's own limit, from memory."""

MAX_SHARED_TEXT: Final = 50_000_000
"""Characters of formulas written out for the cells that share them."""


@dataclass(slots=True)
class Effort:
    """What reading one workbook has cost so far.

    Attributes:
        where: the file's name, for the message
        visited: cells and rows looked at
        kept: filled cells kept
    """

    where: str
    visited: int = 0
    kept: int = 0

    @property
    def full(self) -> bool:
        """No further cell may be kept."""
        return self.kept >= MAX_CELLS

    def has_room(self, count: int) -> bool:
        """Whether so many further cells may be kept."""
        return self.kept + count <= MAX_CELLS

    def visit(self, count: int = 1) -> None:
        """Count cells or rows; raises DamagedWorkbook where they are more than any table needs."""
        self.visited += count
        if self.visited > MAX_VISITED:
            fix = "delete the empty rows and columns that no table needs, and save it again"
            raise DamagedWorkbook(self.where, f"more than {MAX_VISITED:,} cells and rows", "a workbook of records", fix)
