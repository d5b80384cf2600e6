"""What mutated workbooks once brought down, each fault as its whole kind."""

import io
import zipfile

import numpy as np
import pytest

from sheetkit import check, refresh
from sheetkit.blank.write import write_blank
from sheetkit.errors import CellProblem, DamagedWorkbook, UnreadableValue, one_line
from sheetkit.graft import graft_into
from sheetkit.report.model import Link, Look, ReportCell, ReportSheet
from sheetkit.report.pictures.colour import Ramp
from sheetkit.tables.headings import match_name, read_heading, unit_phrase
from sheetkit.tables.schema import INPUT_SHEETS
from sheetkit.units import Dimension, read_quantity


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Kirsche\nund Ahorn", "Kirsche und Ahorn"),
        ("a\tb\r\nc\x0bd\u2028e\u2029f", "a b  c d e f"),
        ("bell \x07, \x1b[31mred, \x9b", "bell \N{REPLACEMENT CHARACTER}, \N{REPLACEMENT CHARACTER}[31mred, "
         "\N{REPLACEMENT CHARACTER}"),
        ("lone \ud800", "lone \N{REPLACEMENT CHARACTER}"),
        ("\u202eslx.boj", "\N{REPLACEMENT CHARACTER}slx.boj"),
        ("שלום 👍🏽 نص e\u0301", "שלום 👍🏽 نص e\u0301"),
        ("x" * 700, "x" * 300 + " ... " + "x" * 300),
        ("ß" * 600, "ß" * 600),
    ],
)  # fmt: skip
def test_a_message_is_one_line_that_every_terminal_prints(text, line):
    assert one_line(text) == line
    problem = CellProblem("Stock", "A3", f'"{text}"'[:600], text, "mend it")
    assert (problem.wanted, len(str(problem).splitlines())) == (line, 1)
    refusal = DamagedWorkbook(text, text, "a sound workbook", "save it again")
    assert (refusal.where, refusal.found, len(str(refusal).splitlines())) == (line, line, 1)


LONG = [
    "9" * 101,
    "9" * 400,
    "9" * 5000,
    "0." + "1" * 5000,
    "9," * 3000 + "9",
    "1" * 5000 + "e9",
    "1 000" + " 000" * 2000,
]


@pytest.mark.parametrize("digits", LONG, ids=lambda text: f"{text[:6]} {len(text)}")
def test_endless_digits_are_no_number(digits):
    with pytest.raises(UnreadableValue) as caught:
        read_quantity(digits, Dimension.LENGTH, "in")
    assert caught.value.found in {f'"{digits}"', f'"{digits}" (a long text)', f'"{digits}" (more than one number)'}
    assert caught.value.wanted == "one length in inches"


def test_a_hundred_digits_are_still_a_number():
    assert read_quantity("0." + "1" * 98, Dimension.LENGTH, "mm")[0].value == pytest.approx(0.111111111111)


@pytest.mark.parametrize("words", ["9" * 5000, "1 " * 3000, "reading " + "1" * 5000, "a1 " * 900, "s" * 5000])
@pytest.mark.parametrize("spec", INPUT_SHEETS, ids=lambda spec: spec.name)
def test_endless_words_name_no_column(words, spec):
    assert match_name(read_heading(words).name, spec) is None


@pytest.mark.parametrize("words", ["1/0 in", "1/000 mm", "0.0 in", f"1/{'9' * 5000} in", f".{'9' * 5000} in"])
def test_a_part_of_a_unit_that_is_none_or_endless_is_no_unit(words):
    assert unit_phrase(words) is None


def test_a_linked_cell_before_a_plain_one_of_its_look(tmp_path):
    """Every format must be known before the first cell is written, also that of the plain cell."""
    path = tmp_path / "job.xlsx"
    write_blank(path, "in")
    looks = [look for look in Look if look is not Look.TITLE]
    rows = [[ReportCell("Note")], [ReportCell("sheetkit wrote this sheet")]]
    rows += [[ReportCell("there", look, link=Link("Note", "A1")), ReportCell("plain", look)] for look in looks]
    written = io.BytesIO()
    report = graft_into(path, [ReportSheet("note", "Note", rows, [20, 20])], written)
    assert report.names == {"note": "Note"}


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_thousands_of_names_used_twice_or_leading_nowhere_are_each_told_of(tmp_path, suffix):
    path = tmp_path / f"job{suffix}"
    boards = [[f"B{number}", "black cherry", 20, 3, 1.5] for number in range(300)]
    twice = [["S-1", "B1", 0.05, 0.05] for _ in range(1500)]
    nowhere = [[f"slice {number}", f"no board {number}", 0.05, 0.05] for number in range(1500)]
    write_blank(
        path, "in", {"Stock": boards, "Targets": [["P", "black cherry", 0.05]], "Measurements": twice + nowhere}
    )
    found = [problem.found for problem in check(path).problems]
    assert [text for text in found if "a second time" in text] == [
        '"S-1" a second time; A3 has it already, and this row is not used (likewise 1498 more cells below it)'
    ]
    assert sum("which is no board of Stock" in text for text in found) == 1500


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_the_same_said_of_thousands_of_rows_is_one_finding(tmp_path, suffix):
    path = tmp_path / f"job{suffix}"
    stock = [["A1", "black cherry", 20, 3, 1.5]]
    targets = [["P", "black cherry", 0.05], *(["P"] for _ in range(3000)), ["P", "black cherry", 0.05], ["P"]]
    write_blank(path, "in", {"Stock": stock, "Targets": targets})
    said = [str(problem) for problem in refresh(path).problems if problem.sheet == "Targets"]
    assert said == [
        f"Targets!{cells}: found nothing for {name} in row {row}{more}, wanted {name} for each row of Targets. "
        f"To fix: type the {name.lower()} of this layer, or empty the whole row."
        for cells, name, row, more in (
            ("B4:B3003", "Species", 4, " (likewise 2999 more cells below it)"),
            ("C4:C3003", "Thickness", 4, " (likewise 2999 more cells below it)"),
            ("B3005", "Species", 3005, ""),
            ("C3005", "Thickness", 3005, ""),
        )
    ]
    assert refresh(path).written is False


def test_a_slice_may_carry_an_endless_number(tmp_path):
    path = tmp_path / "job.xlsx"
    rows = {"Stock": [["A1", "black cherry", 20, 3, 1.5]], "Targets": [["P", "black cherry", 0.05]]}
    write_blank(
        path, "in", rows | {"Measurements": [["A1-" + "9" * 5000, "A1", 0.05, 0.051], ["A1-2", "A1", 0.05, 0.051]]}
    )
    assert refresh(path).written
    assert refresh(path).written is False


def test_an_endless_name_in_a_headline_loses_its_middle(tmp_path):
    path = tmp_path / "job.xlsx"
    wood = "snake\nwood" + "x" * 5000
    write_blank(path, "in", {"Stock": [["A1", "wenge", 20, 3, 1.5]], "Targets": [["P", wood, 0.05]]})
    assert all(len(line) < 1000 and line.isprintable() for line in check(path).headlines)


@pytest.mark.parametrize(
    "stray",
    [
        "<table:table-cell/>",
        '<table:table-row table:number-rows-repeated="3"><table:table-cell office:value="1"/></table:table-row>',
        '<table:table-column table:number-columns-repeated="2"/><table:covered-table-cell/>',
        '<table:table table:name="T"><table:table-cell office:value-type="float" office:value="1"/></table:table>',
    ],
)
@pytest.mark.parametrize("place", ["<office:spreadsheet>", "</office:spreadsheet>"])
def test_rows_and_cells_where_no_table_is_are_passed_over(tmp_path, stray, place):
    path = tmp_path / "job.ods"
    write_blank(path, "in", {"Stock": [["A1", "wenge", 20, 3, 1.5]], "Targets": [["P", "wenge", 0.05]]})
    with zipfile.ZipFile(path) as package:
        members = {name: package.read(name) for name in package.namelist()}
    changed = members["content.xml"].replace(
        place.encode(), (place + stray if "/" not in place else stray + place).encode()
    )
    assert changed != members["content.xml"]
    with zipfile.ZipFile(path, "w") as package:
        for name, data in (members | {"content.xml": changed}).items():
            package.writestr(name, data)
    assert [problem.found for problem in check(path).problems if problem.harm.words == "stops the job"] == []
    assert refresh(path).written
    assert refresh(path).written is False


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_an_entry_without_a_name_stays(tmp_path, suffix):
    path = tmp_path / f"job{suffix}"
    write_blank(path, "in")
    with zipfile.ZipFile(path, "a") as package:
        entry = zipfile.ZipInfo("x")
        entry.filename = ""
        package.writestr(entry, b"kept")
    assert refresh(path).written
    with zipfile.ZipFile(path) as package:
        assert package.read(next(info for info in package.infolist() if not info.filename)) == b"kept"


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
@pytest.mark.parametrize("name", ["[1]Sheet!A1", "Stock!A1", "'a b'!$C$3", "oops!AB12 and more", "!A1"])
def test_names_that_look_like_cells_stay_names_in_charts(tmp_path, name, suffix):
    path = tmp_path / f"job{suffix}"
    measured = [[f"B-{number}", "B", 0.05, 0.05 + number / 1000, 0.052] for number in range(1, 9)]
    rows = {"Stock": [["B", name, 20, 3, 1.5]], "Targets": [[name, name, 0.05, 0.002, 8]], "Panels": [[name, 9, 2.5]]}
    write_blank(path, "in", rows | {"Measurements": measured, "Job": [("Job", name)]})
    assert refresh(path).written
    assert refresh(path).written is False


@pytest.mark.parametrize("total_mm", [0.5, 60.0, 16_000.0, 17_000.0, 70_000.0, 3e6, 1e12])
def test_colours_of_a_panel_of_any_thickness_are_finite_to_its_very_ends(total_mm):
    """Red on one half, blue on the other; pixels at the ends, at the middle of each half, and beyond the panel."""
    ramp = Ramp(np.array([0.0, total_mm / 2, total_mm]), ["FF0000", "0000FF"])
    depths = (np.array([0.0, 0.25, 0.75, 1.0, 1.5]) * total_mm).astype(np.float32)
    with np.errstate(all="raise"):
        shown = ramp.mean(depths, np.zeros(5, np.float32))
    assert shown[:, 0] == pytest.approx([1, 1, 0, 0, 0], abs=1e-6)
    assert shown[:, 2] == pytest.approx([0, 0, 1, 1, 1], abs=1e-6)
