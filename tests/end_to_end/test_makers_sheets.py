"""Sheets of the maker's that could be taken for ours, and ours that could be taken for the maker's, in both formats."""

import re
import zipfile
from xml.sax.saxutils import escape

import pytest
from openpyxl import load_workbook

from sheetkit import check, refresh
from sheetkit.reading import open_workbook

STOCK = [["A1", "black cherry", 20, 3, 1.5, None, None, 12], ["B1", "black walnut", 20, 3, 1.2, None, None, 30]]
TARGETS = [["P", "black cherry", 0.05, 0.002, 8], ["P", "black walnut", 0.02, 0.002, 7]]
PANELS = [["P", 9, 2.5]]
OWN = [["Glue, two bottles", 8.2], ["Blades", 31.5]]
LEFT_ALONE = "Your own sheet Cost was left alone; sheetkit's is called Cost (results)."


@pytest.fixture
def job(fill, tmp_path, suffix):
    path = fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})
    refresh(path)
    return path


def edit_ods(path, change):
    """Change the text of content.xml; all other members stay."""
    with zipfile.ZipFile(path) as package:
        parts = [(entry, package.read(entry)) for entry in package.infolist()]
    with zipfile.ZipFile(path, "w") as package:
        for entry, data in parts:
            package.writestr(entry, change(data.decode()).encode() if entry.filename == "content.xml" else data)


def ods_table(text, name):
    found = re.search(rf'<table:table [^>]*table:name="{name}".*?</table:table>', text, re.DOTALL)
    assert found is not None
    return found[0]


def ods_cell(value):
    if isinstance(value, str) and value.startswith("of:="):
        return f'<table:table-cell table:formula="{escape(value, {chr(34): "&quot;"})}"/>'
    if isinstance(value, str):
        return f'<table:table-cell office:value-type="string"><text:p>{escape(value)}</text:p></table:table-cell>'
    return f'<table:table-cell office:value-type="float" office:value="{value}"/>'


def ods_sheet(name, rows):
    inner = "".join(f"<table:table-row>{''.join(map(ods_cell, row))}</table:table-row>" for row in rows)
    return f'<table:table table:name="{name}"><table:table-column/>{inner}</table:table>'


def own_sheet(path, name, rows, *, instead=None):
    """Add a sheet of the maker's, or put it in the place of another while every defined name stays as it is."""
    if path.suffix == ".ods":

        def change(text):
            old = ods_table(text, instead or "Summary")
            return text.replace(old, ods_sheet(name, rows) + ("" if instead else old))

        edit_ods(path, change)
        return
    book = load_workbook(path)
    if instead is not None:
        del book[instead]
    sheet = book.create_sheet(name)
    for row in rows:
        sheet.append(row)
    book.save(path)


def stored(path, name):
    """The bytes in which a sheet is stored."""
    with zipfile.ZipFile(path) as package:
        if path.suffix == ".ods":
            return ods_table(package.read("content.xml").decode(), name).encode()
        listed = package.read("xl/workbook.xml").decode()
        identity = re.search(rf'<sheet [^>]*name="{name}"[^>]*r?:id="(\w+)"', listed)[1]
        pointers = re.findall(r"<Relationship [^>]*>", package.read("xl/_rels/workbook.xml.rels").decode())
        pointer = next(each for each in pointers if f'Id="{identity}"' in each)
        return package.read("xl/" + re.search(r'Target="/?(?:xl/)?([^"]+)"', pointer)[1])


def marked(path):
    return open_workbook(path).result_sheets()


def test_a_sheet_the_maker_made_in_place_of_ours_keeps_every_byte(job, cells_of):
    own_sheet(job, "Cost", OWN, instead="Cost")
    before, cells = stored(job, "Cost"), cells_of(job, "Cost")
    assert cells == {(1, 1): "Glue, two bottles", (1, 2): 8.2, (2, 1): "Blades", (2, 2): 31.5}
    outcome = refresh(job)
    assert stored(job, "Cost") == before
    assert cells_of(job, "Cost") == cells
    assert outcome.sheets["cost"] == marked(job)["cost"] == "Cost (results)"
    assert cells_of(job, "Cost (results)")[2, 1].startswith("Written by sheetkit")
    assert LEFT_ALONE in cells_of(job, "Summary").values()
    first = job.read_bytes()
    assert refresh(job).written is False
    assert job.read_bytes() == first
    assert len(marked(job)) == len(outcome.sheets)


def test_a_sheet_the_maker_made_in_place_of_ours_may_be_an_input(job, cells_of):
    own_sheet(job, "Cost", [["Slice", "Board", "Nominal (in)", "Reading 1 (in)"], ["A1-1", "A1", 0.05, 0.052]],
              instead="Cost")  # fmt: skip
    workbook = open_workbook(job)
    assert workbook.disowned == ["Cost"]
    assert next(sheet for sheet in workbook.sheets if sheet.name == "Cost").cell(2, 4).value == 0.052
    before = stored(job, "Cost")
    refresh(job)
    assert stored(job, "Cost") == before


def test_our_sheet_renamed_or_with_rows_put_in_above_stays_ours(job, cells_of):
    if job.suffix == ".ods":
        two_rows = (
            '<table:table-row table:number-rows-repeated="2"><table:table-cell/></table:table-row><table:table-row'
        )

        def change(text):
            old = ods_table(text, "Cost")
            return text.replace(old, old.replace("<table:table-row", two_rows, 1))

        edit_ods(job, change)
    else:
        book = load_workbook(job)
        book["Cost"].insert_rows(1, 2)
        book.save(job)
    assert refresh(job).sheets["cost"] == "Cost"
    assert cells_of(job, "Cost")[2, 1].startswith("Written by sheetkit")


def test_our_sheet_is_known_after_another_program_moved_its_texts(job, soffice, tmp_path):
    """A spreadsheet program that saves the file keeps texts in its own way (shared strings in .xlsx)."""
    (tmp_path / "saved").mkdir()
    again = soffice(job, job.suffix[1:], tmp_path / "saved")
    workbook = open_workbook(again)
    assert workbook.disowned == []
    assert workbook.result_sheets() == marked(job)


def test_notes_with_formulas_without_results_are_no_finding(job):
    formula = "of:=[$'Cut plan'.A3]" if job.suffix == ".ods" else "='Cut plan'!A3"
    today = "of:=TODAY()" if job.suffix == ".ods" else "=TODAY()"
    own_sheet(job, "Notes", [["First pass", formula], ["Today", today]])
    before = stored(job, "Notes")
    assert len(open_workbook(job).without_result) == 2
    outcome = refresh(job)
    assert [problem for problem in outcome.problems if problem.sheet in ("Notes", "")] == []
    assert stored(job, "Notes") == before


def test_an_input_without_a_result_is_still_a_finding_and_never_nought(fill, tmp_path, suffix):
    path = fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})
    refresh(path)
    name = "Stock"
    if suffix == ".ods":
        cell = "<table:table-cell table:formula=\"of:=[$'Cut plan'.D9]\"/>"

        def change(text):
            old = ods_table(text, name)
            thick = re.search(r'<table:table-cell [^>]*office:value="1\.5".*?(?:</table:table-cell>|/>)', old)[0]
            return text.replace(old, old.replace(thick, cell, 1))

        edit_ods(path, change)
    else:
        book = load_workbook(path)
        place = next(c for row in book[name].iter_rows() for c in row if c.value == 1.5)
        place.value = "='Cut plan'!D9"
        book.save(path)
    found = [problem for problem in check(path).problems if "it refers to a result sheet" in problem.found]
    assert [problem.sheet for problem in found] == ["Stock"]


def test_a_copy_of_a_result_sheet_is_no_input_and_stays(job, cells_of):
    for title in ("Thickness check", "Stock use", "Cut plan"):
        if job.suffix == ".ods":

            def change(text, title=title):
                old = ods_table(text, title)
                bare = re.sub(r"<table:shapes>.*?</table:shapes>", "", old, flags=re.DOTALL)
                return text.replace(old, old + bare.replace(f'table:name="{title}"', f'table:name="Kept {title}"', 1))

            edit_ods(job, change)
        else:
            book = load_workbook(job)
            book.copy_worksheet(book[title]).title = f"Kept {title}"
            book.save(job)
    before = stored(job, "Kept Cut plan")
    outcome = refresh(job)
    assert [problem for problem in outcome.problems if "Kept" in problem.sheet or "Kept" in problem.found] == []
    assert stored(job, "Kept Cut plan") == before
    assert outcome.sheets["cut_plan"] == "Cut plan"
