import pytest

from sheetkit.graft.ods_formula import Formulas, open_formula, quoted_sheet

# What LibreOffice 7.4 writes into an .ods file for a workbook that openpyxl wrote with the formula on the left.
WRITTEN_BY_LIBREOFFICE = [
    ("=SUM(A:A)", "of:=SUM([.A:.A])"),
    ("=SUM(2:3)", "of:=SUM([.2:.3])"),
    ("=SUM((A2,A3))", "of:=SUM(([.A2]~[.A3]))"),
    ("=SUM(A1:A3 A2:A5)", "of:=SUM([.A1:.A3]![.A2:.A5])"),
    ("=SUM({1,2;3,4})", "of:=SUM({1;2|3;4})"),
    ("=#N/A", "of:=#N/A"),
    ("=IF(TRUE,1,2)", "of:=IF(TRUE();1;2)"),
    ("=A2%", "of:=[.A2]%"),
    ("=-A2^2", "of:=-[.A2]^2"),
    ("='Stock use'!A2:A4", "of:=[$'Stock use'.A2:.A4]"),
    ("=SUM('Stock use'!$A$2:$A$4)", "of:=SUM([$'Stock use'.$A$2:.$A$4])"),
    ('=A2&"a,b""c"', 'of:=[.A2]&"a,b""c"'),
    ("=IF(A2<>3,,5)", "of:=IF([.A2]<>3;;5)"),
    ("=CEILING(A2,0.5)", "of:=COM.MICROSOFT.CEILING([.A2];0.5)"),
    ("=FLOOR(A2,0.5)", "of:=COM.MICROSOFT.FLOOR([.A2];0.5)"),
    ("=_xlfn.STDEV.S(A2)", "of:=COM.MICROSOFT.STDEV.S([.A2])"),
    ("=NETWORKDAYS.INTL(A2)", "of:=COM.MICROSOFT.NETWORKDAYS.INTL([.A2])"),
    ("=_xlfn.IFS(A2)", "of:=COM.MICROSOFT.IFS([.A2])"),
    ("=_xlfn.SKEW.P(A2)", "of:=SKEWP([.A2])"),
    ("=_xlfn.FORMULATEXT(A2)", "of:=FORMULA([.A2])"),
    ("=_xlfn.XOR(A2)", "of:=XOR([.A2])"),
    ("=NORMSDIST(A2)", "of:=LEGACY.NORMSDIST([.A2])"),
    ("=AVERAGEIF(A2)", "of:=AVERAGEIF([.A2])"),
]


@pytest.mark.parametrize(("formula", "written"), WRITTEN_BY_LIBREOFFICE)
def test_a_formula_reads_as_libreoffice_writes_it(formula, written):
    assert open_formula(formula) == written


def test_blanks_within_a_formula_stay_and_are_no_intersection():
    assert open_formula("=SUM( A1 , 2 ) + B2") == "of:=SUM( [.A1] ; 2 ) + [.B2]"


def test_sheets_go_by_the_name_their_tab_has_now():
    now = {"Stock use": "Maker's stock", "Plan": "Plan"}
    formula = "=SUM('Stock use'!F7:F9)+Plan!B2+Other!C3"
    written = "of:=SUM([$'Maker''s stock'.F7:.F9])+[$Plan.B2]+[$Other.C3]"
    assert open_formula(formula, lambda name: now.get(name, name)) == written


def test_an_apostrophe_in_a_sheets_name_is_read_and_written_doubled():
    assert open_formula("='Maker''s stock'!A1") == "of:=[$'Maker''s stock'.A1]"


def test_a_defined_name_stays_as_it_is():
    assert open_formula("=price*2") == "of:=price*2"


@pytest.mark.parametrize("formula", ["=SUM(Passes[Got])", "='[2]Prices'!A1", "=Plan!price"])
def test_what_has_no_counterpart_is_refused(formula):
    with pytest.raises(ValueError, match=r"counterpart|no reference to cells"):
        open_formula(formula)


def test_a_text_is_no_formula():
    with pytest.raises(ValueError, match="'1\\+1' is no formula"):
        open_formula("1+1")


def test_a_sheets_name_is_quoted_unless_it_is_one_plain_word():
    names = ["Stock", "Stock use", "2031", "Maker's", "Größe", "a.b"]
    assert [quoted_sheet(name) for name in names] == [
        "Stock", "'Stock use'", "'2031'", "'Maker''s'", "Größe", "'a.b'",
    ]  # fmt: skip


ALIKE = (
    "=AVERAGE('Measurements'!D{0}:E{0},'Measurements'!G{0})/25.4",
    "=G{0}-C{0}",
    "=LOG10(B{0})+10",
    "=SUM(C7:C{0})",
    "=IF($A${0}=\"D{0}\",'Plan {0}'!B{0},B{0}*1{0})",
    "='A{0}'!A{0}%",
    "=A{0}+A1{0}",
)


@pytest.mark.parametrize("alike", ALIKE)
def test_formulas_that_differ_in_their_rows_become_what_each_becomes_alone(alike):
    formulas = Formulas(lambda sheet: sheet.replace("Plan", "My plan"))
    for row in (7, 70, 1, 10, 9000, 90001, 123456, 7):
        formula = alike.format(row)
        assert formulas.of(formula) == open_formula(formula, lambda sheet: sheet.replace("Plan", "My plan"))


def test_a_formula_is_written_as_the_file_needs_it():
    formulas = Formulas(str, lambda text: text.replace("&", "&amp;"))
    assert [formulas.of(f'=A{row}&"%&{row}"') for row in (3, 4)] == [
        f'of:=[.A{row}]&amp;"%&amp;{row}"' for row in (3, 4)
    ]
