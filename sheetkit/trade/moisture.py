"""Moisture of wood: what the air brings it to, the air that does so, and how long a thickness takes to settle."""

from math import log, pi

MOISTURE_WHERE_SWELLING_ENDS_PCT = 30.0
"""Above this the cell walls are full and wood swells no further (Wood Handbook, FPL-GTR-190, 2010, ch. 13)."""
TABULATED_C = (-1.1, 132.2)
TABULATED_HUMIDITY_PCT = (5.0, 95.0)
"""Range of the handbook's own table of equilibrium moisture (FPL-GTR-282, 2021, Table 4-2)."""

_SETTLED_SHARE_LEFT = 0.05
_FIRST_TERM = 8.0 / pi**2


def equilibrium_moisture(temperature_c: float, humidity_pct: float) -> float:
    """Find the moisture content that wood comes to in air of one temperature and humidity [%].

    Args:
        temperature_c: temperature of the air [°C]
        humidity_pct: relative humidity, from 0 to below 100 [%]

    Raises:
        ValueError: if the humidity is outside its range.

    Source: Wood Handbook, FPL-GTR-190 (2010) and FPL-GTR-282 (2021), Eq. (4-5), after Simpson, Wood and Fiber
    5(1):41-49 (1973). Real wood differs by species and by whether it dries or takes up; tabulated for -1 to 132 °C
    and 5 to 95 %.

    >>> round(equilibrium_moisture(temperature_c=20.0, humidity_pct=50.0), 3)
    9.271
    """
    t = temperature_c
    return _sorption(
        humidity_pct,
        w=349 + 1.29 * t + 0.0135 * t**2,
        k=0.805 + 0.000736 * t - 0.00000273 * t**2,
        k1=6.27 - 0.00938 * t - 0.000303 * t**2,
        k2=1.91 + 0.0407 * t - 0.000293 * t**2,
    )


def humidity_for_moisture(temperature_c: float, moisture_pct: float) -> float:
    """Find the relative humidity in which wood comes to a wanted moisture content [%].

    Args:
        temperature_c: temperature of the air [°C]
        moisture_pct: wanted moisture content, >= 0 [%]

    Raises:
        ValueError: if no humidity below 100 % gives that moisture content.

    Source: root of Wood Handbook Eq. (4-5); the equation rises steadily with humidity.

    >>> round(humidity_for_moisture(temperature_c=20.0, moisture_pct=8.0), 2)
    41.83
    """
    from scipy.optimize import brentq

    almost_wet = 100.0 - 1e-9
    if not 0.0 <= moisture_pct <= equilibrium_moisture(temperature_c, almost_wet):
        raise ValueError(f"no air at {temperature_c:g} °C brings wood to {moisture_pct:g} % moisture")
    root = brentq(lambda humidity: equilibrium_moisture(temperature_c, humidity) - moisture_pct, 0.0, almost_wet)
    return float(root)


def air_doubts(temperature_c: float, humidity_pct: float) -> tuple[str, ...]:
    """Say why an equilibrium moisture may be off: air outside the range that the handbook tabulates.

    Args:
        temperature_c: temperature of the air [°C]
        humidity_pct: relative humidity [%]

    Source: Wood Handbook, FPL-GTR-282 (2021), Table 4-2, for its range.

    >>> air_doubts(temperature_c=20.0, humidity_pct=97.0)
    ('97 % humidity lies outside the 5 to 95 % that the handbook tabulates',)
    """
    doubts = []
    if not TABULATED_C[0] <= temperature_c <= TABULATED_C[1]:
        doubts.append(f"{temperature_c:g} °C lies outside the -1 to 132 °C that the handbook tabulates")
    if not TABULATED_HUMIDITY_PCT[0] <= humidity_pct <= TABULATED_HUMIDITY_PCT[1]:
        doubts.append(f"{humidity_pct:g} % humidity lies outside the 5 to 95 % that the handbook tabulates")
    return tuple(doubts)


def settling_days(thickness_mm: float, known_thickness_mm: float, known_days: float) -> float:
    """Find how long a thickness takes to settle from how long another one takes [days].

    Args:
        thickness_mm: thickness asked about, both faces open to the air, > 0 [mm]
        known_thickness_mm: thickness whose time is known, > 0 [mm]
        known_days: time that it takes, > 0 [days]

    Source: Crank, The Mathematics of Diffusion (2nd edition, 1975), ch. 4: time goes with thickness squared.

    >>> settling_days(thickness_mm=3.175, known_thickness_mm=25.4, known_days=16.0) * 24
    6.0
    """
    return known_days * (thickness_mm / known_thickness_mm) ** 2


def days_until_left(excess_pct: float, allowed_pct: float, settled_days: float) -> float:
    """Find how long it takes until an excess of moisture has fallen to what is allowed [days].

    Args:
        excess_pct: moisture above what the air keeps the wood at, >= 0 [%]
        allowed_pct: what may be left of it, > 0 [%]
        settled_days: time in which that thickness loses 95 % of any excess, > 0 [days]

    Source: Crank, The Mathematics of Diffusion (2nd edition, 1975), Eq. (4.18), first term: the mean excess of a slab
    falls as 8/pi^2 * exp(-kt). An estimate: wood is not uniform and a glue line holds water back.

    >>> days_until_left(excess_pct=20.0, allowed_pct=1.0, settled_days=16.0)
    16.0
    >>> days_until_left(excess_pct=0.5, allowed_pct=1.0, settled_days=16.0)
    0.0
    """
    if excess_pct <= allowed_pct:
        return 0.0
    fallen = log(_FIRST_TERM * excess_pct / allowed_pct)
    return max(0.0, settled_days * fallen / log(_FIRST_TERM / _SETTLED_SHARE_LEFT))


def _sorption(humidity_pct: float, w: float, k: float, k1: float, k2: float) -> float:
    """Wood Handbook Eq. (4-5) with its four temperature terms."""
    if not 0.0 <= humidity_pct < 100.0:
        raise ValueError(f"a relative humidity of {humidity_pct:g} % lies outside 0 to below 100 %")
    kh = k * humidity_pct / 100.0
    wall = k1 * kh + k1 * k2 * kh**2
    return 1800.0 / w * (kh / (1.0 - kh) + (wall + k1 * k2 * kh**2) / (1.0 + wall))
