"""Tapers and bow over all slices: a fault of the saw that one slice alone does not show."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sheetkit.job.checking import CheckedSlice
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.mean import Mean, mean_of
from sheetkit.trade.thickness import Shape


@dataclass(frozen=True, slots=True)
class Form:
    """One figure of the slices' shape, over all that show it.

    Attributes:
        name: end taper, side taper or bow
        sense: what it is the difference of
        above: what a figure above nought means
        below: what a figure below nought means
        cause: what usually brings it about
        mean: over the slices
        worst: the slice with the largest
        worst_mm: its figure
    """

    name: str
    sense: str
    above: str
    below: str
    cause: str
    mean: Mean
    worst: str
    worst_mm: float


KINDS: tuple[tuple[str, str, str, str, str, Callable[[Shape], float | None]], ...] = (
    ("End taper", "far less near", "thicker at the far end", "thicker at the near end",
     "feed pressure, a blade that wanders, or a carriage that is not parallel to the blade",
     lambda shape: shape.end_taper_mm),
    ("Side taper", "right less left", "thicker on the right", "thicker on the left",
     "a table or fence that is not square to the blade", lambda shape: shape.side_taper_mm),
    ("Bow", "middle less corners", "thicker in the middle", "thinner in the middle",
     "a blade that bows in the cut; the slice next to it carries the opposite", lambda shape: shape.bow_mm),
)  # fmt: skip


def forms(checks: Sequence[CheckedSlice], inputs: Inputs) -> list[Form]:
    """The figures that some slice read one by one shows."""
    found = []
    for name, sense, above, below, cause, figure in KINDS:
        known = [
            (value, item.slice.row.slice)
            for item in checks
            if item.check and item.check.shape and item.slice.row.pressed == 1
            if (value := figure(item.check.shape)) is not None
        ]
        mean = mean_of([value for value, _ in known], least_sd=inputs.shop.caliper_mm / 12**0.5)
        if mean is not None:
            worst_mm, worst = max(known, key=lambda pair: abs(pair[0]))
            found.append(Form(name, sense, above, below, cause, mean, worst, worst_mm))
    return found
