"""A straight-line model with species as random effects, averaged over how much the species differ.

The model: reading = blade (+ excess slope x set) + species (+ drift x time) + slice error / sqrt(slices).
Blade and slope are free; species effects and drift are normal with unknown spread.
That spread is not fixed at one value, which would make few readings look surer than they are: the answers are averaged
over it.

Sources: the equations solved are C. R. Henderson's mixed-model equations (Searle, Casella & McCulloch, *Variance
Components*, 1992, ch. 7, from memory); the weight of each spread is its restricted likelihood times a prior that is
level in the share of the variance it takes (M. J. Daniels, "A prior for the variance in hierarchical models",
*Canadian Journal of Statistics* 27:567-578, 1999, from memory). With many species it tends to the restricted maximum
likelihood estimate.
"""

from __future__ import annotations

from dataclasses import dataclass

from sheetkit.trade.arrays import Array, Places

SPECIES_NODES = 20
DRIFT_NODES = 4
NO_DRIFT = 1e-9
NEGLIGIBLE = 1e-7
SMALLEST_SD = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Mixture:
    """A quantity's distribution: a weighted mean of Student's t distributions.

    Attributes:
        weights: of the parts, shape (k,), sum 1 [-]
        centres: shape (k,) [mm]
        scales: shape (k,), > 0 [mm]
        df: degrees of freedom of every part [-]
    """

    weights: Array
    centres: Array
    scales: Array
    df: int

    @property
    def mean(self) -> float:
        """Mean of the distribution [mm]."""
        return float(self.weights @ self.centres)

    @property
    def standard_error(self) -> float:
        """Standard deviation, each part taken by its scale, which stays finite for few readings [mm]."""
        return float((self.weights @ (self.scales**2 + (self.centres - self.mean) ** 2)) ** 0.5)

    def below(self, value: float) -> float:
        """Chance of a value no greater than this.

        Args:
            value: the limit [mm]

        Source: definition of a mixture; Student's t from scipy.
        """
        from scipy.special import stdtr

        return float(self.weights @ stdtr(self.df, (value - self.centres) / self.scales))

    def quantile(self, chance: float) -> float:
        """Value that is exceeded with probability 1 - chance, by halving the interval that must hold it.

        Args:
            chance: between 0 and 1 [-]

        Source: definition; the quantile of a mixture lies between the least and the greatest quantile of its parts.
        """
        from scipy.special import stdtrit

        ends = self.centres + self.scales * stdtrit(self.df, chance)
        low, high = float(ends.min()), float(ends.max())
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.below(middle) < chance else (low, middle)
        return 0.5 * (low + high)

    def interval(self, confidence: float) -> tuple[float, float]:
        """Limits with equal chance beyond each.

        Args:
            confidence: between 0 and 1 [-]

        Source: definition.
        """
        return self.quantile(0.5 - confidence / 2), self.quantile(0.5 + confidence / 2)


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """What is known of each reading, apart from its value.

    Attributes:
        blades: index of the blade, shape (n,) [-]
        species: index of the species, shape (n,) [-]
        slices: how many slices the reading is the mean of, shape (n,) [-]
        excess: dialled setting less the mean setting, shape (n,); None where the offset does not depend on it [mm]
        time: cuts since the blade was changed, mean 0 and standard deviation 1, shape (n,); None leaves drift out [-]
    """

    blades: Places
    species: Places
    slices: Array
    excess: Array | None = None
    time: Array | None = None

    @property
    def free(self) -> int:
        """Number of coefficients without a prior: the blades, and the slope if there is one."""
        return int(self.blades.max()) + 1 + (self.excess is not None)

    @property
    def groups(self) -> int:
        """Number of species."""
        return int(self.species.max()) + 1

    def row(self, blade: int, species: int | None, *, excess: float = 0.0, time: float = 0.0) -> Array:
        """Multiplier of each coefficient that gives the expected value of one slice.

        Args:
            blade: index of the blade [-]
            species: index of the species; None for one without readings [-]
            excess: setting less the mean setting [mm]
            time: in the units of the field of that name [-]

        Source: definition of the model.
        """
        import numpy as np

        row = np.zeros(self.free + self.groups + (self.time is not None))
        row[blade] = 1.0
        if self.excess is not None:
            row[self.free - 1] = excess
        if species is not None:
            row[self.free + species] = 1.0
        if self.time is not None:
            row[-1] = time
        return row

    def matrix(self) -> Array:
        """One row for each reading, shape (n, p)."""
        import numpy as np

        blades = np.eye(int(self.blades.max()) + 1)[self.blades]
        columns = [blades, self.excess, np.eye(self.groups)[self.species], self.time]
        return np.column_stack([column for column in columns if column is not None])


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """The model's answer for each supposed spread of species and drift.

    Attributes:
        weights: of the supposed spreads, shape (k,), sum 1 [-]
        solutions: coefficients for the values less their level, shape (k, p) [mm]
        inverses: inverse of the equations, shape (k, p, p) [-]
        variances: of one slice, shape (k,) [mm^2]
        ratios: variance between species over that of one slice, shape (k,) [-]
        drifts: variance due to drift over that of one slice, shape (k,) [-]
        level: taken off the values before solving [mm]
        df: degrees of freedom left for the slices' spread; 0 when nothing can be said about it [-]
    """

    weights: Array
    solutions: Array
    inverses: Array
    variances: Array
    ratios: Array
    drifts: Array
    level: float
    df: int

    def distribution(
        self, row: Array, *, species_unseen: bool = False, slices: float | None = None, level: bool = True
    ) -> Mixture:
        """Distribution of a slice's expected value, or of a new slice about it.

        Args:
            row: from `Design.row`, shape (p,) [-]
            species_unseen: the species has no readings, so its own effect is added as unknown
            slices: number of new slices whose mean is meant; None for the expected value alone [-]
            level: add the level that was taken off; not for differences and slopes

        Source: normal theory given the ratios; see the module's sources.
        """
        import numpy as np

        inflation = np.einsum("i,kij,j->k", row, self.inverses, row)
        if species_unseen:
            inflation = inflation + self.ratios
        if slices is not None:
            inflation = inflation + 1.0 / slices
        centres = self.solutions @ row + (self.level if level else 0.0)
        return Mixture(self.weights, centres, np.sqrt(self.variances * inflation), max(1, self.df))

    @property
    def slice_sd(self) -> float:
        """Spread of one slice about its species' expected value [mm]."""
        return float((self.weights @ self.variances) ** 0.5)

    @property
    def species_sd(self) -> float:
        """Spread of the species about the shop's overall value [mm]."""
        import numpy as np

        return float(self.weights @ np.sqrt(self.variances * self.ratios))

    def own_share(self, slices: float) -> float:
        """How much of a species' estimate comes from its own readings.

        Args:
            slices: slices of the species that were measured [-]

        Source: shrinkage factor n / (n + slice variance / species variance) of the one-way random-effects model.
        """
        return float(self.weights @ (slices / (slices + 1.0 / self.ratios)))


def fit(design: Design, values: Array, *, least_sd: float = 0.0) -> Fit:
    """Solve the model for every supposed spread and weigh the answers.

    Args:
        design: blade, species, slices, setting and time of each reading
        values: measured less set, shape (n,) [mm]
        least_sd: spread that the caliper's division alone can hide [mm]

    Source: see the module.
    """
    import numpy as np

    with_drift = design.time is not None
    matrix = design.matrix()
    weighted = matrix * design.slices[:, None]
    level = float(np.average(values, weights=design.slices))
    ratios, drifts, log_prior = _supposed_spreads(with_drift=with_drift)
    equations = matrix.T @ weighted + _penalties(design, ratios, drifts)
    inverses = np.linalg.inv(equations)
    right_side = weighted.T @ (values - level)
    solutions = inverses @ right_side
    df = max(0, len(values) - design.free)
    squares = float(design.slices @ (values - level) ** 2) - solutions @ right_side
    squares = np.maximum(squares, max(least_sd, SMALLEST_SD) ** 2 * max(1, df))
    log_weights = log_prior - 0.5 * np.linalg.slogdet(equations)[1] - 0.5 * design.groups * np.log(ratios)
    log_weights -= 0.5 * df * np.log(squares) + (0.5 * np.log(drifts) if with_drift else 0.0)
    weights = np.exp(log_weights - log_weights.max())
    kept = weights > NEGLIGIBLE
    return Fit(
        weights=weights[kept] / weights[kept].sum(),
        solutions=solutions[kept],
        inverses=inverses[kept],
        variances=squares[kept] / max(1, df),
        ratios=ratios[kept],
        drifts=drifts[kept],
        level=level,
        df=df,
    )


def _supposed_spreads(*, with_drift: bool) -> tuple[Array, Array, Array]:
    """Ratios of variance between species, and due to drift, to that of one slice; log of their prior weight."""
    import numpy as np

    shares, share_weights = _level_on_unit_interval(SPECIES_NODES)
    if not with_drift:
        ratios = shares / (1 - shares)
        return ratios, np.zeros_like(ratios), np.log(share_weights)
    drift_shares, drift_weights = _level_on_unit_interval(DRIFT_NODES)
    drift = np.concatenate([[NO_DRIFT], drift_shares / (1 - drift_shares)])
    drift_prior = np.concatenate([[0.5], 0.5 * drift_weights])
    ratios, drifts = np.meshgrid(shares / (1 - shares), drift, indexing="ij")
    prior = np.outer(share_weights, drift_prior)
    return ratios.ravel(), drifts.ravel(), np.log(prior.ravel())


def _level_on_unit_interval(nodes: int) -> tuple[Array, Array]:
    """Points and weights between 0 and 1, crowded towards both ends: Gauss-Legendre in the angle of sine squared."""
    import numpy as np

    points, weights = np.polynomial.legendre.leggauss(nodes)
    angles = 0.25 * np.pi * (points + 1)
    level = weights * np.sin(2 * angles)
    return np.sin(angles) ** 2, level / level.sum()


def _penalties(design: Design, ratios: Array, drifts: Array) -> Array:
    """Diagonal matrices with one over the supposed ratio for each random coefficient, shape (k, p, p)."""
    import numpy as np

    random = [ratios[:, None]] * design.groups + ([] if design.time is None else [drifts[:, None]])
    diagonal = np.hstack([np.zeros((len(ratios), design.free)), 1.0 / np.hstack(random)])
    return diagonal[:, :, None] * np.eye(diagonal.shape[1])
