"""Builds workbooks in memory, cell by cell, as the readers would give them."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries
from openpyxl.utils.datetime import to_excel

from sheetkit.errors import CellProblem
from sheetkit.reading.model import Cell, Format, Kind, MergedArea, Sheet, Workbook
from sheetkit.tables.inputs import Entry, Inputs
from sheetkit.tables.read import read_inputs


def make_cell(row: int, column: int, content: Any) -> Cell | None:
    """A cell from a plain value, or from a dict of the model's fields with the value under "value"."""
    extra = dict(content) if isinstance(content, dict) else {}
    value = extra.pop("value", None) if isinstance(content, dict) else content
    serial = None
    if value is None and not extra:
        return None
    if isinstance(value, bool):
        kind: Kind = Kind.BOOLEAN
    elif isinstance(value, datetime):
        kind, serial = Kind.DATE, float(to_excel(value))
    elif isinstance(value, timedelta):
        kind, serial = Kind.DURATION, value / timedelta(days=1)
    elif isinstance(value, int | float):
        kind, value = Kind.NUMBER, float(value)
    elif value is None:
        kind = Kind.NO_RESULT if "formula" in extra else Kind.EMPTY
    else:
        kind = Kind.ERROR if str(value).startswith("#") and str(value).endswith(("!", "A", "?")) else Kind.TEXT
    return Cell(row, column, extra.pop("kind", kind), value, serial=extra.pop("serial", serial), **extra)


def make_sheet(name: str, rows: list[list[Any]], position: int = 0, **extra: Any) -> Sheet:
    """A sheet from its rows, the first being row 1; merged areas as A1 ranges."""
    merged = [
        MergedArea(top, left, bottom, right)
        for left, top, right, bottom in map(range_boundaries, extra.pop("merged", ()))
    ]
    sheet = Sheet(name, position, merged=merged, **extra)
    for row, contents in enumerate(rows, 1):
        for column, content in enumerate(contents, 1):
            cell = make_cell(row, column, content)
            if cell is not None:
                sheet.cells[row, column] = cell
    return sheet


@pytest.fixture
def sheet() -> Callable[..., Sheet]:
    return make_sheet


@pytest.fixture
def book() -> Callable[..., Workbook]:
    """A workbook of sheets given as name=rows, or ready-made."""

    def build(*sheets: Sheet, day_zero_1904: bool = False, **rows: list[list[Any]]) -> Workbook:
        made = [*sheets, *(make_sheet(name, content) for name, content in rows.items())]
        for position, one in enumerate(made):
            one.position = position
        return Workbook(Path("job.xlsx"), Format.XLSX, made, day_zero_1904=day_zero_1904)

    return build


@pytest.fixture
def read(book: Callable[..., Workbook]) -> Callable[..., Inputs]:
    def build(*sheets: Sheet, **rows: Any) -> Inputs:
        return read_inputs(book(*sheets, **rows))

    return build


@pytest.fixture
def at() -> Callable[[Inputs, str], list[CellProblem]]:
    """The findings whose place covers a cell, given as Sheet!A1."""

    def find(inputs: Inputs, place: str) -> list[CellProblem]:
        name, _, address = place.rpartition("!")
        row, column = coordinate_to_tuple(address)
        found = []
        for problem in inputs.problems:
            if problem.sheet != name or not problem.cell:
                continue
            left, top, right, bottom = range_boundaries(problem.cell)
            if top <= row <= bottom and left <= column <= right:
                found.append(problem)
        return found

    return find


@pytest.fixture
def entry() -> Callable[[Inputs, str], Entry]:
    """The record of one cell, given as Sheet!A1."""

    def find(inputs: Inputs, place: str) -> Entry:
        name, _, address = place.rpartition("!")
        return next(
            each for record in inputs.records if record.sheet == name for each in record.entries if each.cell == address
        )

    return find


def _write_xlsx(path: Path, sheets: dict[str, list[list[Any]]], options: dict[str, Any]) -> None:
    """Plain values, or dicts with value, number_format, comment, formula, struck, repeat."""
    import openpyxl
    from openpyxl.comments import Comment
    from openpyxl.styles import Font

    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        tab = book.create_sheet(name)
        for row, contents in enumerate(rows, 1):
            column = 0
            for content in contents:
                given = content if isinstance(content, dict) else {"value": content}
                for _ in range(given.get("repeat", 1)):
                    column += 1
                    cell = tab.cell(row, column)
                    cell.value = given.get("formula", given.get("value"))
                    if isinstance(cell.value, str) and "formula" not in given:
                        cell.data_type = "e" if given.get("error") else "s"
                    cell.number_format = given.get("number_format", "General")
                    if given.get("comment"):
                        cell.comment = Comment(given["comment"], "maker")
                    if given.get("struck"):
                        cell.font = Font(strike=True)
        for area in options.get("merged", {}).get(name, ()):
            tab.merge_cells(area)
        for row in options.get("hidden_rows", {}).get(name, ()):
            tab.row_dimensions[row].hidden = True
    book.save(path)


def _ods_styles(document: Any) -> dict[str, Any]:
    from odf import number
    from odf.style import Style, TextProperties

    def style(name: str, shape: Any, parts: list[Any]) -> Any:
        for part in parts:
            shape.addElement(part)
        document.automaticstyles.addElement(shape)
        cell = Style(name=name, family="table-cell", datastylename=shape)
        document.automaticstyles.addElement(cell)
        return cell

    def text(words: str) -> Any:
        return number.Text(text=words)

    struck = Style(name="struck", family="table-cell")
    struck.addElement(TextProperties(textlinethroughstyle="solid", textlinethroughtype="single"))
    document.automaticstyles.addElement(struck)
    return {
        "struck": struck,
        "d-mmm": style("day", number.DateStyle(name="N1"), [number.Day(), text("-"), number.Month(textual=True)]),
        "mm/dd/yyyy": style(
            "us",
            number.DateStyle(name="N2"),
            [number.Month(style="long"), text("/"), number.Day(style="long"), text("/"), number.Year(style="long")],
        ),
        "dd/mm/yyyy": style(
            "eu",
            number.DateStyle(name="N3"),
            [number.Day(style="long"), text("/"), number.Month(style="long"), text("/"), number.Year(style="long")],
        ),
        "h:mm": style("time", number.TimeStyle(name="N4"), [number.Hours(), text(":"), number.Minutes(style="long")]),
        "0%": style(
            "percent",
            number.PercentageStyle(name="N5"),
            [number.Number(decimalplaces=0, minintegerdigits=1), text("%")],
        ),
        "# ?/?": style(
            "fraction",
            number.NumberStyle(name="N6"),
            [number.Fraction(mindenominatordigits=1, minnumeratordigits=1, minintegerdigits=0)],
        ),
        "0.00": style("two", number.NumberStyle(name="N7"), [number.Number(decimalplaces=2, minintegerdigits=1)]),
    }


def _ods_cell(  # noqa: C901 - one branch a kind of content
    given: dict[str, Any], styles: dict[str, Any]
) -> Any:
    from odf.office import Annotation
    from odf.table import TableCell
    from odf.text import P

    value, code = given.get("value"), given.get("number_format", "General")
    options: dict[str, Any] = {}
    if code in styles or given.get("struck"):
        options["stylename"] = styles["struck" if given.get("struck") else code]
    if given.get("repeat", 1) > 1:
        options["numbercolumnsrepeated"] = given["repeat"]
    if "formula" in given:
        options["formula"] = "of:" + given["formula"]
    if given.get("error"):
        options |= {"valuetype": "string", "stringvalue": "", "formula": "of:=1/0"}
    elif isinstance(value, bool):
        options |= {"valuetype": "boolean", "booleanvalue": str(value).lower()}
    elif isinstance(value, datetime):
        options |= {"valuetype": "date", "datevalue": value.date().isoformat()}
    elif isinstance(value, timedelta):
        minutes, seconds = divmod(round(value.total_seconds()), 60)
        options |= {"valuetype": "time", "timevalue": f"PT{minutes // 60:02d}H{minutes % 60:02d}M{seconds:02d}S"}
    elif isinstance(value, int | float):
        options |= {"valuetype": "percentage" if code == "0%" else "float", "value": repr(value)}
    elif value is not None:
        options |= {"valuetype": "string"}
    cell = TableCell(**options)
    if given.get("comment"):
        note = Annotation()
        note.addElement(P(text=given["comment"]))
        cell.addElement(note)
    if value is not None and (isinstance(value, str) or given.get("error")):
        for line in str(value).split("\n"):
            cell.addElement(P(text=line))
    return cell


def _write_ods(path: Path, sheets: dict[str, list[list[Any]]], options: dict[str, Any]) -> None:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import CoveredTableCell, Table, TableRow

    document = OpenDocumentSpreadsheet()
    styles = _ods_styles(document)
    for name, rows in sheets.items():
        tab = Table(name=name)
        areas = [range_boundaries(area) for area in options.get("merged", {}).get(name, ())]
        for row, contents in enumerate(rows, 1):
            hidden = row in options.get("hidden_rows", {}).get(name, ())
            line = TableRow(visibility="collapse") if hidden else TableRow()
            for column, content in enumerate(contents, 1):
                given = content if isinstance(content, dict) else {"value": content}
                cell = _ods_cell(given, styles)
                for left, top, right, bottom in areas:
                    if (row, column) == (top, left):
                        cell.setAttribute("numbercolumnsspanned", right - left + 1)
                        cell.setAttribute("numberrowsspanned", bottom - top + 1)
                    elif top <= row <= bottom and left <= column <= right:
                        cell = CoveredTableCell()
                line.addElement(cell)
            tab.addElement(line)
        document.spreadsheet.addElement(tab)
    document.save(str(path))


@pytest.fixture(params=["xlsx", "ods"])
def saved(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[..., Inputs]:
    """Writes a real file in one of the formats and reads it back through the reader."""
    from sheetkit.reading import open_workbook

    def build(sheets: dict[str, list[list[Any]]], **options: Any) -> Inputs:
        path = tmp_path / f"job.{request.param}"
        (_write_xlsx if request.param == "xlsx" else _write_ods)(path, sheets, options)
        return read_inputs(open_workbook(path))

    return build


@pytest.fixture
def write_file() -> Callable[..., None]:
    """Writes a real file in the format that its name says."""

    def write(path: Path, sheets: dict[str, list[list[Any]]], **options: Any) -> None:
        (_write_xlsx if path.suffix == ".xlsx" else _write_ods)(path, sheets, options)

    return write
