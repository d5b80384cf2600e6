"""Formulas taken apart: what they refer to, and the rest as a template that many formulas share.

Only formulas whose outcome does not depend on the day, the program or another file pass: plain operators and the
functions listed here. All else is refused with a reason.
"""

import re
from dataclasses import dataclass
from typing import Final

from openpyxl.formula.tokenizer import Token, Tokenizer, TokenizerError

from sheetkit.reading.xlsx_names import LAST_COLUMN, LAST_ROW, column_of

MAX_LENGTH: Final = 1_000
_LISTED: Final = "it holds a list of values in curly brackets"

_TOTALS: Final = """
    SUM AVERAGE MIN MAX COUNT PRODUCT SUMSQ MEDIAN STDEV STDEV.S STDEV.P STDEVP VAR VAR.S VAR.P VARP LARGE SMALL
    SUMPRODUCT
"""
_OTHERS: Final = """
    ABS CEILING EVEN EXP FLOOR INT LN LOG LOG10 MOD MROUND ODD PI POWER ROUND ROUNDDOWN ROUNDUP SIGN SQRT TRUNC
    RADIANS DEGREES SIN COS TAN ASIN ACOS ATAN ATAN2 CONVERT COUNTA COUNTBLANK SUMIF COUNTIF AVERAGEIF SUMIFS COUNTIFS
    AVERAGEIFS IF IFERROR IFNA AND OR NOT TRUE FALSE ISBLANK ISNUMBER ISTEXT ISERROR VLOOKUP HLOOKUP INDEX MATCH LEFT
    RIGHT MID LEN TRIM UPPER LOWER CONCATENATE
"""

_TEXTS: Final = """
    COUNTA COUNTBLANK LEN LEFT RIGHT MID UPPER LOWER TRIM CONCATENATE ISBLANK ISTEXT INDEX
"""

NUMBERS_ONLY: Final = frozenset(_TOTALS.split())
"""Functions that pass over texts in the cells that they are given."""

KNOWN: Final = NUMBERS_ONLY | frozenset(_OTHERS.split())
"""Functions that give the same outcome in every program, on every day."""

TEXT_AS_IT_IS: Final = frozenset(_TEXTS.split())
"""Functions to which a text such as 007 is a text; the library takes it for a number in the others."""

_OPERATORS: Final = frozenset(["+", "-", "*", "/", "^", "&", "=", "<>", "<", ">", "<=", ">=", "%"])
_ARITHMETIC: Final = frozenset("+-*/^%")
_COMPARISONS: Final = frozenset(["=", "<>", "<", ">", "<=", ">="])
_FUNCTION_PREFIX: Final = re.compile(r"^(?:_XLFN\.|_XLWS\.|COM\.MICROSOFT\.)+")
_REFERENCE: Final = re.compile(
    r"(?:(?:'((?:[^'\[\]]|'')++)'|([^'\[\]!:]+))!)?"
    r"\$?([A-Za-z]{1,3})?\$?([0-9]{1,7})?(?::\$?([A-Za-z]{1,3})?\$?([0-9]{1,7})?)?"
)
_PIECE: Final = re.compile(r""""(?:[^"]|"")*+"|'(?:[^']|'')*+'|\[(?:'(?:[^']|'')*+'|[^\]'])*+\]|[;~!{}|]""")
_ODS_CELL: Final = r"(\$?[A-Za-z]{1,3}\$?[0-9]{1,7}|\$?[A-Za-z]{1,3}|\$?[0-9]{1,7})"
_ODS_REFERENCE: Final = re.compile(
    rf"\[\$?('(?:[^']|'')*+'|[^.'$#\]]+)?\.{_ODS_CELL}(?::\$?('(?:[^']|'')*+'|[^.'$#\]]+)?\.{_ODS_CELL})?\]"
)


class CannotWorkOut(Exception):
    """A formula that is not worked out; its text is the reason, in the maker's words."""


@dataclass(frozen=True, slots=True)
class Area:
    """Cells that a formula refers to.

    Attributes:
        sheet: name as written; None for the formula's own sheet
        top: first row
        left: first column
        bottom: last row
        right: last column
        single: written as one cell, not as a range
    """

    sheet: str | None
    top: int
    left: int
    bottom: int
    right: int
    single: bool


@dataclass(frozen=True, slots=True)
class Operand:
    """What stands at one place of the template.

    Attributes:
        name: its placeholder in the template
        area: the cells, or None for a constant
        constant: the constant
        numbers_only: texts in the cells are passed over
        in_sum: an arithmetic operator stands beside it, so that it has to be a number
        text_as_it_is: a text that looks like a number is taken as the text that it is
        compared: a comparison stands beside it; a blank cell then counts as 0 or as no text, as the other side asks
    """

    name: str
    area: Area | None
    constant: float | str | bool
    numbers_only: bool
    in_sum: bool
    compared: bool
    text_as_it_is: bool


@dataclass(frozen=True, slots=True)
class Template:
    """A formula with a placeholder for each operand; equal templates need compiling once.

    Attributes:
        text: the formula with its placeholders
        operands: what they stand for
        comparisons: how many comparisons it makes
    """

    text: str
    operands: tuple[Operand, ...]
    comparisons: int


def take_apart(formula: str) -> Template:
    """Take a formula in the notation of .xlsx apart.

    Args:
        formula: its text with the leading "="

    Raises:
        CannotWorkOut: it is too long, or holds something that is not worked out
    """
    if len(formula) > MAX_LENGTH:
        raise CannotWorkOut("it is too long")
    try:
        tokens = [token for token in Tokenizer(formula).items if token.type != Token.WSPACE or token.value.strip()]
    except (TokenizerError, IndexError, ValueError) as error:
        raise CannotWorkOut("it cannot be read") from error
    return _Dismantler(tokens).template()


def from_opendocument(formula: str) -> str:
    """The formula of an .ods in the notation of .xlsx.

    Args:
        formula: its text with the leading "=", without the prefix of its namespace

    Raises:
        CannotWorkOut: it refers to another file, or uses what .xlsx writes in no like way

    >>> from_opendocument("=SUM([.B2:.B9];[$'Other sheet'.B3])")
    "=SUM(B2:B9,'Other sheet'!B3)"
    """
    if len(formula) > MAX_LENGTH:
        raise CannotWorkOut("it is too long")
    return _PIECE.sub(_translate_piece, formula)


def _translate_piece(match: re.Match[str]) -> str:
    piece = match[0]
    if piece.startswith(('"', "'")):
        return piece
    if piece == ";":
        return ","
    if piece in "{}":
        raise CannotWorkOut(_LISTED)
    reference = _ODS_REFERENCE.fullmatch(piece)
    if reference is None:
        outside = "it refers to something that is not in this workbook"
        raise CannotWorkOut(outside if piece.startswith("[") else f'it uses "{piece}"')
    sheet, first, last_sheet, last = reference.groups()
    if last_sheet is not None and last_sheet.strip("'").lower() != (sheet or "").strip("'").lower():
        raise CannotWorkOut("it refers to several sheets at once")
    quoted = "" if sheet is None else f"'{sheet}'!" if not sheet.startswith("'") else f"{sheet}!"
    return quoted + first + (f":{last}" if last else "")


class _Dismantler:
    def __init__(self, tokens: list[Token]) -> None:
        self._tokens = tokens
        self._functions: list[str | None] = []
        self._operands: list[Operand] = []

    def template(self) -> Template:
        pieces = [self._piece(index, token) for index, token in enumerate(self._tokens)]
        comparisons = sum(token.value in _COMPARISONS for token in self._tokens)
        return Template("=" + "".join(pieces), tuple(self._operands), comparisons)

    def _piece(self, index: int, token: Token) -> str:
        if token.type == Token.OPERAND:
            return self._operand(index, token)
        if token.type in {Token.FUNC, Token.PAREN}:
            return self._bracket(token)
        if token.type == Token.SEP and token.value == "," and self._functions:
            self._check_argument(index)
            return ","
        if token.type in {Token.OP_PRE, Token.OP_IN, Token.OP_POST} and token.value in _OPERATORS:
            return str(token.value)
        if token.type in {Token.ARRAY, "ARRAYROW"}:
            raise CannotWorkOut(_LISTED)
        raise CannotWorkOut(f'it uses "{_short(token.value)}"')

    def _bracket(self, token: Token) -> str:
        if token.subtype == Token.CLOSE:
            if self._functions:
                self._functions.pop()
            return ")"
        if token.type == Token.PAREN:
            self._functions.append(None)
            return "("
        name = _FUNCTION_PREFIX.sub("", token.value.rstrip("(").upper())
        if name not in KNOWN:
            raise CannotWorkOut(f"it uses {_short(name or token.value)}")
        self._functions.append(name)
        return f"{name}("

    def _check_argument(self, index: int) -> None:
        following = self._neighbour(index, 1)
        if following is None or following.type == Token.SEP or following.subtype == Token.CLOSE:
            raise CannotWorkOut("it leaves an argument out")

    def _neighbour(self, index: int, step: int) -> Token | None:
        at = index + step
        return self._tokens[at] if 0 <= at < len(self._tokens) else None

    def _operand(self, index: int, token: Token) -> str:
        area = _area(token.value) if token.subtype == Token.RANGE else None
        around = [self._neighbour(index, -1), self._neighbour(index, 1)]
        alone = all(near is None or near.type in {Token.FUNC, Token.SEP} for near in around)
        function = self._functions[-1] if self._functions else None
        in_sum = any(near is not None and near.value in _ARITHMETIC for near in around)
        compared = any(near is not None and near.value in _COMPARISONS for near in around)
        numbers_only = area is not None and alone and function in NUMBERS_ONLY
        is_range = area is not None and not area.single
        number = len(self._operands)
        name = f"C{2 * number + 1}:D{2 * number + 2}" if is_range else f"A{number + 1}"
        constant = 0.0 if area is not None else _constant(token)
        joined = any(near is not None and near.value == "&" for near in around) or around == [None, None]
        as_text = numbers_only or joined or (alone and function in TEXT_AS_IT_IS)
        self._operands.append(Operand(name, area, constant, numbers_only, in_sum and not is_range, compared, as_text))
        return name


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:57]}..."


def _constant(token: Token) -> float | str | bool:
    if token.subtype == Token.NUMBER:
        return float(token.value)
    if token.subtype == Token.TEXT:
        return str(token.value)[1:-1].replace('""', '"')
    if token.subtype == Token.LOGICAL:
        return str(token.value).upper() == "TRUE"
    raise CannotWorkOut(f"it holds {_short(token.value)}")


def _area(text: str) -> Area:
    """The cells that a reference names; whole columns and rows reach to the sheet's end."""
    match = _REFERENCE.fullmatch(text)
    if match is None:
        raise CannotWorkOut(f"it refers to {_short(text)}, which is not a cell of this workbook")
    quoted, bare, *corners = match.groups()
    sheet = quoted.replace("''", "'") if quoted else bare
    single = ":" not in text.rsplit("!", 1)[-1]
    left, top, right, bottom = corners[:4] if not single else (*corners[:2], *corners[:2])
    columns = sorted((_column(left, 1), _column(right, LAST_COLUMN)))
    rows = sorted((_row(top, 1), _row(bottom, LAST_ROW)))
    partial = (left is None) != (right is None) or (top is None) != (bottom is None) or (left is None and top is None)
    if partial or (single and (left is None or top is None)) or not columns[0] or not rows[0] or rows[1] > LAST_ROW:
        raise CannotWorkOut(f"it refers to {_short(text)}, which is not a cell of this workbook")
    return Area(sheet, rows[0], columns[0], rows[1], columns[1], single)


def _column(letters: str | None, default: int) -> int:
    return default if letters is None else column_of(letters)


def _row(digits: str | None, default: int) -> int:
    return default if digits is None else int(digits)
