"""What the cells of a column were read as, so that an equal cell need not be read again: readings repeat."""

from dataclasses import dataclass, field, replace
from typing import Final

from sheetkit.reading.model import Cell, Kind
from sheetkit.tables.findings import Spot
from sheetkit.tables.value import Value

MOST_KEPT: Final = 20_000
"""Different cells of one column that are remembered."""

_Key = tuple[object, str, str | None]


@dataclass(slots=True)
class Seen:
    """The cells of one column that were read and about which there is nothing to say.

    A value given out anew still names the first cell's place. Whoever changes a value or needs its place takes one of
    its own (`at`).
    """

    _values: dict[_Key, Value] = field(default_factory=dict)

    def find(self, cell: Cell) -> Value | None:
        """What an equal cell was read as, None where none was or where more than the value counts."""
        return self._values.get((cell.value, cell.number_format, cell.shown)) if _is_plain(cell) else None

    def keep(self, cell: Cell, value: Value) -> None:
        """Remember what a cell was read as, where that says all; nothing must have been said about it."""
        if _is_plain(cell) and not value.refused and not value.lines and len(self._values) < MOST_KEPT:
            self._values[(cell.value, cell.number_format, cell.shown)] = value


def at(value: Value, spot: Spot) -> Value:
    """A value of its own for a cell."""
    return replace(value, spot=spot, lines=list(value.lines))


def _is_plain(cell: Cell) -> bool:
    kind = cell.kind
    return (
        (kind is Kind.NUMBER or kind is Kind.TEXT)
        and not cell.struck
        and cell.comment is None
        and not cell.computed
        # A minus zero equals zero, but shows its sign.
        and cell.value != 0
    )
