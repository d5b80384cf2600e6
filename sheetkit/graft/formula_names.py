"""Formulas whose sheets and tables go by other names in the maker's file than in the report."""

from collections.abc import Mapping

from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token
from openpyxl.utils.cell import quote_sheetname


def renamed(formula: str, tabs: Mapping[str, str], tables: Mapping[str, str]) -> str:
    """The formula with sheets and tables named as they are in the file.

    Args:
        formula: with its leading "="
        tabs: by a sheet's name in the formula, the name of its tab
        tables: by a table's name in the formula, its name in the file

    >>> renamed("=SUM('Stock use'!F7:F9)+Summary!A1", {"Stock use": "Wood's use"}, {})
    "=SUM('Wood''s use'!F7:F9)+Summary!A1"
    """
    changed_tabs = {old.casefold(): new for old, new in tabs.items() if old != new}
    changed_tables = {old.casefold(): new for old, new in tables.items() if old != new}
    folded = formula.casefold()
    if not any(old.replace("'", "''") in folded for old in (*changed_tabs, *changed_tables)):
        return formula
    tokens = Tokenizer(formula).items
    return "=" + "".join(_renamed_token(token, changed_tabs, changed_tables) for token in tokens)


def _renamed_token(token: Token, tabs: Mapping[str, str], tables: Mapping[str, str]) -> str:
    value = str(token.value)
    if token.type != Token.OPERAND or token.subtype != Token.RANGE:
        return value
    sheet, mark, rest = value.rpartition("!")
    if mark:
        new = tabs.get(_unquoted(sheet).casefold())
        return f"{quote_sheetname(new)}!{rest}" if new is not None else value
    table, bracket, rest = value.partition("[")
    return f"{tables.get(table.casefold(), table)}{bracket}{rest}"


def _unquoted(sheet: str) -> str:
    quoted = len(sheet) > 1 and sheet.startswith("'") and sheet.endswith("'")
    return sheet[1:-1].replace("''", "'") if quoted else sheet
