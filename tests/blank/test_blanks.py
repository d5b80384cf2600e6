"""The workbooks to fill in follow the schema, in both formats, and those kept in templates/ are current."""

import zipfile
from datetime import date
from pathlib import Path

import pytest
from odf.number import DateStyle
from odf.opendocument import load
from odf.style import MasterPage, PageLayout, ParagraphProperties, Style
from odf.table import ContentValidation, Table, TableCell, TableRow
from odf.text import FileName, PageCount, PageNumber, SheetName
from openpyxl import load_workbook

from sheetkit.blank.content import HOW_TO, WOOD_NAMES, blank_sheets, heading_of
from sheetkit.blank.write import BLANKS, copy_blank, write_blank
from sheetkit.errors import CannotSave
from sheetkit.tables.schema import INPUT_SHEETS, STOCK

TEMPLATES = Path(__file__).parents[2] / "templates"
DATED_MEMBERS = {"docProps/core.xml", "meta.xml"}
"""Members that hold the moment of making, and nothing a maker sees."""


def members(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist() if name not in DATED_MEMBERS}


@pytest.mark.parametrize(("name", "unit"), BLANKS.items())
def test_the_templates_kept_are_those_the_schema_gives(name, unit, tmp_path):
    write_blank(tmp_path / name, unit)
    assert members(tmp_path / name) == members(TEMPLATES / name), "run: python -m sheetkit.blank templates"


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_every_input_sheet_of_the_schema_is_there_with_its_columns(unit, tmp_path):
    write_blank(tmp_path / "blank.xlsx", unit)
    book = load_workbook(tmp_path / "blank.xlsx")
    for spec in INPUT_SHEETS:
        headings = [cell.value for cell in book[spec.name][2]]
        expected = (
            ["Setting", "Value", "Unit", "Note"] if spec.settings else [heading_of(c, unit) for c in spec.columns]
        )
        assert headings == expected


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_both_formats_hold_the_same_cells(unit, tmp_path):
    write_blank(tmp_path / "blank.xlsx", unit)
    write_blank(tmp_path / "blank.ods", unit)
    book = load_workbook(tmp_path / "blank.xlsx")
    tables = {t.getAttribute("name"): t for t in load(tmp_path / "blank.ods").spreadsheet.getElementsByType(Table)}
    assert list(tables) == book.sheetnames
    for sheet in blank_sheets(unit, {}):
        rows = tables[sheet.name].getElementsByType(TableRow)
        headings = [str(cell.lastChild) for cell in rows[1].childNodes]
        assert headings == [cell.value for cell in book[sheet.name][2]]


def test_a_choice_is_offered_as_a_dropdown_that_does_not_refuse_other_text(tmp_path):
    write_blank(tmp_path / "blank.xlsx", "in")
    rules = load_workbook(tmp_path / "blank.xlsx")[STOCK.name].data_validations.dataValidation
    grain = next(rule for rule in rules if "quarter" in rule.formula1)
    assert grain.formula1 == '"flat,quarter,rift"'
    assert grain.showErrorMessage is False
    write_blank(tmp_path / "blank.ods", "in")
    rules = load(tmp_path / "blank.ods").getElementsByType(ContentValidation)
    assert any('"flat";"quarter";"rift"' in rule.getAttribute("condition") for rule in rules)


def test_a_heading_explains_itself_when_the_pointer_rests_on_it(tmp_path):
    write_blank(tmp_path / "blank.xlsx", "in")
    note = load_workbook(tmp_path / "blank.xlsx")["Stock"]["E2"].comment.text
    assert "first pass" in note
    assert note.endswith("Needed.")


def test_a_blank_is_never_copied_over_a_file(tmp_path):
    path = tmp_path / "job.xlsx"
    path.write_bytes(b"the maker's")
    with pytest.raises(CannotSave) as problem:
        copy_blank(path, "in")
    assert str(problem.value) == (
        f"{path}: found a file of that name, wanted a new name. To fix: choose another name, or move the old file away."
    )
    assert path.read_bytes() == b"the maker's"


def test_a_blank_for_a_folder_that_is_not_there_is_refused_in_words(tmp_path):
    path = tmp_path / "gone" / "job.ods"
    with pytest.raises(CannotSave) as problem:
        copy_blank(path, "mm")
    assert str(problem.value) == (
        f"{path}: found a folder that refused the file (No such file or directory), wanted a folder that can be "
        "written to. To fix: choose another folder."
    )


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_rows_of_a_blank_are_as_high_as_their_wrapped_text(unit, tmp_path):
    """No program is needed to fit them: letters take 0.85 of a digit's width, as measured, a line 15 points."""
    typed = {"Job": [["Job", "Six boxes with lids, for the autumn fair"]]}
    write_blank(tmp_path / "blank.xlsx", unit, typed)
    book, tall = load_workbook(tmp_path / "blank.xlsx"), 0
    for sheet in book:
        for row in sheet.iter_rows(min_row=3):
            texts = [c for c in row if isinstance(c.value, str) and c.alignment.wrap_text]
            widths = [len(c.value) / sheet.column_dimensions[c.column_letter].width for c in texts]
            lines = (sheet.row_dimensions[row[0].row].height or 15) / 15
            assert lines >= max([0.0, *widths]) * 0.85, (sheet.title, row[0].row)
            tall += lines > 1
    assert book["Job"].row_dimensions[3].height == 45
    assert tall > 15


def test_input_sheets_of_ods_lie_across_a_page_that_fits_their_width(tmp_path):
    write_blank(tmp_path / "blank.ods", "mm")
    book = load(tmp_path / "blank.ods")
    pages = {
        style.getAttribute("name"): style.getAttribute("masterpagename") for style in book.getElementsByType(Style)
    }
    tables = {t.getAttribute("name"): t.getAttribute("stylename") for t in book.spreadsheet.getElementsByType(Table)}
    assert {pages[tables[spec.name]] for spec in INPUT_SHEETS} == {"sheetkit_landscape"}
    assert {pages[tables[name]] for name in (HOW_TO, WOOD_NAMES)} == {"sheetkit_upright"}
    for layout in book.getElementsByType(PageLayout):
        properties = layout.firstChild
        assert properties.getAttribute("scaletox") == "1"
        assert properties.getAttribute("firstpagenumber") == "continue"
    [page] = [one for one in book.getElementsByType(MasterPage) if one.getAttribute("name") == "sheetkit_landscape"]
    header, footer = page.childNodes
    assert [len(header.getElementsByType(kind)) for kind in (SheetName, FileName)] == [1, 1]
    assert [len(footer.getElementsByType(kind)) for kind in (PageNumber, PageCount)] == [1, 1]


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_a_day_typed_into_a_blank_is_shown_year_first(suffix, tmp_path):
    path = tmp_path / f"blank{suffix}"
    write_blank(path, "mm", {"Job": [["Start date", date(2027, 3, 1)]]})
    if suffix == ".xlsx":
        formats = {c.number_format for c in load_workbook(path)["Job"]["B"] if isinstance(c.value, date)}
        assert formats == {"yyyy-mm-dd"}
        return
    book = load(path)
    [cell] = [c for c in book.getElementsByType(TableCell) if c.getAttribute("datevalue")]
    styles = {
        style.getAttribute("name"): style.getAttribute("datastylename") for style in book.getElementsByType(Style)
    }
    [day] = book.getElementsByType(DateStyle)
    assert styles[cell.getAttribute("stylename")] == day.getAttribute("name")
    assert [part.qname[1] + str(part) for part in day.childNodes] == ["year", "text-", "month", "text-", "day"]


def test_a_metric_blank_says_what_an_empty_cell_means_in_millimetres_too(tmp_path):
    """The inch is 25.4 mm exactly (NIST SP 811, appendix B.8)."""
    said = {}
    for unit in ("in", "mm"):
        write_blank(tmp_path / f"{unit}.xlsx", unit)
        rows = load_workbook(tmp_path / f"{unit}.xlsx")["Shop"].iter_rows(min_row=3)
        said[unit] = {row[0].value: row[3].value for row in rows}
    assert said["in"]["Held back"].endswith("Empty: 0.250 in.")
    assert said["mm"]["Held back"].endswith("Empty: 0.250 in (6.35 mm).")
    assert said["mm"]["Altitude"].endswith("Empty: 0 m.")


@pytest.mark.parametrize(
    ("unit", "meant"),
    [
        ("in", {"Glue pressure": "150 psi", "Force of a clamp": "1000 lbf", "Shop temperature": "70 °F"}),
        ("mm", {"Glue pressure": "1030 kPa", "Force of a clamp": "4450 N", "Shop temperature": "21 °C"}),
    ],
)
def test_what_an_empty_cell_means_is_said_in_the_unit_beside_it(unit, meant, tmp_path):
    """1034 kPa are 150 psi and 4448 N 1000 lbf (NIST SP 811, appendix B.8), 21 degrees C 70 degrees F, as rounded."""
    write_blank(tmp_path / "blank.xlsx", unit)
    rows = {row[0].value: row for row in load_workbook(tmp_path / "blank.xlsx")["Shop"].iter_rows(min_row=3)}
    for setting, default in meant.items():
        assert rows[setting][3].value.endswith(f"Empty: {default}.")
        assert default.endswith(f" {rows[setting][2].value}")


@pytest.mark.parametrize(("unit", "sides_mm"), [("in", (279.4, 215.9)), ("mm", (297.0, 210.0))], ids=["letter", "a4"])
def test_pages_of_ods_are_those_of_the_makers_country(unit, sides_mm, tmp_path):
    """ANSI/ASME Y14.1 size A, known as Letter, 11 in by 8.5 in, and ISO 216 size A4; from memory."""
    write_blank(tmp_path / "blank.ods", unit)
    found = set()
    for layout in load(tmp_path / "blank.ods").getElementsByType(PageLayout):
        width, height = (
            float(layout.firstChild.getAttribute(side).removesuffix("mm")) for side in ("pagewidth", "pageheight")
        )
        found.add((layout.firstChild.getAttribute("printorientation"), width, height))
    assert found == {("landscape", *sides_mm), ("portrait", *reversed(sides_mm))}


NUMBERS = {"Length (mm)", "Width (mm)", "Thickness (mm)", "Moisture (%)", "Price", "Thickness now (mm)", "Nominal (in)"}
"""Columns of Stock below which numbers are typed."""
BESIDE_NUMBERS = {"Grain", "Use"}
"""Those whose words stand at the right of numbers."""


def test_words_beside_numbers_are_kept_clear_of_them(tmp_path):
    """Numbers stand at the right, as their headings do; words of the next column would touch them."""
    write_blank(tmp_path / "blank.xlsx", "mm", {"Stock": [["A1", "limba", 520, 70, 34.5, "flat", 8, 22, "first"]]})
    stock = load_workbook(tmp_path / "blank.xlsx")["Stock"]
    headings = {cell.value: cell for cell in stock[2]}
    assert {name for name, cell in headings.items() if cell.alignment.horizontal == "right"} == NUMBERS
    assert {name for name, cell in headings.items() if cell.alignment.indent} == BESIDE_NUMBERS
    for name in BESIDE_NUMBERS:
        column = headings[name].column_letter
        assert stock[f"{column}3"].alignment.indent == 1
        assert stock.column_dimensions[column].alignment.indent == 1


def test_words_beside_numbers_are_kept_clear_of_them_in_ods_as_well(tmp_path):
    write_blank(tmp_path / "blank.ods", "mm", {"Stock": [["A1", "limba", 520, 70, 34.5, "flat", 8, 22, "first"]]})
    book = load(tmp_path / "blank.ods")
    places = {}
    for style in book.getElementsByType(Style):
        for part in style.getElementsByType(ParagraphProperties):
            places[style.getAttribute("name")] = (part.getAttribute("textalign"), part.getAttribute("marginleft"))
    [stock] = [t for t in book.spreadsheet.getElementsByType(Table) if t.getAttribute("name") == "Stock"]
    _, headings, first, empty = stock.getElementsByType(TableRow)
    found = {str(cell.lastChild): places.get(cell.getAttribute("stylename")) for cell in headings.childNodes}
    assert {name for name, place in found.items() if place == ("end", None)} == NUMBERS
    assert {name for name, place in found.items() if place == ("start", "2mm")} == BESIDE_NUMBERS
    for row in (first, empty):
        cells = dict(zip(found, row.childNodes, strict=True))
        apart = {name for name, cell in cells.items() if places.get(cell.getAttribute("stylename")) == ("start", "2mm")}
        assert apart == BESIDE_NUMBERS
