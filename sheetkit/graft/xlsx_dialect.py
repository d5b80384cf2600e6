"""The two dialects of .xlsx: namespaces and relationship types of the transitional and the strict standard.

Source: ISO/IEC 29500-1 (strict) and 29500-4 (transitional), the schemas' target namespaces.
"""

import re
from dataclasses import dataclass
from typing import Final

_TRANSITIONAL: Final = "http://schemas.openxmlformats.org/"
_STRICT: Final = "http://purl.oclc.org/ooxml/"
_YEARS: Final = re.compile(rb"http://schemas\.openxmlformats\.org/(officeDocument|drawingml|spreadsheetml)/2006/")

PACKAGE_RELATIONSHIPS: Final = "http://schemas.openxmlformats.org/package/2006/relationships"


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a package names things.

    Attributes:
        strict: it follows the strict standard
    """

    strict: bool

    @property
    def main(self) -> str:
        """Namespace of workbook and sheets."""
        return f"{_STRICT}spreadsheetml/main" if self.strict else f"{_TRANSITIONAL}spreadsheetml/2006/main"

    @property
    def relation(self) -> str:
        """Namespace of r:id, and beginning of the relationship types."""
        middle = "officeDocument/relationships" if self.strict else "officeDocument/2006/relationships"
        return (_STRICT if self.strict else _TRANSITIONAL) + middle

    def kind(self, word: str) -> str:
        """The full relationship type for its last word ("worksheet")."""
        return f"{self.relation}/{word}"

    def translated(self, data: bytes) -> bytes:
        """A part that was written in the transitional dialect, in this one.

        Percentages stay whole numbers and notes keep their shapes, as the widest-spread program writes them in strict
        files too, although the strict schemas want percent signs and know no such shapes.
        """
        if not self.strict:
            return data
        return _YEARS.sub(_STRICT.encode() + rb"\1/", data)


def dialect_of(namespace: str | None) -> Dialect | None:
    """The dialect whose main namespace this is; None where it is neither's."""
    return next((each for each in (Dialect(strict=False), Dialect(strict=True)) if each.main == namespace), None)
