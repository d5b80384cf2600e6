"""Lengths as whole numbers, so that a fit that is exact on paper is exact here too.

Inches become millimetres as binary fractions, and 0.0625 + 0.045 in is then a hair more or less than 2.7305 mm.
Whole picometres hold every decimal of an inch and every 1/1024 in without a remainder (1/128 in is 198 437 500 pm,
but not a whole number of nanometres), so sums and comparisons of lengths are made in them.
"""

from math import gcd

PICOMETRES_PER_MM = 1_000_000_000
PLAIN_PM = 1e13
SURELY = 0.49
"""Below ten metres a product of two floats is off by less than 0.001 pm, so that one this near to a whole number rounds
to it; only halfway cases and longer lengths need whole numbers of any size."""
HAIR_PM = 1_000
"""A miss of less than this, one nanometre, is the arithmetic's doing and not the wood's."""


def picometres(length_mm: float) -> int:
    """Turn a length into the nearest whole number of picometres; halfway goes away from zero.

    Args:
        length_mm: any length, may be negative [mm]

    Source: definition of the units, SI Brochure (9th edition, 2019), Table 7.

    >>> picometres(25.4 * 0.0625 + 25.4 * 0.045)
    2730500000
    """
    scaled = length_mm * PICOMETRES_PER_MM
    if -PLAIN_PM < scaled < PLAIN_PM:
        nearest = round(scaled)
        if abs(scaled - nearest) < SURELY:
            return nearest
    numerator, denominator = abs(length_mm).as_integer_ratio()
    whole = (2 * numerator * PICOMETRES_PER_MM + denominator) // (2 * denominator)
    return whole if length_mm >= 0 else -whole


def millimetres(length_pm: int) -> float:
    """Turn whole picometres back into the nearest millimetres a float can hold.

    Args:
        length_pm: any length, may be negative [pm]

    Source: definition of the units, SI Brochure (9th edition, 2019), Table 7.

    >>> millimetres(2730500000)
    2.7305
    """
    return length_pm / PICOMETRES_PER_MM


def total_mm(lengths_mm: list[float] | tuple[float, ...]) -> float:
    """Add lengths without collecting the binary dust of each.

    Args:
        lengths_mm: the lengths, may be empty [mm]

    Source: integer addition of the lengths in picometres.

    >>> total_mm([0.1] * 10)
    1.0
    """
    return millimetres(sum(picometres(length) for length in lengths_mm))


def floor_of_ratio(whole_mm: float, part_mm: float) -> int:
    """Count how often a part goes into a whole; a miss of less than one nanometre in all counts as a fit.

    Args:
        whole_mm: what is divided, may be negative [mm]
        part_mm: what it is divided by, > 0 [mm]

    Raises:
        ValueError: if the part is not greater than zero.

    Source: integer division of the lengths in picometres.

    >>> floor_of_ratio(25.4 * 1.3975, 25.4 * 0.0625 + 25.4 * 0.045)
    13
    >>> floor_of_ratio(0.3, 0.1)
    3
    """
    part_pm = _positive(part_mm)
    return (picometres(whole_mm) + HAIR_PM) // part_pm


def ceiling_of_ratio(whole_mm: float, part_mm: float) -> int:
    """Count how many parts it takes to reach a whole; a miss of less than one nanometre in all counts as reached.

    Args:
        whole_mm: what must be reached, may be negative [mm]
        part_mm: what is laid end to end, > 0 [mm]

    Raises:
        ValueError: if the part is not greater than zero.

    Source: integer division of the lengths in picometres.

    >>> ceiling_of_ratio(292.1, 99.7458)
    3
    """
    part_pm = _positive(part_mm)
    return -((HAIR_PM - picometres(whole_mm)) // part_pm)


def nearest_multiple(length_mm: float, division_mm: float) -> int:
    """Count the whole divisions nearest to a length; halfway goes to the larger.

    Args:
        length_mm: the length, may be negative [mm]
        division_mm: the smallest step, > 0 [mm]

    Raises:
        ValueError: if the division is not greater than zero.

    Source: integer division of the lengths in picometres.

    >>> nearest_multiple(0.0625, 0.025)
    3
    """
    division_pm = _positive(division_mm)
    return (2 * picometres(length_mm) + division_pm) // (2 * division_pm)


def common_step(lengths_pm: list[int]) -> int:
    """Find the longest step of which every length is a whole multiple.

    Args:
        lengths_pm: lengths, each > 0 [pm]

    Source: greatest common divisor, Euclid, Elements, book VII, proposition 3.

    >>> common_step([2730500000, 1270000000])
    63500000
    """
    return gcd(*lengths_pm) if lengths_pm else 1


def _positive(length_mm: float) -> int:
    length_pm = picometres(length_mm)
    if length_pm <= 0:
        raise ValueError(f"a length of {length_mm} mm cannot be divided by; wanted more than 0 mm")
    return length_pm
