"""Grafting into workbooks that nobody here made: what is not ours keeps every byte."""

import io
import re
import struct
import zipfile

import pytest

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook, FileProblem, NotAWorkbook
from sheetkit.graft.ods import graft_ods

MEMBERS_A_GRAFT_MAY_EDIT = {"content.xml", "META-INF/manifest.xml"}

REFUSED = {
    "made_external_entity.ods": (DamagedWorkbook, "a document type declaration"),
    "made_truncated.ods": (DamagedWorkbook, "a file that is cut short or broken"),
    "odf-validator__mime_last.ods": (NotAWorkbook, "a document of another kind"),
    "odf-validator__no_manifest.ods": (DamagedWorkbook, "no part named META-INF/manifest.xml"),
    "openspout__non_zip.ods": (NotAWorkbook, "plain text"),
    "qsv__password-protected-password123.ods": (EncryptedWorkbook, "a password"),
    "spout__attack_billion_laughs.ods": (DamagedWorkbook, "a document type declaration"),
    "spout__file_corrupted.ods": (DamagedWorkbook, "no part named content.xml"),
}
"""Workbooks that are refused, and what the refusal says was found."""

PREFIX = rb"(?:[\w.-]+:)?"
STYLE = rb"(?:style|(?:number|percentage|currency|date|time|text)-style)"


def element_of_ours(kind, name):
    """An element with that name in its name attribute, whatever its prefix."""
    opening = rb"<" + PREFIX + kind + rb"(?= )[^>]*?[\w.-]+:name=\"" + name + rb"\"[^>]*?"
    return re.compile(opening + rb"(?:/>|>.*?</" + PREFIX + kind + rb">)", re.DOTALL)


OURS = [
    element_of_ours(STYLE, rb"sheetkit-[a-z]+\d+(?:p\d+)?"),
    element_of_ours(rb"table", rb"(?:Overview|Cut plan)"),
    element_of_ours(rb"named-range", rb"sheetkit_result_\w+"),
    element_of_ours(rb"database-range", rb"sheetkit_\w+"),
]
"""Elements of ours, found by other means than the graft's."""
HOLDERS = re.compile(
    rb"<(" + PREFIX + rb"(?:automatic-styles|named-expressions|database-ranges))((?: [^>]*[^/>])?)></\1>"
)
ENTRY_OF_OURS = re.compile(
    rb"<[\w.-]*:?file-entry [^>]*full-path=\"(?:sheetkit-chart-\d+/|Pictures/sheetkit-)[^\"]*\"[^>]*/>"
)


def without_ours(content, original):
    """The content with our elements taken out; a list left empty becomes what the original had there."""
    for pattern in OURS:
        content = pattern.sub(b"", content)

    def as_before(match):
        empty_tag = b"<" + match[1] + match[2] + b"/>"
        return match[0] if match[0] in original else empty_tag if empty_tag in original else b""

    return HOLDERS.sub(as_before, content)


def packed(path_or_file):
    """Each entry's headers and packed bytes, by name, in the archive's order."""
    entries = {}
    with zipfile.ZipFile(path_or_file) as archive:
        for info in archive.infolist():
            archive.fp.seek(info.header_offset + 26)
            lengths = struct.unpack("<2H", archive.fp.read(4))
            archive.fp.seek(sum(lengths), 1)
            raw = archive.fp.read(info.compress_size)
            kept = (info.date_time, info.compress_type, info.external_attr, info.comment, info.CRC, info.file_size)
            entries[info.filename] = (kept, raw)
    return entries


def complaints(path, sheets):
    """What a graft into the workbook, done twice, does wrong."""
    with path.open("rb") as source:
        once = io.BytesIO()
        report = graft_ods(source, sheets, once)
    twice = io.BytesIO()
    graft_ods(once, sheets, twice)
    if twice.getvalue() != once.getvalue():
        yield "a second graft changes it"
    if set(report.names) != {"overview", "cut_plan"}:
        yield f"report says {report.names}"
    before, after = packed(path), packed(once)
    new = [name for name in after if name not in before]
    if [name for name in after if name in before] != list(before):
        yield "entries are missing or in another order"
    if list(after)[-len(new) :] != new or not all("sheetkit" in name for name in new):
        yield f"new entries {new}"
    for name in before:
        if before[name] != after[name] and name not in MEMBERS_A_GRAFT_MAY_EDIT:
            yield f"{name} differs"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(once) as grafted:
        original = old.read("content.xml")
        if without_ours(grafted.read("content.xml"), original) != original:
            yield "content.xml differs in what is not ours"
        manifest = old.read("META-INF/manifest.xml")
        if ENTRY_OF_OURS.sub(b"", grafted.read("META-INF/manifest.xml")) != manifest:
            yield "the manifest differs in what is not ours"


@pytest.mark.shared
def test_every_readable_workbook_keeps_every_byte_that_is_not_ours(shared_folder, rich_sheets):
    books = [path for path in sorted((shared_folder / "corpus").rglob("*.ods")) if path.name not in REFUSED]
    assert len(books) > 50
    found = {path.name: list(complaints(path, rich_sheets)) for path in books}
    assert {name: said for name, said in found.items() if said} == {}


@pytest.mark.shared
@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_grafted_into_is_refused_with_a_reason(shared_folder, rich_sheets, name):
    kind, found = REFUSED[name]
    out = io.BytesIO()
    with (shared_folder / "corpus" / "hostile" / name).open("rb") as source, pytest.raises(FileProblem) as refused:
        graft_ods(source, rich_sheets, out)
    assert (type(refused.value), refused.value.found) == (kind, found)
    assert str(refused.value).startswith(name)
    assert out.getvalue() == b""
