"""What the layers do around a ring: turns, repeats, colour changes, smears, and movement between turned rings."""

from collections.abc import Sequence
from fractions import Fraction
from math import acos, gcd, radians, sin, sqrt

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


def smear_length(radius_mm: float, layer_mm: float, inner_edge_mm: float) -> float:
    """Find how long a layer shows along the circumference at one of its crossings; long where it runs nearly tangent.

    Args:
        radius_mm: radius of the ring, > 0 [mm]
        layer_mm: thickness of the layer, > 0 [mm]
        inner_edge_mm: distance of the layer's nearer edge from the ring's centre, 0 to the radius [mm]

    Source: own derivation: arc between the two edges; one whole cap, cut in half, where the outer edge lies outside.

    >>> round(smear_length(radius_mm=100.0, layer_mm=1.5, inner_edge_mm=0.0), 4)
    1.5001
    """
    outer = min(1.0, (inner_edge_mm + layer_mm) / radius_mm)
    return radius_mm * (acos(min(1.0, inner_edge_mm / radius_mm)) - acos(outer))


def longest_stripe_on_edge(radius_mm: float, face_mm: float) -> float:
    """Find the length of the longest straight stripe on the top face of a ring, one that just misses the hole.

    Args:
        radius_mm: outer radius of the face, > 0 [mm]
        face_mm: width of the face, 0 to the radius [mm]

    Source: chord of a circle at the distance of the inner edge: 2 * sqrt(R^2 - (R - face)^2).

    >>> longest_stripe_on_edge(radius_mm=25.0, face_mm=10.0)
    40.0
    """
    return 2 * sqrt(radius_mm**2 - (radius_mm - face_mm) ** 2)


def movement_between_turned(size_mm: float, along_share: float, across_share: float, turn_deg: float) -> float:
    """Find the most by which two rings glued at a turn want to move apart over a diameter.

    Args:
        size_mm: diameter of the joint, > 0 [mm]
        along_share: change along the grain as a share of the size, 0.001 for 0.1 % [1]
        across_share: change across the grain as a share of the size [1]
        turn_deg: turn of one ring from the other [deg]

    Source: own derivation: strains e(a) = along cos^2 a + across sin^2 a; the difference of two turned by d is
    (across - along) * sin(d) * sin(2a - d), at most |across - along| * |sin d|.

    >>> round(movement_between_turned(size_mm=200.0, along_share=0.0, across_share=0.01, turn_deg=30.0), 9)
    1.0
    """
    return size_mm * abs(across_share - along_share) * abs(sin(radians(turn_deg)))
