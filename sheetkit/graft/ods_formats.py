"""Number styles of .ods from the format codes of .xlsx.

Source: OASIS OpenDocument 1.3 part 3, chapter 16.29 (data styles) and 16.3 (style:map).
"""

import re
from itertools import chain

from odf import number
from odf.element import Element
from odf.namespaces import LOEXTNS
from odf.style import Map, TextProperties

from sheetkit.graft.ods_codes import Piece, PieceKind, Section, Shape, sections_of

_STYLES = {
    Shape.NUMBER: number.NumberStyle,
    Shape.GENERAL: number.NumberStyle,
    Shape.LITERAL: number.NumberStyle,
    Shape.FRACTION: number.NumberStyle,
    Shape.SCIENTIFIC: number.NumberStyle,
    Shape.PERCENT: number.PercentageStyle,
    Shape.CURRENCY: number.CurrencyStyle,
    Shape.DATE: number.DateStyle,
    Shape.TIME: number.TimeStyle,
    Shape.TEXT: number.TextStyle,
}
_USUAL_CONDITIONS = {
    1: [],
    2: ["value()>=0"],
    3: ["value()>0", "value()<0"],
    4: ["value()>0", "value()<0", "value()=0"],
}


def number_styles(code: str, name: str) -> list[Element]:
    """The styles that show numbers as the code says, the one to use last; none for General.

    Args:
        code: format code in the notation of .xlsx
        name: name of the style to use; those it calls on are named after it

    A code with more than one section becomes one style per section: all but the last are called on by condition.
    """
    sections = sections_of(code)
    if len(sections) == 1 and sections[0].shape is Shape.GENERAL:
        return []
    called = [_style(section, f"{name}p{place}") for place, section in enumerate(sections[:-1])]
    last = _style(sections[-1], name)
    for place, (section, usual) in enumerate(zip(sections, _USUAL_CONDITIONS[len(sections)], strict=False)):
        condition = f"value(){section.condition[0]}{section.condition[1]}" if section.condition else usual
        last.addElement(Map(condition=condition.replace("<>", "!="), applystylename=f"{name}p{place}"))
    return [*called, last]


def _style(section: Section, name: str) -> Element:
    """The style for one section."""
    style = _STYLES[section.shape](name=name)
    if section.shape is Shape.TIME and any(piece.text.startswith("[") for piece in section.pieces):
        style.setAttribute("truncateonoverflow", "false")
    if section.colour is not None:
        style.addElement(TextProperties(color=f"#{section.colour}"))
    for part in chain.from_iterable(_parts(section, piece) for piece in _one_run_of_digits(section.pieces)):
        style.addElement(part)
    return style


def _one_run_of_digits(pieces: list[Piece]) -> list[Piece]:
    """The pieces with all digits' places put where the first stand: a number is written in one place."""
    digits = "".join(piece.text for piece in pieces if piece.kind is PieceKind.DIGITS)
    first = next((place for place, piece in enumerate(pieces) if piece.kind is PieceKind.DIGITS), -1)
    kept = [
        Piece(piece.kind, digits) if place == first else piece
        for place, piece in enumerate(pieces)
        if place == first or piece.kind is not PieceKind.DIGITS
    ]
    return [piece for piece in kept if piece.text or piece.kind in {PieceKind.TEXT, PieceKind.GENERAL}]


def _parts(section: Section, piece: Piece) -> list[Element]:
    """The elements that show one piece."""
    if piece.kind is PieceKind.LITERAL:
        return [number.Text(text=piece.text)]
    if piece.kind is PieceKind.CURRENCY:
        symbol = number.CurrencySymbol() if section.shape is Shape.CURRENCY else number.Text()
        symbol.addText(piece.text)
        return [symbol]
    if piece.kind is PieceKind.TEXT:
        return [number.TextContent()] if section.shape is Shape.TEXT else []
    if piece.kind is PieceKind.GENERAL:
        return [number.Number(minintegerdigits="1")]
    if piece.kind is PieceKind.DATE:
        return _date_part(piece.text)
    return [_digits(section.shape, piece.text)]


def _digits(shape: Shape, text: str) -> Element:
    """The digits' places."""
    if shape is Shape.FRACTION:
        return _fraction(text)
    mantissa, _, exponent = re.sub(r"[eE][+-]", "E", text).partition("E")
    whole, _, decimals = mantissa.partition(".")
    attributes = {"minintegerdigits": str(whole.count("0")), "decimalplaces": str(len(re.sub(r"[^0#?]", "", decimals)))}
    if "," in whole.rstrip(","):
        attributes["grouping"] = "true"
    if shape is Shape.SCIENTIFIC:
        return number.ScientificNumber(minexponentdigits=str(len(exponent)), **attributes)
    thousands = len(mantissa) - len(mantissa.rstrip(","))
    if thousands:
        attributes["displayfactor"] = str(1000**thousands)
    element = number.Number(**attributes)
    if any(place in decimals for place in "#?"):
        element.setAttrNS(LOEXTNS, "min-decimal-places", str(decimals.count("0")))
    return element


def _fraction(text: str) -> Element:
    """A whole number and a fraction, or a fraction alone."""
    above, _, below = (part.strip() for part in text.partition("/"))
    whole, _, above = above.rpartition(" ") if " " in above else ("", "", above)
    element = number.Fraction(minnumeratordigits=str(len(above)))
    if whole:
        element.setAttribute("minintegerdigits", str(whole.count("0")))
    if below.strip("?#0"):
        element.setAttribute("denominatorvalue", below)
    element.setAttribute("mindenominatordigits", str(len(below)))
    return element


def _date_part(text: str) -> list[Element]:
    """One part of a date or a time of day."""
    bare = text.strip("[]")
    count = len(bare.partition(".")[0])
    usual = "long" if count > 1 else "short"
    if bare[0] in "md" and count > 2:
        spelt = "long" if count > 3 else "short"
        return [number.Month(textual="true", style=spelt) if bare[0] == "m" else number.DayOfWeek(style=spelt)]
    if bare[0] == "s":
        return [number.Seconds(style=usual, decimalplaces=str(len(bare.partition(".")[2])))]
    if bare[0] == "y":
        return [number.Year(style="long" if count > 2 else "short")]
    if bare[0] == "a":
        return [number.AmPm()]
    kinds = {"m": number.Month, "d": number.Day, "h": number.Hours, "n": number.Minutes}
    return [kinds[bare[0]](style=usual)]
