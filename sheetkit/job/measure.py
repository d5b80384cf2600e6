"""Lengths as the maker wants to read them: converted once, with sensible decimals and the unit's name for headings."""

from dataclasses import dataclass
from functools import lru_cache

from sheetkit.units import format_length, from_mm


@lru_cache(maxsize=100_000)
def _shown(length_mm: float, unit: str) -> float:
    # Adding zero makes a minus zero, which equals zero here, one zero.
    return round(from_mm(length_mm, unit), 12) + 0.0


@dataclass(frozen=True, slots=True)
class Measure:
    """How lengths are shown on the result sheets.

    Attributes:
        unit: "in" or "mm"
    """

    unit: str

    @property
    def fine(self) -> str:
        """Number format for slices and dial settings."""
        return "0.0000" if self.unit == "in" else "0.000"

    @property
    def coarse(self) -> str:
        """Number format for boards and panels."""
        return "0.000" if self.unit == "in" else "0.0"

    @property
    def signed(self) -> str:
        """Number format for differences of slices: the sign always shown."""
        return f"+{self.fine};-{self.fine};{self.fine}"

    def of(self, length_mm: float) -> float:
        """A length in the shown unit, free of binary noise, and fine enough for sums of it."""
        return _shown(length_mm, self.unit)

    def text(self, length_mm: float) -> str:
        """A slice's length inside a sentence, with its unit."""
        return format_length(length_mm, self.unit, 4 if self.unit == "in" else 3)

    def board_text(self, length_mm: float) -> str:
        """A board's or panel's length inside a sentence, with its unit."""
        return format_length(length_mm, self.unit, 3 if self.unit == "in" else 1)
