"""The workbooks to fill in follow the schema, in both formats, and those kept in templates/ are current."""

import zipfile
from pathlib import Path

import pytest
from odf.opendocument import load
from odf.table import ContentValidation, Table, TableRow
from openpyxl import load_workbook

from sheetkit.blank.content import blank_sheets, heading_of
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
