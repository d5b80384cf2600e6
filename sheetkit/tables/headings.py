"""What a heading means: which column of the schema it names, and which unit it carries."""

import difflib
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.schema import INPUT_SHEETS, SheetSpec
from sheetkit.units import Dimension, Unit, find_unit, folded, plain_text

DIMENSION = {
    Kind.LENGTH: Dimension.LENGTH,
    Kind.THICKNESS: Dimension.LENGTH,
    Kind.STOCK_THICKNESS: Dimension.LENGTH,
    Kind.ANGLE: Dimension.ANGLE,
    Kind.PERCENT: Dimension.PERCENT,
    Kind.COUNT: Dimension.NUMBER,
    Kind.NUMBER: Dimension.NUMBER,
    Kind.MONEY: Dimension.MONEY,
    Kind.DURATION: Dimension.DURATION,
    Kind.TEMPERATURE: Dimension.TEMPERATURE,
    Kind.FORCE: Dimension.FORCE,
    Kind.PRESSURE: Dimension.PRESSURE,
    Kind.SPREAD: Dimension.SPREAD,
    Kind.SPEED: Dimension.SPEED,
}
"""What each kind of column that holds quantities measures."""

NUMBERED = "readings_mm"
"""The one field that several columns may feed."""

LONGEST_HEADING = 200
"""Characters beyond which some words name no column."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading taken apart.

    Attributes:
        text: as it stands, spaces and line breaks made plain
        name: its words without the unit, folded for comparing
        unit: the unit it carries, None for none
        odd_unit: words in brackets that may be meant as a unit but are none
        with_unit: the name with the unit that stands behind it without brackets, folded
        before_unit: the words before a unit in brackets, folded, where others stand behind it
    """

    text: str
    name: str
    unit: Unit | None = None
    odd_unit: str = ""
    before_unit: str = ""
    with_unit: str = ""


@dataclass(frozen=True, slots=True)
class Match:
    """A column of the schema that a heading names.

    Attributes:
        column: the column
        rank: 0 for the template's own heading, 1 for a synonym, 2 with words left aside, 3 for a likely misspelling
    """

    column: Column
    rank: int


_BRACKETS = re.compile(r"[(\[{<]\s*([^()\[\]{}<>]*?)\s*[)\]}>]")
_BEHIND = re.compile(r"^(.*\S)\s*(?:[,:;/|]|\s-)\s*([^,:;/|]+?)\.?$|^(.*\S)\s+(\S+(?: (?:inch|inches|mm))?)$")
_PART = re.compile(r"^(?:x\s*|in\s+)?(?:(1)\s*/\s*([1-9]\d{0,5})|(\d{0,6}\.\d{1,12}))\s*(?:of an?\s+)?(\S+?)s?$")
_OF = re.compile(r"^(\S+)\s*/\s*(10+|64|32|16)$")


def unit_phrase(words: str) -> Unit | None:
    """The unit that some words name: "mm", "in inches", "0.001 in", "1/64 in", "in/1000"; None where they name none."""
    plain = folded(words).strip(" .")
    plain = re.sub(
        r"^(?:all |values |measured |given )?in (?=\S)|\b(?:only|decimal|dec|of an inch)\b", "", plain
    ).strip()
    unit = find_unit(plain)
    if unit is not None:
        return unit
    part = _PART.match(plain)
    base = find_unit(part[4]) if part else None
    if part and base and base.factor:
        share = Fraction(1, int(part[2])) if part[1] else Fraction(part[3])
        return _share_of(base, share, plain)
    over = _OF.match(plain)
    base = find_unit(over[1]) if over else None
    return _share_of(base, Fraction(1, int(over[2])), plain) if over and base and base.factor else None


def _share_of(base: Unit, share: Fraction, label: str) -> Unit | None:
    if not share or base.factor is None:
        return None
    if base.label == "in" and share == Fraction(1, 1000):
        return find_unit("thou")
    return Unit(label, base.dimension, base.factor * share)


@lru_cache(maxsize=20000)
def read_heading(text: str) -> Heading:
    """Take a heading apart into its name and its unit.

    >>> heading = read_heading(" Thickness  (in) ")
    >>> heading.name, heading.unit.label
    ('thickness', 'in')
    """
    plain = plain_text(text.replace("_", " "))
    unit, odd, kept, before = None, "", plain, ""
    for match in _BRACKETS.finditer(plain):
        pieces = re.split(r"\s*[,;]\s*", match[1])
        found = next((unit_phrase(piece) for piece in pieces if unit_phrase(piece)), None)
        before = before or (plain[: match.start()] if found and plain[match.end() :].strip() else "")
        unit = unit or found
        odd = odd if found else match[1]
        kept = kept.replace(match[0], " " if found else f" {match[1]} ", 1)
    whole = kept
    if unit is None:
        kept, unit = _unit_behind(kept)
    return Heading(plain, bare_name(kept), unit, odd, bare_name(before), bare_name(whole) if kept != whole else "")


def _unit_behind(text: str) -> tuple[str, Unit | None]:
    marked = re.fullmatch(r"(.*\w)\s*\"", text)
    if marked:
        return marked[1], unit_phrase('"')
    match = _BEHIND.match(text)
    if match is None:
        return text, None
    name, words = (match[1], match[2]) if match[1] else (match[3], match[4])
    unit = unit_phrase(words)
    if unit is None or (len(words) == 1 and words.isalpha()):
        return text, None
    return re.sub(r"\s+in$", "", name) if re.search(r"\s+in$", name) else name, unit


def bare_name(text: str) -> str:
    """Words folded and without punctuation, for comparing."""
    plain = folded(text).replace("+/-", "±").replace("+-", "±").replace("%", " % ").replace("#", " # ")
    return " ".join(re.sub(r"[^\w±%#]+|_", " ", plain).split())


_SAY_NOTHING = frozenset(
    [
        "actual",
        "measured",
        "real",
        "the",
        "of",
        "a",
        "an",
        "your",
        "my",
        "our",
        "this",
        "as",
        "approx",
        "rough",
        "±",
        "each",
        "value",
        "no",
        "nr",
        "number",
        "name",
        "id",
        "#",
        "code",
        "label",
        "is",
        "was",
    ]
)
_ENGLISH = {
    "dicke": "thickness", "starke": "thickness", "holzdicke": "thickness", "epaisseur": "thickness", "ep": "thickness",
    "lange": "length", "longueur": "length", "long": "length", "breite": "width", "largeur": "width", "larg": "width",
    "holzart": "species", "holz": "species", "essence": "species", "bois": "species", "brett": "board",
    "bohle": "board", "planche": "board", "plateau": "board", "feuchte": "moisture", "holzfeuchte": "moisture",
    "humidite": "moisture", "preis": "price", "prix": "price", "bemerkung": "note", "bemerkungen": "note",
    "notiz": "note", "notizen": "note", "remarque": "note", "remarques": "note", "anzahl": "quantity",
    "stuck": "quantity", "menge": "quantity", "nombre": "quantity", "quantite": "quantity", "toleranz": "tolerance",
    "messung": "reading", "messwert": "reading", "istmass": "reading", "mesure": "reading", "lecture": "reading",
    "platte": "panel", "panneau": "panel", "lamelle": "slice", "furnier": "slice", "tranche": "slice",
    "thk": "thickness", "thick": "thickness", "act": "actual", "meas": "reading", "rdg": "reading",
    "links": "left", "rechts": "right", "mitte": "middle", "gauche": "left", "droite": "right", "milieu": "middle",
    "einheit": "unit", "einheiten": "unit", "unite": "unit", "unites": "unit",
}  # fmt: skip
"""Headings in German and French, accents folded away, and what they are here."""
_SPOTS = frozenset(
    f"{spot}{part}"
    for spot in ("left", "right", "near", "far", "front", "back", "top", "bottom", "corner", "spot", "point", "place")
    for part in ("", " end", " edge", " side")
)
"""Where on a slice a reading was taken, as people head its column."""
_OWN_NOUNS = {
    "Stock": "board stock wood piece plank",
    "Panels": "panel finished",
    "Targets": "layer target slice finished wanted",
    "Measurements": "slice strip measured",
    "Repeats": "slice strip measured",
    "Handles": "handle piece scale finished",
    "Bowls": "bowl piece finished",
    "Species": "species wood",
    "Job": "job",
    "Shop": "shop saw",
}


@cache
def _names(spec_name: str) -> dict[str, tuple[Column, int]]:
    spec = next(spec for spec in INPUT_SHEETS if spec.name == spec_name)
    names: dict[str, tuple[Column, int]] = {}
    for rank in (0, 1):
        for column in spec.columns:
            for words in (column.heading,) if rank == 0 else column.synonyms:
                names.setdefault(bare_name(words), (column, rank))
    for words, (column, _) in list(names.items()):
        names.setdefault(_sorted_words(words), (column, 2))
    return names


def _sorted_words(words: str) -> str:
    """The words in one order, so that "Left, near" is "Near left"."""
    return "~" + " ".join(sorted(words.split()))


def match_heading(heading: Heading, spec: SheetSpec) -> Match | None:
    """The column of a sheet that a heading names, or None."""
    match = match_name(heading.name, spec) if heading.name else None
    if match is not None and heading.with_unit and not _can_be_in(match.column, heading.unit):
        # "Thickness min" is no thickness in minutes, "Board ft" no board in feet.
        return match_name(heading.with_unit, spec)
    if match is not None and heading.unit is None and _is_mere_number(heading.name):
        return None
    if match is not None or not heading.before_unit:
        return match
    # What stands behind the unit says when or where it was measured: "Thickness (in) after planing".
    named = match_name(heading.before_unit, spec)
    return Match(named.column, max(named.rank, 2)) if named is not None else None


def _can_be_in(column: Column, unit: Unit | None) -> bool:
    return unit is None or DIMENSION.get(column.kind) is unit.dimension


def _is_mere_number(name: str) -> bool:
    """Whether a heading without a unit more likely numbers the layers than says how thick they are."""
    return {word for word in name.split() if word not in _SAY_NOTHING} == {"layer"}


def match_name(name: str, spec: SheetSpec) -> Match | None:
    """The column, or setting, of a sheet that some words name, or None."""
    return _match_name(name, spec.name)


@lru_cache(maxsize=20000)
def _match_name(name: str, spec_name: str) -> Match | None:
    return _exact_match(name, spec_name) or _misspelt(name, _names(spec_name))


@lru_cache(maxsize=20000)
def _exact_match(name: str, spec_name: str) -> Match | None:
    if len(name) > LONGEST_HEADING:
        return None
    names = _names(spec_name)
    for words, least in _variants(name, spec_name):
        if words in names:
            column, rank = names[words]
            return Match(column, max(rank, least))
    english = " ".join(_ENGLISH.get(word, word) for word in name.split())
    english = re.sub(r"^(near|far) ([lr])$", lambda side: f"{side[1]} {'left' if side[2] == 'l' else 'right'}", english)
    if english != name:
        match = _exact_match(english, spec_name)
        return Match(match.column, max(match.rank, 1)) if match is not None else None
    return _numbered(name, spec_name)


def _numbered(name: str, spec_name: str) -> Match | None:
    """Reading 1, Reading 2 and so on, also as R1 or Thickness 2."""
    column = next((column for column, _ in _names(spec_name).values() if column.field == NUMBERED), None)
    if column is None:
        return None
    name = re.sub(r"^(\d)(?:st|nd|rd|th) (.+)$", r"\2 \1", name)
    if re.sub(r" ?\d$", "", name) in _SPOTS:
        return Match(column, 1)
    match = re.fullmatch(r"(.*?) ?#? ?\d{1,2}", name)
    if match is None or match[1].endswith(" of"):
        return None
    if match[1] in {"r", "t", "m"}:
        return Match(column, 1)
    named = _exact_match(match[1], spec_name)
    return named if named is not None and named.column.field == NUMBERED else None


def is_known(name: str, spec: SheetSpec) -> bool:
    """Whether some words name a column of a sheet without being misspelt; much quicker than `match_name`."""
    return _exact_match(name, spec.name) is not None


def _variants(name: str, spec_name: str) -> list[tuple[str, int]]:
    words = name.split()
    fewer = [word for word in words if word not in _SAY_NOTHING] or words
    own = [word for word in fewer if word not in _OWN_NOUNS.get(spec_name, "").split()] or fewer
    variants = [(name, 0), (" ".join(fewer), 2), (" ".join(own), 2)]
    variants += [(_singular(words), 2) for words, _ in variants]
    variants += [(_sorted_words(words), 2) for words, _ in variants if " " in words]
    return variants


def _singular(words: str) -> str:
    return re.sub(r"(?<=[^s])s$", "", words)


def _misspelt(name: str, names: dict[str, tuple[Column, int]]) -> Match | None:
    if not 5 <= len(name) <= 40 or re.search(r"\d", name):
        return None
    known = [word for word in names if len(word) >= 5 and word[0] != "~"]
    close = [word for word in difflib.get_close_matches(name, known, n=2, cutoff=0.87) if _same_words(name, word)]
    columns = {names[word][0].field for word in close}
    return Match(names[close[0]][0], 3) if len(columns) == 1 else None


def _same_words(name: str, known: str) -> bool:
    """A slip of the keys changes letters of a word; another word in its place is another heading."""
    pairs = list(zip(name.split(), known.split(), strict=False))
    if len(name.split()) != len(known.split()):
        return (
            name.replace(" ", "") == known.replace(" ", "")
            or difflib.SequenceMatcher(None, name.replace(" ", ""), known.replace(" ", "")).ratio() > 0.93
        )
    return all(difflib.SequenceMatcher(None, one, other).ratio() >= 0.74 for one, other in pairs)


def match_beginning(name: str, spec: SheetSpec) -> Match | None:
    """The one setting whose name begins with some words, such as "truing" for "Truing pass"."""
    columns = _beginnings(spec.name).get(name, ()) if len(name) > 3 else ()
    return Match(columns[0], 3) if len(columns) == 1 else None


@cache
def _beginnings(spec_name: str) -> dict[str, list[Column]]:
    """The columns by the words, or several words, that one of their names begins with."""
    beginnings: dict[str, dict[str, Column]] = {}
    for words, (column, _) in _names(spec_name).items():
        for space in re.finditer(" ", words):
            beginnings.setdefault(words[: space.start()], {})[column.field] = column
    return {beginning: list(columns.values()) for beginning, columns in beginnings.items()}


def nearest_name(name: str, spec: SheetSpec, likeness: float = 0.6) -> str:
    """The known heading or setting nearest to some words, "" where none is near."""
    names = _names(spec.name)
    known = [word for word in names if word[0] != "~"]
    close = difflib.get_close_matches(bare_name(name), known, n=1, cutoff=likeness)
    return names[close[0]][0].heading if close else ""
