"""Force and pressure on a stack: what the adhesive asks, what clamps or a vacuum bag give, and what spreads it."""

from fractions import Fraction
from math import ceil

STANDARD_ATMOSPHERE_KPA = 101.325
CAULS_SPREAD = "pressure spreads from a clamp through a caul in a cone of 45° (common practice, no source)"


def press_force(pressure_kpa: float, face_area_mm2: float) -> float:
    """Find the force that presses a stack, once, however many layers it has [N].

    Args:
        pressure_kpa: pressure wanted on the face, >= 0 [kPa]
        face_area_mm2: length times width of the face, >= 0 [mm²]

    Source: definition of pressure; the same force passes through every line of the stack.

    >>> press_force(pressure_kpa=1000.0, face_area_mm2=20_000.0)
    20000.0
    """
    return pressure_kpa * face_area_mm2 / 1000.0


def clamps_needed(force_n: float, clamp_force_n: float) -> int:
    """Count the clamps that give a force.

    Args:
        force_n: force wanted, >= 0 [N]
        clamp_force_n: force of one clamp, > 0 [N]

    Source: own derivation: force / force of a clamp, rounded up; a miss of a millionth counts as reached.

    >>> clamps_needed(force_n=24_000.0, clamp_force_n=4_500.0)
    6
    """
    return ceil(Fraction(force_n) / Fraction(clamp_force_n) - Fraction(1, 1_000_000))


def pressure_given(clamps: int, clamp_force_n: float, face_area_mm2: float) -> float:
    """Find the pressure that the clamps at hand give [kPa].

    Args:
        clamps: clamps at hand, >= 0 [count]
        clamp_force_n: force of one clamp, >= 0 [N]
        face_area_mm2: length times width of the face, > 0 [mm²]

    Source: definition of pressure.

    >>> pressure_given(clamps=4, clamp_force_n=5_000.0, face_area_mm2=20_000.0)
    1000.0
    """
    return clamps * clamp_force_n / face_area_mm2 * 1000.0


def air_pressure(altitude_m: float) -> float:
    """Find the pressure of the air at an altitude, which is the most that a vacuum bag can ever press with [kPa].

    Args:
        altitude_m: altitude above the sea, up to 11 000 [m]

    Source: ISO 2533:1975, standard atmosphere below 11 000 m: 101.325 * (1 - 0.0065 h / 288.15)^5.25588; the exponent
    from memory, it follows from g * M / (R * 0.0065).

    >>> round(air_pressure(altitude_m=0.0), 3), round(air_pressure(altitude_m=1500.0), 1)
    (101.325, 84.6)
    """
    return float(STANDARD_ATMOSPHERE_KPA * (1.0 - 0.0065 * altitude_m / 288.15) ** 5.25588)


def vacuum_pressure(gauge_kpa: float, altitude_m: float = 0.0) -> float:
    """Find the pressure of a vacuum bag: what its gauge shows, but never more than the air at that altitude [kPa].

    Args:
        gauge_kpa: what the gauge shows below the air outside, >= 0 [kPa]
        altitude_m: altitude above the sea, up to 11 000 [m]

    Source: own derivation: the bag is pressed by the air outside less what is left inside.

    >>> vacuum_pressure(gauge_kpa=84.7)
    84.7
    >>> round(vacuum_pressure(gauge_kpa=84.7, altitude_m=2500.0), 1)
    74.7
    """
    return min(gauge_kpa, air_pressure(altitude_m))


def pressure_short_by(asked_kpa: float, given_kpa: float) -> float:
    """Find how much pressure is missing; zero where there is enough [kPa].

    Args:
        asked_kpa: pressure that the adhesive asks for, >= 0 [kPa]
        given_kpa: pressure that the method gives, >= 0 [kPa]

    Source: own derivation: asked - given, never below zero; a miss of a millionth is none.

    >>> pressure_short_by(asked_kpa=1034.0, given_kpa=84.7)
    949.3
    """
    short = asked_kpa - given_kpa
    return short if short > asked_kpa * 1e-6 else 0.0


def clamp_spacing(length_mm: float, clamps_along: int) -> float:
    """Find how far apart clamps stand that are spread evenly, half a spacing from each end [mm].

    Args:
        length_mm: length of the face, > 0 [mm]
        clamps_along: clamps along that length, > 0 [count]

    Source: own derivation: length / clamps.

    >>> clamp_spacing(length_mm=450.0, clamps_along=3)
    150.0
    """
    return length_mm / clamps_along


def caul_thickness(spacing_mm: float, width_mm: float = 0.0) -> float:
    """Find how thick a caul must be so that the pressure of neighbouring clamps meets before it reaches the wood [mm].

    Args:
        spacing_mm: distance between neighbouring clamps, > 0 [mm]
        width_mm: width that one row of clamps has to press, 0 where the rows are counted in the spacing [mm]

    Source: common practice, no source: pressure spreads in a cone of 45° on either side of the screw.

    >>> caul_thickness(spacing_mm=150.0)
    75.0
    """
    return max(spacing_mm, width_mm) / 2.0
