"""The units that are understood, the words for them, and their exact size."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any, Final

from sheetkit.errors import UnreadableValue
from sheetkit.units.text import folded


class Dimension(StrEnum):
    """What a value measures; the base unit behind each is what the sums use."""

    LENGTH = "length"
    """Millimetres."""
    ANGLE = "angle"
    """Degrees."""
    PERCENT = "percent"
    """Per cent."""
    DURATION = "duration"
    """Seconds."""
    TEMPERATURE = "temperature"
    """Degrees Celsius."""
    FORCE = "force"
    """Newtons."""
    PRESSURE = "pressure"
    """Kilopascals."""
    SPREAD = "spread"
    """Grams per square metre."""
    SPEED = "speed"
    """Millimetres per second."""
    MONEY = "money"
    """The maker's currency."""
    NUMBER = "number"
    """No unit."""


BASE_UNIT = {
    Dimension.LENGTH: "mm", Dimension.ANGLE: "deg", Dimension.PERCENT: "%", Dimension.DURATION: "s",
    Dimension.TEMPERATURE: "°C", Dimension.FORCE: "N", Dimension.PRESSURE: "kPa", Dimension.SPREAD: "g/m2",
    Dimension.SPEED: "mm/s", Dimension.MONEY: "", Dimension.NUMBER: "",
}  # fmt: skip

INCH = Fraction(254, 10)
POUND_FORCE_N = Fraction("0.45359237") * Fraction("9.80665")

# Inch, foot and yard: exactly 25.4, 304.8 and 914.4 mm (NIST SP 811 (2008), appendix B.8); metric prefixes: the SI.
_EXACT: dict[str, tuple[Dimension, Fraction]] = {
    "in": (Dimension.LENGTH, INCH),
    "mm": (Dimension.LENGTH, Fraction(1)),
    "thou": (Dimension.LENGTH, INCH / 1000),
    "mil": (Dimension.LENGTH, INCH / 1000),
    "64ths": (Dimension.LENGTH, INCH / 64),
    "32nds": (Dimension.LENGTH, INCH / 32),
    "16ths": (Dimension.LENGTH, INCH / 16),
    "8ths": (Dimension.LENGTH, INCH / 8),
    "128ths": (Dimension.LENGTH, INCH / 128),
    "ft": (Dimension.LENGTH, INCH * 12),
    "yd": (Dimension.LENGTH, INCH * 36),
    "cm": (Dimension.LENGTH, Fraction(10)),
    "dm": (Dimension.LENGTH, Fraction(100)),
    "m": (Dimension.LENGTH, Fraction(1000)),
    "µm": (Dimension.LENGTH, Fraction(1, 1000)),
    "deg": (Dimension.ANGLE, Fraction(1)),
    "%": (Dimension.PERCENT, Fraction(1)),
    "s": (Dimension.DURATION, Fraction(1)),
    "min": (Dimension.DURATION, Fraction(60)),
    "h": (Dimension.DURATION, Fraction(3600)),
    "d": (Dimension.DURATION, Fraction(86400)),
    "wk": (Dimension.DURATION, Fraction(7 * 86400)),
    # Pound and square foot: exactly 453.59237 g and 0.09290304 m2 (same source); pint takes no factor inside a unit.
    "lb/1000 ft2": (Dimension.SPREAD, Fraction("453.59237") / (1000 * Fraction("0.09290304"))),
    "g/m2": (Dimension.SPREAD, Fraction(1)),
    # Pound-force: exactly 0.45359237 kg under 9.80665 m/s2 (same source). Exact here, so that a job in inches, whose
    # result sheets show them, need not wait for pint.
    "N": (Dimension.FORCE, Fraction(1)),
    "lbf": (Dimension.FORCE, POUND_FORCE_N),
    "kPa": (Dimension.PRESSURE, Fraction(1)),
    "psi": (Dimension.PRESSURE, POUND_FORCE_N / INCH**2 * 1000),
    "mm/s": (Dimension.SPEED, Fraction(1)),
    "m/min": (Dimension.SPEED, Fraction(1000, 60)),
    "ft/min": (Dimension.SPEED, INCH * 12 / 60),
    "°C": (Dimension.TEMPERATURE, Fraction(1)),
    "°F": (Dimension.TEMPERATURE, Fraction(5, 9)),
}
_ZERO = {"°F": Fraction(32)}
"""What a scale shows at the zero of its base unit, where that is not 0."""

_BY_PINT = {
    "rad": (Dimension.ANGLE, "radian", "degree"),
    "K": (Dimension.TEMPERATURE, "kelvin", "degree_Celsius"),
    "kN": (Dimension.FORCE, "kilonewton", "newton"),
    "kgf": (Dimension.FORCE, "kilogram_force", "newton"),
    "tonf": (Dimension.FORCE, "force_ton", "newton"),
    "Pa": (Dimension.PRESSURE, "pascal", "kilopascal"),
    "MPa": (Dimension.PRESSURE, "megapascal", "kilopascal"),
    "N/mm2": (Dimension.PRESSURE, "newton / millimeter ** 2", "kilopascal"),
    "bar": (Dimension.PRESSURE, "bar", "kilopascal"),
    "mbar": (Dimension.PRESSURE, "millibar", "kilopascal"),
    "inHg": (Dimension.PRESSURE, "inch_Hg", "kilopascal"),
    "mmHg": (Dimension.PRESSURE, "millimeter_Hg", "kilopascal"),
    "kgf/cm2": (Dimension.PRESSURE, "kilogram_force / centimeter ** 2", "kilopascal"),
    "kg/m2": (Dimension.SPREAD, "kilogram / meter ** 2", "gram / meter ** 2"),
    "oz/ft2": (Dimension.SPREAD, "ounce / foot ** 2", "gram / meter ** 2"),
    "mm/min": (Dimension.SPEED, "millimeter / minute", "millimeter / second"),
    "m/s": (Dimension.SPEED, "meter / second", "millimeter / second"),
    "ft/s": (Dimension.SPEED, "foot / second", "millimeter / second"),
    "in/min": (Dimension.SPEED, "inch / minute", "millimeter / second"),
    "in/s": (Dimension.SPEED, "inch / second", "millimeter / second"),
}

_WORDS = {
    "in": "in in. ins ins. inch inches inch. \" zoll pouce pouces pulgada pulgadas pollice pollici tum tommer palec",
    "mm": "mm mm. mms millimeter millimeters millimetre millimetres millim milimetros millimetri milimeter milimeters",
    "thou": "thou thous thou. thousandth thousandths thousandths-of-an-inch",
    "mil": "mil mils mil.",
    "64ths": "64ths 64th 64th. 64ths. /64 /64ths sixty-fourth sixty-fourths",
    "32nds": "32nds 32nd 32ths 32th /32 /32nds thirty-second thirty-seconds",
    "16ths": "16ths 16th /16 /16ths sixteenth sixteenths",
    "8ths": "8ths 8th /8 /8ths eighth eighths",
    "128ths": "128ths 128th /128",
    "ft": "ft ft. feet foot ' fuss pied pieds",
    "yd": "yd yds yd. yard yards",
    "cm": "cm cm. cms centimeter centimeters centimetre centimetres zentimeter",
    "dm": "dm decimeter decimetre decimeters decimetres",
    "m": "m m. meter meters metre metres mtr mtrs",
    "µm": "μm um micron microns micrometer micrometers micrometre micrometres μ mikrometer",
    "deg": "deg deg. degs degree degrees ° grad",
    "rad": "rad radian radians",
    "%": "% pct pct. percent per-cent prozent",
    "s": "s s. sec secs sec. second seconds sek sekunde sekunden seconde secondes",
    "min": "min min. mins minute minutes minuten",
    "h": "h h. hr hrs hr. hour hours std std. stunde stunden heure heures",
    "d": "d day days tag tage tagen jour jours",
    "wk": "wk wks week weeks woche wochen semaine semaines",
    "°C": "°c degc c celsius degrees-c deg-c",
    "°F": "°f degf f fahrenheit degrees-f deg-f",
    "K": "k kelvin",
    "N": "n newton newtons",
    "kN": "kn kilonewton kilonewtons",
    "lbf": "lbf lb lbs lb. lbs. pound pounds pounds-force",
    "kgf": "kgf kg kg. kilograms kilogram kp",
    "tonf": "tonf ton tons",
    "Pa": "pa pascal",
    "kPa": "kpa kilopascal kilopascals",
    "MPa": "mpa megapascal megapascals",
    "N/mm2": "n/mm2 n/mm^2 n/mm²",
    "psi": "psi lb/in2 lb/in^2 lb/in² lbf/in2 lbf/in² p.s.i.",
    "bar": "bar bars",
    "mbar": "mbar hpa millibar",
    "inHg": "inhg in-hg \"hg in.hg inches-of-mercury inches-of-hg",
    "mmHg": "mmhg mm-hg",
    "kgf/cm2": "kgf/cm2 kg/cm2 kgf/cm² kg/cm² kgf/cm^2 kg/cm^2",
    "g/m2": "g/m2 g/m² g/m^2 gsm g/sqm g/sq-m",
    "kg/m2": "kg/m2 kg/m² kg/m^2",
    "lb/1000 ft2": "lb/1000-ft2 lb/1000ft2 lb/1000-ft² lb/1000ft² lb/1000-sq-ft lb/1000sqft lbs/1000-sq-ft "
    "lbs/1000-ft2 lbs/1000ft2 lb/msf lbs/msf lb/mgl lbs/mgl #/msf lb/msgl lbs/msgl #/msgl",
    "oz/ft2": "oz/ft2 oz/ft² oz/sqft oz/sq-ft",
    "mm/s": "mm/s mm/sec",
    "mm/min": "mm/min",
    "m/min": "m/min m/minute",
    "m/s": "m/s m/sec",
    "ft/min": "ft/min fpm sfpm sfm ft/minute feet/min",
    "ft/s": "ft/s fps",
    "in/min": "in/min ipm",
    "in/s": "in/s in/sec ips",
}  # fmt: skip


_NO_ZERO: Final = Fraction(0)


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit.

    Attributes:
        label: how we write it
        dimension: what it measures
        factor: size in the base unit where that is an exact ratio; None where pint converts
        zero: what it shows at the zero of the base unit
    """

    label: str
    dimension: Dimension
    factor: Fraction | None = None
    zero: Fraction = _NO_ZERO

    def to_base(self, value: float | Fraction) -> float:
        """A value in this unit, in the dimension's base unit."""
        if self.factor is not None:
            if self.zero is _NO_ZERO and type(value) is float:
                return _scaled(value, self.factor.numerator, self.factor.denominator)
            return float((exact(value) - self.zero) * self.factor)
        if self.label == BASE_UNIT[self.dimension]:
            return float(value)
        _, name, base = _BY_PINT[self.label]
        return float(_registry().Quantity(float(value), name).to(base).magnitude)

    def from_base(self, value: float) -> float:
        """The inverse of `to_base`."""
        if self.factor is not None:
            if self.zero is _NO_ZERO:
                return _scaled(float(value), self.factor.denominator, self.factor.numerator)
            return float(exact(value) / self.factor + self.zero)
        if self.label == BASE_UNIT[self.dimension]:
            return value
        _, name, base = _BY_PINT[self.label]
        return float(_registry().Quantity(value, base).to(name).magnitude)


@cache
def _registry() -> Any:
    # pint takes half a second to load and set up, which a workbook with lengths only need not wait for.
    import pint

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    return registry


def exact(value: float | Fraction) -> Fraction:
    """The decimal that a number stands for, as a ratio: 0.1 is one tenth, not its nearest binary neighbour.

    >>> exact(0.1)
    Fraction(1, 10)
    """
    return value if isinstance(value, Fraction) else Fraction(repr(float(value)))


_TENS: Final = tuple(10**places for places in range(32))


def _scaled(value: float, over: int, under: int) -> float:
    """`exact(value) * over / under`, rounded once: as ratios would give it, many times quicker.

    Whole numbers divide with a single, correct rounding.
    """
    text = repr(value)
    if "e" in text or "n" in text:
        return float(exact(value) * over / under)
    whole, _, places = text.partition(".")
    rounded: float = int(whole + places) * over / (_TENS[len(places)] * under)
    return rounded


def _all_units() -> dict[str, Unit]:
    units = {
        label: Unit(label, dimension, factor, _ZERO.get(label, _NO_ZERO))
        for label, (dimension, factor) in _EXACT.items()
    }
    return units | {label: Unit(label, dimension) for label, (dimension, _, _) in _BY_PINT.items()}


UNITS = _all_units()
_MINUTES = {"m": "min", "mn": "min", "m.": "min"}
"""Words that mean minutes where a duration is written, and something else elsewhere."""
_LABEL_OF = {folded(word).replace("-", " "): label for label, words in _WORDS.items() for word in words.split(" ")}


def unit_words() -> tuple[str, ...]:
    """Every word for a unit, the longest first."""
    return tuple(sorted(_LABEL_OF, key=lambda word: (-len(word), word)))


@lru_cache(maxsize=4096)
def find_unit(word: str, dimension: Dimension | None = None) -> Unit | None:
    """The unit that a word names, or None.

    Args:
        word: as typed, in any case
        dimension: only units of this kind
    """
    plain = folded(word).replace("-", " ")
    label = _MINUTES.get(plain) if dimension is Dimension.DURATION and plain in _MINUTES else _LABEL_OF.get(plain)
    unit = UNITS[label] if label else None
    return unit if unit is not None and dimension in (None, unit.dimension) else None


def from_mm(value_mm: float, unit: str) -> float:
    """A length in another unit.

    Args:
        value_mm: length [mm]
        unit: any word for a unit of length

    Raises:
        UnreadableValue: not a unit of length

    >>> from_mm(38.1, "in")
    1.5
    """
    return _length_unit(unit).from_base(value_mm)


@lru_cache(maxsize=64)
def _length_unit(word: str) -> Unit:
    unit = find_unit(word, Dimension.LENGTH)
    if unit is None:
        raise UnreadableValue(word, "a unit of length", "type in, thou or mm")
    return unit
