"""Result sheets put into an .ods workbook, with every byte that is not ours left as it was.

Changed are two members only. In content.xml our own elements are put in, exchanged or taken out by their byte
offsets: tables, automatic styles under our own prefix, one defined name per sheet (its mark), filter ranges. In the
manifest our charts and pictures get entries. All other members keep their packed bytes. What would need a change
elsewhere is left out: frozen rows and hidden grid lines (settings.xml), and paper laid across (styles.xml) unless the
file has a master page for it under the name `LANDSCAPE_PAGE`.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Final

from odf.element import Element
from odf.office import AutomaticStyles
from odf.table import DatabaseRange, DatabaseRanges, NamedExpressions, NamedRange

from sheetkit.errors import DamagedWorkbook, NotAWorkbook, ProtectedWorkbook, SignedWorkbook
from sheetkit.graft.container import rewrite
from sheetkit.graft.ods_cells import Drawing
from sheetkit.graft.ods_content import (
    DATABASE_RANGES,
    NAMED_EXPRESSIONS,
    TABLE_NAME,
    TARGET_ADDRESS,
    Content,
    Mark,
    old_styles,
    read_content,
    sheet_of,
)
from sheetkit.graft.ods_formula import quoted_sheet
from sheetkit.graft.ods_fragment import fragment, pieces
from sheetkit.graft.ods_manifest import edited_manifest, members_to_remove
from sheetkit.graft.ods_markup import Edits, Node
from sheetkit.graft.ods_objects import Objects
from sheetkit.graft.ods_styles import StyleBook, column_mm
from sheetkit.graft.ods_table import address, draw_table
from sheetkit.graft.outcome import GraftReport
from sheetkit.graft.packed import gathered, pack
from sheetkit.graft.xlsx_book import free_tab_name
from sheetkit.reading.archive import Package, open_package
from sheetkit.reading.marks import mark_name
from sheetkit.reading.model import Format
from sheetkit.report.model import ReportSheet

MANIFEST: Final = "META-INF/manifest.xml"
"""Beside content.xml the only member that a graft edits; every other one keeps its bytes."""

LANDSCAPE_PAGE: Final = "sheetkit_landscape"
"""Name of the master page that sheets printed across the paper use where the file has it."""
UPRIGHT_PAGE: Final = "sheetkit_upright"
"""The same for the other sheets; it fits their width as well."""
UPRIGHT_ROOM_MM: Final = 170.0
"""Room on an upright page between usual margins on A4: a wider sheet would be parted, column by column."""

_STYLES: Final = "styles.xml"
_FILTER_PREFIX: Final = "sheetkit_"
_FILTER_OF_CALC: Final = "__Anonymous_Sheet_DB__"


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a result sheet goes.

    Attributes:
        sheet: what is drawn
        mark: its mark from an earlier run, None at the first
        tab: the name its tab has, or gets
    """

    sheet: ReportSheet
    mark: Mark | None
    tab: str

    @property
    def table(self) -> Node | None:
        """The sheet as it stands from an earlier run, None where it is made new."""
        return self.mark.table if self.mark is not None else None


@dataclass(slots=True)
class _Graft:
    """One graft under way."""

    package: Package
    content: Content
    places: Sequence[_Place]
    edits: Edits = field(default_factory=Edits)

    @property
    def replaced(self) -> list[Node]:
        """Our tables of an earlier run that are drawn anew."""
        return [place.table for place in self.places if place.table is not None]


def graft_ods(
    source: BinaryIO,
    sheets: Sequence[ReportSheet],
    out: BinaryIO,
    *,
    allow_signed: bool = False,
    not_ours: Collection[str] = (),
) -> GraftReport:
    """Write the workbook again with these result sheets in it.

    Args:
        source: the maker's .ods file; it can seek, and stays open
        sheets: what to put in; one that stands there from an earlier run is replaced where it stands, under the name
            its tab has now; a new one goes behind the last sheet, under another name where its own is taken
        out: where the new file goes
        allow_signed: go on where the file is signed, which makes the signature worthless
        not_ours: tabs whose mark is not to be believed

    Raises:
        SignedWorkbook: it is signed and `allow_signed` is not given
        ProtectedWorkbook: its list of sheets is locked and a sheet would have to be added
        FileProblem: it is no .ods file, or damaged, or encrypted
        ValueError: two sheets with one key or name, or a sheet that cannot be drawn
    """
    _refuse_doubles(sheets)
    with open_package(source, Path(str(getattr(source, "name", "the workbook"))).name) as package:
        _refuse(package, allow_signed)
        return _graft(package, source, sheets, out, not_ours)


def _graft(
    package: Package, source: BinaryIO, sheets: Sequence[ReportSheet], out: BinaryIO, not_ours: Collection[str]
) -> GraftReport:
    """Write the workbook again with these sheets in it."""
    content = read_content(package.read(package.main_part), package.place(package.main_part))
    marks = content.marks(not_ours)
    graft = _Graft(package, content, list(_places(content, sheets, marks)))
    _refuse_locked(graft)
    objects = Objects(package.names, removed=_old_members(graft))
    _edit_content(graft, objects)
    manifest = edited_manifest(package.read(MANIFEST), package.place(MANIFEST), objects)
    rewrite(
        source,
        out,
        replaced={package.main_part: pack(content.markup.pieces(graft.edits)), MANIFEST: manifest},
        added=objects.members,
        removed=objects.removed,
    )
    given = {sheet.key for sheet in sheets}
    kept = tuple(key for key, mark in marks.items() if key not in given and mark.table is not None)
    return GraftReport({place.sheet.key: place.tab for place in graft.places}, kept)


def _refuse_doubles(sheets: Sequence[ReportSheet]) -> None:
    """Refuse sheets that could not be told apart."""
    for what in ([sheet.key for sheet in sheets], [sheet.name.casefold() for sheet in sheets]):
        if len(set(what)) != len(what):
            raise ValueError("two result sheets with one key or one name")


def _refuse(package: Package, allow_signed: bool) -> None:
    """Refuse what must not or cannot be worked with."""
    if package.format is not Format.ODS:
        fix = "name the file after what it holds"
        raise NotAWorkbook(package.where, f"an .{package.format.value} workbook", "an .ods workbook", fix)
    if package.signed and not allow_signed:
        fix = "work on a copy saved without a signature, or allow it, which makes the signature worthless"
        raise SignedWorkbook(package.where, "a digital signature", "a workbook that may be changed", fix)
    if package.find(MANIFEST) is None:
        fix = "open it in the spreadsheet program and save it again"
        raise DamagedWorkbook(package.where, f"no part named {MANIFEST}", "a sound workbook", fix)


def _places(content: Content, sheets: Sequence[ReportSheet], marks: Mapping[str, Mark]) -> Iterator[_Place]:
    """Where each sheet goes."""
    taken = {table.attributes.get(TABLE_NAME, "").casefold() for table in content.tables}
    for sheet in sheets:
        mark = marks.get(sheet.key)
        if mark is not None and mark.table is not None:
            yield _Place(sheet, mark, mark.table.attributes.get(TABLE_NAME, sheet.name))
            continue
        tab = free_tab_name(sheet.name, taken)
        taken.add(tab.casefold())
        yield _Place(sheet, mark, tab)


def _refuse_locked(graft: _Graft) -> None:
    """Refuse to add a sheet where the maker has locked the list of sheets."""
    if graft.content.sheets_locked and len(graft.replaced) < len(graft.places):
        fix = "unlock it in the spreadsheet program (it protects the structure of the spreadsheet)"
        raise ProtectedWorkbook(graft.package.where, "a locked list of sheets", "one that sheets can be added to", fix)


def _old_members(graft: _Graft) -> frozenset[str]:
    """The members that only our tables of an earlier run use."""
    links = {link for table in graft.replaced for link in graft.content.links_in(table)}
    return members_to_remove(graft.package.names, links, graft.content, graft.replaced, _common_styles(graft.package))


def _common_styles(package: Package) -> bytes:
    """The file's styles.xml, empty where there is none."""
    return package.read(_STYLES) if package.find(_STYLES) is not None else b""


def _edit_content(graft: _Graft, objects: Objects) -> None:
    """Put tables, styles, marks and filter ranges into content.xml."""
    content, edits = graft.content, graft.edits
    common = _common_styles(graft.package)
    old = old_styles(content, graft.replaced, common)
    parent = "Default" if b'"Default"' in common else None
    present = {page for page in (LANDSCAPE_PAGE, UPRIGHT_PAGE) if f'"{page}"'.encode() in common}
    book = StyleBook(old.prefix, parent)
    names = {place.sheet.name.casefold(): place.tab for place in graft.places}
    for place in graft.places:
        drawn = _drawn(graft, place, names, book, objects, _page_for(place.sheet, present))
        if place.table is not None:
            edits.replace(place.table, drawn)
        else:
            _put_in(graft, content.behind_tables, drawn)
    _put_in(graft, content.behind_tables, _marks(graft))
    _put_in(graft, content.behind_names, _filters(graft))
    for style in old.to_remove:
        edits.remove(style)
    _put_styles(graft, book)


def _put_in(graft: _Graft, offset: int, piece: str | bytes) -> None:
    """Put the piece into the list of sheets at that offset; a list that is one empty tag is opened."""
    holder = graft.content.spreadsheet
    if holder.is_empty_tag:
        graft.edits.append(graft.content.markup, holder, piece)
    else:
        graft.edits.insert(offset, piece)


def _page_for(sheet: ReportSheet, present: Collection[str]) -> str | None:
    """The master page of ours that a sheet is printed on, of those that the file has; None for the maker's own.

    A wide sheet that no upright page of ours fits lies across, since the maker's page would part it.
    """
    wide = sum(map(column_mm, sheet.column_widths)) > UPRIGHT_ROOM_MM
    across = sheet.landscape or (wide and UPRIGHT_PAGE not in present)
    page = LANDSCAPE_PAGE if across else UPRIGHT_PAGE
    return page if page in present else None


def _drawn(
    graft: _Graft,
    place: _Place,
    names: Mapping[str, str],
    book: StyleBook,
    objects: Objects,
    page: str | None,
) -> bytes:
    """One sheet as XML."""
    content, table = graft.content, place.table
    drawing = Drawing(
        tab=place.tab,
        names=names,
        styles=book,
        shown=table is None or content.is_shown(table),
        page=page,
        frames=objects.frames(place.sheet, place.tab, book.frame()),
    )
    has_formulas = any(cell is not None and cell.formula is not None for row in place.sheet.rows for cell in row)
    own_names = content.own_names(table) if table is not None else ""
    element = draw_table(place.sheet, drawing)
    written = pieces(element, content.spreadsheet.scope, formulas=has_formulas, raw=own_names)
    return b"".join(gathered(written))


def _put_styles(graft: _Graft, book: StyleBook) -> None:
    """Put our styles behind the maker's automatic styles."""
    content = graft.content
    if content.automatic is None:
        holder = AutomaticStyles()
        for element in book.elements:
            holder.addElement(element)
        graft.edits.insert(content.body.start, fragment(holder, content.markup.root.scope))
        return
    styles = "".join(fragment(element, content.automatic.scope) for element in book.elements)
    graft.edits.append(content.markup, content.automatic, styles)


def _marks(graft: _Graft) -> str:
    """Renew marks whose sheet was gone or is not ours; what is returned goes behind the sheets."""
    content, new = graft.content, []
    for place in graft.places:
        if place.table is not None:
            continue
        at = f"${quoted_sheet(place.tab)}.$A$1"
        element = NamedRange(name=mark_name(place.sheet.key), cellrangeaddress=at, basecelladdress=at)
        if place.mark is not None:
            graft.edits.replace(place.mark.node, fragment(element, content.spreadsheet.scope))
        else:
            new.append(element)
    return _gathered(graft, NAMED_EXPRESSIONS, NamedExpressions(), new)


def _filters(graft: _Graft) -> str:
    """Exchange our filter ranges; what is returned goes behind the defined names."""
    content = graft.content
    tabs = {place.tab.casefold() for place in graft.places}
    taken: set[str] = set()
    for node in content.database_ranges():
        name = node.attributes.get(TABLE_NAME, "")
        sheet = sheet_of(node.attributes.get(TARGET_ADDRESS, ""))
        ours = name.startswith((_FILTER_PREFIX, _FILTER_OF_CALC)) and sheet is not None and sheet.casefold() in tabs
        broken = name.startswith(_FILTER_PREFIX) and sheet is None
        if ours or broken:
            graft.edits.remove(node)
        else:
            taken.add(name.casefold())
    new = []
    for place in graft.places:
        for table in (each for each in place.sheet.tables if each.filtered):
            name = _free(_FILTER_PREFIX + table.name.removeprefix(_FILTER_PREFIX), taken)
            target = address(place.tab, table.area)
            new.append(DatabaseRange(name=name, targetrangeaddress=target, displayfilterbuttons="true"))
    return _gathered(graft, DATABASE_RANGES, DatabaseRanges(), new)


def _free(name: str, taken: set[str]) -> str:
    """The name, or one near it that no other range has; it is taken from then on."""
    candidates = [name, *(f"{name}_{number}" for number in range(2, len(taken) + 3))]
    free = next(candidate for candidate in candidates if candidate.casefold() not in taken)
    taken.add(free.casefold())
    return free


def _gathered(graft: _Graft, holder_name: str, new_holder: Element, elements: Sequence[Element]) -> str:
    """Put the elements into the file's own list of their kind; where it has none, return a new list."""
    content = graft.content
    holder = content.spreadsheet.first(holder_name)
    if holder is not None:
        graft.edits.append(content.markup, holder, "".join(fragment(each, holder.scope) for each in elements))
        return ""
    if not elements:
        return ""
    for each in elements:
        new_holder.addElement(each)
    return fragment(new_holder, content.spreadsheet.scope)
