"""Cells that a merged area covers: the maker does not see them, so they are not read as values."""

from typing import Final

from sheetkit.errors import CellProblem, Harm
from sheetkit.reading.model import Cell, Kind, MergedArea, Sheet

_MOST_STEPS: Final = 5_000_000
LONGEST_LISTED: Final = 5
"""So many values under one merged cell are listed one by one."""


def drop_covered(sheet: Sheet) -> list[CellProblem]:
    """Take covered cells out of the sheet, and say for each that held a value what is left out."""
    problems: list[CellProblem] = []
    steps = 0
    for area in sheet.merged:
        steps += min(_size(area), len(sheet.cells)) + 1
        if steps > _MOST_STEPS:
            break
        problems += _covered(sheet, [cell for cell in _take_out(sheet, area) if cell.value is not None], area)
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


def _covered(sheet: Sheet, cells: list[Cell], area: MergedArea) -> list[CellProblem]:
    """One finding for each cell, or, where an area covers many, one for the first of them."""
    first = Cell(area.first_row, area.first_column, Kind.EMPTY, None).address
    others = len(cells) - 1 if len(cells) > LONGEST_LISTED else 0
    return [
        CellProblem(
            sheet.name,
            cell.address,
            f"{_shown(cell)}{f' and {others:,} more values' if others else ''} hidden under the merged cell {first}",
            "values that can be seen" if others else "a value that can be seen",
            f"unmerge the cells, then keep or delete the value{'s' if others else ''}",
            Harm.LEFT_OUT,
        )
        for cell in (cells[:1] if others else cells)
    ]


def _shown(cell: Cell) -> str:
    if isinstance(cell.value, float):
        return f"{cell.value:.15g}"
    return f'"{cell.value}"'
