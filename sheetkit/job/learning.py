"""What the readings teach about the dial, wood by wood."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from sheetkit.job.measured import SawnSlice
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.drift import Drift, drift
from sheetkit.trade.offset import Flag, Observation, OffsetEstimate, Offsets, learn

FEWEST_TO_FOLLOW = 30
"""Slices measured one by one from which a clear drift is followed. In fewer, a change of wood half-way looks the same;
own rule."""


@dataclass(frozen=True, slots=True)
class Learned:
    """The offsets learned, and what was left out of them.

    Attributes:
        offsets: from the readings that do not stand apart
        blade: the blade on the saw now; None where blades are not told apart
        apart: slices whose reading stands apart from its wood's others, with how far; left out of the offsets
        with_all: the offsets as they would be with every reading
        used: every slice with a setting and a reading that the offsets rest on, with what it says
        run: change per cut over the whole run; None where the run is short
        followed: the offsets allow for that change and are those of the next cut
    """

    offsets: Offsets
    blade: str | None
    apart: tuple[tuple[SawnSlice, Flag], ...]
    with_all: Offsets
    used: tuple[tuple[SawnSlice, Observation], ...]
    run: Drift | None
    followed: bool

    def of(self, species: str) -> OffsetEstimate:
        """The offset to expect of the next slice of a wood."""
        return self.offsets.of(species, self.blade)


def learn_offsets(slices: Sequence[SawnSlice], inputs: Inputs) -> Learned:
    """Learn the offset of every wood from the measured slices whose setting is known."""
    usable = _observations(slices)
    with_all = _learn([observation for _, observation in usable], inputs)
    apart = {flag.index: flag for flag in with_all.flagged}
    kept = [pair for index, pair in enumerate(usable) if index not in apart]
    run = _drift_of_run([observation for _, observation in kept])
    followed = run is not None and run.clear
    best = with_all if not apart and not followed else _learn([each for _, each in kept], inputs, follow=followed)
    return Learned(
        offsets=best,
        blade=inputs.shop.blade or _last_blade(slices),
        apart=tuple((usable[index][0], flag) for index, flag in sorted(apart.items())),
        with_all=with_all,
        used=tuple(kept),
        run=run,
        followed=followed,
    )


def _observations(slices: Sequence[SawnSlice]) -> list[tuple[SawnSlice, Observation]]:
    found = []
    cut = 0
    for item in slices:
        row, mean_mm = item.row, item.mean_mm
        cut += row.pressed
        if item.species is None or row.set_mm is None or mean_mm is None:
            continue
        observation = Observation(
            species=item.species, blade=row.blade, order=float(cut), set_mm=row.set_mm, slice_mm=mean_mm,
            slices=row.pressed, name=row.slice,
        )  # fmt: skip
        found.append((item, observation))
    return found


def _learn(observations: Sequence[Observation], inputs: Inputs, *, follow: bool = False) -> Offsets:
    shop = inputs.shop
    return learn(
        observations,
        allowance_mm=shop.kerf_allowance_mm,
        given_offset_mm=shop.offset_mm,
        caliper_mm=shop.caliper_mm,
        allow_drift=follow,
    )


def _drift_of_run(observations: Sequence[Observation]) -> Drift | None:
    """Change per cut, each wood and blade about its own mean; None where the run is short.

    What the means use up of the degrees of freedom is not counted, which matters little in a run of this length.
    """
    single = [one for one in observations if one.slices == 1 and one.order is not None]
    if len(single) < FEWEST_TO_FOLLOW:
        return None
    groups: dict[tuple[str, str | None], list[Observation]] = {}
    for one in single:
        groups.setdefault((one.species, one.blade), []).append(one)
    orders: list[float] = []
    values: list[float] = []
    for members in groups.values():
        cuts, offsets = [one.order or 0.0 for one in members], [one.offset_mm for one in members]
        middle_cut, middle = fmean(cuts), fmean(offsets)
        orders += [cut - middle_cut for cut in cuts]
        values += [offset - middle for offset in offsets]
    return drift(orders, values)


def _last_blade(slices: Sequence[SawnSlice]) -> str | None:
    return next((item.row.blade for item in reversed(slices) if item.row.blade), None)
