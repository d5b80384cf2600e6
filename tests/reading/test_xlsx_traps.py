"""What .xlsx files of other writers hold that none of the usual libraries writes."""

from datetime import datetime, timedelta
from xml.sax.saxutils import escape

import pytest

from sheetkit.errors import DamagedWorkbook
from sheetkit.reading.model import Kind, Visibility

STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"


def values(workbook):
    return {found.address: found.value for found in workbook.sheets[0].cells.values()}


def test_the_strict_dialect_reads_alike(read_xlsx):
    workbook = read_xlsx('<sheetData><row r="1"><c r="A1"><v>0.5</v></c></row></sheetData>', dialect=STRICT)
    assert values(workbook) == {"A1": 0.5}


def test_any_prefix_will_do(package, xlsx):
    from sheetkit.reading import open_workbook

    parts = xlsx("")
    parts["xl/worksheets/sheet1.xml"] = (
        '<x:worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData>'
        '<x:row r="1"><x:c r="A1"><x:v>0.5</x:v></x:c></x:row></x:sheetData></x:worksheet>'
    )
    assert values(open_workbook(package(parts))) == {"A1": 0.5}


def test_rich_runs_are_joined_and_phonetic_runs_are_not_read(read_xlsx):
    strings = (
        '<sst xmlns="MAIN"><si><r><t>pe</t></r><r><rPr><b/></rPr><t xml:space="preserve">ar </t></r>'
        '<rPh sb="0" eb="2"><t>NASHI</t></rPh><phoneticPr fontId="1"/></si></sst>'
    )
    workbook = read_xlsx('<sheetData><row r="1"><c r="A1" t="s"><v>0</v></c></row></sheetData>', strings=strings)
    assert values(workbook) == {"A1": "pear "}


def test_inline_strings_read_like_shared_ones(read_xlsx):
    workbook = read_xlsx(
        '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>elm</t></is></c><c r="B1" t="inlineStr"><is>'
        "<r><t>we</t></r><r><t>nge</t></r><rPh sb='0' eb='1'><t>x</t></rPh></is></c></row></sheetData>"
    )
    assert values(workbook) == {"A1": "elm", "B1": "wenge"}


def test_escaped_characters_are_read_as_what_they_stand_for(read_xlsx):
    """ECMA-376 Part 1, 22.9.2.19 (ST_Xstring): _xHHHH_ is a character, _x005F_ the underscore that escapes one."""
    workbook = read_xlsx(
        '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>a_x000D_\nb</t></is></c>'
        '<c r="B1" t="inlineStr"><is><t>_x005F_x0041_</t></is></c>'
        '<c r="C1" t="inlineStr"><is><t>_xD83D__xDE00_</t></is></c>'
        '<c r="D1" t="str"><f>1</f><v>_x0041_</v></c></row></sheetData>'
    )
    assert values(workbook) == {"A1": "a\nb", "B1": "_x0041_", "C1": "\N{GRINNING FACE}", "D1": "A"}


def test_cells_and_rows_without_references_are_counted(read_xlsx):
    workbook = read_xlsx(
        '<sheetData><row><c><v>1</v></c><c r="D1"><v>2</v></c><c><v>3</v></c></row><row/>'
        '<row><c><v>4</v></c></row><row r="9"><c><v>5</v></c></row></sheetData>'
    )
    assert values(workbook) == {"A1": 1, "D1": 2, "E1": 3, "A3": 4, "A9": 5}


def test_rows_out_of_order_and_a_lying_dimension_do_no_harm(read_xlsx):
    workbook = read_xlsx(
        '<dimension ref="A1:XFD1048576"/><sheetData><row r="5"><c r="B5"><v>5</v></c></row>'
        '<row r="2"><c r="C2"><v>2</v></c><c r="A2"><v>1</v></c></row></sheetData>'
    )
    assert [row for row, _ in workbook.sheets[0].rows()] == [2, 5]
    assert values(workbook) == {"B5": 5, "C2": 2, "A2": 1}


def test_every_type_letter_is_understood(read_xlsx):
    workbook = read_xlsx(
        '<sheetData><row r="1"><c r="A1" t="b"><v>1</v></c><c r="B1" t="e"><v>#DIV/0!</v></c>'
        '<c r="C1" t="str"><f>A1</f><v>text</v></c><c r="D1" t="d"><v>2024-01-08T06:30:00Z</v></c>'
        '<c r="E1" t="n"><v>1E-2</v></c><c r="F1" t="d"><v>12:45:30</v></c><c r="G1" t="d"><v>2024-01-08</v></c>'
        "</row></sheetData>"
    )
    cells = workbook.sheets[0].cells
    assert [(cells[1, column].kind, cells[1, column].value) for column in range(1, 8)] == [
        (Kind.BOOLEAN, True),
        (Kind.ERROR, "#DIV/0!"),
        (Kind.TEXT, "text"),
        (Kind.DATE, datetime.fromisoformat("2024-01-08T06:30")),
        (Kind.NUMBER, 0.01),
        (Kind.DURATION, timedelta(hours=12, minutes=45, seconds=30)),
        (Kind.DATE, datetime.fromisoformat("2024-01-08")),
    ]
    assert cells[1, 7].serial == 45299.0


@pytest.mark.parametrize("stored", ["0,041", "NaN", "1_000", "INF", "twelve"])
def test_what_is_no_number_in_a_number_cell_is_handed_on_as_text(read_xlsx, stored):
    workbook = read_xlsx(f'<sheetData><row r="1"><c r="A1"><v>{stored}</v></c></row></sheetData>')
    found = workbook.sheets[0].cells[1, 1]
    assert (found.kind, found.value) == (Kind.TEXT, stored)


def test_a_shared_string_that_is_not_there_is_an_error_not_a_blank(read_xlsx):
    workbook = read_xlsx('<sheetData><row r="1"><c r="A1" t="s"><v>7</v></c></row></sheetData>')
    found = workbook.sheets[0].cells[1, 1]
    assert (found.kind, found.value) == (Kind.ERROR, "a text that the file does not hold")


def test_a_shared_formula_gives_each_cell_its_own(read_xlsx):
    workbook = read_xlsx(
        '<sheetData><row r="2"><c r="C2"><f t="shared" ref="C2:C4" si="0">A2*$B$1</f><v>1</v></c></row>'
        '<row r="3"><c r="C3"><f t="shared" si="0"/><v>2</v></c></row>'
        '<row r="4"><c r="C4"><f t="shared" si="0"/><v>3</v></c></row>'
        '<row r="5"><c r="C5"><f t="array" ref="C5:C6">A5:A6*2</f><v>4</v></c></row>'
        '<row r="6"><c r="C6"><v>5</v></c></row></sheetData>'
    )
    assert [(found.value, found.formula) for _, (found,) in workbook.sheets[0].rows()] == [
        (1, "=A2*$B$1"),
        (2, "=A3*$B$1"),
        (3, "=A4*$B$1"),
        (4, "=A5:A6*2"),
        (5, None),
    ]


def test_a_shared_formula_may_be_named_before_it_is_given(read_xlsx):
    workbook = read_xlsx(
        '<sheetData><row r="3"><c r="C3"><f t="shared" si="0"/><v>2</v></c></row>'
        '<row r="2"><c r="C2"><f t="shared" ref="C2:C3" si="0">A2</f><v>1</v></c></row></sheetData>'
    )
    assert workbook.sheets[0].cells[3, 3].formula == "=A3"


def test_a_stored_nought_is_not_trusted_where_the_file_asks_for_recalculation(read_xlsx):
    """Libraries write 0 as a stand-in for results that they do not know, and set fullCalcOnLoad."""
    sheet = '<sheetData><row r="1"><c r="A1"><f>1/8</f><v>0</v></c><c r="B1"><f>2-1</f><v>3</v></c></row></sheetData>'
    workbook = read_xlsx(sheet, workbook='<calcPr fullCalcOnLoad="1"/>')
    assert values(workbook) == {"A1": 0.125, "B1": 3}
    assert values(read_xlsx(sheet)) == {"A1": 0, "B1": 3}


def test_rows_of_no_height_and_columns_of_no_width_are_hidden(read_xlsx):
    workbook = read_xlsx(
        '<cols><col min="2" max="3" width="0" customWidth="1"/><col min="5" max="5" hidden="1"/></cols><sheetData>'
        '<row r="1" ht="0" customHeight="1"/><row r="2" hidden="true"/><row r="3" ht="15"/></sheetData>'
    )
    assert (workbook.sheets[0].hidden_rows, workbook.sheets[0].hidden_columns) == ({1, 2}, {2, 3, 5})


def test_a_merged_area_of_one_cell_is_none(read_xlsx):
    workbook = read_xlsx('<sheetData/><mergeCells><mergeCell ref="A1:A1"/><mergeCell ref="nonsense"/></mergeCells>')
    assert workbook.sheets[0].merged == []


def test_built_in_formats_need_no_declaration(read_xlsx):
    """ECMA-376 Part 1, 18.8.30: 9 is 0%, 12 is # ?/?, 16 is d-mmm, 20 is h:mm; 57 a date of the East Asian editions."""
    styles = '<styleSheet xmlns="MAIN"><cellXfs>' + "".join(
        f'<xf numFmtId="{number}"/>' for number in (0, 9, 12, 16, 20, 57)
    )
    row = "".join(f'<c r="{letter}1" s="{index}"><v>0.5</v></c>' for index, letter in enumerate("ABCDEF"))
    sheet = f'<sheetData><row r="1">{row}</row></sheetData>'
    cells = read_xlsx(sheet, styles=styles + "</cellXfs></styleSheet>").sheets[0].cells
    assert [cells[1, column].number_format for column in range(1, 7)] == [
        "General",
        "0%",
        "# ?/?",
        "d-mmm",
        "h:mm",
        "yyyy-mm-dd",
    ]
    assert cells[1, 5].value == timedelta(hours=12)


def test_a_leading_apostrophe_is_no_part_of_the_text(read_xlsx):
    styles = (
        '<styleSheet xmlns="MAIN"><cellXfs><xf numFmtId="0"/><xf numFmtId="0" quotePrefix="1"/></cellXfs></styleSheet>'
    )
    sheet = '<sheetData><row r="1"><c r="A1" s="1" t="inlineStr"><is><t>0.041</t></is></c></row></sheetData>'
    found = read_xlsx(sheet, styles=styles).sheets[0].cells[1, 1]
    assert (found.kind, found.value) == (Kind.TEXT, "0.041")


def test_tabs_without_cells_are_listed_apart(package, xlsx):
    from sheetkit.reading import open_workbook

    parts = xlsx("<sheetData/>")
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(
        "</sheets>",
        '<sheet name="Chart" sheetId="2" r:id="rId2"/>'
        '<sheet name="A &amp; B" sheetId="5" state="veryHidden" r:id="rId3"/></sheets>',
    )
    relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    parts["xl/_rels/workbook.xml.rels"] = parts["xl/_rels/workbook.xml.rels"].replace(
        "</Relationships>",
        f'<Relationship Id="rId2" Type="{relation}/chartsheet" Target="chartsheets/sheet1.xml"/>'
        f'<Relationship Id="rId3" Type="{relation}/worksheet" Target="/xl/worksheets/sheet1.xml"/></Relationships>',
    )
    workbook = open_workbook(package(parts))
    assert workbook.other_sheet_names == ["Chart"]
    assert [(sheet.name, sheet.position, sheet.visibility) for sheet in workbook.sheets] == [
        ("Stock", 0, Visibility.SHOWN),
        ("A & B", 2, Visibility.VERY_HIDDEN),
    ]


def test_a_mark_bound_to_one_sheet_or_broken_is_no_mark(read_xlsx):
    """A sheet that the maker copies gets sheet-bound copies of its names; the copy is the maker's own."""
    names = (
        '<definedNames><definedName name="sheetkit_result_summary" localSheetId="0">Stock!$A$1</definedName>'
        '<definedName name="sheetkit_result_cut_plan">#REF!</definedName></definedNames>'
    )
    workbook = read_xlsx("<sheetData/>", workbook=names)
    assert workbook.result_sheets() == {}


def test_a_sheet_without_content_is_damage(package, xlsx):
    from sheetkit.reading import open_workbook

    parts = xlsx("<sheetData/>")
    del parts["xl/worksheets/sheet1.xml"]
    with pytest.raises(DamagedWorkbook) as caught:
        open_workbook(package(parts))
    assert str(caught.value) == (
        "job.xlsx: found no content for the sheet Stock, wanted a sound workbook. "
        "To fix: open it in the spreadsheet program and save it again."
    )


def test_cells_beyond_the_grid_are_passed_over(read_xlsx):
    workbook = read_xlsx(
        '<sheetData><row r="1"><c r="XFD1"><v>1</v></c><c r="XFE1"><v>2</v></c><c r="ZZZZ1"><v>3</v></c></row>'
        '<row r="1048577"><c r="A1048577"><v>4</v></c></row><row r="99999999999"><c><v>5</v></c></row></sheetData>'
    )
    assert values(workbook)["XFD1"] == 1
    assert 4 not in values(workbook).values()


@pytest.mark.parametrize("text", ["${x}", '"', "{", "}", ")", "A1'", "#", "[", "1/0)"])
def test_a_shared_formula_that_is_none_leaves_its_followers_without_one(read_xlsx, text):
    master = f'<c r="B1"><f t="shared" ref="B1:C1" si="0">{escape(text)}</f><v>1</v></c>'
    sheet = read_xlsx(f'<sheetData><row r="1">{master}<c r="C1"><f t="shared" si="0"/><v>2</v></c></row></sheetData>')
    cells = sheet.sheets[0].cells
    assert [cells[1, column].value for column in (2, 3)] == [1.0, 2.0]
