"""Result sheets grafted into outside .xlsx and .xlsm files: every byte that is not ours stays."""

import io
import zipfile

import pytest
from lxml import etree

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook, NotAWorkbook, ProtectedWorkbook, SignedWorkbook
from sheetkit.graft.xlsx import graft_xlsx

pytestmark = pytest.mark.shared

REFUSED = {
    "PhpSpreadsheet__form_pass_print.xlsm": (ProtectedWorkbook, "the list of sheets is locked"),
    "poi__workbookProtection-workbook_password_user_range-2010.xlsx": (
        ProtectedWorkbook,
        "the list of sheets is locked",
    ),
    "tika__testEXCEL_signed.xlsx": (SignedWorkbook, "digitally signed"),
    "MiniExcel__TestIssue272.xlsx": (NotAWorkbook, "a binary workbook of the old kind"),
    "fastexcel__only-content-types.xlsx": (NotAWorkbook, "no workbook part in it"),
    "made_truncated.xlsx": (DamagedWorkbook, "cut short"),
    "made_wrong_content_type.xlsx": (NotAWorkbook, "its own list calls it a text document"),
    "msoffcrypto-tool__example_password.xlsx": (EncryptedWorkbook, "protected by a password"),
    "xlnt__6_encrypted_libre.xlsx": (EncryptedWorkbook, "protected by a password"),
    "openpyxl__null_file.xlsx": (NotAWorkbook, "empty"),
    "poi__clusterfuzz-testcase-minimized-POIXSSFFuzzer-4828727001088000.xlsx": (
        DamagedWorkbook,
        "zip directory broken",
    ),
    "poi__clusterfuzz-testcase-minimized-POIXSSFFuzzer-5265527465181184.xlsx": (DamagedWorkbook, "wrong checksum"),
    "poi__duplicate-filename.xlsx": (DamagedWorkbook, "two parts of one name"),
    "poi__xlsx-corrupted.xlsx": (DamagedWorkbook, "the list of its main part is no XML"),
}


def workbooks(folder):
    files = [path for kind in ("xlsx", "hostile") for path in sorted((folder / "corpus" / kind).iterdir())]
    return [path for path in files if path.suffix in {".xlsx", ".xlsm"}]


def grafted(source, sheets):
    out = io.BytesIO()
    report = graft_xlsx(io.BytesIO(source), sheets, out)
    return out.getvalue(), report


def names_in(data):
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.namelist()


def check_new_parts(before, after):
    """What was added is well-formed and unpacks with the right checksum."""
    with zipfile.ZipFile(io.BytesIO(after)) as archive:
        for name in set(archive.namelist()) - set(names_in(before)):
            data = archive.read(name)
            if not name.endswith(".png"):
                etree.fromstring(data)


def test_grafting_into_every_outside_workbook_loses_nothing(shared_folder, rich_sheets, nothing_lost):
    wrong, refused = {}, set()
    for path in workbooks(shared_folder):
        before = path.read_bytes()
        if path.name in REFUSED:
            with pytest.raises(REFUSED[path.name][0]):
                grafted(before, rich_sheets)
            refused.add(path.name)
            continue
        try:
            after, report = grafted(before, rich_sheets)
            assert report.names == {"overview": "Overview", "cut_plan": "Cut plan"}
            nothing_lost(before, after)
            check_new_parts(before, after)
            again, _ = grafted(after, rich_sheets)
            assert again == after, "a second run changes nothing"
        except Exception as error:  # every file is to be named
            wrong[path.name] = f"{type(error).__name__}: {error}"[:300]
    assert wrong == {}
    assert refused == set(REFUSED)


def test_fewer_sheets_and_back_again_leave_no_orphans(shared_folder, rich_sheets, nothing_lost):
    overview, plan = rich_sheets
    bare = type(plan)(plan.key, plan.name, plan.rows[:2], plan.column_widths)
    wrong = {}
    for path in workbooks(shared_folder)[::4]:
        if path.name in REFUSED:
            continue
        before = path.read_bytes()
        full, _ = grafted(before, rich_sheets)
        less, _ = grafted(full, [overview, bare])
        try:
            nothing_lost(before, less)
            ours = set(names_in(less)) - set(names_in(before))
            assert not [name for name in ours if "chart" in name or "table" in name]
            back, _ = grafted(less, rich_sheets)
            names = set(names_in(full))
            assert set(names_in(back)) == names
            nothing_lost(before, back)
        except Exception as error:  # every file is to be named
            wrong[path.name] = f"{type(error).__name__}: {error}"[:300]
    assert wrong == {}


def test_a_signed_workbook_is_grafted_when_the_maker_agrees(shared_folder, rich_sheets, nothing_lost):
    before = (shared_folder / "corpus/xlsx/tika__testEXCEL_signed.xlsx").read_bytes()
    out = io.BytesIO()
    graft_xlsx(io.BytesIO(before), rich_sheets, out, allow_signed=True)
    nothing_lost(before, out.getvalue())
