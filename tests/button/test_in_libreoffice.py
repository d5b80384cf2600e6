"""The button pressed in LibreOffice itself, without a window."""

import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.workbook.protection import WorkbookProtection
from python_calamine import CalamineWorkbook

from sheetkit import refresh
from sheetkit.errors import ProtectedWorkbook

pytestmark = pytest.mark.office

ROOT = Path(__file__).parents[2]
DEMOS = ROOT / "demo_workbooks"
TOLERANCE = {"salad_servers_half_sawn.xlsx": 0.0035, "box_sides_metric.ods": 0.11}
SHEETS_CONTEXT = "com.sun.star.sheet.SpreadsheetDocument"


def copy_of(name, folder):
    return Path(shutil.copy(DEMOS / name, folder / name))


def setting(path, name):
    """Value of a setting on the sheet Job, as an independent reader sees it, and the cell it stands in."""
    rows = CalamineWorkbook.from_path(str(path)).get_sheet_by_name("Job").to_python(skip_empty_area=False)
    row = next(number for number, row in enumerate(rows) if row[0] == name)
    return rows[row][1], f"B{row + 1}"


def freshness(seen):
    return [text for row in seen["summary"] for text in row if "up to date" in text or "refresh again" in text]


@pytest.mark.parametrize("name", TOLERANCE)
def test_a_change_is_saved_and_refreshed_and_the_maker_is_where_he_was(name, maker, tmp_path):
    path = copy_of(name, tmp_path)
    wanted = TOLERANCE[name]
    before, cell = setting(path, "Tolerance")
    assert before != wanted
    sheets = CalamineWorkbook.from_path(str(path)).sheet_names
    seen = maker({"open": str(path), "type": [["Job", cell, wanted]], "select": ["Stock", "B4:C6"]})
    assert seen["told"].startswith(f"{name}: refreshed.\n\nCan it be made? ")
    assert "\n\nWhat is wrong: " in seen["told"]
    assert setting(path, "Tolerance")[0] == wanted
    assert freshness(seen) == ["These figures: up to date"]
    assert (seen["shown"], seen["selected"]) == ("Stock", "$Stock.$B$4:$C$6")
    assert seen["sheets"] == sheets
    assert seen["documents"] == [seen["url"]] == [path.as_uri()]
    assert not seen["modified"]


def test_a_press_without_a_change_says_so_and_leaves_the_file_as_it_is(maker, tmp_path):
    path = copy_of("salad_servers_half_sawn.xlsx", tmp_path)
    refresh(path)
    kept = path.read_bytes()
    seen = maker({"open": str(path)})
    assert seen["told"].startswith(f"{path.name}: was up to date already.\n\n")
    assert path.read_bytes() == kept


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_the_first_time_summary_is_shown(ending, maker, tmp_path):
    path = Path(shutil.copy(ROOT / "templates" / f"metric{ending}", tmp_path / f"new{ending}"))
    seen = maker({"open": str(path), "select": ["Targets", "A3"]})
    assert seen["told"].startswith(f"{path.name}: refreshed.")
    assert seen["shown"] == "Summary"


def test_what_is_still_being_typed_is_kept(maker, tmp_path):
    path = copy_of("salad_servers_half_sawn.xlsx", tmp_path)
    seen = maker({"open": str(path), "select": ["Job", "D3"], "typing": "oil twice", "read": [["Job", "D3"]]})
    assert seen["read"]["Job!D3"].endswith("oil twice")
    assert str(load_workbook(path)["Job"]["D3"].value).endswith("oil twice")


def test_a_new_document_is_refused_and_stays_open(maker):
    seen = maker({"open": "private:factory/scalc", "type": [["Sheet1", "B2", "walnut"]], "read": [["Sheet1", "B2"]]})
    assert seen["told"].endswith(
        "is not kept on a disk of this machine yet, and only a file there can be refreshed. "
        "To fix: File > Save As, into a folder of yours, as .xlsx or .ods; then press the button there."
    )
    assert seen["read"] == {"Sheet1!B2": "walnut"}
    assert seen["modified"]


def test_without_a_window_no_box_waits_for_an_answer(maker):
    seen = maker({"open": "private:factory/scalc", "press_untold": True})
    assert "is not kept on a disk of this machine yet" in seen["told"]


def test_a_file_of_another_kind_is_refused_and_stays_open(maker, tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text("Board,Thickness\nA1,1.5\n")
    seen = maker({"open": str(path), "read": [["readings", "A2"]]})
    assert seen["told"].startswith(
        "readings.csv is none of the kinds of file that sheetkit works in: .xlsx, .xlsm, .ods."
    )
    assert seen["read"] == {"readings!A2": "A1"}


def test_a_document_open_for_reading_only_is_refused(maker, tmp_path):
    path = copy_of("salad_servers_half_sawn.xlsx", tmp_path)
    seen = maker({"open": str(path), "arguments": [["ReadOnly", True]]})
    assert seen["told"].startswith(f"{path.name} is open for reading only, so the results cannot be put into it.")


@pytest.mark.parametrize("ending", [".xlsx", ".ods"])
def test_a_document_with_a_password_is_refused_with_its_changes_kept(ending, maker, tmp_path):
    path = tmp_path / f"locked{ending}"
    maker({"open": "private:factory/scalc", "store": [str(path), "oakleaf"]})
    seen = maker({"open": str(path), "arguments": [["Password", "oakleaf"]], "type": [["Sheet1", "A1", 2]]})
    assert seen["told"].startswith(f"{path.name} is protected by a password, and sheetkit cannot look inside.")
    assert seen["modified"]


def test_what_sheetkit_refuses_is_told_in_its_words_and_the_document_opens_again(maker, tmp_path):
    path = Path(shutil.copy(ROOT / "templates" / "metric.ods", tmp_path / "mine.ods"))
    seen = maker({"open": str(path), "type": [["Job", "D3", "mine"]], "protect": "oakleaf", "select": ["Stock", "B4"]})
    assert refused(path, seen) == ["mine", "Stock"]


def test_what_sheetkit_refuses_in_xlsx_is_told_as_well(maker, tmp_path):
    path = tmp_path / "mine.xlsx"
    book = load_workbook(ROOT / "templates" / "metric.xlsx")
    book.security = WorkbookProtection(lockStructure=True)
    book["Job"]["D3"] = "mine"
    book.save(path)
    seen = maker({"open": str(path), "select": ["Stock", "B4"]})
    assert refused(path, seen) == ["mine", "Stock"]


def refused(path, seen):
    """Check that the maker got sheetkit's own words and has the document open; gives the note and the sheet shown."""
    with pytest.raises(ProtectedWorkbook) as refusal:
        refresh(path)
    assert seen["told"] == f"{path.name}: not refreshed.\n\n{refusal.value}"
    assert seen["documents"] == [seen["url"]] == [path.as_uri()]
    rows = CalamineWorkbook.from_path(str(path)).get_sheet_by_name("Job").to_python(skip_empty_area=False)
    return [rows[2][3], seen["shown"]]


def test_where_saving_fails_nothing_is_closed(maker, tmp_path):
    folder = tmp_path / "gone"
    folder.mkdir()
    path = copy_of("salad_servers_half_sawn.xlsx", folder)
    cell = setting(path, "Tolerance")[1]
    seen = maker({"open": str(path), "type": [["Job", cell, 0.004]], "remove": str(folder), "read": [["Job", cell]]})
    assert seen["told"].startswith(f"{path.name} could not be saved, so nothing was done (")
    assert float(seen["read"][f"Job!{cell}"]) == 0.004
    assert seen["modified"]


def test_button_menu_entry_and_pictures_are_in_the_settings(maker):
    seen = maker("settings")
    entry = ["sheetkit.button:refresh", "Save and refresh this job", SHEETS_CONTEXT]
    assert seen["menu"] == seen["button"] == entry
    assert seen["bar"] == ["standardbar", ".uno:Save", SHEETS_CONTEXT]
    assert seen["protocols"] == ["sheetkit.button:*"]
    assert [image.rsplit("/", 2)[1:] for image in seen["images"]] == [["icons", "16.png"], ["icons", "26.png"]]
