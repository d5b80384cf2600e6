"""Real workbooks for the whole run: blanks filled in, in either format, and a way to open them in LibreOffice."""

import os
import shutil
import subprocess
import zipfile
from copy import deepcopy as copy_of

import pytest
from lxml import etree
from openpyxl import load_workbook
from python_calamine import CalamineWorkbook

from sheetkit.blank.write import write_blank


@pytest.fixture(scope="session")
def fill():
    """Type rows, and settings by their name, into a blank of either format."""

    def filled(path, rows, settings=None, unit="in"):
        pairs = {name: list(values.items()) for name, values in (settings or {}).items()}
        write_blank(path, unit, {**rows, **pairs})
        return path

    return filled


@pytest.fixture(params=[".xlsx", ".ods"])
def suffix(request):
    """Both formats."""
    return request.param


@pytest.fixture(scope="session")
def soffice(tmp_path_factory):
    """Run LibreOffice on a file and get the converted one back; skips where it is not installed, fails in CI."""
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("CI") == "true":
            pytest.fail("LibreOffice is not installed")
        pytest.skip("LibreOffice is not installed")
    profile = tmp_path_factory.mktemp("office_profile")

    def convert(path, to, folder):
        command = [program, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", to]
        command += ["--outdir", str(folder), str(path)]
        done = subprocess.run(command, capture_output=True, timeout=180, check=False)
        made = folder / f"{path.stem}.{to.split(':')[0]}"
        assert made.exists(), done.stderr.decode()
        return made

    return convert


@pytest.fixture(scope="session")
def cells_of():
    """Every non-empty cell of a sheet as an independent reader sees it, by (row, column) from 1."""

    def read(path, sheet):
        if path.suffix == ".xlsx":
            rows = load_workbook(path, data_only=True)[sheet].iter_rows()
            return {(c.row, c.column): c.value for row in rows for c in row if c.value not in (None, "")}
        rows = CalamineWorkbook.from_path(str(path)).get_sheet_by_name(sheet).to_python(skip_empty_area=False)
        return {
            (r, c): value for r, row in enumerate(rows, 1) for c, value in enumerate(row, 1) if value not in (None, "")
        }

    return read


AT_ONCE = 40
"""Workbooks that one start of the program is given."""
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
<prop oor:name="ODFRecalcMode" oor:op="fuse"><value>0</value></prop></item><item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>LOCALE</value></prop></item></oor:items>"""
"""Settings of LibreOffice: work every formula out anew when a file is opened, and write numbers as a country does."""


@pytest.fixture(scope="session")
def recalculated(office_in):
    """Let LibreOffice open workbooks of one format, work every formula out anew, and save them; gives the new files."""
    return office_in("")


@pytest.fixture(scope="session")
def office_in(soffice, tmp_path_factory):
    """The same in an office program of a country, such as "de-DE"; "" for whatever the machine has.

    Saved in their own format; with `to`, in another, whose files are then those of the folder that comes back.
    """

    def started(locale):
        profile = tmp_path_factory.mktemp("recalculating_profile")
        (profile / "user").mkdir()
        (profile / "user" / "registrymodifications.xcu").write_text(RECALCULATE.replace("LOCALE", locale), "utf-8")

        def convert(paths, to=None):
            folder = tmp_path_factory.mktemp("recalculated")
            command = ["soffice", f"-env:UserInstallation=file://{profile}", "--headless"]
            command += ["--convert-to", to or paths[0].suffix[1:], "--outdir", str(folder)]
            said = ""
            # One start of the program does not outlast some hundreds of workbooks.
            for first in range(0, len(paths), AT_ONCE):
                batch = [str(path) for path in paths[first : first + AT_ONCE]]
                done = subprocess.run([*command, *batch], capture_output=True, timeout=900, check=False)
                said += done.stderr.decode()
            if to:
                return folder
            made = [folder / path.name for path in paths]
            assert [path.name for path in made if not path.exists()] == [], said
            return made

        return convert

    return started


@pytest.fixture(scope="session")
def typed():
    """Type into cells of a copy of a workbook, without any spreadsheet program: (sheet, row, column) to value."""
    return typed_into


def typed_into(path, copy, changes):
    """Numbers and texts are put into cells, None empties them; results stored with formulas are not touched in .ods."""
    if path.suffix == ".xlsx":
        book = load_workbook(path)
        for (sheet, row, column), value in changes.items():
            book[sheet].cell(row, column).value = value
        book.save(copy)
        return copy
    with zipfile.ZipFile(path) as package, zipfile.ZipFile(copy, "w", zipfile.ZIP_DEFLATED) as changed:
        for name in package.namelist():
            data = package.read(name)
            if name == "content.xml":
                root = etree.fromstring(data)
                for (sheet, row, column), value in changes.items():
                    _type(root, sheet, row, column, value)
                data = etree.tostring(root, xml_declaration=True, encoding="UTF-8")
            changed.writestr(name, data)
    return copy


TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"


def _single(elements, repeated, place):
    """The element at a place counted from 1, split off the run that it stands in."""
    before = 0
    for element in elements:
        count = int(element.get(repeated, "1"))
        if before + count < place:
            before += count
            continue
        for rest, where in ((place - before - 1, element.addprevious), (before + count - place, element.addnext)):
            if rest:
                other = copy_of(element)
                other.set(repeated, str(rest))
                where(other)
        element.attrib.pop(repeated, None)
        return element
    raise AssertionError(f"nothing at {place}")


def _type(root, sheet, row, column, value):
    table = next(one for one in root.iter(f"{TABLE}table") if one.get(f"{TABLE}name") == sheet)
    rows = list(table.iter(f"{TABLE}table-row"))
    missing_rows = row - sum(int(one.get(f"{TABLE}number-rows-repeated", "1")) for one in rows)
    if missing_rows > 0:
        empty = etree.SubElement(table, f"{TABLE}table-row", {f"{TABLE}number-rows-repeated": str(missing_rows)})
        etree.SubElement(empty, f"{TABLE}table-cell")
        rows.append(empty)
    line = _single(rows, f"{TABLE}number-rows-repeated", row)
    cells = [one for one in line if one.tag in {f"{TABLE}table-cell", f"{TABLE}covered-table-cell"}]
    reach = sum(int(one.get(f"{TABLE}number-columns-repeated", "1")) for one in cells)
    if reach < column:
        missing = {f"{TABLE}number-columns-repeated": str(column - reach)}
        cells.append(etree.SubElement(line, f"{TABLE}table-cell", missing))
    cell = _single(cells, f"{TABLE}number-columns-repeated", column)
    for name in [name for name in cell.attrib if name.startswith(OFFICE)]:
        del cell.attrib[name]
    for child in list(cell):
        cell.remove(child)
    if value is None:
        return
    number = isinstance(value, int | float)
    cell.set(f"{OFFICE}value-type", "float" if number else "string")
    if number:
        cell.set(f"{OFFICE}value", repr(value))
    etree.SubElement(cell, f"{TEXT}p").text = str(value)
