"""Gathers the findings of a workbook, so that one fact about many cells becomes one line."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import CellProblem, Harm


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a cell stands."""

    sheet: str
    row: int
    column: int

    @property
    def address(self) -> str:
        """The A1 address."""
        return f"{get_column_letter(self.column)}{self.row}"


@dataclass(frozen=True, slots=True)
class Line:
    """What is to be said about a cell if its value is used after all.

    Attributes:
        about: the fact, the same for cells that belong together
        found: what stands in the cell
        wanted: what would have been read
        fix: what to type or do
        harm: how much it matters
        once: one line for the whole sheet, not one for each run of cells
    """

    about: str
    found: str
    wanted: str
    fix: str
    harm: Harm
    once: bool = False


_SINGLE_CELL: Final = re.compile(r"([A-Z]+)(\d+)")
LONGEST_LISTED = 5
"""So many cells under one another are listed one by one; more of them become one finding about the range."""


@dataclass(slots=True)
class _Run:
    """One fact about cells that stand under one another, or anywhere on a sheet."""

    last: Spot
    problems: list[CellProblem]


@dataclass(slots=True)
class Findings:
    """Collects findings in the order in which they are met."""

    problems: list[CellProblem] = field(default_factory=list)
    _runs: dict[tuple[str, int, str], list[_Run]] = field(default_factory=dict)
    _once: dict[tuple[str, str], list[CellProblem]] = field(default_factory=dict)

    def add(self, sheet: str, cell: str, found: str, wanted: str, fix: str, harm: Harm = Harm.LEFT_OUT) -> CellProblem:
        """One finding; the texts are those of `CellProblem`."""
        self.problems.append(CellProblem(sheet, cell, found, wanted, fix, harm))
        return self.problems[-1]

    def at(self, spot: Spot, found: str, wanted: str, fix: str, harm: Harm = Harm.LEFT_OUT) -> CellProblem:
        """One finding about one cell."""
        return self.add(spot.sheet, spot.address, found, wanted, fix, harm)

    def say_instead(self, several: Sequence[CellProblem], one: CellProblem) -> None:
        """One finding in the place of the first of several, which are taken back."""
        others = {id(problem) for problem in several[1:]}
        self.problems = [
            one if problem is several[0] else problem for problem in self.problems if id(problem) not in others
        ]

    def say(self, spot: Spot, lines: Iterable[Line]) -> None:
        """What is to be said about a cell: the same about cells under one another becomes one finding."""
        for line in lines:
            problem = CellProblem(spot.sheet, spot.address, line.found, line.wanted, line.fix, line.harm)
            if line.once:
                self._once.setdefault((spot.sheet, line.about), []).append(problem)
                continue
            runs = self._runs.setdefault((spot.sheet, spot.column, line.about), [])
            if runs and spot.row - runs[-1].last.row <= 1:
                runs[-1].last = spot
                runs[-1].problems.append(problem)
            else:
                runs.append(_Run(spot, [problem]))

    def all(self) -> list[CellProblem]:
        """Every finding."""
        runs = [problem for runs in self._runs.values() for run in runs for problem in _of_run(run)]
        return [*self.problems, *runs, *(_first_of(problems) for problems in self._once.values())]


@dataclass(slots=True)
class _SameBelow:
    """One fact about cells that stand under one another, and the row of the last."""

    row: int
    problems: list[CellProblem]


def said_once(problems: Iterable[CellProblem]) -> list[CellProblem]:
    """The same said of more than a few cells under one another, of each with its own row, becomes one finding."""
    runs: list[_SameBelow] = []
    latest: dict[tuple[object, ...], _SameBelow] = {}
    for problem in problems:
        place = _SINGLE_CELL.fullmatch(problem.cell)
        if place is None:
            runs.append(_SameBelow(0, [problem]))
            continue
        column, row = place.groups()
        texts = (re.sub(rf"\brow {row}\b", "row", text) for text in (problem.found, problem.wanted, problem.fix))
        same = (problem.sheet, column, problem.harm, *texts)
        known = latest.get(same)
        if known is not None and known.row == int(row) - 1:
            known.row = int(row)
            known.problems.append(problem)
        else:
            latest[same] = _SameBelow(int(row), [problem])
            runs.append(latest[same])
    return [problem for run in runs for problem in _joined(run.problems, run.problems[-1].cell)]


def _of_run(run: _Run) -> list[CellProblem]:
    return _joined(run.problems, run.last.address)


def _joined(problems: list[CellProblem], last: str) -> list[CellProblem]:
    if len(problems) <= LONGEST_LISTED:
        return problems
    first = problems[0]
    found = f"{first.found} (likewise {len(problems) - 1} more cells below it)"
    return [replace(first, cell=f"{first.cell}:{last}", found=found)]


def _first_of(problems: list[CellProblem]) -> CellProblem:
    others = len(problems) - 1
    if not others:
        return problems[0]
    return replace(
        problems[0], found=f"{problems[0].found} (likewise {others} more cell{'s' if others > 1 else ''} of the sheet)"
    )


def rows_in_words(rows: Iterable[int]) -> str:
    """Row numbers as a person writes them.

    >>> rows_in_words([4, 5, 6, 9])
    '4 to 6 and 9'
    """
    runs: list[list[int]] = []
    for row in sorted(rows):
        if runs and row == runs[-1][-1] + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    parts = [str(run[0]) if len(run) == 1 else f"{run[0]} {'to' if len(run) > 2 else 'and'} {run[-1]}" for run in runs]
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1] if parts else ""
