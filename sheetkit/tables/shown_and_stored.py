"""Tells where a number format hides digits that matter."""

from sheetkit.errors import Harm
from sheetkit.reading.model import Cell
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.columns import LENGTH_KINDS, Kind
from sheetkit.tables.findings import Line
from sheetkit.tables.shown import currency_of, is_percent_format, number_as_shown, quoted
from sheetkit.tables.value import Context, Value
from sheetkit.units import short_number

HIDDEN_THICKNESS_MM = 0.0127
"""Half a thousandth of an inch: less than that a caliper in thousandths does not show either."""
HIDDEN_LENGTH_MM = 25.4 / 64
HIDDEN_SHARE = 0.2
"""Of the value itself, for small ones."""


def note_hidden_digits(cell: Cell, context: Context, value: Value, amount: float) -> None:
    """Say so where the cell shows another number than the one it holds, by more than matters.

    Args:
        cell: the cell
        context: what is known about its column
        value: as it was understood
        amount: the number that was read, in the column's unit
    """
    if cell.kind is not CellKind.NUMBER or not isinstance(cell.value, float | int) or context.column.kind is Kind.COUNT:
        return
    if context.column.kind in LENGTH_KINDS and (
        currency_of(cell.number_format) or is_percent_format(cell.number_format)
    ):
        kind = "per cent" if is_percent_format(cell.number_format) else "money"
        value.lines.append(
            Line(
                f"shown as {kind}",
                f"{quoted(cell)}; the cell is formatted as {kind}, {amount:.10g} is read",
                context.wanted,
                f"format the cell as a number if {amount:.10g} is right; else type {context.wanted}",
                Harm.DOUBTFUL,
            )
        )
        return
    seen = number_as_shown(float(cell.value), cell.number_format)
    if seen is None:
        return
    off = abs(context.unit.to_base(seen) - context.unit.to_base(float(cell.value)))
    most = {Kind.LENGTH: HIDDEN_LENGTH_MM}.get(context.column.kind, HIDDEN_THICKNESS_MM)
    if context.column.kind not in LENGTH_KINDS:
        most = float("inf")
    if off > most * 1.000001 or (off > HIDDEN_SHARE * abs(value.number or 0.0) and off > 0):
        stored = short_number(float(cell.value), 10)
        value.lines.append(
            Line(
                "shown otherwise than stored",
                f"{quoted(cell)} on screen, but the cell holds {stored}; {stored} is used",
                context.wanted,
                f"nothing if {stored} is right; else type the value that you measured",
                Harm.NOTED,
            )
        )
