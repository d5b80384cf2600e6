"""How many slices to saw beyond those needed, and why."""

from collections.abc import Mapping, Sequence

from sheetkit.job.checking import CheckedSlice
from sheetkit.job.learning import Learned
from sheetkit.job.needs import Need
from sheetkit.job.pools import Pool
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.offset import NextSetting
from sheetkit.trade.spares import ToSaw, for_risk, for_share_out, with_share_on_top

ONE_SETTING = 0.999
"""Settings closer than this share of a division are one: where the kerf allowance is not on a mark, the passes of one
setting are dialled less than a division from it."""

MOST_NAMED = 4


def decide_spares(
    pools: Sequence[Pool],
    settings: Mapping[str, NextSetting],
    checks: Sequence[CheckedSlice],
    learned: Learned,
    inputs: Inputs,
) -> None:
    """Fill in the spares; those of needs whose slices serve one another are reckoned together.

    Without a risk, the share that Spare slices asks for. With one: the maker's own record, where slices of the need
    were sawn with the blade now on the saw at the setting that will be dialled (those sawn with another blade, or
    before the dial was corrected, say nothing about the next ones); else the share that the readings expect out of
    tolerance; else Spare slices again. The risk is the job's, shared evenly among the pools that still lack slices.

    Args:
        pools: needs whose slices serve one another; filled in place
        settings: what to dial for each need, by its key
        checks: every slice judged
        learned: which blade is on the saw
        inputs: the job's settings

    Source: the chance that any pool runs short is at most the sum of their chances (Boole's inequality). Within a pool
    the panels run short only together, when fewer good slices come out than all of them need.
    """
    lacking = max(1, sum(_missing(pool) > 0 for pool in pools))
    for pool in pools:
        need = pool[0]
        parts = [each.layers for each in pool]
        decided = with_share_on_top(sum(parts), inputs.job.spares_pct / 100.0)
        if inputs.job.risk_pct is not None:
            record = _record(need, settings[need.key], checks, learned.blade, inputs)
            risk = inputs.job.risk_pct / 100.0
            under_risk = _under_risk(_missing(pool), settings[need.key].chance, record, risk, lacking)
            if under_risk is not None:
                decided, parts = under_risk, [max(0, each.layers - each.have) for each in pool]
        for each, spares in zip(pool, _dealt_out(decided.spares, parts), strict=True):
            each.spares, each.spares_why = spares, f"reckoned together with those of panel {need.panel}"
        need.spares_why = _together(pool) + decided.reason


def _missing(pool: Pool) -> int:
    return sum(max(0, need.layers - need.have) for need in pool)


def _dealt_out(spares: int, parts: Sequence[int]) -> list[int]:
    """Spares by the largest remainder, so that each panel bears its part of what they cost; the first of equals first.

    >>> _dealt_out(3, [20, 20]), _dealt_out(1, [2, 4]), _dealt_out(0, [0, 0])
    ([2, 1], [0, 1], [0, 0])
    """
    whole = max(1, sum(parts))
    dealt = [spares * part // whole for part in parts]
    by_rest = sorted(range(len(parts)), key=lambda place: -(spares * parts[place] % whole))
    for place in by_rest[: spares - sum(dealt)]:
        dealt[place] += 1
    return dealt


def _together(pool: Pool) -> str:
    """Which panels the spares are for, where there are several."""
    names = [need.panel for need in pool]
    if len(names) > MOST_NAMED:
        names = [*names[: MOST_NAMED - 1], f"{len(names) - MOST_NAMED + 1} more"]
    return f"for panels {', '.join(names[:-1])} and {names[-1]} together, " if len(names) > 1 else ""


def _under_risk(
    missing: int, chance_in: float | None, record: tuple[int, int], risk: float, lacking: int
) -> ToSaw | None:
    """Slices to saw of one pool for its share of the risk; None where nothing tells, or no number would do."""
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
    kept = sum(item.serves and item.need is not None and item.need.tolerance_mm <= need.tolerance_mm for item in mine)
    return kept, len(mine) - kept
