"""Tells the records of a table from its blank rows, totals, notes, repeated headings and crossed-out rows."""

import re
from dataclasses import dataclass, field
from functools import lru_cache

from sheetkit.errors import Harm
from sheetkit.reading.model import Cell
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.cells import is_blank, is_dash, is_ditto
from sheetkit.tables.columns import Kind
from sheetkit.tables.findings import Findings, Spot
from sheetkit.tables.headings import DIMENSION
from sheetkit.tables.layout import Grid, Table, Use, table_at
from sheetkit.tables.schema import INPUT_SHEETS
from sheetkit.tables.shown import quoted
from sheetkit.units import folded


@dataclass(slots=True)
class BodyRow:
    """A row that is a record.

    Attributes:
        row: row number
        hidden: the maker does not see it
        cells: by column number; merged areas looked through downwards
        spread: column numbers whose value comes from a merged area that begins further up
    """

    row: int
    hidden: bool
    cells: dict[int, Cell]
    spread: set[int] = field(default_factory=set)


_PLAIN_TOTALS = [
    "total",
    "totals",
    "subtotal",
    "subtotals",
    "sous-total",
    "sous total",
    "insgesamt",
    "in total",
    "gesamtlange",
    "t o t a l",
    "sum",
    "sums",
    "summe",
    "gesamt",
    "gesamtsumme",
    "zwischensumme",
    "somme",
    "suma",
    "totale",
    "somma",
    "totaal",
    "summa",
    "razem",
    "suma",
    "celkem",
    "osszesen",
    "toplam",
    "итого",
    "всего",
    "合計",
    "合计",
    "總計",
    "σ",
    "yhteensa",
    "ialt",
    "subtotal",
    "moyenne",
    "mittelwert",
    "durchschnitt",
    "average",
    "averages",
    "avg",
    "promedio",
    "gemiddelde",
    "medelvarde",
    "gjennomsnitt",
    "gennemsnit",
    "keskiarvo",
    "srednia",
    "prumer",
    "atlag",
    "ortalama",
    "среднее",
    "平均",
    "ø",
    "standardabweichung",
    "stdev",
    "stddev",
]
_END_TOTALS = frozenset(["total", "totals", "subtotal", "sum", "average", "avg", "mean", "gesamt", "summe"])
"""Programs that insert subtotals write them behind the group's name: "Walnut Total"."""
_SHORT_TOTALS = [
    "mean",
    "median",
    "count",
    "min",
    "max",
    "minimum",
    "maximum",
    "sd",
    "range",
    "anzahl",
    "media",
    "mittel",
    "medel",
    "som",
    "aantal",
    "nombre",
    "std",
    "tot",
    "ges",
    "mw",
    "diff",
    "difference",
    "spread",
    "deviation",
    "variance",
]
_TOTAL = re.compile(
    rf"(?:(?:grand|sub|over ?all|the|running|all|i|total)[\s-]*)?(?:std\.? dev\w*|standard deviation|total general|"
    rf"(?:{'|'.join(_PLAIN_TOTALS)})(?![\w-])|(?:{'|'.join(_SHORT_TOTALS)})(?![\w-])(?![\s#]*\d+\W*$))(?P<rest>.*)"
)
_TOTAL_FORMULA = re.compile(
    r"\b(?:SUM|AVERAGE|SUBTOTAL|AGGREGATE|COUNTA?|MIN|MAX|MEDIAN|STDEV\w*)\s*[(.]*[^)]*?\$?([A-Z]{1,3})\$?(\d+)\]?\s*:\s*\[?\.?\$?([A-Z]{1,3})\$?(\d+)",
    re.IGNORECASE,
)
_NOTE_WORD = re.compile(r"(?:notes?|remarks?|nb|n\.b\.|p\.?s\.?|source|legend|key|todo|to do)\b|[*†‡•#]")


def body_rows(grid: Grid, table: Table, findings: Findings) -> list[tuple[Table, list[BodyRow]]]:
    """The records of a table, and of further tables with the same headings below it.

    Args:
        grid: the sheet's cells
        table: the table found on it
        findings: collects which rows are taken for totals, notes and the like
    """
    parts: list[tuple[Table, list[BodyRow]]] = [(table, [])]
    skip_to, previous = table.first_row, table.first_row - 1
    for row in grid.by_row:
        if row < skip_to:
            continue
        current = parts[-1][0]
        body = _cells(grid, current, row)
        if not body.cells:
            continue
        heading = _heading_again(grid, current, row)
        if heading is not None:
            skip_to = heading.first_row
            if heading.spec is not current.spec or not heading.complete:
                _say_rest(heading.spec.name, current, row, findings)
                break
            if _positions(heading) != _positions(current):
                parts.append((heading, []))
            continue
        if row > previous + 1 and _starts_another_table(body, current):
            _say_rest("", current, row, findings)
            break
        previous = row
        if not _is_no_record(grid, current, body, findings):
            parts[-1][1].append(body)
    return parts


def _positions(table: Table) -> dict[int, str]:
    return {use.position: use.column.field for use in table.uses}


def _cells(grid: Grid, table: Table, row: int) -> BodyRow:
    body = BodyRow(row, row in grid.sheet.hidden_rows, {})
    here = grid.merged_in(row)
    for use in table.uses:
        area = grid.area(row, use.position) if here else None
        from_above = area is not None and area.first_column == use.position and area.first_row < row
        cell = grid.owner(row, use.position) if from_above else grid.sheet.cells.get((row, use.position))
        if cell is not None and not is_blank(cell) and not (from_above and cell.row < table.first_row):
            body.cells[use.position] = cell
            if from_above:
                body.spread.add(use.position)
        elif cell is not None and cell.comment:
            body.cells.setdefault(use.position, cell)
    if all(is_blank(cell) for cell in body.cells.values()) or len(body.spread) == len(body.cells):
        body.cells = {}
    return body


def _heading_again(grid: Grid, table: Table, row: int) -> Table | None:
    """A heading row inside the table: of the same table again, or of another one."""
    texts = [cell for cell in grid.by_row[row] if cell.kind is CellKind.TEXT]
    if (
        len(texts) < 2
        or 2 * len(texts) < len(grid.by_row[row])
        or any(cell.kind in {CellKind.DATE, CellKind.BOOLEAN} for cell in grid.by_row[row])
    ):
        return None
    own = table_at(grid, table.spec, row, inside=True)
    if own is not None and own.complete and 2 * len(own.uses) > len(texts):
        return own
    same = sum(1 for use in table.uses if _says(grid.sheet.cell(row, use.position), use))
    if own is not None and same >= 2 and same == len(texts):
        return Table(table.spec, table.sheet, row, row, row + 1, table.last_row, table.uses)
    others = [
        table_at(grid, spec, row, inside=True) for spec in INPUT_SHEETS if not spec.settings and spec is not table.spec
    ]
    return next((other for other in others if other is not None and other.complete and len(other.fields) > 1), None)


def _says(cell: Cell | None, use: Use) -> bool:
    return cell is not None and cell.kind is CellKind.TEXT and folded(str(cell.value)) == folded(use.heading)


def _starts_another_table(body: BodyRow, table: Table) -> bool:
    """After a gap, a row of bare words where the table has numbers begins something else."""
    quantities = [
        body.cells[use.position] for use in table.uses if use.column.kind in DIMENSION and use.position in body.cells
    ]
    words = [cell for cell in body.cells.values() if cell.kind is CellKind.TEXT]
    return (
        len(words) == len(body.cells) >= 2
        and bool(quantities)
        and all(
            not re.search(r"\d", str(cell.value))
            and not is_dash(cell)
            and not is_ditto(cell)
            and len(folded(str(cell.value))) > 2
            for cell in quantities
        )
        and not any(_TOTAL.fullmatch(folded(str(cell.value))) for cell in words)
    )


def _say_rest(spec_name: str, table: Table, row: int, findings: Findings) -> None:
    what = f"a table with the headings of {spec_name}" if spec_name else "another table"
    findings.add(
        table.sheet.name,
        f"A{row}",
        f"{what} from row {row} on; it is not read as {table.spec.name}",
        f"one table of {table.spec.name} on this sheet",
        f"nothing if it is something else; else move its rows up to the table that ends above row {row}",
        Harm.NOTED if not spec_name else Harm.DOUBTFUL,
    )


def _is_no_record(grid: Grid, table: Table, body: BodyRow, findings: Findings) -> bool:
    cells = {position: cell for position, cell in body.cells.items() if not is_blank(cell)}
    spot = Spot(table.sheet.name, body.row, min(cells))
    first = next(iter(cells.values()))
    total = _total_label(grid, table, body.row, cells)
    if total:
        findings.at(
            spot,
            f"{total}, taken for a total row",
            "a record, or a total",
            "nothing if it is a total; else rename the row",
            Harm.NOTED,
        )
        return True
    if all(cell.struck for position, cell in cells.items() if position not in body.spread):
        findings.at(
            spot,
            f"{quoted(first)}, a row that is struck through; it is not used",
            "a row that counts",
            "nothing if it is done with; else take the strike-through away",
            Harm.NOTED,
        )
        return True
    return _is_note(grid, table, body, cells, spot, findings)


def _total_label(grid: Grid, table: Table, row: int, cells: dict[int, Cell]) -> str:
    """What marks a row as a total: its wording, or formulas that add up the rows above; else ""."""
    needed = [use.position for use in table.uses if use.column.required]
    for cell in grid.by_row[row]:
        if cell.kind is CellKind.TEXT and _is_total_cell(cell, table, cells):
            return quoted(cell)
    if needed and needed[0] not in cells:
        for cell in cells.values():
            match = _TOTAL_FORMULA.search(cell.formula or "")
            if match and match[1] == match[3] and int(match[2]) <= int(match[4]) < row:
                return f"the formula {cell.formula}"
    return ""


def _is_total_cell(cell: Cell, table: Table, cells: dict[int, Cell]) -> bool:
    """A total's wording makes a total row, unless every name that a record needs stands there beside it."""
    use = next((each for each in table.uses if each.position == cell.column), None)
    if use is None:
        return _is_total_text(str(cell.value), bare=True)
    if not _is_total_text(str(cell.value)) or (use.column.kind is Kind.TEXT and len(cells) > 1):
        return False
    names = [
        each for each in table.uses if each.column.required and each.column.kind not in DIMENSION and each is not use
    ]
    return not names or not all(each.position in cells for each in names)


@lru_cache(maxsize=5000)
def _is_total_text(text: str, *, bare: bool = False) -> bool:
    """Whether a text says total, average and the like; bare: nothing else besides."""
    plain = folded(text).strip(" .:=*-")
    words = plain.split()
    match = _TOTAL.fullmatch(plain)
    if bare:
        return match is not None and not match["rest"].strip(" :=.")
    at_the_end = 1 < len(words) <= 4 and words[-1] in _END_TOTALS
    return (at_the_end or match is not None) and len(words) <= 6


def _is_note(grid: Grid, table: Table, body: BodyRow, cells: dict[int, Cell], spot: Spot, findings: Findings) -> bool:
    if any(cell.kind is not CellKind.TEXT for cell in cells.values()):
        return False
    uses = {use.position: use for use in table.uses}
    if all(uses[position].column.kind is Kind.TEXT for position in cells):
        return True
    if len(cells) > 1:
        return False
    position, cell = next(iter(cells.items()))
    text = str(cell.value).strip()
    area = grid.area(body.row, position)
    wide = area is not None and area.last_column > area.first_column
    words = len(text.split())
    alone = len([other for other in grid.by_row[body.row] if not is_blank(other)]) == 1
    if not (
        wide
        or words >= 4
        or len(text) > 40
        or text.endswith((".", ":", "!"))
        or _NOTE_WORD.match(folded(text))
        or (words >= 3 and alone)
    ):
        return False
    findings.at(
        spot,
        f"{quoted(cell)}, taken for a note",
        f"a row of {table.spec.name}, or a note",
        "nothing if it is a note; else fill in the row's other cells",
        Harm.NOTED,
    )
    return True
