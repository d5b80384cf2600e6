"""Works out input formulas that carry no stored result, from the cells of the same workbook only.

Files written by libraries often hold formulas without results. The `formulas` library works out one formula at a
time; what a formula needs is found here, so that time and size stay bounded and no other file is ever opened.
"""

import logging
import math
import re
import threading
import time
from collections.abc import Hashable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any, Final

import numpy as np

from sheetkit.errors import CellProblem, Harm
from sheetkit.reading.dates import read_serial
from sheetkit.reading.formula_text import (
    MAX_LENGTH,
    Area,
    CannotWorkOut,
    Operand,
    Template,
    from_opendocument,
    take_apart,
)
from sheetkit.reading.model import Cell, Format, Kind, Sheet, Workbook
from sheetkit.trade.silence import warnings_dropped

MAX_COST: Final = 6_000_000
"""Of all formulas of a workbook, in about a microsecond: counted, so that a busy machine works out the same ones."""
MAX_SECONDS: Final = 120.0
"""The clock is only the backstop."""
MAX_AREA: Final = 200_000
MAX_TEXT: Final = 32_767
"""Characters that a cell of a spreadsheet program holds."""
MAX_REMEMBERED: Final = 16
"""How many values a formula may take for its result to be kept."""
MAX_LISTED: Final = 100
"""Findings of one sheet listed one by one; the rest are counted."""

_Key = tuple[int, int, int]
_Result = float | str | bool | CannotWorkOut
_TOO_MANY_DIGITS: Final = re.compile(r"\d[\d.]{15,}")
_CELL_BY_CELL: Final = re.compile(r"IFS?\(", re.IGNORECASE)
"""SUMIF and its like, for which the library looks at each cell on its own."""
_TOO_MANY: Final = "there are too many such formulas"
_CARRIED_ERRORS: Final = ("#DIV/0!", "#N/A", "#NUM!")


class _ErrorValue(str):
    """An error that the formula rightly gives, such as #DIV/0!."""

    __slots__ = ()


def work_out(workbook: Workbook) -> None:
    """Replace the cells without a result by cells with the result worked out, as far as that can be done.

    Those that cannot be worked out stay as they are, with a finding in `Workbook.without_result`.

    Args:
        workbook: the workbook as read; changed in place
    """
    with _quiet():
        engine = _Engine(workbook)
        for key in list(engine.missing):
            engine.solve(key)
    refused: dict[str, list[CellProblem]] = {}
    for key, result in sorted(engine.results.items(), key=lambda item: item[0]):
        sheet, cell = engine.cell(key)
        if isinstance(result, CannotWorkOut):
            refused.setdefault(sheet.name, []).append(_finding(sheet, cell, str(result)))
        else:
            sheet.cells[cell.row, cell.column] = _with_result(cell, result, day_zero_1904=workbook.day_zero_1904)
    for name, findings in refused.items():
        workbook.without_result += findings[:MAX_LISTED]
        if len(findings) > MAX_LISTED:
            workbook.without_result.append(_further(name, len(findings) - MAX_LISTED))


class _Engine:
    """The results found so far, and what is needed to find more."""

    def __init__(self, workbook: Workbook) -> None:
        import formulas
        import schedula

        self._parser, self._empty = formulas.Parser(), schedula.EMPTY
        self._errors = {str(error): error for error in (formulas.DIV, formulas.NA, formulas.NUM)}
        self._workbook = workbook
        self._numbers = {sheet.name.lower(): number for number, sheet in reversed(list(enumerate(workbook.sheets)))}
        self._extents = [_extent(sheet) for sheet in workbook.sheets]
        self._missing_of = [
            {place for place, cell in sheet.cells.items() if cell.kind is Kind.NO_RESULT} for sheet in workbook.sheets
        ]
        self._compiled: dict[str, Any] = {}
        self._remembered: dict[Hashable, _Result] = {}
        self._templates: dict[_Key, Template | CannotWorkOut] = {}
        self._deadline = time.monotonic() + MAX_SECONDS
        self._cost = 0
        self.missing = [(number, *place) for number, places in enumerate(self._missing_of) for place in places]
        self.results: dict[_Key, _Result] = {}

    def cell(self, key: _Key) -> tuple[Sheet, Cell]:
        """The cell of a key, and its sheet."""
        sheet = self._workbook.sheets[key[0]]
        return sheet, sheet.cells[key[1:]]

    def solve(self, wanted: _Key) -> None:
        """Find a result, after those that it needs."""
        stack, waiting = [wanted], set[_Key]()
        while stack:
            key = stack[-1]
            pending = [] if key in self.results else self._pending(key)
            if key in self.results or not pending:
                if key not in self.results:
                    self.results[key] = self._evaluate(key) if self._has_time() else CannotWorkOut(_TOO_MANY)
                waiting.discard(key)
                stack.pop()
            elif key in waiting or waiting.intersection(pending):
                self.results[key] = CannotWorkOut("it refers to itself")
            else:
                waiting.add(key)
                stack += pending

    def _has_time(self) -> bool:
        return self._cost <= MAX_COST and time.monotonic() < self._deadline

    def _pay(self, cost: int) -> None:
        self._cost += cost
        if self._cost > MAX_COST:
            raise CannotWorkOut(_TOO_MANY)

    def _pending(self, key: _Key) -> list[_Key]:
        """The cells without a result that a formula needs and that were not looked at yet."""
        template = self._template(key) if self._has_time() else CannotWorkOut(_TOO_MANY)
        if isinstance(template, CannotWorkOut):
            self.results[key] = template
            return []
        try:
            areas = [self._located(key, operand.area) for operand in template.operands if operand.area is not None]
        except CannotWorkOut as reason:
            self.results[key] = reason
            return []
        needed = [(number, *place) for number, area in areas for place in self._missing_in(number, area)]
        return [other for other in needed if other not in self.results]

    def _missing_in(self, number: int, area: Area) -> Iterable[tuple[int, int]]:
        missing = self._missing_of[number]
        if _size(area) <= len(missing):
            places = ((row, column) for row in _rows(area) for column in _columns(area))
            return [place for place in places if place in missing]
        return [place for place in missing if place[0] in _rows(area) and place[1] in _columns(area)]

    def _template(self, key: _Key) -> Template | CannotWorkOut:
        known = self._templates.get(key)
        if known is None:
            formula = self.cell(key)[1].formula or ""
            self._cost += 100 + 2 * min(len(formula), MAX_LENGTH)
            try:
                if self._workbook.format is Format.ODS:
                    formula = from_opendocument(formula)
                known = take_apart(formula)
            except CannotWorkOut as reason:
                known = reason
            self._templates[key] = known
        return known

    def _located(self, key: _Key, area: Area) -> tuple[int, Area]:
        """The sheet that an area lies on, and the area cut off where that sheet holds nothing more."""
        number = key[0] if area.sheet is None else self._numbers.get(area.sheet.lower(), -1)
        if number < 0:
            raise CannotWorkOut(f"it refers to {area.sheet}, which is not a sheet of this workbook")
        if self._workbook.sheets[number].result_key is not None:
            raise CannotWorkOut("it refers to a result sheet")
        last_row, last_column = self._extents[number]
        bottom, right = max(area.top, min(area.bottom, last_row)), max(area.left, min(area.right, last_column))
        cut = replace(area, bottom=bottom, right=right)
        self._pay(2 * min(_size(cut), MAX_AREA))
        if _size(cut) > MAX_AREA:
            raise CannotWorkOut("it refers to too many cells")
        return number, cut

    def _evaluate(self, key: _Key) -> _Result:
        template = self._template(key)
        if isinstance(template, CannotWorkOut):
            return template
        try:
            values = {operand.name: self._values(key, operand) for operand in template.operands}
            self._fill_blanks_compared(template, values)
            return self._worked_out(template.text, values)
        except CannotWorkOut as reason:
            return reason
        except Exception as error:  # the library raises whatever its functions meet
            return CannotWorkOut(f"it ends in {type(error).__name__}")

    def _worked_out(self, text: str, values: dict[str, Any]) -> _Result:
        """The result on these values, kept for other cells with the same formula on the same ones."""
        if sum(value.size for value in values.values()) > MAX_REMEMBERED:
            return self._run(text, values)
        same = (text, *((name, value.shape, *map(_told_apart, value.flat)) for name, value in values.items()))
        if same not in self._remembered:
            self._remembered[same] = self._run(text, values)
        return self._remembered[same]

    def _run(self, text: str, values: dict[str, Any]) -> _Result:
        if text not in self._compiled:
            self._pay(2_000 + 330 * len(values))
        per_value = 30 if _CELL_BY_CELL.search(text) else 2
        self._pay(60 + 70 * len(values) + per_value * sum(value.size for value in values.values()))
        function = self._compile(text)
        return self._plain(function(*(values[name] for name in function.inputs)))

    def _compile(self, text: str) -> Any:
        if text not in self._compiled:
            self._compiled[text] = self._parser.ast(text)[1].compile()
        return self._compiled[text]

    def _values(self, key: _Key, operand: Operand) -> Any:
        """The operand's values as rows and columns."""
        if operand.area is None:
            return np.array([[operand.constant]], dtype=object)
        number, area = self._located(key, operand.area)
        cells = self._workbook.sheets[number].cells
        values = np.empty((area.bottom - area.top + 1, area.right - area.left + 1), dtype=object)
        values.fill(self._empty)
        for row in _rows(area):
            for column in _columns(area):
                cell = cells.get((row, column))
                if cell is not None and cell.kind is not Kind.EMPTY:
                    values[row - area.top, column - area.left] = self._value((number, row, column), cell, operand)
        return values

    def _fill_blanks_compared(self, template: Template, values: dict[str, Any]) -> None:
        """Give blank cells in comparisons the value that the other side asks for; the library compares them wrongly."""
        compared = [operand.name for operand in template.operands if operand.compared]
        blank = [name for name in compared if any(value is self._empty for value in values[name].flat)]
        if not blank:
            return
        others = [name for name in compared if name not in blank]
        if template.comparisons != 1 or len(compared) != 2 or any(values[name].size != 1 for name in compared):
            raise CannotWorkOut("it compares a blank cell with more than one value")
        other = values[others[0]][0, 0] if others else 0.0
        for name in blank:
            values[name][0, 0] = type(other)()

    def _value(self, key: _Key, cell: Cell, operand: Operand) -> Any:
        found: Any = self.results.get(key, cell.value if cell.serial is None else cell.serial)
        if isinstance(found, CannotWorkOut) or found is None:
            raise CannotWorkOut(f"it needs {cell.address}, which has no result either")
        if cell.kind is Kind.ERROR or isinstance(found, _ErrorValue):
            if str(found) not in self._errors:
                raise CannotWorkOut(f"it needs {cell.address}, which holds {found}")
            return self._errors[str(found)]
        if isinstance(found, str) and operand.in_sum:
            raise CannotWorkOut(f"it calculates with {cell.address}, which holds text")
        if isinstance(found, str) and not operand.text_as_it_is and _looks_like_a_number(found):
            raise CannotWorkOut(f"it uses {cell.address}, which holds a text that looks like a number")
        if operand.numbers_only and isinstance(found, bool):
            raise CannotWorkOut(f"it totals {cell.address}, which holds {str(found).upper()}; programs differ there")
        if operand.numbers_only and isinstance(found, str):
            return self._empty
        return found

    def _plain(self, result: Any) -> _Result:
        """The library's result as a plain value."""
        array = np.asarray(result, dtype=object)
        if array.size != 1:
            raise CannotWorkOut("it gives several values")
        value = array.reshape(-1)[0]
        if value is self._empty:
            return 0.0
        if isinstance(value, bool | np.bool_):
            return bool(value)
        if isinstance(value, int | float | np.integer | np.floating) and math.isfinite(value):
            return float(value)
        if str(value) in _CARRIED_ERRORS and type(value) is not str:
            return _ErrorValue(value)
        if type(value) is str and len(value) > MAX_TEXT:
            raise CannotWorkOut(f"it gives a text longer than the {MAX_TEXT:,} characters that a cell holds")
        if type(value) is str and _TOO_MANY_DIGITS.search(value):
            raise CannotWorkOut("it gives a text with more digits than all programs agree on")
        if type(value) is str:
            return value
        raise CannotWorkOut(f"it gives {value}")


def _with_result(cell: Cell, result: float | str | bool, *, day_zero_1904: bool) -> Cell:
    if isinstance(result, _ErrorValue):
        return replace(cell, kind=Kind.ERROR, value=str(result), computed=True)
    if isinstance(result, str):
        return replace(cell, kind=Kind.TEXT, value=result, computed=True)
    if isinstance(result, bool):
        return replace(cell, kind=Kind.BOOLEAN, value=result, computed=True)
    kind, value = read_serial(result, cell.number_format, day_zero_1904=day_zero_1904)
    return replace(cell, kind=kind, value=value, serial=None if kind is Kind.NUMBER else result, computed=True)


def _finding(sheet: Sheet, cell: Cell, reason: str) -> CellProblem:
    formula = cell.formula or ""
    shortened = formula if len(formula) <= 80 else formula[:77] + "..."
    return CellProblem(
        sheet.name,
        cell.address,
        f"the formula {shortened} without a stored result, and it could not be worked out here: {reason}",
        "a formula with its result",
        "open the workbook in the spreadsheet program, save it there and refresh again, or type the value",
        Harm.LEFT_OUT,
    )


def _further(sheet: str, count: int) -> CellProblem:
    return CellProblem(
        sheet,
        "",
        f"{count:,} further formula{'s' if count > 1 else ''} without a stored result",
        "formulas with their results",
        "open the workbook in the spreadsheet program, save it there and refresh again",
        Harm.LEFT_OUT,
    )


def _told_apart(value: Any) -> tuple[type, Any]:
    """A value as it differs from all others, 1 from TRUE and 0 from -0."""
    return type(value), repr(value) if isinstance(value, float) else value


def _looks_like_a_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _extent(sheet: Sheet) -> tuple[int, int]:
    rows, columns = zip(*sheet.cells, strict=True) if sheet.cells else ((0,), (0,))
    return max(rows), max(columns)


def _rows(area: Area) -> range:
    return range(area.top, area.bottom + 1)


def _columns(area: Area) -> range:
    return range(area.left, area.right + 1)


def _size(area: Area) -> int:
    return len(_rows(area)) * len(_columns(area))


_ONE_AT_A_TIME: Final = threading.Lock()
"""A logger's level is set for the whole process: two threads would put back each other's setting."""


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the library's own remarks away from the maker: each refusal is reported as a finding."""
    logger = logging.getLogger("schedula")
    with _ONE_AT_A_TIME:
        level = logger.level
        logger.setLevel(logging.CRITICAL + 1)
        try:
            with warnings_dropped(), np.errstate(all="ignore"):
                yield
        finally:
            logger.setLevel(level)
