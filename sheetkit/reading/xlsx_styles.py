"""What the cell formats of .xlsx mean for reading: number format and strike-through."""

from dataclasses import dataclass
from typing import Final

from lxml import etree
from openpyxl.styles.numbers import BUILTIN_FORMATS

from sheetkit.reading.archive import Package
from sheetkit.reading.xlsx_names import is_true

GENERAL: Final = "General"

_DAYS, _TIMES = "yyyy-mm-dd", "h:mm:ss"
EAST_ASIAN_FORMATS: Final = dict.fromkeys([*range(27, 32), 36, *range(50, 55), 57, 58], _DAYS) | dict.fromkeys(
    [*range(32, 36), 55, 56], _TIMES
)
"""Built-in formats of the East Asian editions that are dates and times; their exact form differs by language.

Source: ECMA-376 Part 1 (5th ed. 2016), 18.8.30, the tables for zh-tw, zh-cn, ja-jp and ko-kr.
"""


@dataclass(frozen=True, slots=True)
class CellFormat:
    """What one cell format says about its cells."""

    number_format: str = GENERAL
    struck: bool = False


PLAIN: Final = CellFormat()


def cell_formats(package: Package, part: str | None) -> list[CellFormat]:
    """The workbook's cell formats by index; none where it has no styles; raises DamagedWorkbook."""
    if part is None or package.find(part) is None:
        return []
    root = package.tree(part)
    codes = {
        _index(entry.get("numFmtId")): entry.get("formatCode") or GENERAL
        for entry in root.iterfind("./{*}numFmts/{*}numFmt")
    }
    struck = [_strikes(font) for font in root.iterfind("./{*}fonts/{*}font")]
    return [_cell_format(entry, codes, struck) for entry in root.iterfind("./{*}cellXfs/{*}xf")]


def _strikes(font: etree._Element) -> bool:
    strike = font.find("./{*}strike")
    return strike is not None and is_true(strike.get("val", "1"))


def _cell_format(entry: etree._Element, codes: dict[int, str], struck: list[bool]) -> CellFormat:
    number = _index(entry.get("numFmtId"))
    font = _index(entry.get("fontId"))
    code = codes.get(number) or BUILTIN_FORMATS.get(number) or EAST_ASIAN_FORMATS.get(number) or GENERAL
    return CellFormat(code, font < len(struck) and struck[font])


def _index(text: str | None) -> int:
    return int(text) if text is not None and text.isdecimal() and len(text) < 10 else 0
