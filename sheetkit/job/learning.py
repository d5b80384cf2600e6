"""What the readings teach about the dial, wood by wood."""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.job.measured import SawnSlice
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.offset import Flag, Observation, OffsetEstimate, Offsets, learn


@dataclass(frozen=True, slots=True)
class Learned:
    """The offsets learned, and what was left out of them.

    Attributes:
        offsets: from the readings that do not stand apart
        blade: the blade on the saw now; None where blades are not told apart
        apart: slices whose reading stands apart from its wood's others, with how far; left out of the offsets
        with_all: the offsets as they would be with every reading
    """

    offsets: Offsets
    blade: str | None
    apart: tuple[tuple[SawnSlice, Flag], ...]
    with_all: Offsets

    def of(self, species: str) -> OffsetEstimate:
        """The offset to expect of the next slice of a wood."""
        return self.offsets.of(species, self.blade)


def learn_offsets(slices: Sequence[SawnSlice], inputs: Inputs) -> Learned:
    """Learn the offset of every wood from the measured slices whose setting is known."""
    told = [(item, item.species, item.row.set_mm, item.mean_mm, order) for order, item in enumerate(slices, start=1)]
    usable = [
        (item, Observation(species=species, blade=item.row.blade, order=float(order), set_mm=set_mm,
                           slice_mm=mean_mm, slices=item.row.pressed, name=item.row.slice))
        for item, species, set_mm, mean_mm, order in told
        if species is not None and set_mm is not None and mean_mm is not None
    ]  # fmt: skip
    with_all = _learn([observation for _, observation in usable], inputs)
    apart = {flag.index: flag for flag in with_all.flagged}
    kept = [observation for index, (_, observation) in enumerate(usable) if index not in apart]
    return Learned(
        offsets=_learn(kept, inputs) if apart else with_all,
        blade=inputs.shop.blade or _last_blade(slices),
        apart=tuple((usable[index][0], flag) for index, flag in sorted(apart.items())),
        with_all=with_all,
    )


def _learn(observations: Sequence[Observation], inputs: Inputs) -> Offsets:
    shop = inputs.shop
    return learn(
        observations,
        allowance_mm=shop.kerf_allowance_mm,
        given_offset_mm=shop.offset_mm,
        caliper_mm=shop.caliper_mm,
    )


def _last_blade(slices: Sequence[SawnSlice]) -> str | None:
    return next((item.row.blade for item in reversed(slices) if item.row.blade), None)
