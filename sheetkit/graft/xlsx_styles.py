"""The maker's styles with ours appended: nothing there is changed, moved or used up, and what fits is used again."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from lxml import etree
from openpyxl.styles.numbers import BUILTIN_FORMATS, builtin_format_id

from sheetkit.graft.xlsx_dialect import dialect_of
from sheetkit.graft.xlsx_markup import Element, Markup, attribute

MAX_FORMATS: Final = 64_000
_FIRST_OWN_NUMBER_FORMAT: Final = 164
_ORDER: Final = (
    "numFmts",
    "fonts",
    "fills",
    "borders",
    "cellStyleXfs",
    "cellXfs",
    "cellStyles",
    "dxfs",
    "tableStyles",
    "colors",
    "extLst",
)
_DEFAULTS: Final = {
    "fonts": '<{0}font><{0}sz val="11"/><{0}name val="Calibri"/><{0}family val="2"/></{0}font>',
    "fills": '<{0}fill><{0}patternFill patternType="none"/></{0}fill>'
    '<{0}fill><{0}patternFill patternType="gray125"/></{0}fill>',
    "borders": "<{0}border><{0}left/><{0}right/><{0}top/><{0}bottom/><{0}diagonal/></{0}border>",
    "cellXfs": '<{0}xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>',
}
_DEFAULT_COUNTS: Final = {"fonts": 1, "fills": 2, "borders": 1, "cellXfs": 1}
_STRICT_EDGES: Final = {"left": "start", "right": "end"}
"""In the strict standard a border's edges follow the direction of writing."""
_UNORDERED: Final = {"font", "rPr"}

Key = tuple[str, tuple[tuple[str, str], ...], tuple["Key", ...]]


@dataclass(slots=True)
class _Section:
    """One list of the styles part: what is in it, and what is to be appended."""

    name: str
    element: Element | None
    known: dict[Key, int]
    size: int
    pending: list[str]


class StyleSheet:
    """The maker's styles part.

    Args:
        markup: the part
        padding: how many formats cells may count on where the part lists none
    """

    def __init__(self, markup: Markup, padding: int = 1) -> None:
        self._markup, self._root = markup, markup.root
        self._prefix = markup.root.prefix
        self._sections = {name: self._section(name) for name in ("numFmts", "fonts", "fills", "borders", "cellXfs")}
        for name, default in _DEFAULTS.items():
            self._prime(name, default.format(self._prefix), padding if name == "cellXfs" else 1)
        dialect = dialect_of(self._root.namespace(self._prefix.rstrip(":")))
        self._edges = _STRICT_EDGES if dialect is not None and dialect.strict else {}
        base = self._root.child("cellStyleXfs")
        self._has_base = base is not None and bool(base.children)
        self._codes, self._code_ids = self._number_formats()

    @property
    def default_font(self) -> str | None:
        """Family of the type that plain cells have; None where the part does not say."""
        fonts = self._sections["fonts"].element
        name = fonts.children[0].child("name") if fonts is not None and fonts.children else None
        return (name.attributes.get("val") or None) if name is not None else None

    def adopt(self, drawn: etree._Element) -> list[int]:
        """Append what the drawn workbook's formats need.

        Args:
            drawn: the drawn workbook's styles

        Returns:
            By format number as drawn, the number in the maker's styles; 0 for all where there is no room for more.
        """
        codes = {
            each.get("numFmtId", ""): each.get("formatCode", "") for each in drawn.iterfind("{*}numFmts/{*}numFmt")
        }
        formats = list(drawn.iterfind("{*}cellXfs/{*}xf"))
        if self._sections["cellXfs"].size + len(formats) > MAX_FORMATS:
            return [0] * len(formats)
        for scheme in list(drawn.iterfind("{*}fonts/{*}font/{*}scheme")):
            scheme.getparent().remove(scheme)  # type: ignore[union-attr] # it was found inside one
        for edge in [each for border in drawn.iterfind("{*}borders/{*}border") for each in border]:
            edge.tag = self._edges.get(etree.QName(edge).localname, edge.tag)
        lists = {name: list(drawn.iterfind(f"{{*}}{name}/*")) for name in ("fonts", "fills", "borders")}
        return [0, *(self._adopt_format(each, lists, codes) for each in formats[1:])]

    def finish(self) -> bytes:
        """The part with all that was appended."""
        after: Element | None = None
        for name in _ORDER:
            section = self._sections.get(name)
            present = self._root.child(name)
            if section is not None and section.pending:
                self._write(section, after)
            after = present or after
        return self._markup.result()

    def _adopt_format(
        self, drawn: etree._Element, lists: Mapping[str, list[etree._Element]], codes: Mapping[str, str]
    ) -> int:
        wanted = {name: value for name, value in drawn.attrib.items() if name != "xfId"}
        wanted["numFmtId"] = str(self._number_format(str(drawn.get("numFmtId", "0")), codes))
        for name, key in (("fonts", "fontId"), ("fills", "fillId"), ("borders", "borderId")):
            wanted[key] = str(self._adopt_item(name, lists[name][int(drawn.get(key, "0"))]))
        if self._has_base:
            wanted["xfId"] = "0"
        made = etree.Element(drawn.tag, {str(name): str(value) for name, value in wanted.items()})
        made.extend(list(drawn))
        return self._adopt_item("cellXfs", made)

    def _adopt_item(self, name: str, item: etree._Element) -> int:
        section = self._sections[name]
        key = _key_of_tree(item)
        if key not in section.known:
            section.known[key] = section.size
            section.size += 1
            section.pending.append(_markup_of(item, self._prefix))
        return section.known[key]

    def _number_format(self, drawn_id: str, codes: Mapping[str, str]) -> int:
        number = int(drawn_id)
        code = codes.get(drawn_id) or str(BUILTIN_FORMATS.get(number, "General"))
        built_in = builtin_format_id(code)
        if built_in is not None and self._codes.get(built_in, code) == code:
            return int(built_in)
        if code not in self._code_ids:
            number = max([_FIRST_OWN_NUMBER_FORMAT - 1, *self._codes]) + 1
            self._codes[number], self._code_ids[code] = code, number
            section = self._sections["numFmts"]
            section.size += 1
            section.pending.append(f'<{self._prefix}numFmt numFmtId="{number}" formatCode="{attribute(code)}"/>')
        return self._code_ids[code]

    def _number_formats(self) -> tuple[dict[int, str], dict[str, int]]:
        element = self._sections["numFmts"].element
        found = [each.attributes for each in element.children] if element is not None else []
        listed = [
            (int(each["numFmtId"]), each.get("formatCode", ""))
            for each in found
            if each.get("numFmtId", "").isdecimal()
        ]
        return dict(listed), {code: number for number, code in reversed(listed)}

    def _section(self, name: str) -> _Section:
        element = self._root.child(name)
        items = element.children if element is not None else []
        known: dict[Key, int] = {}
        for index, item in enumerate(items if name != "numFmts" else ()):
            known.setdefault(_key_of_element(item), index)
        return _Section(name, element, known, len(items), [])

    def _prime(self, name: str, default: str, times: int) -> None:
        """Give an empty list its usual first items, so that plain cells stay plain."""
        section = self._sections[name]
        if section.size == 0:
            section.size = _DEFAULT_COUNTS[name] * times
            section.pending.append(default * times)
            scope = f"xmlns:{self._prefix.rstrip(':')}" if self._prefix else "xmlns"
            for index, item in enumerate(etree.fromstring(f'<items {scope}="x">{default}</items>')):
                section.known.setdefault(_key_of_tree(item), index)

    def _write(self, section: _Section, after: Element | None) -> None:
        content = "".join(section.pending)
        if section.element is not None:
            self._markup.append(section.element, content)
            self._markup.set_attribute(section.element, "count", str(section.size))
            return
        name = f"{self._prefix}{section.name}"
        whole = f'<{name} count="{section.size}">{content}</{name}>'
        if after is not None:
            self._markup.insert(after.end, whole)
        elif self._root.empty:
            self._markup.append(self._root, whole)
        else:
            self._markup.insert(self._root.inside, whole)


def new_styles(namespace: str) -> bytes:
    """A styles part with nothing in it but what plain cells need."""
    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    base = '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    named = '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
    return f'{head}<styleSheet xmlns="{namespace}">{base}{named}</styleSheet>'.encode("ascii")


def _key(
    name: str, attributes: Iterator[tuple[str, str]], children: Iterator[Key], sort: Callable[[list[Key]], list[Key]]
) -> Key:
    return name, tuple(sorted(attributes)), tuple(sort(list(children)))


def _key_of_tree(item: etree._Element) -> Key:
    name = etree.QName(item).localname
    attributes = ((str(key), str(value)) for key, value in item.attrib.items())
    return _key(name, attributes, (_key_of_tree(each) for each in item), _sorting(name))


def _key_of_element(item: Element) -> Key:
    attributes = ((key, value) for key, value in item.attributes.items() if not key.startswith("xmlns"))
    return _key(item.local, attributes, (_key_of_element(each) for each in item.children), _sorting(item.local))


def _sorting(name: str) -> Callable[[list[Key]], list[Key]]:
    return (lambda keys: sorted(keys, key=repr)) if name in _UNORDERED else (lambda keys: keys)


def _markup_of(item: etree._Element, prefix: str) -> str:
    name = prefix + etree.QName(item).localname
    attributes = "".join(f' {key!s}="{attribute(str(value))}"' for key, value in item.attrib.items())
    children = "".join(_markup_of(each, prefix) for each in item)
    return f"<{name}{attributes}>{children}</{name}>" if children else f"<{name}{attributes}/>"
