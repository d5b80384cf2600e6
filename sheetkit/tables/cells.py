"""Reads any cell of a table: blanks, dashes and ditto marks here, words and quantities by their own modules."""

from dataclasses import replace

from sheetkit.errors import Harm
from sheetkit.reading.model import Cell
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.findings import Findings, Line, Spot
from sheetkit.tables.headings import DIMENSION
from sheetkit.tables.quantity import read_quantity_cell
from sheetkit.tables.shown import quoted
from sheetkit.tables.typed_dates import Days
from sheetkit.tables.value import Context, Value, default_value, written
from sheetkit.tables.words import read_words
from sheetkit.units import find_unit, folded

_DASHES = frozenset(
    [
        "-",
        "--",
        "---",
        "n/a",
        "na",
        "n.a.",
        "n.a",
        "none",
        "nil",
        "not applicable",
        "n/m",
        "keine",
        "keiner",
        "keines",
        "kein",
        "aucun",
        "aucune",
        "neant",
        "entfallt",
        "entf.",
        "k.a.",
        "k. a.",
        "./.",
        "-/-",
        "_",
        "__",
        "___",
        "/",
        ".",
        "-.-",
        "–",
    ]
)
_NONE = frozenset(["none", "nil", "keine", "keiner", "keines", "kein", "aucun", "aucune", "neant"])
"""Words that may as well mean zero, where an empty cell stands for a default."""
_DITTO = frozenset(
    [
        '"',
        "'",
        '-"-',
        '- " -',
        '--"--',
        '" "',
        "do",
        "do.",
        "ditto",
        "dito",
        "same",
        "same as above",
        "as above",
        "id.",
        "ib.",
        "ibid",
        "ibid.",
        "dgl",
        "dgl.",
        "gleich",
        "wie vor",
        "w.o.",
        "|",
        "↓",
        "⬇",
        "⇓",
        "idem",
        "↑",
        "^",
        "^^",
        "⇑",
        "⬆",
        "same above",
        "dto",
        "dto.",
        "dtto",
        "wie oben",
        "s.o.",
        "s. o.",
        ",,",
    ]
)


def is_blank(cell: Cell | None) -> bool:
    """Nothing stands there, or only spaces."""
    if cell is None or cell.kind is CellKind.EMPTY:
        return True
    if cell.kind is not CellKind.TEXT:
        return False
    first = str(cell.value)[:1]
    return not (first.isascii() and first.isalnum()) and not folded(str(cell.value))


def is_dash(cell: Cell) -> bool:
    """A dash, n/a and the like: not applicable, nothing is missing."""
    return cell.kind is CellKind.TEXT and folded(str(cell.value)) in _DASHES


def is_ditto(cell: Cell) -> bool:
    """A mark that says "same as above"."""
    text = folded(str(cell.value)) if cell.kind is CellKind.TEXT else ""
    return text in _DITTO or text.rstrip(" .!") in _DITTO


def read_cell(
    cell: Cell | None,
    column: Column,
    spot: Spot,
    context: Context | None,
    days: Days,
    above: Value | None,
    findings: Findings,
    *,
    names_the_row: bool = False,
) -> Value:
    """One cell as its column understands it.

    Args:
        cell: the cell, None where nothing stands
        column: how the schema declares it
        spot: where it stands
        context: what is known about the column; needed where it holds quantities
        days: how the workbook keeps its days
        above: the value in the row above, for ditto marks
        findings: collects what has to be said about it
        names_the_row: the column tells one row from another
    """
    if cell is None or is_blank(cell):
        return Value(column, spot, remark=(cell.comment or "") if cell else "")
    if cell.struck:
        return _struck(cell, column, spot, findings)
    if is_ditto(cell) and not (above is None and "in" in column.choices):
        value = _ditto(cell, column, spot, above, findings, names_the_row=names_the_row)
    elif is_dash(cell) and column.kind is not Kind.TEXT:
        value = _not_applicable(cell, column, spot, findings)
    elif context is not None and column.kind in DIMENSION:
        value = read_quantity_cell(cell, context, spot, findings)
    else:
        value = read_words(cell, column, spot, days, findings)
    if cell.computed and value.value is not None:
        _say_computed(cell, value)
    if cell.comment:
        value.remark = "; ".join(part for part in (value.remark, cell.comment.strip()) if part)
    return value


def _not_applicable(cell: Cell, column: Column, spot: Spot, findings: Findings) -> Value:
    """A dash or its like: as good as empty, but where emptiness stands for a default the maker is told or asked."""
    value = Value(column, spot, found=quoted(cell), remark="not applicable")
    if column.default is None or default_value(column) == 0:
        return value
    if folded(str(cell.value)) in _NONE and column.kind in DIMENSION:
        findings.at(
            spot,
            f"{value.found} for {column.heading}, where an empty cell means {column.default}",
            f"{column.heading} as a number",
            f"type 0 if there is none, or empty the cell for {column.default}",
        )
        value.refuse()
        return value
    value.lines.append(
        Line(
            "as good as empty",
            f"{value.found}, taken for an empty cell, which means {column.default}",
            f"{column.heading}, or an empty cell",
            f"nothing if {column.default} is right; else type the value",
            Harm.NOTED,
        )
    )
    return value


def _say_computed(cell: Cell, value: Value) -> None:
    value.guess = value.guess or "its formula carried no result and was worked out"
    value.lines.append(
        Line(
            "worked out",
            f"the formula {cell.formula} without a stored result; it was worked out as {value.found}",
            f"{value.column.heading}, or a formula with its result",
            "open the file in your spreadsheet program and save it, and compare",
            Harm.NOTED,
        )
    )


def _struck(cell: Cell, column: Column, spot: Spot, findings: Findings) -> Value:
    value = Value(column, spot, found=quoted(cell))
    value.refuse()
    findings.at(
        spot,
        f"{quoted(cell)}, struck through",
        f"a value for {column.heading} that counts",
        "take the strike-through away, or type the new value",
    )
    return value


def _again(above: Value) -> str:
    """The repeated value as the maker would write it."""
    unit = find_unit(above.unit)
    if above.number is None or unit is None or unit.dimension is not DIMENSION.get(above.column.kind):
        return str(above.value)
    return written(above.number, unit)


def _ditto(
    cell: Cell, column: Column, spot: Spot, above: Value | None, findings: Findings, *, names_the_row: bool
) -> Value:
    value = Value(column, spot, found=quoted(cell))
    wanted = f"{column.heading}, or a ditto mark below one"
    if names_the_row or above is None or above.value is None:
        why = "where each row needs its own name" if names_the_row else "with nothing to repeat above it"
        findings.at(spot, f"{quoted(cell)}, a ditto mark {why}", wanted, f"type the {column.heading} in full")
        value.refuse()
        return value
    value = replace(
        above, spot=spot, found=quoted(cell), guess="it says the same as the row above", remark="", lines=[]
    )
    text = _again(above)
    harm = Harm.GUESSED if column.kind in DIMENSION else Harm.NOTED
    value.lines.append(
        Line(
            "ditto",
            f"{quoted(cell)}, read as {text} because it says the same as the row above",
            wanted,
            f"nothing if {text} is right; else type the value in full",
            harm,
        )
    )
    return value
