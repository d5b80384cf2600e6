"""Rows of plain cells are read straight; what comes out must be what the XML parser makes of the same part.

A comment before the rows makes the reader take the parser for all of them, so the same rows are read both ways.
"""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetkit.errors import DamagedWorkbook
from sheetkit.reading import xlsx_rows
from sheetkit.reading.model import Kind

STRINGS = '<sst xmlns="MAIN"><si><t>oak</t></si><si><t/></si><si><r><rPr><strike/></rPr><t>old</t></r></si></sst>'
STYLES = (
    '<styleSheet xmlns="MAIN"><numFmts count="1"><numFmt numFmtId="164" formatCode="0.000&quot; in&quot;"/></numFmts>'
    '<fonts><font/><font><strike/></font></fonts><cellXfs><xf/><xf numFmtId="14"/><xf numFmtId="164"/>'
    '<xf fontId="1"/></cellXfs></styleSheet>'
)
ODD_ROWS = [
    '<row r="2"><c r="A2" t="s"><v>0</v></c><c r="B2" s="2"><v>0.05</v></c><c r="C2" s="1"><v>45000</v></c></row>',
    '<row r="2" spans="1:3" hidden="1"><c r="A2" s="3"><v>-1.5E-3</v></c></row>',
    '<row r="2" ht="0"><c r="A2"><v>5</v></c></row>',
    '<row r="2"/><row r="3"><c r="A3"><v>1</v></c></row>',
    '<row><c><v>1</v></c></row><row r="7"><c r="A7"><v>2</v></c></row><row><c><v>3</v></c></row>',
    '<row r="2"><c r="B9"><v>1</v></c></row>',
    '<row r="2"><c r="XFE2"><v>1</v></c><c r="A2"><v>2</v></c></row>',
    '<row r="9999999"><c r="A9999999"><v>1</v></c></row>',
    '<row r="2"><c r="A2"><v>1-2</v></c><c r="B2"><v>1e999</v></c><c r="C2"><v>+</v></c></row>',
    '<row r="2"><c r="A2" t="s"><v>99</v></c><c r="B2" t="s"><v>1</v></c><c r="C2" t="s"><v>2</v></c></row>',
    '<row r="2"><c r="A2"><f>1+1</f><v>2</v></c></row><row r="3"><c r="A3"><v>3</v></c></row>',
    '<row r="2"><!-- <row r="5"><c r="A5"><v>1</v></c></row> --><c r="A2"><v>1</v></c></row>',
    '<row r="2"><c r="A2" t="inlineStr"><is><t><![CDATA[</row><row r="8"><c r="A8"><v>8</v></c></row>]]></t></is></c>'
    "</row>",
    '\n  <row r="2">\n <c r="A2"><v>1</v></c>\n</row>\n  <row r="3"><c r="A3"><v>2</v></c></row>\n',
    "<row r='2'><c r='A2'><v>1</v></c></row>",
    '<row r="2" s="99" customFormat="1"><c r="A2" s="99"><v>1</v></c></row>',
    '<row r="2"><x:c xmlns:x="other" r="A2"><v>1</v></x:c></row>',
    '<row r="3"><c r="A3"><v>1</v></c></row><row r="2"><c r="A2"><v>2</v></c></row>'
    '<row r="3"><c r="A3"><v>9</v></c></row>',
]


def both_ways(read_xlsx, rows):
    data = f"<sheetData>{rows}</sheetData>"
    plain = read_xlsx(data, strings=STRINGS, styles=STYLES).sheets[0]
    parsed = read_xlsx(f"<!-- as it is -->{data}", strings=STRINGS, styles=STYLES).sheets[0]
    return plain, parsed


@pytest.mark.parametrize("rows", ODD_ROWS)
def test_rows_come_out_as_the_parser_reads_them(read_xlsx, rows):
    before = '<row r="1"><c r="A1"><v>1</v></c></row>'
    after = '<row r="12"><c r="A12" s="2"><v>12</v></c><c r="B12"/></row>'
    plain, parsed = both_ways(read_xlsx, before + rows + after)
    assert plain == parsed
    assert plain.cells[1, 1].value == 1.0
    assert plain.cells[12, 1].value == 12.0


def test_a_row_of_plain_cells_never_meets_the_parser(read_xlsx, monkeypatch):
    """Else the two ways would be one, and their comparison would show nothing."""
    pieces = []
    kept = xlsx_rows._Rows._flush
    monkeypatch.setattr(xlsx_rows._Rows, "_flush", lambda rows: pieces.extend(rows._odd) or kept(rows))
    rows = '<row r="1"><c r="A1" s="2"><v>1</v></c></row><row r="2"><c r="A2"><f>2</f><v>2</v></c></row>'
    sheet = read_xlsx(f"<sheetData>{rows}</sheetData>", styles=STYLES).sheets[0]
    assert pieces == [b'<row r="2"><c r="A2"><f>2</f><v>2</v></c></row>']
    assert [cell.value for cell in sheet.cells.values()] == [1.0, 2.0]
    assert sheet.cells[1, 1].number_format == '0.000" in"'


PLACES = st.builds("{}{}".format, st.sampled_from(["A", "B", "AA"]), st.integers(1, 9))
ATTRIBUTES = st.sampled_from(
    ["", ' s="1"', ' s="2"', ' s="3"', ' t="s"', ' s="3" t="s"', ' t="n"', ' t="b"', ' t="str"']
)
CONTENTS = st.sampled_from(["<v>0</v>", "<v>2</v>", "<v>0.0625</v>", "<v>x</v>", "<f>A1</f><v>1</v>", "", "<v/>"])
CELLS = st.builds('<c r="{}"{}>{}</c>'.format, PLACES, ATTRIBUTES, CONTENTS)
ROWS = st.builds(
    "<row{}>{}</row>".format,
    st.sampled_from(["", ' r="1"', ' r="2"', ' r="5" hidden="true"', ' r="9" ht="12.5"']),
    st.lists(CELLS, max_size=4).map("".join),
)


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(ROWS, max_size=8).map("".join))
def test_any_rows_come_out_as_the_parser_reads_them(read_xlsx, rows):
    plain, parsed = both_ways(read_xlsx, rows)
    assert plain == parsed


def test_a_broken_row_after_plain_ones_is_said(read_xlsx):
    plain = '<row r="1"><c r="A1"><v>1</v></c></row>'
    with pytest.raises(DamagedWorkbook) as caught:
        read_xlsx(f'<sheetData>{plain}<row r="2"><c r="A2"><v>1</w></c></row></sheetData>')
    assert caught.value.found.startswith("XML that is not well-formed")


def test_a_row_that_never_ends_is_refused(read_xlsx):
    with pytest.raises(DamagedWorkbook):
        read_xlsx('<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="2"><c r="A2">' + "<v>1</v>" * 10)


def test_an_alternation_of_plain_and_odd_rows_ends_in_one_pass(read_xlsx):
    count = 3 * xlsx_rows._MOST_ODD
    rows = "".join(
        f'<row r="{2 * n + 1}"><c r="A{2 * n + 1}"><v>1</v></c></row>'
        f'<row r="{2 * n + 2}"><c r="A{2 * n + 2}" t="b"><v>1</v></c></row>'
        for n in range(count)
    )
    plain, parsed = both_ways(read_xlsx, rows)
    assert plain == parsed
    assert [cell.kind for cell in plain.cells.values()] == [Kind.NUMBER, Kind.BOOLEAN] * count
