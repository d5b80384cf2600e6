"""Gathers the findings of a workbook, so that one fact about many cells becomes one line."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

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


@dataclass(slots=True)
class _Run:
    """One fact about cells that stand under one another."""

    first: Spot
    last: Spot
    problem: CellProblem
    count: int = 1


@dataclass(slots=True)
class Findings:
    """Collects findings in the order in which they are met."""

    problems: list[CellProblem] = field(default_factory=list)
    _runs: dict[tuple[str, int, str], list[_Run]] = field(default_factory=dict)
    _once: dict[tuple[str, str], _Run] = field(default_factory=dict)

    def add(self, sheet: str, cell: str, found: str, wanted: str, fix: str, harm: Harm = Harm.LEFT_OUT) -> None:
        """One finding; the texts are those of `CellProblem`."""
        self.problems.append(CellProblem(sheet, cell, found, wanted, fix, harm))

    def at(self, spot: Spot, found: str, wanted: str, fix: str, harm: Harm = Harm.LEFT_OUT) -> None:
        """One finding about one cell."""
        self.add(spot.sheet, spot.address, found, wanted, fix, harm)

    def alike(self, spot: Spot, about: str, found: str, wanted: str, fix: str, harm: Harm) -> None:
        """A finding that may hold for many cells of a column: cells under one another become one line.

        Args:
            spot: the cell
            about: the fact, the same for cells that belong together
            found: what stands in this cell
            wanted: what would have been read
            fix: what to type or do
            harm: how much it matters
        """
        runs = self._runs.setdefault((spot.sheet, spot.column, about), [])
        if runs and spot.row - runs[-1].last.row <= 1:
            runs[-1].last = spot
            runs[-1].count += 1
        else:
            runs.append(_Run(spot, spot, CellProblem(spot.sheet, spot.address, found, wanted, fix, harm)))

    def once(self, spot: Spot, about: str, found: str, wanted: str, fix: str, harm: Harm) -> None:
        """A finding that holds for every cell of a sheet that says the same: named where it is met first.

        The arguments are those of `alike`.
        """
        known = self._once.setdefault(
            (spot.sheet, about), _Run(spot, spot, CellProblem(spot.sheet, spot.address, found, wanted, fix, harm), 0)
        )
        known.count += 1

    def all(self) -> list[CellProblem]:
        """Every finding."""
        runs = [run for runs in self._runs.values() for run in runs]
        return [*self.problems, *map(_as_problem, runs), *map(_as_first, self._once.values())]


def _as_problem(run: _Run) -> CellProblem:
    if run.count == 1:
        return run.problem
    others = run.count - 1
    found = f"{run.problem.found} (likewise {others} more cell{'s' if others > 1 else ''} below it)"
    return replace(run.problem, cell=f"{run.first.address}:{run.last.address}", found=found)


def _as_first(run: _Run) -> CellProblem:
    if run.count == 1:
        return run.problem
    others = run.count - 1
    found = f"{run.problem.found} (likewise {others} more cell{'s' if others > 1 else ''} of the sheet)"
    return replace(run.problem, found=found)


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
