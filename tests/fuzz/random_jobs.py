"""Jobs of random rows: sensible values with nonsense among them, as plain tables under the schema's own headings."""

from collections.abc import Mapping, Sequence
from random import Random
from typing import Final

from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.schema import (
    BOWLS,
    HANDLES,
    INPUT_SHEETS,
    JOB,
    MEASUREMENTS,
    PANELS,
    PROFILES,
    REPEATS,
    SHOP,
    SPECIES,
    STEPS,
    STOCK,
    TARGETS,
    SheetSpec,
)

Value = str | float | bool | None
Table = list[list[Value]]
Book = dict[str, Table]

WOODS: Final = ("black cherry", "wenge", "sugar maple", "black walnut", "hickory", "ash", "made-up wood", "Snake  Wood")
NAMES: Final = {
    "board": ("A1", "B1", "C1", "D-2", "007"),
    "panel": ("P", "Q", "R"),
    "piece": ("Bowl", "Tray", "Grip", "P"),
    "slice": tuple(f"{board}-{number}" for board in ("A1", "B1", "C1") for number in range(1, 40)),
}
ODD_TEXTS: Final = (
    "", " ", "\t", "'", '"', "''", "a'b\"c", "line\nbreak", "=1/0", "=A1", "+1", "-", "—", "n/a", "#REF!", "#DIV/0!",
    "TRUE", "nan", "NaN", "inf", "-inf", "1e309", "1e-400", "0x10", "1_000", "٣", "½", "1½", "⅛ in", "1/0", "0/0",
    "1/3/5", "5/4", "24 or 26", "12 mm 13", "12mm", "3'6\"", "1 000,5", "1.000,5", "1,5", "1.5.2", "$12", "12 %",
    "%", "in", "mm", "thou", "1899-12-31", "1/1/1900", "2026-02-30", "31.12.2025", "23:59", "12:30:61", "שלום", "مرحبا",
    "\u202eabc", "\u200b", "👍🏽", "🪚" * 20, "e\u0301", "\ufeffA1", "A1", "R1C1", "Stock!A1", "[1]Sheet!A1", "<&>\"'",
    "]]>", "x" * 33, "x" * 5000, "A1-1", "a1", "yes", "no", "first", "quarter", "${x}", "{}", "%s", "\\",
    "9" * 5000, "A1-" + "9" * 5000, "../..", "_x0007_", "_x0000_",
    "12 in (about)", "~3 mm", "3 mm ± 0,1", "<0.05", "3-4 mm", "0.05 in each",
)  # fmt: skip
ODD_NUMBERS: Final = (
    0.0, -0.0, -1.0, 1.0, 2.0, 1e-12, 1e-300, 5e-324, 1e6, 1e9, 1e15, 1e18, 1e100, 1.7e308, -1e100, 0.1 + 0.2, 1 / 3,
    25.4, 1 / 25.4, 45_000.0, 60.0, -1e-9, 2**31, 2**53 + 1.0, 10_000.0, 9_999.0, 100.0, 1.5, 0.5, 1e5,
)  # fmt: skip
SPANS: Final = {
    Kind.THICKNESS: (0.01, 0.2), Kind.STOCK_THICKNESS: (0.5, 3), Kind.LENGTH: (1, 30), Kind.ANGLE: (0, 90),
    Kind.PERCENT: (1, 20), Kind.NUMBER: (1, 100), Kind.MONEY: (1, 80), Kind.DURATION: (1, 60),
    Kind.TEMPERATURE: (50, 90), Kind.FORCE: (100, 2000), Kind.PRESSURE: (50, 250), Kind.SPREAD: (20, 60),
    Kind.SPEED: (5, 40),
}  # fmt: skip
"""From and to, in the inch templates' units."""
ROWS: Final[Mapping[str, int]] = {
    STOCK.name: 5, PANELS.name: 3, TARGETS.name: 8, MEASUREMENTS.name: 40, REPEATS.name: 20, HANDLES.name: 3,
    BOWLS.name: 3, STEPS.name: 3, PROFILES.name: 6, SPECIES.name: 4,
}  # fmt: skip


def random_job(random: Random) -> Book:
    """Sheets by name, each a list of rows, the headings first."""
    strangeness = random.choice([0.0, 0.02, 0.02, 0.1, 0.1, 0.3, 0.9])
    book = {}
    for spec in INPUT_SHEETS:
        wanted = 0.98 if spec.required else 0.6
        if random.random() < wanted:
            book[spec.name] = (
                _settings(spec, random, strangeness) if spec.settings else _rows(spec, random, strangeness)
            )
    return book


def _rows(spec: SheetSpec, random: Random, strangeness: float) -> Table:
    columns = [column for column in spec.columns if column.required or random.random() < 0.7]
    if random.random() < 0.2:
        random.shuffle(columns)
    table: Table = [[_heading(column, random) for column in columns]]
    often = ROWS[spec.name]
    count = random.choice([0, 1, often, often, often, often * 4])
    filled = [column.required or random.random() < 0.6 for column in columns]
    for number in range(count):
        cells = zip(columns, filled, strict=True)
        row = [_value(spec, column, number, random, strangeness) if fill else None for column, fill in cells]
        table.append(row)
    return table


def _settings(spec: SheetSpec, random: Random, strangeness: float) -> Table:
    table: Table = [["Setting", "Value", "Unit", "Note"]]
    for column in spec.columns:
        if random.random() < 0.3:
            unit = column.unit_inch if random.random() > strangeness else random.choice(["", "mm", "furlong", "°"])
            table.append([column.heading, _value(spec, column, 0, random, strangeness), unit, None])
    if random.random() < 0.2:
        random.shuffle(table)
    return table


def _heading(column: Column, random: Random) -> str:
    name = random.choice(column.synonyms) if column.synonyms and random.random() < 0.1 else column.heading
    unit = column.unit_inch
    if unit and random.random() < 0.1:
        unit = random.choice(["mm", "in", "cm", "m", "thou", "µm", "parsec", '"'])
    return f"{name} ({unit})" if unit else name


def _value(spec: SheetSpec, column: Column, number: int, random: Random, strangeness: float) -> Value:
    if random.random() < strangeness:
        return _odd(column, random)
    if column.kind is Kind.IDENTIFIER:
        names = NAMES.get(column.field, ("X", "Y"))
        own = (spec.name, column.field) in {("Stock", "board"), ("Panels", "panel"), ("Measurements", "slice")}
        return names[number % len(names)] if own else random.choice(names)
    return _sensible(column, random)


def _sensible(column: Column, random: Random) -> Value:
    match column.kind:
        case Kind.SPECIES:
            return random.choice(WOODS)
        case Kind.CHOICE:
            return random.choice(column.choices)
        case Kind.YES_NO:
            return random.choice(["yes", "no", True, False])
        case Kind.COUNT:
            return random.choice([1, 2, 3, 5, 8, 20])
        case Kind.TEXT:
            return random.choice(["Ada", "Ben", "note"])
        case Kind.COLOUR:
            return random.choice(["8B5A2B", "brown"])
        case Kind.DATE:
            return random.choice(["2026-03-01", "1 March 2026"])
        case _:
            low, high = SPANS[column.kind]
            return round(random.uniform(low, high), random.choice([0, 1, 3, 3]))


def _odd(column: Column, random: Random) -> Value:
    match random.randrange(5):
        case 0:
            return random.choice(ODD_NUMBERS)
        case 1:
            return random.choice([column.low, column.high, column.default, None, True, False])
        case 2:
            low, high = SPANS.get(column.kind, (1, 100))
            return random.choice([low, high]) * random.choice([1e-6, 1e-3, 0.1, -1, 10, 25.4, 1e3, 1e6])
        case _:
            return random.choice(ODD_TEXTS)


SAMPLE: Final[Mapping[str, Sequence[Sequence[Value]]]] = {
    JOB.name: [["Setting", "Value", "Unit", "Note"], ["Job", "Trivet"], ["Length unit", "in"]],
    SHOP.name: [["Setting", "Value", "Unit", "Note"], ["Kerf allowance", 0.05, "in"], ["Dial turn", 0.05, "in"]],
    STOCK.name: [
        ["Board", "Species", "Length (in)", "Width (in)", "Thickness (in)", "Grain", "Moisture (%)", "Price"],
        ["A1", "black cherry", 20, 3, 1.5, "flat", 8, 12],
        ["B1", "hickory", 20, 3, 1.2, "rift", 8, 30],
    ],
    PANELS.name: [["Panel", "Length (in)", "Width (in)", "Repeats"], ["P", 9, 2.5, 1]],
    TARGETS.name: [
        ["Panel", "Species", "Thickness (in)", "Tolerance (in)", "Plies"],
        ["P", "black cherry", 0.05, 0.002, 6],
        ["P", "hickory", 0.02, 0.002, 5],
    ],
    MEASUREMENTS.name: [
        ["Slice", "Board", "Set thickness (in)", "Near left (in)", "Far right (in)", "Reading 1 (in)", "Note"],
        ["A1-1", "A1", 0.05, 0.053, 0.053, 0.0535, "first"],
        ["A1-2", "A1", 0.05, 0.0525, 0.053, 0.053, None],
        ["A1-3", "A1", 0.048, 0.0505, 0.051, 0.0505, None],
    ],
    HANDLES.name: [
        ["Piece", "Panel", "Quantity", "Length (in)", "Width (in)", "Thickness (in)", "Angle to the layers (deg)"],
        ["Grip", "P", 1, 4, 0.3, 0.2, 20],
    ],
}
"""A small job that can be made."""
