"""Builds workbooks in memory, cell by cell, as the readers would give them."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries
from openpyxl.utils.datetime import to_excel

from sheetkit.errors import CellProblem
from sheetkit.reading.model import Cell, Format, Kind, MergedArea, Sheet, Workbook
from sheetkit.tables.inputs import Entry, Inputs
from sheetkit.tables.read import read_inputs


def make_cell(row: int, column: int, content: Any) -> Cell | None:
    """A cell from a plain value, or from a dict of the model's fields with the value under "value"."""
    extra = dict(content) if isinstance(content, dict) else {}
    value = extra.pop("value", None) if isinstance(content, dict) else content
    serial = None
    if value is None and not extra:
        return None
    if isinstance(value, bool):
        kind: Kind = Kind.BOOLEAN
    elif isinstance(value, datetime):
        kind, serial = Kind.DATE, float(to_excel(value))
    elif isinstance(value, timedelta):
        kind, serial = Kind.DURATION, value / timedelta(days=1)
    elif isinstance(value, int | float):
        kind, value = Kind.NUMBER, float(value)
    elif value is None:
        kind = Kind.NO_RESULT if "formula" in extra else Kind.EMPTY
    else:
        kind = Kind.ERROR if str(value).startswith("#") and str(value).endswith(("!", "A", "?")) else Kind.TEXT
    return Cell(row, column, extra.pop("kind", kind), value, serial=extra.pop("serial", serial), **extra)


def make_sheet(name: str, rows: list[list[Any]], position: int = 0, **extra: Any) -> Sheet:
    """A sheet from its rows, the first being row 1; merged areas as A1 ranges."""
    merged = [
        MergedArea(top, left, bottom, right)
        for left, top, right, bottom in map(range_boundaries, extra.pop("merged", ()))
    ]
    sheet = Sheet(name, position, merged=merged, **extra)
    for row, contents in enumerate(rows, 1):
        for column, content in enumerate(contents, 1):
            cell = make_cell(row, column, content)
            if cell is not None:
                sheet.cells[row, column] = cell
    return sheet


@pytest.fixture
def sheet() -> Callable[..., Sheet]:
    return make_sheet


@pytest.fixture
def book() -> Callable[..., Workbook]:
    """A workbook of sheets given as name=rows, or ready-made."""

    def build(*sheets: Sheet, day_zero_1904: bool = False, **rows: list[list[Any]]) -> Workbook:
        made = [*sheets, *(make_sheet(name, content) for name, content in rows.items())]
        for position, one in enumerate(made):
            one.position = position
        return Workbook(Path("job.xlsx"), Format.XLSX, made, day_zero_1904=day_zero_1904)

    return build


@pytest.fixture
def read(book: Callable[..., Workbook]) -> Callable[..., Inputs]:
    def build(*sheets: Sheet, **rows: Any) -> Inputs:
        return read_inputs(book(*sheets, **rows))

    return build


@pytest.fixture
def at() -> Callable[[Inputs, str], list[CellProblem]]:
    """The findings whose place covers a cell, given as Sheet!A1."""

    def find(inputs: Inputs, place: str) -> list[CellProblem]:
        name, _, address = place.rpartition("!")
        row, column = coordinate_to_tuple(address)
        found = []
        for problem in inputs.problems:
            if problem.sheet != name or not problem.cell:
                continue
            left, top, right, bottom = range_boundaries(problem.cell)
            if top <= row <= bottom and left <= column <= right:
                found.append(problem)
        return found

    return find


@pytest.fixture
def entry() -> Callable[[Inputs, str], Entry]:
    """The record of one cell, given as Sheet!A1."""

    def find(inputs: Inputs, place: str) -> Entry:
        name, _, address = place.rpartition("!")
        return next(
            each for record in inputs.records if record.sheet == name for each in record.entries if each.cell == address
        )

    return find
