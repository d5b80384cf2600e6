"""What to saw from which board, pass by pass: where the dial must stand and what should come off."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from sheetkit.job.boards import BoardState
from sheetkit.job.learning import Learned
from sheetkit.job.needs import Need
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board
from sheetkit.trade import plan_model
from sheetkit.trade.dial import Dial, dial_positions, turns_and_divisions
from sheetkit.trade.exact import millimetres, nearest_multiple, picometres, total_mm
from sheetkit.trade.offset import NextSetting, next_setting
from sheetkit.trade.plan import plan_cuts
from sheetkit.trade.plan_model import CuttingPlan


@dataclass(frozen=True, slots=True)
class PlannedPass:
    """One pass of the saw still to come.

    Attributes:
        board: the board's name
        number: number the slice will carry on that board
        need: what it is for
        layers: layers it gives
        set_mm: thickness to set beyond the kerf allowance
        advance_mm: how far the fence moves
        position_mm: where the dial stands, counted from the trued face
        turns: whole turns of that position
        divisions: further divisions
        expected_mm: thickness to expect
        interval_mm: where the next slice should fall; None where readings are too few
        left_mm: usable thickness left on the board afterwards
    """

    board: str
    number: int
    need: Need
    layers: int
    set_mm: float
    advance_mm: float
    position_mm: float
    turns: int
    divisions: int
    expected_mm: float
    interval_mm: tuple[float, float] | None
    left_mm: float

    @property
    def slice_name(self) -> str:
        """The name to write on the slice."""
        return f"{self.board}-{self.number}"


@dataclass(frozen=True, slots=True)
class WorkPlan:
    """The cutting plan, and its passes one by one.

    Attributes:
        cuts: what the planner decided, what is short, and how good it is shown to be
        passes: every pass in the order to saw them
        settings: what to dial for each need, by its key
        unmoved: keys of needs whose setting and kerf allowance together are less than one division of the dial, so that
            some pass would not move the fence; they are not planned
    """

    cuts: CuttingPlan
    passes: tuple[PlannedPass, ...]
    settings: Mapping[str, NextSetting]
    unmoved: tuple[str, ...] = ()

    def of_board(self, board: str) -> list[PlannedPass]:
        """The passes of one board."""
        return [item for item in self.passes if item.board == board]


def dial_of(inputs: Inputs) -> Dial:
    """The shop's dial; a turn that is no whole number of divisions is taken as the nearest that is."""
    division = inputs.shop.dial_division_mm
    marks = max(1, nearest_multiple(inputs.shop.dial_turn_mm, division))
    return Dial(division, millimetres(marks * picometres(division)))


def work_plan(
    needs: Sequence[Need],
    states: Mapping[str, BoardState],
    layers: Mapping[tuple[str, str], int],
    settings: Mapping[str, NextSetting],
    learned: Learned,
    inputs: Inputs,
) -> WorkPlan:
    """Plan every slice still to be sawn.

    Args:
        needs: what the panels need, with the slices that already serve
        states: what is left of each board, by name
        layers: layers that a slice gives, by board name and panel name
        settings: what to dial for each need, by its key
        learned: the offsets
        inputs: the maker's rows and settings
    """
    dial = dial_of(inputs)
    allowance = inputs.shop.kerf_allowance_mm
    demands = [
        plan_model.Demand(
            key=need.key, species=need.species, panel=need.panel, target_mm=need.sawn_mm,
            set_mm=settings[need.key].set_mm, advance_mm=total_mm([settings[need.key].set_mm, allowance]),
            pieces=need.to_saw, one_board=inputs.job.one_board, pairs=inputs.job.pairs,
        )
        for need in needs
    ]  # fmt: skip
    panels = sorted({need.panel for need in needs})
    costs = board_costs([state.board for state in states.values()])
    boards = [_board(state, costs[name], panels, layers) for name, state in states.items() if state.board.use != "no"]
    division_pm = picometres(dial.division_mm)
    unmoved = tuple(demand.key for demand in demands if picometres(demand.advance_mm) < division_pm)
    cuts = plan_cuts(boards, [demand for demand in demands if demand.key not in unmoved])
    by_key = {need.key: need for need in needs}
    passes = [
        planned
        for board in cuts.boards
        for planned in _passes(board, states[board.board], by_key, learned, inputs, dial)
    ]
    return WorkPlan(cuts, tuple(passes), settings, unmoved)


def settings_of(needs: Sequence[Need], learned: Learned, inputs: Inputs) -> dict[str, NextSetting]:
    """What to dial for each need, by its key."""
    dial = dial_of(inputs)
    return {need.key: setting_of(need, learned, dial) for need in needs}


def setting_of(need: Need, learned: Learned, dial: Dial) -> NextSetting:
    """What to dial for a need, by what the readings taught."""
    return next_setting(need.sawn_mm, need.tolerance_mm, learned.of(need.species), dial.division_mm)


def board_costs(boards: Sequence[Board]) -> dict[str, float]:
    """What opening each board costs; one without a price counts like the mean of its wood, or of all, or as 1."""
    priced: dict[str, list[float]] = {}
    for board in boards:
        if board.price is not None:
            priced.setdefault(board.species, []).append(board.price)
    every = [price for prices in priced.values() for price in prices]
    usual = fmean(every) if every else 1.0
    return {
        board.board: board.price if board.price is not None else fmean(priced.get(board.species, [usual]))
        for board in boards
    }


def _board(
    state: BoardState, cost: float, panels: Sequence[str], layers: Mapping[tuple[str, str], int]
) -> plan_model.Board:
    board = state.board
    return plan_model.Board(
        key=board.board,
        species=board.species,
        usable_mm=state.usable_mm,
        pieces={panel: layers.get((board.board, panel), 0) for panel in panels},
        cost=cost,
        started=state.started,
        use_first=board.use == "first",
    )


def _passes(
    plan: plan_model.BoardPlan,
    state: BoardState,
    needs: Mapping[str, Need],
    learned: Learned,
    inputs: Inputs,
    dial: Dial,
) -> list[PlannedPass]:
    runs = [(run, needs[run.demand]) for run in plan.passes for _ in range(run.slices)]
    offset = learned.of(plan.species)
    allowance = inputs.shop.kerf_allowance_mm
    advances = [run.advance_mm for run, _ in runs]
    positions = dial_positions([*state.advances_mm, *advances], [allowance] * (state.sawn + len(runs)), dial)
    planned: list[PlannedPass] = []
    left = state.usable_mm
    for index, ((run, need), at) in enumerate(zip(runs, positions[state.sawn :], strict=True)):
        set_mm = total_mm([at.advance_mm, -allowance])
        left = total_mm([left, -at.advance_mm])
        expected = offset.expected_mm(set_mm)
        shift = expected - offset.offset_mm
        interval = (offset.next_mm[0] + shift, offset.next_mm[1] + shift) if offset.next_mm else None
        turns, divisions = turns_and_divisions(nearest_multiple(at.position_mm, dial.division_mm), dial)
        planned.append(
            PlannedPass(
                board=plan.board, number=state.next_number + index, need=need, layers=run.pieces // run.slices,
                set_mm=set_mm, advance_mm=at.advance_mm, position_mm=at.position_mm, turns=turns,
                divisions=divisions, expected_mm=expected, interval_mm=interval, left_mm=left,
            )
        )  # fmt: skip
    return planned
