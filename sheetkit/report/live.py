"""What the formulas of the result sheets build upon: the maker's own cells, and cells of ours by what they hold."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isclose
from typing import Any, TypeVar

from openpyxl.utils.cell import get_column_letter, quote_sheetname

from sheetkit.job.measure import Measure
from sheetkit.reading.xlsx_names import split_address
from sheetkit.report.model import Area, ReportSheet
from sheetkit.report.sources import LENGTHS, LENGTHS_IN_THOU, PLAIN, Sources
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Place

T = TypeVar("T")

MOST_ARGUMENTS = 30
"""So many ranges a function of an old program takes."""
SAME = 1e-8
"""A formula is written only where it gives the engine's figure, this close."""
_NAMED = re.compile(r"\[([^\[\]]+)\]")


def plain(what: str) -> str:
    """The name of a cell without the brackets that a board or a wood may have in its own."""
    return what.replace("[", "(").replace("]", ")")


@dataclass(slots=True)
class Live:
    """Cells that formulas may refer to.

    Attributes:
        inputs: the maker's rows and settings
        measure: how lengths are shown
        sources: the maker's cells
        places: addresses by what stands there, as an earlier drawing of all sheets found; empty in the first drawing
        found: where things stand in this drawing
        kept: what is alike in all drawings, by a name of its own
    """

    inputs: Inputs
    measure: Measure
    sources: Sources
    places: Mapping[str, str]
    found: dict[str, str] = field(default_factory=dict)
    kept: dict[str, Any] = field(default_factory=dict)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """What does not hang on where other cells stand, made in the first drawing only.

        Args:
            name: its own, with all that it hangs on
            make: makes it
        """
        if name not in self.kept:
            self.kept[name] = make()
        made: T = self.kept[name]
        return made

    def keep(self, what: str, sheet: ReportSheet, row: int, column: int, last_row: int | None = None) -> None:
        """Note where a cell, or a column of cells, stands."""
        letter = get_column_letter(column)
        end = "" if last_row is None else f":${letter}${last_row}"
        self.found[plain(what)] = f"{quote_sheetname(sheet.name)}!${letter}${row}{end}"

    def keep_column(self, what: str, sheet: ReportSheet, area: Area, column: int) -> None:
        """Note where a column of a table stands."""
        self.keep(what, sheet, area.first_row, column, area.last_row)

    def of(self, formula: str) -> str | None:
        """A formula in which cells of ours stand in brackets by what they hold: ``C7+[offset oak]``.

        Returns:
            It with their addresses; None where one of them is not drawn. In the first drawing any address is given.
        """
        if not self.places:
            return _NAMED.sub("A1", formula)
        if any(what not in self.places for what in _NAMED.findall(formula)):
            return None
        return _NAMED.sub(lambda found: self.places[found[1]], formula)

    def length(self, place: Place | None, name: str, length_mm: float) -> str | None:
        """The maker's cell behind a fine length, turned into the shown unit; None where it holds no plain number."""
        return self.sources.operand(place, name, self.measure.of(length_mm), self.fine_factors)

    def board_length(self, place: Place | None, name: str, length_mm: float) -> str | None:
        """The same for a board's, a panel's or a piece's length."""
        return self.sources.operand(place, name, self.measure.of_board(length_mm), LENGTHS)

    @property
    def fine_factors(self) -> Sequence[tuple[float, str]]:
        """From a maker's length to the unit of what is fine."""
        return LENGTHS_IN_THOU if self.measure.unit == "thou" else LENGTHS

    def setting(self, name: str, value: float, factors: Sequence[tuple[float, str]] = PLAIN) -> str | None:
        """The maker's cell behind a setting such as ``Shop.held_mm``, the value being as it is shown."""
        return self.sources.operand(self.inputs.setting_places.get(name), name.partition(".")[2], value, factors)

    def cells(
        self, places: Iterable[tuple[Place, str, float]], function: str, of: Callable[[Sequence[float]], float]
    ) -> tuple[str, float] | None:
        """A function over cells of the maker that hold lengths in one unit.

        Args:
            places: row, field and understood length of each cell
            function: such as ``AVERAGE``
            of: the same on the understood lengths

        Returns:
            Its formula and its value [mm]; None where a cell holds no plain number, or units differ.
        """
        addresses, factors, lengths = [], set(), []
        for place, name, length_mm in places:
            operand = self.length(place, name, length_mm)
            if operand is None:
                return None
            address = f"{quote_sheetname(place.sheet)}!{place.cells[name]}"
            addresses.append(address)
            factors.add(operand.removeprefix(address))
            lengths.append(length_mm)
        arguments = joined(addresses)
        if len(factors) != 1 or arguments is None:
            return None
        return f"{function}({arguments}){factors.pop()}", of(lengths)


def joined(addresses: Sequence[str]) -> str | None:
    """Cells as arguments of a function, neighbours in a row or a column made ranges; None where they are too many.

    >>> joined(["Stock!D3", "Stock!E3", "Stock!F3", "Stock!H3"])
    'Stock!D3:F3,Stock!H3'
    """
    runs: list[list[str]] = []
    direction: tuple[int, int] | None = None
    for (sheet, row, column), (next_sheet, next_row, next_column), address in _pairs(addresses):
        step = (next_row - row, next_column - column) if sheet == next_sheet else None
        if step in {(0, 1), (1, 0)} and direction in {None, step}:
            runs[-1].append(address)
            direction = step
        else:
            runs.append([address])
            direction = None
    if not 0 < len(runs) <= MOST_ARGUMENTS:
        return None
    return ",".join(run[0] if len(run) == 1 else f"{run[0]}:{run[-1].rpartition('!')[2]}" for run in runs)


_Spot = tuple[str, int, int]


def _pairs(addresses: Sequence[str]) -> Iterator[tuple[_Spot, _Spot, str]]:
    """Each cell's sheet, row and column after those of the cell before; the first has none before it."""
    before: _Spot = ("!", 0, 0)
    for address in addresses:
        sheet, _, cell = address.rpartition("!")
        spot = (sheet, *split_address(cell.replace("$", "")))
        yield before, spot, address
        before = spot


def agreed(formula: str | None, of_formula: float, engine: float) -> str | None:
    """The formula where it gives the engine's figure, else None."""
    return formula if isclose(of_formula, engine, rel_tol=SAME, abs_tol=SAME) else None
