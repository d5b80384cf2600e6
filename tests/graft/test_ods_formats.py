"""Number formats in .ods, against what LibreOffice makes of them."""

import csv
import io
import os
import re
import shutil
import subprocess
from datetime import date, datetime

import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow

from sheetkit.graft.ods import graft_ods
from sheetkit.graft.ods_shown import shown
from sheetkit.report.model import ReportCell, ReportSheet

ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="ODFRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>
"""
CSV_AS_SHOWN = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,true,false,false,-1"
VALUES = (1.5625, -0.375, 0)
MOMENT = datetime(2031, 3, 9, 14, 5, 7)  # noqa: DTZ001 # cells know no zone

# The code a cell is given, and the code that openpyxl finds after LibreOffice has saved the sheet as .xlsx: the same,
# or one that means the same.
CODES = [
    ("General", "General"),
    ("0", "0"),
    ("0.0000", "0.0000"),
    ("#,##0.00", "#,##0.00"),
    ("0%", "0%"),
    ("0.0%", "0.0%"),
    ("# ?/?", "# ?/?"),
    ("# ??/16", "# ??/16"),
    ("?/?", "?/?"),
    ("0.00E+00", "0.00E+00"),
    ("0.0##", "0.0##"),
    ("+0.0000;-0.0000;0", "\\+0.0000;\\-0.0000;0"),
    ('0.000" in"', '0.000" in"'),
    ("[$€-407] #,##0.00", "[$€]\\ #,##0.00"),
    ("$#,##0.00", "[$$]#,##0.00"),
    ('"$"#,##0.00;[Red]-"$"#,##0.00', '\\$#,##0.00;[RED]"-$"#,##0.00'),
    ("0;-0;;@", '0;\\-0;"";@'),
    ("[<1]0.00;0", "[<1]0.00;0"),
    ("0.00_);(0.00)", "0.00\\ ;\\(0.00\\)"),
    ('"± "0.000', '"± "0.000'),
    ('#,##0,"k"', "#,##0,\\k"),
]
DATE_CODES = [
    ("yyyy-mm-dd", "yyyy\\-mm\\-dd"),
    ("d-mmm-yyyy", "d\\-mmm\\-yyyy"),
    ("dd/mm/yyyy", "dd/mm/yyyy"),
    ("d mmmm yyyy", "d\\ mmmm\\ yyyy"),
    ("yyyy-mm-dd hh:mm", "yyyy\\-mm\\-dd\\ hh:mm"),
    ("h:mm AM/PM", "h:mm\\ AM/PM"),
    ("mm:ss", "mm:ss"),
    ("ddd d mmm", "ddd\\ d\\ mmm"),
]


def sheet_of_codes():
    rows = [[ReportCell(code), *(ReportCell(value, number_format=code) for value in VALUES)] for code, _ in CODES]
    rows += [[ReportCell(code), ReportCell(MOMENT, number_format=code)] for code, _ in DATE_CODES]
    return ReportSheet("codes", "Codes", rows, [20, 14, 14, 14])


def empty_workbook():
    document = OpenDocumentSpreadsheet()
    table = Table(name="Mine")
    row = TableRow()
    row.addElement(TableCell())
    table.addElement(row)
    document.spreadsheet.addElement(table)
    target = io.BytesIO()
    document.save(target)
    return target


@pytest.fixture(scope="module")
def convert(tmp_path_factory):
    """Grafts sheets into an empty workbook and converts it through LibreOffice; gives the folder of the results."""
    soffice = shutil.which("soffice")
    if soffice is None:
        reason = "LibreOffice is not on this machine"
        pytest.fail(reason) if os.environ.get("CI") == "true" else pytest.skip(reason)
    folder = tmp_path_factory.mktemp("profile")
    (folder / "user").mkdir()
    (folder / "user" / "registrymodifications.xcu").write_text(ALWAYS_RECALCULATE, encoding="utf-8")
    profile = f"-env:UserInstallation={folder.as_uri()}"

    def convert_sheets(sheets, target):
        folder = tmp_path_factory.mktemp("converted")
        with (folder / "codes.ods").open("wb") as out:
            graft_ods(empty_workbook(), sheets, out)
        command = [soffice, profile, "--headless", "--convert-to", target, "--outdir", folder, folder / "codes.ods"]
        subprocess.run(command, check=True, capture_output=True, timeout=120)
        return folder

    return convert_sheets


@pytest.mark.office
def test_libreoffice_reads_each_format_as_the_code_it_was_made_from(convert):
    import openpyxl

    book = openpyxl.load_workbook(convert([sheet_of_codes()], "xlsx") / "codes.xlsx")
    found = {row[0].value: row[1].number_format for row in book["Codes"].iter_rows()}
    assert found == dict([*CODES, *DATE_CODES])


@pytest.mark.office
def test_the_text_kept_in_the_file_is_what_libreoffice_shows(convert):
    folder = convert([sheet_of_codes()], CSV_AS_SHOWN)
    with (folder / "codes-Codes.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    for code, *texts in rows:
        values = VALUES if code in dict(CODES) else (MOMENT,)
        ours = [shown(value, code) for value in values]
        assert [_one_blank(text) for text in texts[: len(values)]] == [_one_blank(text) for text in ours], code


def _one_blank(text):
    """LibreOffice pads fractions so that they stand under each other."""
    return re.sub(r"\s+", " ", text).replace("- ", "-").strip()


@pytest.mark.parametrize(
    ("value", "code", "text"),
    [
        (0.0625, "0.000", "0.063"),
        (2.5, "0", "3"),
        (-0.0001, "0.00", "0.00"),
        (1234567.891, "#,##0.0", "1,234,567.9"),
        (0.5, ".00", ".50"),
        (3.75, "# ?/?", "3 3/4"),
        (1.999, "# ??/16", "2"),
        (True, "General", "TRUE"),
        (1e-7, "General", "1E-07"),
        (-0.0, "General", "0"),
        (date(2031, 1, 2), "yy", "31"),
        (0.75, "h:mm", "18:00"),
        (1.25, "[h]:mm", "30:00"),
        ("a\r\nb", "0.00", "a\nb"),
    ],
)
def test_a_value_shows_under_its_code(value, code, text):
    """ECMA-376 part 1, 18.8.31; halves are rounded away from zero (common practice, no source)."""
    assert shown(value, code) == text


FORMULAS = [
    ("=SUM('The codes'!B1:B3)", 6),
    ('=IF(\'The codes\'!B2>1,"more","less")', "more"),
    ("=ROUND(_xlfn.STDEV.S('The codes'!B1:B3),6)", 1),
    ("=SUMIFS('The codes'!B1:B3,'The codes'!A1:A3,\"b\")", 2),
    ("=COUNTIF('The codes'!B:B,\">=2\")", 2),
    ("=INDEX('The codes'!A1:B3,MATCH(3,'The codes'!B1:B3,0),1)", "c"),
    ("=CEILING('The codes'!B3,2)", 4),
    ('=IFERROR(1/0,"none")', "none"),
    ("=SUM({1,2;3,4})", 10),
    ('=TEXT(\'The codes\'!B1,"0.00")&" in"', "1.00 in"),
]


@pytest.mark.office
def test_formulas_are_live_in_libreoffice(convert):
    """Each cell is written with a false result; the right ones are sums by hand."""
    import openpyxl

    data = [[ReportCell(letter), ReportCell(number)] for letter, number in zip("abc", (1, 2, 3), strict=True)]
    sheets = [
        ReportSheet("data", "The codes", data, [10, 10]),
        ReportSheet("results", "Results", [[ReportCell(-99, formula=formula)] for formula, _ in FORMULAS], [10]),
    ]
    book = openpyxl.load_workbook(convert(sheets, "xlsx") / "codes.xlsx", data_only=True)
    found = [row[0].value for row in book["Results"].iter_rows()]
    assert found == [result for _, result in FORMULAS]
