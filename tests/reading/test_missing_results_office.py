"""Every function that is worked out here gives what LibreOffice gives."""

import re
import shutil
import subprocess

import openpyxl
import pytest

from sheetkit.reading import open_workbook
from sheetkit.reading.formula_text import KNOWN
from sheetkit.reading.model import Kind

COLUMNS = {
    "A": [0.5, 0.25, 3, 7, -2.5, 12, 0.041, 100],
    "B": ["pear", "elm", "pear", "wenge", "007", "1E5", None, "Pear"],
    "C": [1, None, "2", "x", 5, None, 0, 8],
}
WRITTEN = """
=SUM(A1:A8) =SUM(C1:C8) =AVERAGE(A1:A8) =AVERAGE(C1:C8) =MIN(A1:A8) =MIN(C1:C8) =MAX(A1:A8) =MAX(B1:B8) =COUNT(C1:C8)
=COUNTA(C1:C8) =COUNTA(B1:B8) =LEN(B5) =LEFT(B5,2) =UPPER(B6) =CONCATENATE(B5,B1) =B5&B6 =B5 =INDEX(B1:B8,5)
=COUNTBLANK(C1:C8) =PRODUCT(A1:A4) =PRODUCT(C1:C6) =SUMSQ(A1:A8) =MEDIAN(A1:A8) =MEDIAN(C1:C8) =STDEV(A1:A8)
=STDEV.S(A1:A8) =STDEV.P(A1:A8) =STDEVP(A1:A8) =VAR(A1:A8) =VAR.S(A1:A8) =VAR.P(A1:A8) =VARP(A1:A8) =STDEV(C1:C8)
=LARGE(A1:A8,2) =SMALL(A1:A8,2) =SMALL(C1:C8,2) =SUMPRODUCT(A1:A4,A5:A8) =SUMPRODUCT(A1:A8,C1:C8) =ABS(A5)
=CEILING(A7,0.05) =EVEN(A1) =ODD(A4) =EXP(A1) =FLOOR(A7,0.005) =INT(A5) =LN(A3) =LOG(A8) =LOG(A6,2) =LOG10(A8)
=MOD(A5,2) =MOD(A4,3) =MROUND(A7,0.005) =PI() =POWER(A3,2) =ROUND(A7,2) =ROUND(A5,0) =ROUND(2.675,2) =ROUNDDOWN(A7,2)
=ROUNDUP(A7,2) =ROUNDUP(A5,0) =SIGN(A5) =SQRT(A8) =SQRT(A5) =TRUNC(A5) =RADIANS(A8) =DEGREES(A1) =SIN(A1) =COS(A1)
=TAN(A1) =ASIN(A1) =ACOS(A1) =ATAN(A1) =ATAN2(A1,A2) =CONVERT(A1,"in","mm") =CONVERT(A1,"ft","in")
=SUMIF(B1:B4,"pear",A1:A4) =SUMIF(A1:A8,">1") =COUNTIF(B1:B4,"pear") =COUNTIF(A1:A8,"<=0.25")
=AVERAGEIF(B1:B4,"pear",A1:A4) =SUMIFS(A1:A4,B1:B4,"pear",A1:A4,">1") =COUNTIFS(B1:B4,"pear",A1:A4,">1")
=AVERAGEIFS(A1:A4,B1:B4,"pear") =IF(A1>A2,"more","less") =IF(B7="",0,1) =IF(A1,1,2) =IFERROR(A1/C7,9) =IFERROR(A1,9)
=IFNA(MATCH("oak",B1:B4,0),-1) =AND(A1>0,A2>0) =OR(A1>1,A5>0) =NOT(A1>0) =TRUE() =FALSE() =ISBLANK(B7) =ISBLANK(B1)
=ISNUMBER(A1) =ISNUMBER(B1) =ISTEXT(B5) =ISERROR(A1/C7) =VLOOKUP("elm",B1:C2,2,FALSE) =VLOOKUP(4,A2:A4,1)
=HLOOKUP(0.5,A1:C2,2,FALSE) =INDEX(A1:A8,3) =INDEX(A1:C8,2,1) =MATCH("wenge",B1:B4,0) =MATCH(4,A2:A4) =LEFT(B1,2)
=RIGHT(B1,2) =MID(B1,2,2) =LEN(B1) =LEN(A7) =TRIM("pear""wood") =UPPER(B1) =LOWER(B8) =CONCATENATE(B1,B2) =B1&B2
=A1&B1 =A1+C6 =A1*C5 =A1/C7 =-A3^2 =2^3^2 =A1=C6 =B1=B8 =B1<>B2 =A3>=A4 =A3%*2 =(A1+A2)*A3 =A1-A2-A3 =A4/A3/A3 =B7
=B7&B1 =C6*2 =SUM(A1:A3,A8,C1) =MAX(A1,A3,C6) =MIN(C2,A1) =AVERAGE(A1,C2) =A1<B1 =C6=A1 =C6<A1 =C6>A5 =C6=C2 =B7=B1
=B7<B1 =C6<>0 =IF(C6>0,1,2) =IF(B7=B1,1,2)
"""
FORMULAS = WRITTEN.split()
PROGRAMS_DIFFER = {"=SQRT(A5)": "#NUM!"}
"""LibreOffice shows Err:502 for a value outside a function's domain, where the .xlsx standard has #NUM!."""


def functions_in(formulas):
    return {name for formula in formulas for name in re.findall(r"([A-Z][A-Z0-9.]*)\(", formula)}


def test_every_known_function_is_compared():
    assert functions_in(FORMULAS) == KNOWN


@pytest.fixture(scope="module")
def recalculated(tmp_path_factory):
    """Our results and LibreOffice's, by formula."""
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice (soffice) is not on this machine")
    folder = tmp_path_factory.mktemp("office")
    book = openpyxl.Workbook()
    sheet = book.active
    for letter, values in COLUMNS.items():
        for row, value in enumerate(values, 1):
            sheet[f"{letter}{row}"] = value
    for row, formula in enumerate(FORMULAS, 1):
        sheet.cell(row, 5).value = re.sub(r"^=(STDEV|VAR)\.|^=IFNA", lambda found: f"=_xlfn.{found[0][1:]}", formula)
    source = folder / "source.xlsx"
    book.save(source)
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [office, profile, "--headless", "--convert-to", "ods", "--outdir", str(folder), str(source)]
    subprocess.run(command, check=True, timeout=180, capture_output=True)
    ours, theirs = open_workbook(source), open_workbook(folder / "source.ods")
    return {
        formula: (ours.sheets[0].cells[row, 5], theirs.sheets[0].cells[row, 5])
        for row, formula in enumerate(FORMULAS, 1)
    }


@pytest.mark.office
@pytest.mark.parametrize("formula", FORMULAS)
def test_a_result_worked_out_is_that_of_libreoffice(recalculated, formula):
    """LibreOffice keeps truth values as the numbers 1 and 0 in cells without a format for them."""
    ours, theirs = recalculated[formula]
    assert (ours.computed, theirs.computed) == (True, False)
    expected = PROGRAMS_DIFFER.get(formula, theirs.value)
    if isinstance(expected, float):
        assert ours.kind in {Kind.NUMBER, Kind.BOOLEAN}
        assert ours.value == pytest.approx(expected, rel=1e-12, abs=1e-12)
    else:
        assert ours.value == expected
