"""How much adhesive a panel takes, and in how many glue-ups it is laid, each within the time the adhesive gives."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

MM2_PER_M2 = 1_000_000.0


@dataclass(frozen=True, slots=True)
class GlueUp:
    """One glue-up of a panel: which layers go in, and how many lines are spread.

    Attributes:
        number: first is 1 [count]
        first_layer: first layer laid new, the panel's first face is layer 1 [count]
        last_layer: last layer laid new [count]
        lines: lines spread in it [count]
        onto_block: its first line joins a block that has cured
    """

    number: int
    first_layer: int
    last_layer: int
    lines: int
    onto_block: bool

    @property
    def layers(self) -> int:
        """How many layers are laid new [count]."""
        return self.last_layer - self.first_layer + 1


@dataclass(frozen=True, slots=True)
class GlueUpTimes:
    """When each step of one glue-up is over, counted from its first spread.

    Attributes:
        glue_up: the glue-up
        line_done_s: when each line is spread and its layer laid [s]
        closed_s: when full pressure is on [s]
        spare_s: what is left of the time the adhesive gives, negative where it runs out [s]
        released_s: when the clamps may come off [s]
    """

    glue_up: GlueUp
    line_done_s: tuple[float, ...]
    closed_s: float
    spare_s: float
    released_s: float


def glue_lines(layers: int) -> int:
    """Count the glue lines between layers.

    Args:
        layers: layers in the panel, >= 0 [count]

    Source: own derivation: one fewer than the layers.

    >>> glue_lines(layers=61)
    60
    """
    return max(0, layers - 1)


def glue_mass(
    face_area_mm2: float, lines: int, spread_gsm: float, faces_spread: int = 1, left_over_pct: float = 0.0
) -> float:
    """Find how much wet adhesive a panel takes [g].

    Args:
        face_area_mm2: length times width of the layers as glued, >= 0 [mm²]
        lines: glue lines, >= 0 [count]
        spread_gsm: adhesive on one spread face, >= 0 [g/m²]
        faces_spread: 1 where one face of a line is spread, 2 where both are [count]
        left_over_pct: what stays in pot and roller, as a share of what is mixed, >= 0 and < 100 [%]

    Source: own derivation: area * lines * spread * faces / share that reaches the wood. A spread quoted for a single
    glue line counts the line once, whichever faces it goes on: then faces_spread is 1.

    >>> round(glue_mass(face_area_mm2=90_000.0, lines=20, spread_gsm=200.0), 6)
    360.0
    """
    reaching = 1.0 - left_over_pct / 100.0
    return face_area_mm2 / MM2_PER_M2 * lines * spread_gsm * faces_spread / reaching


def lines_that_fit(limit_s: float, line_s: float, closing_s: float) -> int:
    """Count the lines that can be spread and closed before the adhesive's time is up; never below zero.

    Args:
        limit_s: time from the first spread to full pressure, >= 0 [s]
        line_s: time to spread and lay one line, > 0 [s]
        closing_s: time to close the press or the clamps, >= 0 [s]

    Source: own derivation: lines * line time + closing time <= limit, in exact arithmetic.

    >>> lines_that_fit(limit_s=600.0, line_s=20.0, closing_s=60.0)
    27
    """
    return max(0, floor((_exact(limit_s) - _exact(closing_s)) / _exact(line_s)))


def fewest_glue_ups(layers: int, most_lines: int) -> int:
    """Count the fewest glue-ups that a panel takes, when each may be laid onto the cured block of the one before.

    Args:
        layers: layers in the panel, >= 0 [count]
        most_lines: most lines that fit one glue-up, > 0 [count]

    Raises:
        ValueError: if not even one line fits.

    Source: own derivation: lines / most lines, rounded up.

    >>> fewest_glue_ups(layers=61, most_lines=14)
    5
    """
    lines = glue_lines(layers)
    if lines and most_lines < 1:
        raise ValueError("not even one line fits the adhesive's time; take a slower adhesive or spread faster")
    return -(-lines // most_lines) if lines else 0


def glue_ups(layers: int, most_lines: int) -> tuple[GlueUp, ...]:
    """Share the layers of a panel out over the fewest glue-ups, as evenly as they go, the larger ones first.

    Args:
        layers: layers in the panel, >= 0 [count]
        most_lines: most lines that fit one glue-up, > 0 [count]

    Raises:
        ValueError: if not even one line fits.

    Source: own derivation: the first glue-up lays one layer more than its lines, each later one as many as its lines,
    its first onto the cured block.

    >>> [(up.first_layer, up.last_layer, up.lines) for up in glue_ups(layers=30, most_lines=27)]
    [(1, 16, 15), (17, 30, 14)]
    """
    number_of_ups = fewest_glue_ups(layers, most_lines)
    even, extra = divmod(glue_lines(layers), max(1, number_of_ups))
    ups: list[GlueUp] = []
    laid = 1
    for number in range(1, number_of_ups + 1):
        lines = even + (number <= extra)
        ups.append(GlueUp(number, 1 if number == 1 else laid + 1, laid + lines, lines, onto_block=number > 1))
        laid += lines
    return tuple(ups)


def glue_up_times(glue_up: GlueUp, limit_s: float, line_s: float, closing_s: float, clamp_s: float) -> GlueUpTimes:
    """Lay out one glue-up in time.

    Args:
        glue_up: the glue-up
        limit_s: time from the first spread to full pressure, >= 0 [s]
        line_s: time to spread and lay one line, > 0 [s]
        closing_s: time to close the press or the clamps, >= 0 [s]
        clamp_s: time under pressure, >= 0 [s]

    Source: own derivation: each line after the other, then closing, then the time under pressure.

    >>> times = glue_up_times(GlueUp(1, 1, 30, 29, False), limit_s=600.0, line_s=20.0, closing_s=60.0, clamp_s=3600.0)
    >>> times.closed_s, times.spare_s
    (640.0, -40.0)
    """
    done = tuple(number * line_s for number in range(1, glue_up.lines + 1))
    closed = glue_up.lines * line_s + closing_s
    return GlueUpTimes(glue_up, done, closed, limit_s - closed, closed + clamp_s)


def glue_share_pct(layers_mm: Sequence[float], line_mm: float) -> float:
    """Find which share of a panel's thickness is glue [%].

    Args:
        layers_mm: thickness of each layer, in order [mm]
        line_mm: thickness of one cured line, >= 0 [mm]

    Source: own derivation: lines * line / (sum of layers + lines * line).

    >>> round(glue_share_pct(layers_mm=[1.0] * 51, line_mm=0.1), 2)
    8.93
    """
    glue = glue_lines(len(layers_mm)) * line_mm
    total = sum(layers_mm) + glue
    return 100.0 * glue / total if total else 0.0


def _exact(number: float) -> Fraction:
    """The decimal number that was meant: 0.1 s is a tenth, not the binary fraction next to it."""
    return Fraction(repr(float(number)))
