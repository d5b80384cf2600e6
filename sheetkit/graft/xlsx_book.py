"""The maker's workbook part: its tabs, its defined names, which tabs are ours, and the edits that add ours."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from openpyxl.utils.cell import quote_sheetname

from sheetkit.errors import ProtectedWorkbook
from sheetkit.graft.xlsx_dialect import Dialect, dialect_of
from sheetkit.graft.xlsx_markup import Element, Markup, attribute, damaged
from sheetkit.reading.archive import Package
from sheetkit.reading.marks import key_of_mark, mark_name
from sheetkit.reading.relationships import Relationship, relationships
from sheetkit.reading.safe_xml import MAX_TREE_BYTES
from sheetkit.reading.xlsx_names import is_true
from sheetkit.reading.xlsx_text import unescape

MAX_TAB_NAME: Final = 31
_HIGHEST_SHEET_ID: Final = 65_534
_BEFORE_NAMES: Final = (
    "fileVersion",
    "fileSharing",
    "workbookPr",
    "workbookProtection",
    "bookViews",
    "sheets",
    "functionGroups",
    "externalReferences",
)
_MARKED_CELL: Final = re.compile(r"=?\$?(?:'((?:[^']|'')+)'|([^'!:\[\]]+))!(?:\$?[A-Za-z]{1,3}\$?[0-9]+|#REF!)")
_PRINT_TITLES: Final = "_xlnm.Print_Titles"
_PRINT_AREA: Final = "_xlnm.Print_Area"
_FILTER: Final = "_xlnm._FilterDatabase"


@dataclass(frozen=True, slots=True)
class Tab:
    """One sheet of the workbook's list.

    Attributes:
        name: as the maker sees it
        position: 0 for the first
        sheet_id: the number it keeps for life
        part: entry name of the sheet's part, None where there is none
        kind: last word of its relationship type ("worksheet", "chartsheet")
    """

    name: str
    position: int
    sheet_id: int
    part: str | None
    kind: str


@dataclass(frozen=True, slots=True)
class Printed:
    """What is printed of a sheet of ours.

    Attributes:
        repeated: first and last row that every page repeats, None for none
        area: what is printed at all, as in "$A$1:$F$40"
    """

    repeated: tuple[int, int] | None
    area: str

    def names(self, tab: str) -> dict[str, str | None]:
        """By local name what it is to say, None for a name that is not wanted."""
        where = quote_sheetname(tab)
        titles = f"{where}!${self.repeated[0]}:${self.repeated[1]}" if self.repeated is not None else None
        return {_PRINT_AREA: f"{where}!{self.area}", _PRINT_TITLES: titles}


@dataclass(frozen=True, slots=True)
class NewTab:
    """A sheet to be added to the list.

    Attributes:
        name: for the tab
        pointer: relationship id
    """

    name: str
    pointer: str


class Book:
    """The workbook part.

    Args:
        package: the maker's file
        not_ours: tabs whose mark is not to be believed

    Attributes:
        dialect: the package's
        tabs: every sheet of any kind, in order
        ours: tabs that carry a mark to be believed, by result key

    Raises:
        DamagedWorkbook: the part is broken
    """

    def __init__(self, package: Package, not_ours: Collection[str] = ()) -> None:
        self._where = package.where
        place = package.place(package.main_part)
        self.markup = Markup(package.read(package.main_part, MAX_TREE_BYTES), place)
        root = self.markup.root
        dialect = dialect_of(root.namespace(root.prefix.rstrip(":")))
        sheets = root.child("sheets")
        if dialect is None or sheets is None:
            raise damaged(place, "no list of sheets")
        self.dialect: Dialect = dialect
        self._sheets = sheets
        self.pointers = relationships(package, package.main_part)
        self.tabs = list(self._read_tabs(package))
        self._names = self._read_names()
        self.ours = dict(self._read_marks({name.casefold() for name in not_ours}))

    @property
    def day_zero_1904(self) -> bool:
        """Dates count from 1904."""
        return self._is_set("workbookPr", "date1904")

    def refuse_locked(self) -> None:
        """Raise ProtectedWorkbook where the maker has locked the list of sheets."""
        if self._is_set("workbookProtection", "lockStructure"):
            fix = "unprotect the workbook's structure in the spreadsheet program, refresh, and protect it again"
            raise ProtectedWorkbook(self._where, "a locked list of sheets", "one that sheets can be added to", fix)

    def defined_names(self) -> set[str]:
        """Names of cells and areas that are taken, folded."""
        return {element.attributes.get("name", "").casefold() for element in self._names}

    def add(self, tabs: Sequence[NewTab]) -> list[Tab]:
        """Append sheets to the list; returns them as they stand there."""
        taken = {tab.sheet_id for tab in self.tabs}
        added: list[Tab] = []
        for tab in tabs:
            number = max(taken, default=0) + 1
            if number > _HIGHEST_SHEET_ID:
                number = min(set(range(1, _HIGHEST_SHEET_ID + 1)) - taken)
            taken.add(number)
            self.markup.append(self._sheets, self._sheet_element(tab, number))
            added.append(Tab(tab.name, len(self.tabs) + len(added), number, None, "worksheet"))
        return added

    def set_names(self, marks: Mapping[str, Tab], printed: Mapping[str, Printed]) -> None:
        """Mark our sheets and say what of each is printed.

        Args:
            marks: the tab by result key, old and new ones
            printed: what is printed by result key
        """
        additions = []
        for key, tab in marks.items():
            cell = f"{quote_sheetname(tab.name)}!$A$1"
            if key not in self.ours and not self._mend_mark(key, cell):
                additions.append(self._name_element(mark_name(key), cell, hidden=True))
            wanted = printed[key].names(tab.name)
            present = self._mend_local(tab, wanted)
            additions += [
                self._name_element(name, text, position=tab.position)
                for name, text in wanted.items()
                if text is not None and name not in present
            ]
        if additions:
            self._append_names("".join(additions))

    def free_pointer(self) -> "Iterator[str]":
        """Relationship ids that are free, without end."""
        numbers = [int(match[1]) for each in self.pointers if (match := re.fullmatch(r"rId([0-9]{1,9})", each.id))]
        number = max(numbers, default=0)
        while True:
            number += 1
            yield f"rId{number}"

    def _is_set(self, element: str, name: str) -> bool:
        found = self.markup.root.child(element)
        return found is not None and is_true(found.attributes.get(name))

    def _read_tabs(self, package: Package) -> Iterator[Tab]:
        by_id: dict[str, Relationship] = {each.id: each for each in self.pointers}
        elements = [each for each in self._sheets.children if each.local == "sheet"]
        for position, element in enumerate(elements):
            pointer = by_id.get(element.qualified(self.dialect.relation, "id") or "")
            part = package.find(pointer.target) if pointer is not None and not pointer.external else None
            number = element.attributes.get("sheetId", "")
            yield Tab(
                unescape(element.attributes.get("name", "")),
                position,
                int(number) if number.isdecimal() else 0,
                part,
                pointer.kind if pointer is not None else "",
            )

    def _read_names(self) -> list[Element]:
        names = self.markup.root.child("definedNames")
        return [each for each in names.children if each.local == "definedName"] if names is not None else []

    def _marks(self) -> Iterator[tuple[str, Element]]:
        for element in self._names:
            key = key_of_mark(element.attributes.get("name", ""))
            if key is not None and "localSheetId" not in element.attributes:
                yield key, element

    def _read_marks(self, not_ours: Collection[str]) -> Iterator[tuple[str, Tab]]:
        by_name = {tab.name.casefold(): tab for tab in self.tabs if tab.kind == "worksheet" and tab.part is not None}
        seen: set[str] = set()
        for key, element in self._marks():
            match = _MARKED_CELL.match(element.text.strip())
            name = (match[1] or match[2] or "").replace("''", "'").casefold() if match is not None else ""
            tab = by_name.pop(name, None)
            if tab is not None and name not in not_ours and key not in seen:
                seen.add(key)
                yield key, tab

    def _mend_mark(self, key: str, cell: str) -> bool:
        """Point a mark whose sheet is gone, or not ours, at its new sheet; False where there is no such mark."""
        element = next((each for found, each in self._marks() if found == key), None)
        if element is None:
            return False
        self.markup.replace(element, self._name_element(mark_name(key), cell, hidden=True))
        return True

    def _mend_local(self, tab: Tab, wanted: Mapping[str, str | None]) -> set[str]:
        """Bring the names that belong to our tab up to date; returns those of the wanted ones that it has."""
        by_folded = {name.casefold(): name for name in wanted}
        found: set[str] = set()
        for element in self._names:
            if element.attributes.get("localSheetId") != str(tab.position):
                continue
            folded = element.attributes.get("name", "").casefold()
            name = by_folded.get(folded)
            text = wanted[name] if name is not None else None
            if folded == _FILTER.casefold() or (name is not None and (text is None or name in found)):
                self.markup.remove(element)
            elif name is not None and text is not None:
                found.add(name)
                if element.text != text:
                    self.markup.replace(element, self._name_element(name, text, position=tab.position))
        return found

    def _name_element(self, name: str, text: str, *, position: int | None = None, hidden: bool = False) -> str:
        tag = f"{self.markup.root.prefix}definedName"
        local = f' localSheetId="{position}"' if position is not None else ""
        unseen = ' hidden="1"' if hidden else ""
        return f'<{tag} name="{name}"{local}{unseen}>{attribute(text)}</{tag}>'

    def _append_names(self, content: str) -> None:
        root = self.markup.root
        names = root.child("definedNames")
        if names is not None:
            self.markup.append(names, content)
            return
        tag = f"{root.prefix}definedNames"
        after = max((each for each in root.children if each.local in _BEFORE_NAMES), key=lambda each: each.end)
        self.markup.insert(after.end, f"<{tag}>{content}</{tag}>")

    def _sheet_element(self, tab: NewTab, number: int) -> str:
        prefix, declared = self._sheets.prefix_of(self.dialect.relation), ""
        if prefix is None:
            prefix = next(each for each in ("r", "rel", "relation") if self._sheets.namespace(each) is None)
            declared = f' xmlns:{prefix}="{self.dialect.relation}"'
        name = attribute(tab.name)
        tag = f"{self._sheets.prefix}sheet"
        return f'<{tag}{declared} name="{name}" sheetId="{number}" {prefix}:id="{tab.pointer}"/>'


def free_tab_name(wanted: str, taken: set[str]) -> str:
    """The wanted name, or one like it that no tab has yet.

    Args:
        wanted: what the tab should be called
        taken: names of tabs, folded
    """
    name, number = wanted, 1
    while name.casefold() in taken:
        number += 1
        ending = f" ({number})"
        name = wanted[: MAX_TAB_NAME - len(ending)] + ending
    return name
