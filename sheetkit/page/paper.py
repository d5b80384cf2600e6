"""Sheets of paper, and how much of a result sheet one of them takes."""

from dataclasses import dataclass
from typing import Final

SMALLEST: Final = 0.7
"""Type of 10 pt is never printed below 7 pt for want of room: what does not fit stays in the workbook. Own rule."""
_POINTS_PER_INCH: Final = 72.0
_POINTS_PER_PIXEL: Final = 0.75


@dataclass(frozen=True, slots=True)
class Paper:
    """An upright sheet of paper.

    Attributes:
        name: as it is sold
        code: its number in .xlsx (ECMA-376 part 1, 18.3.1.63)
        width_in: size [in]
        height_in: size [in]
        side_in: margin left and right [in]
        end_in: margin above and below [in]
    """

    name: str
    code: int
    width_in: float
    height_in: float
    side_in: float = 0.4
    end_in: float = 0.5

    def room_pt(self, width_px: float) -> float:
        """Height that fits with columns of this width in all, at the scale that is still legible [pt]."""
        wide_pt = (self.width_in - 2 * self.side_in) * _POINTS_PER_INCH
        high_pt = (self.height_in - 2 * self.end_in) * _POINTS_PER_INCH
        scale = min(1.0, wide_pt / (width_px * _POINTS_PER_PIXEL))
        return high_pt / min(scale, SMALLEST)


LETTER: Final = Paper("Letter", 1, 8.5, 11.0)
A4: Final = Paper("A4", 9, 210 / 25.4, 297 / 25.4)
"""ISO 216."""


def paper_for(unit: str) -> Paper:
    """The paper of a shop that works in this unit, "in" or "mm"."""
    return LETTER if unit == "in" else A4
