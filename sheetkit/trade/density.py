"""How heavy wood is: specific gravity and oven-dry density."""

WATER_KG_M3 = 1000.0


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
