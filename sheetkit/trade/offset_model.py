"""The estimate of one species' offset, and the fitted model it is read from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum

from sheetkit.trade.arrays import Array
from sheetkit.trade.mixed import Design, Fit, Mixture, fit
from sheetkit.trade.slope import SlopeTest

FEWEST_FOR_DRIFT = 6
"""Readings below which no drift is looked for: the blade's level, the drift and the spread would take half of them."""

FEWEST_SPECIES = 2
"""Species below which the readings say nothing about how far another one may differ."""

MOSTLY_OWN = 0.9
"""Share of a species' own readings in its estimate above which the other species are no longer mentioned."""


class Basis(Enum):
    """What an estimate rests on."""

    OWN = "its own readings"
    SHARED = "its own readings and those of the other species"
    OTHERS = "the readings of the other species"
    OTHER_BLADES = "the readings with other blades"
    GIVEN = "the given allowance"


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """A measured slice, or several pressed together.

    Attributes:
        species: the wood
        set_mm: what was dialled beyond the kerf allowance [mm]
        slice_mm: mean thickness of the slice, or of one slice of the pressed ones [mm]
        blade: which blade sawed it; None where blades are not told apart
        order: place in the order of sawing, counted through all boards; None where unknown [-]
        slices: how many slices were pressed together [-]
        name: the slice's name, for messages
    """

    species: str
    set_mm: float
    slice_mm: float
    blade: str | None = None
    order: float | None = None
    slices: int = 1
    name: str = ""

    @property
    def offset_mm(self) -> float:
        """Measured less set [mm]."""
        return self.slice_mm - self.set_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class OffsetEstimate:
    """The offset of one species with one blade, at its mean setting.

    Limits and standard error are None where too few readings say nothing about the spread.

    Attributes:
        species: the wood
        blade: the blade
        readings: how many readings of this species with this blade [-]
        slices: how many slices they cover, pressed ones counted singly [-]
        raw_mean_mm: plain mean offset of those slices; None without readings [mm]
        offset_mm: best estimate for the next slice [mm]
        standard_error_mm: of that estimate [mm]
        interval_mm: confidence interval of the offset [mm]
        next_mm: prediction interval of the next slice's offset [mm]
        kerf_mm: true kerf, the allowance less the offset [mm]
        kerf_interval_mm: its confidence interval [mm]
        confidence: of both kinds of interval [-]
        basis: what it rests on
        own_share: how much its own readings count, 0 to 1 [-]
        slope: change of measured per change of set; 1 unless readings speak against it [-]
        set_mm: setting at which the offset is stated; matters only when the slope is not 1 [mm]
    """

    species: str
    blade: str | None
    readings: int
    slices: int
    raw_mean_mm: float | None
    offset_mm: float
    standard_error_mm: float | None
    interval_mm: tuple[float, float] | None
    next_mm: tuple[float, float] | None
    kerf_mm: float
    kerf_interval_mm: tuple[float, float] | None
    confidence: float
    basis: Basis
    own_share: float
    slope: float = 1.0
    set_mm: float = 0.0
    _next: Mixture | None = field(default=None, repr=False, compare=False)

    @property
    def rests_on(self) -> str:
        """What the estimate rests on, in words."""
        words: str = self.basis.value
        return f"{words}, its own counting {self.own_share:.0%}" if self.basis is Basis.SHARED else words

    def expected_mm(self, set_mm: float) -> float:
        """Thickness to expect at a setting.

        Args:
            set_mm: what is dialled beyond the kerf allowance [mm]

        Source: own derivation: slice = set + offset, the offset changing with the setting only if the slope is not 1.
        """
        return set_mm + self.offset_mm + (self.slope - 1.0) * (set_mm - self.set_mm)

    def chance_between(self, set_mm: float, low_mm: float, high_mm: float) -> float | None:
        """Chance that the next slice falls between two limits; None where the spread is not known yet.

        Args:
            set_mm: what is dialled beyond the kerf allowance [mm]
            low_mm: lower limit [mm]
            high_mm: upper limit [mm]

        Source: prediction distribution of `mixed.Fit.distribution`.
        """
        if self._next is None:
            return None
        shift = self.expected_mm(set_mm) - self.offset_mm
        return self._next.below(high_mm - shift) - self._next.below(low_mm - shift)


class Learner:
    """Holds the fitted model and makes an estimate for any species and blade."""

    def __init__(
        self,
        observations: Sequence[Observation],
        allowance_mm: float,
        given_offset_mm: float,
        confidence: float,
        slope: SlopeTest | None,
    ) -> None:
        self.rows = observations
        self.allowance_mm, self.given_offset_mm, self.confidence = allowance_mm, given_offset_mm, confidence
        self.species = {name: place for place, name in enumerate(dict.fromkeys(row.species for row in observations))}
        self.blades = {name: place for place, name in enumerate(dict.fromkeys(row.blade for row in observations))}
        self.slope = slope if slope is not None and slope.use_line else None
        self.fit: Fit | None = None
        self.made: dict[tuple[str, str | None], OffsetEstimate] = {}

    def solve(self, least_sd: float, *, allow_drift: bool) -> None:
        """Fit the model."""
        import numpy as np

        slices = np.array([row.slices for row in self.rows], dtype=float)
        sets = np.array([row.set_mm for row in self.rows])
        self.mean_set_mm = float(np.average(sets, weights=slices))
        self.design = Design(
            blades=np.array([self.blades[row.blade] for row in self.rows]),
            species=np.array([self.species[row.species] for row in self.rows]),
            slices=slices,
            excess=sets - self.mean_set_mm if self.slope else None,
            time=self._time() if allow_drift else None,
        )
        self.fit = fit(self.design, np.array([row.offset_mm for row in self.rows]), least_sd=least_sd)

    def _time(self) -> Array | None:
        """Cuts since the blade's first reading, scaled; None where drift cannot be looked for."""
        import numpy as np

        orders = [row.order for row in self.rows if row.order is not None]
        if len(self.rows) < FEWEST_FOR_DRIFT or len(orders) < len(self.rows):
            return None
        self.first: dict[str | None, float] = {}
        self.last: dict[str | None, float] = {}
        for row, order in zip(self.rows, orders, strict=True):
            self.first[row.blade] = min(order, self.first.get(row.blade, order))
            self.last[row.blade] = max(order, self.last.get(row.blade, order))
        cuts = np.array([order - self.first[row.blade] for row, order in zip(self.rows, orders, strict=True)])
        self.mean_cut, self.cut_sd = float(cuts.mean()), float(cuts.std())
        return (cuts - self.mean_cut) / self.cut_sd if self.cut_sd > 0 else None

    def drift(self) -> Mixture | None:
        """Distribution of the change per cut."""
        if self.fit is None or self.design.time is None or not self.fit.df:
            return None
        row = self.design.row(0, None, time=1.0 / self.cut_sd)
        row[0] = 0.0
        return self.fit.distribution(row, level=False)

    def estimate(self, species: str, blade: str | None) -> OffsetEstimate:
        """Estimate for one species and blade; None also means the only blade there is."""
        if blade is None and len(self.blades) == 1:
            blade = next(iter(self.blades))
        if (species, blade) not in self.made:
            self.made[species, blade] = self._estimate(species, blade)
        return self.made[species, blade]

    def _estimate(self, species: str, blade: str | None) -> OffsetEstimate:
        own = [row for row in self.rows if row.species == species and row.blade == blade]
        slices = sum(row.slices for row in own)
        at_set = sum(row.set_mm * row.slices for row in own) / slices if own else getattr(self, "mean_set_mm", 0.0)
        basis, share = self._basis(blade, slices)
        expected, following, centre = self._distributions(species, blade, at_set)
        known = expected is not None and following is not None
        interval = expected.interval(self.confidence) if expected and known else None
        return OffsetEstimate(
            species=species,
            blade=blade,
            readings=len(own),
            slices=slices,
            raw_mean_mm=sum(row.offset_mm * row.slices for row in own) / slices if own else None,
            offset_mm=centre,
            standard_error_mm=expected.standard_error if expected else None,
            interval_mm=interval,
            next_mm=following.interval(self.confidence) if following else None,
            kerf_mm=self.allowance_mm - centre,
            kerf_interval_mm=(self.allowance_mm - interval[1], self.allowance_mm - interval[0]) if interval else None,
            confidence=self.confidence,
            basis=basis,
            own_share=share,
            slope=self.slope.slope if self.slope else 1.0,
            set_mm=at_set,
            _next=following,
        )

    def _basis(self, blade: str | None, slices: int) -> tuple[Basis, float]:
        """What the estimate rests on, and how much its own readings count in it."""
        if self.fit is None:
            return Basis.GIVEN, 0.0
        if blade not in self.blades:
            return Basis.OTHER_BLADES, 0.0
        if not slices:
            return Basis.OTHERS, 0.0
        share = 1.0 if len(self.species) == 1 else self.fit.own_share(slices)
        return (Basis.OWN if share >= MOSTLY_OWN else Basis.SHARED), share

    def _distributions(
        self, species: str, blade: str | None, set_mm: float
    ) -> tuple[Mixture | None, Mixture | None, float]:
        """Distributions of the expected offset and of the next slice's, and the best estimate."""
        if self.fit is None:
            return None, None, self.given_offset_mm
        place, unseen = self.species.get(species), species not in self.species
        rows = [
            self.design.row(self.blades[name], place, excess=set_mm - self.mean_set_mm, time=self._next_time(name))
            for name in ([blade] if blade in self.blades else self.blades)
        ]
        row = sum(rows[1:], rows[0]) / len(rows)
        expected = self.fit.distribution(row, species_unseen=unseen)
        untold = unseen and len(self.species) < FEWEST_SPECIES
        if not self.fit.df or blade not in self.blades or untold:
            return None, None, expected.mean
        return expected, self.fit.distribution(row, species_unseen=unseen, slices=1), expected.mean

    def _next_time(self, blade: str | None) -> float:
        """The cut after the blade's last reading, in the units of the model."""
        if self.design.time is None:
            return 0.0
        return (self.last[blade] - self.first[blade] + 1 - self.mean_cut) / self.cut_sd
