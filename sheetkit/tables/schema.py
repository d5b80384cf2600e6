"""The input sheets in order: name, purpose, row class. All else is derived from the row classes."""

from dataclasses import dataclass

from sheetkit.tables.columns import Column, columns_of
from sheetkit.tables.rows import Board, Measurement, Panel, Repeat, SpeciesValues, Target
from sheetkit.tables.rows_pieces import Bowl, CutStep, Handle, ProfilePoint
from sheetkit.tables.settings import Job, Shop


@dataclass(frozen=True, slots=True)
class SheetSpec:
    """One input sheet.

    Attributes:
        name: the tab's name in the templates
        row_class: class of one row, or of the whole settings sheet
        purpose: one sentence for the maker
        required: the job cannot be planned without it
        settings: one row is one setting (Setting, Value, Unit, Note)
        synonyms: other tab names that are understood
    """

    name: str
    row_class: type
    purpose: str
    required: bool = False
    settings: bool = False
    synonyms: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[Column, ...]:
        """Its columns, or its settings, in order."""
        return columns_of(self.row_class)


SETTING_HEADINGS = ("Setting", "Value", "Unit", "Note")

JOB = SheetSpec("Job", Job, "Settings of this job. Every one may be left empty.", settings=True, synonyms=("Project",))
SHOP = SheetSpec(
    "Shop",
    Shop,
    "Settings of saw, dial, caliper and glue. Every one may be left empty.",
    settings=True,
    synonyms=("Workshop", "Saw"),
)
STOCK = SheetSpec("Stock", Board, "One row is a board.", required=True, synonyms=("Boards", "Wood", "Lumber", "Timber"))
PANELS = SheetSpec(
    "Panels",
    Panel,
    "One row is a laminated panel to make. Without it, all of Targets is one panel.",
    synonyms=("Panel", "Laminations"),
)
TARGETS = SheetSpec(
    "Targets",
    Target,
    "One row is a layer, or a run of equal layers, of a panel, in order.",
    required=True,
    synonyms=("Target", "Layers", "Recipe"),
)
MEASUREMENTS = SheetSpec(
    "Measurements",
    Measurement,
    "One row is a slice that was sawn.",
    synonyms=("Measurement", "Readings", "Slices", "Measured"),
)
REPEATS = SheetSpec(
    "Repeats",
    Repeat,
    "One row is a slice measured again, by any person or tool, to learn whether the caliper will do.",
    synonyms=("Repeat readings", "Repeatability", "Caliper check"),
)
HANDLES = SheetSpec("Handles", Handle, "One row is a handle or scale to cut from a panel.", synonyms=("Scales",))
BOWLS = SheetSpec("Bowls", Bowl, "One row is a ring bowl to build from a panel.", synonyms=("Bowl", "Ring bowls"))
STEPS = SheetSpec(
    "Steps",
    CutStep,
    "One row is a round of sawing a board into strips and gluing it again.",
    synonyms=("Cut and glue", "Rounds"),
)
PROFILES = SheetSpec(
    "Profiles",
    ProfilePoint,
    "One row is a point of a bowl's outside, from the foot up.",
    synonyms=("Profile", "Bowl profiles"),
)
SPECIES = SheetSpec(
    "Species", SpeciesValues, "Your own values for a wood; they win over the published ones.", synonyms=("Woods",)
)

INPUT_SHEETS = (JOB, SHOP, STOCK, PANELS, TARGETS, MEASUREMENTS, REPEATS, HANDLES, BOWLS, STEPS, PROFILES, SPECIES)
