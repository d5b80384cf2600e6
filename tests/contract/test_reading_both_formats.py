"""What both readers promise alike. Expected values are those that the independent writer was given."""

from datetime import datetime, timedelta

import pytest

from sheetkit.reading.model import Format, Kind, MergedArea, Visibility

OWN_WORDS = "Written by sheetkit at each refresh."


def cell(workbook, address, sheet=0):
    return next((found for found in workbook.sheets[sheet].cells.values() if found.address == address), None)


def facts(workbook, address, sheet=0):
    found = cell(workbook, address, sheet)
    return None if found is None else (found.kind, found.value)


def test_a_workbook_knows_its_format_path_and_sheets(book):
    book.put("Stock", "A1", "Board")
    book.put("Targets", "A1", "Panel")
    workbook = book.read()
    assert (workbook.format, workbook.path) == (Format(book.suffix[1:]), book.path)
    assert [(sheet.name, sheet.position) for sheet in workbook.sheets] == [("Stock", 0), ("Targets", 1)]
    assert workbook.sheet_names() == ["Stock", "Targets"]
    assert workbook.problems == []


def test_the_format_is_found_from_the_content_whatever_the_name_says(book, tmp_path):
    from sheetkit.reading import open_workbook

    book.put("Stock", "A1", "Board")
    renamed = book.write().rename(tmp_path / ("job.ods" if book.suffix == ".xlsx" else "job.xlsx"))
    assert open_workbook(renamed).format == Format(book.suffix[1:])


@pytest.mark.parametrize(
    "value",
    [0.0625, 0, -3, 1e-7, 123456789.25, 0.041, 1e300],
    ids=["sixteenth", "0", "-3", "tiny", "big", "thin", "huge"],
)
def test_a_number_is_read_to_the_last_digit(book, value):
    book.put("Stock", "B2", value)
    assert facts(book.read(), "B2") == (Kind.NUMBER, float(value))


@pytest.mark.parametrize(
    "text",
    [
        "pear",
        "007",
        "1E5",
        "3-1",
        '1-1/2"',
        "1½",
        "=SUM(A1)",
        "'0.041",
        "0,041",
        " two  blanks ",
        "tab\tinside",
        "first line\nsecond line",
        "\n",
        "Ünïcode 木 \N{FACE WITH TEARS OF JOY}",
        "<&>\"'",
        "_x0041_",
        "nan",
        "1_000",
        "TRUE",
    ],
)
def test_a_text_stays_the_text_that_was_typed(book, text):
    book.put("Stock", "A1", text)
    assert facts(book.read(), "A1") == (Kind.TEXT, text)


@pytest.mark.parametrize("value", [True, False])
def test_a_truth_value_is_no_number(book, value):
    book.put("Stock", "A1", value)
    found = cell(book.read(), "A1")
    assert (found.kind, found.value) == (Kind.BOOLEAN, value)
    assert isinstance(found.value, bool)


def test_empty_cells_are_absent_and_blank_rows_keep_their_numbers(book):
    book.put("Stock", "A2", "elm")
    book.put("Stock", "A5", "pear")
    book.put("Stock", "D5", 1.5)
    workbook = book.read()
    assert sorted(workbook.sheets[0].cells) == [(2, 1), (5, 1), (5, 4)]
    assert [(row, [found.address for found in cells]) for row, cells in workbook.sheets[0].rows()] == [
        (2, ["A2"]),
        (5, ["A5", "D5"]),
    ]


def test_an_empty_text_is_no_content(book):
    book.put("Stock", "A1", "elm")
    book.put("Stock", "B1", "")
    assert sorted(book.read().sheets[0].cells) == [(1, 1)]


def test_equal_neighbours_are_as_many_cells_as_the_maker_sees(book):
    """Case A74: three readings of 0.041, which .ods stores once with a repeat count of 3."""
    for address in ("B2", "C2", "D2"):
        book.put("Measurements", address, 0.041)
    book.put("Measurements", "E2", 0.043)
    sheet = book.read().sheets[0]
    assert {place: found.value for place, found in sheet.cells.items()} == {
        (2, 2): 0.041,
        (2, 3): 0.041,
        (2, 4): 0.041,
        (2, 5): 0.043,
    }


@pytest.mark.parametrize("code", ["0.000", "#,##0.00", "0%", "# ?/?", '0.000" in"'])
def test_a_number_keeps_its_number_format(book, code):
    book.put("Stock", "A1", 0.13, code=code)
    found = cell(book.read(), "A1")
    assert (found.kind, found.value, found.number_format, found.serial) == (Kind.NUMBER, 0.13, code, None)


def test_a_number_without_a_format_is_general(book):
    book.put("Stock", "A1", 0.13)
    assert cell(book.read(), "A1").number_format == "General"


@pytest.mark.parametrize("code", ["d-mmm", "yyyy-mm-dd"])
def test_a_date_comes_with_the_serial_behind_it(book, code):
    """Case A61's cell. 8 January 2024 is day 45299 (the case itself, under S02)."""
    book.put("Stock", "A1", datetime.fromisoformat("2024-01-08"), code=code)
    found = cell(book.read(), "A1")
    assert (found.kind, found.value, found.serial) == (Kind.DATE, datetime.fromisoformat("2024-01-08"), 45299.0)
    assert found.number_format == code


def test_a_date_keeps_its_time_of_day(book):
    book.put("Stock", "A1", datetime.fromisoformat("2024-03-14T06:30"), code="yyyy-mm-dd")
    found = cell(book.read(), "A1")
    assert (found.value, found.serial) == (
        datetime.fromisoformat("2024-03-14T06:30"),
        pytest.approx(45365 + 6.5 / 24, abs=1e-9),
    )


def test_dates_count_from_1904_where_the_workbook_says_so(book):
    """The two systems lie 1462 days apart: ECMA-376 Part 1, 18.17.4.1."""
    book.day_zero_1904 = True
    book.put("Stock", "A1", datetime.fromisoformat("2024-01-08"), code="yyyy-mm-dd")
    workbook = book.read()
    found = cell(workbook, "A1")
    assert (workbook.day_zero_1904, found.value, found.serial) == (
        True,
        datetime.fromisoformat("2024-01-08"),
        45299.0 - 1462,
    )


@pytest.mark.parametrize(("code", "minutes"), [("h:mm", 45), ("[h]:mm", 45), ("[h]:mm", 27 * 60 + 30)])
def test_a_clock_time_is_a_duration(book, code, minutes):
    """Case A82: 0:45 under h:mm."""
    book.put("Shop", "A1", timedelta(minutes=minutes), code=code)
    found = cell(book.read(), "A1")
    assert (found.kind, found.value, found.number_format) == (Kind.DURATION, timedelta(minutes=minutes), code)
    assert found.serial == pytest.approx(minutes / 1440, abs=1e-12)


@pytest.mark.parametrize("serial", [-2.5, 0.0, 2958466.0, 45299000.0])
def test_a_number_that_no_calendar_date_stands_for_stays_a_number(book, serial):
    """31 December 9999 is day 2958465 and the last: ECMA-376 Part 1, 18.17.4.1."""
    book.put("Stock", "A1", serial, code="yyyy-mm-dd")
    found = cell(book.read(), "A1")
    assert (found.kind, found.value, found.number_format) == (Kind.NUMBER, serial, "yyyy-mm-dd")


def test_a_formula_comes_with_its_stored_result(book):
    book.put("Stock", "A1", 0.5)
    book.formula("Stock", "B1", "=A1*3", "of:=[.A1]*3", result=1.5, code="0.000")
    book.formula("Stock", "B2", '=A1&" in"', 'of:=[.A1]&" in"', result="0.5 in")
    workbook = book.read()
    own = {".xlsx": ("=A1*3", '=A1&" in"'), ".ods": ("=[.A1]*3", '=[.A1]&" in"')}[book.suffix]
    assert [(facts(workbook, address), cell(workbook, address).formula) for address in ("B1", "B2")] == [
        ((Kind.NUMBER, 1.5), own[0]),
        ((Kind.TEXT, "0.5 in"), own[1]),
    ]
    assert not cell(workbook, "B1").computed


def test_a_comment_stays_apart_from_the_value(book):
    """Case A75: 0.044 with the comment "fuzzy"."""
    book.put("Measurements", "A1", "0.044", comment="fuzzy")
    book.put("Measurements", "A2", 0.044, comment="two\nlines")
    workbook = book.read()
    assert [(cell(workbook, a).value, cell(workbook, a).comment) for a in ("A1", "A2")] == [
        ("0.044", "fuzzy"),
        (0.044, "two\nlines"),
    ]


def test_a_comment_alone_makes_an_empty_cell_worth_keeping(book):
    book.put("Measurements", "B2", comment="not yet measured")
    found = cell(book.read(), "B2")
    assert (found.kind, found.value, found.comment) == (Kind.EMPTY, None, "not yet measured")


def test_hidden_rows_and_columns_are_named_and_still_read(book):
    """Case A68's rows."""
    for row, value in enumerate([0.041, 0.043, 0.040, 0.044, 0.042], 2):
        book.put("Measurements", f"B{row}", value)
    book.tabs["Measurements"].hidden_rows = {3, 5}
    book.tabs["Measurements"].hidden_columns = {4}
    sheet = book.read().sheets[0]
    assert (sheet.hidden_rows, sheet.hidden_columns) == ({3, 5}, {4})
    assert [found.value for _, (found,) in sheet.rows()] == [0.041, 0.043, 0.040, 0.044, 0.042]


def test_a_hidden_sheet_is_read_and_said_to_be_hidden(book):
    book.put("Stock", "A1", "Board")
    book.put("Old job", "A1", "Board")
    book.tabs["Old job"].hidden = True
    assert [sheet.visibility for sheet in book.read().sheets] == [Visibility.SHOWN, Visibility.HIDDEN]


def test_a_merged_heading_holds_its_value_in_the_first_cell(book):
    book.put("Stock", "A1", "x")
    book.tabs["Stock"].merged = ["B1:D2"]
    book.put("Stock", "B1", "Thickness")
    workbook = book.read()
    assert workbook.sheets[0].merged == [MergedArea(1, 2, 2, 4)]
    assert sorted(workbook.sheets[0].cells) == [(1, 1), (1, 2)]


def test_a_value_hidden_under_a_merged_cell_is_left_out_and_said(book):
    book.put("Stock", "A1", "Thickness")
    book.tabs["Stock"].merged = ["A1:C1"]
    book.put("Stock", "B1", 0.5)
    book.put("Stock", "C1", "elm")
    workbook = book.read()
    assert sorted(workbook.sheets[0].cells) == [(1, 1)]
    assert list(map(str, workbook.problems)) == [
        f"Stock!{place}: found {found} hidden under the merged cell A1, wanted a value that can be seen. "
        "To fix: unmerge the cells, then keep or delete the value."
        for place, found in (("B1", "0.5"), ("C1", '"elm"'))
    ]


def test_many_values_hidden_under_one_merged_cell_are_one_finding(book):
    for row in range(1, 1301):
        book.put("Stock", f"A{row}", row)
    book.tabs["Stock"].merged = ["A1:A1300"]
    workbook = book.read()
    assert sorted(workbook.sheets[0].cells) == [(1, 1)]
    assert list(map(str, workbook.problems)) == [
        "Stock!A2: found 2 and 1,298 more values hidden under the merged cell A1, wanted values that can be seen. "
        "To fix: unmerge the cells, then keep or delete the values."
    ]


def test_a_text_struck_through_as_a_whole_is_struck(book):
    book.put("Stock", "A1", "elm", struck=True)
    book.put("Stock", "A2", "elm")
    book.put("Stock", "A3", 0.5, struck=True)
    book.put("Stock", "A4", runs=[("old ", True), ("new", False)])
    book.put("Stock", "A5", runs=[("all ", True), ("gone", True)])
    workbook = book.read()
    found = [cell(workbook, f"A{row}") for row in range(1, 6)]
    assert [item.struck for item in found] == [True, False, True, False, True]
    assert [item.value for item in found[3:]] == ["old new", "all gone"]


def test_a_sheet_that_carries_our_mark_is_known_as_ours_and_not_read(book):
    book.put("Stock", "A1", "Board")
    book.put("Summary", "A1", "Can it be made")
    book.put("Summary", "A2", "Written by sheetkit at each refresh.")
    book.put("My plan", "A4", "Written by sheetkit; three rows put in above")
    book.names = {
        "sheetkit_result_summary": "=Summary!$A$1",
        "sheetkit_result_cut_plan": "='My plan'!$A$1",
        "kerf": "=Stock!$B$1",
    }
    workbook = book.read()
    assert [(sheet.name, sheet.result_key, len(sheet.cells)) for sheet in workbook.sheets] == [
        ("Stock", None, 1),
        ("Summary", "summary", 0),
        ("My plan", "cut_plan", 0),
    ]
    assert workbook.result_sheets() == {"summary": "Summary", "cut_plan": "My plan"}
    assert workbook.disowned == []


@pytest.mark.parametrize(("address", "text"), [("A2", "Glue: 4.10"), ("A5", OWN_WORDS), ("B2", OWN_WORDS)])
def test_a_marked_sheet_that_does_not_say_it_is_ours_is_read_like_any_other(book, address, text):
    book.put("Cost", "A1", "Cost")
    book.put("Cost", address, text)
    book.names = {"sheetkit_result_cost": "=Cost!$A$1"}
    workbook = book.read()
    assert workbook.result_sheets() == {}
    assert workbook.disowned == ["Cost"]
    assert [found.value for found in workbook.sheets[0].cells.values()] == ["Cost", text]


def test_a_copy_of_our_sheet_is_the_makers_and_read_whole(book):
    for sheet in ("Cost", "Cost in spring"):
        book.put(sheet, "A2", OWN_WORDS)
        book.put(sheet, "A9", "Glue")
        book.put(sheet, "B9", 4.1)
    book.names = {"sheetkit_result_cost": "=Cost!$A$1"}
    ours, copy = book.read().sheets
    assert (ours.result_key, ours.cells) == ("cost", {})
    assert copy.result_key is None
    assert {found.address: found.value for found in copy.cells.values()} == {"A2": OWN_WORDS, "A9": "Glue", "B9": 4.1}


def test_our_sheet_is_known_although_no_further_cell_can_be_kept(book, monkeypatch):
    monkeypatch.setattr("sheetkit.reading.limits.MAX_CELLS", 2)
    for row in (1, 2, 3):
        book.put("Stock", f"A{row}", row)
    book.put("Cost", "A1", "Cost")
    book.put("Cost", "A2", OWN_WORDS)
    book.names = {"sheetkit_result_cost": "=Cost!$A$1"}
    workbook = book.read()
    assert len(workbook.sheets[0].cells) == 2
    assert (workbook.result_sheets(), workbook.disowned) == ({"cost": "Cost"}, [])


def test_a_sheet_of_the_makers_with_one_of_our_titles_is_read(book):
    book.put("Summary", "A1", "mine")
    sheet = book.read().sheets[0]
    assert (sheet.result_key, len(sheet.cells)) == (None, 1)


def test_a_mark_whose_sheet_was_deleted_marks_nothing(book):
    book.put("Stock", "A1", "Board")
    book.names = {"sheetkit_result_summary": "=#REF!$A$1" if book.suffix == ".xlsx" else "#REF!.$A$1"}
    assert book.read().result_sheets() == {}
