"""What each panel costs in wood, glue, blade and work; what has no price is left out and said."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from sheetkit.job.boards import BoardState
from sheetkit.job.calendar import Calendar, Sawing, calendar_of
from sheetkit.job.charges import NO_PANEL, BoardCharge, BoardPrice, board_charges
from sheetkit.job.checking import CheckedSlice
from sheetkit.job.gluing import Gluing, PanelGluing
from sheetkit.job.layers import PanelToMake
from sheetkit.job.needs import Need
from sheetkit.job.piece_costs import PieceCost, known_sum, piece_costs
from sheetkit.job.pieces import Pieces
from sheetkit.job.planning import PlannedPass, WorkPlan
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.schema import SHOP, SPECIES, STOCK
from sheetkit.tables.settings import Shop
from sheetkit.trade.cost import (
    blade_wear,
    board_feet,
    cutting_time,
    per_good_piece,
    price_at_margin,
    slice_cost,
    with_share_of_setup,
)

HOUR_S = 3600.0


@dataclass(frozen=True, slots=True)
class PanelTime:
    """Time on all copies of one panel; None where a figure it needs is not given.

    Attributes:
        passes: passes of the saw
        slices: slices that these give
        sawn_length_mm: length they saw
        cutting_s: in the cut
        handling_s: at the saw besides
        measuring_s: reading the slices
        setup_s: its share of the set-up
        gluing_s: from the first spread to full pressure, all glue-ups
        other_s: all other work
        clamped_s: waiting under pressure, nobody working, the copies one after another
        rest_days: rest before machining
    """

    passes: int
    slices: int
    sawn_length_mm: float | None
    cutting_s: float | None
    handling_s: float | None
    measuring_s: float | None
    setup_s: float | None
    gluing_s: float | None
    other_s: float | None
    clamped_s: float | None
    rest_days: float | None

    @property
    def working_s(self) -> float:
        """Work, as far as it is known."""
        parts = (self.cutting_s, self.handling_s, self.measuring_s, self.setup_s, self.gluing_s, self.other_s)
        return known_sum(parts) or 0.0


@dataclass(frozen=True, slots=True)
class PanelCost:
    """What all copies of one panel cost; None where there is no price.

    Attributes:
        panel: the panel
        time: time it takes
        glue_g: glue to mix, None where the panel's size is not known
        wood: of the boards that have a price
        glue: of all glue mixed
        blade: wear
        work: of the working time that is known
        overhead: on the four
        lost_share: share of the panels that turn out badly
        margin_share: share of the price that should be left, None where none is given
    """

    panel: PanelToMake
    time: PanelTime
    glue_g: float | None
    wood: float | None
    glue: float | None
    blade: float | None
    work: float | None
    overhead: float | None
    lost_share: float
    margin_share: float | None

    @property
    def cost(self) -> float | None:
        """All that has a price."""
        return known_sum((self.wood, self.glue, self.blade, self.work, self.overhead))

    @property
    def each(self) -> float | None:
        """Cost of one copy, good or not."""
        return None if self.cost is None or not self.panel.copies else self.cost / self.panel.copies

    @property
    def good(self) -> float | None:
        """Cost of one copy that turns out well."""
        return None if self.each is None else per_good_piece(self.each, self.lost_share)

    @property
    def good_s(self) -> float:
        """Working time of one copy that turns out well."""
        return per_good_piece(self.time.working_s / self.panel.copies, self.lost_share) if self.panel.copies else 0.0

    @property
    def price(self) -> float | None:
        """Price that leaves the margin, None without one."""
        if self.good is None or self.margin_share is None:
            return None
        return price_at_margin(self.good, self.margin_share)


@dataclass(frozen=True, slots=True)
class SliceCost:
    """What one slice for a need costs in wood of one board, kerf included; means where rounding makes passes differ.

    Attributes:
        need: what it is for
        board: the board that it comes from
        slice_mm: thickness to expect
        used_mm: what a pass uses up of the board
        layers: layers that it gives
        money: its cost, None where a board has no price
    """

    need: Need
    board: str
    slice_mm: float
    used_mm: float
    layers: float
    money: float | None


@dataclass(frozen=True, slots=True)
class WoodBalance:
    """Where the wood of one species goes.

    Attributes:
        species: label of the wood
        used_mm3: charged to the job; None where the size of a board is not known
        net_mm3: in the panels as finished, all copies; None where the size of a panel is not known
    """

    species: str
    used_mm3: float | None
    net_mm3: float | None


@dataclass(frozen=True, slots=True)
class Costing:
    """Cost and time of the job.

    Attributes:
        charges: every board that is opened, panel by panel
        panels: panel by panel
        pieces: piece by piece
        slices: what a slice costs, need by need; empty where none is sawn or planned
        balances: where the wood goes, wood by wood
        calendar: the earliest day of each stage
        not_costed: what is left out, and what it lacks
    """

    charges: tuple[BoardCharge, ...]
    panels: tuple[PanelCost, ...]
    pieces: tuple[PieceCost, ...]
    slices: tuple[SliceCost, ...]
    balances: tuple[WoodBalance, ...]
    calendar: Calendar
    not_costed: tuple[str, ...]


def costing_of(
    needs: Sequence[Need],
    checks: Sequence[CheckedSlice],
    states: Mapping[str, BoardState],
    plan: WorkPlan,
    gluing: Gluing,
    pieces: Pieces,
    inputs: Inputs,
) -> Costing:
    """Work out what every panel costs.

    Args:
        needs: what the panels need, with the slices that serve
        checks: every slice judged
        states: what is left of each board, by name
        plan: what is still to be sawn
        gluing: how the panels are glued up
        pieces: what is made from them
        inputs: the maker's rows and settings
    """
    charges = tuple(board_charges(needs, checks, states, plan, inputs))
    copies = sum(item.panel.copies for item in gluing.panels)
    panels = tuple(_panel(item, charges, copies, inputs) for item in gluing.panels)
    costed = tuple(piece_costs(pieces, {item.panel.name: (item.good, item.good_s) for item in panels}, inputs))
    return Costing(
        charges=charges,
        panels=panels,
        pieces=costed,
        slices=tuple(_slices(needs, plan, charges)),
        balances=tuple(_balances(charges, panels)),
        calendar=calendar_of(_sawing(checks, states, plan), gluing, _panel_work(panels), costed, inputs),
        not_costed=tuple(_not_costed(charges, panels, costed, inputs)),
    )


def _panel(item: PanelGluing, charges: Sequence[BoardCharge], pieces: int, inputs: Inputs) -> PanelCost:
    shop, job, copies = inputs.shop, inputs.job, item.panel.copies
    mine = [charge for charge in charges if charge.panel == item.panel.name]
    time = _time(item, mine, pieces, shop)
    glue_g = None if item.mix is None else item.mix.to_mix_g * copies
    parts = (known_sum(charge.money for charge in mine), _glue(glue_g, shop), _blade(time, shop), _work(time, shop))
    known = known_sum(parts)
    overhead = None if known is None or shop.overhead_pct is None else known * shop.overhead_pct / 100.0
    lost, margin = (job.lost_pct or 0.0) / 100.0, None if job.margin_pct is None else job.margin_pct / 100.0
    return PanelCost(item.panel, time, glue_g, *parts, overhead, lost, margin)


def _time(item: PanelGluing, charges: Sequence[BoardCharge], pieces: int, shop: Shop) -> PanelTime:
    copies = item.panel.copies
    passes, slices = sum(charge.passes for charge in charges), sum(charge.slices for charge in charges)
    lengths = [charge.sawn_length_mm for charge in charges]
    length = None if None in lengths else sum(length for length in lengths if length is not None)
    ups = item.stages.times
    glued = bool(ups) or not item.lines
    return PanelTime(
        passes=passes,
        slices=slices,
        sawn_length_mm=length,
        cutting_s=None if length is None or shop.feed_mm_s is None else cutting_time(length, shop.feed_mm_s),
        handling_s=None if shop.pass_s is None else passes * shop.pass_s,
        measuring_s=None if shop.measure_s is None else slices * shop.measure_s,
        setup_s=None if shop.setup_s is None or not pieces else copies * with_share_of_setup(0.0, shop.setup_s, pieces),
        gluing_s=copies * sum(up.closed_s for up in ups) if glued else None,
        other_s=None if shop.panel_work_s is None else copies * shop.panel_work_s,
        clamped_s=copies * len(ups) * shop.clamp_time_s if glued else None,
        rest_days=item.water.rest_days,
    )


def _glue(glue_g: float | None, shop: Shop) -> float | None:
    if glue_g is None or shop.glue_price is None or not shop.glue_bottle_ml:
        return None
    return glue_g / shop.glue_density_g_ml / shop.glue_bottle_ml * shop.glue_price


def _blade(time: PanelTime, shop: Shop) -> float | None:
    if time.cutting_s is None or shop.blade_price is None or not shop.blade_life_s:
        return None
    return blade_wear(time.cutting_s, shop.blade_life_s, shop.blade_price)


def _work(time: PanelTime, shop: Shop) -> float | None:
    return None if shop.labour_rate is None else time.working_s / HOUR_S * shop.labour_rate


def _slices(needs: Sequence[Need], plan: WorkPlan, charges: Sequence[BoardCharge]) -> Iterable[SliceCost]:
    prices = {charge.board.board: charge.price for charge in charges}
    for need in needs:
        mine = [item for item in plan.passes if item.need is need]
        for board in dict.fromkeys(item.board for item in mine):
            coming = [item for item in mine if item.board == board]
            money = _all_of([_slice(item, prices[board]) for item in coming])
            yield SliceCost(
                need,
                board,
                fmean(item.expected_mm for item in coming),
                fmean(item.advance_mm for item in coming),
                fmean(item.layers for item in coming),
                None if money is None else money / len(coming),
            )


def _slice(item: PlannedPass, price: BoardPrice) -> float | None:
    """One slice with its kerf; every slice has its board's length and width, so that these need not be known."""
    if price.money is None:
        return None
    per_board_foot = price.money / board_feet(1.0, 1.0, price.board.thickness_mm)
    return slice_cost(1.0, 1.0, item.set_mm, item.advance_mm - item.set_mm, per_board_foot)


def _balances(charges: Sequence[BoardCharge], panels: Sequence[PanelCost]) -> Iterable[WoodBalance]:
    for species in dict.fromkeys(charge.board.species for charge in charges):
        used = [_used_mm3(charge) for charge in charges if charge.board.species == species]
        net = [_net_mm3(item.panel, species) for item in panels]
        yield WoodBalance(species, _all_of(used), _all_of(net))


def _used_mm3(charge: BoardCharge) -> float | None:
    board = charge.board
    if board.length_mm is None or board.width_mm is None:
        return None
    return board.length_mm * board.width_mm * board.thickness_mm * charge.used_share * charge.share


def _net_mm3(panel: PanelToMake, species: str) -> float | None:
    layers = [layer.finished_mm for layer in panel.layers if layer.species == species]
    if layers and (panel.length_mm is None or panel.width_mm is None):
        return None
    return panel.copies * sum(layers) * (panel.length_mm or 0.0) * (panel.width_mm or 0.0)


def _not_costed(
    charges: Sequence[BoardCharge], panels: Sequence[PanelCost], pieces: Sequence[PieceCost], inputs: Inputs
) -> Iterable[str]:
    """What is left out, in the maker's words."""
    shop, shop_tab = inputs.shop, inputs.sheets.get(SHOP.name, SHOP.name)
    feed = ("Feed speed", shop.feed_mm_s)
    yield from _boards_without_price(charges, inputs)
    if any(charge.panel == NO_PANEL for charge in charges):
        yield "wood of slices that no panel wants: it stands in the table of boards, but in no panel"
    if any(item.glue_g is None for item in panels):
        yield "glue of panels whose length and width are not known"
    lacking = [
        ("glue", (("Glue price", shop.glue_price), ("Glue in a bottle", shop.glue_bottle_ml))),
        ("blade", (("Blade price", shop.blade_price), ("Blade life", shop.blade_life_s), feed)),
        ("work", (("Labour rate", shop.labour_rate),)),
        ("time in the cut", (feed,)),
        ("time at the saw besides", (("Time per pass", shop.pass_s),)),
        ("measuring", (("Time to measure a slice", shop.measure_s),)),
        ("set-up", (("Set-up time", shop.setup_s),)),
        ("all other work", (("Work per panel", shop.panel_work_s),)),
        ("overhead", (("Overhead", shop.overhead_pct),)),
        *([("work on pieces", (("Work per piece", shop.piece_work_s),))] if pieces else []),
    ]  # fmt: skip
    for what, settings in lacking:
        missing = [name for name, value in settings if value is None]
        if missing:
            yield f"{what} ({' and '.join(missing)} on {shop_tab})"
    if shop.feed_mm_s is not None and any(item.time.sawn_length_mm is None for item in panels):
        yield "time in the cut of boards whose length is not known (Length on Stock)"
    if any(item.time.gluing_s is None for item in panels):
        yield "gluing of panels of which not one line can be closed in time (see Glue-up)"


def _boards_without_price(charges: Sequence[BoardCharge], inputs: Inputs) -> Iterable[str]:
    stock = inputs.sheets.get(STOCK.name, STOCK.name)
    boards = {charge.board.board: charge.price for charge in charges if charge.price.money is None}
    bare = [name for name, price in boards.items() if price.by_wood is None]
    sizeless = [name for name, price in boards.items() if price.by_wood is not None]
    if bare:
        yield (
            f"wood of {', '.join(bare)} (Price on {stock} for the board, or Price on {SPECIES.name} for a board foot)"
        )
    if sizeless:
        yield f"wood of {', '.join(sizeless)} (Length and Width on {stock}, since it is priced by the board foot)"


def _sawing(checks: Sequence[CheckedSlice], states: Mapping[str, BoardState], plan: WorkPlan) -> Sawing:
    """What is still to be sawn and to be measured."""
    boards = [states[item.board] for item in plan.passes]
    boards += [states[name] for name in dict.fromkeys(item.board for item in plan.passes) if not states[name].started]
    lengths = [state.board.length_mm for state in boards]
    unread = sum(not item.slice.readings_mm for item in checks)
    return Sawing(len(boards), _all_of(lengths), len(plan.passes) + unread)


def _panel_work(panels: Sequence[PanelCost]) -> dict[str, float | None]:
    """Work on each panel once its slices are measured, all copies, as far as it is known."""
    return {item.panel.name: known_sum((item.time.gluing_s, item.time.other_s)) for item in panels}


def _all_of(amounts: Sequence[float | None]) -> float | None:
    """Sum of all, None where one is not known."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if len(known) == len(amounts) else None
