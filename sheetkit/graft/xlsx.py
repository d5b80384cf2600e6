"""Puts result sheets into an .xlsx or .xlsm file; everything of the maker's keeps its bytes.

What changes: [Content_Types].xml, the workbook part, its list of pointers and the styles part get elements of ours put
in by byte offset; sheets of ours from an earlier run are replaced with what hangs on them; new parts come last. The
calculation chain goes only when it names a cell of ours that no longer holds a formula.
"""

import contextlib
import posixpath
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from openpyxl.utils.cell import get_column_letter

from sheetkit.errors import DamagedWorkbook, SignedWorkbook
from sheetkit.graft.container import rewrite
from sheetkit.graft.outcome import GraftReport
from sheetkit.graft.packed import Packed
from sheetkit.graft.xlsx_book import Book, NewTab, Printed, Tab, free_tab_name
from sheetkit.graft.xlsx_chain import names_a_lost_formula
from sheetkit.graft.xlsx_draw import Drawn, Names, draw
from sheetkit.graft.xlsx_markup import Markup
from sheetkit.graft.xlsx_package import Surroundings, edited_pointers
from sheetkit.graft.xlsx_parts import (
    Fitting,
    Part,
    SheetHead,
    drawn_styles,
    fitted_parts,
    give_names,
    named,
    pointers_name,
)
from sheetkit.graft.xlsx_styles import MAX_FORMATS, StyleSheet, new_styles
from sheetkit.reading.archive import Package, fold, open_package
from sheetkit.reading.relationships import content_types
from sheetkit.reading.safe_xml import MAX_TREE_BYTES, Attributes, EnoughRead, Target
from sheetkit.reading.xlsx_names import both_dialects, is_true
from sheetkit.report.model import ReportSheet

_STYLES_TYPE: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
_USUAL_FONT: Final = "Calibri"
_CELL_STYLE: Final = re.compile(rb"\ss=[\"']([0-9]{1,5})[\"']")
_TABLE_NAMES: Final = ("name", "displayName")


def graft_xlsx(
    source: BinaryIO,
    sheets: Sequence[ReportSheet],
    out: BinaryIO,
    *,
    allow_signed: bool = False,
    not_ours: Collection[str] = (),
) -> GraftReport:
    """Write the workbook with the result sheets in it.

    Args:
        source: the .xlsx or .xlsm file as it is; it can seek, and stays open
        sheets: result sheets with different keys and names; one whose mark is in the file is replaced in place under
            the name its tab has now, the others come last
        out: where the new file goes
        allow_signed: go on although a digital signature in the file will no longer hold
        not_ours: tabs whose mark is not to be believed

    Raises:
        FileProblem: any of its kinds that has to do with what the file is
        ValueError: two sheets with one key or name, or a sheet that contradicts itself
    """
    _refuse_doubles(sheets)
    where = Path(getattr(source, "name", "the workbook")).name
    with open_package(source, where) as package:
        if package.signed and not allow_signed:
            fix = "refresh a copy without signature, or say that the signature may be lost"
            raise SignedWorkbook(
                package.where, "a digital signature", "a workbook that any change would not break", fix
            )
        book = Book(package, not_ours)
        if not sheets:
            rewrite(source, out, replaced={})
            return GraftReport({}, tuple(book.ours))
        return _Graft(package, book, sheets).write(source, out)


def _refuse_doubles(sheets: Sequence[ReportSheet]) -> None:
    for what in ([sheet.key for sheet in sheets], [sheet.name.casefold() for sheet in sheets]):
        if len(set(what)) != len(what):
            raise ValueError("two result sheets with one key or one name")


@dataclass(slots=True)
class _StylesPart:
    """The maker's styles part, or the one made for want of it.

    Attributes:
        name: its part name
        sheet: what is in it
        new: the package lacks it
        pointed: the workbook part points at it already
    """

    name: str
    sheet: StyleSheet
    new: bool = False
    pointed: bool = True


class _Graft:
    """One graft: works out what changes, then writes it."""

    def __init__(self, package: Package, book: Book, sheets: Sequence[ReportSheet]) -> None:
        self._package, self._book, self._sheets = package, book, sheets
        self._around = Surroundings(package, content_types(package))
        self._old = {sheet.key: book.ours[sheet.key] for sheet in sheets if sheet.key in book.ours}
        if len(self._old) < len(sheets):
            book.refuse_locked()
        self._around.drop_what_hangs_on([tab.part for tab in self._old.values() if tab.part is not None])
        self._folder = posixpath.dirname(_plain(package.main_part))

    def write(self, source: BinaryIO, out: BinaryIO) -> GraftReport:
        tabs = self._tab_names()
        tables, first_table = self._table_names()
        styles = self._styles()
        by_name = {sheet.name: tabs[sheet.key] for sheet in self._sheets}
        font = styles.sheet.default_font or _USUAL_FONT
        names = Names(by_name, tables)
        drawn = draw(self._sheets, names, font=font, day_zero_1904=self._book.day_zero_1904, frame_only=True)
        parts = self._parts(drawn, styles, first_table)
        pointers = self._add_to_book(tabs, parts, styles)
        lost = self._drop_chain()
        contents = self._contents(parts, styles, pointers, lost)
        rewrite(source, out, replaced={}, added=list(contents.items()), removed=self._around.removed_names())
        return GraftReport(tabs, tuple(key for key in self._book.ours if key not in tabs))

    def _tab_names(self) -> dict[str, str]:
        """The tab's name for each key."""
        taken = {tab.name.casefold() for tab in self._book.tabs}
        names: dict[str, str] = {}
        for sheet in self._sheets:
            old = self._old.get(sheet.key)
            names[sheet.key] = old.name if old is not None else free_tab_name(sheet.name, taken)
            taken.add(names[sheet.key].casefold())
        return names

    def _table_names(self) -> tuple[dict[str, str], int]:
        """For each of our tables a name that nothing in the file has, and the number of the first."""
        taken, highest = self._book.defined_names(), 0
        for markup in self._around.tables():
            given = markup.root.attributes
            taken |= {given[name].casefold() for name in _TABLE_NAMES if name in given}
            highest = max(highest, int(given["id"]) if given.get("id", "").isdecimal() else 0)
        names: dict[str, str] = {}
        for table in (table for sheet in self._sheets for table in sheet.tables):
            name, number = table.name, 1
            while name.casefold() in taken:
                number += 1
                name = f"{table.name}_{number}"
            taken.add(name.casefold())
            names[table.name] = name
        return names, highest + 1

    def _styles(self) -> _StylesPart:
        targets = [each.target for each in self._book.pointers if each.kind == "styles" and not each.external]
        name = next((found for target in targets if (found := self._package.find(target)) is not None), None)
        if name is None:
            sheet = StyleSheet(Markup(new_styles(self._book.dialect.main), "new styles"), self._padding())
            free = targets[0] if targets else self._around.styles_name()
            return _StylesPart(free, sheet, new=True, pointed=bool(targets))
        markup = Markup(self._package.read(name, MAX_TREE_BYTES), self._package.place(name))
        formats = markup.root.child("cellXfs")
        padding = 1 if formats is not None and formats.children else self._padding()
        return _StylesPart(name, StyleSheet(markup, padding))

    def _padding(self) -> int:
        """How many formats the maker's cells name although no list of them exists: they are to stay plain."""
        highest = 0
        for tab in self._book.tabs:
            for number in _style_numbers(self._package, tab):
                highest = max(highest, number)
        return min(highest + 1, MAX_FORMATS // 2)

    def _parts(self, drawn: Drawn, styles: _StylesPart, first_table: int) -> list[Part]:
        formats = styles.sheet.adopt(drawn_styles(drawn))
        fitting = Fitting(formats, self._book.dialect, first_table, self._around.first_free_block())
        heads = [_head(self._package, self._old.get(sheet.key)) for sheet in self._sheets]
        parts = fitted_parts(drawn, self._sheets, heads, fitting)
        position = len(self._book.tabs)
        for sheet, part in zip(self._sheets, parts, strict=True):
            old = self._old.get(sheet.key)
            if old is not None and old.part is not None:
                part.name = _plain(old.part)
            else:
                # Some programs take the number for the place in the list of sheets.
                position += 1
                part.name = self._around.free_name("worksheets/sheet", ".xml", position)
            give_names(part, self._around.free_name)
        return parts

    def _add_to_book(
        self, tabs: Mapping[str, str], parts: Sequence[Part], styles: _StylesPart
    ) -> list[tuple[str, str, str]]:
        """Add tabs, marks and repeated rows; returns the pointers that the workbook part needs besides its own."""
        identities = self._book.free_pointer()
        new = [(sheet, part) for sheet, part in zip(self._sheets, parts, strict=True) if sheet.key not in self._old]
        pointed = [("worksheet", next(identities), part.name) for _, part in new]
        added = self._book.add(
            [NewTab(tabs[sheet.key], pointed[index][1]) for index, (sheet, _) in enumerate(new)],
        )
        made = {sheet.key: tab for (sheet, _), tab in zip(new, added, strict=True)}
        marks = {sheet.key: self._old.get(sheet.key) or made[sheet.key] for sheet in self._sheets}
        self._book.set_names(marks, {sheet.key: _printed(sheet) for sheet in self._sheets})
        if not styles.pointed:
            pointed.append(("styles", next(identities), styles.name))
        kind = self._book.dialect.kind
        return [
            (identity, kind(word), posixpath.relpath(name, self._folder or ".")) for word, identity, name in pointed
        ]

    def _drop_chain(self) -> set[str]:
        """Drop the calculation chain where it would be wrong; returns the ids of the pointers to it."""
        lost: set[str] = set()
        for pointer in self._book.pointers:
            name = self._package.find(pointer.target) if pointer.kind == "calcChain" and not pointer.external else None
            ours = {self._old[sheet.key].sheet_id: sheet for sheet in self._sheets if sheet.key in self._old}
            if name is not None and ours and names_a_lost_formula(self._package, name, ours):
                self._around.dropped |= {fold(name), fold(pointers_name(_plain(name)))}
                lost.add(pointer.id)
        return lost

    def _contents(
        self,
        parts: Sequence[Part],
        styles: _StylesPart,
        pointers: Sequence[tuple[str, str, str]],
        lost: set[str],
    ) -> dict[str, bytes | Packed]:
        """New content by part name, in the order in which new parts are appended."""
        by_name = named(parts)
        types = {name: part.content_type for name, part in by_name.items()}
        contents: dict[str, bytes | Packed] = {
            self._package.main_part: self._book.markup.result(),
            styles.name: styles.sheet.finish(),
        }
        listing = pointers_name(_plain(self._package.main_part))
        listings = [listing]
        contents[listing] = edited_pointers(self._package, self._package.find(listing), pointers, lost)
        for name, part in by_name.items():
            contents[name] = part.packed or part.data
            if part.pointers:
                contents[part.pointers_name] = part.pointers_data(self._book.dialect)
                listings.append(part.pointers_name)
        if styles.new:
            types[styles.name] = _STYLES_TYPE
        types |= {name: self._around.pointers_type for name in listings if self._around.needs_type(name)}
        contents["[Content_Types].xml"] = self._around.edited_types(types)
        return contents


class _HeadTarget(Target):
    """Reads what stands in a sheet part before its cells."""

    def __init__(self) -> None:
        super().__init__()
        self.code_name: str | None = None
        self.selected = False
        self.starts.update(
            both_dialects({"sheetPr": self._properties, "sheetView": self._view, "sheetData": self._enough})
        )

    def _properties(self, attributes: Attributes) -> None:
        self.code_name = attributes.get("codeName")

    def _view(self, attributes: Attributes) -> None:
        self.selected = self.selected or is_true(attributes.get("tabSelected"))

    def _enough(self, _: Attributes) -> None:
        raise EnoughRead


def _head(package: Package, tab: Tab | None) -> SheetHead:
    """What a sheet of ours keeps: the name that macros know it by, and whether it was the selected tab."""
    if tab is None or tab.part is None:
        return SheetHead()
    target = _HeadTarget()
    with contextlib.suppress(DamagedWorkbook):
        package.stream(tab.part, target)
    return SheetHead(target.code_name, target.selected)


def _style_numbers(package: Package, tab: Tab) -> Iterator[int]:
    if tab.part is None:
        return
    tail = b""
    with contextlib.suppress(DamagedWorkbook):
        for chunk in package.chunks(tab.part):
            data = tail + chunk
            yield from (int(number) for number in _CELL_STYLE.findall(data))
            tail = data[-16:]


def _printed(sheet: ReportSheet) -> Printed:
    area = sheet.printed
    last = f"${get_column_letter(area.last_column)}${area.last_row}"
    return Printed(sheet.repeated_rows, f"${get_column_letter(area.first_column)}${area.first_row}:{last}")


def _plain(name: str) -> str:
    return name.replace("\\", "/").lstrip("/")
