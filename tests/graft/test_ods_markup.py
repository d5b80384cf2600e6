import pytest

from sheetkit.errors import DamagedWorkbook
from sheetkit.graft.ods_markup import Edits, read_markup


def everything(_path):
    return True


def names(node):
    return [node.name, *(name for child in node.children for name in names(child))]


def test_each_element_is_found_where_it_stands():
    data = b"<?xml version='1.0'?><a x='1>2'><!-- <c/> --><b/><b y=\"/>\">t</b><b></b></a >"
    markup = read_markup(data, "part", keep=everything)
    parts = [data[node.start : node.end] for node in markup.root.children]
    assert parts == [b"<b/>", b'<b y="/>">t</b>', b"<b></b>"]
    assert [node.is_empty_tag for node in markup.root.children] == [True, False, False]
    assert data[markup.root.start : markup.root.tag_end] == b"<a x='1>2'>"
    assert data[markup.root.content_end : markup.root.end] == b"</a >"


def test_only_wanted_elements_are_kept_and_watched_ones_are_found_anywhere():
    data = b"<a><b><c><d/></c></b><d/></a>"
    markup = read_markup(data, "part", keep=lambda path: path[-1] == "b", watch=frozenset({"d"}))
    assert names(markup.root) == ["a", "b"]
    assert [data[node.start : node.end] for node in markup.watched] == [b"<d/>", b"<d/>"]


def test_prefixes_hold_from_where_they_are_declared():
    data = b"<p:a xmlns:p='one'><b xmlns:p='two' xmlns='three'><p:c/></b><p:d/></p:a>"
    markup = read_markup(data, "part", keep=everything)
    assert names(markup.root) == ["one a", "three b", "two c", "one d"]
    assert markup.root.children[0].scope["p"] == "two"
    assert markup.root.children[1].scope["p"] == "one"


def test_edits_change_nothing_but_their_places():
    data = "<a>ä<b/>\r\n<c>x</c><d/></a>".encode()
    markup = read_markup(data, "part", keep=everything)
    b, c, d = markup.root.children
    edits = Edits()
    edits.append(markup, b, "<i/>")
    edits.append(markup, b, "<j/>")
    edits.replace(c, "<k/>")
    edits.insert(d.start, "ü")
    edits.append(markup, markup.root, "<z/>")
    assert markup.edited(edits) == "<a>ä<b><i/><j/></b>\r\n<k/>ü<d/><z/></a>".encode()


@pytest.mark.parametrize(
    "encoding", ["utf-8-sig", "utf-16", "iso-8859-1", "windows-1252", "utf-16-le", "utf-16-be", "us-ascii"]
)
def test_a_part_keeps_its_encoding(encoding):
    umlaut = "&#228;" if encoding == "us-ascii" else "ä"
    declared = "utf-8" if encoding == "utf-8-sig" else "utf-16" if encoding.startswith("utf-16") else encoding
    text = f'<?xml version="1.0" encoding="{declared}"?><a>{umlaut}<b/></a>'
    markup = read_markup(text.encode(encoding), "part", keep=everything)
    edits = Edits()
    edits.insert(markup.root.children[0].start, "木")
    edited = markup.edited(edits)
    plain = {"utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"}
    written = "木" if encoding in plain else "&#26408;"
    assert edited == text.replace("<b/>", f"{written}<b/>").encode(encoding)


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"<a><b></a>", "XML that is not well-formed (mismatched tag: line 1, column 8)"),
        (b"", "XML that is not well-formed (no element found: line 1, column 0)"),
        (b"<!DOCTYPE a [<!ENTITY e 'x'>]><a>&e;</a>", "a document type declaration"),
        (b"<!DOCTYPE a SYSTEM 'a.dtd'><a/>", "a document type declaration"),
        (b"<?xml version='1.0' encoding='none-such'?><a/>", "text that cannot be read as none-such"),
        (b"<?xml version='1.0' encoding='hex'?><a/>", "text that cannot be read as hex"),
        (b"<?xml version='1.0' encoding='utf-7'?><a>+AGE-</a>", "text that cannot be written again as utf-7"),
        (b"<a>" * 300 + b"</a>" * 300, "elements nested more than 256 deep"),
        (b"<a>\xff</a>", "XML that is not well-formed (not well-formed (invalid token): line 1, column 3)"),
    ],
)
def test_what_cannot_be_kept_as_it_is_is_refused(data, found):
    with pytest.raises(DamagedWorkbook) as refused:
        read_markup(data, "job.ods (content.xml)", keep=everything)
    assert str(refused.value) == (
        f"job.ods (content.xml): found {found}, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )


def test_a_document_type_that_declares_nothing_is_accepted_on_request():
    data = b"<!DOCTYPE a PUBLIC '-//X//Y' 'a.dtd'><a/>"
    assert read_markup(data, "part", keep=everything, plain_doctype=True).root.name == "a"
    with pytest.raises(DamagedWorkbook):
        read_markup(b"<!DOCTYPE a [<!ELEMENT a ANY>]><a/>", "part", keep=everything, plain_doctype=True)
