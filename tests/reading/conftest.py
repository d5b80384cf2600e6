"""Packages written as raw XML, for what no library writes."""

import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from sheetkit.reading import open_workbook
from sheetkit.reading.model import Workbook

TRANSITIONAL = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"
_RELATIONS = {
    TRANSITIONAL: "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    STRICT: "http://purl.oclc.org/ooxml/officeDocument/relationships",
}
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'


def xlsx_parts(sheet: str, *, dialect: str = TRANSITIONAL, workbook: str = "", **parts: str) -> dict[str, str]:
    """The parts of a workbook with one sheet called Stock, whose content is given; `workbook` goes after its sheets."""
    relation = _RELATIONS[dialect]
    kinds = {"strings": "sharedStrings", "styles": "styles"}
    extra = "".join(
        f'<Relationship Id="rId_{name}" Type="{relation}/{kinds[name]}" Target="{name}.xml"/>' for name in parts
    )
    return {
        "[Content_Types].xml": (
            f'{HEAD}<Types xmlns="{_PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/>'
            '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{_SHEET_TYPE}.sheet.main+xml"/></Types>'
        ),
        "_rels/.rels": (
            f'{HEAD}<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
            f'Type="{relation}/officeDocument" Target="xl/workbook.xml"/></Relationships>'
        ),
        "xl/workbook.xml": (
            f'{HEAD}<workbook xmlns="{dialect}" xmlns:r="{relation}"><sheets>'
            f'<sheet name="Stock" sheetId="1" r:id="rId1"/></sheets>{workbook}</workbook>'
        ),
        "xl/_rels/workbook.xml.rels": (
            f'{HEAD}<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
            f'Type="{relation}/worksheet" Target="worksheets/sheet1.xml"/>{extra}</Relationships>'
        ),
        "xl/worksheets/sheet1.xml": f'{HEAD}<worksheet xmlns="{dialect}">{sheet}</worksheet>',
    } | {f"xl/{name}.xml": text.replace("MAIN", dialect) for name, text in parts.items()}


_ODF = "urn:oasis:names:tc:opendocument:xmlns"
_NAMESPACES = " ".join(
    f'xmlns:{prefix}="{_ODF}:{name}:1.0"'
    for prefix, name in {
        "office": "office",
        "table": "table",
        "text": "text",
        "style": "style",
        "number": "datastyle",
        "draw": "drawing",
        "of": "of",
    }.items()
)
_CALCEXT = 'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
_ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"


def ods_parts(tables: str, *, styles: str = "", before: str = "", after: str = "", head: str = HEAD) -> dict[str, str]:
    """The parts of an .ods with the tables given; the other pieces go before and after them, or into its styles."""
    return {
        "mimetype": _ODS_TYPE,
        "META-INF/manifest.xml": (
            f'{HEAD}<m:manifest xmlns:m="{_ODF}:manifest:1.0">'
            f'<m:file-entry m:full-path="/" m:media-type="{_ODS_TYPE}"/></m:manifest>'
        ),
        "content.xml": (
            f"{head}<office:document-content {_NAMESPACES} {_CALCEXT}><office:automatic-styles>{styles}"
            f"</office:automatic-styles><office:body><office:spreadsheet>{before}{tables}{after}"
            "</office:spreadsheet></office:body></office:document-content>"
        ),
    }


def write_package(path: Path, parts: dict[str, str | bytes]) -> Path:
    """Write parts as a zip file."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return path


@pytest.fixture
def package(tmp_path) -> Callable[[dict[str, str | bytes]], Path]:
    """Writes parts as a workbook file and gives its path."""
    return lambda parts, name="job.xlsx": write_package(tmp_path / name, parts)


@pytest.fixture
def read_xlsx(package) -> Callable[..., Workbook]:
    """Reads the one sheet that is given as raw XML of an .xlsx."""
    return lambda sheet, **details: open_workbook(package(xlsx_parts(sheet, **details)))


@pytest.fixture
def read_ods(package) -> Callable[..., Workbook]:
    """Reads the tables that are given as raw XML of an .ods."""
    return lambda tables, **details: open_workbook(package(ods_parts(tables, **details), "job.ods"))


@pytest.fixture
def xlsx() -> Callable[..., dict[str, str]]:
    """Makes the parts of a minimal .xlsx."""
    return xlsx_parts


@pytest.fixture
def ods() -> Callable[..., dict[str, str]]:
    """Makes the parts of a minimal .ods."""
    return ods_parts
