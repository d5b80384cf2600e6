"""Result sheets grafted into outside .xlsx and .xlsm files: every byte that is not ours stays."""

import io
import re
import struct
import zipfile

import pytest
from lxml import etree

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook, NotAWorkbook, ProtectedWorkbook, SignedWorkbook
from sheetkit.graft.xlsx import graft_xlsx
from sheetkit.reading.archive import open_package
from sheetkit.reading.relationships import relationships

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

INSERTED = {
    "workbook": {"sheet", "definedName", "definedNames"},
    "pointers": {"Relationship"},
    "types": {"Override"},
    "styles": {"numFmts", "numFmt", "font", "fonts", "fill", "fills", "border", "borders", "xf", "cellXfs"},
}
"""What may be put into each of the parts that may change."""

TOKENS = re.compile(r"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<(?:[^\"'>]|\"[^\"]*\"|'[^']*')*>|[^<]+", re.DOTALL)
COUNT = re.compile(r"(\scount\s*=\s*)[\"'][0-9]+[\"']")


def workbooks(folder):
    files = [path for kind in ("xlsx", "hostile") for path in sorted((folder / "corpus" / kind).iterdir())]
    return [path for path in files if path.suffix in {".xlsx", ".xlsm"}]


def grafted(source, sheets):
    out = io.BytesIO()
    report = graft_xlsx(io.BytesIO(source), sheets, out)
    return out.getvalue(), report


def entries(data):
    """Name, packed bytes and what the directory says of each entry, read without the code under test."""
    found = {}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for info in archive.infolist():
            name_length, extra_length = struct.unpack_from("<2H", data, info.header_offset + 26)
            start = info.header_offset + 30 + name_length + extra_length
            about = (info.orig_filename, info.date_time, info.CRC, info.file_size, info.compress_type, info.comment)
            about += (info.external_attr, info.create_system, info.create_version)
            found[info.filename] = (data[start : start + info.compress_size], about)
    return found


def parts_that_may_change(data):
    """Entry name of each, and its kind."""
    with open_package(io.BytesIO(data)) as package:
        main = package.main_part
        folder, _, name = main.replace("\\", "/").rpartition("/")
        listing = package.find(f"{folder}/_rels/{name}.rels" if folder else f"_rels/{name}.rels")
        styles = [package.find(each.target) for each in relationships(package, main) if each.kind == "styles"]
        kinds = {main: "workbook", listing: "pointers", package.find("[Content_Types].xml"): "types"}
        return kinds | {name: "styles" for name in styles if name}


def text_of(data):
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16")
    return data.decode("utf-8")


def plain(token):
    return COUNT.sub(r"\1", token)


def whole_element(tokens, at):
    """Place behind the element that begins at a token."""
    depth = 0
    while True:
        token = tokens[at]
        at += 1
        if token.startswith("</"):
            depth -= 1
        elif token.startswith("<") and not token.endswith("/>"):
            depth += 1
        if depth == 0:
            return at


def insertions(before, after):
    """The elements that were put in; fails where taking them out does not give back what was there.

    Only the number in a count attribute may differ, and an empty tag may have been opened.
    """
    old, new = TOKENS.findall(before), TOKENS.findall(after)
    assert "".join(old) == before
    i = j = 0
    found = []
    while j < len(new):
        if i < len(old) and plain(old[i]) == plain(new[j]):
            i, j = i + 1, j + 1
            continue
        opened = i < len(old) and old[i].endswith("/>") and plain(old[i])[:-2] + ">" == plain(new[j])
        if opened:
            end = whole_element(new, j)
            inner, j = new[j + 1 : end - 1], end
            i += 1
            at = 0
            while at < len(inner):
                found.append(inner[at])
                at = whole_element(inner, at)
            continue
        assert re.match(r"<[\w:]", new[j]), f"neither kept nor an element put in: {new[j][:80]!r}"
        found.append(new[j])
        j = whole_element(new, j)
    assert i == len(old), f"lost: {old[i][:80]!r}"
    return {re.match(r"<(?:[\w.-]+:)?([\w.-]+)", token)[1] for token in found}


def check_nothing_lost(before, after):
    old, new = entries(before), entries(after)
    may_change = parts_that_may_change(before)
    assert list(new)[: len(old)] == list(old), "entries keep their order, ours come last"
    for name, (packed, about) in old.items():
        if name not in may_change:
            assert new[name] == (packed, about), name
            continue
        assert new[name][1][:2] == about[:2], name
        with zipfile.ZipFile(io.BytesIO(before)) as one, zipfile.ZipFile(io.BytesIO(after)) as other:
            put_in = insertions(text_of(one.read(name)), text_of(other.read(name)))
        assert put_in <= INSERTED[may_change[name]], name


def check_new_parts(before, after):
    """What was added is well-formed and unpacks with the right checksum."""
    with zipfile.ZipFile(io.BytesIO(after)) as archive:
        for name in set(archive.namelist()) - set(entries(before)):
            data = archive.read(name)
            if not name.endswith(".png"):
                etree.fromstring(data)


def test_grafting_into_every_outside_workbook_loses_nothing(shared_folder, rich_sheets):
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
            check_nothing_lost(before, after)
            check_new_parts(before, after)
            again, _ = grafted(after, rich_sheets)
            assert again == after, "a second run changes nothing"
        except Exception as error:  # every file is to be named
            wrong[path.name] = f"{type(error).__name__}: {error}"[:300]
    assert wrong == {}
    assert refused == set(REFUSED)


def test_fewer_sheets_and_back_again_leave_no_orphans(shared_folder, rich_sheets):
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
            check_nothing_lost(before, less)
            ours = set(entries(less)) - set(entries(before))
            assert not [name for name in ours if "chart" in name or "table" in name]
            back, _ = grafted(less, rich_sheets)
            names = set(entries(full))
            assert set(entries(back)) == names
            check_nothing_lost(before, back)
        except Exception as error:  # every file is to be named
            wrong[path.name] = f"{type(error).__name__}: {error}"[:300]
    assert wrong == {}


def test_a_signed_workbook_is_grafted_when_the_maker_agrees(shared_folder, rich_sheets):
    before = (shared_folder / "corpus/xlsx/tika__testEXCEL_signed.xlsx").read_bytes()
    out = io.BytesIO()
    graft_xlsx(io.BytesIO(before), rich_sheets, out, allow_signed=True)
    check_nothing_lost(before, out.getvalue())
