"""The parts of drawn result sheets, taken out of their workbook and made fit for the maker's."""

import io
import posixpath
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import Final

from lxml import etree

from sheetkit.graft.packed import Packed, gathered, pack
from sheetkit.graft.xlsx_dialect import PACKAGE_RELATIONSHIPS, Dialect
from sheetkit.graft.xlsx_draw import Drawn
from sheetkit.graft.xlsx_markup import attribute
from sheetkit.report.model import Chart, Picture, ReportSheet

_MAIN: Final = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_ANCHOR: Final = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
_CHART: Final = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"
_LABELS: Final = ("showLegendKey", "showVal", "showCatName", "showSerName", "showPercent", "showBubbleSize")
_BEFORE_LABELS: Final = {f"{_CHART}{name}" for name in ("numFmt", "spPr", "txPr", "dLblPos")}
_DRAWN_BY_LINE: Final = ("lineChart", "scatterChart")
_NO_CELLS: Final = b"<sheetData/>"
_EMU_PER_MM: Final = 36_000
_SHAPES_PER_BLOCK: Final = 1024
_SHAPE: Final = re.compile(r"(_x0000_s)([0-9]+)")
_BLOCKS: Final = re.compile(r'(<o:idmap [^>]*data=")([0-9,]+)(")')

_TYPES: Final = {
    "worksheet": "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml",
    "drawing": "application/vnd.openxmlformats-officedocument.drawing+xml",
    "chart": "application/vnd.openxmlformats-officedocument.drawingml.chart+xml",
    "image": "image/png",
    "table": "application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml",
    "comments": "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml",
    "vmlDrawing": "application/vnd.openxmlformats-officedocument.vmlDrawing",
}
_PLACES: Final = {
    "drawing": ("drawings/drawing", ".xml"),
    "chart": ("charts/chart", ".xml"),
    "image": ("media/image", ".png"),
    "table": ("tables/table", ".xml"),
    "comments": ("comments", ".xml"),
    "vmlDrawing": ("drawings/vmlDrawing", ".vml"),
}

PartNamer = Callable[[str, str], str]
"""Gives a free part name for a stem, relative to the workbook's folder, and an ending."""


@dataclass(slots=True)
class Part:
    """One part to be put into the package.

    Attributes:
        kind: last word of the relationship type that points at it
        data: its bytes; of a sheet those around its cells
        packed: the whole of a sheet, None for every other part
        name: its part name
        pointers: relationship id, and the part it points at, in order
    """

    kind: str
    data: bytes
    packed: Packed | None = None
    name: str = ""
    pointers: "list[tuple[str, Part]]" = field(default_factory=list)

    @property
    def content_type(self) -> str:
        """What [Content_Types].xml is to say of it."""
        return _TYPES[self.kind]

    @property
    def pointers_name(self) -> str:
        """Name of the part that lists what it points at."""
        return pointers_name(self.name)

    def pointers_data(self, dialect: Dialect) -> bytes:
        """The part that lists what it points at."""
        folder = posixpath.dirname(self.name)
        lines = [
            f'<Relationship Id="{attribute(identity)}" Type="{dialect.kind(part.kind)}"'
            f' Target="{attribute(posixpath.relpath(part.name, folder or "."))}"/>'
            for identity, part in self.pointers
        ]
        head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
        body = f'<Relationships xmlns="{PACKAGE_RELATIONSHIPS}">{"".join(lines)}</Relationships>'
        return (head + body).encode("ascii", "xmlcharrefreplace")

    def all_parts(self) -> "Iterator[Part]":
        """The part and all that hang on it; a part that several point at comes several times."""
        yield self
        for _, part in self.pointers:
            yield from part.all_parts()


@dataclass(frozen=True, slots=True)
class Fitting:
    """What makes drawn parts fit the maker's package.

    Attributes:
        styles: by format number as drawn, the one in the maker's styles
        dialect: the package's
        first_table: number of the first table
        first_block: number of the first block of note shapes
    """

    styles: Sequence[int]
    dialect: Dialect
    first_table: int
    first_block: int


@dataclass(frozen=True, slots=True)
class SheetHead:
    """What a sheet keeps of its former self.

    Attributes:
        code_name: the name macros know it by, None for none
        selected: it was the selected tab
    """

    code_name: str | None = None
    selected: bool = False


def pointers_name(part: str) -> str:
    """Name of the part that lists what this part points at."""
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def drawn_styles(drawn: Drawn) -> etree._Element:
    """The styles of the drawn workbook."""
    with zipfile.ZipFile(io.BytesIO(drawn.package)) as archive:
        return etree.fromstring(archive.read("xl/styles.xml"))


def fitted_parts(
    drawn: Drawn, sheets: Sequence[ReportSheet], heads: Sequence[SheetHead], fitting: Fitting
) -> list[Part]:
    """The sheets' parts, each with what hangs on it, changed to fit; without names as yet."""
    with zipfile.ZipFile(io.BytesIO(drawn.package)) as archive:
        reader = _Reader(archive, {})
        parts = [reader.part("worksheet", f"xl/worksheets/sheet{number}.xml") for number in range(1, len(sheets) + 1)]
    tables, blocks = fitting.first_table, fitting.first_block
    for part, sheet, head, cells in zip(parts, sheets, heads, drawn.cells, strict=True):
        part.data = _fit_sheet(part.data, head)
        before, after = fitting.dialect.translated(part.data).split(_NO_CELLS, 1)
        part.packed = pack(chain([before], gathered(cells.rows(fitting.styles)), [after]))
        for hanging in part.all_parts():
            if hanging.kind == "table":
                hanging.data = _fit_table(hanging.data, tables)
                tables += 1
            elif hanging.kind == "drawing":
                hanging.data = _fit_drawing(hanging.data, sheet)
            elif hanging.kind == "chart":
                hanging.data = _fit_chart(hanging.data)
            elif hanging.kind == "vmlDrawing":
                hanging.data, blocks = _fit_shapes(hanging.data, blocks)
    for each in {id(each): each for part in parts for each in part.all_parts()}.values():
        if each.kind not in {"image", "vmlDrawing"}:
            each.data = fitting.dialect.translated(each.data)
    return parts


def give_names(part: Part, namer: PartNamer) -> None:
    """Name what hangs on a part that has its name."""
    for each in part.all_parts():
        if not each.name:
            each.name = namer(*_PLACES[each.kind])


@dataclass(slots=True)
class _Reader:
    """Reads parts of the drawn workbook; a picture used twice is one part."""

    archive: zipfile.ZipFile
    read: dict[str, Part]

    def part(self, kind: str, name: str) -> Part:
        if name in self.read:
            return self.read[name]
        part = self.read[name] = Part(kind, self.archive.read(name))
        if (listing := pointers_name(name)) in self.archive.namelist():
            for pointer in etree.fromstring(self.archive.read(listing)):
                if pointer.get("TargetMode") != "External":
                    target = posixpath.normpath(posixpath.join(posixpath.dirname(name), pointer.get("Target", "")))
                    kind = pointer.get("Type", "").rsplit("/", 1)[-1]
                    part.pointers.append((pointer.get("Id", ""), self.part(kind, target)))
        return part


def _fit_sheet(data: bytes, head: SheetHead) -> bytes:
    root = etree.fromstring(data)
    for view in root.iter(f"{_MAIN}sheetView"):
        view.attrib.pop("tabSelected", "")
        if head.selected:
            view.set("tabSelected", "1")
    if head.code_name is not None:
        root[0].set("codeName", head.code_name)
    return _written(root)


def _fit_table(data: bytes, number: int) -> bytes:
    root = etree.fromstring(data)
    root.set("id", str(number))
    for column in root.iter(f"{_MAIN}tableColumn"):
        column.set("name", column.get("name", "").replace("\n", "_x000a_"))
    return _written(root)


def _fit_drawing(data: bytes, sheet: ReportSheet) -> bytes:
    """Sizes in millimetres in place of end cells, which would depend on the maker's default font."""
    root = etree.fromstring(data)
    hung: list[Picture | Chart] = [*sheet.pictures, *sheet.charts]
    for anchor, thing in zip(root, hung, strict=True):
        anchor.tag = f"{_ANCHOR}oneCellAnchor"
        anchor.attrib.pop("editAs", "")
        end = anchor.find(f"{_ANCHOR}to")
        if end is None:
            raise ValueError("a drawing without end cell")
        size = etree.Element(f"{_ANCHOR}ext")
        size.set("cx", str(round(thing.width_mm * _EMU_PER_MM)))
        size.set("cy", str(round(thing.height_mm * _EMU_PER_MM)))
        anchor.replace(end, size)
    return _written(root)


def _fit_chart(data: bytes) -> bytes:
    """Says what programs differ in where nothing is said: no label is shown, and lines run straight between points."""
    root = etree.fromstring(data)
    for kind in _DRAWN_BY_LINE:
        for series in root.iterfind(f".//{_CHART}{kind}/{_CHART}ser"):
            straight = etree.SubElement(series, f"{_CHART}smooth")
            straight.set("val", "0")
    for labels in root.iter(f"{_CHART}dLbls"):
        places = [index for index, each in enumerate(labels) if each.tag in _BEFORE_LABELS]
        at = places[-1] + 1 if places else 0
        for name in _LABELS:
            shown = labels.find(f"{_CHART}{name}")
            if shown is None:
                shown = etree.Element(f"{_CHART}{name}")
                shown.set("val", "0")
            labels.insert(at, shown)
            at += 1
    return _written(root)


def _fit_shapes(data: bytes, first_block: int) -> tuple[bytes, int]:
    """The shapes renumbered to blocks from the first one on, and the block that comes next."""
    text = data.decode("utf-8")
    used = [int(block) for match in _BLOCKS.finditer(text) for block in match[2].split(",")]
    shift = first_block - min(used)
    text = _BLOCKS.sub(lambda m: m[1] + ",".join(str(int(block) + shift) for block in m[2].split(",")) + m[3], text)
    text = _SHAPE.sub(lambda m: f"{m[1]}{int(m[2]) + shift * _SHAPES_PER_BLOCK}", text)
    return text.encode("utf-8"), max(used) + shift + 1


def _written(root: etree._Element) -> bytes:
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)


def named(parts: Sequence[Part]) -> Mapping[str, Part]:
    """All parts by name, in order, each once."""
    return {each.name: each for part in parts for each in part.all_parts()}
