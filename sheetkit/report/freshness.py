"""Whether the result sheets still say what the input sheets say: live sums over the input sheets, and what they were.

The sums are plain arithmetic on whole numbers, so that every spreadsheet program comes to the same figure and so does
`tally`, which works on the model of the workbook. A value, text or error that is changed, added or removed alters them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import floor

from openpyxl.utils.cell import get_column_letter, quote_sheetname

from sheetkit.reading.model import Cell, Kind, Sheet, Workbook
from sheetkit.report.builder import FRESH, FRESH_ROW
from sheetkit.report.model import Look, ReportCell, ReportSheet
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.schema import INPUT_SHEETS

UP_TO_DATE = "up to date"
CHANGED = "inputs changed, refresh again"
ADDED = "Input sheets added"

MARGIN_ROWS, MARGIN_COLUMNS = 200, 3
"""So far beyond the last cell in use each cell is looked at by itself; beyond that, cells are counted."""
MOST_ROWS, MOST_COLUMNS = 25_000, 60
LAST_ROW, LAST_COLUMN = 100_000, "ZZ"
LETTERS_READ = 24
"""So many letters of a text are looked at one by one; what follows counts by its length."""
HEADING_LETTERS_READ = 60
"""The same for headings, on whose end their unit stands."""
MOST_HEADING_ROWS = 4
LETTERS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -/.,:;+*()[]{}<>=%&#@!?'\"_|\\~^$`" + (
    "äöüßÄÖÜéèêëàâáåãçñóòôõøúùûíìîïœæÉÈÀÂÇÑÓØÅÆ±×÷°½¼¾⅛⅜⅝⅞′″–—’‘“”„µ²³€£¥§"
)
LONGEST_FORMULA = 6000
"""Formulas are kept well below the 8192 characters that a cell of .xlsx holds."""

_PRIME, _ROW_STEP, _COLUMN_STEP = 97, 31, 17
_SHIFT = 0.4721
"""Added before numbers are cut to whole ones, so that no number that a person types lies at the edge."""
_PLACE_OF = {letter: place for place, letter in reversed(list(enumerate(LETTERS, 1)))}


@dataclass(frozen=True, slots=True)
class Check:
    """One live sum.

    Attributes:
        tab: the input sheet
        formula: the sum, to be worked out as an array, without its leading "="
        value: what it came to at this refresh
    """

    tab: str
    formula: str
    value: int


@dataclass(frozen=True, slots=True)
class _Part:
    formula: str
    value: int


@dataclass(frozen=True, slots=True)
class _Window:
    """The cells of one input sheet that are looked at one by one."""

    sheet: Sheet
    rows: int
    columns: int
    heading_rows: int

    def area(self, first_row: int, first_column: int, last_row: int, last_column: int) -> str:
        """A rectangle of the sheet, as a formula writes it."""
        first, last = get_column_letter(first_column), get_column_letter(last_column)
        return f"{quote_sheetname(self.sheet.name)}!${first}${first_row}:${last}${last_row}"

    def cells(self) -> Iterable[Cell]:
        """The cells inside."""
        for (row, column), cell in self.sheet.cells.items():
            if row <= self.rows and column <= self.columns:
                yield cell


def checks_of(workbook: Workbook, inputs: Inputs, letters: str) -> tuple[list[Check], list[str]]:
    """The sums over every input sheet.

    Args:
        workbook: as it was read
        inputs: which sheets are inputs, and their rows
        letters: address of the cell that holds `LETTERS`

    Returns:
        The sums, and tabs that cannot be watched, since what their cells hold is not known or not counted alike.
    """
    sheets = {sheet.name: sheet for sheet in workbook.sheets}
    checks: list[Check] = []
    unwatched: list[str] = []
    for tab in dict.fromkeys(inputs.sheets.values()):
        sheet = sheets[tab]
        if any(_is_unsure(cell) for cell in sheet.cells.values()):
            unwatched.append(tab)
            continue
        first = min((record.row for record in inputs.records if record.sheet == tab), default=MOST_HEADING_ROWS + 1)
        checks += _checks(_window(sheet, first - 1), letters)
    return ([*checks, _added(workbook)] if checks else []), unwatched


def _added(workbook: Workbook) -> Check:
    """Counts the input sheets, absent at this refresh, that have been added under a name they are known by."""
    present = {name.casefold() for name in workbook.sheet_names()}
    known = [name for spec in INPUT_SHEETS for name in (spec.name, *spec.synonyms) if name.casefold() not in present]
    # ISREF answers alike in every program; ISERROR and COUNTA of a sheet that is not there do not.
    return Check(ADDED, "+".join(f'ISREF(INDIRECT(ADDRESS(1,1,1,1,"{name}")))*1' for name in known), 0)


def weight(row: int, column: int) -> int:
    """What the place of a cell counts, from 1 to 97."""
    return (row * _ROW_STEP + column * _COLUMN_STEP) % _PRIME + 1


def number_tally(number: float) -> int:
    """A number as a whole one: steps of 0.00001 below 100, of about 0.001 below a million, of about 1 above."""
    size = abs(number)
    scale = 100_000.0 if size < 100 else 997.31 if size < 1e6 else 1.37 if size < 1e12 else 0.0
    return floor(number * scale + _SHIFT)


@lru_cache(maxsize=20_000)
def letters_tally(text: str, count: int) -> int:
    """The first letters of a text, each by its place among `LETTERS` and in the text."""
    return sum(place * _PLACE_OF.get(letter, 0) for place, letter in enumerate(text[:count], 1))


def _is_unsure(cell: Cell) -> bool:
    """Formulas without a result, and signs that programs count as one character or as two."""
    if cell.kind is Kind.NO_RESULT:
        return True
    text = cell.value
    return isinstance(text, str) and not text.isascii() and any(ord(letter) > 0xFFFF for letter in text)


def _window(sheet: Sheet, heading_rows: int) -> _Window:
    rows = max((row for row, _ in sheet.cells), default=0)
    columns = max((column for _, column in sheet.cells), default=0)
    return _Window(
        sheet,
        min(rows, MOST_ROWS) + MARGIN_ROWS,
        min(columns, MOST_COLUMNS) + MARGIN_COLUMNS,
        heading_rows if heading_rows <= MOST_HEADING_ROWS else 0,
    )


def _checks(window: _Window, letters: str) -> list[Check]:
    parts = [_values(window), _beyond(window), *_headings(window, letters), *_texts(window, letters)]
    checks: list[Check] = []
    chunk: list[_Part] = []
    for part in parts:
        if chunk and sum(len(one.formula) + 1 for one in [*chunk, part]) > LONGEST_FORMULA:
            checks.append(_check(window, chunk))
            chunk = []
        chunk.append(part)
    return [*checks, _check(window, chunk)]


def _check(window: _Window, parts: Sequence[_Part]) -> Check:
    formula = "+".join(part.formula for part in parts)
    return Check(window.sheet.name, formula, sum(part.value for part in parts))


def _weights(area: str) -> str:
    return f"(MOD(ROW({area})*{_ROW_STEP}+COLUMN({area})*{_COLUMN_STEP},{_PRIME})+1)"


def _values(window: _Window) -> _Part:
    """Numbers by their value, texts by their length, errors by being there, each by its place."""
    area = window.area(1, 1, window.rows, window.columns)
    # Products in place of IF: over whole areas the office programs are many times quicker with them.
    scale = (
        f"((ABS({area})<100)*100000+(ABS({area})>=100)*(ABS({area})<1000000)*997.31"
        f"+(ABS({area})>=1000000)*(ABS({area})<1000000000000)*1.37)"
    )
    formula = (
        f"SUM((IFERROR(INT({area}*{scale}+{_SHIFT}),0)*((ISNUMBER({area})+ISLOGICAL({area}))>0)"
        f"+IFERROR(LEN({area}),0)*ISTEXT({area})*11+ISERROR({area})*13)*{_weights(area)})"
    )
    return _Part(formula, sum(_value(cell) * weight(cell.row, cell.column) for cell in window.cells()))


def _value(cell: Cell) -> int:
    if cell.kind is Kind.ERROR:
        return 13
    if isinstance(cell.value, str):
        return len(cell.value) * 11
    if cell.kind in {Kind.DATE, Kind.DURATION}:
        return number_tally(cell.serial or 0.0)
    return number_tally(float(cell.value)) if isinstance(cell.value, int | float) else 0


def _beyond(window: _Window) -> _Part:
    """Cells below and to the right of what is looked at one by one are only counted.

    As all less those inside: LibreOffice 7.4 miscounts an area that lies wholly beyond the last column in use.
    """
    everywhere = f"{quote_sheetname(window.sheet.name)}!$A$1:${LAST_COLUMN}${LAST_ROW}"
    inside = window.area(1, 1, window.rows, window.columns)
    filled = sum(cell.kind is not Kind.EMPTY for cell in window.sheet.cells.values())
    counted = filled - sum(cell.kind is not Kind.EMPTY for cell in window.cells())
    return _Part(f"(COUNTA({everywhere})-COUNTA({inside}))*7919", counted * 7919)


def _headings(window: _Window, letters: str) -> Iterable[_Part]:
    """The letters of each heading row, on which it hangs how a column is read."""
    for row in range(1, window.heading_rows + 1):
        texts = [cell for cell in window.cells() if cell.row == row and isinstance(cell.value, str)]
        if texts:
            yield _letters(
                texts, window.area(row, 1, row, window.columns), letters, HEADING_LETTERS_READ, separator=";"
            )


def _texts(window: _Window, letters: str) -> Iterable[_Part]:
    """The letters of each column that holds text, below its heading."""
    by_column: dict[int, list[Cell]] = {}
    for cell in window.cells():
        if cell.row > window.heading_rows and isinstance(cell.value, str) and cell.kind is Kind.TEXT:
            by_column.setdefault(cell.column, []).append(cell)
    for column in sorted(by_column):
        area = window.area(window.heading_rows + 1, column, window.rows, column)
        yield _letters(by_column[column], area, letters, LETTERS_READ, separator=",")


def _letters(cells: Sequence[Cell], area: str, letters: str, most: int, *, separator: str) -> _Part:
    texts = [(cell, str(cell.value)) for cell in cells if cell.kind is Kind.TEXT]
    count = max([1, *(min(len(text), most) for _, text in texts)])
    places = "{" + separator.join(str(place) for place in range(1, count + 1)) + "}"
    # Some programs spread a list over a range in sums only, not between two arguments of a function: & and + do it.
    letter = f'MID({area}&REPT("",{places}),{places}+0*LEN({area}),1)'
    formula = (
        f"SUM(IFERROR(FIND({letter},{letters})*(LEN({area})>={places}),0)*ISTEXT({area})*{places}*{_weights(area)})"
    )
    return _Part(formula, sum(letters_tally(text, count) * weight(cell.row, cell.column) for cell, text in texts))


def say_freshness(sheets: Sequence[ReportSheet], workbook: Workbook, inputs: Inputs) -> None:
    """Add the sums below Summary, and let the third row of every result sheet say what they come to.

    Args:
        sheets: the result sheets, Summary first; changed in place
        workbook: as it was read
        inputs: which sheets are inputs, and their rows
    """
    summary = sheets[0]
    width = len(summary.column_widths)
    first = len(summary.rows) + 6
    letters = f"$B${first - 2}"
    checks, unwatched = checks_of(workbook, inputs, letters)
    if not checks:
        for sheet in sheets:
            sheet.rows[FRESH_ROW - 1][0] = None
        return
    last = first + len(checks) - 1
    same = f"SUM(({_column('B', first, last)}={_column('C', first, last)})*1)={len(checks)}"
    status = f'=IFERROR(IF({same},"{UP_TO_DATE}","{CHANGED}"),"{CHANGED}")'
    explained = (
        "A sum over all that stands on each input sheet, worked out anew at once, beside what it was at the last "
        "refresh. "
        f"Looked at: numbers, the first {LETTERS_READ} letters of texts and their length, and where each stands. "
        "A new input sheet is seen by its usual names only."
    )
    if unwatched:
        explained += f" Not watched, since not all that they hold can be told: {', '.join(unwatched)}."
    summary.printed_rows = len(summary.rows)
    summary.rows += [
        [],
        [ReportCell("How it is known whether this is up to date", Look.SECTION, columns=width)],
        [ReportCell(explained, Look.INTRO, columns=width)],
        [ReportCell("Letters known", Look.QUIET), ReportCell(LETTERS, Look.QUIET, columns=width - 1)],
        [
            ReportCell("Input sheet", Look.HEADING, note="Each sheet of yours that was read."),
            ReportCell("Now", Look.NUMBER_HEADING, note="Sum over all that stands there, worked out at each change."),
            ReportCell("At the refresh", Look.NUMBER_HEADING, note="The same sum as it was at the last refresh."),
        ],
    ]
    for check in checks:
        now = ReportCell(float(check.value), Look.QUIET, "0", f"={check.formula}", array=True)
        summary.rows.append([ReportCell(check.tab, Look.QUIET), now, ReportCell(float(check.value), Look.QUIET, "0")])
    answer = f"$B${last + 1}"
    summary.rows.append(
        [
            ReportCell("Together", Look.STRONG),
            ReportCell(UP_TO_DATE, Look.STRONG, formula=status, array=True, columns=1),
        ]
    )
    here = f"{quote_sheetname(summary.name)}!{answer}"
    for sheet in sheets:
        cell = sheet.rows[FRESH_ROW - 1][0]
        if cell is None:
            continue
        formula = f'="{FRESH}"&{answer if sheet is summary else here}'
        sheet.rows[FRESH_ROW - 1][0] = ReportCell(
            f"{FRESH}{UP_TO_DATE}", Look.STRONG, formula=formula, columns=cell.columns
        )


def _column(letter: str, first: int, last: int) -> str:
    return f"${letter}${first}:${letter}${last}"
