"""Formulas from the notation of .xlsx into OpenFormula, the notation of .ods.

Source: OASIS OpenDocument 1.3, part 4, chapter 5 (references, separators, inline arrays). The names that functions
newer than the standard carry in files are those LibreOffice 7.4 writes when it saves a workbook that uses them.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from openpyxl.formula.tokenizer import Token, Tokenizer

SheetNames = Callable[[str], str]
"""Takes a sheet's name as written in a formula, gives the name its tab has now."""

_RENAMED: Mapping[str, str] = MappingProxyType(
    {
        "CHIDIST": "LEGACY.CHIDIST",
        "CHIINV": "LEGACY.CHIINV",
        "CHITEST": "LEGACY.CHITEST",
        "FDIST": "LEGACY.FDIST",
        "FINV": "LEGACY.FINV",
        "NORMSDIST": "LEGACY.NORMSDIST",
        "NORMSINV": "LEGACY.NORMSINV",
        "TDIST": "LEGACY.TDIST",
        "FORMULATEXT": "FORMULA",
        "SKEW.P": "SKEWP",
        "AGGREGATE": "AGGREGATE",
        "ERROR.TYPE": "ERROR.TYPE",
    }
)
_MICROSOFT = frozenset({"CEILING", "CONCAT", "FLOOR", "IFS", "MAXIFS", "MINIFS", "SWITCH", "TEXTJOIN"})
_NEEDS_NO_QUOTES = re.compile(r"[^\W\d]\w*")
_CELL = re.compile(r"\$?[A-Za-z]{1,3}\$?[1-9]\d{0,6}")
_COLUMN = re.compile(r"\$?[A-Za-z]{1,3}")
_ROW = re.compile(r"\$?[1-9]\d{0,6}")


def quoted_sheet(name: str) -> str:
    """The sheet's name as references need it: in apostrophes unless it is one plain word.

    >>> quoted_sheet("Stock use"), quoted_sheet("Stock")
    ("'Stock use'", 'Stock')
    """
    return name if _NEEDS_NO_QUOTES.fullmatch(name) else "'" + name.replace("'", "''") + "'"


def open_formula(formula: str, names: SheetNames = str) -> str:
    """The same formula in OpenFormula, with its ``of:=``.

    Args:
        formula: with its leading ``=``, English function names, comma between arguments
        names: gives the present name of each sheet that the formula names

    Raises:
        ValueError: for what has no counterpart there (references into tables or into other files)

    >>> open_formula("=SUM('Stock use'!F7:F9,2)")
    "of:=SUM([$'Stock use'.F7:.F9];2)"
    """
    tokens = Tokenizer(formula).items
    if len(tokens) == 1 and tokens[0].type == Token.LITERAL:
        raise ValueError(f"{formula!r} is no formula")
    in_array = False
    parts = []
    for place, token in enumerate(tokens):
        if token.type == Token.ARRAY:
            in_array = token.subtype == Token.OPEN
        if token.type == Token.SEP:
            parts.append("|" if in_array and token.subtype == Token.ROW else ";")
        elif token.type == Token.WSPACE and _is_intersection(tokens, place):
            parts.append("!")
        else:
            parts.append(_translated(token, names))
    return "of:=" + "".join(parts)


class Formulas:
    """Translates as `open_formula`, quickly where formulas differ only in the rows of their references.

    Args:
        names: gives the present name of each sheet that a formula names
        written: how a formula without references stands in the file; rows stand there as they are
    """

    def __init__(self, names: SheetNames, written: Callable[[str], str] = str) -> None:
        self._names, self._written = names, written
        self._known: dict[tuple[str | None, ...], _Pattern | None] = {}
        self._of_one_row: dict[str, str] = {}

    def of(self, formula: str) -> str:
        """The formula in OpenFormula, as it stands in the file; raises as `open_formula`."""
        # Most formulas refer to one row, and thousands differ in nothing else.
        first = _FIRST_ROW.search(formula)
        if first is None or _ROW_HERE in formula:
            return self._translated(formula)
        alike = formula.replace(first[1], _ROW_HERE)
        known = self._of_one_row.get(alike)
        if known is None:
            found = self._translated(formula)
            rows = _REFERENCE.split(formula)[3::4]
            if rows.count(first[1]) == formula.count(first[1]) == found.count(first[1]):
                self._of_one_row[alike] = found.replace(first[1], _ROW_HERE)
            return found
        return known.replace(_ROW_HERE, first[1])

    def _translated(self, formula: str) -> str:
        pieces = _REFERENCE.split(formula)
        rows = pieces[3::4]
        del pieces[3::4]
        key = tuple(pieces)
        if key not in self._known:
            self._known[key] = self._pattern(key, rows)
        pattern = self._known[key]
        if pattern is None:
            return self._written(open_formula(formula, self._names))
        return pattern.text % tuple([rows[place] for place in pattern.places])

    def _pattern(self, pieces: Sequence[str | None], rows: Sequence[str | None]) -> "_Pattern | None":
        """What formulas of these pieces become; None for those whose rows cannot be told from their other numbers."""
        referring = [place for place, row in enumerate(rows) if row is not None]
        numbers = {place: f"{_MARK}{number}" for number, place in enumerate(referring, 100)}
        if any(piece is not None and _MARK in piece for piece in pieces) or len(referring) > _MOST_MARKED:
            return None
        groups = zip(pieces[::3], (*pieces[1::3], None), (*pieces[2::3], None), (*range(len(rows)), -1), strict=True)
        marked = (f"{text}{quoted or ''}{column or ''}{numbers.get(at, '')}" for text, quoted, column, at in groups)
        parts = re.split(rf"{_MARK}([0-9]{{3}})", open_formula("".join(marked), self._names))
        text = "%s".join(self._written(part).replace("%", "%%") for part in parts[::2])
        return _Pattern(text, [referring[int(number) - 100] for number in parts[1::2]])


@dataclass(frozen=True, slots=True)
class _Pattern:
    """Formulas that differ only in the rows of their references.

    Attributes:
        text: the formula with %s in place of each row
        places: which of the rows as given stands there
    """

    text: str
    places: Sequence[int]


_ROW_HERE = "\0"
"""Stands for the row in formulas that differ only in it; no file can hold this character."""
_FIRST_ROW = re.compile(r"[A-Z]\$?([1-9][0-9]{0,6})(?![\w.(!])")
_MARK = "9000"
_MOST_MARKED = 900
_REFERENCE = re.compile(
    r"('(?:[^']|'')*'|\"(?:[^\"]|\"\")*\")|(?<![\w.$])(\$?[A-Z]{1,3}\$?)([1-9][0-9]{0,6})(?![\w.(!])"
)
"""A quoted text or name, or the column and the row of a reference to a cell."""


def _is_intersection(tokens: list[Token], place: int) -> bool:
    """Whether the blank at this place stands for the cells that two ranges share."""
    if not 0 < place < len(tokens) - 1:
        return False
    before, after = tokens[place - 1], tokens[place + 1]
    ends = before.subtype in {Token.RANGE, Token.CLOSE}
    begins = after.subtype == Token.RANGE or (after.type in {Token.FUNC, Token.PAREN} and after.subtype == Token.OPEN)
    return ends and begins


def _translated(token: Token, names: SheetNames) -> str:
    """One token in OpenFormula."""
    value: str = token.value
    if token.type == Token.FUNC and token.subtype == Token.OPEN:
        return _function(value.removesuffix("(")) + "("
    if token.type == Token.OPERAND and token.subtype == Token.RANGE:
        return _range(value, names)
    if token.type == Token.OPERAND and token.subtype == Token.LOGICAL:
        return value.upper() + "()"
    if token.type == Token.OP_IN:
        return {",": "~"}.get(value, value)
    return value


def _function(name: str) -> str:
    """The function's name as .ods files carry it."""
    plain = name.upper().removeprefix("_XLFN.").removeprefix("_XLWS.")
    if plain in _RENAMED:
        return _RENAMED[plain]
    return f"COM.MICROSOFT.{plain}" if plain in _MICROSOFT or "." in plain else plain


def _range(text: str, names: SheetNames) -> str:
    """A reference in brackets, or a defined name as it stands."""
    if "[" in text:
        raise ValueError(f"{text!r}: references into tables and other files have no counterpart in .ods")
    sheet, mark, cells = text.rpartition("!")
    ends = cells.split(":")
    is_reference = all(map(_CELL.fullmatch, ends)) or (
        len(ends) == 2 and (all(map(_COLUMN.fullmatch, ends)) or all(map(_ROW.fullmatch, ends)))
    )
    if not is_reference:
        if mark:
            raise ValueError(f"{text!r} is no reference to cells")
        return text
    place = ""
    if mark:
        bare = sheet[1:-1].replace("''", "'") if sheet.startswith("'") else sheet
        place = "$" + quoted_sheet(names(bare))
    return f"[{place}.{':.'.join(ends)}]"
