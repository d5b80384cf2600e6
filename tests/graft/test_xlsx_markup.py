"""XML parts edited by byte offset."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sheetkit.errors import DamagedWorkbook
from sheetkit.graft.xlsx_markup import Markup, attribute

PART = (
    '<?xml version="1.0"?>\r\n<!-- by hand --><x:book xmlns:x="urn:a" xmlns:r=\'urn:b\'>\n'
    ' <x:tabs  count = "1" ><x:tab name="a > b" r:id="t1" /></x:tabs><x:none count=\'0\' />\n</x:book>\n'
)


def edited(part, *edits):
    markup = Markup(part, "job.xlsx (part)")
    for edit in edits:
        edit(markup, markup.root)
    return markup.result()


def add_tab(markup, root):
    markup.append(root.child("tabs"), '<x:tab name="ü"/>')
    markup.set_attribute(root.child("tabs"), "count", "2")


def test_only_what_is_put_in_changes():
    expected = PART.replace('r:id="t1" /></x:tabs>', 'r:id="t1" /><x:tab name="&#252;"/></x:tabs>')
    assert edited(PART.encode(), add_tab) == expected.replace('"1" >', '"2" >').encode()


def test_an_empty_tag_is_opened():
    result = edited(PART.encode(), lambda m, root: m.append(root.child("none"), "<x:one/>"))
    assert result == PART.replace("<x:none count='0' />", "<x:none count='0' ><x:one/></x:none>").encode()


def test_elements_are_put_between_exchanged_and_taken_out():
    def edit(markup, root):
        markup.insert(root.child("tabs").end, "<x:new/>")
        markup.replace(root.child("tabs").children[0], "<x:other/>")
        markup.remove(root.child("none"))

    expected = PART.replace('<x:tab name="a > b" r:id="t1" />', "<x:other/>").replace(
        "<x:none count='0' />", "<x:new/>"
    )
    assert edited(PART.encode(), edit) == expected.encode()


def test_a_part_without_edits_is_the_very_same():
    data = PART.encode()
    assert Markup(data, "part").result() is data


@pytest.mark.parametrize(
    ("encoding", "bom"),
    [
        ("utf-8", b"\xef\xbb\xbf"),
        ("utf-16-le", b"\xff\xfe"),
        ("utf-16-be", b"\xfe\xff"),
        ("utf-16-le", b""),
        ("windows-1252", b""),
    ],
)
def test_the_encoding_and_its_mark_are_kept(encoding, bom):
    declared = "UTF-16" if "16" in encoding else encoding
    part = PART.replace('version="1.0"', f'version="1.0" encoding="{declared}"').replace("a > b", "Nuß € > b")
    result = edited(bom + part.encode(encoding), add_tab)
    assert result.startswith(bom)
    text = result[len(bom) :].decode(encoding)
    assert text == part.replace('" /></x:tabs>', '" /><x:tab name="&#252;"/></x:tabs>').replace('"1" >', '"2" >')


def test_prefixes_are_those_in_scope():
    root = Markup(PART.encode(), "part").root
    tab = root.child("tabs").children[0]
    assert (root.prefix, root.local, tab.prefix_of("urn:b"), tab.prefix_of("urn:c")) == ("x:", "book", "r", None)
    assert (tab.qualified("urn:b", "id"), tab.qualified("urn:a", "id")) == ("t1", None)
    shadowed = Markup(b'<a xmlns:p="urn:one"><b xmlns:p="urn:two"/></a>', "part").root.children[0]
    assert (shadowed.prefix_of("urn:one"), shadowed.prefix_of("urn:two")) == (None, "p")


@pytest.mark.parametrize(
    ("part", "found"),
    [
        (b"<a><b></a>", "XML that is not well-formed (mismatched tag: line 1, column 8)"),
        (b"", "XML that is not well-formed (no element found: line 1, column 0)"),
        (b"<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", "XML that is not well-formed (a document type declaration)"),
        (b"<a>" * 300 + b"</a>" * 300, "XML that is not well-formed (a tag that cannot be placed)"),
        (b'<?xml version="1.0" encoding="ascii"?><a>\xff</a>', "text that is not in its declared encoding (ascii)"),
        (b'<?xml version="1.0" encoding="no-such"?><a/>', "text that is not in its declared encoding (no-such)"),
        (b'<?xml version="1.0" encoding="utf-7"?><a>+AGE-</a>', "text whose encoding cannot be kept (utf-7)"),
    ],
)
def test_what_no_sound_workbook_holds_is_refused(part, found):
    with pytest.raises(DamagedWorkbook) as refused:
        Markup(part, "job.xlsx (part)")
    assert str(refused.value) == (
        f"job.xlsx (part): found {found}, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )


names = st.sampled_from(["a", "b", "p:c"])
texts = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=8)


def trees(children):
    return st.tuples(names, st.dictionaries(st.sampled_from(["x", "y"]), texts), children, texts)


def written(tree):
    name, attributes, children, text = tree
    inner = attribute(text) + "".join(written(child) for child in children)
    tags = "".join(f" {key}='{attribute(value).replace(chr(39), '&apos;')}'" for key, value in attributes.items())
    return f"<{name}{tags}>{inner}</{name}>" if inner else f"<{name}{tags} />"


@given(st.recursive(trees(st.just([])), lambda inner: trees(st.lists(inner, max_size=3)), max_leaves=8))
def test_every_element_is_found_where_it_stands(tree):
    part = f"<root xmlns:p='urn:p'>{written(tree)}</root>".encode()
    markup = Markup(part, "part")

    def compare(element, reference):
        assert element.local == etree.QName(reference).localname
        assert element.attributes.keys() - {"xmlns:p"} == set(reference.attrib)
        own = part[element.start : element.end]
        assert own.startswith(f"<{element.name}".encode())
        assert own.endswith(b">")
        assert own.count(b"<") == own.count(b">")
        for one, other in zip(element.children, reference, strict=True):
            compare(one, other)

    compare(markup.root, etree.fromstring(part))
    inner = markup.root.children[0]
    markup.append(inner, "<new/>")
    result = etree.fromstring(markup.result())
    assert result[0][-1].tag == "new"
    result[0].remove(result[0][-1])
    assert etree.tostring(result, method="c14n") == etree.tostring(etree.fromstring(part), method="c14n")
