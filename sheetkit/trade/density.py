"""How heavy wood is: specific gravity, density, and the most water it can hold."""

WATER_KG_M3 = 1000.0
WALL_GRAVITY = 1.54
"""Specific gravity of the cell wall itself (Wood Handbook, FPL-GTR-282, 2021, Eq. 4-3)."""


def density(specific_gravity: float, moisture_pct: float) -> float:
    """Find the density of wood with the water in it [kg/m³].

    Args:
        specific_gravity: oven-dry mass over the volume at this moisture, relative to water, > 0 [1]
        moisture_pct: moisture content, >= 0 [%]

    Source: Wood Handbook, FPL-GTR-282 (2021), Eq. (4-14).

    >>> round(density(specific_gravity=0.60, moisture_pct=12.0), 1)
    672.0
    """
    return WATER_KG_M3 * specific_gravity * (1.0 + moisture_pct / 100.0)


def dry_density(specific_gravity: float) -> float:
    """Find the oven-dry mass in a cubic metre of wood as it is, which is what water from glue is set against [kg/m³].

    Args:
        specific_gravity: oven-dry mass over the volume as it is, relative to water, > 0 [1]

    Source: definition of specific gravity, Wood Handbook, FPL-GTR-282 (2021), ch. 4.

    >>> dry_density(specific_gravity=0.63)
    630.0
    """
    return WATER_KG_M3 * specific_gravity


def gravity_from_basic(basic_gravity: float, moisture_pct: float) -> float:
    """Estimate the specific gravity on the volume at a moisture content from that on the green volume [1].

    Args:
        basic_gravity: oven-dry mass over green volume, relative to water, > 0 [1]
        moisture_pct: moisture content, from 0 to 30; more counts as 30 [%]

    Source: Wood Handbook, FPL-GTR-282 (2021), Eq. (4-13); FPL-GTR-190 (2010), Eq. (4-11). Shrinkage is estimated, so
    tabulated values differ by up to 0.03.

    >>> round(gravity_from_basic(basic_gravity=0.55, moisture_pct=12.0), 4)
    0.6027
    """
    return basic_gravity / (1.0 - 0.265 * basic_gravity * (1.0 - min(moisture_pct, 30.0) / 30.0))


def gravity_from_shrinkage(basic_gravity: float, volumetric_pct: float, moisture_pct: float) -> float:
    """Find the specific gravity on the volume at a moisture content from the wood's own volumetric shrinkage [1].

    Args:
        basic_gravity: oven-dry mass over green volume, relative to water, > 0 [1]
        volumetric_pct: shrinkage of the volume from green to oven-dry [%]
        moisture_pct: moisture content, from 0 to 30; more counts as 30 [%]

    Source: Wood Handbook, FPL-GTR-282 (2021), Eq. (4-11) with Eq. (4-9).

    >>> round(gravity_from_shrinkage(basic_gravity=0.55, volumetric_pct=13.3, moisture_pct=12.0), 4)
    0.5977
    """
    return basic_gravity / (1.0 - volumetric_pct / 100.0 * (1.0 - min(moisture_pct, 30.0) / 30.0))


def most_moisture(basic_gravity: float) -> float:
    """Find the most moisture that wood can hold, every pore full [%].

    Args:
        basic_gravity: oven-dry mass over green volume, relative to water, > 0 and < 1.54 [1]

    Source: Wood Handbook, FPL-GTR-282 (2021), Eq. (4-3); the anchors printed beside it do not follow from it.

    >>> round(most_moisture(basic_gravity=0.50), 1)
    135.1
    """
    return 100.0 * (WALL_GRAVITY - basic_gravity) / (WALL_GRAVITY * basic_gravity)
