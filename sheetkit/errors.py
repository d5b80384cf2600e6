"""Every error and finding sheetkit can raise or report.

SheetkitError                   the file or the call cannot be worked with; one line says why and what to do
├── UsageProblem                the command was called wrongly
└── FileProblem                 the file cannot be read or written; nothing was changed
├── NotAWorkbook            neither .xlsx, .xlsm nor .ods, whatever its name says
├── EncryptedWorkbook       protected by a password
├── DamagedWorkbook         broken, or built to exhaust the reader
├── SignedWorkbook          carries a digital signature that any change would break
├── ProtectedWorkbook       its list of sheets is locked by the maker
├── WorkbookInUse           open in a spreadsheet program, or in another refresh
└── CannotSave              folder, disk or permissions forbid writing

CellProblem                     not raised but collected: one cell, or one row, that needs the maker's eye
UnreadableValue                 raised by the units layer; the tables layer turns it into a CellProblem
"""

import unicodedata
from dataclasses import dataclass
from enum import IntEnum
from typing import Final

LONGEST: Final = 600
"""Characters of one part of a message; a longer one loses its middle."""
_UNPRINTABLE: Final = {"Cc", "Cs", "Zl", "Zp"}
_TURNS_TEXT_ROUND: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Harm(IntEnum):
    """How much a finding matters, the most harmful first when sorted."""

    STOPS_JOB = 0
    """The job cannot be made as it stands."""
    LEFT_OUT = 1
    """The value or row was not used; an answer is needed."""
    DOUBTFUL = 2
    """The value was used as written, but it deserves a look."""
    GUESSED = 3
    """Read in the only plausible way, which is not what stands there."""
    NOTED = 4
    """For information; nothing to mend."""

    @property
    def words(self) -> str:
        """The maker's words for it."""
        return ("stops the job", "left out", "used, but check it", "read with a guess", "for information")[self.value]


def one_line(text: str) -> str:
    r"""A text of unknown origin as a message may hold it: one line of bounded length that every terminal can print.

    Args:
        text: a name or value from the maker's file, or a sentence with some in it

    >>> one_line("two\nlines, a bell \x07")
    'two lines, a bell �'
    """
    if text.isprintable() and len(text) <= LONGEST:
        return text
    if len(text) > LONGEST:
        text = f"{text[: LONGEST // 2]} ... {text[-LONGEST // 2 :]}"
    return "".join(map(_printable, text))


def _printable(character: str) -> str:
    if character in "\t\n\r\x0b\x0c\x85\u2028\u2029":
        return " "
    bad = character in _TURNS_TEXT_ROUND or unicodedata.category(character) in _UNPRINTABLE
    return "\N{REPLACEMENT CHARACTER}" if bad else character


@dataclass(frozen=True, slots=True)
class CellProblem:
    """One finding: where, what was found, what was wanted, how to mend it.

    Attributes:
        sheet: name of the sheet as the maker sees it; empty when no sheet is meant
        cell: A1 address, an A1 range, or empty when the whole sheet is meant
        found: what stood there, as the maker sees it
        wanted: what would have been read
        fix: what to type or do
        harm: whether it stops the job, was left out, was guessed, or is only noted
    """

    sheet: str
    cell: str
    found: str
    wanted: str
    fix: str
    harm: Harm = Harm.LEFT_OUT

    def __post_init__(self) -> None:
        for part in ("found", "wanted", "fix"):
            object.__setattr__(self, part, one_line(getattr(self, part)))

    @property
    def place(self) -> str:
        """Where it is, for example ``Stock!D7``."""
        return one_line("!".join(part for part in (self.sheet, self.cell) if part)) or "the workbook"

    def __str__(self) -> str:
        """One line for the command's output."""
        return f"{self.place}: found {self.found}, wanted {self.wanted}. To fix: {self.fix}."


class SheetkitError(Exception):
    """The file or the call cannot be worked with.

    Args:
        where: file, or argument, in the maker's words
        found: what was found there
        wanted: what was wanted
        fix: what to do about it
    """

    def __init__(self, where: str, found: str, wanted: str, fix: str) -> None:
        where, found, wanted, fix = map(one_line, (where, found, wanted, fix))
        super().__init__(where, found, wanted, fix)
        self.where, self.found, self.wanted, self.fix = where, found, wanted, fix

    def __str__(self) -> str:
        """One line for the command's output."""
        return f"{self.where}: found {self.found}, wanted {self.wanted}. To fix: {self.fix}."


class UsageProblem(SheetkitError):
    """The command was called wrongly."""


class FileProblem(SheetkitError):
    """The file cannot be read or written; nothing was changed."""


class NotAWorkbook(FileProblem):
    """Neither .xlsx, .xlsm nor .ods, whatever its name says."""


class EncryptedWorkbook(FileProblem):
    """Protected by a password."""


class DamagedWorkbook(FileProblem):
    """Broken, or built to exhaust the reader."""


class SignedWorkbook(FileProblem):
    """Carries a digital signature that any change would break."""


class ProtectedWorkbook(FileProblem):
    """The maker has locked the list of sheets."""


class WorkbookInUse(FileProblem):
    """Open in a spreadsheet program, or in another refresh."""


class CannotSave(FileProblem):
    """Folder, disk or permissions forbid writing."""


class UnreadableValue(ValueError):
    """A text or number that has no single plausible reading.

    Args:
        found: the value as the maker sees it
        wanted: what would have been read
        fix: what to type instead
    """

    def __init__(self, found: str, wanted: str, fix: str) -> None:
        super().__init__(found, wanted, fix)
        self.found, self.wanted, self.fix = found, wanted, fix
