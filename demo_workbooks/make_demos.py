"""Makes the demo workbooks: an invented job typed into the blanks, then refreshed like any maker's file.

Run from the project's folder: ``python demo_workbooks/make_demos.py``. Everything in them is invented.
"""

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from sheetkit import refresh
from sheetkit.blank.write import write_blank

HERE = Path(__file__).parent
Row = Sequence[str | float | None]
Setting = str | float | date


@dataclass(frozen=True)
class Demo:
    """One demo: what is typed into which sheet, below the headings; settings by their name."""

    name: str
    unit: str
    rows: Mapping[str, Sequence[Row]]
    settings: Mapping[str, Mapping[str, Setting]] = field(default_factory=dict)


SERVER_STOCK = [
    ["C1", "black cherry", 19, 3.5, 1.62, "flat", "7.5 %", 18, None, None],
    ["C2", "Black cherry", 19.5, 3.5, 1.6, "flat", "7.5 %", 18, None, "same plank as C1"],
    ["H1", "american holly", 19, 3.4, 1.12, "quarter", "7 %", 24, "first", None],
    ["H2", "american holly", 19, 3.4, 1.08, "quarter", "7 %", 24, None, None],
    ["H3", "american holly", 20, 3.5, 1.1, "quarter", "7 %", 24, None, "kept for lids if it can be"],
    ["P1", "persimmon", 20, 3.5, 1.3, "flat", "8 %", 16, None, "dark heart, one pin knot near the end"],
]
SERVER_PANELS = [["Servers", 8.5, 3, 8, "yes", 1, None, None, None, None, "salad servers: two handles a pair"]]
SERVER_TARGETS = [
    ["Servers", "black cherry", 0.055, 0.002, None, None],
    ["Servers", "american holly", 0.018, 0.0015, None, None],
    ["Servers", "persimmon", 0.03, 0.002, None, None],
    ["Servers", "american holly", 0.018, 0.0015, None, None],
]
SERVER_HANDLES = [
    ["Server", "Servers", 2, 5.5, 1, 0.75, 12, 6, None, 0.25, None, "one fork, one spoon"],
]
SERVER_SETTINGS = {
    "Job": {"Job": "Salad servers, spring batch", "Margin": 30, "Start date": date(2027, 3, 1)},
    "Shop": {
        "Dial division": 0.0005, "Dial turn": 0.05, "Kerf allowance": 0.05, "Caliper division": 0.0005,
        "Labour rate": 28, "Set-up time": 45, "Time per pass": 1.5, "Feed speed": 6, "Time to measure a slice": 0.75,
        "Work per panel": 90, "Work per piece": 75, "Material per piece": 1.8, "Glue price": 14,
        "Glue in a bottle": 473, "Blade price": 24, "Blade life": 8, "Overhead": 12,
        "Bench time": 3, "Days worked": "all but sunday",
    },
}  # fmt: skip
"""A maker who knows what everything costs and has a day by which the servers are wanted."""


def readings(board: str, first: int, set_in: float, corners: Sequence[Sequence[float]], **notes: str) -> list[Row]:
    """Rows of Measurements: four corners, then the middle, for slices numbered from `first`."""
    return [
        [
            f"{board}-{first + index}",
            board,
            set_in,
            near_left,
            near_right,
            middle,
            far_left,
            far_right,
            None,
            None,
            None,
            None,
            notes.get(f"n{first + index}"),
        ]
        for index, (near_left, near_right, far_left, far_right, middle) in enumerate(corners)
    ]


SERVER_READINGS = [
    *readings(
        "C1", 1, 0.055,
        [(0.0575, 0.058, 0.058, 0.058, 0.0575), (0.0575, 0.0575, 0.058, 0.058, 0.058)],
        n1="first off the board",
    ),
    *readings(
        "C1", 3, 0.052,
        [
            (0.0545, 0.055, 0.055, 0.055, 0.0545),
            (0.055, 0.055, 0.0555, 0.0555, 0.055),
            (0.0545, 0.0545, 0.055, 0.055, 0.055),
            (0.055, 0.0545, 0.0555, 0.055, 0.055),
            (0.0545, 0.0545, 0.055, 0.0555, 0.055),
        ],
    ),
    *readings(
        "H1", 1, 0.018,
        [(0.0195, 0.019, 0.0195, 0.0195, 0.0195), (0.019, 0.0195, 0.02, 0.0195, 0.0195)],
    ),
    *readings(
        "H1", 3, 0.0165,
        [
            (0.018, 0.0185, 0.018, 0.0185, 0.018),
            (0.018, 0.018, 0.0185, 0.018, 0.018),
            (0.0175, 0.018, 0.018, 0.0185, 0.018),
            (0.0155, 0.018, 0.0185, 0.021, 0.0185),
            (0.018, 0.018, 0.018, 0.0185, 0.018),
            (0.0175, 0.018, 0.0185, 0.018, 0.018),
        ],
        n6="blade pulled at the knot",
    ),
    *readings("P1", 1, 0.03, [(0.033, 0.033, 0.0335, 0.0335, 0.033)]),
    *readings(
        "P1", 2, 0.027,
        [(0.03, 0.03, 0.0305, 0.0305, 0.03), (0.0295, 0.03, 0.03, 0.03, 0.03), (0.03, 0.03, 0.0305, 0.03, 0.03)],
    ),
]  # fmt: skip
SERVER_SPECIES = [
    ["American holly", 0.57, None, None, None, None, "weighed in the shop"],
    ["Persimmon", 0.76, None, None, None, None, "weighed in the shop"],
]

BOX_STOCK = [
    ["L1", "limba", 520, 70, 34.5, "flat", "8 %", 22, None, None],
    ["L2", "limba", 510, 70, 33, "flat", "8 %", 22, None, None],
    ["K1", "khaya", 500, 72, 41, "quarter", "8.5 %", 26, None, None],
    ["I1", "iroko", 505, 70, 32, "flat", "9 %", 19, None, "dust: mask and extraction"],
]
BOX_READINGS = [
    ["L1-1", "L1", 1.2, 1.27, 1.28, 1.27, 1.28, 1.29, None, None, None, None, None],
    ["L1-2", "L1", 1.2, 1.26, 1.27, 1.27, 1.28, 1.28, None, None, None, None, None],
    ["L1-3", "L1", 1.2, 1.27, 1.27, 1.28, 1.28, 1.28, None, None, None, None, None],
    ["I1-1", "I1", 0.6, 0.65, 0.65, 0.64, 0.66, 0.65, None, None, None, None, None],
    ["I1-2", "I1", 0.6, 0.64, 0.65, 0.65, 0.65, 0.66, None, None, None, None, None],
]

WOBBLE = (0.0, 0.01, -0.01, 0.02, 0.0, -0.02, 0.01, -0.01, 0.0, 0.02, -0.01)
"""What our invented slices are off by, over and over [mm]."""


def sawn_mm(board: str, thicknesses: Sequence[float]) -> list[Row]:
    """Rows of Measurements in millimetres: slices of these thicknesses, each a hair off at every corner."""
    rows: list[Row] = []
    for number, thickness in enumerate(thicknesses, 1):
        five = [round(thickness + WOBBLE[(5 * number + 2 * place) % len(WOBBLE)], 2) for place in range(5)]
        rows.append(
            [f"{board}-{number}", board, round(thickness - 0.05, 2), *five, None, None, None, None, None]
        )  # fmt: skip
    return rows


BOWL_STOCK = [
    ["W1", "white ash", 282, 58, 62, "flat", "7.5 %", 14, None, None],
    ["W2", "white ash", 280, 58, 58, "flat", "7.5 %", 14, None, None],
    ["D1", "purpleheart", 285, 60, 40, "quarter", "8 %", 26, None, None],
    ["D2", "purpleheart", 285, 60, 34, "quarter", "8 %", 22, None, "short at one corner, still full width"],
    ["R1", "red alder", 290, 58, 52, "flat", "7 %", 9, None, None],
    ["R2", "red alder", 290, 58, 48, "flat", "7 %", 9, None, None],
]
BOWL_READINGS = [
    *sawn_mm("W1", [3.0] * 12),
    *sawn_mm("W2", [3.0] * 6),
    *sawn_mm("D1", [1.2] * 12),
    *sawn_mm("D2", [1.2] * 11),
    *sawn_mm("R1", [2.0] * 12),
    *sawn_mm("R2", [3.0] * 6),
]

DEMOS = [
    Demo(
        "salad_servers_planned.xlsx", "in",
        {"Stock": SERVER_STOCK, "Panels": SERVER_PANELS, "Targets": SERVER_TARGETS, "Species": SERVER_SPECIES,
         "Handles": SERVER_HANDLES},
        SERVER_SETTINGS,
    ),
    Demo(
        "salad_servers_half_sawn.xlsx", "in",
        {
            "Stock": SERVER_STOCK, "Panels": SERVER_PANELS, "Targets": SERVER_TARGETS, "Measurements": SERVER_READINGS,
            "Species": SERVER_SPECIES, "Handles": SERVER_HANDLES,
        },
        SERVER_SETTINGS,
    ),
    Demo(
        "box_sides_metric.ods", "mm",
        {
            "Stock": BOX_STOCK,
            "Panels": [["Sides", 235, 62, 9, "no", 1, None, None, None, None, "four sides and a lid rim"]],
            "Targets": [
                ["Sides", "limba", 1.2, 0.05, None, None],
                ["Sides", "iroko", 0.6, 0.05, None, None],
                ["Sides", "khaya", 2, 0.06, None, None],
                ["Sides", "iroko", 0.6, 0.05, None, None],
            ],
            "Measurements": BOX_READINGS,
            "Species": [["limba", 0.52, None, None, None, None, "weighed: our own offcut"]],
        },
        {
            "Job": {"Job": "Box sides"},
            "Shop": {
                "Dial division": 0.02, "Dial turn": 1, "Kerf allowance": 1.2, "Truing pass": 1.3, "Held back": 6,
                "Caliper division": 0.01, "Glue line": 0.08, "Crosscut kerf": 3, "Set-up time": 30,
                "Time per pass": "90 s", "Bench time": 2, "Glue price": 9.5, "Glue in a bottle": 500,
            },
        },
    ),
    Demo(
        "fruit_bowl.xlsx", "mm",
        {
            "Stock": BOWL_STOCK,
            "Panels": [
                ["Rings", 250, 50, 6, "yes", 1, None, None, None, None, "resawn into boards for the rings"],
                ["Tray", 250, 30, 6, "no", 1, None, None, None, None, "cut and glued twice"],
            ],
            "Targets": [
                ["Rings", "white ash", 3, None, None, None],
                ["Rings", "purpleheart", 1.2, None, None, None],
                ["Rings", "red alder", 2, None, None, None],
                ["Rings", "purpleheart", 1.2, None, None, None],
                ["Tray", "red alder", 3, None, None, None],
                ["Tray", "white ash", 3, None, None, None],
            ],
            "Measurements": BOWL_READINGS,
            "Species": [["red alder", 0.43, None, None, None, None, "weighed: our own offcut"]],
            "Bowls": [
                ["Fruit bowl", "Rings", 1, 176, 66, 4.5, 16, 15, 96, None, "arc", 3, 1, 9, None, None],
            ],
            "Steps": [
                ["Tray", "Tray", 1, 20, 45, "over", 0, 0, None],
                ["Tray", "Tray", 2, 39.26, 90, "end for end", 0, 0, None],
            ],
        },
        {
            "Job": {
                "Job": "Fruit bowl and tray", "Tolerance": 0.06, "Spare slices": 0, "End trim": 6, "Edge trim": 3,
                "Panels lost": 5, "Pieces lost": 25, "Charge whole boards": "yes", "Start date": date(2027, 2, 6),
            },
            "Shop": {
                "Dial division": 0.02, "Dial turn": 1, "Kerf allowance": 1.2, "Truing pass": 1.3, "Held back": 6,
                "Known offset": 0.05, "Caliper division": 0.01, "Glue line": 0.08, "Blank kerf": 0.9,
                "Ring saw kerf": 0.9, "Turning allowance": 1, "Labour rate": 32, "Work per panel": 60,
                "Work per piece": "3.5 h", "Glue price": 12, "Glue in a bottle": 750, "Overhead": 15,
                "Days worked": "weekends", "Bench time": 5,
            },
        },
    ),
]  # fmt: skip


def type_in(name: str, path: Path) -> None:
    """Type one demo into a blank, not refreshed yet."""
    demo = next(demo for demo in DEMOS if demo.name == name)
    settings = {sheet: list(pairs.items()) for sheet, pairs in demo.settings.items()}
    write_blank(path, demo.unit, {**demo.rows, **settings})


def make(folder: Path) -> list[Path]:
    """Make every demo in a folder."""
    made = []
    for demo in DEMOS:
        path = folder / demo.name
        type_in(demo.name, path)
        refresh(path)
        made.append(path)
    return made


if __name__ == "__main__":
    for path in make(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE):
        print(path)
