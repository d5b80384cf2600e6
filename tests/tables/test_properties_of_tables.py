"""Junk around a table, and any text in a cell: the same records come out, and no number without an explanation."""

import re
import string

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetkit.errors import Harm
from sheetkit.units import folded, plain_text

HEADINGS = ["Board", "Species", "Length (in)", "Width (in)", "Thickness (in)", "Note"]
BOARDS = [
    ["E1", "wenge", 24.0, 1.5, 1.25, None],
    ["E2", "sugar maple", "2' 1\"", 1.5, '1-1/4"', "figured"],
    ["007", "padauk", 23.5, "1 1/2", 1.3, None],
    ["3-1", "wenge", None, None, 1.1, "short (knot)"],
]
NOTES = [
    "Bought at the spring sale, half price.",
    "Note: check the blade before the next run",
    "* measured at both ends",
]
TOTALS = [["Total", None, 71.5, None, None, None], ["Average", None, None, None, 1.2, None], ["Summe:", None, 71.5]]


def records(inputs):
    return [(row.board, row.species, row.length_mm, row.width_mm, row.thickness_mm, row.note) for row in inputs.boards]


@st.composite
def littered_sheets(draw):
    """A valid table moved about, with titles above, junk rows between, notes beside and below."""
    left = draw(st.integers(0, 3))
    above = draw(
        st.lists(
            st.sampled_from([[], ["Rack in the back shop"], [None, None, "spring 14 March"], ["", "  "]]), max_size=4
        )
    )
    order = draw(st.permutations(range(len(HEADINGS))))
    extra = draw(
        st.lists(st.sampled_from(["Sticker colour", "Bought from", "Shelf", "Photo"]), max_size=2, unique=True)
    )
    style = draw(
        st.sampled_from([str, str.upper, lambda text: f"  {text}\u00a0", lambda text: text.replace(" (", "\n(")])
    )
    units = draw(st.booleans())
    table = [[style(HEADINGS[column]) for column in order] + extra]
    if units:
        table[0] = [re.sub(r"\s*\(in\)", "", text, flags=re.IGNORECASE) for text in table[0]]
        table.append(["in" if "(in)" in HEADINGS[column] else None for column in order])
    for board in BOARDS:
        table += draw(st.lists(st.sampled_from([[], ["", " "], [None] * len(HEADINGS)]), max_size=2))
        table.append(
            [board[column] for column in order] + draw(st.lists(st.sampled_from(["red", 3, None]), max_size=len(extra)))
        )
    below = draw(st.lists(st.sampled_from(["total", "note", "blank"]), max_size=4))
    for what in below:
        if what == "total":
            total = draw(st.sampled_from(TOTALS))
            table.append([(total + [None] * 6)[column] for column in order])
        elif what == "note":
            table += [[], [draw(st.sampled_from(NOTES))]]
        else:
            table.append([])
    beside = draw(st.lists(st.sampled_from([None, "oil on Monday", "0.041", 7]), max_size=3))
    rows = above + [[None] * left + row for row in table]
    for position, content in enumerate(beside):
        if len(above) + position < len(rows):
            row = rows[len(above) + position]
            row += [None] * (left + len(HEADINGS) + len(extra) + 2 - len(row)) + [content]
    return rows


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=littered_sheets(), name=st.sampled_from(["Stock", "stock ", "STOCK", "Boards", "Rack", "Sheet1"]))
def test_junk_around_a_table_changes_nothing_of_its_records(read, sheet, rows, name):
    inputs = read(sheet(name, rows))
    clean = read(sheet("Stock", [HEADINGS, *BOARDS]))
    assert records(inputs) == records(clean)
    assert len(records(inputs)) == len(BOARDS)
    assert not [problem for problem in inputs.problems if problem.sheet and problem.harm < Harm.NOTED]


BROAD = string.ascii_letters + string.digits * 6 + " ./,-'\"½⅛″”’()+~?%@x=±:;µ°\u00a0\u2009–−４５⁄#&*[]|<>éß零"
DECIMAL = r"\d+(?:\.\d*)?(?:[eE][+-]?\d+)?|\.\d+(?:[eE][+-]?\d+)?"
NUMBER = rf"[+-]?(?:\d+\s*[-+& ]\s*(?:and\s+)?\d+\s*/\s*\d+|\d+\s*/\s*\d+|{DECIMAL})"
UNIT = r"\s*-?\s*[(\[]?\s*(?:ths?|nds?)?[ a-zA-Zμ'\"./64328]{0,20}[)\]]?"
PLAIN = re.compile(rf"'?(?:±|\+/?-)?{NUMBER}{UNIT}(?:[\s,-]*(?:and)?\s*{NUMBER}{UNIT})?\s*(?:[(\[{{].*|[.,;:]*)")


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(BROAD, max_size=40))
def test_no_text_in_a_thickness_cell_yields_a_number_that_is_not_explained(read, sheet, at, text):
    inputs = read(sheet("Measurements", [["Slice", "Thickness (in)"], ["E1-1", text]]))
    used = [row.readings_mm for row in inputs.measurements if row.readings_mm]
    if used:
        assert (
            at(inputs, "Measurements!B2")
            or PLAIN.fullmatch(plain_text(text).strip("' \""))
            or PLAIN.fullmatch(plain_text(text))
        )
    elif folded(text) not in BLANK:
        assert at(inputs, "Measurements!B2") or at(inputs, "Measurements!A2")


BLANK = {
    "",
    "-",
    "--",
    "---",
    "n/a",
    "na",
    "n.a.",
    "n.a",
    "/",
    ".",
    "nil",
    "none",
    "-.-",
    "keine",
    "keiner",
    "keines",
    "kein",
    "aucun",
    "aucune",
    "neant",
    "entfallt",
    "entf.",
    "k.a.",
    "k. a.",
    "./.",
    "-/-",
    "_",
    "__",
    "___",
    "not applicable",
    "n/m",
}


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    cells=st.lists(
        st.lists(
            st.one_of(
                st.none(), st.text(BROAD, max_size=20), st.floats(), st.booleans(), st.datetimes(), st.timedeltas()
            ),
            max_size=6,
        ),
        max_size=8,
    ),
    name=st.sampled_from(["Stock", "Targets", "Measurements", "Job", "Shop", "Panels", "Species", "Notes"]),
)
def test_no_sheet_of_junk_ever_raises(read, sheet, name, cells):
    inputs = read(sheet(name, cells))
    assert all(problem.found and problem.wanted and problem.fix for problem in inputs.problems)


@pytest.mark.parametrize("name", ["Stock", "Measurements", "Targets"])
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    cells=st.lists(
        st.one_of(st.none(), st.text(BROAD, max_size=20), st.floats(), st.booleans(), st.datetimes()),
        min_size=4,
        max_size=4,
    )
)
def test_a_bad_row_never_stops_the_good_ones(read, sheet, name, cells):
    tables = {
        "Stock": (
            ["Board", "Species", "Length (in)", "Thickness (in)"],
            ["E1", "wenge", 24, 1],
            ["E2", "wenge", 25, 1.1],
        ),
        "Targets": (
            ["Panel", "Species", "Tolerance (in)", "Thickness (in)"],
            ["P", "wenge", None, 0.04],
            ["P", "padauk", None, 0.05],
        ),
        "Measurements": (
            ["Slice", "Board", "Set (in)", "Reading 1 (in)"],
            ["E1-1", "E1", 0.04, 0.041],
            ["E1-2", "E1", 0.04, 0.041],
        ),
    }
    heading, first, last = tables[name]
    inputs = read(sheet(name, [heading, first, cells, last]))
    rows = inputs.boards + inputs.targets + inputs.measurements
    assert {2, 4} <= {row.place.row for row in rows} | ({4} if duplicate(rows, cells) else set())


def duplicate(rows, cells):
    """The junk row may happen to take the last row's name."""
    return any(str(cell) in {"E2", "E1-2"} for cell in cells) and bool(rows)
