"""What a cutting plan is made from and what it says, as plain values."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Board:
    """A board on the rack that may be sawn.

    Attributes:
        key: the board's own name, different for each board
        species: its species; a demand is met from boards of the same species only
        usable_mm: thickness that can still be sawn: truing, held wood and earlier advances taken off, >= 0 [mm]
        pieces: layers that one slice of it gives for each panel, by the panel's name; none for a panel not named [1]
        cost: what opening it costs, counted only when it is not started, >= 0 [money]
        started: whether it has been sawn from already; sawing on then costs nothing
        use_first: whether the maker wants it used up before others
    """

    key: str
    species: str
    usable_mm: float
    pieces: Mapping[str, int]
    cost: float = 0.0
    started: bool = False
    use_first: bool = False


@dataclass(frozen=True, slots=True)
class Demand:
    """Layers of one species and thickness that a panel still needs.

    Attributes:
        key: the demand's own name, different for each demand
        species: species of the layers
        panel: name of the panel they are for
        target_mm: thickness of the slice as sawn, > 0 [mm]
        set_mm: thickness to set at the dial for it [mm]
        advance_mm: how far the fence moves for it, set thickness and kerf allowance, > 0 [mm]
        pieces: layers needed, spares included, usable slices already sawn taken off, >= 0 [1]
        one_board: wish: all slices of this species for this panel from one board
        pairs: wish: slices in pairs of neighbouring cuts
    """

    key: str
    species: str
    panel: str
    target_mm: float
    set_mm: float
    advance_mm: float
    pieces: int
    one_board: bool = False
    pairs: bool = False


@dataclass(frozen=True, slots=True)
class PlanOptions:
    """How the planner weighs and how long it searches.

    Attributes:
        useful_remnant_mm: least usable thickness worth putting back on the rack, > 0 [mm]
        time_limit_s: longest search per species; many times what the nodes take, since a clock that stops the search
            would give another plan on a busy day or a slow machine [s]
        node_limit: most search nodes per question, fewer for large racks; this is what ends a search [1]
    """

    useful_remnant_mm: float = 6.0
    time_limit_s: float = 120.0
    node_limit: int = 3000


@dataclass(frozen=True, slots=True)
class Pass:
    """A run of equal cuts from one board at one setting.

    Attributes:
        board: key of the board
        demand: key of the demand
        slices: number of slices [1]
        pieces: layers they give [1]
        set_mm: thickness to set [mm]
        advance_mm: how far the fence moves per slice [mm]
    """

    board: str
    demand: str
    slices: int
    pieces: int
    set_mm: float
    advance_mm: float


@dataclass(frozen=True, slots=True)
class BoardPlan:
    """What is sawn from one board, in order.

    Attributes:
        board: key of the board
        species: its species
        passes: the runs of cuts in the order to saw them
        used_mm: thickness that all the advances use up [mm]
        left_mm: usable thickness left after the last cut [mm]
    """

    board: str
    species: str
    passes: tuple[Pass, ...]
    used_mm: float
    left_mm: float


@dataclass(frozen=True, slots=True)
class Shortage:
    """Layers that the rack cannot give.

    Attributes:
        demand: key of the demand
        species: species that is short
        panel: panel that goes without
        target_mm: thickness of the slices that are missing [mm]
        pieces: layers missing [1]
        needed: layers asked for [1]
        too_small: whether no board of the species is long and wide enough, however thick
    """

    demand: str
    species: str
    panel: str
    target_mm: float
    pieces: int
    needed: int
    too_small: bool


@dataclass(frozen=True, slots=True)
class Purchase:
    """The smallest purchase that mends what is short of one species.

    Attributes:
        species: the species to buy
        usable_mm: least usable thickness of one more board, before truing and held wood are added [mm]
        pieces: layers that one slice of that board must give for each panel [1]
        like_board: key of a board on the rack that more boards could be like; empty when none would help
        boards: how many more boards like that one; 0 when none would help [1]
        proven: whether both are shown to be the smallest
    """

    species: str
    usable_mm: float
    pieces: Mapping[str, int]
    like_board: str
    boards: int
    proven: bool


@dataclass(frozen=True, slots=True)
class WishOutcome:
    """What became of a wish.

    Attributes:
        wish: the wish in words
        subject: the board, or the species and panel, that it is about
        honoured: whether the plan grants it
        reason: why not, or how far, with one pair of braces for each of the lengths; empty when it is granted in full
        lengths_mm: the lengths that belong into the reason, in order [mm]
    """

    wish: str
    subject: str
    honoured: bool
    reason: str
    lengths_mm: tuple[float, ...] = ()

    def why(self, in_words: Callable[[float], str]) -> str:
        """The reason with its lengths in the maker's unit."""
        return self.reason.format(*(in_words(length) for length in self.lengths_mm))


@dataclass(frozen=True, slots=True)
class Level:
    """One of the aims, in the order they were settled.

    Attributes:
        aim: what was made as small as possible, in words
        value: what the plan reaches [unit of the aim]
        bound: no plan that is as good in the aims before can go below this [unit of the aim]
        proven: whether the value is shown to be the smallest
    """

    aim: str
    value: float
    bound: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Proof:
    """How good the plan for one species is shown to be.

    Attributes:
        species: the species
        levels: the aims in the order they were settled
    """

    species: str
    levels: tuple[Level, ...]

    @property
    def best(self) -> bool:
        """Whether no plan can leave fewer layers missing, grant more wishes, or cost less."""
        return all(level.proven for level in self.levels if level.aim not in (LOST, RUNS))

    @property
    def sentence(self) -> str:
        """The proof in the maker's words."""
        open_levels = [level for level in self.levels if not level.proven]
        if not open_levels:
            return "best possible"
        if self.best:
            rest = " and ".join(f"{each.aim} {each.value:g}, at least {each.bound:g}" for each in open_levels)
            return f"best possible in layers and cost; {rest}"
        first = open_levels[0]
        if first.aim == COST and first.bound > 0:
            return f"within {100 * (first.value / first.bound - 1):.1f} % of the best possible, as far as was searched"
        return f"{first.aim} {first.value:g}, at best {max(first.bound, 0.0):g}, as far as was searched"


MISSING, INCOMPLETE = "layers missing", "demands not complete"
SPLIT, UNPAIRED, KEPT = (
    "boards beyond one for a panel",
    "slices without a neighbour",
    "wood left on boards to use first (mm)",
)
COST, LOST, RUNS = "cost of boards opened", "wood sawn or left too thin to keep (mm)", "settings of the dial"


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """What to saw from which board, what is short, and how good the plan is.

    Attributes:
        boards: what is sawn from each board, in the order to saw them
        untouched: keys of the boards that stay on the rack
        made: layers made for each demand [1]
        shortages: what is missing, demand by demand
        purchases: the smallest purchase that mends it, species by species
        wishes: what became of each wish
        proofs: how good the plan is shown to be, species by species
    """

    boards: tuple[BoardPlan, ...]
    untouched: tuple[str, ...]
    made: Mapping[str, int]
    shortages: tuple[Shortage, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    wishes: tuple[WishOutcome, ...] = ()
    proofs: tuple[Proof, ...] = ()

    @property
    def proof(self) -> str:
        """The proof of the weakest species in words; whether dial settings could be saved is left to the species."""
        weak = [each.sentence for each in self.proofs if not each.best]
        return weak[0] if weak else "best possible"


Cuts = dict[tuple[str, str], int]
"""Slices by board key and demand key."""


@dataclass(frozen=True, slots=True)
class Solution:
    """Cuts of one species, with the aims they reach.

    Attributes:
        cuts: number of slices by board and demand [1]
        levels: the aims in the order they were settled
    """

    cuts: Cuts
    levels: tuple[Level, ...] = ()
