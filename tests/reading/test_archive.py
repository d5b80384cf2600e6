"""Files that are no workbook, are locked or broken, or were built to exhaust the reader: refused in one clear line."""

import io
import re
import struct
import zipfile
from pathlib import Path

import openpyxl
import pytest

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook, FileProblem, NotAWorkbook
from sheetkit.reading import archive, open_workbook, safe_xml
from sheetkit.reading.archive import MAX_ENTRIES, open_package
from sheetkit.reading.model import Format

WANTED = "an .xlsx, .xlsm or .ods workbook"
SAVE_AS = "open it in the spreadsheet program and save it as .xlsx or .ods"
SAVE_AGAIN = "open it in the spreadsheet program and save it again"


def refusal(path):
    with pytest.raises(FileProblem) as caught:
        open_workbook(path)
    error = caught.value
    return type(error), error.where, error.found, error.wanted, error.fix


def ole2(*streams):
    """Enough of an OLE2 file to be told by: its magic and the names in its directory (MS-CFB 2.2 and 2.6.1)."""
    names = b"".join(name.encode("utf-16-le").ljust(128, b"\0") for name in streams)
    return bytes.fromhex("D0CF11E0A1B11AE1").ljust(512, b"\0") + names


OTHER_FILES = {
    "empty": (b"", "an empty file", "restore it from a copy"),
    "text": (b"Board,Species\nP1,pear\n", "plain text", SAVE_AS),
    "web page": (b"<html><table></table></html>", "a web page or XML file", SAVE_AS),
    "flat": (b'<?xml version="1.0"?>\n<office:document>', "a workbook in one flat XML file", SAVE_AS),
    "pdf": (b"%PDF-1.7\n", "a PDF file", SAVE_AS),
    "picture": (b"\x89PNG\r\n\x1a\n\0\0", "a file of another kind", SAVE_AS),
    "xls": (ole2("Root Entry", "Workbook"), "an old binary .xls workbook", SAVE_AS),
    "doc": (ole2("Root Entry", "WordDocument"), "an old binary office file", SAVE_AS),
}


@pytest.mark.parametrize(("content", "found", "fix"), OTHER_FILES.values(), ids=OTHER_FILES.keys())
def test_what_is_no_workbook_is_named(tmp_path, content, found, fix):
    path = tmp_path / "job.xlsx"
    path.write_bytes(content)
    assert refusal(path) == (NotAWorkbook, "job.xlsx", found, WANTED, fix)


def test_a_workbook_wrapped_for_a_password_is_said_to_be_locked(tmp_path):
    path = tmp_path / "job.xlsx"
    path.write_bytes(ole2("Root Entry", "EncryptionInfo", "EncryptedPackage"))
    fix = "open it in the spreadsheet program and save it without a password"
    assert refusal(path) == (EncryptedWorkbook, "job.xlsx", "a password", "a workbook that opens without one", fix)


def test_an_ods_whose_manifest_speaks_of_encryption_is_locked(package, ods):
    parts = ods("")
    parts["META-INF/manifest.xml"] = parts["META-INF/manifest.xml"].replace(
        "</m:manifest>",
        '<m:file-entry m:full-path="content.xml" m:media-type="text/xml"><m:encryption-data/></m:file-entry>'
        "</m:manifest>",
    )
    assert refusal(package(parts, "job.ods"))[0] is EncryptedWorkbook


def test_a_zip_member_flagged_as_encrypted_is_locked(package, xlsx):
    path = package(xlsx("<sheetData/>"))
    data = path.read_bytes()
    path.write_bytes(data.replace(b"PK\x01\x02\x14\x03\x14\x00\x00\x00", b"PK\x01\x02\x14\x03\x14\x00\x01\x00"))
    assert refusal(path)[0] is EncryptedWorkbook


@pytest.mark.parametrize("name", ["missing.xlsx", "no/such/folder/job.ods"])
def test_a_missing_file_is_said_to_be_missing(tmp_path, name):
    expected = (FileProblem, Path(name).name, "no file of that name", WANTED, "check the name and the folder")
    assert refusal(tmp_path / name) == expected


def test_a_folder_is_no_workbook(tmp_path):
    assert refusal(tmp_path) == (NotAWorkbook, tmp_path.name, "a folder", WANTED, "name a file in it")


def test_a_pipe_is_refused_without_waiting_on_it(tmp_path):
    import os

    path = tmp_path / "job.xlsx"
    os.mkfifo(path)
    assert refusal(path) == (NotAWorkbook, "job.xlsx", "a device or pipe", WANTED, "name an ordinary file")


@pytest.mark.parametrize(
    ("refused", "found", "fix"),
    [
        (PermissionError(13, "Permission denied"), "a file you may not read", "ask its owner, or copy it"),
        (
            OSError(5, "Input/output error"),
            "a file that cannot be read (Input/output error)",
            "check the disk or the connection to it, then try again",
        ),
    ],
    ids=["not allowed", "disk"],
)
def test_a_file_that_cannot_be_opened_is_said_with_the_reason(monkeypatch, package, xlsx, refused, found, fix):
    path = package(xlsx("<sheetData/>"))

    def refuse(*_):
        raise refused

    monkeypatch.setattr(Path, "open", refuse)
    assert refusal(path) == (FileProblem, "job.xlsx", found, WANTED, fix)


def test_a_package_that_leads_to_no_workbook_is_none(package, xlsx):
    parts = xlsx("<sheetData/>")
    del parts["_rels/.rels"]
    expected = (NotAWorkbook, "job.xlsx", "a package without a workbook in it", WANTED, SAVE_AS)
    assert refusal(package(parts)) == expected


def test_an_ods_without_its_content_is_damaged(package, ods):
    parts = ods("")
    del parts["content.xml"]
    expected = (DamagedWorkbook, "job.ods", "no part named content.xml", "a sound workbook", SAVE_AGAIN)
    assert refusal(package(parts, "job.ods")) == expected


def test_a_name_that_no_file_can_have_is_refused_in_words(tmp_path):
    found = "a file that cannot be read (embedded null byte)"
    expected = (FileProblem, "job\N{REPLACEMENT CHARACTER}.xlsx", found, WANTED, "check the name and the folder")
    assert refusal(tmp_path / "job\0.xlsx") == expected


def test_a_package_whose_workbook_is_missing_is_damaged(package, xlsx):
    parts = xlsx("<sheetData/>")
    del parts["xl/workbook.xml"]
    expected = (DamagedWorkbook, "job.xlsx", "no part named xl/workbook.xml", "a sound workbook", SAVE_AGAIN)
    assert refusal(package(parts)) == expected


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_file_cut_short_is_damaged(package, xlsx, share):
    path = package(xlsx("<sheetData/>"))
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    expected = (DamagedWorkbook, "job.xlsx", "a file that is cut short or broken", "a sound workbook", SAVE_AGAIN)
    assert refusal(path) == expected


def test_a_changed_byte_in_a_part_is_damage(package, xlsx):
    path = package(xlsx("<sheetData>" + "<row/>" * 50 + "</sheetData>"))
    with zipfile.ZipFile(path) as archive:
        info = archive.getinfo("xl/worksheets/sheet1.xml")
    data = bytearray(path.read_bytes())
    data[info.header_offset + 30 + len(info.filename) + 20] ^= 0xFF
    path.write_bytes(data)
    kind, where, found, *rest = refusal(path)
    assert (kind, where) == (DamagedWorkbook, "job.xlsx (xl/worksheets/sheet1.xml)")
    assert re.fullmatch(r"a part that cannot be unpacked \(.+\)", found), "in brackets the words of the zip library"
    assert rest == ["a sound workbook", SAVE_AGAIN]


def test_other_zip_files_are_named(package):
    assert refusal(package({"notes.txt": "x"}))[2] == "a zip file of another kind"
    text = {"mimetype": "application/vnd.oasis.opendocument.text", "content.xml": "<a/>"}
    assert refusal(package(text, "job.ods"))[2] == "a document of another kind"
    template = {"mimetype": "application/vnd.oasis.opendocument.spreadsheet-template", "content.xml": "<a/>"}
    assert refusal(package(template, "job.ods"))[2] == "a template for workbooks"


@pytest.mark.parametrize(
    ("media", "found"),
    [
        (
            "application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml",
            "a document that is not a workbook",
        ),
        ("application/vnd.openxmlformats-officedocument.spreadsheetml.template.main+xml", "a template for workbooks"),
        ("application/vnd.ms-excel.addin.macroEnabled.main+xml", "an add-in"),
        ("application/vnd.ms-excel.sheet.binary.macroEnabled.main", "a binary .xlsb workbook"),
    ],
)
def test_a_main_part_of_another_type_is_named(package, xlsx, media, found):
    parts = xlsx("<sheetData/>")
    own = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(own, media)
    assert refusal(package(parts))[:3] == (NotAWorkbook, "job.xlsx", found)


def test_a_macro_workbook_is_known_by_its_main_type(package, xlsx):
    parts = xlsx("<sheetData/>")
    own = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    macro = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(own, macro)
    assert open_workbook(package(parts)).format is Format.XLSM


BOMB = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + "".join(
    f'<!ENTITY {name} "{f"&{previous};" * 10}">' for previous, name in zip("abcdefgh", "bcdefghi", strict=True)
)
DOCUMENT_TYPES = {
    "nested entities": BOMB + "]>",
    "one long entity": f'<!DOCTYPE x [<!ENTITY a "{"a" * 50_000}">]>',
    "outside entity": '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>',
    "outside definition": '<!DOCTYPE x SYSTEM "file:///etc/hostname">',
    "name only": "<!DOCTYPE x>",
}


@pytest.mark.parametrize("head", DOCUMENT_TYPES.values(), ids=DOCUMENT_TYPES.keys())
@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "_rels/.rels", "xl/styles.xml"])
def test_a_document_type_is_refused_in_any_part_of_an_xlsx(package, xlsx, head, part):
    parts = xlsx("<sheetData/>", styles='<styleSheet xmlns="MAIN"/>')
    declaration, end, rest = parts[part].partition("?>") if parts[part].startswith("<?") else ("", "", parts[part])
    parts[part] = declaration + end + head + rest
    expected = (DamagedWorkbook, f"job.xlsx ({part})", "a document type declaration", "a sound workbook", SAVE_AGAIN)
    assert refusal(package(parts)) == expected


@pytest.mark.parametrize("head", DOCUMENT_TYPES.values(), ids=DOCUMENT_TYPES.keys())
def test_a_document_type_is_refused_in_the_content_of_an_ods(package, ods, head):
    parts = ods('<table:table table:name="&a;"/>', head=head)
    expected = "a document type declaration"
    assert refusal(package(parts, "job.ods"))[:3] == (DamagedWorkbook, "job.ods (content.xml)", expected)


def test_an_old_manifest_may_name_its_document_type_but_declare_nothing(package, ods):
    parts = ods('<table:table table:name="Stock"/>')
    manifest = parts["META-INF/manifest.xml"]
    parts["META-INF/manifest.xml"] = manifest.replace("?>", '?><!DOCTYPE m:manifest PUBLIC "-//X//EN" "Manifest.dtd">')
    assert open_workbook(package(parts, "job.ods")).sheet_names() == ["Stock"]
    parts["META-INF/manifest.xml"] = manifest.replace("?>", '?><!DOCTYPE m:manifest [<!ENTITY a "b">]>')
    assert refusal(package(parts, "job.ods"))[2] == "a document type declaration"


@pytest.mark.parametrize("second", ["XL/Workbook.xml", "/xl/workbook.xml", "xl\\workbook.xml"])
def test_two_entries_that_are_the_same_part_are_refused(package, xlsx, second):
    path = package(xlsx("<sheetData/>") | {second: "<other/>"})
    expected = (DamagedWorkbook, "job.xlsx", f"two parts named {second}", "a sound workbook", SAVE_AGAIN)
    assert refusal(path) == expected


def test_names_that_climb_out_of_the_archive_are_only_names(package, xlsx, tmp_path):
    path = package(xlsx("<sheetData/>") | {"../../evil.txt": "x", "/etc/evil": "x"})
    before = sorted(tmp_path.parent.rglob("*"))
    assert open_workbook(path).sheet_names() == ["Stock"]
    assert sorted(tmp_path.parent.rglob("*")) == before


def test_parts_are_found_under_any_spelling_of_their_names(package, xlsx):
    parts = {name.replace("/", "\\").replace("sheet1", "Sheet1"): text for name, text in xlsx("<sheetData/>").items()}
    assert open_workbook(package(parts)).sheet_names() == ["Stock"]


def test_too_many_entries_are_refused(package, xlsx):
    path = package(xlsx("<sheetData/>") | {f"x/{number}": "" for number in range(MAX_ENTRIES)})
    assert refusal(path)[2] == f"{MAX_ENTRIES + 5:,} parts where {MAX_ENTRIES:,} is the most"


def test_a_directory_of_absurd_length_is_not_read(package, xlsx):
    """A ZIP64 end record that promises 16 MB of directory (APPNOTE 4.3.14 to 4.3.16)."""
    path = package(xlsx("<sheetData/>"))
    data = path.read_bytes()
    size = 2**24
    end64 = struct.pack("<4sQ2H2L4Q", b"PK\x06\x06", 44, 45, 45, 0, 0, 9, 9, size, 0)
    locator = struct.pack("<4sLQL", b"PK\x06\x07", 0, size, 1)
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, 9, 9, 0xFFFFFFFF, 0xFFFFFFFF, 0)
    with path.open("wb") as file:
        file.write(data)
        file.truncate(size)
        file.seek(size)
        file.write(end64 + locator + end)
    kind, _, found, *_ = refusal(path)
    assert (kind, found) == (DamagedWorkbook, "a list of parts longer than 8,388,608 bytes")


def test_a_part_that_inflates_beyond_the_ceiling_is_refused_before_it_fills_the_memory(package, xlsx):
    path = package(xlsx("<sheetData/>") | {"xl/media/image1.png": b"\0" * 3_000_000})
    with open_package(path) as opened:
        with pytest.raises(DamagedWorkbook) as caught:
            opened.read("xl/media/image1.png", ceiling=1_000_000)
        assert caught.value.found == "xl/media/image1.png unpacks to more than 1,000,000 bytes"
        assert len(opened.read("xl/media/image1.png", ceiling=3_000_000)) == 3_000_000


def test_a_part_that_lies_about_its_size_is_still_stopped(package, xlsx):
    path = package(xlsx("<sheetData/>") | {"x.bin": b"\0" * 3_000_000})
    data = path.read_bytes()
    path.write_bytes(data.replace(struct.pack("<L", 3_000_000), struct.pack("<L", 30)))
    with open_package(path) as opened, pytest.raises(DamagedWorkbook):
        opened.read("x.bin", ceiling=1_000_000)


def test_parts_that_are_too_large_together_are_refused(monkeypatch, package, xlsx):
    monkeypatch.setattr(archive, "MAX_TOTAL_BYTES", 50_000)
    path = package(xlsx("<sheetData/>") | {"x.bin": b"\0" * 60_000})
    with open_package(path) as opened, pytest.raises(DamagedWorkbook) as caught:
        opened.read("x.bin", ceiling=100_000)
    assert str(caught.value) == (
        "job.xlsx: found parts that unpack to more than 50,000 bytes in all, wanted a sound workbook. "
        f"To fix: {SAVE_AGAIN}."
    )


def test_a_small_part_that_is_large_is_refused(monkeypatch):
    monkeypatch.setattr(safe_xml, "MAX_TREE_BYTES", 10)
    with pytest.raises(DamagedWorkbook) as caught:
        safe_xml.parse_tree(b"<a><b/></a>", "job.xlsx (part)")
    assert str(caught.value) == (
        f"job.xlsx (part): found 11 bytes where far fewer are usual, wanted a sound workbook. To fix: {SAVE_AGAIN}."
    )


def test_a_bomb_in_a_part_that_nobody_reads_does_no_harm(package, xlsx):
    path = package(xlsx("<sheetData/>") | {"xl/media/image1.png": b"\0" * 100_000_000})
    assert open_workbook(path).sheet_names() == ["Stock"]


def test_a_packing_that_no_spreadsheet_program_uses_is_refused(tmp_path, xlsx):
    """Bzip2 inflates without a bound in one step, and neither standard allows it."""
    path = tmp_path / "job.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_BZIP2) as archive:
        for name, text in xlsx("<sheetData/>").items():
            archive.writestr(name, text)
    assert refusal(path)[2] == "[Content_Types].xml packed in a way that no spreadsheet program uses"


@pytest.mark.parametrize("depth", [300, 100_000])
def test_elements_nested_without_end_are_refused(read_xlsx, depth):
    with pytest.raises(DamagedWorkbook) as caught:
        read_xlsx("<a>" * depth + "</a>" * depth)
    assert caught.value.found == "elements nested more than 256 deep"


@pytest.mark.parametrize("name", ["signed", "unsigned"])
def test_a_signature_is_seen(package, xlsx, ods, name):
    extra = {"_xmlsignatures/sig1.xml": "<x/>"} if name == "signed" else {}
    with open_package(package(xlsx("<sheetData/>") | extra)) as opened:
        assert opened.signed is (name == "signed")
    extra = {"META-INF/documentsignatures.xml": "<x/>"} if name == "signed" else {}
    with open_package(package(ods("") | extra, "job.ods")) as opened:
        assert opened.signed is (name == "signed")


def test_a_package_opens_from_memory_and_leaves_the_stream_open(tmp_path):
    stream = io.BytesIO()
    openpyxl.Workbook().save(stream)
    with open_package(stream, "a job") as opened:
        assert (opened.where, opened.format, opened.main_part) == ("a job", Format.XLSX, "xl/workbook.xml")
        assert opened.find("/XL/Styles.xml") == "xl/styles.xml"
        assert opened.tree("xl/workbook.xml").tag.endswith("}workbook")
    assert not stream.closed


def test_reading_changes_nothing(package, xlsx):
    path = package(xlsx('<sheetData><row r="1"><c r="A1"><f>1/8</f></c></row></sheetData>'))
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    open_workbook(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
