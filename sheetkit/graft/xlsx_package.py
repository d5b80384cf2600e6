"""The maker's package as a whole: part names that are free, parts that hang on our sheets, content types, pointers."""

import contextlib
import posixpath
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from sheetkit.errors import DamagedWorkbook
from sheetkit.graft.xlsx_dialect import PACKAGE_RELATIONSHIPS
from sheetkit.graft.xlsx_markup import Markup, attribute
from sheetkit.graft.xlsx_parts import pointers_name
from sheetkit.reading.archive import Package, fold
from sheetkit.reading.relationships import ContentTypes, relationships
from sheetkit.reading.safe_xml import MAX_TREE_BYTES

_TYPES_PART: Final = "[Content_Types].xml"
_POINTERS_TYPE: Final = "application/vnd.openxmlformats-package.relationships+xml"
_USUAL_STYLES: Final = "xl/styles.xml"
_TABLE_TYPE: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml"
_POINTERS: Final = re.compile(r"(?:(.*)/)?_rels/([^/]*)\.rels\Z", re.IGNORECASE)
_BLOCKS: Final = re.compile(rb"idmap[^>]*?\bdata\s*=\s*[\"']([0-9, ]+)[\"']")
_SHAPE: Final = re.compile(rb"_s([0-9]{4,9})\b")
_SHAPES_PER_BLOCK: Final = 1024
_MAX_SHAPES_BYTES: Final = 64 * 1024 * 1024


@dataclass(slots=True)
class Surroundings:
    """The parts of the package and how they hang together.

    Attributes:
        package: the maker's file
        types: content types of the parts
        dropped: folded names of our parts that go
    """

    package: Package
    types: ContentTypes
    dropped: set[str] = field(default_factory=set)
    _given: set[str] = field(default_factory=set)
    _highest: dict[str, int] = field(default_factory=dict)
    _pointing: dict[str, list[str]] | None = None

    def drop_what_hangs_on(self, sheets: Collection[str]) -> None:
        """Mark the parts that only these sheets need, with their lists of pointers, as going; the sheets stay."""
        ours = {fold(sheet) for sheet in sheets}
        if not ours:
            return
        needed = set(_reached({""}, self._points(), stop=ours))
        hanging = set(_reached(ours, self._points(), stop=set())) - ours - needed
        going = hanging | ours
        listings = {fold(pointers_name(name)) for name in going}
        self.dropped = {fold(name) for name in self.package.names} & (hanging | listings)

    def styles_name(self) -> str:
        """A name for a styles part: the one that some programs look for without asking, if it is free."""
        return _USUAL_STYLES if _USUAL_STYLES not in self._taken() else self.free_name("styles", ".xml")

    def free_name(self, stem: str, ending: str, least: int = 1) -> str:
        """A part name beside the workbook's other parts: the stem, the next number, the ending.

        Args:
            stem: beginning, relative to the workbook's folder
            ending: with its dot
            least: the lowest number wanted
        """
        folder = self._folder()
        start = fold(posixpath.join(folder, stem))
        key = start + ending
        if key not in self._highest:
            numbered = re.compile(re.escape(start) + r"([0-9]{0,9})\.[a-z]+\Z")
            numbers = [int(match[1] or 0) for name in self._present() if (match := numbered.match(name))]
            self._highest[key] = max(numbers, default=0)
        self._highest[key] = max(self._highest[key], least - 1)
        while True:
            self._highest[key] += 1
            name = posixpath.join(folder, f"{stem}{self._highest[key]}{ending}")
            if not {fold(name), fold(pointers_name(name))} & self._taken():
                self._given.add(fold(name))
                return name

    def tables(self) -> Iterator[Markup]:
        """The maker's tables; one that nobody can read is passed over."""
        for name in self._present_as_written():
            if self.types.of(name) != _TABLE_TYPE:
                continue
            with contextlib.suppress(DamagedWorkbook):
                yield Markup(self.package.read(name, MAX_TREE_BYTES), self.package.place(name))

    def first_free_block(self) -> int:
        """The number of the first block of shape ids that no drawing of the maker's uses."""
        highest = 0
        for name in self._present_as_written():
            if not (name.lower().endswith(".vml") or "vmldrawing" in self.types.of(name)):
                continue
            try:
                data = self.package.read(name, _MAX_SHAPES_BYTES)
            except DamagedWorkbook:
                # A drawing that no program can read either uses no numbers.
                continue
            blocks = [int(block) for found in _BLOCKS.findall(data) for block in found.replace(b",", b" ").split()]
            shapes = [int(found) // _SHAPES_PER_BLOCK for found in _SHAPE.findall(data)]
            highest = max([highest, *blocks, *shapes])
        return highest + 1

    def removed_names(self) -> list[str]:
        """Entry names of the parts that go."""
        return [name for name in self.package.names if fold(name) in self.dropped]

    def edited_types(self, parts: Mapping[str, str]) -> bytes:
        """[Content_Types].xml with our parts in it and those that go out of it.

        Args:
            parts: content type by part name
        """
        markup = Markup(self.package.read(_TYPES_PART, MAX_TREE_BYTES), self.package.place(_TYPES_PART))
        missing = dict(parts)
        for element in markup.root.children:
            name = element.attributes.get("PartName")
            if name is None:
                continue
            ours = next((part for part in parts if fold(part) == fold(name)), None)
            if ours is not None:
                missing.pop(ours, None)
                if element.attributes.get("ContentType", "").lower() != parts[ours].lower():
                    markup.replace(element, _override(markup.root.prefix, ours, parts[ours]))
            elif fold(name) in self.dropped:
                markup.remove(element)
        for name, media in missing.items():
            markup.append(markup.root, _override(markup.root.prefix, name, media))
        return markup.result()

    def needs_type(self, pointers: str) -> bool:
        """Whether a list of pointers has no content type by its ending."""
        return self.types.defaults.get(posixpath.splitext(pointers)[1].lstrip(".")) != _POINTERS_TYPE

    @property
    def pointers_type(self) -> str:
        """Content type of a list of pointers."""
        return _POINTERS_TYPE

    def _folder(self) -> str:
        return posixpath.dirname(self.package.main_part.replace("\\", "/").lstrip("/"))

    def _taken(self) -> set[str]:
        if not self._given:
            self._given.update(self._present(), self._missed())
        return self._given

    def _missed(self) -> Iterator[str]:
        """Names that the maker's parts point at, whether or not there is such a part: one of ours must not turn up."""
        for owner, targets in self._points().items():
            if fold(pointers_name(owner)) not in self.dropped:
                yield from targets

    def _points(self) -> dict[str, list[str]]:
        if self._pointing is None:
            self._pointing = _pointing(self.package)
        return self._pointing

    def _present_as_written(self) -> Iterator[str]:
        return (name for name in self.package.names if fold(name) not in self.dropped)

    def _present(self) -> Iterator[str]:
        return (fold(name) for name in self._present_as_written())


def _pointing(package: Package) -> dict[str, list[str]]:
    """The parts that each part points at, by folded name; the package itself under ""."""
    pointing: dict[str, list[str]] = {}
    for name in package.names:
        match = _POINTERS.match(name.replace("\\", "/").lstrip("/"))
        if match is None:
            continue
        owner = posixpath.join(match[1] or "", match[2])
        try:
            targets = [fold(each.target) for each in relationships(package, owner) if not each.external]
        except DamagedWorkbook:
            # A broken list that nobody had to read so far is none of our business.
            targets = []
        pointing[fold(owner)] = targets
    return pointing


def _reached(start: Collection[str], pointing: Mapping[str, Sequence[str]], stop: Collection[str]) -> Iterator[str]:
    waiting, seen = list(start), set(start)
    while waiting:
        part = waiting.pop()
        yield part
        new = [each for each in pointing.get(part, ()) if each not in seen and each not in stop]
        seen.update(new)
        waiting += new


def edited_pointers(
    package: Package, name: str | None, added: Sequence[tuple[str, str, str]], removed: Collection[str]
) -> bytes:
    """A list of pointers with some added and some taken out.

    Args:
        package: the maker's file
        name: entry name of the list; None where there is none yet
        added: id, type and target of each
        removed: ids
    """
    empty = f'<Relationships xmlns="{PACKAGE_RELATIONSHIPS}"/>'.encode()
    data = package.read(name, MAX_TREE_BYTES) if name is not None else empty
    markup = Markup(data, package.place(name or "new pointers"))
    for element in markup.root.children:
        if element.attributes.get("Id") in removed:
            markup.remove(element)
    for identity, kind, target in added:
        tag = f"{markup.root.prefix}Relationship"
        markup.append(markup.root, f'<{tag} Id="{identity}" Type="{kind}" Target="{attribute(target)}"/>')
    return markup.result()


def _override(prefix: str, name: str, media: str) -> str:
    return f'<{prefix}Override PartName="/{attribute(name)}" ContentType="{media}"/>'
