"""Qualified names of .ods, and the parts of addresses as its files write them."""

import re
from typing import Final

_ODF: Final = "urn:oasis:names:tc:opendocument:xmlns:"


def office(name: str) -> str:
    """A name of the office namespace."""
    return f"{{{_ODF}office:1.0}}{name}"


def table(name: str) -> str:
    """A name of the table namespace."""
    return f"{{{_ODF}table:1.0}}{name}"


def text(name: str) -> str:
    """A name of the text namespace."""
    return f"{{{_ODF}text:1.0}}{name}"


def style(name: str) -> str:
    """A name of the style namespace."""
    return f"{{{_ODF}style:1.0}}{name}"


def number(name: str) -> str:
    """A name of the namespace of number formats."""
    return f"{{{_ODF}datastyle:1.0}}{name}"


def calcext(name: str) -> str:
    """A name of the namespace in which LibreOffice keeps what the standard lacks."""
    return f"{{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}}{name}"


LAST_ROW: Final = 1_048_576
LAST_COLUMN: Final = 16_384

_SHEET_OF_ADDRESS: Final = re.compile(r"\$?(?:'((?:[^']|'')+)'|([^.'$#]+))\.\$?[A-Za-z]{1,3}\$?[0-9]+")


def sheet_of_address(address: str) -> str | None:
    """The sheet that a cell range address names; None where it names none or is broken."""
    match = _SHEET_OF_ADDRESS.match(address.strip())
    return (match[1] or match[2]).replace("''", "'") if match else None


def count(attribute: str | None) -> int:
    """A repeat or span count; 1 where none is given or it is no count."""
    if attribute is None:
        return 1
    digits = attribute.strip()
    return max(1, int(digits)) if digits.isdecimal() and len(digits) < 12 else 1
