"""Checks that need more than one row: names used twice, and names that refer to nothing."""

import difflib
import re
from dataclasses import dataclass, field, replace
from typing import Any, Final

from sheetkit.errors import Harm
from sheetkit.tables.findings import Findings
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Row
from sheetkit.units import folded

MOST_GUESSES: Final = 200
"""So many names that lead nowhere are compared with every known one for a likely slip; the rest are only told of."""

Unused = set[tuple[str, int]]
"""Rows that were left out: tab name and row."""


def cross_check(inputs: Inputs, findings: Findings) -> None:
    """Leave out rows that repeat a name, and name references that lead nowhere."""
    unused: Unused = set()
    inputs.boards = _first_of_each(inputs.boards, "board", unused, findings)
    inputs.panels = _first_of_each(inputs.panels, "panel", unused, findings)
    inputs.measurements = _named_after_boards(inputs.measurements, findings)
    inputs.measurements = _first_of_each(inputs.measurements, "slice", unused, findings)
    inputs.handles = _first_of_each(inputs.handles, "piece", unused, findings)
    inputs.bowls = _first_of_each(inputs.bowls, "piece", unused, findings)
    inputs.species = _first_of_each(inputs.species, "species", unused, findings)
    boards = _Names([row.board for row in inputs.boards])
    panels = _Names([row.panel for row in inputs.panels])
    if inputs.boards:
        slices = [_with_board(row, boards, unused, findings) for row in inputs.measurements]
        inputs.measurements = [row for row in slices if row is not None]
    for name in ("targets", "handles", "bowls", "steps"):
        rows = getattr(inputs, name)
        if inputs.panels:
            kept = [_referring(row, "panel", panels, "Panels", unused, findings) for row in rows]
            setattr(inputs, name, [row for row in kept if row is not None])
    inputs.records = [
        replace(record, used=False) if (record.sheet, record.row) in unused else record for record in inputs.records
    ]


@dataclass(slots=True)
class _Names:
    """The names that rows may refer to, found without looking at each.

    Attributes:
        known: the names
        guesses: how many names were compared with all of them so far
    """

    known: list[str]
    guesses: int = 0
    _exact: set[str] = field(default_factory=set)
    _simple: dict[str, list[str]] = field(default_factory=dict)
    _without_zeros: dict[str, list[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._exact.update(self.known)
        for name in self.known:
            self._simple.setdefault(simple_name(name), []).append(name)
            self._without_zeros.setdefault(_without_zeros(name), []).append(name)

    def __contains__(self, name: str) -> bool:
        return name in self._exact

    def alike(self, name: str) -> list[str]:
        """Names that differ only in case, spaces or the kind of dash."""
        return self._simple.get(simple_name(name), [])

    def but_for_zeros(self, name: str) -> list[str]:
        """Names that differ only in the zeros before them."""
        return self._without_zeros.get(_without_zeros(name), [])

    def nearest(self, name: str) -> str | None:
        """The name that it is probably a slip of."""
        self.guesses += 1
        if self.guesses > MOST_GUESSES:
            return None
        near = difflib.get_close_matches(name, self.known, n=1, cutoff=0.6)
        return near[0] if near else None

    def beginning(self, longer: str) -> str | None:
        """The longest name that a slice's name such as E1-3 begins with."""
        plain = simple_name(longer)
        for end in range(len(plain), 0, -1):
            if (end == len(plain) or plain[end] in "-_./#:") and plain[:end] in self._simple:
                return self._simple[plain[:end]][0]
        return None


def simple_name(text: str) -> str:
    """A name without case, spaces and the kind of dash, for comparing."""
    return re.sub(r"\s+", "", folded(text))


def _named_after_boards(rows: list[Any], findings: Findings) -> list[Any]:
    """Slices counted anew on every board, 1, 2, 3, become E1-1, E1-2 and so on."""
    counted = [row for row in rows if row.board is not None and re.fullmatch(r"\d{1,4}", row.slice)]
    boards: dict[str, set[str]] = {}
    for row in counted:
        boards.setdefault(row.slice, set()).add(simple_name(row.board))
    if not any(len(several) > 1 for several in boards.values()):
        return rows
    first, numbered = counted[0], {id(row) for row in counted}
    findings.add(
        first.place.sheet,
        first.place.cell("slice"),
        f'the slice "{first.slice}", read as {first.board}-{first.slice} because the slices are counted anew on each '
        f"board (likewise {len(counted) - 1} more)",
        "a name for each slice, such as board and number",
        "nothing if that is right; else give each slice its own name",
        Harm.GUESSED,
    )
    return [replace(row, slice=f"{row.board}-{row.slice}") if id(row) in numbered else row for row in rows]


def _without_zeros(text: str) -> str:
    """A name of figures as a number cell keeps it: 007 becomes 7."""
    plain = simple_name(text)
    return plain.lstrip("0") if plain.isdigit() else plain


def _first_of_each(rows: list[Any], name: str, unused: Unused, findings: Findings) -> list[Any]:
    seen: dict[str, Row] = {}
    kept = []
    for row in rows:
        first = seen.setdefault(simple_name(getattr(row, name)), row)
        if first is row:
            kept.append(row)
            continue
        text = getattr(row, name)
        findings.add(
            row.place.sheet,
            row.place.cell(name),
            f'"{text}" a second time; {first.place.cell(name)} has it already, and this row is not used',
            f"each {name} once",
            f"give this row another name if it is another {name}; else delete the row that does not count",
        )
        _leave_out(row, unused)
    return kept


def _leave_out(row: Row, unused: Unused) -> None:
    unused.add((row.place.sheet, row.place.row))


def _with_board(row: Any, boards: _Names, unused: Unused, findings: Findings) -> Any | None:
    if row.board is not None:
        return _referring(row, "board", boards, "Stock", unused, findings)
    if boards.beginning(row.slice) is None:
        findings.add(
            row.place.sheet,
            row.place.cell("slice"),
            f'the slice "{row.slice}", whose name begins with no board of Stock',
            "a slice named after its board, such as " + f"{boards.known[0]}-1, or its board in the column Board",
            "type the board in the column Board, or add the board to Stock",
        )
        _leave_out(row, unused)
        return None
    return row


def _referring(row: Any, name: str, known: _Names, sheet: str, unused: Unused, findings: Findings) -> Any | None:
    text = getattr(row, name)
    if text is None or text in known:
        return row
    same = known.alike(text)
    if len(same) == 1:
        return replace(row, **{name: same[0]})
    as_number = known.but_for_zeros(text)
    if len(as_number) == 1:
        findings.add(
            row.place.sheet,
            row.place.cell(name),
            f'"{text}", read as "{as_number[0]}" because only the zeros before it differ',
            f"a {name} that {sheet} has",
            f"type {as_number[0]} if that is meant",
            Harm.GUESSED,
        )
        return replace(row, **{name: as_number[0]})
    near = known.nearest(text)
    findings.add(
        row.place.sheet,
        row.place.cell(name),
        f'"{text}", which is no {name} of {sheet}; the row is not used',
        f"a {name} that {sheet} has",
        f"type {near} if that is meant, or add it to {sheet}" if near else f"add it to {sheet}",
        Harm.LEFT_OUT,
    )
    _leave_out(row, unused)
    return None
