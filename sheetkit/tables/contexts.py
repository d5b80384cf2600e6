"""What the columns of a table know before their cells are read: units, decimal commas, order of month and day."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from statistics import median

from sheetkit.errors import Harm, UnreadableValue
from sheetkit.reading.model import Cell, Workbook
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.columns import LENGTH_KINDS, Column, Kind
from sheetkit.tables.findings import Findings
from sheetkit.tables.headings import DIMENSION, NUMBERED
from sheetkit.tables.inputs import Assumption
from sheetkit.tables.layout import Table, Use
from sheetkit.tables.typed_dates import Days, Order, order_of_column
from sheetkit.tables.value import SPOKEN, Context, base_unit
from sheetkit.units import Comma, Dimension, Reading, Unit, comma_evidence, find_unit, read_quantity

READINGS = frozenset({"near_left_mm", "near_right_mm", "middle_mm", "far_left_mm", "far_right_mm", NUMBERED})
"""The fields of Measurements that hold readings of one and the same slice."""
ALIKE = 3.0
"""Measures of one column are mostly within this factor of one another."""
_METRIC = frozenset({"mm", "cm", "dm", "m", "µm"})
_INCH_UNITS = {
    Dimension.TEMPERATURE: "°F",
    Dimension.FORCE: "lbf",
    Dimension.PRESSURE: "psi",
    Dimension.SPREAD: "lb/1000 ft2",
    Dimension.SPEED: "ft/min",
    Dimension.DURATION: "min",
}
_METRIC_UNITS = {Dimension.SPEED: "m/min", Dimension.DURATION: "min"}


@dataclass(slots=True)
class Book:
    """What holds for the whole workbook.

    Attributes:
        workbook: the workbook
        unit: "in" or "mm"; numbers that carry none are in it
        unit_because: where the unit comes from, in the maker's words
        unit_is_set: the Job names the unit
        unit_is_guessed: no heading and no setting names a unit
        order: what its dates show about month and day
        assumptions: defaults used so far
        shown_in: unit of the result sheets: "in", "mm", "thou" or "64ths"; "" for `unit`
    """

    workbook: Workbook
    unit: str
    unit_because: str
    order: Order | None = None
    unit_is_set: bool = False
    unit_is_guessed: bool = False
    assumptions: list[Assumption] = field(default_factory=list)
    shown_in: str = ""

    @property
    def days(self) -> Days:
        """How it keeps its days."""
        return Days(self.order, self.workbook.day_zero_1904)

    def default_unit(self, dimension: Dimension) -> Unit:
        """The unit of a number that carries none, and whose column names none."""
        metric = self.unit == "mm"
        if dimension is Dimension.LENGTH:
            label = self.unit
        else:
            label = (_METRIC_UNITS if metric else _INCH_UNITS).get(dimension, "")
        return (find_unit(label, dimension) if label else None) or base_unit(dimension)

    def unit_of(self, column: Column) -> Unit:
        """The unit of a number that carries none, in one column: the one that the templates print for it."""
        dimension = DIMENSION[column.kind]
        label = column.unit_metric if self.unit == "mm" else column.unit_inch
        return (find_unit(label, dimension) if label else None) or self.default_unit(dimension)


def system_of(unit: Unit | None) -> str:
    """The workbook unit, in or mm, that a unit of length belongs to; empty for another unit or none."""
    if unit is None or unit.dimension is not Dimension.LENGTH:
        return ""
    return "mm" if unit.label in _METRIC else "in"


def length_unit_of_table(table: Table) -> Unit | None:
    """The unit that the headings of a table agree on, None where they name none or several."""
    units = {use.unit for use in table.uses if use.column.kind in LENGTH_KINDS and system_of(use.unit)}
    return units.pop() if len(units) == 1 else None


def context_of(use: Use, table: Table, cells: Iterable[Cell], book: Book, findings: Findings) -> Context | None:
    """What is known about one column of quantities; None for a column of words."""
    column = use.column
    if column.kind not in DIMENSION:
        return None
    filled = list(cells)
    texts = [str(cell.value) for cell in filled if cell.kind is CellKind.TEXT]
    evidence = {comma_evidence(text) for text in texts} - {None}
    return Context(
        column=column,
        unit=_unit(use, table, filled, book, findings),
        comma=evidence.pop() if len(evidence) == 1 else None,
        order=book.order or order_of_column(filled, quarters=column.kind is Kind.STOCK_THICKNESS),
        day_zero_1904=book.workbook.day_zero_1904,
        mean_makes_sense=column.field in READINGS,
        unit_is_named=use.unit is not None and use.unit.dimension is DIMENSION[column.kind],
        many=column.field == NUMBERED,
    )


def setting_context(column: Column, unit: Unit | None, book: Book) -> Context:
    """What is known about one setting."""
    return Context(
        column=column,
        unit=unit or book.unit_of(column),
        unit_is_named=unit is not None,
        order=book.order,
        day_zero_1904=book.workbook.day_zero_1904,
        comma=None,
    )


def _unit(use: Use, table: Table, cells: list[Cell], book: Book, findings: Findings) -> Unit:
    dimension = DIMENSION[use.column.kind]
    if use.unit is not None and use.unit.dimension is dimension:
        return use.unit
    if use.unit is not None or (use.odd_unit and dimension is Dimension.LENGTH):
        _say_odd(use, table, book, findings)
    if dimension is not Dimension.LENGTH:
        return book.unit_of(use.column)
    shared = length_unit_of_table(table)
    unit = shared or book.default_unit(dimension)
    numbers = [cell.value for cell in cells if cell.kind is CellKind.NUMBER and isinstance(cell.value, float)]
    bare = [number for number in numbers if number > 0]
    named = _unit_of_the_others(cells, bare, unit)
    if named is not None:
        _say_unit(use, table, named, "as other cells of the column say", findings, guessed=True)
        return named
    if numbers and (shared or not book.unit_is_set):
        because = "as the sheet's other headings say" if shared else book.unit_because
        _say_unit(use, table, unit, because, findings, guessed=book.unit_is_guessed and not shared)
    return unit


def _unit_of_the_others(cells: list[Cell], bare: list[float], unit: Unit) -> Unit | None:
    """The unit that some cells of a column name, where only in it the bare numbers of the others are like them."""
    named = [reading for cell in cells if (reading := _with_own_unit(cell, unit)) is not None]
    other = find_unit(named[0].unit) if len({reading.unit for reading in named}) == 1 else None
    if other is None or other.label == unit.label or not bare:
        return None
    usual, middle = median(reading.value for reading in named), median(bare)
    near, far = (abs(math.log(each.to_base(middle) / usual)) for each in (other, unit))
    return other if near < math.log(ALIKE) and far > 2 * math.log(ALIKE) else None


def _with_own_unit(cell: Cell, unit: Unit) -> Reading | None:
    if cell.kind is not CellKind.TEXT:
        return None
    try:
        reading = read_quantity(str(cell.value), Dimension.LENGTH, unit)[0]
    except UnreadableValue:
        return None
    return reading if reading.own_unit and reading.value > 0 else None


def _say_odd(use: Use, table: Table, book: Book, findings: Findings) -> None:
    words, dimension = use.odd_unit, DIMENSION[use.column.kind]
    if use.unit is None and not any(character.isdigit() for character in words) and len(words.split()) > 1:
        return
    kind, labels, read_as = " of length", "(in), (thou) or (mm)", ""
    if dimension is not Dimension.LENGTH:
        unit = book.unit_of(use.column).label
        kind, labels = "", f"({unit})" if unit else ""
        read_as = f"; read {f'as {SPOKEN.get(unit, unit)}' if unit else 'without one'}"
    findings.add(
        table.sheet.name,
        use.heading_address,
        f'"{words}" in the heading "{use.heading}"'
        if use.unit is None
        else f'the heading "{use.heading}", whose unit is none of this column\'s{read_as}',
        f"a unit{kind} such as {labels}" if labels else "a heading without a unit",
        f"write {labels} in the heading" if labels else "take the unit out of the heading",
        Harm.NOTED if use.unit is None else Harm.DOUBTFUL,
    )


def _say_unit(use: Use, table: Table, unit: Unit, because: str, findings: Findings, *, guessed: bool) -> None:
    spoken = SPOKEN.get(unit.label, unit.label)
    findings.add(
        table.sheet.name,
        use.heading_address,
        f'the heading "{use.heading}" without a unit; read as {spoken} {because}',
        "a heading with its unit",
        f'nothing if it is in {spoken}; else write its unit behind it, for example "{use.column.heading} (mm)"',
        Harm.GUESSED if guessed else Harm.NOTED,
    )


def evidence_of(texts: Iterable[str]) -> Comma | None:
    """What some texts prove about commas, where they agree."""
    seen = {comma_evidence(text) for text in texts} - {None}
    return seen.pop() if len(seen) == 1 else None
