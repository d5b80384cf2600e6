"""Amounts other than lengths as the maker wants to read them: pressure, force, temperature, mass, volume, time."""

from dataclasses import dataclass

from sheetkit.units import Dimension, find_unit

OUNCE_G = 28.349523125
"""Sixteenth of the avoirdupois pound, exactly (international yard and pound agreement, 1959)."""
FLUID_OUNCE_ML = 29.5735295625
"""United States fluid ounce, exactly (NIST Handbook 44, appendix C)."""


@dataclass(frozen=True, slots=True)
class Amounts:
    """How amounts are shown on the result sheets.

    Attributes:
        unit: the job's unit of length, "in" or "mm"
    """

    unit: str

    @property
    def inch(self) -> bool:
        """The units of an inch shop."""
        return self.unit == "in"

    @property
    def pressure_unit(self) -> str:
        """Unit of pressures."""
        return "psi" if self.inch else "kPa"

    @property
    def force_unit(self) -> str:
        """Unit of forces."""
        return "lbf" if self.inch else "N"

    @property
    def mass_unit(self) -> str:
        """Unit of masses."""
        return "oz" if self.inch else "g"

    @property
    def mass_format(self) -> str:
        """Number format of masses."""
        return "0.0" if self.inch else "0"

    def pressure(self, pressure_kpa: float) -> float:
        """A pressure in the shown unit."""
        return _shown(pressure_kpa, self.pressure_unit, Dimension.PRESSURE)

    def force(self, force_n: float) -> float:
        """A force in the shown unit."""
        return _shown(force_n, self.force_unit, Dimension.FORCE)

    def mass(self, mass_g: float) -> float:
        """A mass in the shown unit."""
        return round(mass_g / OUNCE_G if self.inch else mass_g, 12)

    def pressure_text(self, pressure_kpa: float) -> str:
        """A pressure inside a sentence."""
        return f"{self.pressure(pressure_kpa):,.0f} {self.pressure_unit}"

    def force_text(self, force_n: float) -> str:
        """A force inside a sentence."""
        return f"{self.force(force_n):,.0f} {self.force_unit}"

    def mass_text(self, mass_g: float) -> str:
        """A mass inside a sentence."""
        return f"{self.mass(mass_g):,.{1 if self.inch else 0}f} {self.mass_unit}"

    def volume_text(self, volume_ml: float) -> str:
        """A volume inside a sentence."""
        return f"{volume_ml / FLUID_OUNCE_ML:,.1f} fl oz" if self.inch else f"{volume_ml:,.0f} mL"

    def temperature_text(self, temperature_c: float) -> str:
        """A temperature inside a sentence."""
        label = "°F" if self.inch else "°C"
        return f"{_shown(temperature_c, label, Dimension.TEMPERATURE):.0f} {label}"

    def height_text(self, height_mm: float) -> str:
        """An altitude inside a sentence."""
        label = "ft" if self.inch else "m"
        return f"{_shown(height_mm, label, Dimension.LENGTH):,.0f} {label}"


def minutes(duration_s: float) -> float:
    """A duration in minutes, for a cell."""
    return round(duration_s / 60.0, 12)


def duration_text(duration_s: float) -> str:
    """A duration inside a sentence, in the unit that suits it.

    >>> duration_text(20.0), duration_text(640.0), duration_text(86_400.0)
    ('20 s', '10.7 min', '24 h')
    """
    if duration_s < 120.0:
        return f"{duration_s:.3g} s"
    if duration_s < 7200.0:
        return f"{duration_s / 60.0:.3g} min"
    return f"{duration_s / 3600.0:.3g} h"


def _shown(value: float, label: str, dimension: Dimension) -> float:
    unit = find_unit(label, dimension)
    if unit is None:
        raise ValueError(f"{label} is no unit of {dimension}")
    return round(unit.from_base(value), 12)
