"""How steady the sawing is: the slices of one wood and layer thickness in the order of sawing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sheetkit.job.boards import BoardState
from sheetkit.job.checking import CheckedSlice
from sheetkit.job.learning import Learned
from sheetkit.job.measured import SawnSlice
from sheetkit.job.needs import Need
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.capability import Capability, capability
from sheetkit.trade.control import Individuals, Signal, individuals, signals
from sheetkit.trade.drift import Drift, drift, first_out
from sheetkit.trade.enough import FEWEST_FOR_SPREAD, Missing, missing
from sheetkit.trade.exact import total_mm
from sheetkit.trade.slicing import slices_from_usable
from sheetkit.trade.thickness import Batch, batch
from sheetkit.trade.tolerance_interval import ToleranceInterval, tolerance_interval
from sheetkit.trade.variance import Split, split

SAME_MM = 1e-6
"""Two settings or two targets closer than this are one."""


@dataclass(frozen=True, slots=True)
class Run:
    """Slices of one wood, layer thickness and blade, and what they say.

    Where the setting was changed on the way, each slice is restated to the last setting: what it would have measured
    had that been set, which is what the slices to come go by.

    Attributes:
        species: the wood
        blade: which blade sawed them; None where blades are not told apart
        target_mm: thickness wanted, as sawn
        tolerance_mm: how far off it a slice may be, either way; the tightest of its layers
        layers: the most layers of the kind in one panel
        slices: measured one by one, in the order of sawing
        orders: number of each slice's cut in the run, gaps allowed
        values_mm: mean thickness of each, restated where the setting changed
        set_mm: the setting they are restated to; None where nothing had to be restated
        pressed: slices read in pressed stacks, which are in none of the figures
        unset: names of slices whose setting is not known, left out because the setting changed
        apart: names of slices that stand apart from their wood's others; they are in all the figures
        without_apart: capability without them; None where none stands apart, or too few are left
        chart: control limits; None with fewer than two slices
        signals: run rules that are broken
        drift: line through the run; None with fewer than three slices
        now: the blade is the one on the saw now, so that the run tells of slices to come
        first_out: name that the first coming slice beyond a limit would have; empty where none is in sight, where the
            board is used up before, and where the run is of another blade
        used_up: a slice beyond a limit is in sight, but not before the board is used up
        split: spread within slices and between them; None without repeat readings on a slice
        capability: against the tolerance; None with too few slices
        interval: within which 95 % of all slices lie, at 95 % confidence; None with too few slices
        missing: what cannot be said yet
        batch: mean, thinnest, range, spread and bias
    """

    species: str
    blade: str | None
    target_mm: float
    tolerance_mm: float
    layers: int
    slices: tuple[SawnSlice, ...]
    orders: tuple[float, ...]
    values_mm: tuple[float, ...]
    set_mm: float | None
    pressed: int
    unset: tuple[str, ...]
    apart: tuple[str, ...]
    without_apart: Capability | None
    chart: Individuals | None
    signals: tuple[Signal, ...]
    drift: Drift | None
    now: bool
    first_out: str
    used_up: bool
    split: Split | None
    capability: Capability | None
    interval: ToleranceInterval | None
    missing: tuple[Missing, ...]
    batch: Batch

    @property
    def lower_mm(self) -> float:
        """Thinnest a slice may be."""
        return self.target_mm - self.tolerance_mm

    @property
    def upper_mm(self) -> float:
        """Thickest a slice may be."""
        return self.target_mm + self.tolerance_mm


def runs(
    checks: Sequence[CheckedSlice],
    learned: Learned,
    states: Mapping[str, BoardState],
    copies: Mapping[str, int],
    inputs: Inputs,
) -> list[Run]:
    """Every run with a slice that was measured by itself.

    Args:
        checks: every slice in the order of sawing
        learned: how the slices follow the dial, and which blade is on the saw
        states: what is left of each board, by name
        copies: how many of each panel are made, by its name
        inputs: the maker's rows and settings
    """
    groups: dict[tuple[str, int, str | None], list[tuple[SawnSlice, Need]]] = {}
    for item in checks:
        if item.need is not None and item.slice.mean_mm is not None:
            key = (item.need.species, round(item.need.sawn_mm / SAME_MM), item.slice.row.blade)
            groups.setdefault(key, []).append((item.slice, item.need))
    found = [_run(members, learned, states, copies, inputs) for members in groups.values()]
    return [run for run in found if run is not None]


def _run(
    members: Sequence[tuple[SawnSlice, Need]],
    learned: Learned,
    states: Mapping[str, BoardState],
    copies: Mapping[str, int],
    inputs: Inputs,
) -> Run | None:
    test = learned.offsets.slope
    slope = test.slope if test is not None and test.use_line else 1.0
    apart = {item.row.slice for item, _ in learned.apart}
    needs = [need for _, need in members]
    singles = [item for item, _ in members if item.row.pressed == 1]
    settings = {round(item.row.set_mm / SAME_MM) for item in singles if item.row.set_mm is not None}
    changed = len(settings) > 1
    kept = [item for item in singles if item.row.set_mm is not None or not changed]
    unset = [item for item in singles if item.row.set_mm is None] if changed else []
    if not kept:
        return None
    set_mm = kept[-1].row.set_mm if changed else None
    shifts = [
        slope * (set_mm - item.row.set_mm) if set_mm is not None and item.row.set_mm is not None else 0.0
        for item in kept
    ]
    groups = [[reading + shift for reading in item.readings_mm] for item, shift in zip(kept, shifts, strict=True)]
    values = [sum(readings) / len(readings) for readings in groups]
    target, tolerance = needs[0].sawn_mm, min(need.tolerance_mm for need in needs)
    lower, upper = target - tolerance, target + tolerance
    orders, last_base = _orders(kept)
    chart, line = individuals(values), drift(orders, values, lower, upper)
    others = [value for item, value in zip(kept, values, strict=True) if item.row.slice not in apart]
    now = kept[0].row.blade == learned.blade
    forecast = _forecast(
        kept[-1], line, (orders[-1], last_base), (lower, upper), _left(kept[-1], target, learned, states, inputs)
    )
    hidden = inputs.shop.caliper_mm / 12**0.5
    return Run(
        species=needs[0].species,
        blade=kept[0].row.blade,
        target_mm=target,
        tolerance_mm=tolerance,
        layers=max(need.layers // max(1, copies.get(need.panel, 1)) for need in needs),
        slices=tuple(kept),
        orders=tuple(orders),
        values_mm=tuple(values),
        set_mm=set_mm,
        pressed=sum(item.row.pressed for item, _ in members if item.row.pressed > 1),
        unset=tuple(item.row.slice for item in unset),
        apart=tuple(item.row.slice for item in kept if item.row.slice in apart),
        without_apart=capability(others, lower, upper, least_sd=hidden)
        if tolerance > 0 and len(others) < len(values)
        else None,
        chart=chart,
        signals=signals(chart) if chart else (),
        drift=line,
        now=now,
        first_out=forecast.name if now else "",
        used_up=forecast.used_up and now,
        split=split(groups),
        capability=capability(values, lower, upper, least_sd=hidden) if tolerance > 0 else None,
        interval=tolerance_interval(values) if len(kept) >= FEWEST_FOR_SPREAD else None,
        missing=missing(len(kept)),
        batch=batch(values, target),
    )


def _orders(slices: Sequence[SawnSlice]) -> tuple[list[float], float]:
    """Number of each slice's cut through all boards, and what to take off for the number on the last board."""
    orders: list[float] = []
    base, board = 0.0, ""
    for item in slices:
        name = item.board.board if item.board else ""
        last = orders[-1] if orders else 0.0
        if name != board:
            base, board = last, name
        cut = last + 1 if item.number is None else base + item.number
        orders.append(cut if cut > last else last + 1)
    return orders, base


class _Left(NamedTuple):
    """Numbers of the next and of the last slice that a board can give at the setting it was sawn at last."""

    following: int
    last: int


class _Forecast(NamedTuple):
    name: str
    used_up: bool


def _left(
    item: SawnSlice, target_mm: float, learned: Learned, states: Mapping[str, BoardState], inputs: Inputs
) -> _Left | None:
    state = states.get(item.board.board) if item.board else None
    if state is None:
        return None
    set_mm = item.row.set_mm
    if set_mm is None:
        set_mm = target_mm - learned.of(state.board.species).offset_mm
    advance_mm = total_mm([set_mm, inputs.shop.kerf_allowance_mm])
    passes = slices_from_usable(state.usable_mm, advance_mm) if min(advance_mm, state.usable_mm) > 0 else 0
    return _Left(state.next_number, state.next_number - 1 + passes)


def _forecast(
    item: SawnSlice,
    line: Drift | None,
    place: tuple[float, float],
    limits: tuple[float, float],
    left: _Left | None,
) -> _Forecast:
    """What the first coming slice beyond a limit would be called, were the last slice's board sawn on.

    Args:
        item: the run's last slice
        line: through the run
        place: order of that slice, and what to take off an order for the number on its board
        limits: thinnest and thickest a slice may be
        left: what its board can still give
    """
    last, base = place
    if line is None or not line.clear or left is None or item.board is None:
        return _Forecast("", used_up=False)
    found = first_out(line.intercept, line.slope, max(last, base + left.following - 1), *limits)
    if found is None:
        return _Forecast("", used_up=False)
    number = round(found - base)
    if number > left.last:
        return _Forecast("", used_up=True)
    return _Forecast(f"{item.board.board}-{number}", used_up=False)
