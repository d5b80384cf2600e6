"""Number formats of .ods, written in the notation of .xlsx."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final

from sheetkit.reading.ods_names import number

GENERAL: Final = "General"

_BARE: Final = frozenset(" -/:%")
_PLAIN_CONDITIONS: Final = ([">=0"], [">0", "<0"], [">0", "<0", "=0"])
_LONG: Final = "long"
_MOST_DIGITS: Final = 30

Attributes = Mapping[str, str]


@dataclass(slots=True)
class NumberStyle:
    """One number style as its elements give it.

    Attributes:
        name: its name
        pieces: format codes of its elements, in order
        conditions: what choose another style: condition without "value()", and that style's name
        elapsed: hours, or the first unit given, count on beyond their usual end
    """

    name: str
    pieces: list[str] = field(default_factory=list)
    conditions: list[tuple[str, str]] = field(default_factory=list)
    elapsed: bool = False

    def add(self, tag: str, attributes: Attributes) -> None:
        """Take one element; those that bring their own text follow by `add_text`."""
        code = _CODES.get(tag)
        if code is None:
            return
        piece = code(attributes)
        if self.elapsed and tag in _CLOCK_UNITS and not any("[" in known for known in self.pieces):
            piece = f"[{piece}]"
        self.pieces.append(piece)

    def add_text(self, tag: str, content: str) -> None:
        """Take the text of a literal, a currency sign, or a character that fills the width."""
        if tag == CURRENCY_SYMBOL:
            self.pieces.append(f"[${content}]")
        elif tag == FILL_CHARACTER:
            self.pieces.append(f"*{content[:1] or ' '}")
        else:
            self.pieces.append(_literal(content))


LITERAL: Final = number("text")
CURRENCY_SYMBOL: Final = number("currency-symbol")
FILL_CHARACTER: Final = number("fill-character")
TEXT_ELEMENTS: Final = (LITERAL, CURRENCY_SYMBOL, FILL_CHARACTER)


def format_code(style: NumberStyle, others: Mapping[str, NumberStyle]) -> str:
    """The code of a style, with the styles that its conditions choose as further sections."""
    own = "".join(style.pieces) or GENERAL
    chosen = [(condition, others[name]) for condition, name in style.conditions if name in others]
    if not chosen:
        return own
    sections = ["".join(other.pieces) or GENERAL for _, other in chosen]
    if [condition for condition, _ in chosen] not in _PLAIN_CONDITIONS:
        sections = [f"[{condition}]{code}" for (condition, _), code in zip(chosen, sections, strict=True)]
    return ";".join([*sections, own])


def _digits(attributes: Attributes, name: str, default: int) -> int:
    text = attributes.get(number(name), "")
    return min(int(text), _MOST_DIGITS) if text.isdecimal() and len(text) < 6 else default


def _whole(attributes: Attributes, default: int = 1) -> str:
    least = _digits(attributes, "min-integer-digits", default)
    zeros = "0" * least or "#"
    return f"#,{zeros.rjust(3, '#')}" if attributes.get(number("grouping")) == "true" else zeros


def _decimals(attributes: Attributes) -> str:
    most = _digits(attributes, "decimal-places", 0)
    least = min(most, _digits(attributes, "min-decimal-places", most))
    return f".{'0' * least}{'#' * (most - least)}" if most else ""


def _number(attributes: Attributes) -> str:
    if number("decimal-places") not in attributes:
        return GENERAL
    return _whole(attributes) + _decimals(attributes)


def _scientific(attributes: Attributes) -> str:
    return f"{_whole(attributes)}{_decimals(attributes)}E+{'0' * _digits(attributes, 'min-exponent-digits', 2)}"


def _fraction(attributes: Attributes) -> str:
    numerator = "?" * max(1, _digits(attributes, "min-numerator-digits", 1))
    fixed = _digits_of(attributes.get(number("denominator-value")))
    denominator = fixed or "?" * max(1, _digits(attributes, "min-denominator-digits", 1))
    whole = f"{_whole(attributes)} " if number("min-integer-digits") in attributes else ""
    return f"{whole}{numerator}/{denominator}"


def _digits_of(text: str | None) -> str:
    return text if text is not None and text.isdecimal() and len(text) < 6 else ""


def _unit(short: str, long: str) -> Callable[[Attributes], str]:
    return lambda attributes: long if attributes.get(number("style")) == _LONG else short


def _month(attributes: Attributes) -> str:
    is_long = attributes.get(number("style")) == _LONG
    if attributes.get(number("textual")) == "true":
        return "mmmm" if is_long else "mmm"
    return "mm" if is_long else "m"


def _seconds(attributes: Attributes) -> str:
    places = _digits(attributes, "decimal-places", 0)
    whole = "ss" if attributes.get(number("style")) == _LONG else "s"
    return f"{whole}.{'0' * places}" if places else whole


def _literal(text: str) -> str:
    if all(letter in _BARE for letter in text):
        return text
    return '"' + text.replace('"', '""') + '"' if '"' not in text else "".join("\\" + letter for letter in text)


_CLOCK_UNITS: Final = {number("hours"), number("minutes"), number("seconds")}
_CODES: Final[dict[str, Callable[[Attributes], str]]] = {
    number("number"): _number,
    number("scientific-number"): _scientific,
    number("fraction"): _fraction,
    number("day"): _unit("d", "dd"),
    number("day-of-week"): _unit("ddd", "dddd"),
    number("month"): _month,
    number("year"): _unit("yy", "yyyy"),
    number("hours"): _unit("h", "hh"),
    number("minutes"): _unit("m", "mm"),
    number("seconds"): _seconds,
    number("am-pm"): lambda _: "AM/PM",
    number("text-content"): lambda _: "@",
}
