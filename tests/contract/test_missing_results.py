"""Formulas without a stored result, in both formats; expected values are worked by hand beside each case."""

from datetime import datetime

import pytest

from sheetkit.reading.model import Kind


def fill(book):
    for address, value in {"B2": 0.5, "C2": 0.25, "B3": 3, "B4": "elm", "B6": 0.2, "D2": True, "B7": "007"}.items():
        book.put("Stock", address, value)
    book.put("Stock", "E2", 45299, code="yyyy-mm-dd")
    book.put("Other sheet", "B3", 1.75)


CASES = {
    "a fraction": ("=1/16", "of:=1/16", 0.0625),
    "a sum of two cells": ("=B2+C2", "of:=[.B2]+[.C2]", 0.75),
    "a total that passes over text and blanks": ("=SUM(B2:B9)", "of:=SUM([.B2:.B9])", 3.7),
    "a mean that passes over text and blanks": ("=AVERAGE(B2:B9)", "of:=AVERAGE([.B2:.B9])", 3.7 / 3),
    "a count of numbers": ("=COUNT(B2:B9)", "of:=COUNT([.B2:.B9])", 3.0),
    "another sheet": ("='Other sheet'!B3*2", "of:=[$'Other sheet'.B3]*2", 3.5),
    "absolute references": ("=$B$2*2", "of:=[.$B$2]*2", 1.0),
    "a whole column": ("=MAX(B:B)", "of:=MAX([.B:.B])", 3.0),
    "a blank cell counts as nothing": ("=B2+C9", "of:=[.B2]+[.C9]", 0.5),
    "a blank cell alone": ("=C9", "of:=[.C9]", 0.0),
    "percent": ("=B3*15%", "of:=[.B3]*15%", 0.45),
    "several arguments": ("=ROUND(B3/7,3)", "of:=ROUND([.B3]/7;3)", 0.429),
    "a condition on text": ('=IF(B4="elm",B2,0)', 'of:=IF([.B4]="elm";[.B2];0)', 0.5),
    "a look-up": ('=MATCH("elm",B2:B6,0)', 'of:=MATCH("elm";[.B2:.B6];0)', 3.0),
    "text joined": ('=B4&"; 1/2 in"', 'of:=[.B4]&"; 1/2 in"', "elm; 1/2 in"),
    "a comparison": ("=B2>C2", "of:=[.B2]>[.C2]", True),
    "a unit": ('=CONVERT(1,"in","mm")', 'of:=CONVERT(1;"in";"mm")', 25.4),
    "a division by nothing": ("=B2/C9", "of:=[.B2]/[.C9]", "#DIV/0!"),
    "a minus before a power": ("=-B3^2", "of:=-[.B3]^2", 9.0),
}
KINDS = {float: Kind.NUMBER, str: Kind.TEXT, bool: Kind.BOOLEAN}


@pytest.mark.parametrize(("xlsx", "ods", "expected"), CASES.values(), ids=CASES.keys())
def test_a_formula_without_a_result_is_worked_out(book, xlsx, ods, expected):
    """The precedence of a sign over a power is that of both programs: OpenDocument 1.3 Part 4, 5.5, table 1."""
    fill(book)
    book.formula("Stock", "F1", xlsx, ods)
    workbook = book.read()
    found = workbook.sheets[0].cells[1, 6]
    assert found.kind is (Kind.ERROR if expected == "#DIV/0!" else KINDS[type(expected)])
    assert found.value == (pytest.approx(expected, abs=1e-12) if isinstance(expected, float) else expected)
    assert found.computed
    assert workbook.without_result == workbook.problems == []


def test_formulas_that_need_each_other_are_worked_out_in_their_order(book):
    for row in range(2, 200):
        book.formula("Stock", f"A{row}", f"=A{row - 1}+0.5", f"of:=[.A{row - 1}]+0.5")
    book.put("Stock", "A1", 0.5)
    book.formula("Stock", "B1", "=SUM(A1:A199)", "of:=SUM([.A1:.A199])")
    workbook = book.read()
    assert workbook.sheets[0].cells[199, 1].value == 99.5
    assert workbook.sheets[0].cells[1, 2].value == 0.5 * 199 * 200 / 2
    assert workbook.without_result == workbook.problems == []


def test_the_same_formula_on_values_that_only_look_equal_is_worked_out_for_each(book):
    """1 is not TRUE, and the text 007 is not the text 7."""
    values = [1, True, "elm", None, 1, 2, "ash", "elm"]
    for row, value in enumerate(values, 1):
        if value is not None:
            book.put("Stock", f"A{row}", value)
        book.formula("Stock", f"B{row}", f"=A{row}=1", f"of:=[.A{row}]=1")
        book.formula("Stock", f"C{row}", f"=LEN(A{row})", f"of:=LEN([.A{row}])")
    cells = book.read().sheets[0].cells
    assert [cells[row, 2].value for row in range(1, 9)] == [True, False, False, False, True, False, False, False]
    assert [cells[row, 3].value for row in range(1, 9)] == [1, 4, 3, 0, 1, 1, 3, 3]


REASONS = {
    ".xlsx": ("=SUM(Stock:Tail!B2)", "it refers to Stock:Tail!B2, which is not a cell of this workbook"),
    ".ods": ("of:=SUM([$Stock.B2:$Tail.B3])", "it refers to several sheets at once"),
}


def test_a_reference_through_several_sheets_is_not_followed(book):
    fill(book)
    book.put("Tail", "B2", 1)
    book.formula("Stock", "F1", REASONS[".xlsx"][0], REASONS[".ods"][0])
    workbook = book.read()
    reason = REASONS[workbook.path.suffix][1]
    assert [problem.found.partition("worked out here: ")[2] for problem in workbook.without_result] == [reason]


def test_what_an_error_or_another_formula_holds_up_is_said_with_the_cell(book):
    book.put("Stock", "A1", 1)
    book.formula("Stock", "A2", "=TODAY()", "of:=TODAY()")
    book.formula("Stock", "A3", "=A2+A1", "of:=[.A2]+[.A1]")
    book.formula("Stock", "A4", "=A1/0", "of:=[.A1]/0", result="#REF!")
    book.formula("Stock", "A5", "=A4+1", "of:=[.A4]+1")
    said = {problem.cell: problem.found.partition("worked out here: ")[2] for problem in book.read().without_result}
    assert said["A3"] == "it needs A2, which has no result either"
    assert said.get("A5") == "it needs A4, which holds #REF!"


def test_a_formula_over_too_many_cells_is_not_worked_out(book, monkeypatch):
    monkeypatch.setattr("sheetkit.reading.missing_results.MAX_AREA", 11)
    fill(book)
    book.formula("Stock", "F1", "=SUM(B2:C7)", "of:=SUM([.B2:.C7])")
    book.formula("Stock", "F2", "=SUM(B2:B7)", "of:=SUM([.B2:.B7])")
    workbook = book.read()
    said = [problem.found.partition("worked out here: ")[2] for problem in workbook.without_result]
    assert (said, workbook.sheets[0].cells[2, 6].value) == (["it refers to too many cells"], pytest.approx(3.7))


def test_a_formula_without_an_end_is_not_worked_out(book):
    book.formula("Stock", "F1", "=1" + "+1" * 500, "of:=1" + "+1" * 500)
    assert [str(problem) for problem in book.read().without_result] == [
        f"Stock!F1: found the formula =1{'+1' * 37}+... without a stored result, and it could not be worked out here: "
        f"it is too long, wanted a formula with its result. To fix: {FIX}."
    ]


def test_a_result_under_a_date_format_is_a_date(book):

    fill(book)
    book.formula("Stock", "F1", "=E2+7", "of:=[.E2]+7", code="yyyy-mm-dd")
    found = book.read().sheets[0].cells[1, 6]
    assert (found.kind, found.value, found.serial) == (Kind.DATE, datetime.fromisoformat("2024-01-15"), 45306.0)


def test_a_missing_result_is_worked_out_from_a_stored_one(book):
    book.formula("Stock", "A1", "=1+1", "of:=1+1", result=2)
    book.formula("Stock", "A2", "=A1*2", "of:=[.A1]*2")
    cells = book.read().sheets[0].cells
    assert [(cells[row, 1].value, cells[row, 1].computed) for row in (1, 2)] == [(2.0, False), (4.0, True)]


FIX = "open the workbook in the spreadsheet program, save it there and refresh again, or type the value"
REFUSALS = {
    "another file": (
        "=[1]Offcuts!A1*2",
        "of:=['file:///home/offcuts.ods'#$Offcuts.A1]*2",
        {
            ".xlsx": "it refers to [1]Offcuts!A1, which is not a cell of this workbook",
            ".ods": "it refers to something that is not in this workbook",
        },
    ),
    "the day": ("=TODAY()", "of:=TODAY()", "it uses TODAY"),
    "the web": ('=WEBSERVICE("x")', 'of:=WEBSERVICE("x")', "it uses WEBSERVICE"),
    "an unknown name": ("=Kerf*2", "of:=Kerf*2", "it refers to Kerf, which is not a cell of this workbook"),
    "an unknown sheet": ("=Lost!A1", "of:=[$Lost.A1]", "it refers to Lost, which is not a sheet of this workbook"),
    "itself": ("=F1+1", "of:=[.F1]+1", "it refers to itself"),
    "text in a sum": ("=B4*2", "of:=[.B4]*2", "it calculates with B4, which holds text"),
    "a text that looks like a number": (
        "=ISNUMBER(B7)",
        "of:=ISNUMBER([.B7])",
        "it uses B7, which holds a text that looks like a number",
    ),
    "a truth value in a total": (
        "=SUM(B2:D2)",
        "of:=SUM([.B2:.D2])",
        "it totals D2, which holds TRUE; programs differ there",
    ),
    "several values": ("=B2:B3*2", "of:=[.B2:.B3]*2", "it gives several values"),
    "a text without an end": ('="elm', 'of:="elm', "it cannot be read"),
    "an argument left out": ("=IF(B2>1,,2)", "of:=IF([.B2]>1;;2)", "it leaves an argument out"),
    "values written out": ("=SUM({1,2})", "of:=SUM({1,2})", "it holds a list of values in curly brackets"),
    "an error written out": ("=#N/A+1", "of:=#N/A+1", "it holds #N/A"),
    "a cell beyond the sheet": (
        "=A9999999",
        "of:=[.A9999999]",
        "it refers to A9999999, which is not a cell of this workbook",
    ),
    "a blank compared with many": (
        "=SUMPRODUCT(B2:B3=C8:C9)",
        "of:=SUMPRODUCT([.B2:.B3]=[.C8:.C9])",
        "it compares a blank cell with more than one value",
    ),
    "a union": (
        "=SUM(B2~B3)",
        "of:=SUM([.B2]~[.B3])",
        {".xlsx": "it refers to B2~B3, which is not a cell of this workbook", ".ods": 'it uses "~"'},
    ),
    "too many digits": ('=B3/7&""', 'of:=[.B3]/7&""', "it gives a text with more digits than all programs agree on"),
    "an error that programs do not agree on": ("=MOD(B2)", "of:=MOD([.B2])", "it gives #VALUE!"),
    "a flood of text": ('=REPT("x",1E9)', 'of:=REPT("x";1E9)', "it uses REPT"),
}


@pytest.mark.parametrize(("xlsx", "ods", "reason"), REFUSALS.values(), ids=REFUSALS.keys())
def test_what_cannot_be_worked_out_is_said_and_never_blank_or_nought(book, xlsx, ods, reason):
    fill(book)
    book.formula("Stock", "F1", xlsx, ods)
    workbook = book.read()
    found = workbook.sheets[0].cells[1, 6]
    assert (found.kind, found.value, found.computed) == (Kind.NO_RESULT, None, False)
    reason = reason if isinstance(reason, str) else reason[book.suffix]
    start = f"the formula {found.formula} without a stored result, and it could not be worked out here: {reason}"
    assert [(p.place, p.found, p.wanted, p.fix) for p in workbook.without_result] == [
        ("Stock!F1", start, "a formula with its result", FIX)
    ]


def test_whatever_the_library_raises_is_a_refusal(book, monkeypatch):
    def stumble(*_, **__):
        raise ZeroDivisionError("deep inside")

    monkeypatch.setattr("formulas.Parser.ast", stumble)
    book.formula("Stock", "F1", "=1+1", "of:=1+1")
    assert [str(problem) for problem in book.read().without_result] == [
        "Stock!F1: found the formula =1+1 without a stored result, and it could not be worked out here: it ends in "
        f"ZeroDivisionError, wanted a formula with its result. To fix: {FIX}."
    ]


def test_a_formula_that_needs_a_refused_one_is_refused_too(book):
    book.formula("Stock", "A1", "=TODAY()", "of:=TODAY()")
    book.formula("Stock", "A2", "=A1+1", "of:=[.A1]+1")
    book.formula("Stock", "A3", "=1/8", "of:=1/8")
    workbook = book.read()
    assert [workbook.sheets[0].cells[row, 1].kind for row in (1, 2, 3)] == [Kind.NO_RESULT, Kind.NO_RESULT, Kind.NUMBER]
    assert [p.found.rsplit(": ", 1)[1] for p in workbook.without_result] == [
        "it uses TODAY",
        "it needs A1, which has no result either",
    ]


def test_a_ring_of_formulas_ends(book):
    for address, xlsx, ods in [("A1", "=A2", "of:=[.A2]"), ("A2", "=A3", "of:=[.A3]"), ("A3", "=A1", "of:=[.A1]")]:
        book.formula("Stock", address, xlsx, ods)
    workbook = book.read()
    assert {found.kind for found in workbook.sheets[0].cells.values()} == {Kind.NO_RESULT}
    assert len(workbook.without_result) == 3


RESULT_SHEET_USES = {
    "a sum": ("=Summary!B3*2", "of:=[$Summary.B3]*2"),
    "a cell alone": ("=Summary!B3", "of:=[$Summary.B3]"),
    "a total": ("=SUM(Summary!B1:B9)", "of:=SUM([$Summary.B1:.B9])"),
    "a count": ("=COUNTA(Summary!A:A)", "of:=COUNTA([$Summary.A:.A])"),
    "a test for blanks": ("=ISBLANK(Summary!B3)", "of:=ISBLANK([$Summary.B3])"),
    "text joined": ('=Summary!B3&" in"', 'of:=[$Summary.B3]&" in"'),
}


@pytest.mark.parametrize(("xlsx", "ods"), RESULT_SHEET_USES.values(), ids=RESULT_SHEET_USES.keys())
def test_a_reference_to_a_result_sheet_is_not_taken_for_nought_or_blank(book, xlsx, ods):
    book.put("Summary", "A2", "Written by sheetkit at each refresh.")
    book.put("Summary", "B3", 12)
    book.names = {"sheetkit_result_summary": "=Summary!$A$1"}
    book.formula("Stock", "A1", xlsx, ods)
    workbook = book.read()
    found = workbook.sheets[1].cells[1, 1]
    assert (found.kind, found.value) == (Kind.NO_RESULT, None)
    assert workbook.without_result[0].found.endswith("it refers to a result sheet")


def test_many_formulas_of_one_sheet_do_not_hide_those_of_another(book):
    for row in range(1, 131):
        book.formula("Notes", f"A{row}", "=TODAY()", "of:=TODAY()")
    book.formula("Stock", "A1", "=TODAY()", "of:=TODAY()")
    places = [problem.place for problem in book.read().without_result]
    assert (len(places), places[100:]) == (102, ["Notes", "Stock!A1"])


def test_thousands_of_formulas_without_results_are_listed_only_in_part(book):
    for row in range(1, 131):
        book.formula("Stock", f"A{row}", "=TODAY()", "of:=TODAY()")
    problems = book.read().without_result
    assert len(problems) == 101
    assert str(problems[-1]) == (
        "Stock: found 30 further formulas without a stored result, wanted formulas with their results. To fix: "
        "open the workbook in the spreadsheet program, save it there and refresh again."
    )
