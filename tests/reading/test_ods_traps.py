"""What .ods files of other writers hold that odfpy does not write, and where careless readers go wrong."""

from datetime import datetime, timedelta

import pytest

from sheetkit.reading.model import Kind, MergedArea


def values(workbook, sheet=0):
    return {found.address: found.value for found in workbook.sheets[sheet].cells.values()}


def table(rows, name="Stock", columns="<table:table-column/>"):
    return f'<table:table table:name="{name}">{columns}{rows}</table:table>'


def row(cells, **attributes):
    text = "".join(f' table:{name.replace("_", "-")}="{value}"' for name, value in attributes.items())
    return f"<table:table-row{text}>{cells}</table:table-row>"


def number(value, extra=""):
    kind = f'office:value-type="float" office:value="{value}"'
    return f"<table:table-cell {kind}{extra}><text:p>{value}</text:p></table:table-cell>"


def string(inner, extra=""):
    return f'<table:table-cell office:value-type="string"{extra}>{inner}</table:table-cell>'


def test_repeated_rows_and_cells_are_counted_and_empty_ones_cost_nothing(read_ods):
    rows = (
        row('<table:table-cell table:number-columns-repeated="3"/>' + number(1), number_rows_repeated=2)
        + row('<table:table-cell table:number-columns-repeated="16384"/>', number_rows_repeated=1048570)
        + row(number(2))
    )
    assert values(read_ods(table(rows))) == {"D1": 1, "D2": 1, "A1048573": 2}


def test_a_value_repeated_over_the_whole_sheet_is_cut_and_said(read_ods):
    rows = row(number(0.041, ' table:number-columns-repeated="16384"'), number_rows_repeated=1048576)
    workbook = read_ods(table(rows))
    assert len(workbook.sheets[0].cells) == 48 * 1024
    assert [str(problem) for problem in workbook.problems] == [
        "Stock!A1:XFD1048576: found the same content repeated over the whole area; only the first 48 of 1,048,576 rows "
        "and at most 1,024 columns of each was read, wanted at most 10,000 equal rows and 1,024 equal columns in one "
        "piece. To fix: delete the rows or columns that the table does not need."
    ]


def test_a_comment_with_several_paragraphs_before_or_after_the_text(read_ods):
    note = "<office:annotation><text:p>one</text:p><text:p>two</text:p></office:annotation>"
    workbook = read_ods(table(row(string(f"{note}<text:p>0.044</text:p>") + string(f"<text:p>elm</text:p>{note}"))))
    assert [(found.value, found.comment) for found in workbook.sheets[0].cells.values()] == [
        ("0.044", "one\ntwo"),
        ("elm", "one\ntwo"),
    ]


def test_blanks_tabs_breaks_spans_and_links_are_read_as_shown(read_ods):
    inner = (
        '<text:p>a<text:s text:c="3"/>b<text:tab/>c<text:line-break/>d</text:p>'
        "<text:p><text:span>e</text:span><text:a>f</text:a>  \n  g</text:p>"
    )
    assert values(read_ods(table(row(string(inner))))) == {"A1": "a   b\tc\nd\nef g"}


def test_pretty_printed_files_read_alike(read_ods):
    inner = "\n  <text:p>\n    pear\n  </text:p>\n"
    assert values(read_ods(table("\n" + row("\n" + string(inner) + "\n") + "\n"))) == {"A1": "pear"}


def test_texts_of_drawings_and_inner_tables_are_not_cell_texts(read_ods):
    drawing = "<draw:frame><draw:text-box><text:p>label</text:p></draw:text-box></draw:frame>"
    inner_table = f'<table:table table:is-sub-table="true">{row(number(9))}</table:table>'
    ruby = (
        "<text:p><text:ruby><text:ruby-base>elm</text:ruby-base><text:ruby-text>x</text:ruby-text></text:ruby></text:p>"
    )
    cells = string(f"<text:p>pear{drawing}</text:p>{drawing}") + string(ruby) + string(inner_table) + number(1)
    rows = f"<table:shapes>{drawing}</table:shapes>" + row(cells)
    workbook = read_ods(table(rows))
    assert (len(workbook.sheets), values(workbook)) == (1, {"A1": "pear", "B1": "elm", "D1": 1})


def test_every_value_type_is_understood(read_ods):
    def cell(kind, name, value, shown=""):
        return (
            f'<table:table-cell office:value-type="{kind}" office:{name}="{value}"><text:p>{shown}</text:p>'
            "</table:table-cell>"
        )

    cells = (
        cell("percentage", "value", "0.15", "15%")
        + cell("currency", "value", "18.5", "$18.50").replace("office:value=", 'office:currency="USD" office:value=')
        + cell("date", "date-value", "2024-01-08", "8 Jan")
        + cell("date", "date-value", "2024-01-08T06:30:00", "8 Jan")
        + cell("time", "time-value", "PT00H45M00S", "0:45")
        + cell("time", "time-value", "PT27H30M15.5S", "27:30")
        + cell("boolean", "boolean-value", "true", "TRUE")
        + cell("string", "string-value", "kept apart", "shown")
    )
    found = list(read_ods(table(row(cells))).sheets[0].cells.values())
    assert [(item.kind, item.value, item.number_format) for item in found] == [
        (Kind.NUMBER, 0.15, "0%"),
        (Kind.NUMBER, 18.5, "[$USD]#,##0.00"),
        (Kind.DATE, datetime.fromisoformat("2024-01-08"), "yyyy-mm-dd"),
        (Kind.DATE, datetime.fromisoformat("2024-01-08T06:30"), "yyyy-mm-dd"),
        (Kind.DURATION, timedelta(minutes=45), "[hh]:mm:ss"),
        (Kind.DURATION, timedelta(hours=27, minutes=30, seconds=15.5), "[hh]:mm:ss"),
        (Kind.BOOLEAN, True, "General"),
        (Kind.TEXT, "kept apart", "General"),
    ]
    assert found[0].shown == "15%"


@pytest.mark.parametrize(
    "cell",
    [
        '<table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" '
        'calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>',
        '<table:table-cell table:formula="oooc:=1/0" office:value-type="float" office:value="0">'
        "<text:p>#DIV/0!</text:p></table:table-cell>",
    ],
    ids=["with the newer type", "stored as 0 by older programs"],
)
def test_an_error_is_an_error_not_nought(read_ods, cell):
    found = read_ods(table(row(cell))).sheets[0].cells[1, 1]
    assert (found.kind, found.value) == (Kind.ERROR, "#DIV/0!")


def test_a_text_that_looks_like_an_error_stays_a_text(read_ods):
    found = read_ods(table(row(string("<text:p>#N/A</text:p>")))).sheets[0].cells[1, 1]
    assert (found.kind, found.value) == (Kind.TEXT, "#N/A")


@pytest.mark.parametrize("prefix", ["of:", "oooc:", "msoxl:", ""])
def test_a_formula_is_read_with_any_prefix_and_without(read_ods, prefix):
    formula = "=1/16+A2" if prefix == "msoxl:" else "=1/16+[.A2]"
    rows = row(f'<table:table-cell table:formula="{prefix}{formula}"/>') + row(number(1))
    found = read_ods(table(rows)).sheets[0].cells[1, 1]
    assert (found.formula, found.value, found.computed) == (formula, 1.0625, True)


def test_a_cell_takes_the_style_of_its_column_and_a_row_style_wins(read_ods):
    def style(name, places):
        return (
            f'<number:number-style style:name="n{places}"><number:number number:decimal-places="{places}" '
            f'number:min-integer-digits="1"/></number:number-style><style:style style:name="{name}" '
            f'style:family="table-cell" style:data-style-name="n{places}"/>'
        )

    child = '<style:style style:name="child" style:family="table-cell" style:parent-style-name="own"/>'
    styles = style("column", 1) + style("row", 2) + style("own", 3) + child
    columns = (
        '<table:table-column table:number-columns-repeated="2"/>'
        '<table:table-column table:default-cell-style-name="column"/>'
    )
    rows = row(
        number(1) + number(1, ' table:style-name="own"') + number(1) + number(1, ' table:style-name="child"')
    ) + row(number(1), default_cell_style_name="row")
    cells = read_ods(table(rows, columns=columns), styles=styles).sheets[0].cells
    assert {found.address: found.number_format for found in cells.values()} == {
        "A1": "General",
        "B1": "0.000",
        "C1": "0.0",
        "D1": "0.000",
        "A2": "0.00",
    }


def test_sections_and_literals_of_number_formats_are_carried_over(read_ods):
    digits = '<number:number number:decimal-places="2" number:min-decimal-places="1" number:min-integer-digits="1"/>'
    styles = (
        f'<number:number-style style:name="plus">{digits}</number:number-style>'
        f'<number:number-style style:name="both"><number:text>minus "x" </number:text>{digits}'
        '<style:map style:condition="value()&gt;=0" style:apply-style-name="plus"/></number:number-style>'
        '<style:style style:name="cell" style:family="table-cell" style:data-style-name="both"/>'
    )
    found = read_ods(table(row(number(1, ' table:style-name="cell"'))), styles=styles).sheets[0].cells[1, 1]
    assert found.number_format == '0.0#;\\m\\i\\n\\u\\s\\ \\"\\x\\"\\ 0.0#'


def test_rows_hidden_by_hand_by_filter_or_without_height(read_ods):
    styles = (
        '<style:style style:name="flat" style:family="table-row"><style:table-row-properties style:row-height="0in"/>'
        "</style:style>"
    )
    rows = (
        row(number(1), visibility="collapse")
        + row(number(2), visibility="filter", number_rows_repeated=2)
        + row(number(3), style_name="flat")
        + row(number(4))
    )
    sheet = read_ods(table(rows), styles=styles).sheets[0]
    assert sheet.hidden_rows == {1, 2, 3, 4}
    assert sorted(sheet.cells) == [(1, 1), (2, 1), (3, 1), (4, 1), (5, 1)]


def test_rows_and_columns_inside_groups_and_headers_are_read(read_ods):
    columns = (
        "<table:table-column-group><table:table-column/></table:table-column-group>"
        "<table:table-header-columns><table:table-column table:visibility='collapse'/></table:table-header-columns>"
    )
    rows = (
        f"<table:table-header-rows>{row(number(1))}</table:table-header-rows>"
        f"<table:table-row-group><table:table-row-group>{row(number(2))}</table:table-row-group></table:table-row-group>"
    )
    workbook = read_ods(table(rows, columns=columns))
    assert (values(workbook), workbook.sheets[0].hidden_columns) == ({"A1": 1, "A2": 2}, {2})


def test_merged_cells_come_from_spans(read_ods):
    head = number(1, ' table:number-columns-spanned="2" table:number-rows-spanned="2"')
    rows = row(head + "<table:covered-table-cell/>") + row(
        '<table:covered-table-cell table:number-columns-repeated="2"/>' + number(3)
    )
    workbook = read_ods(table(rows))
    assert workbook.sheets[0].merged == [MergedArea(1, 1, 2, 2)]
    assert values(workbook) == {"A1": 1, "C2": 3}


def test_tables_that_are_no_sheets_are_left_out(read_ods):
    """Caches of other files, scenarios, and the deleted cells of tracked changes."""
    cache = table(row(number(7)), name="&apos;file:///home/offcuts.ods&apos;#$Offcuts")
    scenario = table('<table:scenario table:is-active="true"/>' + row(number(8)), name="Scenario")
    changes = f"<table:tracked-changes><table:deletion>{table(row(number(9)))}</table:deletion></table:tracked-changes>"
    workbook = read_ods(cache + scenario + table(row(number(1))), before=changes)
    assert [(sheet.name, sheet.position) for sheet in workbook.sheets] == [("Stock", 2)]
    assert values(workbook) == {"A1": 1}


def test_a_named_range_of_a_sheet_is_no_mark(read_ods):
    inner = (
        '<table:named-expressions><table:named-range table:name="sheetkit_result_summary" '
        'table:cell-range-address="$Stock.$A$1"/></table:named-expressions>'
    )
    workbook = read_ods(table(row(number(1)) + inner))
    assert workbook.result_sheets() == {}


def test_ampersands_in_names_and_values_are_read(read_ods):
    cell = '<table:table-cell office:value-type="string" office:string-value="a &amp;lt; b &lt; c"/>'
    workbook = read_ods(table(row(cell), name="A &amp; B"))
    assert (workbook.sheets[0].name, values(workbook)) == ("A & B", {"A1": "a &lt; b < c"})
