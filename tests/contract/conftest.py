"""Writes one content as .xlsx (XlsxWriter) and as .ods (odfpy), so that one suite holds both readers to one promise."""

import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import odf.dc
import odf.number
import odf.office
import odf.opendocument
import odf.style
import odf.table
import odf.text
import pytest
import xlsxwriter
from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries

from sheetkit.reading import open_workbook
from sheetkit.reading.model import Workbook

NO_RESULT = "no-result-stored"


@dataclass
class Spec:
    """One cell to write: `runs` are (text, struck) pairs; a formula without `result` is written without one."""

    value: Any = None
    code: str | None = None
    formula: tuple[str, str] | None = None
    result: Any = None
    comment: str | None = None
    struck: bool = False
    runs: list[tuple[str, bool]] | None = None


@dataclass
class Tab:
    cells: dict[tuple[int, int], Spec] = field(default_factory=dict)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[str] = field(default_factory=list)
    hidden: bool = False


@dataclass
class Book:
    """The content; `write` makes the file and `read` opens it with the reader under test."""

    path: Path
    tabs: dict[str, Tab] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    day_zero_1904: bool = False

    @property
    def suffix(self) -> str:
        return self.path.suffix

    def put(self, tab: str, address: str, value: Any = None, **details: Any) -> None:
        cells = self.tabs.setdefault(tab, Tab()).cells
        cells[coordinate_to_tuple(address)] = Spec(value, **details)

    def formula(self, tab: str, address: str, xlsx: str, ods: str, **details: Any) -> None:
        self.put(tab, address, formula=(xlsx, ods), **details)

    def write(self) -> Path:
        _WRITERS[self.suffix](self)
        return self.path

    def read(self) -> Workbook:
        return open_workbook(self.write())


@pytest.fixture(params=[".xlsx", ".ods"])
def book(request, tmp_path) -> Book:
    return Book(tmp_path / f"job{request.param}")


def write_xlsx(book: Book) -> None:
    options = {"date_1904": book.day_zero_1904, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(book.path, options) as target:
        for name, tab in book.tabs.items():
            _xlsx_tab(target, target.add_worksheet(name), tab)
        for name, place in book.names.items():
            target.define_name(name, place)
    _rewrite(book.path, _strip_placeholders)


def _xlsx_tab(target: Any, sheet: Any, tab: Tab) -> None:
    for row in tab.hidden_rows:
        sheet.set_row(row - 1, None, None, {"hidden": True})
    for column in tab.hidden_columns:
        sheet.set_column(column - 1, column - 1, None, None, {"hidden": True})
    for area in tab.merged:
        left, top, right, bottom = range_boundaries(area)
        sheet.merge_range(top - 1, left - 1, bottom - 1, right - 1, "")
    for (row, column), spec in tab.cells.items():
        _xlsx_cell(target, sheet, row - 1, column - 1, spec)
    if tab.hidden:
        sheet.hide()


def _xlsx_cell(target: Any, sheet: Any, row: int, column: int, spec: Spec) -> None:
    look = target.add_format({"num_format": spec.code or "General", "font_strikeout": spec.struck})
    if spec.formula is not None:
        result = NO_RESULT if spec.result is None else spec.result
        sheet.write_formula(row, column, spec.formula[0], look, result)
    elif spec.runs is not None:
        parts: list[Any] = []
        for text, struck in spec.runs:
            parts += [target.add_format({"font_strikeout": struck, "italic": True}), text]
        sheet.write_rich_string(row, column, *parts)
    elif isinstance(spec.value, datetime):
        sheet.write_datetime(row, column, spec.value, look)
    elif isinstance(spec.value, timedelta):
        sheet.write_number(row, column, spec.value / timedelta(days=1), look)
    elif isinstance(spec.value, str):
        sheet.write_string(row, column, spec.value, look)
    elif spec.value is not None:
        sheet.write(row, column, spec.value, look)
    if spec.comment is not None:
        sheet.write_comment(row, column, spec.comment)


def _strip_placeholders(name: str, data: bytes) -> bytes:
    """XlsxWriter gives every formula a result and asks for recalculation; the content under test has neither."""
    if name.startswith("xl/worksheets/sheet"):
        return re.sub(rf' t="str"><f>([^<]*)</f><v>{NO_RESULT}</v>', r"><f>\1</f>", data.decode()).encode()
    return data.replace(b' fullCalcOnLoad="1"', b"") if name == "xl/workbook.xml" else data


def _rewrite(path: Path, change: Callable[[str, bytes], bytes]) -> None:
    with zipfile.ZipFile(path) as source:
        members = [(info, source.read(info)) for info in source.infolist()]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for info, data in members:
            target.writestr(info, change(info.filename, data))


@pytest.fixture
def rewrite() -> Callable[[Path, Callable[[str, bytes], bytes]], None]:
    """Rewrite a package, each member changed by the function given."""
    return _rewrite


def write_ods(book: Book) -> None:
    target = odf.opendocument.OpenDocumentSpreadsheet()
    looks = _Looks(target)
    if book.day_zero_1904:
        settings = odf.table.CalculationSettings()
        settings.addElement(odf.table.NullDate(datevalue="1904-01-01"))
        target.spreadsheet.addElement(settings)
    for name, tab in book.tabs.items():
        table = odf.table.Table(name=name, stylename=looks.hidden_table if tab.hidden else looks.shown_table)
        _ods_rows(table, tab, looks)
        target.spreadsheet.addElement(table)
    expressions = odf.table.NamedExpressions()
    for name, place in book.names.items():
        expressions.addElement(odf.table.NamedRange(name=name, cellrangeaddress=_ods_place(place)))
    target.spreadsheet.addElement(expressions)
    target.save(str(book.path))


def _ods_place(place: str) -> str:
    sheet, _, cell = place.removeprefix("=").rpartition("!")
    return f"${sheet}.{cell}" if sheet else place


class _Looks:
    def __init__(self, target: Any) -> None:
        self._target, self._made = target, 0
        self.hidden_table = self._add(odf.style.Style(name="hidden", family="table"))
        self.hidden_table.addElement(odf.style.TableProperties(display="false"))
        self.shown_table = self._add(odf.style.Style(name="shown", family="table"))
        self.struck_text = self._add(odf.style.Style(name="struck", family="text"))
        self.struck_text.addElement(odf.style.TextProperties(textlinethroughstyle="solid"))
        self.plain_text = self._add(odf.style.Style(name="plain", family="text"))
        self.plain_text.addElement(odf.style.TextProperties(textlinethroughstyle="none"))

    def _add(self, element: Any) -> Any:
        self._target.automaticstyles.addElement(element)
        return element

    def of(self, spec: Spec) -> Any:
        self._made += 1
        details: dict[str, Any] = {}
        if spec.code is not None:
            details["datastylename"] = self._add(_NUMBER_STYLES[spec.code](f"n{self._made}"))
        look = self._add(odf.style.Style(name=f"c{self._made}", family="table-cell", **details))
        if spec.struck:
            look.addElement(odf.style.TextProperties(textlinethroughstyle="solid"))
        return look


def _styled(kind: Any, *children: Any, **details: Any) -> Callable[[str], Any]:
    def make(name: str) -> Any:
        style = kind(name=name, **details)
        for child, options in children:
            element = child(**{key: value for key, value in options.items() if key != "text"})
            if "text" in options:
                element.addText(options["text"])
            style.addElement(element)
        return style

    return make


_NUMBER = odf.number
_SLASH = (_NUMBER.Text, {"text": "-"})
_COLON = (_NUMBER.Text, {"text": ":"})
_NUMBER_STYLES = {
    "0.000": _styled(_NUMBER.NumberStyle, (_NUMBER.Number, {"decimalplaces": "3", "minintegerdigits": "1"})),
    "#,##0.00": _styled(
        _NUMBER.NumberStyle, (_NUMBER.Number, {"decimalplaces": "2", "minintegerdigits": "1", "grouping": "true"})
    ),
    "0%": _styled(
        _NUMBER.PercentageStyle,
        (_NUMBER.Number, {"decimalplaces": "0", "minintegerdigits": "1"}),
        (_NUMBER.Text, {"text": "%"}),
    ),
    "# ?/?": _styled(
        _NUMBER.NumberStyle,
        (_NUMBER.Fraction, {"minintegerdigits": "0", "minnumeratordigits": "1", "mindenominatordigits": "1"}),
    ),
    '0.000" in"': _styled(
        _NUMBER.NumberStyle,
        (_NUMBER.Number, {"decimalplaces": "3", "minintegerdigits": "1"}),
        (_NUMBER.Text, {"text": " in"}),
    ),
    "d-mmm": _styled(_NUMBER.DateStyle, (_NUMBER.Day, {}), _SLASH, (_NUMBER.Month, {"textual": "true"})),
    "yyyy-mm-dd": _styled(
        _NUMBER.DateStyle,
        (_NUMBER.Year, {"style": "long"}),
        _SLASH,
        (_NUMBER.Month, {"style": "long"}),
        _SLASH,
        (_NUMBER.Day, {"style": "long"}),
    ),
    "h:mm": _styled(_NUMBER.TimeStyle, (_NUMBER.Hours, {}), _COLON, (_NUMBER.Minutes, {"style": "long"})),
    "[h]:mm": _styled(
        _NUMBER.TimeStyle,
        (_NUMBER.Hours, {}),
        _COLON,
        (_NUMBER.Minutes, {"style": "long"}),
        truncateonoverflow="false",
    ),
    "@": _styled(_NUMBER.TextStyle, (_NUMBER.TextContent, {})),
}


def _ods_rows(table: Any, tab: Tab, looks: _Looks) -> None:
    last_column = max([column for _, column in tab.cells] + list(tab.hidden_columns), default=1)
    for column in range(1, last_column + 1):
        hidden = {"visibility": "collapse"} if column in tab.hidden_columns else {}
        table.addElement(odf.table.TableColumn(**hidden))
    spans, covered = _spans(tab)
    last_row = max([row for row, _ in tab.cells] + list(tab.hidden_rows), default=1)
    for row in range(1, last_row + 1):
        hidden = {"visibility": "filter"} if row in tab.hidden_rows else {}
        line = odf.table.TableRow(**hidden)
        for column in range(1, last_column + 1):
            place = (row, column)
            spec = tab.cells.get(place, Spec())
            kind = odf.table.CoveredTableCell if place in covered else odf.table.TableCell
            _append(line, _ods_cell(kind, spec, spans.get(place, {}), looks), spec)
        table.addElement(line)


def _append(line: Any, cell: Any, spec: Spec) -> None:
    """Equal neighbours are stored once with a repeat count, as spreadsheet programs do."""
    last = line.childNodes[-1] if line.childNodes else None
    if last is not None and getattr(last, "spec", None) == spec and last.tagName == cell.tagName:
        repeats = int(last.getAttribute("numbercolumnsrepeated") or 1)
        last.setAttribute("numbercolumnsrepeated", str(repeats + 1))
        return
    cell.spec = spec
    line.addElement(cell)


def _spans(tab: Tab) -> tuple[dict[tuple[int, int], dict[str, str]], set[tuple[int, int]]]:
    spans, covered = {}, set()
    for area in tab.merged:
        left, top, right, bottom = range_boundaries(area)
        spans[top, left] = {
            "numberrowsspanned": str(bottom - top + 1),
            "numbercolumnsspanned": str(right - left + 1),
        }
        covered |= {(row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)}
        covered.discard((top, left))
    return spans, covered


def _ods_cell(kind: Any, spec: Spec, spans: dict[str, str], looks: _Looks) -> Any:
    value = spec.result if spec.formula is not None else spec.value
    details = _typed(value, spec.code) | spans
    if spec.formula is not None:
        details["formula"] = spec.formula[1]
    if spec.code is not None or spec.struck:
        details["stylename"] = looks.of(spec)
    cell = kind(**details)
    if spec.comment is not None:
        note = odf.office.Annotation()
        note.addElement(odf.dc.Creator(text="A. Sawyer"))
        for line in spec.comment.split("\n"):
            note.addElement(odf.text.P(text=line))
        cell.addElement(note)
    for paragraph in _paragraphs(spec, value, looks):
        cell.addElement(paragraph)
    return cell


def _typed(value: Any, code: str | None) -> dict[str, str]:
    if isinstance(value, bool):
        return {"valuetype": "boolean", "booleanvalue": str(value).lower()}
    if isinstance(value, int | float):
        return {"valuetype": "percentage" if code == "0%" else "float", "value": repr(value)}
    if isinstance(value, datetime):
        return {"valuetype": "date", "datevalue": value.isoformat()}
    if isinstance(value, timedelta):
        minutes, seconds = divmod(round(value.total_seconds()), 60)
        return {"valuetype": "time", "timevalue": f"PT{minutes // 60:02}H{minutes % 60:02}M{seconds:02}S"}
    return {"valuetype": "string"} if isinstance(value, str) else {}


def _paragraphs(spec: Spec, value: Any, looks: _Looks) -> list[Any]:
    if spec.runs is not None:
        paragraph = odf.text.P()
        for text, struck in spec.runs:
            paragraph.addElement(odf.text.Span(stylename=looks.struck_text if struck else looks.plain_text, text=text))
        return [paragraph]
    if not isinstance(value, str):
        return []
    return [_paragraph(line) for line in value.split("\n")]


def _paragraph(line: str) -> Any:
    paragraph = odf.text.P()
    for piece in re.findall(r" +|\t|[^ \t]+", line):
        if piece.startswith(" "):
            paragraph.addElement(odf.text.S(c=len(piece)))
        elif piece == "\t":
            paragraph.addElement(odf.text.Tab())
        else:
            paragraph.addText(piece)
    return paragraph


_WRITERS = {".xlsx": write_xlsx, ".ods": write_ods}
