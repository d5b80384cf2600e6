"""Result sheets in the unit that the maker chose: the same figures under every choice, number by number."""

import re
import runpy
from pathlib import Path

import pytest
from lxml import etree
from openpyxl import load_workbook

from sheetkit import refresh
from sheetkit.job.results import compute
from sheetkit.page.compose import compose
from sheetkit.page.paper import LETTER, paper_for
from sheetkit.reading import open_workbook
from sheetkit.report.builder import FRESH_ROW
from sheetkit.report.model import HEADINGS
from sheetkit.report.sheets import result_sheets
from sheetkit.tables.read import read_inputs

MAKE = Path(__file__).parents[2] / "demo_workbooks" / "make_demos.py"
DEMOS = ("salad_servers_half_sawn", "fruit_bowl")
FRESHNESS = {"Now", "At the refresh"}
"""Sums over the input sheets, in which the cell Unit differs."""
TABLE, TEXT = (f"{{urn:oasis:names:tc:opendocument:xmlns:{name}:1.0}}" for name in ("table", "text"))
LENGTH = re.compile(r"\((in|mm|thou)\)$")


@pytest.fixture(scope="module")
def demo_in(tmp_path_factory, fill):
    """A refreshed workbook of a demo with Unit set, made once."""
    folder, made = tmp_path_factory.mktemp("units"), runpy.run_path(str(MAKE))
    demos = {Path(demo.name).stem: demo for demo in made["DEMOS"]}

    def of(name, unit, suffix):
        path = folder / f"{name} in {unit}{suffix}"
        if not path.exists():
            demo = demos[name]
            settings = {**demo.settings, "Job": {**demo.settings.get("Job", {}), "Unit": unit}}
            refresh(fill(path, demo.rows, settings, demo.unit))
        return path

    return of


@pytest.fixture(scope="module")
def figures_in(cells_of):
    """Every cell of the result sheets of a workbook by tab and place, read once."""
    known = {}

    def read(path):
        if path not in known:
            tabs = refresh(path, dry_run=True).sheets.values()
            known[path] = all_cells(path) if path.suffix == ".xlsx" else {tab: cells_of(path, tab) for tab in tabs}
        return known[path]

    return read


def all_cells(path):
    return {
        sheet.title: {(c.row, c.column): c.value for row in sheet.iter_rows() for c in row if c.value not in (None, "")}
        for sheet in load_workbook(path, data_only=True)
    }


def below_head(figures):
    """Without the head rows, where the link back stands as far to the right as the widths of the columns want it."""
    return {place: value for place, value in figures.items() if place[0] > FRESH_ROW}


def sheets_of(path):
    workbook = open_workbook(path)
    inputs = read_inputs(workbook)
    return result_sheets(workbook, inputs, compute(inputs))


def cells_under_headings(sheet):
    """(row, column), cell, heading above it or ""."""
    above = {}
    for number, row in enumerate(sheet.rows, 1):
        filled = [cell for cell in row if cell is not None]
        if filled and all(cell.look in HEADINGS for cell in filled):
            above = {column: cell.value for column, cell in enumerate(row, 1) if cell is not None}
            continue
        if filled and filled[0].columns == len(sheet.column_widths):
            above = {}
        for column, cell in enumerate(row, 1):
            if cell is not None:
                yield (number, column), cell, above.get(column, "")


def headings_of(sheet):
    return [cell.value for row in sheet.rows for cell in row if cell is not None and cell.look in HEADINGS]


def is_number(value):
    return isinstance(value, int | float) and not isinstance(value, bool)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("unit", ["thou", "64ths"])
def test_every_number_is_that_under_inches_or_a_thousand_times_it_as_its_heading_says(
    demo_in, figures_in, name, unit, suffix
):
    inches, other = demo_in(name, "in", suffix), demo_in(name, unit, suffix)
    compared = {1: 0, 1000: 0}
    for before, after in zip(sheets_of(inches), sheets_of(other), strict=True):
        one, two = (below_head(figures_in(path)[before.name]) for path in (inches, other))
        assert after.name == before.name
        assert one.keys() == two.keys()
        both = zip(cells_under_headings(before), cells_under_headings(after), strict=True)
        for (place, _, heading), (same_place, cell, new_heading) in both:
            if place[0] <= FRESH_ROW:
                continue
            assert place == same_place
            if not is_number(cell.value) or heading in FRESHNESS:
                continue
            factor = 1 if heading == new_heading else 1000
            assert factor == 1 or (heading[-4:], new_heading[-6:], unit) == ("(in)", "(thou)", "thou")
            # Figures are rounded to 12 decimals of their unit.
            assert two[place] == pytest.approx(factor * one[place], rel=0, abs=factor * 2e-12), (before.name, place)
            compared[factor] += bool(LENGTH.search(new_heading))
    assert compared[1] > 80
    assert (compared[1000] > 900) == (unit == "thou")


@pytest.mark.parametrize("name", DEMOS)
def test_every_heading_of_a_length_names_thou_or_inches(demo_in, name):
    inches, thou, parts = (sheets_of(demo_in(name, unit, ".xlsx")) for unit in ("in", "thou", "64ths"))
    for before, after, in_parts in zip(inches, thou, parts, strict=True):
        assert headings_of(before) == headings_of(in_parts)
        for old, new in zip(headings_of(before), headings_of(after), strict=True):
            assert new in ({old, old.replace("(in)", "(thou)")} if "(in)" in old else {old})
    named = {(sheet.key, heading) for sheet in thou for heading in headings_of(sheet)}
    assert named >= {
        ("dial_settings", "Set (thou)"), ("dial_settings", "Offset (thou)"), ("thickness_check", "Mean (thou)"),
        ("stock_use", "Start (in)"), ("lay_up", "As planned (in)"), ("lay_up", "Thickness (in)"),
        ("lay_up", "End taper (thou)"), ("summary", "As it stands (in)"), ("cost", "Start (in)"),
    }  # fmt: skip
    shown = {chart.x_title for sheet in thou for chart in sheet.charts} | {
        chart.y_title for sheet in thou for chart in sheet.charts
    }
    assert {title for title in shown if LENGTH.search(title)} == {
        "Set (thou)", "Measured (thou)", "Thickness (thou)", "Thickness (in)"
    }  # fmt: skip


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("unit", ["thou", "64ths"])
def test_as_many_cells_are_live_as_under_inches(demo_in, name, unit):
    def live(path):
        book = load_workbook(path)
        return {
            (tab, cell.coordinate)
            for tab in refresh(path, dry_run=True).sheets.values()
            for row in book[tab].iter_rows()
            for cell in row
            if cell.data_type == "f"
        }

    found = live(demo_in(name, unit, ".xlsx"))
    assert found == live(demo_in(name, "in", ".xlsx"))
    assert len(found) > 400


@pytest.mark.parametrize("name", DEMOS)
def test_fractions_are_number_formats_of_boards_panels_and_pieces(demo_in, name):
    """The cells hold numbers; the fixed denominator is a format, with a gap where text stands at its right."""
    formats = {
        (sheet.key, heading, cell.number_format.partition('"')[0])
        for sheet in sheets_of(demo_in(name, "64ths", ".xlsx"))
        for _, cell, heading in cells_under_headings(sheet)
        if is_number(cell.value) and LENGTH.search(heading)
    }
    coarse = {(key, heading) for key, heading, code in formats if code == "# ??/64"}
    fine = {(key, heading) for key, heading, code in formats if code == "0.0000"}
    assert coarse >= {("stock_use", "Start (in)"), ("lay_up", "As planned (in)"), ("summary", "As planned (in)")}
    assert fine >= {("dial_settings", "Set (in)"), ("thickness_check", "Mean (in)"), ("lay_up", "Planned (in)")}
    assert not coarse & fine


@pytest.mark.office
def test_libreoffice_shows_64ths_in_both_formats(demo_in, soffice, tmp_path):
    """By hand: 1.62 in are 1 39.68/64; 1.6 in 1 38.4/64; 1.12 in 1 7.68/64; 1.08 in 1 5.12/64; 1.3 in 1 19.2/64."""
    for suffix in (".xlsx", ".ods"):
        folder = tmp_path / suffix[1:]
        folder.mkdir()
        flat = soffice(demo_in("salad_servers_half_sawn", "64ths", suffix), "fods", folder)
        row_of = rows_shown(flat, "Stock use")
        start = [row_of[board][4] for board in ("C1", "C2", "H1", "H2", "P1")]
        assert start == ["1 40/64", "1 38/64", "1 8/64", "1 5/64", "1 19/64"]
        # Held back 0.25 in; together four boards are opened, so 1 in is held.
        assert row_of["C1"][9] == "16/64"
        assert row_of["Together"][9] == "1"


def rows_shown(flat, tab):
    """What each cell of a sheet shows, one list a row by the text of its first cell; pictures and charts aside."""
    root = etree.parse(flat, etree.XMLParser(huge_tree=True)).getroot()
    table = next(one for one in root.iter(f"{TABLE}table") if one.get(f"{TABLE}name") == tab)
    rows = {}
    for row in table.iterfind(f"{TABLE}table-row"):
        cells = []
        for cell in row:
            text = "".join(part.xpath("string()") for part in cell.iterfind(f"{TEXT}p"))
            cells += [" ".join(text.split())] * min(int(cell.get(f"{TABLE}number-columns-repeated", "1")), 20)
        rows.setdefault(cells[0], cells)
    return rows


def test_sentences_say_what_is_read_at_the_dial_in_its_unit(demo_in):
    """The dial stands at 16 turns of 0.05 in and 44 divisions of 0.0005 in: 0.822 in."""
    said = {
        unit: " ".join(refresh(demo_in("salad_servers_half_sawn", unit, ".xlsx"), dry_run=True).headlines)
        for unit in ("in", "thou", "64ths")
    }
    assert "dial to 16 turns + 44 divisions (0.8220 in) and saw slice C1-8; expect 0.0549 in." in said["in"]
    assert "dial to 16 turns + 44 divisions (822.0 thou) and saw slice C1-8; expect 54.9 thou." in said["thou"]
    assert said["64ths"] == said["in"]


def test_the_page_for_paper_says_the_same_and_stays_on_letter(demo_in):
    path = demo_in("salad_servers_half_sawn", "thou", ".ods")
    by_key = {sheet.key: sheet for sheet in sheets_of(path)}
    paper = paper_for(read_inputs(open_workbook(path)).unit)
    page = compose(by_key["summary"], by_key["cut_plan"], "From the salad servers.", paper)
    texts = {cell.value for row in page.rows for cell in row if cell is not None}
    assert paper is LETTER
    assert texts >= {"Set (thou)", "Dial at (thou)", "Left (in)", "As planned (in)", 822.0}
    assert refresh(path, dry_run=True).progress.unit == "thou"


def test_ring_templates_and_pictures_say_fractions(demo_in, tmp_path):
    """7.028 in are 7 1.8/64, rounded 7 2/64; 0.630 in are 40.3/64, rounded 5/8."""
    made = refresh(demo_in("fruit_bowl", "64ths", ".xlsx"), pictures=tmp_path).pictures
    template = next(Path(name) for name in made if name.endswith("board 1 full size.svg")).read_text("utf-8")
    assert "ring 5: 7 1/32 in across, tilt 24.5" in template
    assert "board 1 of 1, 5/8 in thick" in template


def test_a_glue_line_is_learned_in_thou_from_a_panel_in_inches(fill, suffix, cells_of, tmp_path):
    """By hand: (0.131 - 0.123) / 2 = 0.004 in = 4 thou."""
    slices = [[f"A-{n}", "A", 0.041, *[reading] * 5] for n, reading in enumerate((0.041, 0.040, 0.042), start=1)]
    rows = {
        "Stock": [["A", "white ash", 10, 3, 2.0]], "Targets": [["P", "white ash", 0.041, 0.002, 3]],
        "Panels": [["P", 9, 2.5, None, None, None, None, None, None, None, None, 0.131]], "Measurements": slices,
    }  # fmt: skip
    settings = {"Job": {"Unit": "thou"}, "Shop": {"Caliper division": 0.0001, "Glue line": 0.003}}
    path = fill(tmp_path / f"job{suffix}", rows, settings)
    refresh(path)
    cells = cells_of(path, "Lay-up")

    def below(heading):
        row, column = next(place for place, value in cells.items() if value == heading)
        return cells[row + 1, column]

    assert (
        "Type 4.0 thou into Glue line on Shop, in place of 3.0 thou: the glued panels come to 4.0 thou, give or take "
        "0.04 thou." in cells.values()
    )
    assert below("Its slices (in)") == pytest.approx(0.123, abs=1e-9)
    assert below("As glued (in)") == pytest.approx(0.131, abs=1e-9)
    assert below("Glue line (thou)") == pytest.approx(4.0, abs=1e-9)


def test_findings_tell_lengths_apart_that_fractions_would_not(fill, tmp_path):
    """A panel 10 in by 3 in asks for 10.5 in by 3.25 in with its trims; the board is 0.005 in too short."""
    rows = {
        "Stock": [["A", "white ash", 10.495, 4, 1.5]], "Targets": [["P", "white ash", 0.05, 0.002, 4]],
        "Panels": [["P", 10, 3]],
    }  # fmt: skip
    found = {}
    for unit in ("in", "thou", "64ths"):
        path = fill(tmp_path / f"{unit}.xlsx", rows, {"Job": {"Unit": unit}})
        problems = refresh(path, dry_run=True).problems
        found[unit] = next(str(problem) for problem in problems if "short by" in problem.fix)
    assert "board A, 10.495 in long" in found["in"]
    assert "at least 10.500 in" in found["in"]
    assert found["64ths"] == found["thou"] == found["in"]
