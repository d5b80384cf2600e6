"""How many slices to saw beyond those needed, and why."""

from collections.abc import Mapping, Sequence

from sheetkit.job.checking import CheckedSlice
from sheetkit.job.needs import Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.offset import NextSetting
from sheetkit.trade.spares import for_risk, for_share_out, with_share_on_top


def decide_spares(
    needs: Sequence[Need], settings: Mapping[str, NextSetting], checks: Sequence[CheckedSlice], inputs: Inputs
) -> None:
    """Fill in each need's spares.

    Without a risk, the share that Spare slices asks for. With one: the maker's own record, where slices of the need
    were sawn at the setting that will be dialled (those sawn before the dial was corrected say nothing about the next
    ones); else the share that the readings expect out of tolerance; else Spare slices again.

    Args:
        needs: filled in place
        settings: what to dial for each need, by its key
        checks: every slice judged
        inputs: the job's settings
    """
    risk = inputs.job.risk_pct
    for need in needs:
        missing = max(0, need.layers - need.have)
        on_top = with_share_on_top(need.layers, inputs.job.spares_pct / 100.0)
        if risk is None:
            need.spares, need.spares_why = on_top.spares, on_top.reason
            continue
        setting = settings[need.key]
        kept, rejected = _record(need, setting, checks, inputs)
        if kept + rejected:
            decided = for_risk(missing, kept, rejected, risk / 100.0)
        elif setting.chance is not None and setting.chance > 0.0:
            decided = for_share_out(missing, 1.0 - setting.chance, risk / 100.0)
        else:
            decided = on_top
        need.spares, need.spares_why = decided.spares, decided.reason


def _record(need: Need, setting: NextSetting, checks: Sequence[CheckedSlice], inputs: Inputs) -> tuple[int, int]:
    """Good and bad slices of a need that were sawn within a division of the setting to come."""
    near = 1.001 * inputs.shop.dial_division_mm
    mine = [
        item
        for item in checks
        if item.need is not None
        and item.need.species == need.species
        and item.need.finished_mm == need.finished_mm
        and item.slice.mean_mm is not None
        and item.slice.row.set_mm is not None
        and abs(item.slice.row.set_mm - setting.set_mm) <= near
    ]
    kept = sum(item.serves for item in mine)
    return kept, len(mine) - kept
