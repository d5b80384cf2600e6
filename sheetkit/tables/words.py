"""Reads the cells that hold words: names of boards and slices, woods, choices, yes or no, colours, free text."""

import itertools
import math
import re
from collections.abc import Callable
from datetime import datetime

from sheetkit.errors import Harm, UnreadableValue
from sheetkit.reading.model import Cell
from sheetkit.reading.model import Kind as CellKind
from sheetkit.tables.columns import Column, Kind
from sheetkit.tables.dates import read_date
from sheetkit.tables.findings import Findings, Line, Spot
from sheetkit.tables.shown import quoted, shown
from sheetkit.tables.typed_dates import Days, day_of, order_of_format, typed_names
from sheetkit.tables.value import Value
from sheetkit.trade.species import Outcome, SpeciesMatch, find_species
from sheetkit.units import find_unit, folded, plain_text

_YES = frozenset(
    [
        "yes",
        "y",
        "ja",
        "oui",
        "si",
        "x",
        "true",
        "t",
        "1",
        "ok",
        "good",
        "on",
        "✓",
        "✔",
        "☑",
        "v",
        "j",
        "yep",
        "wahr",
        "vrai",
        "+",
        "✅",
        "🗸",
        "√",
        "yes please",
        "gut",
        "bon",
    ]
)
_NO = frozenset(
    [
        "no",
        "n",
        "nein",
        "non",
        "false",
        "f",
        "0",
        "not",
        "off",
        "bad",
        "✗",
        "✘",
        "☐",
        "nee",
        "nope",
        "falsch",
        "faux",
        "❌",
        "☒",
        "schlecht",
        "mauvais",
    ]
)
_CHOICES = {
    "flat": "flat sawn flatsawn flat-sawn plain plainsawn plain sawn fs f f/s slab tangential "
    "flader fladerschnitt liegend dosse",
    "quarter": "quarter sawn quartersawn quarter-sawn quartered 1/4 sawn 1/4 qs q q/s qtr radial "
    "vertical spiegelschnitt stehend quartier",
    "rift": "rift sawn riftsawn rift-sawn rs r r/s halbrift",
    "yes": "y ja oui true x",
    "no": "n nein non false",
    "first": "1st use first zuerst",
    "in": "imperial us inch zoll",
    "mm": "metric metrisch metrique",
    "thou": "thousandth thousandths mil mils 0.001 in 001 in",
    "64ths": "64th 64 ths 64 th nearest 64th sixty-fourths sixty-fourth sixty fourths sixty fourth 1/64 1/64 in "
    "1/64 inch 1/64ths fractions fraction fractional",
    "use": "count include used counted",
    "leave out": "ignore skip exclude omit left out leave-out leave",
}


_NO_WOOD = frozenset(["glue", "glue line", "glue lines", "glueline", "gluelines", "epoxy", "leim", "leimfuge", "colle"])


def words_of(cell: Cell) -> str:
    """A cell's text with plain spaces; a number or date as it is shown."""
    text = str(cell.value) if cell.kind is CellKind.TEXT else shown(cell)
    text = re.sub(r"[\u200b-\u200f\u2060\ufeff\u00ad]", "", text)
    return re.sub(r"\s+", " ", text).strip()


def read_words(cell: Cell, column: Column, spot: Spot, days: Days, findings: Findings) -> Value:
    """One cell of a column that holds words.

    Args:
        cell: it holds something, and neither a dash nor a ditto mark
        column: how the schema declares it
        spot: where it stands
        days: how the workbook keeps its days
        findings: collects what has to be said about it
    """
    value = Value(column, spot, found=quoted(cell))
    readers: dict[Kind, Callable[[], object]] = {
        Kind.IDENTIFIER: lambda: _identifier(cell, value, days, findings),
        Kind.SPECIES: lambda: _species(cell, value),
        Kind.CHOICE: lambda: _choice(words_of(cell), column, value),
        Kind.YES_NO: lambda: _yes_no(cell, value),
        Kind.COLOUR: lambda: _colour(cell, value),
        Kind.DATE: lambda: read_date(cell, value, days),
    }
    try:
        _refuse_broken(cell, column, value)
        value.value = readers[column.kind]() if column.kind in readers else words_of(cell)
        if value.doubtful:
            value.lines.append(_doubt(value))
    except UnreadableValue as problem:
        findings.at(spot, problem.found, problem.wanted, problem.fix)
        value.refuse()
    return value


def _doubt(value: Value) -> Line:
    return Line(
        "doubtful",
        f"{value.found}, marked as doubtful; it is used",
        f"a word for {value.column.heading}",
        "take the mark away once it is sure",
        Harm.DOUBTFUL,
    )


def _refuse_broken(cell: Cell, column: Column, value: Value) -> None:
    noun = f"a word for {column.heading}"
    if cell.kind is CellKind.ERROR:
        raise UnreadableValue(f"the error {cell.value}", noun, "mend the formula, or type the word")
    if cell.kind is CellKind.NO_RESULT:
        raise UnreadableValue(
            f"the formula {value.found} without a stored result",
            noun,
            "open the file in your spreadsheet program and save it, or type the word",
        )


def _identifier(cell: Cell, value: Value, days: Days, findings: Findings) -> str:
    wanted = f"a name for {value.column.heading}, as text"
    how = "format the cell as text, then type the name again"
    if isinstance(cell.value, datetime):
        names = typed_names(cell.value, order_of_format(cell.number_format) or days.order)
        raise UnreadableValue(f"the date {value.found}; it was probably typed {' or '.join(names)}", wanted, how)
    if cell.kind is CellKind.DURATION:
        likely = shown(cell).replace(":", "-")
        raise UnreadableValue(f"the clock time {value.found}; it was probably typed {likely}", wanted, how)
    if cell.kind is CellKind.NUMBER and isinstance(cell.value, float | int):
        return _number_as_name(cell, value, days, findings)
    text = words_of(cell)
    return text[1:].strip() if re.match(r"['’]\s*\S", text) and text.count("'") + text.count("’") == 1 else text


def _number_as_name(cell: Cell, value: Value, days: Days, findings: Findings) -> str:
    number, wanted = float(str(cell.value)), f"a name for {value.column.heading}, as text"
    how = "format the cell as text, then type the name again"
    if not math.isfinite(number):
        raise UnreadableValue(value.found, wanted, how)
    if "E" in cell.number_format.upper().replace("GENERAL", ""):
        mantissa, _, exponent = f"{number:E}".partition("E")
        likely = f"{float(mantissa):g}E{int(exponent)}"
        raise UnreadableValue(f"the number {value.found}; it was probably typed {likely}", wanted, how)
    day = day_of(number, day_zero_1904=days.day_zero_1904)
    if day is not None and 2010 <= day.year <= 2040:
        findings.at(
            value.spot,
            f"the number {value.found}, which is also the day number of {day.day}-{day:%b-%Y}",
            wanted,
            f"nothing if {value.found} is the name; else {how}, for example {' or '.join(typed_names(day, None))}",
            Harm.DOUBTFUL,
        )
    if cell.number_format == "General":
        return str(int(number)) if number == int(number) and abs(number) < 1e15 else repr(number)
    text = shown(cell)
    return str(int(number)) if number == int(number) and re.fullmatch(r"-?\d+\.0*", text) else text


def _species(cell: Cell, value: Value) -> str:
    found = value.found
    if folded(words_of(cell)).strip(" .:") in _NO_WOOD:
        raise UnreadableValue(
            f"{found}, which is no wood", "a wood", "take the row out; glue lines are counted by Shop"
        )
    try:
        match = _wood(words_of(cell), value)
    except UnreadableValue as problem:
        raise UnreadableValue(found, problem.wanted, problem.fix) from problem
    value.doubtful = words_of(cell).endswith("?")
    name = f"a wood that is known, for {value.column.heading}"
    offers = " or ".join(match.candidates[:3])
    if match.outcome is Outcome.UNKNOWN and len(match.candidates) > 1:
        raise UnreadableValue(f"{found}, which names more than one wood", "one wood", f"type {offers}")
    if match.outcome is Outcome.UNKNOWN:
        value.lines.append(
            Line(
                f"unknown {match.key}",
                f"{found}, a wood that is not in the list; it is planned under this name, without figures",
                name,
                "check the spelling, or give the wood's own values on the sheet Species",
                Harm.DOUBTFUL,
                once=True,
            )
        )
    elif match.outcome is Outcome.SEVERAL:
        value.lines.append(
            Line(
                f"several {match.key}",
                f"{found}, which may be {offers}; it is planned under this name, without figures",
                "the name of one wood",
                f"type {offers}",
                Harm.DOUBTFUL,
                once=True,
            )
        )
    elif match.outcome is Outcome.GUESSED:
        value.guess = match.reason
        value.lines.append(
            Line(
                f"guessed {found}",
                f"{found}, read as {match.label} because {value.guess}",
                name,
                f"nothing if it is {match.label}; else type the wood's full name",
                Harm.GUESSED,
                once=True,
            )
        )
    return match.label


def _wood(text: str, value: Value) -> SpeciesMatch:
    """The wood that a text names; what stands in brackets is a remark where the rest is known without it."""
    match = find_species(text)
    bare = re.sub(r"\s*[(\[][^()\[\]]*[)\]]\s*", " ", text).strip()
    if match.outcome is not Outcome.UNKNOWN or len(match.candidates) > 1 or bare == text or not bare:
        return match
    other = find_species(bare)
    if other.outcome is Outcome.UNKNOWN:
        return match
    value.remark = " ".join(re.findall(r"[(\[]([^()\[\]]*)[)\]]", text))
    return other


def species_key(label: str) -> str:
    """What to compare two labels of woods by."""
    try:
        found: SpeciesMatch = find_species(label)
    except UnreadableValue:
        return folded(label)
    return found.key


def _apart(text: str) -> tuple[str, str, bool]:
    """A word, the remark behind it, and whether it is marked as doubtful: "no (chipped)", "flat?"."""
    match = re.fullmatch(r"([^(\[,;:?]+?)\s*(\??)\s*(?:[(\[,;:]\s*(.*?)\s*[)\]]?|\s-\s+(.*))?", text)
    if match is None:
        return text, "", False
    return match[1], match[3] or match[4] or "", bool(match[2])


def _choice(text: str, column: Column, value: Value) -> str:
    whole = text
    text, value.remark, value.doubtful = _apart(text)
    found = named_choice(text, column) or named_choice(whole, column)
    if found is None:
        raise UnreadableValue(
            value.found, f"one of: {', '.join(column.choices)}", f"type {' or '.join(column.choices)}"
        )
    return found


def named_choice(text: str, column: Column) -> str | None:
    """The choice that a word names, None where it names none.

    Args:
        text: as typed
        column: one of choices
    """
    plain = folded(text).strip(" .!").removesuffix(" of an inch")
    for choice in column.choices:
        if plain == choice:
            return choice
    for choice in column.choices:
        if plain in _CHOICES.get(choice, "").split() or plain.replace("-", " ") in _phrases(choice):
            return choice
    if {"yes", "no"} <= set(column.choices) and plain.removesuffix(".0") in _YES | _NO:
        return "yes" if plain.removesuffix(".0") in _YES else "no"
    unit = find_unit(text)
    return unit.label if unit is not None and unit.label in column.choices else None


def _phrases(choice: str) -> set[str]:
    words = _CHOICES.get(choice, "").split()
    return {" ".join(pair) for pair in itertools.pairwise(words)}


def _yes_no(cell: Cell, value: Value) -> bool:
    if isinstance(cell.value, bool):
        return cell.value
    text, value.remark, value.doubtful = _apart(words_of(cell))
    word = folded(text).strip(" .!").removesuffix(".0")
    if word in _YES or word in _NO:
        return word in _YES
    if word in {folded(name) for name in (value.column.heading, *value.column.synonyms)}:
        return True
    raise UnreadableValue(value.found, "yes or no", "type yes or no")


def _colour(cell: Cell, value: Value) -> str:
    from PIL import ImageColor

    text = words_of(cell).lstrip("#").lower()
    if cell.kind is CellKind.NUMBER and re.fullmatch(r"\d{1,6}", text):
        text = text.zfill(6)
    if re.fullmatch(r"[0-9a-f]{6}", text):
        return text.upper()
    name = plain_text(text).replace(" ", "").replace("-", "")
    if name in ImageColor.colormap:
        red, green, blue = ImageColor.getrgb(name)[:3]
        return f"{red:02X}{green:02X}{blue:02X}"
    raise UnreadableValue(value.found, "a colour as RRGGBB, or its plain name", "type for example 8B5A2B or brown")
