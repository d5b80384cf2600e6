from random import Random

import pytest

from sheetkit.graft import ods_markup
from sheetkit.graft.ods_content import read_content
from sheetkit.graft.ods_rows import rows_without

HEAD = (
    '<?xml version="1.0"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0"><office:body><office:spreadsheet>'
)
TAIL = "</office:spreadsheet></office:body></office:document-content>"
ROW = "<table:table-row><table:table-cell/></table:table-row>"
CHART = '<table:table-cell><draw:frame><draw:object xlink:href="./Chart 1"/></draw:frame></table:table-cell>'
SUB_TABLE = f"<table:table-cell><table:table table:is-sub-table='true'>{ROW}</table:table></table:table-cell>"


def table(name, rows):
    return f'<table:table table:name="{name}"><table:table-column/>{rows}</table:table>'


def passed_over(text):
    return [text[start:end] for start, end in rows_without(text.encode("ascii"), {"object", "object-ole", "image"})]


def test_rows_are_passed_over_but_for_those_that_hold_something_wanted():
    with_chart = f"<table:table-row>{CHART}</table:table-row>"
    short = '<table:table-row table:number-rows-repeated="7"/>'
    text = table("A", ROW + short + ROW + with_chart + ROW + with_chart) + table("B", ROW)
    assert passed_over(text) == [ROW + short + ROW, ROW, ROW]


@pytest.mark.parametrize(
    "rows",
    [
        "",
        f"<table:table-row>{SUB_TABLE}</table:table-row>",
        f"{ROW}<!-- a row that is none: {ROW} -->",
        f"{ROW}<table:table-row><table:table-cell><![CDATA[{ROW}]]></table:table-cell></table:table-row>",
        f"{ROW}<?sort up?>",
        f"{ROW}</table:table ><table:table\ntable:name='C'>{ROW}",
        f"{ROW}</table:table\n><table:table table:name='C'>{ROW}",
        f'<table:table-row xmlns:draw="urn:other">{CHART}</table:table-row>',
    ],
    ids=[
        "no row",
        "table in a cell",
        "comment",
        "section",
        "instruction",
        "tags over lines",
        "blank in an end",
        "namespace",
    ],
)
def test_nothing_is_passed_over_where_a_row_may_be_something_else(rows):
    assert passed_over(table("A", rows)) == []


NAMES = (
    "<table:named-expressions><table:named-range table:name='sheetkit_result_cost' "
    "table:cell-range-address=\"$'A'.$A$1\"/></table:named-expressions>"
)
IN_GROUPS = (
    f"<table:table-header-rows>{ROW}</table:table-header-rows><table:table-rows>{ROW}"
    f"<table:table-row-group>{ROW}</table:table-row-group></table:table-rows>"
)


@pytest.mark.parametrize(
    "sheets",
    [
        table("A", ROW * 3) + table("B", ROW + f"<table:table-row>{CHART}</table:table-row>" + ROW) + NAMES,
        table("A", IN_GROUPS) + NAMES,
        table("A", IN_GROUPS + f"<table:table-row>{CHART}</table:table-row>" + IN_GROUPS) + NAMES,
        table("A", f"{ROW}<table:table-row>{SUB_TABLE}</table:table-row>{ROW}") + table("B", ROW) + NAMES,
        table("A", ROW + f"<table:table-row>{CHART}{NAMES}</table:table-row>") + table("Bäume 🌲", ROW) + NAMES,
    ],
    ids=["plain", "groups", "groups around a chart", "table in a cell", "names in a row"],
)
def test_all_that_is_wanted_stands_where_a_pass_over_everything_finds_it(sheets, monkeypatch):
    data = f"{HEAD}{sheets}{TAIL}".encode()
    quick = read_content(data, "content.xml")
    monkeypatch.setattr(ods_markup, "rows_without", lambda *_: [])
    thorough = read_content(data, "content.xml")
    assert quick.markup.root == thorough.markup.root
    assert quick.markup.watched == thorough.markup.watched
    assert [data[node.start : node.end] for node in quick.named_ranges()] == [NAMES[25:-26].encode()]
    assert len(quick.markup.watched) == sheets.count("draw:object ")


def drawn(chance, depth=0):
    """Tables, groups and rows as chance has them, written as usual or in any way that XML allows."""
    odd = chance.random() < 0.4

    def tag(name, inside, attributes=""):
        blank = chance.choice(["", "", "", "", " ", "\n"]) if odd else ""
        lead = chance.choice([" ", " ", " ", "\t", "\n"]) if odd else " "
        lead = lead if attributes else blank
        if not inside and chance.random() < 0.5:
            return f"<table:{name}{lead}{attributes}/>"
        return f"<table:{name}{lead}{attributes}>{inside}</table:{name}{blank}>"

    def row():
        inside = chance.choice(["", "<table:table-cell/>", CHART, "<table:table-cell>object</table:table-cell>"])
        if depth < 1 and chance.random() < 0.1:
            inside = tag("table-cell", drawn(chance, depth + 1))
        return tag("table-row", inside)

    def rows():
        each = "".join(row() for _ in range(chance.randrange(4)))
        return tag(chance.choice(["table-row-group", "table-header-rows"]), each) if chance.random() < 0.3 else each

    return "".join(
        tag("table", "".join(rows() for _ in range(chance.randrange(4))), f'table:name="{number}"')
        for number in range(chance.randrange(1, 4))
    )


def test_a_quick_pass_finds_what_a_thorough_one_finds_in_whatever_is_written(monkeypatch):
    chance, quick, passed_over = Random(7), {}, 0
    documents = [f"{HEAD}{drawn(chance)}{NAMES}{TAIL}".encode() for _ in range(1500)]
    for data in documents:
        quick[data] = read_content(data, "content.xml").markup
        passed_over += bool(rows_without(data, {"object", "image"}))
    monkeypatch.setattr(ods_markup, "rows_without", lambda *_: [])
    for data in documents:
        thorough = read_content(data, "content.xml").markup
        assert (quick[data].root, quick[data].watched) == (thorough.root, thorough.watched), data
    assert passed_over > 500
