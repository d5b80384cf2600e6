"""What the handles, boards and bowls of a job cost: their share of a panel, and the work on each."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import ceil

from sheetkit.job.bowls import BowlAnswer
from sheetkit.job.pieces import Pieces
from sheetkit.tables.inputs import Inputs
from sheetkit.trade.blanks import rows_of_blanks
from sheetkit.trade.cost import per_good_piece, price_at_margin


@dataclass(frozen=True, slots=True)
class PieceCost:
    """What one piece costs; None where there is no price or the panel is not known by its size.

    Attributes:
        piece: the maker's name for it
        panel: the panel it is cut from
        quantity: good ones wanted
        share: panels that one attempt takes, what is left over between the blanks counted with it
        from_panel: its share of a good panel
        work_s: work on it after its panel is ready
        work: the same in money
        material: what else goes into it
        overhead: on work and material; the panel's share carries its own
        panel_s: its share of the work on a good panel
        lost_share: share of the pieces that turn out badly
        margin_share: share of the price that should be left, None where none is given
    """

    piece: str
    panel: str
    quantity: int
    share: float | None
    from_panel: float | None
    work_s: float | None
    work: float | None
    material: float | None
    overhead: float | None
    panel_s: float | None
    lost_share: float
    margin_share: float | None

    @property
    def to_start(self) -> int:
        """Pieces to start, so that the number wanted comes good."""
        return ceil(round(self.attempts, 6))

    @property
    def each(self) -> float | None:
        """Cost of one attempt, good or not; None where its share of the panel has no price."""
        return None if self.from_panel is None else known_sum(
            (self.from_panel, self.work, self.material, self.overhead)
        )  # fmt: skip

    @property
    def good(self) -> float | None:
        """Cost of one that turns out well."""
        return None if self.each is None else per_good_piece(self.each, self.lost_share)

    @property
    def price(self) -> float | None:
        """Price that leaves the margin, None without one."""
        if self.good is None or self.margin_share is None:
            return None
        return price_at_margin(self.good, self.margin_share)

    @property
    def good_s(self) -> float | None:
        """Working time of a good one, its share of the panel's counted; None where none is known."""
        known = known_sum((self.panel_s, self.work_s))
        return None if known is None else per_good_piece(known, self.lost_share)

    @property
    def attempts(self) -> float:
        """Attempts that the number wanted takes on average."""
        return per_good_piece(self.quantity, self.lost_share)

    @property
    def own(self) -> float | None:
        """What all attempts cost on top of their panels."""
        known = known_sum((self.work, self.material, self.overhead))
        return None if known is None else known * self.attempts


def piece_costs(
    pieces: Pieces, panels: Mapping[str, tuple[float | None, float]], inputs: Inputs
) -> Iterator[PieceCost]:
    """Every piece that can be made, in the order of Pieces.

    Args:
        pieces: what is made from the panels
        panels: cost and working time [s] of a good copy of each panel, by name
        inputs: the maker's rows and settings
    """
    for handle in pieces.handles:
        count = handle.blanks.count if handle.blanks is not None else 0
        share = 1.0 / count if count else None
        yield _piece(handle.row.piece, handle.stack.panel.name, handle.row.quantity, share, panels, inputs)
    asked = {handle.row.piece.casefold() for handle in pieces.handles}
    asked |= {bowl.row.piece.casefold() for bowl in pieces.bowls}
    for board in pieces.boards:
        if board.made and board.name.casefold() not in asked:
            yield _piece(board.name, board.stack.panel.name, board.copies, 1.0, panels, inputs)
    for bowl in pieces.bowls:
        share = _share_of_bowl(bowl, inputs)
        yield _piece(bowl.row.piece, bowl.stack.panel.name, bowl.row.quantity, share, panels, inputs)


def known_sum(amounts: Iterable[float | None]) -> float | None:
    """Sum of what is known, None where nothing is."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if known else None


def _piece(
    name: str,
    panel: str,
    quantity: int,
    share: float | None,
    panels: Mapping[str, tuple[float | None, float]],
    inputs: Inputs,
) -> PieceCost:
    shop, job = inputs.shop, inputs.job
    money, panel_s = panels.get(panel, (None, 0.0))
    rate, work_s = shop.labour_rate, shop.piece_work_s
    work = None if rate is None or work_s is None else work_s / 3600.0 * rate
    own = known_sum((work, shop.piece_material))
    return PieceCost(
        piece=name,
        panel=panel,
        quantity=quantity,
        share=share,
        from_panel=None if money is None or share is None else money * share,
        work_s=work_s,
        work=work,
        material=shop.piece_material,
        overhead=None if own is None or shop.overhead_pct is None else own * shop.overhead_pct / 100.0,
        panel_s=None if share is None else panel_s * share,
        lost_share=(job.pieces_lost_pct or 0.0) / 100.0,
        margin_share=None if job.margin_pct is None else job.margin_pct / 100.0,
    )


def _share_of_bowl(answer: BowlAnswer, inputs: Inputs) -> float | None:
    """Panels that the boards of one bowl take: so many come out of a panel's length, and of its width."""
    boards, panel = answer.plan.rules.boards, answer.stack.panel
    if answer.steps:
        return float(boards)
    if panel.length_mm is None:
        return None
    kerf = inputs.shop.blank_kerf_mm
    along = rows_of_blanks(panel.length_mm, answer.plan.blank_diameter_mm, kerf)
    deep = rows_of_blanks(panel.width_mm, answer.plan.rules.board_mm, kerf) if panel.width_mm is not None else 1
    return answer.side_by_side * boards / (along * max(1, deep)) if along else None
