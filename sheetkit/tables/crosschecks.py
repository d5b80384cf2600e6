"""Checks that need more than one row: names used twice, and names that refer to nothing."""

import difflib
import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from sheetkit.errors import Harm
from sheetkit.tables.findings import Findings
from sheetkit.tables.inputs import Inputs, Record
from sheetkit.tables.rows import Row
from sheetkit.units import folded


def cross_check(inputs: Inputs, findings: Findings) -> None:
    """Leave out rows that repeat a name, and name references that lead nowhere."""
    inputs.boards = _first_of_each(inputs.boards, "board", inputs, findings)
    inputs.panels = _first_of_each(inputs.panels, "panel", inputs, findings)
    inputs.measurements = _named_after_boards(inputs.measurements, findings)
    inputs.measurements = _first_of_each(inputs.measurements, "slice", inputs, findings)
    inputs.handles = _first_of_each(inputs.handles, "piece", inputs, findings)
    inputs.bowls = _first_of_each(inputs.bowls, "piece", inputs, findings)
    inputs.species = _first_of_each(inputs.species, "species", inputs, findings)
    boards = [row.board for row in inputs.boards]
    panels = [row.panel for row in inputs.panels]
    if boards:
        slices = [_with_board(row, boards, inputs, findings) for row in inputs.measurements]
        inputs.measurements = [row for row in slices if row is not None]
    for name in ("targets", "handles", "bowls", "steps"):
        rows = getattr(inputs, name)
        if inputs.panels:
            kept = [_referring(row, "panel", panels, "Panels", inputs, findings) for row in rows]
            setattr(inputs, name, [row for row in kept if row is not None])


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


def _first_of_each(rows: list[Any], name: str, inputs: Inputs, findings: Findings) -> list[Any]:
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
        _mark_unused(inputs, row)
    return kept


def _mark_unused(inputs: Inputs, row: Row) -> None:
    inputs.records = [
        Record(record.sheet, record.row, record.hidden, False, record.entries)
        if (record.sheet, record.row) == (row.place.sheet, row.place.row)
        else record
        for record in inputs.records
    ]


def board_of_slice(slice_name: str, boards: Iterable[str]) -> str | None:
    """The board that a slice's name such as E1-3 begins with, None where it is none of the known ones.

    Args:
        slice_name: board and pass
        boards: the known boards
    """
    plain = simple_name(slice_name)
    fits = [board for board in boards if re.match(re.escape(simple_name(board)) + r"(?:[-_./#: ]|$)", plain)]
    return max(fits, key=len) if fits else None


def _with_board(row: Any, boards: list[str], inputs: Inputs, findings: Findings) -> Any | None:
    if row.board is not None:
        return _referring(row, "board", boards, "Stock", inputs, findings)
    if board_of_slice(row.slice, boards) is None:
        findings.add(
            row.place.sheet,
            row.place.cell("slice"),
            f'the slice "{row.slice}", whose name begins with no board of Stock',
            "a slice named after its board, such as " + f"{boards[0]}-1, or its board in the column Board",
            "type the board in the column Board, or add the board to Stock",
        )
        _mark_unused(inputs, row)
        return None
    return row


def _referring(row: Any, name: str, known: list[str], sheet: str, inputs: Inputs, findings: Findings) -> Any | None:
    text = getattr(row, name)
    if text is None or text in known:
        return row
    same = [other for other in known if simple_name(other) == simple_name(text)]
    if len(same) == 1:
        return replace(row, **{name: same[0]})
    as_number = [other for other in known if _without_zeros(other) == _without_zeros(text)]
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
    near = difflib.get_close_matches(text, known, n=1, cutoff=0.6)
    findings.add(
        row.place.sheet,
        row.place.cell(name),
        f'"{text}", which is no {name} of {sheet}; the row is not used',
        f"a {name} that {sheet} has",
        f"type {near[0]} if that is meant, or add it to {sheet}" if near else f"add it to {sheet}",
        Harm.LEFT_OUT,
    )
    _mark_unused(inputs, row)
    return None
