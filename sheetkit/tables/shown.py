"""What a cell shows on screen, for messages and for telling what is shown from what is stored."""

import math
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from functools import lru_cache

from sheetkit.reading.model import Cell, CellValue, Kind
from sheetkit.units import Dimension, Unit, find_unit, plain_text

_LITERAL = re.compile(r'"([^"]*)"|\\(.)|_(.)|\*(.)|\[\$([^\]-]*)[^\]]*\]|\[[^\]]*\]')
_PLACEHOLDER = 0xF0000
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
_LONG_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
_DATE_PARTS = re.compile(r"yyyy|yy|mmmmm|mmmm|mmm|mm|m|dddd|ddd|dd|d|hh|h|ss|s|am/pm", re.IGNORECASE)


def shown(cell: Cell) -> str:
    """The cell's text as the maker sees it, as nearly as the number format tells."""
    if cell.shown is not None and cell.kind is not Kind.TEXT:
        return cell.shown.strip()
    if cell.kind is Kind.NO_RESULT:
        return cell.formula or "a formula without a result"
    return _shown_value(cell.value, cell.number_format)


def _shown_value(value: CellValue, number_format: str) -> str:
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, datetime):
        return _shown_date(value, number_format)
    if isinstance(value, timedelta):
        return _shown_duration(value, number_format)
    if isinstance(value, float | int):
        return shown_number(float(value), number_format)
    return value or ""


def quoted(cell: Cell) -> str:
    """The cell as a message names it: text in quotes, all else as shown."""
    text = re.sub(r"\s*[\r\n]\s*", " ", shown(cell))
    if len(text) > 60:
        text = text[:57] + "..."
    return f'"{text.strip()}"' if cell.kind is Kind.TEXT else text


@dataclass(frozen=True, slots=True)
class _Pattern:
    """One section of a number format: the digits' pattern, and the literal texts before and behind it."""

    before: str
    digits: str
    behind: str


@lru_cache(maxsize=5000)
def _pattern(number_format: str, negative: bool = False) -> _Pattern:
    sections = number_format.split(";")
    section = sections[1] if negative and len(sections) > 1 and sections[1] else sections[0]
    literals: list[str] = []

    def keep(match: re.Match[str]) -> str:
        literals.append(match[1] or match[2] or match[5] or "")
        return chr(_PLACEHOLDER + len(literals) - 1)

    bare = _LITERAL.sub(keep, section)
    match = re.search(r"[0#?.,][0#?.,/ \dE+-]*%?|General", bare)
    if match is None:
        return _Pattern("", "General", "")

    def restored(text: str) -> str:
        return "".join(
            literals[ord(character) - _PLACEHOLDER] if ord(character) >= _PLACEHOLDER else character
            for character in text
        )

    return _Pattern(restored(bare[: match.start()]), match[0].strip(), restored(bare[match.end() :]))


def shown_number(value: float, number_format: str) -> str:
    """A number as its format shows it."""
    if not math.isfinite(value):
        return str(value)
    pattern = _pattern(number_format, negative=value < 0)
    body = _shown_digits(abs(value), pattern.digits)
    own_sign = value < 0 and len(number_format.split(";")) > 1
    minus = "-" if value < 0 and not own_sign else ""
    return f"{minus}{pattern.before}{body}{pattern.behind}".strip()


def _shown_digits(value: float, digits: str) -> str:
    if digits == "General":
        return f"{value:.10g}" if value < 1e11 else f"{value:.5E}"
    if "%" in digits:
        return _shown_digits(value * 100, digits.replace("%", "")) + "%"
    if "/" in digits:
        return _shown_fraction(value, digits)
    if "E" in digits.upper():
        decimals = len(re.sub(r"[^0#?]", "", digits.upper().split("E")[0].partition(".")[2]))
        mantissa, _, exponent = f"{value:.{decimals}E}".partition("E")
        return f"{mantissa}E{exponent}"
    whole, _, places = digits.partition(".")
    least, most = places.count("0"), len(re.sub(r"[^0#?]", "", places))
    text = f"{value:.{most}f}"
    if most > least:
        kept = text.rstrip("0")
        text = text[: max(len(kept), len(text) - (most - least))].rstrip(".")
    head, point, tail = text.partition(".")
    head = head.zfill(whole.count("0"))
    return (f"{int(head):,}" if "," in whole and whole.count("0") < 2 else head) + point + tail


def _shown_fraction(value: float, digits: str) -> str:
    over, under = digits.split("/")
    fixed = re.fullmatch(r"\s*(\d*[1-9]\d*)\s*", under)
    exact = Fraction(value)
    parts = int(fixed[1]) if fixed else 0
    nearest = Fraction(round(exact * parts), parts) if parts else exact.limit_denominator(10 ** len(under.strip()) - 1)
    whole, rest = divmod(nearest, 1) if " " in over.strip() else (0, nearest)
    if not rest:
        return str(whole)
    over_under = f"{rest * parts}/{parts}" if parts else f"{rest.numerator}/{rest.denominator}"
    return f"{whole} {over_under}" if whole else over_under


def number_as_shown(value: float, number_format: str) -> float | None:
    """The number that the format lets the maker see; None where it shows no plain number."""
    digits = _pattern(number_format).digits
    if digits == "General" or "E" in digits.upper():
        return None
    text = _shown_digits(abs(value), digits.replace(",", ""))
    share = 0.01 if text.endswith("%") else 1.0
    try:
        number = float(sum(Fraction(part) for part in text.rstrip("%").split())) * share
    except ValueError:
        return None
    return -number if value < 0 else number


def is_percent_format(number_format: str) -> bool:
    """The format shows a share as per cent."""
    return "%" in _LITERAL.sub("", number_format.split(";", maxsplit=1)[0])


def currency_of(number_format: str) -> str:
    """The currency sign that the format shows, "" for none."""
    section = number_format.split(";", maxsplit=1)[0]
    tagged = re.search(r"\[\$([^\]-]+)", section)
    signs = re.search(r"[$€£¥]", section if tagged is None else "")
    return tagged[1] if tagged else (signs[0] if signs else "")


def unit_of_format(number_format: str, dimension: Dimension) -> Unit | None:
    """The unit that the format writes behind every number, such as 0.000" in"."""
    behind = plain_text(_pattern(number_format).behind).strip("() ")
    return find_unit(behind, dimension) if behind and behind != "%" else None


def _shown_date(moment: datetime, number_format: str) -> str:
    codes = _LITERAL.sub(lambda match: match[1] or match[2] or "", number_format.split(";", maxsplit=1)[0])
    if not re.search(r"[dmy]", codes, re.IGNORECASE):
        codes = "yyyy-mm-dd"
    if codes == "mm-dd-yy":
        codes = "yyyy-mm-dd"
    seen_hour = False

    def part(match: re.Match[str]) -> str:
        nonlocal seen_hour
        code = match[0].lower()
        after_hour = seen_hour and code in {"m", "mm"}
        seen_hour = code.startswith("h") or (seen_hour and code not in {"d", "dd", "yyyy", "yy"})
        return _date_part(moment, "minute" if after_hour else code)

    return _DATE_PARTS.sub(part, codes)


def _date_part(moment: datetime, code: str) -> str:
    parts: dict[str, str] = {
        "yyyy": f"{moment.year:04d}",
        "yy": f"{moment.year % 100:02d}",
        "mmmm": _LONG_MONTHS[moment.month - 1],
        "mmm": _MONTHS[moment.month - 1],
        "mm": f"{moment.month:02d}",
        "m": str(moment.month),
        "dd": f"{moment.day:02d}",
        "d": str(moment.day),
        "hh": f"{moment.hour:02d}",
        "h": str(moment.hour),
        "minute": f"{moment.minute:02d}",
        "ss": f"{moment.second:02d}",
        "s": str(moment.second),
    }
    return parts.get(code, "")


def _shown_duration(value: timedelta, number_format: str) -> str:
    seconds = round(abs(value.total_seconds()))
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    sign = "-" if value < timedelta(0) else ""
    codes = number_format.lower()
    if "h" not in codes and "m" in codes:
        return f"{sign}{minutes}:{second:02d}"
    return f"{sign}{hours}:{minute:02d}" + (f":{second:02d}" if second or "s" in codes else "")
