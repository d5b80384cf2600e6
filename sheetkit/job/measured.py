"""The slices that were sawn: each with its board, its wood, its place in the order of sawing, and its readings."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from statistics import fmean

from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, Measurement

CORNERS = ("near_left_mm", "near_right_mm", "far_left_mm", "far_right_mm")


@dataclass(frozen=True, slots=True)
class SawnSlice:
    """A slice that left the saw.

    Attributes:
        row: the maker's row
        board: the board it came from; None where that is not known
        number: its number on that board; None where its name holds none
        readings_mm: every reading, corners first, then the middle, then the others; those of slices pressed together
            shared among them
        mean_mm: mean of its readings, None where it was not measured
    """

    row: Measurement
    board: Board | None
    number: int | None
    readings_mm: tuple[float, ...]
    mean_mm: float | None = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "mean_mm", fmean(self.readings_mm) if self.readings_mm else None)

    @property
    def species(self) -> str | None:
        """The wood of its board."""
        return self.board.species if self.board else None


def sawn_slices(inputs: Inputs) -> list[SawnSlice]:
    """Every slice in the order of sawing: board by board as they first appear, by number within a board."""
    boards = {board.board: board for board in inputs.boards}
    slices = [_slice(row, boards) for row in inputs.measurements]
    first_seen: dict[str, int] = {}
    for index, item in enumerate(slices):
        first_seen.setdefault(item.board.board if item.board else "", index)

    def order(entry: tuple[int, SawnSlice]) -> tuple[int, float, int]:
        index, item = entry
        board = item.board.board if item.board else ""
        return first_seen[board], float("inf") if item.number is None else item.number, index

    return [item for _, item in sorted(enumerate(slices), key=order)]


def board_of_slice(row: Measurement, names: Iterable[str]) -> str | None:
    """Name of the board a slice came from: its Board cell, else the longest board name its own name starts with."""
    if row.board is not None:
        return row.board
    fitting = [name for name in names if re.match(re.escape(name) + r"[\s\-_./:#]*\d+\D*$", row.slice, re.IGNORECASE)]
    return max(fitting, key=len, default=None)


def number_of_slice(slice_name: str, board_name: str | None) -> int | None:
    """The number in a slice's name, its board's name left aside; None where there is none.

    >>> number_of_slice("MAP-03-10", "MAP-03")
    10
    """
    rest = slice_name
    if board_name and slice_name.lower().startswith(board_name.lower()):
        rest = slice_name[len(board_name) :]
    numbers = re.findall(r"[0-9]{1,15}(?![0-9])", rest)
    return int(numbers[-1]) if numbers else None


def _slice(row: Measurement, boards: dict[str, Board]) -> SawnSlice:
    name = board_of_slice(row, boards)
    readings = [getattr(row, corner) for corner in CORNERS] + [row.middle_mm, *row.readings_mm]
    return SawnSlice(
        row=row,
        board=boards.get(name) if name else None,
        number=number_of_slice(row.slice, name),
        readings_mm=tuple(reading / row.pressed for reading in readings if reading is not None),
    )
