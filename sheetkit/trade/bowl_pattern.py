"""What the layers do around a ring: turns, repeats, and colour changes."""

from collections.abc import Sequence
from fractions import Fraction
from math import gcd, radians

from sheetkit.trade.exact import picometres

HALF_TURN_DEG = 180
FULL_TURN_DEG = 360
FINEST_TURN = 10_000
"""Turns are taken as fractions of a degree with at most this denominator, so that 22.5 and 51.43 repeat or not."""


def turn_from_base(turn_deg: float, ring: int) -> float:
    """Find how far a ring stands turned from the base, below one full turn.

    Args:
        turn_deg: turn of each ring from the ring below; may be negative [deg]
        ring: number of the ring counted from the base, which is 0 [1]

    Source: own derivation: turns add up: ring * turn, less whole turns.

    >>> turn_from_base(turn_deg=22.5, ring=3)
    67.5
    """
    return (turn_deg * ring) % FULL_TURN_DEG


def arc_of_turn(radius_mm: float, turn_deg: float) -> float:
    """Find the length of a turn along the circumference.

    Args:
        radius_mm: radius where it is measured, >= 0 [mm]
        turn_deg: the turn [deg]

    Source: definition of the radian: r * angle.

    >>> round(arc_of_turn(radius_mm=100.0, turn_deg=9.0), 3)
    15.708
    """
    return radius_mm * radians(turn_deg)


def rings_to_repeat(turn_deg: float, looks_same_after_half_turn: bool) -> int:
    """Count the rings after which the pattern stands as it began.

    Args:
        turn_deg: turn of each ring from the ring below; may be negative [deg]
        looks_same_after_half_turn: whether the layers read the same from both faces about the centre of the rings

    Source: own derivation: least n with n * turn a whole multiple of 180 or 360 degrees.

    >>> rings_to_repeat(turn_deg=22.5, looks_same_after_half_turn=True)
    8
    >>> rings_to_repeat(turn_deg=22.5, looks_same_after_half_turn=False)
    16
    """
    period = HALF_TURN_DEG if looks_same_after_half_turn else FULL_TURN_DEG
    turn = Fraction(turn_deg).limit_denominator(FINEST_TURN)
    whole_period = period * turn.denominator
    return whole_period // gcd(abs(turn.numerator), whole_period)


def reads_same_both_ways(layers: Sequence[tuple[str, float]], centre_mm: float, glue_mm: float = 0.0) -> bool:
    """Tell whether the layers look the same after half a turn about a centre.

    Args:
        layers: species and thickness of each layer in order, thickness > 0 [mm]
        centre_mm: distance of the centre of the rings from the first face [mm]
        glue_mm: thickness of a glue line, >= 0 [mm]

    Source: own derivation: mirror order about the middle of the stack, and the centre in that middle.

    >>> reads_same_both_ways([("ash", 2.0), ("wenge", 1.0), ("ash", 2.0)], centre_mm=2.5)
    True
    """
    total = sum(thickness for _, thickness in layers) + glue_mm * max(0, len(layers) - 1)
    plain = [(species, picometres(thickness)) for species, thickness in layers]
    return plain == plain[::-1] and picometres(2 * centre_mm) == picometres(total)


def colour_changes(radius_mm: float, boundaries_mm: Sequence[float]) -> int:
    """Count the colour changes once around a ring: every boundary inside is crossed twice, a tangent one not at all.

    Args:
        radius_mm: radius of the ring, > 0 [mm]
        boundaries_mm: distance of each boundary between layers from the ring's centre, signed [mm]

    Source: a line meets a circle twice when it passes closer to the centre than the radius.

    >>> colour_changes(radius_mm=30.0, boundaries_mm=[-30.0, -10.0, 10.0, 30.0])
    4
    """
    return 2 * sum(abs(picometres(boundary)) < picometres(radius_mm) for boundary in boundaries_mm)
