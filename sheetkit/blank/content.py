"""What a blank workbook holds, the same for both formats: headings, notes, dropdowns, settings and the how-to."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import ceil

from sheetkit.report.words import default_in
from sheetkit.tables import schema
from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.schema import (
    BOWLS,
    HANDLES,
    INPUT_SHEETS,
    MEASUREMENTS,
    PANELS,
    SETTING_HEADINGS,
    STOCK,
    TARGETS,
    SheetSpec,
)
from sheetkit.tables.settings_sheet import in_both_units
from sheetkit.trade.species import species_names

Typed = str | float | date | None
"""What may be typed into a cell."""

HOW_TO = "How to"
WOOD_NAMES = "Wood names"
WOOD_NAMES_PURPOSE = "Woods known by name, for the dropdowns. Any other name works too."
ROWS_WITH_DROPDOWNS = 500
"""Dropdowns reach this far below the headings."""
HEADING_ROW = 2
UNIT_HEADING = SETTING_HEADINGS[2]
"""Of the column whose words stand close behind numbers."""
_WORDS = frozenset({Kind.TEXT, Kind.IDENTIFIER, Kind.SPECIES, Kind.CHOICE, Kind.YES_NO, Kind.COLOUR})
_CHARACTER = 0.88
"""Width of a character of a sentence, in widths of a digit, with what is lost where words break."""

STEPS = (
    "What this workbook is for",
    "Type what you have and what you want into the sheets; sheetkit reads them and adds its result sheets behind.",
    "Only Stock and Targets are needed. All else may stay empty: a default is used then and listed on Summary.",
    "",
    "1. Stock: one row a board, measured before its first pass.",
    "2. Panels: one row a laminated panel. Targets: its layers in order, with the finished thickness of each.",
    "3. Close the file and run:  sheetkit refresh THIS-FILE",
    "4. Read Summary, then Cut plan: what to saw from which board and where the dial must stand.",
    "5. Saw a few slices, measure each at its corners and in the middle, and type the readings into Measurements.",
    "6. Run the same command again: the settings still to come are corrected by what the readings say.",
    "",
    "Your own columns, notes, sheets, pictures and formulas are never touched.",
    "Sheets that sheetkit wrote say so in their second row; they are written anew at each refresh.",
    "A length may be written as 1-1/2, 1 1/2 in, 0.041, 13 thou or 12 mm. A unit in the cell wins over the heading's.",
    "",
    "The saw, the dust and the glue can hurt you. Follow the machine's manual, the adhesive's data sheet and your",
    "local rules. Thin stock at the blade needs a carriage or a backing block, never fingers.",
)


@dataclass(frozen=True, slots=True)
class Dropdown:
    """A list offered in a column's cells; other text may still be typed.

    Attributes:
        words: the list itself; empty where it is taken from cells
        sheet: tab whose cells give the list
        column: column letter on that tab
        first_row: first row of the list
        last_row: last row of the list
    """

    words: tuple[str, ...] = ()
    sheet: str = ""
    column: str = "A"
    first_row: int = HEADING_ROW + 1
    last_row: int = HEADING_ROW + ROWS_WITH_DROPDOWNS


@dataclass(frozen=True, slots=True)
class BlankColumn:
    """One column of a blank sheet.

    Attributes:
        heading: with its unit in brackets
        note: shown when the pointer rests on the heading
        width: in characters
        dropdown: offered below the heading, None for none
        text: the cells below are stored as text (names that a program would turn into numbers or dates)
        number: the cells below hold numbers, which stand at the right, as the heading then does
        apart: words beside a column of numbers, kept clear of them
    """

    heading: str
    note: str
    width: float
    dropdown: Dropdown | None = None
    text: bool = False
    number: bool = False
    apart: bool = False


@dataclass(frozen=True, slots=True)
class BlankSheet:
    """One sheet of a blank workbook.

    Attributes:
        name: the tab's name
        purpose: first row
        columns: from column A
        rows: cells below the headings, row by row; None or "" leaves a cell empty
        dropdowns: by (row, column) from 1, for single cells of settings sheets
    """

    name: str
    purpose: str
    columns: tuple[BlankColumn, ...]
    rows: tuple[tuple[Typed, ...], ...] = ()
    dropdowns: tuple[tuple[int, int, Dropdown], ...] = ()


def blank_sheets(unit: str, typed: Mapping[str, Sequence[Sequence[Typed]]]) -> list[BlankSheet]:
    """Every input sheet of the schema as a blank.

    Args:
        unit: "in" or "mm", the unit in the headings
        typed: cells to type below the headings, row by row, by sheet name; of a settings sheet the pairs of a
            setting and its value

    Raises:
        KeyError: a sheet or a setting that the schema does not know
    """
    unknown = set(typed) - {spec.name for spec in INPUT_SHEETS}
    if unknown:
        raise KeyError(f"no such input sheet: {', '.join(sorted(unknown))}")
    return [(_settings if spec.settings else _rows)(spec, unit, typed.get(spec.name, ())) for spec in INPUT_SHEETS]


def lines_of(values: Sequence[Typed], columns: Sequence[BlankColumn]) -> int:
    """Lines that a row of a blank takes, its texts being wrapped in the width of their columns."""
    texts = [
        (value, column.width)
        for value, column in zip(values, columns, strict=False)
        if isinstance(value, str) and not column.text
    ]
    return max([1, *(ceil(len(text) * _CHARACTER / width) for text, width in texts)])


def unit_of(column: Column, unit: str) -> str:
    """The unit that a blank in "in" or "mm" prints for a column, "" for none."""
    return column.unit_inch if unit == "in" else column.unit_metric


def heading_of(column: Column, unit: str) -> str:
    """A column's heading with its unit in brackets."""
    name = f"{column.heading} 1" if column.field == "readings_mm" else column.heading
    shown = unit_of(column, unit)
    return f"{name} ({shown})" if shown else name


def help_of(column: Column, unit: str) -> str:
    """A column's help, with what an empty cell means and the words it may hold."""
    parts = [column.help]
    if column.choices:
        parts.append("One of: " + ", ".join(column.choices) + ".")
    if column.default is not None:
        parts.append(f"Empty: {default_in(column, in_both_units(column, unit), unit)}.")
    if column.required:
        parts.append("Needed.")
    return " ".join(parts)


def _rows(spec: SheetSpec, unit: str, typed: Sequence[Sequence[Typed]]) -> BlankSheet:
    columns = tuple(
        BlankColumn(
            heading=heading_of(column, unit),
            note=help_of(column, unit),
            width=_width(column, unit),
            dropdown=_dropdown(column, spec),
            text=column.kind is Kind.IDENTIFIER,
            number=_is_number(column),
            apart=before is not None and _is_number(before) and not _is_number(column),
        )
        for before, column in pairwise((None, *spec.columns))
        if column is not None
    )
    purpose = spec.purpose + (" Needed." if spec.required else "")
    return BlankSheet(spec.name, purpose, columns, tuple(tuple(row) for row in typed))


def _is_number(column: Column) -> bool:
    return column.kind not in _WORDS


def _width(column: Column, unit: str) -> float:
    if column.kind is Kind.TEXT:
        return 30.0
    if column.kind is Kind.SPECIES:
        return 20.0
    return max(10.0, len(heading_of(column, unit)) + 3.0)


def _dropdown(column: Column, spec: SheetSpec) -> Dropdown | None:
    if column.kind is Kind.YES_NO:
        return Dropdown(words=("yes", "no"))
    if column.choices:
        return Dropdown(words=column.choices)
    if column.kind is Kind.SPECIES:
        return Dropdown(sheet=WOOD_NAMES, first_row=2, last_row=1 + len(species_names()))
    if column.field == "board" and spec is MEASUREMENTS:
        return Dropdown(sheet=STOCK.name)
    if column.field == "panel" and spec in (TARGETS, HANDLES, BOWLS, schema.STEPS):
        return Dropdown(sheet=PANELS.name)
    return None


def _settings(spec: SheetSpec, unit: str, typed: Sequence[Sequence[Typed]]) -> BlankSheet:
    widths = (24.0, 16.0, 12.0, 96.0)
    notes = (
        "Do not change.",
        "Empty: the default in the note.",
        "Unit of the value; a unit beside the value wins.",
        "Yours, or the help that came with the blank.",
    )
    columns = tuple(
        BlankColumn(heading, note, width, apart=heading == UNIT_HEADING)
        for heading, note, width in zip(SETTING_HEADINGS, notes, widths, strict=True)
    )
    values = {str(pair[0]): pair[1] for pair in typed}
    unknown = set(values) - {column.heading for column in spec.columns}
    if unknown:
        raise KeyError(f"no such setting on {spec.name}: {', '.join(sorted(unknown))}")
    rows = tuple((c.heading, values.get(c.heading), unit_of(c, unit), help_of(c, unit)) for c in spec.columns)
    dropdowns = tuple(
        (HEADING_ROW + 1 + index, 2, dropdown)
        for index, column in enumerate(spec.columns)
        if (dropdown := _dropdown(column, spec)) is not None
    )
    return BlankSheet(spec.name, spec.purpose, columns, rows, dropdowns)
