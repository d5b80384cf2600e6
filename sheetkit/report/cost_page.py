"""What every block of the sheet Cost needs: where its cells stand, and live cells."""

from dataclasses import dataclass, field

from openpyxl.utils.cell import get_column_letter

from sheetkit.job.measure import Measure
from sheetkit.job.results import Results
from sheetkit.report.builder import SheetBuilder
from sheetkit.report.model import Area, Look, ReportCell
from sheetkit.report.sources import Sources
from sheetkit.tables.inputs import Inputs

MONEY = "#,##0.00"
WIDTHS = (22, 16, 13, 11, 11, 11, 11, 11, 11, 11, 11, 11, 11)


@dataclass(slots=True)
class Page:
    """The sheet as it is written.

    Attributes:
        sheet: its rows so far
        inputs: the maker's rows and settings
        results: what the engine found
        measure: how lengths are shown
        sources: the maker's cells that formulas may build upon
        places: where cells stand, by what they hold, as an earlier drawing found
        found: where they stand in this drawing
    """

    sheet: SheetBuilder
    inputs: Inputs
    results: Results
    measure: Measure
    sources: Sources
    places: dict[str, str]
    found: dict[str, str] = field(default_factory=dict)

    @property
    def inch(self) -> bool:
        """The units of an inch shop."""
        return self.measure.unit == "in"

    @property
    def sawn_unit(self) -> str:
        """Unit of the length sawn."""
        return "ft" if self.inch else "m"

    @property
    def mm_per_sawn_unit(self) -> float:
        """Millimetres in it."""
        return 304.8 if self.inch else 1000.0

    def at(self, what: str) -> str:
        """Address of a cell or range."""
        return self.places.get(what, "A1")

    def cell_is(self, what: str, row: int, column: int) -> None:
        """Note where a cell stands."""
        self.found[what] = f"${get_column_letter(column)}${row}"

    def column_is(self, what: str, area: Area, column: int) -> None:
        """Note where a column of a table stands."""
        letter = get_column_letter(column)
        self.found[what] = f"${letter}${area.first_row}:${letter}${area.last_row}"

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
        return ReportCell(round(value, 10), look, number_format, None if formula is None else f"={formula}")
