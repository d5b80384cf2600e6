"""What every block of the sheet Cost needs: where its cells stand, and live cells."""

from dataclasses import dataclass

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import SheetBuilder
from sheetkit.report.live import Live, plain
from sheetkit.report.model import Area, Look, ReportCell
from sheetkit.tables.inputs import Inputs

MONEY = "#,##0.00"
DATE = "yyyy-mm-dd"
GAP = '"  "'
"""Keeps a number off the text beside it."""
WIDTHS = (22, 16, 13, 11, 12, 12, 11, 12, 11, 11, 11, 11, 11, 11)


@dataclass(slots=True)
class Page:
    """The sheet as it is written.

    Attributes:
        sheet: its rows so far
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        live_cells: the cells that formulas may build upon
        panels_at: the table of panels
        boards_from: row of the first board in the table of boards
    """

    sheet: SheetBuilder
    inputs: Inputs
    results: Results
    measure: Measure
    live_cells: Live
    boards_from: int = 0
    panels_at: Area | None = None

    @property
    def inch(self) -> bool:
        """The units of an inch shop."""
        return self.measure.inch

    @property
    def sawn_unit(self) -> str:
        """Unit of the length sawn."""
        return "ft" if self.inch else "m"

    @property
    def mm_per_sawn_unit(self) -> float:
        """Millimetres in it."""
        return 304.8 if self.inch else 1000.0

    def at(self, what: str) -> str:
        """Address of a cell or range of this sheet."""
        place = self.live_cells.places.get(f"Cost {plain(what)}", "A1")
        return place.rpartition("!")[2]

    def cell_is(self, what: str, row: int, column: int) -> None:
        """Note where a cell stands."""
        self.live_cells.keep(f"Cost {what}", self.sheet.sheet, row, column)

    def column_is(self, what: str, area: Area, column: int) -> None:
        """Note where a column of a table stands."""
        self.live_cells.keep_column(f"Cost {what}", self.sheet.sheet, area, column)

    def live(
        self,
        value: float | None,
        formula: str | None,
        look: Look = Look.TEXT,
        number_format: str = MONEY,
        lacking: str | None = "not costed",
    ) -> ReportCell:
        """A figure with its formula, or what is said where there is none.

        Args:
            value: the formula's result, None where something that it needs is not given
            formula: without its leading "="; None for a plain value
            look: what the cell is for
            number_format: how the figure is shown
            lacking: what is said instead
        """
        if value is None:
            return ReportCell(lacking, Look.QUIET)
        return ReportCell(round(value, 12), look, number_format, None if formula is None else f"={formula}")
