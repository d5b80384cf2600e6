"""Values at the edge, in both formats: what is computed, what is said, and that office programs show no error value."""

import itertools
import math
import re
import zipfile
from datetime import date

import pytest
from lxml import etree
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH

from sheetkit import check, refresh

STOCK = [["A1", "black cherry", 20, 3, 1.5], ["B1", "wenge", 20, 3, 1.2]]
TARGETS = [["P", "wenge", 0.05, 0.002, 8], ["P", "black cherry", 0.05, 0.002, 8]]
PANELS = [["P", 9, 2.5]]
ODD_NAMES = [
    'it\'s "so"',
    "two\nlines",
    "שלום",
    "لوح ١",
    "👍🏽 🪵",
    "<&>]]>",
    "A1",
    "R1C1",
    "$B$2:C3",
    "x" * 31,
    "e\u0301",
]
WOODS = [f"wood {number}" for number in range(1000)]
TITLES = [
    "A1",
    "R1C1",
    "XFD1048576",
    "$B$2",
    "Stock.A1",
    "x" * 31,
    "שלום",
    "لوح ١",
    "It's a 'rack' too",
    'the "best"',
    "🪵 👍🏽 <&>",
]
"""Titles that need care wherever a cell is named; none begins or ends with an apostrophe, which the programs forbid."""
EDGES = {
    "zero boards": {"Targets": TARGETS, "Panels": PANELS},
    "one slice": {"Stock": STOCK, "Targets": [["P", "wenge", 0.05]], "Measurements": [["B1-1", "B1", 0.05, 0.053]]},
    "ten thousand layers": {"Stock": STOCK, "Targets": [["P", "wenge", 0.05, 0.002, 10_000]], "Panels": PANELS},
    "odd names": {
        "Stock": [[name, "wenge", 20, 3, 1.2] for name in ODD_NAMES],
        "Targets": [[name, "wenge", 0.05, 0.002, 2] for name in ODD_NAMES],
        "Panels": [[name, 9, 2.5] for name in ODD_NAMES],
        "Measurements": [[f"{name}-1", name, 0.05, 0.052, 0.053] for name in ODD_NAMES],
    },
    "a thousand species": {
        "Stock": [[f"B{number}", wood, 20, 3, 1.5] for number, wood in enumerate(WOODS)],
        "Targets": [["P", wood, 0.05, 0.002, 1] for wood in WOODS],
        "Panels": PANELS,
    },
}
"""Rows of a job by what is at its edge."""


def outcome(fill, path, rows):
    """Refreshed once; a second refresh finds nothing to write."""
    first = refresh(fill(path, rows))
    assert first.written
    again = refresh(path)
    assert (again.written, list(map(str, again.problems))) == (False, list(map(str, first.problems)))
    return first


def test_zero_boards(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["zero boards"])
    assert said.headlines[0] == "Can it be made? No: stock is short of wenge, black cherry. See what to buy."
    told = [str(problem) for problem in said.problems if problem.place == "Stock"]
    assert [line.partition(" To fix:")[0] for line in told] == [
        "Stock: found no row that can be used, wanted at least one row (one row is a board)."
    ]


def test_one_slice(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["one slice"])
    assert said.progress.slices_sawn == 1
    assert said.progress.offsets_mm["wenge"] == pytest.approx(0.003 * 25.4)


def test_ten_thousand_layers(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["ten thousand layers"])
    assert said.headlines[0] == "Can it be made? No: stock is short of wenge. See what to buy."
    assert any("of the 11000 wenge layers of 0.0500 in" in problem.found for problem in said.problems)


def test_a_thousand_species(fill, tmp_path, suffix):
    said = outcome(fill, tmp_path / f"job{suffix}", EDGES["a thousand species"])
    assert str(said.problems[0]) == (
        'Stock!B3: found "wood 0", a wood that is not in the list; it is planned under this name, without figures, '
        "wanted a wood that is known, for Species. To fix: check the spelling, or give the wood's own values on the "
        "sheet Species."
    )
    assert said.headlines[0] == (
        "Can it be made? Yes: 1000 of 1000 boards give every slice still to saw, spares included."
    )


def test_names_of_every_kind_come_back_as_typed(fill, tmp_path, suffix, cells_of):
    path = tmp_path / f"job{suffix}"
    said = outcome(fill, path, EDGES["odd names"])
    boards = {entry.value for record in said.records if record.sheet == "Stock" for entry in record.entries[:1]}
    assert boards == {" ".join(name.split()) for name in ODD_NAMES}
    shown = " ".join(str(value) for value in cells_of(path, said.sheets["stock_use"]).values())
    assert [name for name in ODD_NAMES if " ".join(name.split()) not in " ".join(shown.split())] == []


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("20 in", 508),
        ("0.5 m", 500),
        ("508000 µm", 508),
        ("1 ft 8 in", 508),
        ("20000 thou", 508),
    ],
)
def test_units_large_and_small(fill, tmp_path, suffix, text, millimetres):
    said = check(fill(tmp_path / f"job{suffix}", {"Stock": [["A1", "wenge", text, 3, 1.5]], "Targets": TARGETS[:1]}))
    board = next(record for record in said.records if record.sheet == "Stock")
    length = next(entry.value for entry in board.entries if entry.field == "length_mm")
    assert length == pytest.approx(millimetres)


@pytest.mark.parametrize("text", ["NaN", "nan", "inf", "-inf", "1e309", "Infinity", "-1e400"])
def test_what_is_not_a_finite_number_is_left_out_and_said(fill, tmp_path, suffix, text):
    rows = {"Stock": [*STOCK, ["C1", "wenge", 20, 3, text]], "Targets": TARGETS, "Panels": PANELS}
    said = outcome(fill, tmp_path / f"job{suffix}", rows)
    told = [problem for problem in said.problems if problem.place == "Stock!E5"]
    assert [problem.harm.words for problem in told] == ["left out"]
    assert text in told[0].found
    used = {entry.value for record in said.records if record.used for entry in record.entries}
    assert not any(isinstance(value, float) and not math.isfinite(value) for value in used)


@pytest.mark.parametrize("raw", ["NaN", "INF", "-INF", "1e999"])
def test_a_stored_number_that_is_not_finite(fill, tmp_path, suffix, raw):
    """Written by hand into the markup: no office program stores it, other programs do."""
    path = fill(tmp_path / f"job{suffix}", {"Stock": [*STOCK, ["C1", "wenge", 20, 3, 987.125]], "Targets": TARGETS})
    changed = 0
    with zipfile.ZipFile(path) as package:
        members = {name: package.read(name) for name in package.namelist()}
    with zipfile.ZipFile(path, "w") as package:
        for name, data in members.items():
            changed += data.count(b"987.125")
            package.writestr(name, data.replace(b"987.125", raw.encode()))
    assert changed
    said = check(path)
    told = [problem for problem in said.problems if problem.place == "Stock!E5"]
    assert [problem.harm.words for problem in told] == ["left out"]
    assert said.headlines[0].startswith("Can it be made? As far as could be read, yes")


START = "2024-01-08"
"""A start date that stands nowhere else in a blank."""


def started(fill, path, start=START):
    return fill(path, {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS}, {"Job": {"Start date": start}})


def start_of(path):
    """The start date as it was read, and what was said of it; the rest of the job is planned all the same."""
    said = refresh(path)
    assert said.headlines[0] in {
        "Can it be made? Yes: 2 of 2 boards give every slice still to saw, spares included.",
        "Can it be made? As far as could be read, yes; but 1 cell or row was left out.",
    }
    assert refresh(path).written is False
    read = [entry for record in said.records for entry in record.entries if entry.field == "start"]
    return read[0].value, [str(problem) for problem in said.problems if problem.place == f"Job!{read[0].cell}"]


def before_1900(found):
    return [f"Job!B22: found {found}, a day before 1900, wanted a date from 1900 on. "
            "To fix: type the date as 2024-03-14."]  # fmt: skip


def after_2999(found):
    return [f"Job!B22: found {found}, a day after 2999, wanted a date up to 2999. To fix: type the date as 2024-03-14."]


@pytest.mark.parametrize("text", ["1899-12-31", "1 January 1850", "0001-01-01", "1/2/1850"])
def test_a_date_before_1900_typed_as_text(fill, tmp_path, suffix, text):
    assert start_of(started(fill, tmp_path / f"job{suffix}", text)) == (None, before_1900(f'"{text}"'))


@pytest.mark.parametrize(
    ("day", "read", "said"),
    [
        ("1899-12-31", None, before_1900("1899-12-31")),
        ("1899-12-29", None, before_1900("1899-12-29")),
        ("1850-06-01", None, before_1900("1850-06-01")),
        ("0001-01-01", None, before_1900("0001-01-01")),
        ("1900-01-01", date(1900, 1, 1), []),
        ("2999-12-31", date(2999, 12, 31), []),
        ("9999-12-31", None, after_2999("9999-12-31")),
    ],
)
def test_an_old_date_kept_as_a_date_in_an_ods(fill, tmp_path, day, read, said):
    """LibreOffice keeps days from 1583 on, and some before, as dates."""
    path = started(fill, tmp_path / "job.ods")
    cell = f'office:value-type="date" office:date-value="{day}"'
    changed = rf"<table:table-cell \g<1>{cell}\g<2>>\g<3>{day}<"
    text = rf'<table:table-cell ([^>]*)office:value-type="string"([^>]*)>(<text:p[^>]*>){START}<'
    with zipfile.ZipFile(path) as package:
        members = {name: package.read(name) for name in package.namelist()}
    content, count = re.subn(text, changed, members["content.xml"].decode())
    with zipfile.ZipFile(path, "w") as package:
        for name, data in (members | {"content.xml": content.encode()}).items():
            package.writestr(name, data)
    assert (count, start_of(path)) == (1, (read, said))


NUMBER_OF_A_DAY = (
    "Job!B22: found {}, read as 2024-01-08 because it is the number under which spreadsheets keep this day, wanted a "
    "date. To fix: type 2024-01-08 if that is right, else the right date."
)


@pytest.mark.parametrize(
    ("first", "number", "shown_as", "read", "said"),
    [
        (1900, -5, "yyyy-mm-dd", None, before_1900("-5")),
        (1900, 0, "yyyy-mm-dd", None, before_1900("0")),
        (1900, 1, "yyyy-mm-dd", date(1900, 1, 1), []),
        (1900, 45299, "yyyy-mm-dd", date(2024, 1, 8), []),
        (1900, 45299, "General", date(2024, 1, 8), [NUMBER_OF_A_DAY.format(45299)]),
        (1904, -5, "yyyy-mm-dd", None, before_1900("-5")),
        (1904, 0, "yyyy-mm-dd", date(1904, 1, 1), []),
        (1904, 43837, "yyyy-mm-dd", date(2024, 1, 8), []),
        (1904, 43837, "General", date(2024, 1, 8), [NUMBER_OF_A_DAY.format(43837)]),
    ],
)
def test_days_kept_as_numbers_in_an_xlsx_of_either_date_system(fill, tmp_path, first, number, shown_as, read, said):
    """8 January 2024 is day 45299 of the 1900 system and, 1462 days apart, 43837 of the 1904 system."""
    path = started(fill, tmp_path / "job.xlsx")
    book = load_workbook(path)
    book.epoch = MAC_EPOCH if first == 1904 else WINDOWS_EPOCH
    cell = book["Job"]["B22"]
    cell.value, cell.number_format = number, shown_as
    book.save(path)
    assert start_of(path) == (read, said)


def titled(fill, path, title):
    """A job whose sheet Stock has another title: known by its headings, whatever it is called."""
    fill(path, {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})
    if path.suffix == ".xlsx":
        book = load_workbook(path)
        book["Stock"].title = title
        book.save(path)
        return path
    with zipfile.ZipFile(path) as package:
        members = {name: package.read(name) for name in package.namelist()}
    for name in ("content.xml", "settings.xml"):
        root = etree.fromstring(members[name])
        for element in root.iter():
            for key, value in element.items():
                if value == "Stock":
                    element.set(key, title)
        members[name] = etree.tostring(root, xml_declaration=True, encoding="UTF-8")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in members.items():
            package.writestr(name, data)
    return path


@pytest.mark.parametrize(("suffix", "title"), [*itertools.product([".xlsx", ".ods"], TITLES), (".ods", "two\nlines")])
def test_an_input_sheet_of_any_title(fill, tmp_path, suffix, title):
    """No program writes a line break into a title in .xlsx."""
    said = refresh(titled(fill, tmp_path / f"job{suffix}", title))
    shown = " ".join(title.split())
    assert {" ".join(record.sheet.split()) for record in said.records if record.used} >= {shown, "Targets", "Panels"}
    assert said.headlines[0] == "Can it be made? Yes: 2 of 2 boards give every slice still to saw, spares included."
    assert refresh(tmp_path / f"job{suffix}").written is False


@pytest.mark.office
def test_libreoffice_finds_cells_of_sheets_of_any_title(fill, tmp_path, recalculated, cells_of):
    """Live figures lead to the board's cells by the title: worked out anew, they are what they were."""
    made = {}
    for number, title in enumerate([*TITLES, "two\nlines"]):
        path = titled(fill, tmp_path / f"job{number}.ods", title)
        made[path] = refresh(path).sheets
    for path, again in zip(made, recalculated(list(made)), strict=True):
        for tab in made[path].values():
            before, after = cells_of(path, tab), cells_of(again, tab)
            moved = {
                place: (value, after.get(place))
                for place, value in before.items()
                if after.get(place) != (pytest.approx(value) if isinstance(value, float) else value)
            }
            assert moved == {}, (path.name, tab)


@pytest.mark.office
def test_libreoffice_works_the_edges_out_without_an_error_value(fill, tmp_path, suffix, recalculated, cells_of):
    made = {}
    for edge, rows in EDGES.items():
        path = tmp_path / f"{edge.replace(' ', '_')}{suffix}"
        made[path] = refresh(fill(path, rows)).sheets
    # To .ods, since the program takes many minutes to write a thousand woods' sheets as .xlsx, though not to read them.
    folder = recalculated(list(made), to="ods")
    for path, sheets in made.items():
        again = folder / f"{path.stem}.ods"
        for tab in sheets.values():
            wrong = {
                f"{tab}!{get_column_letter(column)}{row}": value
                for (row, column), value in cells_of(again, tab).items()
                if str(value).startswith(("#REF", "#NAME", "#VALUE", "#DIV", "#N/A", "#NUM", "#NULL", "Err:"))
            }
            assert wrong == {}, path.name
