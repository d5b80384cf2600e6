"""Lengths as the maker wants to read them: converted once, with sensible decimals and the unit's name for headings."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor

from sheetkit.units import format_length, from_mm, inch_fraction
from sheetkit.units.words import exact

FINEST = 64
"""Parts of an inch to which the choice 64ths rounds."""


@dataclass(frozen=True, slots=True)
class _Way:
    """One choice of the setting Unit: unit and decimals of slices, then of boards, panels and pieces.

    Where these are shown as fractions, the decimals serve where a fraction would be too coarse.
    """

    unit: str
    decimals: int
    board_unit: str
    board_decimals: int
    fractions: bool = False


_WAYS = {
    "in": _Way("in", 4, "in", 3),
    "mm": _Way("mm", 3, "mm", 1),
    "thou": _Way("thou", 1, "in", 3),
    "64ths": _Way("in", 4, "in", 3, fractions=True),
}
_HAIR = Fraction(1, 10_000)
"""Share of a 64th, or of the last decimal, that rounding up or down takes for nothing."""
_MORE_DECIMALS = 3
"""Decimals added at most, so that lengths set against one another differ."""
_NEARLY = Fraction(1, 32)
"""Part of a 64th that no decimal of a board shows: half a thousandth of an inch."""


@lru_cache(maxsize=100_000)
def _shown(length_mm: float, unit: str) -> float:
    # Adding zero makes a minus zero, which equals zero here, one zero.
    return round(from_mm(length_mm, unit), 12) + 0.0


@dataclass(frozen=True, slots=True)
class Measure:
    """How lengths are shown on the result sheets: what is fine, and what is a board's, a panel's or a piece's.

    Fine are slices, dial settings, offsets, differences and glue lines. A panel whose thickness is told as finely as
    its slices has a format and words of its own, in the unit of boards.

    Attributes:
        choice: "in", "mm", "thou" or "64ths", as the setting Unit says
    """

    choice: str

    @property
    def inch(self) -> bool:
        """The units of an inch shop."""
        return self.board_unit == "in"

    @property
    def unit(self) -> str:
        """Unit of what is fine, for headings."""
        return _WAYS[self.choice].unit

    @property
    def board_unit(self) -> str:
        """Unit of boards, panels and pieces, for headings."""
        return _WAYS[self.choice].board_unit

    @property
    def decimals(self) -> int:
        """Digits after the point of what is fine."""
        return _WAYS[self.choice].decimals

    @property
    def fine(self) -> str:
        """Number format for slices and dial settings."""
        return _decimal(self.decimals)

    @property
    def coarse(self) -> str:
        """Number format for boards, panels and pieces."""
        way = _WAYS[self.choice]
        return f"# ??/{FINEST}" if way.fractions else _decimal(way.board_decimals)

    @property
    def panel(self) -> str:
        """Number format for a panel told as finely as its slices."""
        return _decimal(_WAYS[self.board_unit].decimals)

    @property
    def wall(self) -> str:
        """Number format for a size of a piece told as finely as slices where decimals are shown."""
        return self.coarse if _WAYS[self.choice].fractions else self.panel

    @property
    def axis(self) -> str:
        """Number format along an axis of a chart of slices."""
        return "0" if self.choice == "thou" else _decimal(_WAYS[self.choice].board_decimals)

    @property
    def signed(self) -> str:
        """Number format for differences of slices: the sign always shown."""
        return f"+{self.fine};-{self.fine};{self.fine}"

    @property
    def to_board(self) -> str:
        """How a formula goes on that turns what is fine into the unit of boards."""
        return "" if self.unit == self.board_unit else "/1000"

    @property
    def to_fine(self) -> str:
        """How a formula goes on that turns a difference of boards or panels into what is fine."""
        return "" if self.unit == self.board_unit else "*1000"

    def of(self, length_mm: float) -> float:
        """A fine length in its shown unit, free of binary noise, and fine enough for sums of it."""
        return _shown(length_mm, _WAYS[self.choice].unit)

    def of_board(self, length_mm: float) -> float:
        """The same for a board's, a panel's or a piece's length."""
        return _shown(length_mm, _WAYS[self.choice].board_unit)

    def text(self, length_mm: float) -> str:
        """A slice's length inside a sentence, with its unit."""
        return format_length(length_mm, self.unit, self.decimals)

    def panel_text(self, length_mm: float) -> str:
        """A panel's thickness, told as finely as its slices, inside a sentence."""
        return format_length(length_mm, self.board_unit, _WAYS[self.board_unit].decimals)

    def board_text(self, length_mm: float) -> str:
        """A board's or panel's length inside a sentence, with its unit: decimals, or the nearest 64th."""
        return self._board_text(length_mm, lambda parts: floor(parts + Fraction(1, 2)))

    def least_text(self, length_mm: float) -> str:
        """The same for what a board must have at least: never rounded down, so that it serves when it is typed."""
        return self._board_text(length_mm, lambda parts: ceil(parts - _HAIR))

    def most_text(self, length_mm: float) -> str:
        """The same for what a board may have at most: never rounded up, nor a fraction down to nothing."""

        def down(parts: Fraction) -> int:
            return floor(parts + _HAIR)

        text = self._board_text(length_mm, down)
        return self._decimal_text(length_mm, down) if text == self.board_text(0.0) else text

    def limit_text(self, length_mm: float) -> str:
        """The same for a sentence about what does not fit: a fraction only where the length is one."""
        if _WAYS[self.choice].fractions:
            parts = exact(from_mm(length_mm, self.board_unit)) * FINEST
            if abs(parts - round(parts)) <= _NEARLY:
                return self.board_text(length_mm)
        return self._decimal_text(length_mm)

    def board_texts(self, *lengths_mm: float) -> tuple[str, ...]:
        """Lengths that are set against one another: decimals, and more of them, until those that differ read so."""
        lengths = (0.0, *lengths_mm)
        apart = len({round(length, 3) for length in lengths})
        texts = [self.board_text(length) for length in lengths]
        decimals = _WAYS[self.choice].board_decimals
        for more in range(_MORE_DECIMALS + 1):
            if len(set(texts)) == apart:
                break
            texts = [format_length(length, self.board_unit, decimals + more) for length in lengths]
        return tuple(texts[1:])

    def board_words(self, lengths_mm: Sequence[float]) -> Callable[[float], str]:
        """What puts each of some lengths, set against one another, into words."""
        return dict(zip(lengths_mm, self.board_texts(*lengths_mm), strict=True)).__getitem__

    def difference_text(self, length_mm: float) -> str:
        """How far boards or panels differ inside a sentence, in the unit of what is fine."""
        return self.text(length_mm) if self.choice == "thou" else self._decimal_text(length_mm)

    def _decimal_text(self, length_mm: float, whole: Callable[[Fraction], int] | None = None) -> str:
        decimals = _WAYS[self.choice].board_decimals
        if whole is None:
            return format_length(length_mm, self.board_unit, decimals)
        parts = whole(exact(from_mm(length_mm, self.board_unit)) * 10**decimals)
        return f"{Decimal(parts).scaleb(-decimals):f} {self.board_unit}"

    def _board_text(self, length_mm: float, whole: Callable[[Fraction], int]) -> str:
        if not _WAYS[self.choice].fractions:
            return self._decimal_text(length_mm, whole)
        sign = "-" if length_mm < 0 else ""
        parts = whole(exact(abs(from_mm(length_mm, self.board_unit))) * FINEST)
        return f"{sign if parts else ''}{inch_fraction(parts / FINEST, FINEST, joint=' ')} {self.board_unit}"


def _decimal(decimals: int) -> str:
    return "0." + "0" * decimals
