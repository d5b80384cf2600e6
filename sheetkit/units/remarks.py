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
    r"ungef(?:ä|ae)hr|etwa|zirka|rund|rd\.?|env\.?|environ|vers|almost|say|some)(?=[\s.\d~]))\s*",
    re.IGNORECASE,
)
_LABEL = re.compile(
    r"(?:t|thk|thick|thickness|l|len|length|w|wid|width|measured|actual|reading|=)\s*(?:\.(?!\d))?\s*[:=]?\s*(?=[.\d'\"+-])"
    r"|(?:(?:1|one|a|each|per)\s+)?[^\W\d]+(?:\s[^\W\d]+){0,3}\s*[:=]\s*(?=[.,]?\d)",
    re.IGNORECASE,
)
_LEADING_ASIDE = re.compile(r"[(\[]\s*([^\W\d][^()\[\]\d]*?)\s*[)\]]\s*(?=[.,]?\d)")
_LEADING_WORDS = re.compile(r"[^\W\d]+\.?(?:\s[^\W\d]+\.?){0,2}[,;]?\s+(?=[.,]?\d)")
_TELLING = frozenset([
    "not", "no", "set", "nicht", "kein", "pas", "was", "war", "minus", "plus", "less", "more", "under", "over", "above",
    "below", "than", "max", "min", "maximum", "minimum", "except", "half", "halb", "quarter", "third", "two",
    "three", "four", "five", "six", "seven", "eight", "nine", "ten", "twelve", "one", "double", "twice", "dozen",
    "pair", "between", "from", "zwischen", "von", "entre", "de", "to", "up", "at", "least", "most", "by", "each",
    "per", "x", "times", "pcs", "pieces", "layers", "sheets", "shy", "short", "just", "hair", "off", "missing",
    "needs", "add", "cut", "should", "target", "wanted", "want", "or", "and", "und", "oder", "et", "ou", "if",
    "like"
])  # fmt: skip
"""Words that change what the number behind them says; it is not to be used without asking."""
_MARKS = re.compile(
    r"(?:s[1-4]s(?:[12]e)?|d4s|par|slr1e|r1e|rgh|rough|kd|ad|fas|rw|rwl|rl|hm|h&m|sel|com|sawn)\b[.,]?", re.IGNORECASE
)
"""What timber yards write behind a size: how it was surfaced, dried and graded (common practice, no source)."""
_SIZE = re.compile(r"(scant|full|strong|heavy|light|shy|bare|fat)\s+(?=[.\d])", re.IGNORECASE)
_BOUND = re.compile(r"(?:<|>|≤|≥|max|min|under|over|less|more|up to|at least|at most)", re.IGNORECASE)
_DOUBT_WORDS = ("approx", "approximately", "about", "or so", "ish", "est", "estimated", "roughly", "maybe", "guess",
                "not sure", "unsure", "circa", "ca")  # fmt: skip
_TRADE_DOUBT = ("strong", "full", "heavy", "scant", "shy", "light", "bare", "plus", "minus", "+", "-", "fat")
_NO_LENGTH = frozenset(
    {
        "tenth", "tenths", "hundredth", "hundredths", "ga", "gauge", "gage", "sheet", "sheets", "pt", "pts", "point",
        "points", "line", "lines", "px", "pcs", "pc", "pieces", "ply", "plies", "layers", "or", "oder", "ou", "vs",
        "half", "halves", "quarter", "quarters", "third", "thirds",
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
    r"corner|place|point|spot|week|fig|photo)\.?\s*#?\s*\d+|#\s*\d+|\b(?:mean|avg|average|median) of \d+|"
    r"\bs[1-4]s(?:[12]e)?\b|\bd4s\b|\br1e\b",
    re.IGNORECASE,
)


def strip_lead(text: str) -> Lead:
    """Take off what may stand before a value: an apostrophe, an equals sign, "about", quotes around it."""
    lead = _without_doubt(_unwrapped(text))
    aside = _LEADING_ASIDE.match(lead.rest)
    if aside:
        lead = replace(
            lead, rest=lead.rest[aside.end() :], remark=aside[1], because="the words before it are kept as a remark"
        )
    label = _LABEL.match(lead.rest)
    if label:
        because = lead.because or "the words before it name the value"
        remark = label[0].strip(" =:") or lead.remark
        lead = replace(lead, rest=lead.rest[label.end() :], because=because, remark=remark)
    bracketed = re.fullmatch(r"[(\[]\s*([^()\[\]]*\d[^()\[\]]*)[)\]]", lead.rest)
    if bracketed:
        lead = replace(lead, rest=bracketed[1].strip(), because="the brackets around it are dropped")
    lead = _without_words(_without_doubt(lead))
    either_way = re.match(r"(?:±|\+\s*/\s*-|\+-)\s*(?=[\d.,])", lead.rest)
    return replace(lead, rest=lead.rest[either_way.end() :], doubtful=True) if either_way else lead


def _without_words(lead: Lead) -> Lead:
    """Keep words before the value as a remark, unless they may change what it says."""
    words = _LEADING_WORDS.match(lead.rest)
    if words is None:
        return lead
    each = [folded(word).strip(" .,;") for word in words[0].split()]
    telling = any(word in _TELLING or word in _NO_LENGTH or find_unit(word) for word in each)
    if telling or re.search(r"\d\D*[^\W\d]+\D*\d", lead.rest[words.end() :]):
        return lead
    because = lead.because or "the words before it are kept as a remark"
    remark = "; ".join(part for part in (lead.remark, words[0].strip(" ,;")) if part)
    return replace(lead, rest=lead.rest[words.end() :], because=because, remark=remark)


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


def read_remark(text: str, *, attached: str, dimension: Dimension, own_unit: bool = False) -> Remark:
    """Judge what stands behind a value.

    Args:
        text: from the end of the value on
        attached: its first character, a space where a space follows the value
        dimension: what the value measures
        own_unit: the value has its unit beside it
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
    if re.fullmatch(r"\"[^\"]+\"", words) and attached == " ":
        return Remark(words.strip('" '), because="the words in quotes are kept as a remark")
    doubtful = "?" in words or words.endswith(("ish",))
    bare = re.sub(r"^(?:[,;:.!* ]|#(?!\s*\d))+", "", words).strip()
    return _bare_remark(bare or words, attached, dimension, doubtful=doubtful, own_unit=own_unit)


def _bare_remark(words: str, attached: str, dimension: Dimension, *, doubtful: bool, own_unit: bool) -> Remark:
    plain = folded(words).strip(" ?.!,;:")
    if plain in _TRADE_DOUBT or plain in _DOUBT_WORDS or not plain:
        return Remark(words.strip("? "), doubtful=True)
    first = re.split(r"[\s,;:.()/-]+", plain, maxsplit=1)[0]
    refused = _why_refused(first, plain, attached, dimension, own_unit=own_unit)
    if refused:
        return Remark(refused=refused)
    doubtful = doubtful or first in _TRADE_DOUBT or first in _DOUBT_WORDS
    counted = dimension is Dimension.NUMBER and first in _COUNTERS
    because = "" if counted else "the words behind it are no unit and are kept as a remark"
    nominal = bool(re.match(r"nom(?:inal)?\b", plain))
    return Remark(
        words, doubtful, because, nominal=nominal, holds_number=bool(re.search(r"\d", _COUNTED.sub("", plain)))
    )


_NEEDS_UNIT = frozenset(
    {Dimension.DURATION, Dimension.TEMPERATURE, Dimension.FORCE, Dimension.PRESSURE, Dimension.SPREAD, Dimension.SPEED}
)
"""Where many units are usual, a word behind a bare number is more likely one of them than a remark."""
_SIDES = frozenset(["l", "w", "t", "h"])


def _why_refused(first: str, plain: str, attached: str, dimension: Dimension, *, own_unit: bool) -> str:
    if re.search(r"\d", _COUNTED.sub("", plain)):
        return "more than one number"
    if dimension is Dimension.NUMBER or _MARKS.match(plain):
        return ""
    if dimension is Dimension.MONEY and re.match(r"\W{0,3}/|\W*(?:per|pro)\b", plain):
        return "a price for a part, not for the whole"
    if own_unit and (plain in _SIDES or dimension is Dimension.PERCENT):
        return ""
    return _why_no_unit(first, attached, dimension, own_unit=own_unit)


def _why_no_unit(first: str, attached: str, dimension: Dimension, *, own_unit: bool) -> str:
    """Why the first word behind a value may be a unit that is not understood, "" where it is a plain remark."""
    other = find_unit(first) is not None and find_unit(first, dimension) is None
    if first in _NO_LENGTH or other:
        return f"{first} is no unit of {dimension.value}"
    if dimension in _NEEDS_UNIT and not own_unit and first.isalpha():
        return f"{first} is no unit that is known"
    short = len(first) <= 2 and first not in _SHORT_WORDS and first.isalpha()
    if short or attached.isalpha() or attached in "_*^%$=<>°":
        return f"{first or attached} is no unit"
    known = [word for word in unit_words() if len(word) > 3 and find_unit(word, dimension)]
    near = difflib.get_close_matches(first, known, n=1, cutoff=0.78)
    return f"{first} is no unit that is known" if near else ""
