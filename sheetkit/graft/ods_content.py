"""What stands where in the content.xml of an .ods file, and what of it is ours."""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from odf.namespaces import DRAWNS, OFFICENS, STYLENS, TABLENS, XLINKNS

from sheetkit.errors import DamagedWorkbook
from sheetkit.graft.ods_markup import Markup, Node, Path, qualified, read_markup
from sheetkit.reading.marks import key_of_mark

AUTOMATIC_STYLES: Final = qualified(OFFICENS, "automatic-styles")
BODY: Final = qualified(OFFICENS, "body")
SPREADSHEET: Final = qualified(OFFICENS, "spreadsheet")
TABLE: Final = qualified(TABLENS, "table")
NAMED_EXPRESSIONS: Final = qualified(TABLENS, "named-expressions")
DATABASE_RANGES: Final = qualified(TABLENS, "database-ranges")
TABLE_NAME: Final = qualified(TABLENS, "name")
RANGE_ADDRESS: Final = qualified(TABLENS, "cell-range-address")
TARGET_ADDRESS: Final = qualified(TABLENS, "target-range-address")
HREF: Final = qualified(XLINKNS, "href")
STYLE_NAME: Final = qualified(STYLENS, "name")

_TABLE_PROPERTIES = qualified(STYLENS, "table-properties")
_BEHIND_TABLES = {
    qualified(TABLENS, name)
    for name in ("named-expressions", "database-ranges", "data-pilot-tables", "consolidation", "dde-links")
}
_LINKING = frozenset(qualified(DRAWNS, name) for name in ("object", "object-ole", "image"))
_SHEET_OF_ADDRESS = re.compile(r"\$?(?:'((?:[^']|'')+)'|([^'.:]+))\.\$?[A-Za-z]{1,3}\$?\d+")
_OURS = b"sheetkit"
_OUR_STYLE = re.compile(rb"""["'](sheetkit\d*-(?:ce|co|ro|ta|gr|n)\d+(?:p\d+)?)["']""")


@dataclass(frozen=True, slots=True)
class Content:
    """The content.xml of a workbook.

    Attributes:
        markup: its text and its elements' places
        spreadsheet: the element that holds the sheets
        automatic: the element that holds the automatic styles, None where there is none
        body: the element behind it
    """

    markup: Markup
    spreadsheet: Node
    automatic: Node | None
    body: Node

    @property
    def tables(self) -> list[Node]:
        """Every table in the list of sheets, those that are no sheets included."""
        return self.spreadsheet.named(TABLE)

    @property
    def sheets_locked(self) -> bool:
        """Whether the maker has locked the list of sheets."""
        locked = self.spreadsheet.attributes.get(qualified(TABLENS, "structure-protected"), "false")
        return locked.strip() in {"true", "1"}

    @property
    def behind_tables(self) -> int:
        """Offset at which a new sheet goes: behind the last one, before what must follow them."""
        if self.tables:
            return self.tables[-1].end
        following = (child.start for child in self.spreadsheet.children if child.name in _BEHIND_TABLES)
        return next(following, self.spreadsheet.content_end)

    @property
    def behind_names(self) -> int:
        """Offset at which a list of filter ranges goes: behind the defined names, before what must follow them."""
        names = self.spreadsheet.first(NAMED_EXPRESSIONS)
        return names.end if names is not None else self.behind_tables

    def named_ranges(self) -> list[Node]:
        """The workbook-wide defined names."""
        holder = self.spreadsheet.first(NAMED_EXPRESSIONS)
        return holder.children if holder is not None else []

    def database_ranges(self) -> list[Node]:
        """The ranges with filters, sorting or an outside source."""
        holder = self.spreadsheet.first(DATABASE_RANGES)
        return holder.children if holder is not None else []

    def marks(self, not_ours: Collection[str] = ()) -> dict[str, "Mark"]:
        """Our marks by result key; of two for one key, the one that points at a sheet.

        Args:
            not_ours: tabs whose mark is not to be believed; it counts as one whose sheet is gone
        """
        passed_over = {name.casefold() for name in not_ours}
        tables = {table.attributes.get(TABLE_NAME, "").casefold(): table for table in reversed(self.tables)}
        tables = {name: table for name, table in tables.items() if name not in passed_over}
        found: dict[str, Mark] = {}
        taken: list[Node] = []
        for node in self.named_ranges():
            key = key_of_mark(node.attributes.get(TABLE_NAME, ""))
            sheet = sheet_of(node.attributes.get(RANGE_ADDRESS, ""))
            table = tables.get(sheet.casefold()) if sheet is not None else None
            if key is None or any(table is other for other in taken):
                continue
            if key not in found or (found[key].table is None and table is not None):
                found[key] = Mark(node, table)
                taken += [table] if table is not None else []
        return found

    def is_shown(self, table: Node) -> bool:
        """Whether the table's tab is shown."""
        name = table.attributes.get(qualified(TABLENS, "style-name"))
        for style in self.automatic.children if self.automatic is not None else []:
            if style.attributes.get(STYLE_NAME) == name:
                hidden = (node.attributes.get(qualified(TABLENS, "display")) for node in style.children)
                return "false" not in hidden
        return True

    def own_names(self, table: Node) -> str:
        """The defined names that belong to that sheet alone, as XML; empty where there are none."""
        holder = table.first(NAMED_EXPRESSIONS)
        if holder is None or holder.is_empty_tag or holder.content_end == holder.tag_end:
            return ""
        return self.markup.text[holder.start : holder.end].decode("utf-8")

    def links_in(self, table: Node) -> Iterator[str]:
        """What the table's pictures and charts point at in the package, without a leading "./"."""
        for node in self.markup.watched:
            if table.start < node.start < table.end and HREF in node.attributes:
                yield node.attributes[HREF].removeprefix("./")


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark of ours.

    Attributes:
        node: the defined name
        table: the sheet it points at, None where that is gone or not ours
    """

    node: Node
    table: Node | None


def read_content(data: bytes, where: str) -> Content:
    """Find the places in a content.xml.

    Raises:
        DamagedWorkbook: not well-formed, with a document type, or without the elements a workbook has
    """
    markup = read_markup(data, where, keep=_is_wanted, watch=_LINKING)
    body = markup.root.first(BODY)
    spreadsheet = body.first(SPREADSHEET) if body is not None else None
    if body is None or spreadsheet is None:
        fix = "open it in the spreadsheet program and save it again"
        raise DamagedWorkbook(where, "no list of sheets", "a sound workbook", fix)
    return Content(markup, spreadsheet, markup.root.first(AUTOMATIC_STYLES), body)


def _is_wanted(path: Path) -> bool:
    """Which elements are needed: those that hold the sheets, styles, names and ranges, and each of these."""
    name, depth = path[-1], len(path)
    if depth == 2:
        return name in {AUTOMATIC_STYLES, BODY}
    if depth == 3:
        return path[1] == AUTOMATIC_STYLES or name == SPREADSHEET
    if depth == 4:
        return path[1] == BODY or name == _TABLE_PROPERTIES
    return path[3] in {NAMED_EXPRESSIONS, DATABASE_RANGES} or (path[3] == TABLE and name == NAMED_EXPRESSIONS)


def sheet_of(address: str) -> str | None:
    """The sheet that an address names, None where it names none or one that is gone.

    >>> sheet_of("$'Cut plan'.$A$1:.$A$1"), sheet_of("$#REF!.$A$1")
    ('Cut plan', None)
    """
    match = _SHEET_OF_ADDRESS.match(address.strip())
    if match is None:
        return None
    name = (match[1] or match[2]).replace("''", "'")
    return None if name.startswith("#") else name


@dataclass(frozen=True, slots=True)
class OldStyles:
    """Our automatic styles from an earlier run.

    Attributes:
        to_remove: those that only what is replaced uses
        prefix: what the names of the new ones may begin with
    """

    to_remove: list[Node] = field(default_factory=list)
    prefix: str = "sheetkit-"


def old_styles(content: Content, replaced: Collection[Node], common_styles: bytes) -> OldStyles:
    """Tell our styles that may go from those that something else still uses.

    Args:
        content: where they stand
        replaced: our tables that will be drawn anew
        common_styles: the file's styles.xml
    """
    text = content.markup.text
    ours = {
        name: style
        for style in (content.automatic.children if content.automatic is not None else [])
        if _OUR_STYLE.fullmatch(f'"{(name := style.attributes.get(STYLE_NAME, ""))}"'.encode())
    }
    remaining = cut(text, [*replaced, *ours.values()])
    in_use = _names_in(remaining) | _names_in(common_styles)
    wanted = _with_those_they_use(in_use & set(ours), text, ours)
    to_remove = [style for name, style in ours.items() if name not in wanted]
    taken = in_use | wanted
    numbers = ["", *map(str, range(2, len(taken) + 3))]
    prefixes = (f"sheetkit{number}-" for number in numbers)
    return OldStyles(to_remove, next(p for p in prefixes if not any(name.startswith(p) for name in taken)))


def _names_in(text: bytes) -> set[str]:
    """Names of our kind that the text mentions."""
    return {name.decode() for name in _OUR_STYLE.findall(text)} if _OURS in text else set()


def _with_those_they_use(names: set[str], text: bytes, ours: Mapping[str, Node]) -> set[str]:
    """The names and all styles of ours that these in turn call on."""
    reached, waiting = set(names), list(names)
    while waiting:
        style = ours[waiting.pop()]
        called = (_names_in(text[style.start : style.end]) & set(ours)) - reached
        reached |= called
        waiting += called
    return reached


def cut(text: bytes, nodes: Collection[Node]) -> bytes:
    """The text without these elements."""
    parts, done = [], 0
    for node in sorted(nodes, key=lambda node: node.start):
        parts.append(text[done : node.start])
        done = node.end
    return b"".join([*parts, text[done:]])
