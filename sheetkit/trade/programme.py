"""A small integer programme: variables, rows, and one objective after another, solved by HiGHS through scipy.

Each objective is settled before the next is looked at (lexicographic). A stop is asked for in search nodes first, since
a clock would stop at another place on another day and a second run must give the same plan; the clock is the backstop.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sheetkit.trade.silence import c_output_dropped

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from scipy.optimize import LinearConstraint

SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver came back with.

    Attributes:
        values: value of each variable in the order they were added; empty when no solution was found [1]
        objective: value of the objective [1]
        bound: no solution can have a smaller objective than this [1]
        proven: whether the solution is shown to be the best, within the gap that was asked for
        infeasible: whether it is shown that there is no solution
    """

    values: tuple[float, ...]
    objective: float
    bound: float
    proven: bool
    infeasible: bool


@dataclass(slots=True)
class Programme:
    """Variables and rows, to be solved for one objective after another.

    Attributes:
        lower: least value of each variable [1]
        upper: greatest value of each variable [1]
        whole: 1 for a variable that must be a whole number, 0 for one that need not [1]
        rows: the factor of each variable, row by row [1]
        row_low: least value of each row [1]
        row_high: greatest value of each row [1]
    """

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    rows: list[dict[int, float]] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)

    def variable(self, upper: float, lower: float = 0.0, whole: bool = True) -> int:
        """Add a variable and give its place."""
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.lower) - 1

    def row(self, factors: Mapping[int, float], low: float = -float("inf"), high: float = float("inf")) -> int:
        """Add a row, low <= sum of factor * variable <= high, and give its place."""
        self.rows.append(dict(factors))
        self.row_low.append(low)
        self.row_high.append(high)
        return len(self.rows) - 1

    def minimise(
        self, objective: Mapping[int, float], *, time_limit_s: float, node_limit: int, relative_gap: float = 0.0
    ) -> Answer:
        """Find values with the smallest objective, or the best found when a limit is reached."""
        import numpy as np
        from scipy.optimize import Bounds, milp

        costs = np.zeros(len(self.lower))
        for place, factor in objective.items():
            costs[place] = factor
        with c_output_dropped():  # HiGHS prints a line by oversight, whatever its options say
            result = milp(
                costs,
                integrality=np.array(self.whole),
                bounds=Bounds(np.array(self.lower), np.array(self.upper)),
                constraints=self._constraints(),
                options={"time_limit": max(time_limit_s, 0.01), "node_limit": node_limit, "mip_rel_gap": relative_gap},
            )
        found, bound = result.get("x"), result.get("mip_dual_bound")
        least = -float("inf") if bound is None else float(bound)
        if found is None:
            return Answer((), float("inf"), least, proven=False, infeasible=result.status == 2)
        values = self._tidied(found)
        value = float(costs @ values)
        proven = result.status == 0
        return Answer(tuple(values.tolist()), value, value if proven and bound is None else least, proven, False)

    def _constraints(self) -> "list[LinearConstraint]":
        import numpy as np
        from scipy.optimize import LinearConstraint
        from scipy.sparse import csr_array

        if not self.rows:
            return []
        lengths = [len(row) for row in self.rows]
        # Places in 32 bits: scipy below 1.15 hands the solver the matrix as it is, and that one takes no others.
        starts = np.concatenate(([0], np.cumsum(lengths))).astype(np.int32)
        places = np.fromiter((place for row in self.rows for place in row), dtype=np.int32, count=int(starts[-1]))
        factors = np.fromiter((row[place] for row in self.rows for place in row), dtype=float, count=int(starts[-1]))
        matrix = csr_array((factors, places, starts), shape=(len(self.rows), len(self.lower)))
        return [LinearConstraint(matrix, np.array(self.row_low), np.array(self.row_high))]

    def _tidied(self, values: "NDArray[np.float64]") -> "NDArray[np.float64]":
        import numpy as np

        return np.where(np.array(self.whole) == 1, np.round(values), values)
