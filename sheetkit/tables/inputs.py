"""Everything read from a workbook, typed: what the calculations start from."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from sheetkit.errors import CellProblem
from sheetkit.tables.rows import Board, Measurement, Panel, Place, Repeat, SpeciesValues, Target
from sheetkit.tables.rows_pieces import Bowl, CutStep, Handle, ProfilePoint
from sheetkit.tables.settings import Job, Shop


@dataclass(frozen=True, slots=True)
class Assumption:
    """A default that was used because the workbook says nothing.

    Attributes:
        sheet: sheet where the maker could say it
        name: the setting's or column's heading
        value: what was assumed, as the maker would write it
        why: what it is used for
    """

    sheet: str
    name: str
    value: str
    why: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One cell as it was understood, for `sheetkit check --json`.

    Attributes:
        field: field name of the row class
        cell: A1 address
        found: the cell as the maker sees it
        value: in base units; None where it was left out or is empty
        unit: the unit it was written in, "" where it has none
        remark: what was written beside the value
        guess: why it was read as it was, where that is not plainly what stands there
        low: lower end where a range was written, base units
        high: upper end likewise
        doubtful: the maker marked it as doubtful ("?", "about")
    """

    field: str
    cell: str
    found: str
    value: object
    unit: str = ""
    remark: str = ""
    guess: str = ""
    low: float | None = None
    high: float | None = None
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Record:
    """One row of an input sheet as it was understood.

    Attributes:
        sheet: the tab's name
        row: row number as on screen
        hidden: the maker does not see it
        used: it counts
        told: gives its cells as they were understood; a workbook of many rows rarely needs them all
    """

    sheet: str
    row: int
    hidden: bool
    used: bool
    told: Callable[[], Iterable[Entry]]

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Its cells as they were understood."""
        return tuple(self.told())

    def as_dict(self) -> dict[str, Any]:
        """The record as plain values, for JSON."""
        own = {"sheet": self.sheet, "row": self.row, "hidden": self.hidden, "used": self.used}
        return own | {"entries": [asdict(entry) for entry in self.entries]}


@dataclass(slots=True)
class Inputs:
    """The whole workbook, typed.

    Attributes:
        job: the job's settings, defaults filled in
        shop: the shop's settings, defaults filled in
        setting_places: where a setting stands, by "Job.field" or "Shop.field"; absent when it is a default
        unit: "in" or "mm", the unit of numbers that carry none; it decides units of force, mass and the like, and paper
        shown_in: unit of lengths on the result sheets: "in", "mm", "thou" or "64ths"; left out, it is `unit`
        boards, panels, targets, measurements, repeats, handles, bowls, steps, profiles, species: the typed rows, in the
            sheet's order
        sheets: name of the tab found for each input sheet of the schema
        records: every row as it was read, used or not
        problems: findings, in no particular order
        assumptions: defaults used
        hidden_rows: hidden or filtered rows found, by tab name
        titles: what stands above the table of a tab, by tab name
    """

    job: Job
    shop: Shop
    unit: str
    setting_places: Mapping[str, Place] = field(default_factory=dict)
    boards: list[Board] = field(default_factory=list)
    panels: list[Panel] = field(default_factory=list)
    targets: list[Target] = field(default_factory=list)
    measurements: list[Measurement] = field(default_factory=list)
    repeats: list[Repeat] = field(default_factory=list)
    handles: list[Handle] = field(default_factory=list)
    bowls: list[Bowl] = field(default_factory=list)
    steps: list[CutStep] = field(default_factory=list)
    profiles: list[ProfilePoint] = field(default_factory=list)
    species: list[SpeciesValues] = field(default_factory=list)
    sheets: Mapping[str, str] = field(default_factory=dict)
    records: list[Record] = field(default_factory=list)
    problems: list[CellProblem] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    hidden_rows: Mapping[str, list[int]] = field(default_factory=dict)
    titles: Mapping[str, str] = field(default_factory=dict)
    shown_in: str = ""

    def __post_init__(self) -> None:
        """Without a choice of their own, lengths are shown in the unit that they are typed in."""
        self.shown_in = self.shown_in or self.unit
