"""How many slices to saw beyond those needed, and why."""

from collections.abc import Mapping, Sequence

from sheetkit.job.checking import CheckedSlice
from sheetkit.job.learning import Learned
from sheetkit.job.needs import Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.offset import NextSetting
from sheetkit.trade.spares import ToSaw, for_risk, for_share_out, with_share_on_top

ONE_SETTING = 0.999
"""Settings closer than this share of a division are one: where the kerf allowance is not on a mark, the passes of one
setting are dialled less than a division from it."""


def decide_spares(
    needs: Sequence[Need],
    settings: Mapping[str, NextSetting],
    checks: Sequence[CheckedSlice],
    learned: Learned,
    inputs: Inputs,
) -> None:
    """Fill in each need's spares.

    Without a risk, the share that Spare slices asks for. With one: the maker's own record, where slices of the need
    were sawn with the blade now on the saw at the setting that will be dialled (those sawn with another blade, or
    before the dial was corrected, say nothing about the next ones); else the share that the readings expect out of
    tolerance; else Spare slices again. The risk is the job's, shared evenly among the needs that still lack slices.

    Args:
        needs: filled in place
        settings: what to dial for each need, by its key
        checks: every slice judged
        learned: which blade is on the saw
        inputs: the job's settings

    Source: the chance that any need runs short is at most the sum of their chances (Boole's inequality).
    """
    lacking = max(1, sum(need.have < need.layers for need in needs))
    for need in needs:
        decided = with_share_on_top(need.layers, inputs.job.spares_pct / 100.0)
        if inputs.job.risk_pct is not None:
            record = _record(need, settings[need.key], checks, learned.blade, inputs)
            risk = inputs.job.risk_pct / 100.0
            decided = _under_risk(need, settings[need.key].chance, record, risk, lacking) or decided
        need.spares, need.spares_why = decided.spares, decided.reason


def _under_risk(
    need: Need, chance_in: float | None, record: tuple[int, int], risk: float, lacking: int
) -> ToSaw | None:
    """Slices to saw of one need for its share of the risk; None where nothing tells, or no number would do."""
    missing = max(0, need.layers - need.have)
    try:
        if any(record):
            return for_risk(missing, *record, risk / lacking, job_risk=risk)
        return for_share_out(missing, 1.0 - chance_in, risk / lacking, job_risk=risk) if chance_in else None
    except ValueError:
        return None


def _record(
    need: Need, setting: NextSetting, checks: Sequence[CheckedSlice], blade: str | None, inputs: Inputs
) -> tuple[int, int]:
    """Slices of a need that count and that do not, sawn with this blade at the setting to come."""
    near = ONE_SETTING * inputs.shop.dial_division_mm
    mine = [
        item
        for item in checks
        if item.need is not None
        and item.need.species == need.species
        and item.need.finished_mm == need.finished_mm
        and item.slice.mean_mm is not None
        and item.slice.row.blade == blade
        and item.slice.row.set_mm is not None
        and abs(item.slice.row.set_mm - setting.set_mm) < near
    ]
    kept = sum(item.serves for item in mine)
    return kept, len(mine) - kept
