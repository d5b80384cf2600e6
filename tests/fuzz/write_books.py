"""Tables written as small workbooks of either format, without the readers and writers under test."""

import io
import zipfile
from collections.abc import Mapping, Sequence
from random import Random
from typing import Any
from xml.sax.saxutils import escape, quoteattr

import xlsxwriter

TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
TEXT = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"
CONTENT = (
    f'<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="{OFFICE}" xmlns:table="{TABLE}" '
    f'xmlns:text="{TEXT}" office:version="1.3"><office:body><office:spreadsheet>{{}}</office:spreadsheet></office:body>'
    "</office:document-content>"
)
MANIFEST = (
    '<?xml version="1.0" encoding="UTF-8"?><manifest:manifest '
    'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.3">'
    f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{ODS_TYPE}"/>'
    '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
)

Book = Mapping[str, Sequence[Sequence[Any]]]


def written(book: Book, suffix: str) -> bytes:
    """A workbook's bytes; a text that begins with = becomes a formula without a stored result now and then."""
    return as_xlsx(book) if suffix == ".xlsx" else as_ods(book)


def as_xlsx(book: Book) -> bytes:
    """By XlsxWriter."""
    target = io.BytesIO()
    workbook = xlsxwriter.Workbook(target, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    for name, rows in book.items():
        sheet = workbook.add_worksheet(name)
        for row, cells in enumerate(rows):
            for column, value in enumerate(cells):
                _put(sheet, row, column, value)
    if not book:
        workbook.add_worksheet()
    workbook.close()
    return target.getvalue()


def _put(sheet: Any, row: int, column: int, value: Any) -> None:
    if value is None:
        return
    if isinstance(value, bool):
        sheet.write_boolean(row, column, value)
    elif isinstance(value, int | float):
        sheet.write_number(row, column, value)
    elif value.startswith("=") and len(value) % 2:
        sheet.write_formula(row, column, value, None, "")
    else:
        sheet.write_string(row, column, value)


def as_ods(book: Book) -> bytes:
    """As plain text."""
    tables = "".join(
        f"<table:table table:name={quoteattr(name)}>{''.join(map(_ods_row, rows)) or _ods_row([])}</table:table>"
        for name, rows in (book or {"Sheet1": []}).items()
    )
    return zipped(
        [("mimetype", ODS_TYPE), ("content.xml", CONTENT.format(tables)), ("META-INF/manifest.xml", MANIFEST)]
    )


def _ods_row(cells: Sequence[Any]) -> str:
    return f"<table:table-row>{''.join(map(_ods_cell, cells)) or '<table:table-cell/>'}</table:table-row>"


def _ods_cell(value: Any) -> str:
    if value is None:
        return "<table:table-cell/>"
    if isinstance(value, bool):
        said = str(value).lower()
        return f'<table:table-cell office:value-type="boolean" office:boolean-value="{said}"/>'
    if isinstance(value, int | float):
        return f'<table:table-cell office:value-type="float" office:value="{value!r}"/>'
    if value.startswith("=") and len(value) % 2:
        return f"<table:table-cell table:formula={quoteattr('of:' + value)}/>"
    paragraphs = "".join(f"<text:p>{escape(line)}</text:p>" for line in value.split("\n"))
    return f'<table:table-cell office:value-type="string">{paragraphs}</table:table-cell>'


def zipped(members: Sequence[tuple[str, bytes | str]], random: Random | None = None) -> bytes:
    """A zip file; `mimetype` is stored, the rest deflated, or either by chance."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for name, data in members:
            plain = name == "mimetype" or (random is not None and random.random() < 0.2)
            info = zipfile.ZipInfo(name, (2026, 1, 2, 3, 4, 6))
            info.compress_type = zipfile.ZIP_STORED if plain else zipfile.ZIP_DEFLATED
            archive.writestr(info, data)
    return target.getvalue()
