"""The text that a cell shows, for programs that show what the file says and do not format values themselves."""

from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor

from sheetkit.graft.ods_codes import Piece, PieceKind, Section, Shape, sections_of

_SPELT = (PieceKind.LITERAL, PieceKind.CURRENCY)


@lru_cache(maxsize=50_000, typed=True)
def shown(value: str | float | bool | date, code: str) -> str:
    """The value under a format code of .xlsx; text keeps its line breaks.

    >>> shown(0.0625, "0.000"), shown(0.25, "0%"), shown(1.5, "# ?/?"), shown(date(2031, 3, 9), "d-mmm-yyyy")
    ('0.063', '25%', '1 1/2', '9-Mar-2031')
    """
    if isinstance(value, str):
        return value.replace("\r\n", "\n").replace("\r", "\n")
    if isinstance(value, bool):
        return str(value).upper()
    section, as_is = _section_for(value, code)
    if isinstance(value, date) or section.shape in {Shape.DATE, Shape.TIME}:
        by_halves = any(piece.kind is PieceKind.DATE and piece.text.startswith("a") for piece in section.pieces)
        return "".join(_date_piece(piece, _moment(value), by_halves=by_halves) for piece in section.pieces)
    if section.shape is Shape.GENERAL:
        return "".join(piece.text if piece.kind in _SPELT else _general(value) for piece in section.pieces)
    return _general(value) if section.shape is Shape.TEXT else _number(value if as_is else abs(value), section)


def _section_for(value: float | date, code: str) -> tuple[Section, bool]:
    """The section that shows the value, and whether it shows the sign itself."""
    sections = sections_of(code)
    if isinstance(value, date) or len(sections) == 1:
        return sections[0], True
    for section in sections[:-1]:
        if section.condition is not None and _meets(value, *section.condition):
            return section, True
    if sections[0].condition is not None:
        return sections[-1], True
    if value > 0 or (value == 0 and len(sections) == 2):
        return sections[0], True
    return (sections[1], False) if value < 0 else (sections[2], True)


def _meets(value: float, comparison: str, other: str) -> bool:
    """Whether the value meets a section's condition."""
    limit = float(other)
    return {
        "<": value < limit, ">": value > limit, "=": value == limit,
        "<=": value <= limit, ">=": value >= limit, "<>": value != limit,
    }[comparison]  # fmt: skip


def _general(value: float) -> str:
    """A number without a format; nought has no sign."""
    return f"{value:.10g}".replace("e", "E") if value % 1 else f"{value + 0.0:.0f}"


def _number(value: float, section: Section) -> str:
    """A number under one section."""
    digits, placed = section.digits, False
    sign = "-" if value < 0 else ""
    out = []
    for piece in section.pieces:
        if piece.kind is PieceKind.DIGITS:
            out += [] if placed else [_digits(abs(value), digits, section.shape)]
            placed = True
        elif piece.kind in _SPELT:
            out.append(piece.text)
    text = "".join(out)
    return sign + text if any(character in "123456789" for character in text) else text


def _digits(value: float, digits: str, shape: Shape) -> str:
    """The digits of a number that is not negative."""
    if shape is Shape.FRACTION:
        return _fraction(value, digits)
    exact = Decimal(repr(value)) * (100 if shape is Shape.PERCENT else 1)
    if shape is Shape.SCIENTIFIC:
        mantissa, _, exponent = f"{value:.{len(digits.partition('E')[0].partition('.')[2])}E}".partition("E")
        return f"{mantissa}E{int(exponent):+03d}"
    thousands = len(digits) - len(digits.rstrip(","))
    whole, _, decimals = digits.rstrip(",").partition(".")
    rounded = (exact / 1000**thousands).quantize(Decimal(1).scaleb(-len(decimals)), ROUND_HALF_UP)
    body, _, after = f"{rounded:f}".partition(".")
    least = decimals.count("0")
    after = after[:least] + after[least:].rstrip("0")
    body = body.lstrip("0").rjust(whole.count("0"), "0")
    if "," in whole and body:
        body = f"{int(body):,}".rjust(len(body), "0")
    return f"{body}.{after}" if after else body


def _fraction(value: float, digits: str) -> str:
    """A whole number and a fraction, or a fraction alone."""
    above, _, below = (part.strip() for part in digits.partition("/"))
    if below.strip("?#0"):
        scaled, denominator = floor(value * int(below) + 0.5), int(below)
    else:
        part = Fraction(value).limit_denominator(10 ** len(below) - 1)
        scaled, denominator = part.numerator, part.denominator
    if " " not in above:
        return f"{scaled}/{denominator}"
    whole, rest = divmod(scaled, denominator)
    if not rest:
        return str(whole)
    return f"{whole} {rest}/{denominator}" if whole or "0" in above.partition(" ")[0] else f"{rest}/{denominator}"


_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip
_DAY_ZERO = datetime(1899, 12, 30)  # noqa: DTZ001 # no zone is meant
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def _date_piece(piece: Piece, moment: datetime, *, by_halves: bool) -> str:
    """One piece of a date or a time of day; hours are counted by half days beside AM and PM."""
    if piece.kind is not PieceKind.DATE:
        return piece.text
    text = piece.text
    spelt = {"mmm": _MONTHS[moment.month - 1][:3], "ddd": _DAYS[moment.weekday()][:3],
             "mmmm": _MONTHS[moment.month - 1], "dddd": _DAYS[moment.weekday()],
             "yyyy": f"{moment.year:04d}", "yy": f"{moment.year % 100:02d}",
             "am/pm": "AM" if moment.hour < 12 else "PM", "a/p": "A" if moment.hour < 12 else "P"}  # fmt: skip
    if text in spelt:
        return spelt[text]
    hours = (moment - _DAY_ZERO).total_seconds() / 3600
    run_on = {"[h": int(hours), "[m": int(hours * 60), "[s": int(hours * 3600)}
    hour = (moment.hour + 11) % 12 + 1 if by_halves else moment.hour
    plain = {"m": moment.month, "d": moment.day, "h": hour, "n": moment.minute, "s": moment.second}
    number = run_on.get(text[:2], plain.get(text[0], moment.year))
    return f"{number:02d}" if len(text.strip("[]").partition(".")[0]) > 1 else str(number)


def _moment(value: float | date) -> datetime:
    """The moment that a date, or a count of days since day zero, means."""
    if isinstance(value, datetime):
        return value
    if isinstance(value, date):
        return datetime(value.year, value.month, value.day)  # noqa: DTZ001 # no zone is meant
    return _DAY_ZERO + timedelta(seconds=round(value * 86400))
