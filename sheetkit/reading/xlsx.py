"""Reads .xlsx and .xlsm, in both dialects of the standard, into the common model."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from lxml import etree

from sheetkit.errors import CellProblem, DamagedWorkbook
from sheetkit.reading.archive import Package
from sheetkit.reading.limits import Effort
from sheetkit.reading.marks import OWN_ROWS, has_own_text, key_of_mark
from sheetkit.reading.merged import drop_covered
from sheetkit.reading.model import Sheet, Visibility, Workbook
from sheetkit.reading.relationships import Relationship, relationships
from sheetkit.reading.safe_xml import Attributes, EnoughRead, stream
from sheetkit.reading.xlsx_comments import comments
from sheetkit.reading.xlsx_names import RELATION_ID, is_true
from sheetkit.reading.xlsx_rows import read_rows
from sheetkit.reading.xlsx_sheet import SheetPart
from sheetkit.reading.xlsx_styles import cell_formats
from sheetkit.reading.xlsx_text import shared_strings, unescape
from sheetkit.reading.xlsx_values import SheetContext

_VISIBILITY: Final = {"hidden": Visibility.HIDDEN, "veryHidden": Visibility.VERY_HIDDEN}
_SHEET_OF_REFERENCE: Final = re.compile(r"=?\$?(?:'((?:[^']|'')+)'|([^'!:\[\]]+))!(?:\$?[A-Za-z]{1,3}\$?[0-9]+|#REF!)")
"""The sheet of a mark; one whose first row was deleted has lost its cell, but still names its sheet."""


@dataclass(frozen=True, slots=True)
class _Listed:
    """A tab of the workbook's list."""

    name: str
    position: int
    visibility: Visibility
    pointer: Relationship | None


def read_xlsx(package: Package, path: Path, wanted: Callable[[Sheet], bool] | None = None) -> Workbook:
    """Read an .xlsx or .xlsm workbook.

    Args:
        package: the open file
        path: where it was read from
        wanted: told a sheet by its first rows, says whether the others are wanted

    Raises:
        DamagedWorkbook: a part is broken or missing
    """
    root = package.tree(package.main_part)
    pointers = relationships(package, package.main_part)
    workbook = Workbook(path, package.format, [], day_zero_1904=_flag(root, "workbookPr", "date1904"))
    effort = Effort(package.where)
    context = SheetContext(
        shared_strings(package, _part(pointers, "sharedStrings"), effort),
        cell_formats(package, _part(pointers, "styles")),
        workbook.day_zero_1904,
        _flag(root, "calcPr", "fullCalcOnLoad"),
    )
    keys = _marked_sheets(root)
    for listed in _listed(root, pointers):
        if listed.pointer is not None and listed.pointer.kind != "worksheet":
            workbook.other_sheet_names.append(listed.name)
            continue
        sheet = Sheet(listed.name, listed.position, visibility=listed.visibility)
        key = keys.get(listed.name.lower())
        if key is not None and _says_it_is_ours(package, listed, context):
            sheet.result_key = key
        elif key is not None:
            workbook.disowned.append(listed.name)
        workbook.sheets.append(sheet)
        if sheet.result_key is None:
            workbook.problems += _fill(package, sheet, listed, context, effort, wanted)
    return workbook


class _FirstRows(SheetPart):
    """Reads a sheet's first rows only."""

    def _start_row(self, attributes: Attributes) -> None:
        super()._start_row(attributes)
        if self._row > OWN_ROWS:
            raise EnoughRead


def _says_it_is_ours(package: Package, listed: _Listed, context: SheetContext) -> bool:
    """Whether a marked sheet holds our own words; its maker may have put a sheet of theirs in its place."""
    sheet = Sheet(listed.name, listed.position)
    package.stream(_sheet_part(package, listed), _FirstRows(sheet, context, {}, Effort(package.where)))
    return has_own_text(sheet)


def _sheet_part(package: Package, listed: _Listed) -> str:
    part = package.find(listed.pointer.target) if listed.pointer is not None else None
    if part is None:
        fix = "open it in the spreadsheet program and save it again"
        raise DamagedWorkbook(package.where, f"no content for the sheet {listed.name}", "a sound workbook", fix)
    return part


def _fill(
    package: Package,
    sheet: Sheet,
    listed: _Listed,
    context: SheetContext,
    effort: Effort,
    wanted: Callable[[Sheet], bool] | None,
) -> list[CellProblem]:
    part = _sheet_part(package, listed)
    target = SheetPart(sheet, context, comments(package, relationships(package, part)), effort, wanted)
    read_rows(package.chunks(part), target.take_row, _parser(target, package.place(part)))
    target.finish()
    problems = target.problems
    target.forget()
    return problems + drop_covered(sheet)


def _parser(target: SheetPart, where: str) -> Callable[[Iterable[bytes]], bool]:
    def parse(chunks: Iterable[bytes]) -> bool:
        stream(chunks, target, where)
        return not target.full

    return parse


def _listed(root: etree._Element, pointers: list[Relationship]) -> Iterator[_Listed]:
    by_id = {pointer.id: pointer for pointer in pointers}
    for position, element in enumerate(root.iterfind("./{*}sheets/{*}sheet")):
        relation = next((element.get(name) for name in RELATION_ID if element.get(name)), "")
        state = _VISIBILITY.get(element.get("state", ""), Visibility.SHOWN)
        yield _Listed(unescape(element.get("name", "")), position, state, by_id.get(relation or ""))


def _marked_sheets(root: etree._Element) -> dict[str, str]:
    """Result keys by the lower-case name of the marked sheet; broken and sheet-bound names mark none."""
    found: dict[str, str] = {}
    for element in root.iterfind("./{*}definedNames/{*}definedName"):
        key = key_of_mark(element.get("name", ""))
        match = _SHEET_OF_REFERENCE.match((element.text or "").strip())
        if key is not None and match is not None and element.get("localSheetId") is None:
            name = (match[1] or match[2] or "").replace("''", "'")
            found.setdefault(name.lower(), key)
    return found


def _part(pointers: list[Relationship], kind: str) -> str | None:
    return next((pointer.target for pointer in pointers if pointer.kind == kind and not pointer.external), None)


def _flag(root: etree._Element, element: str, attribute: str) -> bool:
    found = root.find(f"./{{*}}{element}")
    return found is not None and is_true(found.get(attribute))
