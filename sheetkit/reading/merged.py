"""Cells that a merged area covers: the maker does not see them, so they are not read as values."""

from typing import Final

from sheetkit.errors import CellProblem, Harm
from sheetkit.reading.model import Cell, MergedArea, Sheet

_MOST_STEPS: Final = 5_000_000


def drop_covered(sheet: Sheet) -> list[CellProblem]:
    """Take covered cells out of the sheet, and say for each that held a value what is left out."""
    problems: list[CellProblem] = []
    steps = 0
    for area in sheet.merged:
        steps += min(_size(area), len(sheet.cells)) + 1
        if steps > _MOST_STEPS:
            break
        problems += [_covered(sheet, cell, area) for cell in _take_out(sheet, area) if cell.value is not None]
    return problems


def _take_out(sheet: Sheet, area: MergedArea) -> list[Cell]:
    first = (area.first_row, area.first_column)
    rows, columns = range(area.first_row, area.last_row + 1), range(area.first_column, area.last_column + 1)
    if _size(area) <= len(sheet.cells):
        places = [(row, column) for row in rows for column in columns if (row, column) in sheet.cells]
    else:
        places = [place for place in sheet.cells if place[0] in rows and place[1] in columns]
    return [sheet.cells.pop(place) for place in places if place != first]


def _size(area: MergedArea) -> int:
    return (area.last_row - area.first_row + 1) * (area.last_column - area.first_column + 1)


def _covered(sheet: Sheet, cell: Cell, area: MergedArea) -> CellProblem:
    first = Cell(area.first_row, area.first_column, cell.kind, None).address
    return CellProblem(
        sheet.name,
        cell.address,
        f'"{cell.value}" hidden under the merged cell {first}',
        "a value that can be seen",
        "unmerge the cells, then keep or delete the value",
        Harm.LEFT_OUT,
    )
