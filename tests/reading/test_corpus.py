"""Workbooks that nobody here made, read by us and by readers that share no code with ours."""

import csv
import time
import warnings
from datetime import date, datetime, timedelta
from datetime import time as clock

import openpyxl
import pytest
import python_calamine

from sheetkit.errors import FileProblem
from sheetkit.reading import open_workbook
from sheetkit.reading.model import Kind

pytestmark = pytest.mark.shared

MOST_SECONDS = 10.0

CALAMINE_CANNOT_READ = {
    "Aspose.Cells-for-Java__InternationalMacroSheet.xlsm": "a kind of sheet that it does not know",
    "ExcelDataReader__Fillreport.xlsx": "a reference without a row",
    "spout__sheet_with_all_cell_types.xlsx": "an error value of its own making",
    "odfpy__pythagoras-kspread.ods": "white space between cells",
    "spout__sheet_with_number_columns_repeated.ods": "white space between cells",
    "spout__sheet_with_various_spaces.ods": "white space between cells",
    "odftoolkit__external_link_import_xml_MSO15.ods": "it would expand a repeated cell over the whole grid",
}
CALAMINE_DIFFERS = {
    "fastexcel__xlsx-stream-d-date-cell.xlsx": "it leaves dates with a zone as text",
    "roo__richtext_example.xlsx": "it drops the blank between two runs",
    "roo__x000D.xlsx": "it keeps the carriage returns of line ends",
    "test_files__number_format_russian.xlsm": "it makes dates of negative numbers",
    "umya-spreadsheet__issue_296.xlsx": "it makes dates of days counted under a clock format",
    "PhpSpreadsheet__OOCalcTest.ods": "it hands on periods as text",
    "SODS__emptyCell.ods": "it reads no character data sections",
    "odftoolkit__ST_SpecialCharacter.ods": "it lists caches of other files as sheets",
    "odftoolkit__content_formula_import_xml_MSO15.ods": "it reads errors that are stored as 0 as 0",
    "odftoolkit__content_scenarios_import_xml_MSO15.ods": "it lists scenarios as sheets",
    "odftoolkit__formula_import_xml_12_LO42.ods": "it hands on periods as text",
    "odftoolkit__pivottable_datasource_import_xml_MSO15.ods": "it reads errors that are stored as 0 as 0",
    "odsgenerator__result_test_json.ods": "it shows a value hidden under a merged cell",
    "odsparsator__json.ods": "it shows a value hidden under a merged cell",
}
OPENPYXL_CANNOT_READ = {
    "ExcelDataReader__Fillreport.xlsx": "a reference without a row",
    "fastexcel__xlsx-stream-d-date-cell.xlsx": "no cell formats",
    "spout__sheet_with_all_cell_types.xlsx": "an ISO date that it does not know",
    "test_files__pivot_table_named_range.xlsx": "its pivot table",
    "test_files__wtf_path.xlsx": "no cell formats",
}
OPENPYXL_DIFFERS = {
    "MiniExcel__TestCommentsAndNotes.xlsx": "it reads the notes that stand in for threads",
    "excelize__Book1.xlsx": "it does not take a row of no height for hidden, and keeps a merged area of one cell",
    "roo__x000D.xlsx": "it keeps _x000D_ as it is written",
    "test_files__number_format_russian.xlsm": "it makes dates of negative numbers",
    "umya-spreadsheet__issue_296.xlsx": "it makes dates of negative numbers and of days counted under a clock format",
    "umya-spreadsheet__aaa.xlsx": "it does not know the built-in formats of the East Asian editions",
}

REFUSED = {
    "MiniExcel__TestIssue272.xlsx",
    "fastexcel__missing-sheet-entry.xlsx",
    "fastexcel__only-content-types.xlsx",
    "made_external_entity.ods",
    "made_truncated.ods",
    "made_truncated.xlsx",
    "made_wrong_content_type.xlsx",
    "msoffcrypto-tool__example_password.xlsx",
    "odf-validator__mime_last.ods",
    "openpyxl__null_file.xlsx",
    "openspout__non_zip.ods",
    "poi__54764.xlsx",
    "poi__clusterfuzz-testcase-minimized-POIXSSFFuzzer-4828727001088000.xlsx",
    "poi__clusterfuzz-testcase-minimized-POIXSSFFuzzer-5265527465181184.xlsx",
    "poi__duplicate-filename.xlsx",
    "poi__xlsx-corrupted.xlsx",
    "qsv__password-protected-password123.ods",
    "spout__attack_billion_laughs.ods",
    "spout__attack_quadratic_blowup.xlsx",
    "spout__file_corrupted.ods",
    "xlnt__6_encrypted_libre.xlsx",
}
"""Locked, cut short, broken, of another kind, with two parts of one name, or with a document type."""


def workbooks(folder, *, hostile, kinds=("xlsx", "xlsm", "ods")):
    with (folder / "corpus" / "manifest.csv").open(newline="", encoding="utf-8") as file:
        for entry in csv.DictReader(file):
            if (entry["hostile"] == "1") is hostile and entry["file"].rsplit(".", 1)[1] in kinds:
                yield folder / "corpus" / entry["file"]


@pytest.fixture(autouse=True)
def quiet_readers():
    """The other readers warn about what they do not keep; that is not what is tested here."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def same(cell, theirs):
    """Whether a cell of ours is what another reader gives.

    For an error or a missing result it gives nothing; those worked out by us are compared with LibreOffice's elsewhere.
    """
    if cell is None or cell.value in (None, ""):
        return theirs in (None, "") or (cell is not None and cell.kind is Kind.NO_RESULT)
    if cell.computed:
        return True
    if cell.kind is Kind.ERROR:
        return theirs in (None, "", cell.value) or cell.value.startswith("Err:")
    if isinstance(theirs, bool) or isinstance(cell.value, bool):
        return cell.value == theirs
    if isinstance(theirs, int | float):
        mine = cell.value if cell.serial is None else cell.serial
        return isinstance(mine, float) and mine == pytest.approx(theirs, rel=1e-12, abs=1e-9)
    return cell.value == theirs if isinstance(theirs, str) else same_moment(cell.value, theirs)


def same_moment(mine, theirs):
    if isinstance(theirs, clock):
        theirs = datetime.combine(date.min, theirs) - datetime.combine(date.min, clock.min)
    elif isinstance(theirs, date) and not isinstance(theirs, datetime):
        theirs = datetime.combine(theirs, clock.min)
    return type(mine) is type(theirs) and abs(mine - theirs) < timedelta(milliseconds=10)


def differences(sheet, theirs):
    places = sheet.cells.keys() | theirs.keys()
    return [
        f"{sheet.name} {place}: {sheet.cells.get(place)} against {theirs.get(place)!r}"
        for place in sorted(places)
        if not same(sheet.cells.get(place), theirs.get(place))
    ]


def compared_with_calamine(path):
    workbook = open_workbook(path)
    other = python_calamine.load_workbook(str(path))
    found = []
    if [entry.name for entry in other.sheets_metadata if entry.name not in workbook.other_sheet_names] != [
        sheet.name for sheet in workbook.sheets
    ]:
        found.append("sheets")
    for sheet in workbook.sheets:
        rows = other.get_sheet_by_name(sheet.name).to_python(skip_empty_area=False)
        theirs = {(r, c): value for r, row in enumerate(rows, 1) for c, value in enumerate(row, 1)}
        found += differences(sheet, theirs)
    return found


def compared_with_openpyxl(path):
    workbook = open_workbook(path)
    results, formulas = openpyxl.load_workbook(path, data_only=True), openpyxl.load_workbook(path)
    found = []
    for sheet in workbook.sheets:
        theirs = {(c.row, c.column): c.value for row in results[sheet.name].iter_rows() for c in row}
        found += differences(sheet, theirs)
        found += beside_values(sheet, formulas[sheet.name])
    return found


def beside_values(sheet, other):
    """Formulas, number formats, comments, struck texts, hidden rows and merged areas."""
    found = []
    for place, cell in sheet.cells.items():
        theirs = other.cell(*place)
        text = getattr(theirs.value, "text", theirs.value) if theirs.data_type == "f" else None
        comment = theirs.comment.text.strip() if theirs.comment else None
        code = theirs.number_format or "General"
        expected = (text, comment, code if cell.value is not None else cell.number_format)
        if (cell.formula, cell.comment, cell.number_format) != expected:
            found.append(f"{sheet.name}!{cell.address}: {cell} against {expected}")
        if cell.value is not None and cell.struck != bool(theirs.font and theirs.font.strike):
            found.append(f"{sheet.name}!{cell.address}: struck")
    hidden = {row for row, look in other.row_dimensions.items() if look.hidden}
    merged = {(area.min_row, area.min_col, area.max_row, area.max_col) for area in other.merged_cells.ranges}
    mine = {(area.first_row, area.first_column, area.last_row, area.last_column) for area in sheet.merged}
    return found + (["hidden rows"] if hidden != sheet.hidden_rows else []) + (["merged"] if merged != mine else [])


def differing(paths, compare, *, cannot_read, known):
    """Files that differ though they are not known to, and files known to differ that no longer do."""
    unexpected, outlived = {}, []
    for path in paths:
        if path.name in cannot_read:
            continue
        found = compare(path)
        if found and path.name not in known:
            unexpected[path.name] = found[:3]
        if not found and path.name in known:
            outlived.append(path.name)
    return unexpected, outlived


def test_every_regular_workbook_is_read(shared_folder):
    paths = list(workbooks(shared_folder, hostile=False))
    assert len(paths) == 177
    assert sum(len(sheet.cells) for path in paths for sheet in open_workbook(path).sheets) > 100_000


def test_values_are_those_that_calamine_reads(shared_folder):
    paths = workbooks(shared_folder, hostile=False)
    found = differing(paths, compared_with_calamine, cannot_read=CALAMINE_CANNOT_READ, known=CALAMINE_DIFFERS)
    assert found == ({}, [])


def test_cells_are_those_that_openpyxl_reads(shared_folder):
    paths = workbooks(shared_folder, hostile=False, kinds=("xlsx", "xlsm"))
    found = differing(paths, compared_with_openpyxl, cannot_read=OPENPYXL_CANNOT_READ, known=OPENPYXL_DIFFERS)
    assert found == ({}, [])


def test_every_hostile_workbook_is_read_or_refused_in_one_line_and_in_time(shared_folder):
    paths = list(workbooks(shared_folder, hostile=True))
    assert len(paths) == 34
    seconds, refusals = {}, {}
    for path in paths:
        start = time.monotonic()
        try:
            open_workbook(path)
        except FileProblem as refusal:
            refusals[path.name] = str(refusal)
        seconds[path.name] = time.monotonic() - start
    assert {name for name, taken in seconds.items() if taken > MOST_SECONDS} == set()
    assert {name for name, line in refusals.items() if "\n" in line or not line.startswith(name)} == set()
    assert set(refusals) == REFUSED
