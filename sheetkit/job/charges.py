"""Which panel each board's wood and passes are for, and what the board costs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sheetkit.job.board_use import BoardUse, board_use
from sheetkit.job.boards import BoardState
from sheetkit.job.checking import CheckedSlice
from sheetkit.job.needs import Need
from sheetkit.job.planning import WorkPlan
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.rows import Board, SpeciesValues
from sheetkit.trade.cost import board_feet
from sheetkit.trade.exact import total_mm

NO_PANEL = ""
"""Panel of slices that no panel wants."""


@dataclass(frozen=True, slots=True)
class BoardPrice:
    """What a whole board costs.

    Attributes:
        board: the maker's row
        feet: board feet by which it is sold; None where a size is not known or the price is for the board
        by_wood: the row of Species whose price per board foot counts; None where the price is for the board
        money: price of the whole board, None where it is not known
    """

    board: Board
    feet: float | None
    by_wood: SpeciesValues | None
    money: float | None


@dataclass(frozen=True, slots=True)
class BoardCharge:
    """What one board gives to one panel.

    Attributes:
        price: what the whole board costs
        use: where its thickness goes
        panel: the panel's name, `NO_PANEL` for slices that no panel wants
        share: the panel's part of what is used up, by the advances of its passes
        passes: passes of the saw for it; the truing pass counts for the panel sawn first
        slices: slices that these give, sawn and to come
        whole: what can still be sawn is charged as well
    """

    price: BoardPrice
    use: BoardUse
    panel: str
    share: float
    passes: int
    slices: int
    whole: bool

    @property
    def board(self) -> Board:
        """The maker's row."""
        return self.price.board

    @property
    def used_share(self) -> float:
        """Part of the board that is charged to the job."""
        left = 0.0 if self.whole else max(0.0, self.use.left_mm)
        return (self.use.start_mm - left) / self.use.start_mm

    @property
    def money(self) -> float | None:
        """What it costs the panel, None where the board has no price."""
        return None if self.price.money is None else self.price.money * self.used_share * self.share

    @property
    def sawn_length_mm(self) -> float | None:
        """Length sawn, None where the board's is not known."""
        return None if self.board.length_mm is None else self.passes * self.board.length_mm


def board_charges(
    needs: Sequence[Need],
    checks: Sequence[CheckedSlice],
    states: Mapping[str, BoardState],
    plan: WorkPlan,
    inputs: Inputs,
) -> list[BoardCharge]:
    """Every board that is opened, panel by panel, in the order of Stock.

    Args:
        needs: what the panels need, with the slices that serve
        checks: every slice judged
        states: what is left of each board, by name
        plan: what is still to be sawn
        inputs: the maker's rows and settings
    """
    panels = _panels_of_slices(needs, checks)
    prices = {row.species: row for row in inputs.species if row.price_per_board_foot is not None}
    owners: dict[str, list[str]] = {}
    for item in checks:
        if item.slice.board is not None:
            panel = panels.get(item.slice.row.place.row, NO_PANEL)
            owners.setdefault(item.slice.board.board, []).extend([panel] * item.slice.row.pressed)
    charges: list[BoardCharge] = []
    for name, state in states.items():
        coming = [(item.need.panel, item.advance_mm) for item in plan.of_board(name)]
        advances = list(zip(owners.get(name, []), state.advances_mm, strict=True)) + coming
        total = total_mm([advance for _, advance in advances])
        if not total:
            continue
        price = board_price(state.board, prices.get(state.board.species))
        use = board_use(state, plan, inputs.shop)
        names = list(dict.fromkeys(panel for panel, _ in advances))
        for panel in names:
            mine = [advance for owner, advance in advances if owner == panel]
            passes = len(mine) + (panel == names[0])
            share = total_mm(mine) / total
            charges.append(BoardCharge(price, use, panel, share, passes, len(mine), inputs.job.whole_boards))
    return charges


def board_price(board: Board, by_wood: SpeciesValues | None) -> BoardPrice:
    """What a board costs: its own price, else its board feet at its wood's price."""
    if board.price is not None or by_wood is None or by_wood.price_per_board_foot is None:
        return BoardPrice(board, None, None, board.price)
    if board.length_mm is None or board.width_mm is None:
        return BoardPrice(board, None, by_wood, None)
    nominal = board.nominal_mm if board.nominal_mm is not None else board.thickness_mm
    feet = board_feet(board.length_mm, board.width_mm, nominal)
    return BoardPrice(board, feet, by_wood, feet * by_wood.price_per_board_foot)


def _panels_of_slices(needs: Sequence[Need], checks: Sequence[CheckedSlice]) -> dict[int, str]:
    """The panel a slice was sawn for, by its row's place: the one it serves, else the one it came nearest to."""
    serving = {item.row.place.row: need.panel for need in needs for item, _ in need.slices}
    nearest = {item.slice.row.place.row: item.need.panel for item in checks if item.need is not None}
    return nearest | serving
