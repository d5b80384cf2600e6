"""What people write before and behind a value: about, ca., a question mark, a remark in brackets."""

import difflib
import re
from dataclasses import dataclass, replace

from sheetkit.units.text import folded
from sheetkit.units.words import Dimension, find_unit, unit_words


@dataclass(frozen=True, slots=True)
class Lead:
    """What stood before the value.

    Attributes:
        rest: the text from the value on
        doubtful: the value is marked as approximate
        because: why the text before it could be dropped
        remark: words to keep
    """

    rest: str
    doubtful: bool = False
    because: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """What stood behind the value.

    Attributes:
        words: the remark, kept
        doubtful: the value is marked as approximate or doubtful
        because: why it may be taken as a remark, where it does not stand in brackets
        refused: why the cell cannot be used at all
        nominal: marked as a nominal size
        holds_number: the remark holds a number itself
        aside: a remark in brackets that holds what may be another value
    """

    words: str = ""
    doubtful: bool = False
    because: str = ""
    refused: str = ""
    nominal: bool = False
    holds_number: bool = False
    aside: bool = False


_VALUE = re.compile(r"\d*[.,]\d+|\d\s*/\s*\d|\d\s*(?:in|mm|thou|mil|\")(?![a-z])", re.IGNORECASE)
_ABOUT = re.compile(
    r"(?:~|\?|(?:about|abt\.?|approx\.?|approximately|ca\.?|circa|c\.|around|roughly|maybe|perhaps|est\.?|nearly|"
    r"ungef(?:ä|ae)hr|etwa|env\.?|environ|almost|say|some)(?=[\s.\d~]))\s*",
    re.IGNORECASE,
)
_LABEL = re.compile(
    r"(?:t|thk|thick|thickness|l|len|length|w|wid|width|measured|actual|reading|=)\s*\.?\s*[:=]?\s*(?=[.\d'\"+-])",
    re.IGNORECASE,
)
_SIZE = re.compile(r"(scant|full|strong|heavy|light|shy|bare|fat)\s+(?=[.\d])", re.IGNORECASE)
_BOUND = re.compile(r"(?:<|>|≤|≥|max|min|under|over|less|more|up to|at least|at most)", re.IGNORECASE)
_DOUBT_WORDS = ("approx", "approximately", "about", "or so", "ish", "est", "estimated", "roughly", "maybe", "guess",
                "not sure", "unsure", "circa", "ca")  # fmt: skip
_TRADE_DOUBT = ("strong", "full", "heavy", "scant", "shy", "light", "bare", "plus", "minus", "+", "-", "fat")
_NO_LENGTH = frozenset(
    {
        "tenth", "tenths", "hundredth", "hundredths", "ga", "gauge", "gage", "sheet", "sheets", "pt", "pts", "point",
        "points", "line", "lines", "px", "pcs", "pc", "pieces", "ply", "plies", "layers", "or", "oder", "ou", "vs",
        "turn", "turns", "div", "divs", "division", "divisions", "max", "min", "minimum", "maximum", "kg", "g", "oz",
        "lb", "times", "x",
    }
)  # fmt: skip
_COUNTERS = frozenset(
    [
        "pc",
        "pcs",
        "piece",
        "pieces",
        "ea",
        "each",
        "layer",
        "layers",
        "ply",
        "plies",
        "slice",
        "slices",
        "off",
        "board",
        "boards",
        "x",
        "times",
        "st",
    ]
)
_SHORT_WORDS = ("ok", "no", "up", "at", "on", "hi", "lo", "so", "as", "is", "by", "if", "it", "my", "we", "to", "ea",
                "w", "nl", "nr", "fl", "fr", "id", "od", "nb", "re", "an", "ml")  # fmt: skip
_COUNTED = re.compile(
    r"\b(?:pass|row|board|slice|strip|note|no\.?|nr\.?|page|day|batch|blade|side|see|line|lot|step|run|sheet|end|try|"
    r"corner|place|point|spot|week|fig|photo)\.?\s*#?\s*\d+|#\s*\d+",
    re.IGNORECASE,
)


def strip_lead(text: str) -> Lead:
    """Take off what may stand before a value: an apostrophe, an equals sign, "about", quotes around it."""
    lead = _unwrapped(text)
    lead = _without_doubt(lead)
    label = _LABEL.match(lead.rest)
    if label:
        because = lead.because or "the words before it name the value"
        remark = label[0].strip(" =:") or lead.remark
        lead = replace(lead, rest=lead.rest[label.end() :], because=because, remark=remark)
    bracketed = re.fullmatch(r"[(\[]\s*([^()\[\]]*\d[^()\[\]]*)[)\]]", lead.rest)
    if bracketed:
        lead = replace(lead, rest=bracketed[1].strip(), because="the brackets around it are dropped")
    lead = _without_doubt(lead)
    return replace(lead, rest=re.sub(r"^(?:±|\+\s*/\s*-|\+-)\s*(?=[\d.,])", "", lead.rest))


def _unwrapped(text: str) -> Lead:
    because = ""
    quoted = re.fullmatch(r"\"\s*([^\"]*\d)\s*\"", text)
    if quoted:
        text, because = quoted[1], "the quotes around it are dropped"
    stray = re.fullmatch(r"(\d*)\s*\.\s*(\d+)", text)
    if stray and " " in text:
        text, because = f"{stray[1]}.{stray[2]}", "the space beside the point is dropped"
    if re.match(r"'\s*[\d.,+-]", text):
        text = text[1:].lstrip()
    if text.startswith("="):
        text, because = text.lstrip("= "), "it is typed as text with an equals sign before it"
    return Lead(text, because=because)


def _without_doubt(lead: Lead) -> Lead:
    while match := _ABOUT.match(lead.rest):
        lead = replace(lead, rest=lead.rest[match.end() :], doubtful=True)
    size = _SIZE.match(lead.rest)
    return replace(lead, rest=lead.rest[size.end() :], doubtful=True, remark=size[1].lower()) if size else lead


def is_limit(text: str) -> bool:
    """Whether a text says no more than that something is less or more than a number."""
    return _BOUND.match(text) is not None


def read_remark(text: str, *, attached: str, dimension: Dimension) -> Remark:
    """Judge what stands behind a value.

    Args:
        text: from the end of the value on
        attached: its first character, a space where a space follows the value
        dimension: what the value measures
    """
    words = text.strip()
    if not words:
        return Remark()
    if words in {"?", "??", "(?)", "[?]"}:
        return Remark(doubtful=True)
    if re.fullmatch(r"[*!#.,;:†‡]+", words):
        return Remark(words.strip(".,;:"), doubtful=bool(words.strip(".,;:")))
    bracketed = re.fullmatch(r"(\?*)\s*[(\[{]\s*(.*?)\s*[)\]}]*\s*(\?*)", words)
    if bracketed:
        inside = bracketed[2].strip("()[]{} ")
        return Remark(
            inside, "?" in words, holds_number=bool(re.search(r"\d", inside)), aside=bool(_VALUE.search(inside))
        )
    doubtful = "?" in words or words.endswith(("ish",))
    return _bare_remark(words.lstrip(",;:.!*# ").strip() or words, attached, dimension, doubtful=doubtful)


def _bare_remark(words: str, attached: str, dimension: Dimension, *, doubtful: bool) -> Remark:
    plain = folded(words).strip(" ?.!,;:")
    if plain in _TRADE_DOUBT or plain in _DOUBT_WORDS or not plain:
        return Remark(words.strip("? "), doubtful=True)
    first = re.split(r"[\s,;:.()/-]+", plain, maxsplit=1)[0]
    refused = _why_refused(first, plain, attached, dimension)
    if refused:
        return Remark(refused=refused)
    doubtful = doubtful or first in _TRADE_DOUBT or first in _DOUBT_WORDS
    counted = dimension is Dimension.NUMBER and first in _COUNTERS
    because = "" if counted else "the words behind it are no unit and are kept as a remark"
    nominal = bool(re.match(r"nom(?:inal)?\b", plain))
    return Remark(words, doubtful, because, nominal=nominal, holds_number=bool(re.search(r"\d", words)))


def _why_refused(first: str, plain: str, attached: str, dimension: Dimension) -> str:
    if re.search(r"\d", _COUNTED.sub("", plain)):
        return "more than one number"
    if dimension is Dimension.NUMBER:
        return ""
    if first in _NO_LENGTH or (find_unit(first) and find_unit(first, dimension) is None):
        return f"{first} is no unit of {dimension.value}"
    short = len(first) <= 2 and first not in _SHORT_WORDS and first.isalpha()
    if short or attached.isalpha() or attached in "_*^%$=<>°":
        return f"{first or attached} is no unit"
    known = [word for word in unit_words() if len(word) > 3 and find_unit(word, dimension)]
    if difflib.get_close_matches(first, known, n=1, cutoff=0.78):
        return f"{first} is no unit that is known"
    return ""
