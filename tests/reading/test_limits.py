"""What one workbook may cost: the rest is left out and said, or the file refused. Limits are lowered here."""

import itertools

import pytest

from sheetkit.errors import DamagedWorkbook
from sheetkit.reading import limits


def xlsx_rows(count):
    rows = "".join(f'<row r="{row}"><c r="A{row}"><v>{row}</v></c><c r="B{row}"/></row>' for row in range(1, count + 1))
    return f"<sheetData>{rows}</sheetData>"


def ods_rows(count, name="Stock"):
    cell = '<table:table-cell office:value-type="float" office:value="1"/><table:table-cell/>'
    return f'<table:table table:name="{name}">{f"<table:table-row>{cell}</table:table-row>" * count}</table:table>'


TOO_LARGE = (
    "Stock: found more filled cells than can be read; only the first 5 of this sheet were, wanted at most 1,000,000 "
    "filled cells in the workbook. To fix: delete what this sheet does not need, or move it to another workbook."
)


def test_an_xlsx_with_too_many_cells_is_read_in_part_and_that_is_said(monkeypatch, read_xlsx):
    monkeypatch.setattr(limits.Effort, "full", property(lambda effort: effort.kept >= 5))
    workbook = read_xlsx(xlsx_rows(9))
    assert (len(workbook.sheets[0].cells), [str(problem) for problem in workbook.problems]) == (5, [TOO_LARGE])


def test_an_ods_with_too_many_cells_is_read_in_part_and_each_sheet_says_so(monkeypatch, read_ods):
    monkeypatch.setattr(limits.Effort, "full", property(lambda effort: effort.kept >= 5))
    workbook = read_ods(ods_rows(9) + ods_rows(1, "Later"))
    assert [(sheet.name, len(sheet.cells)) for sheet in workbook.sheets] == [("Stock", 5), ("Later", 0)]
    assert [str(problem) for problem in workbook.problems] == [
        TOO_LARGE,
        TOO_LARGE.replace("Stock", "Later").replace("first 5", "first 0"),
    ]


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_a_workbook_of_endless_empty_cells_is_refused(monkeypatch, read_xlsx, read_ods, kind):
    monkeypatch.setattr(limits, "MAX_VISITED", 20)
    with pytest.raises(DamagedWorkbook) as caught:
        read_xlsx(xlsx_rows(9)) if kind == "xlsx" else read_ods(ods_rows(9))
    assert str(caught.value) == (
        f"job.{kind}: found more than 20 cells and rows, wanted a workbook of records. To fix: delete the empty rows "
        "and columns that no table needs, and save it again."
    )


def test_endless_shared_strings_are_refused(monkeypatch, read_xlsx):
    monkeypatch.setattr(limits, "MAX_VISITED", 20)
    with pytest.raises(DamagedWorkbook):
        read_xlsx("<sheetData/>", strings=f'<sst xmlns="MAIN">{"<si/>" * 30}</sst>')


def test_hidden_columns_are_never_more_than_the_grid_has(read_xlsx, read_ods):
    columns = '<col min="1" max="99999999" hidden="1"/>' * 3
    assert len(read_xlsx(f"<cols>{columns}</cols><sheetData/>").sheets[0].hidden_columns) == 16_384
    column = '<table:table-column table:visibility="collapse" table:number-columns-repeated="99999999"/>'
    workbook = read_ods(f'<table:table table:name="Stock">{column * 3}</table:table>')
    assert len(workbook.sheets[0].hidden_columns) == 16_384


def test_an_endless_shared_formula_is_not_written_out_for_each_cell(monkeypatch, read_xlsx):
    monkeypatch.setattr("sheetkit.reading.xlsx_sheet.MAX_SHARED_TEXT", 5)
    followers = "".join(f'<c r="{letter}1"><f t="shared" si="0"/><v>1</v></c>' for letter in "CDE")
    master = '<c r="B1"><f t="shared" ref="B1:E1" si="0">A1*2</f><v>1</v></c>'
    sheet = read_xlsx(f'<sheetData><row r="1">{master}{followers}</row></sheetData>').sheets[0]
    assert [sheet.cells[1, column].formula for column in range(2, 6)] == ["=A1*2", "=B1*2", "=", "="]


def test_formulas_without_results_end_when_the_time_is_up(monkeypatch, read_xlsx):
    monkeypatch.setattr("sheetkit.reading.missing_results.MAX_SECONDS", -1.0)
    workbook = read_xlsx('<sheetData><row r="1"><c r="A1"><f>1/8</f></c></row></sheetData>')
    assert workbook.without_result[0].found == (
        "the formula =1/8 without a stored result, and it could not be worked out here: "
        "there are too many such formulas"
    )


def columns_of(*cells):
    """Rows of the cells A1, A2 and so on, each a markup without its address."""
    return "".join(f'<row r="{row}">{cell.format(row=row, above=row - 1)}</row>' for row, cell in enumerate(cells, 1))


def test_a_text_that_doubles_from_cell_to_cell_ends_where_a_cell_is_full(read_xlsx):
    """4 characters, then 8 and so on: the 14th would have 32,768, one more than a cell holds."""
    first = '<c r="A1" t="inlineStr"><is><t>wood</t></is></c>'
    rows = columns_of(first, *(['<c r="A{row}"><f>A{above}&amp;A{above}</f></c>'] * 29))
    workbook = read_xlsx(f"<sheetData>{rows}</sheetData>")
    assert len(workbook.sheets[0].cells[13, 1].value) == 16_384
    assert [(problem.cell, problem.found.partition("worked out here: ")[2]) for problem in workbook.without_result] == [
        ("A14", "it gives a text longer than the 32,767 characters that a cell holds"),
        *((f"A{row}", f"it needs A{row - 1}, which has no result either") for row in range(15, 31)),
    ]


def test_how_many_formulas_are_worked_out_does_not_depend_on_how_busy_the_machine_is(monkeypatch, read_xlsx):
    """With half a second gone by at each look at the clock, the same formulas as with a clock that stands."""
    rows = columns_of('<c r="A1"><v>1</v></c>', *(['<c r="A{row}"><f>A{above}+0.5</f></c>'] * 60))
    monkeypatch.setattr("sheetkit.reading.missing_results.MAX_COST", 10_000)

    def worked_out():
        return [cell.value for cell in read_xlsx(f"<sheetData>{rows}</sheetData>").sheets[0].cells.values()]

    monkeypatch.setattr("sheetkit.reading.missing_results.time.monotonic", lambda: 0.0)
    still = worked_out()
    ticks = itertools.count(0.0, 0.5)
    monkeypatch.setattr("sheetkit.reading.missing_results.time.monotonic", lambda: next(ticks))
    assert worked_out() == still
    assert (still[5], still[-1]) == (3.5, None)
