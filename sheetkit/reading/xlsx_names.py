"""Qualified names of the two dialects of .xlsx, and the parts of addresses as its files write them."""

from collections.abc import Callable
from functools import lru_cache
from typing import Final, TypeVar

MAIN_NAMESPACES: Final = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
)
RELATION_ID: Final = (
    "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id",
    "{http://purl.oclc.org/ooxml/officeDocument/relationships}id",
)
LAST_ROW: Final = 1_048_576
LAST_COLUMN: Final = 16_384

_Handler = TypeVar("_Handler", bound=Callable[..., None])


def both_dialects(handlers: dict[str, _Handler]) -> dict[str, _Handler]:
    """The same handlers under the qualified name of either dialect."""
    return {f"{{{space}}}{name}": handler for space in MAIN_NAMESPACES for name, handler in handlers.items()}


def is_true(text: str | None) -> bool:
    """Whether an attribute switches something on."""
    return text is not None and text.strip().lower() in {"1", "true", "on"}


@lru_cache(maxsize=32_768)
def column_of(letters: str) -> int:
    """Number of a column, 1 for A; 0 where the letters name none."""
    number = 0
    for letter in letters.upper():
        if not "A" <= letter <= "Z":
            return 0
        number = number * 26 + ord(letter) - 64
        if number > LAST_COLUMN:
            return 0
    return number


def split_address(address: str) -> tuple[int, int]:
    """Row and column of an A1 address, both from 1; (0, 0) where it is none."""
    letters = address.rstrip("0123456789")
    digits = address[len(letters) :]
    row = int(digits) if digits and len(digits) <= 7 else 0
    column = column_of(letters)
    return (row, column) if 1 <= row <= LAST_ROW and column else (0, 0)
