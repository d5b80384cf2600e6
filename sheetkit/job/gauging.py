"""Whether the caliper will do: the repeat readings, and how sure one reading is."""

from collections.abc import Sequence
from dataclasses import dataclass

from sheetkit.job.needs import Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.gauge import Repeat, Study, study
from sheetkit.trade.thickness import reading_uncertainty


@dataclass(frozen=True, slots=True)
class Gauging:
    """What is known of the caliper.

    Attributes:
        readings: repeat readings
        slices: how many slices they are of
        hands: how many persons and tools took part
        study: what they say; None where no slice was read twice by one hand
        tolerance_mm: the tightest tolerance of the job, either way; None without a layer
        repeatability_mm: used beside the caliper's division, 0 where nothing is known of it
        given: that one is the Shop's setting
        uncertainty_mm: standard uncertainty of one reading
    """

    readings: int
    slices: int
    hands: int
    study: Study | None
    tolerance_mm: float | None
    repeatability_mm: float
    given: bool
    uncertainty_mm: float


def gauging(needs: Sequence[Need], inputs: Inputs) -> Gauging:
    """Judge the caliper. The Shop's setting wins over the repeat readings."""
    repeats = [
        Repeat(slice=row.slice.strip().casefold(), hand=_hand(row.person, row.tool), reading_mm=reading)
        for row in inputs.repeats
        for reading in row.readings_mm or ()
    ]
    found = study(repeats)
    told = inputs.shop.repeatability_mm
    repeatability = told if told is not None else found.measuring_mm if found else 0.0
    return Gauging(
        readings=len(repeats),
        slices=len({one.slice for one in repeats}),
        hands=len({one.hand for one in repeats}),
        study=found,
        tolerance_mm=min((need.tolerance_mm for need in needs), default=None),
        repeatability_mm=repeatability,
        given=told is not None,
        uncertainty_mm=reading_uncertainty(inputs.shop.caliper_mm, repeatability),
    )


def _hand(person: str | None, tool: str | None) -> str:
    return ", ".join(word.strip().casefold() for word in (person, tool) if word)
