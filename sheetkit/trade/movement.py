"""How far wood moves with moisture: by grain, between neighbours, and between layers turned by an angle."""

from math import degrees, sin

from sheetkit.trade.moisture import MOISTURE_WHERE_SWELLING_ENDS_PCT as NO_MORE_SWELLING_PCT

COEFFICIENTS_HOLD_PCT = (6.0, 14.0)
"""Moisture range of the published coefficients (Wood Handbook, FPL-GTR-190, 2010, ch. 13)."""
LEAST_CROSSED_SHARE = 0.5 - 1e-9


def movement(dimension_mm: float, coefficient: float, from_pct: float, to_pct: float) -> float:
    """Find how far a dimension moves between two moisture contents; shrinking is negative [mm].

    Args:
        dimension_mm: the dimension at the first moisture content, >= 0 [mm]
        coefficient: movement for each per cent of moisture, as a share of the dimension [1/%]
        from_pct: moisture content at first; more than 30 counts as 30 [%]
        to_pct: moisture content afterwards; more than 30 counts as 30 [%]

    Source: Wood Handbook, FPL-GTR-190 (2010), Eq. (13-2); coefficients hold from 6 to 14 %.

    >>> round(movement(dimension_mm=232.0, coefficient=0.00245, from_pct=8.0, to_pct=11.0), 4)
    1.7052
    """
    return dimension_mm * coefficient * moisture_change(from_pct, to_pct)


def moisture_change(from_pct: float, to_pct: float) -> float:
    """Find the change of moisture that moves wood: what lies above 30 % moves nothing [%].

    Args:
        from_pct: moisture content at first, >= 0 [%]
        to_pct: moisture content afterwards, >= 0 [%]

    Source: Wood Handbook, FPL-GTR-190 (2010), text after Eq. (13-3).

    >>> moisture_change(from_pct=25.0, to_pct=40.0)
    5.0
    """
    return min(to_pct, NO_MORE_SWELLING_PCT) - min(from_pct, NO_MORE_SWELLING_PCT)


def coefficient_from_shrinkage(shrinkage_pct: float) -> float:
    """Derive a movement coefficient from total shrinkage, for a wood that has none published [1/%].

    Args:
        shrinkage_pct: shrinkage in that direction from green to oven-dry, > 0 and < 100 [%]

    Source: own derivation: Wood Handbook Eq. (13-3) at 10 % moisture, 1 / (3000/S - 20); it gives back the domestic
    rows of Table 13-5 to the digit, but not most of the imported ones, which rest on older measurements.

    >>> round(coefficient_from_shrinkage(shrinkage_pct=6.1), 5)
    0.00212
    """
    return 1.0 / (3000.0 / shrinkage_pct - 20.0)


def face_coefficients(radial: float, tangential: float, grain: str | None) -> tuple[float, float]:
    """Find the least and the greatest coefficient across the face of a slice, by how its board was sawn [1/%].

    Args:
        radial: coefficient along the radius of the tree [1/%]
        tangential: coefficient along the growth rings [1/%]
        grain: "flat", "quarter", "rift", or None where it is not known

    Returns:
        Twice the same where the grain is known, else the two ends it may lie between.

    Raises:
        ValueError: if the grain is another word.

    Source: Wood Handbook, FPL-GTR-190 (2010), ch. 13 for flat and quarter; rift as the mean of the two, which is the
    turning of plane strain by 45°.

    >>> face_coefficients(radial=0.00165, tangential=0.00353, grain="flat")
    (0.00353, 0.00353)
    """
    if grain is None:
        return min(radial, tangential), max(radial, tangential)
    by_grain = {"flat": tangential, "quarter": radial, "rift": (radial + tangential) / 2.0}
    if grain not in by_grain:
        raise ValueError(f"a grain of {grain!r} is none of flat, quarter and rift")
    return by_grain[grain], by_grain[grain]


def crossed_movement(dimension_mm: float, coefficient: float, change_pct: float, angle_rad: float) -> float:
    """Find how far two layers of one wood work against each other when one is turned [mm].

    Args:
        dimension_mm: length or diameter that both share, >= 0 [mm]
        coefficient: movement across the grain for each per cent of moisture [1/%]
        change_pct: change of moisture content, may be negative [%]
        angle_rad: how far one is turned against the other [rad]

    Source: own derivation: wood hardly moves along the grain, so the part of the movement that is crossed goes
    with |sin(angle)|.

    >>> from math import radians
    >>> round(crossed_movement(dimension_mm=254.0, coefficient=0.00353, change_pct=4.0, angle_rad=radians(90)), 2)
    3.59
    """
    return abs(dimension_mm * coefficient * change_pct * sin(angle_rad))


def crossing_doubts(angle_rad: float) -> tuple[str, ...]:
    """Say that layers or rings are turned so far that they work against each other like crossed grain.

    Args:
        angle_rad: how far one is turned against its neighbour [rad]

    Source: own choice: from 30° on, where half of the whole movement is crossed.

    >>> from math import radians
    >>> crossing_doubts(radians(90.0))
    ('neighbours turned by 90° work against each other with 100 % of the movement across the grain',)
    """
    share = abs(sin(angle_rad))
    if share < LEAST_CROSSED_SHARE:
        return ()
    turned = f"neighbours turned by {degrees(angle_rad):.4g}° work against each other"
    return (f"{turned} with {100.0 * share:.0f} % of the movement across the grain",)


def movement_doubts(from_pct: float, to_pct: float) -> tuple[str, ...]:
    """Say why a movement may be off: moisture outside the range of the coefficients, or past the end of swelling.

    Args:
        from_pct: moisture content at first [%]
        to_pct: moisture content afterwards [%]

    Source: Wood Handbook, FPL-GTR-190 (2010), ch. 13, for both limits.

    >>> movement_doubts(from_pct=8.0, to_pct=18.0)
    ('from 8 to 18 % moisture leaves the 6 to 14 % for which the coefficients hold: take it as a rough figure',)
    """
    doubts = []
    low, high = COEFFICIENTS_HOLD_PCT
    if min(from_pct, to_pct) < low or max(from_pct, to_pct) > high:
        doubts.append(
            f"from {from_pct:g} to {to_pct:g} % moisture leaves the {low:g} to {high:g} % for which the coefficients "
            "hold: take it as a rough figure"
        )
    if max(from_pct, to_pct) > NO_MORE_SWELLING_PCT:
        doubts.append(f"above {NO_MORE_SWELLING_PCT:g} % moisture wood swells no further: what lies above is left out")
    return tuple(doubts)
