"""Workbook files as packages: opened safely, known by their content, read part by part within ceilings.

The zip directory is read once. A part is inflated only when it is asked for, never beyond a ceiling, and no name
in the archive is ever used as a path. What the package is (`Format`) is found by `sheetkit.reading.identify`.
"""

import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import IO, BinaryIO, Final, Self

from lxml import etree

from sheetkit.errors import DamagedWorkbook, EncryptedWorkbook, FileProblem, NotAWorkbook
from sheetkit.reading import safe_xml
from sheetkit.reading.model import Format

MAX_ENTRIES: Final = 20_000
MAX_DIRECTORY_BYTES: Final = 8 * 1024 * 1024
MAX_PART_BYTES: Final = 256 * 1024 * 1024
MAX_TOTAL_BYTES: Final = 1024 * 1024 * 1024

_CHUNK: Final = 64 * 1024
_SAVE_AGAIN: Final = "open it in the spreadsheet program and save it again"
_A_WORKBOOK: Final = "an .xlsx, .xlsm or .ods workbook"
_METHODS: Final = {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}
_ENCRYPTED_FLAG: Final = 0x1


def fold(name: str) -> str:
    """The form under which two entry names are the same part: no case, no backslash, no leading slash."""
    return name.replace("\\", "/").lstrip("/").lower()


@dataclass(slots=True)
class Package:
    """An open workbook file. Use it as a context manager; it closes what it opened itself.

    Attributes:
        where: the file's name, for messages
        format: found from the content
        main_part: entry name of the workbook part (.xlsx, .xlsm) or of content.xml (.ods)
        signed: it carries a digital signature
        names: entry names as the archive writes them, in its order, folders left out
    """

    where: str
    format: Format
    main_part: str
    signed: bool
    archive: "Archive"

    @property
    def names(self) -> tuple[str, ...]:
        """Entry names as the archive writes them, in its order, folders left out."""
        return self.archive.names

    def find(self, name: str) -> str | None:
        """The entry that is this part, ignoring case, backslashes and a leading slash; None where there is none."""
        return self.archive.find(name)

    def read(self, name: str, ceiling: int = MAX_PART_BYTES) -> bytes:
        """The part's bytes.

        Args:
            name: the part, found as by `find`
            ceiling: inflated bytes beyond which the file is refused

        Raises:
            DamagedWorkbook: the part is missing, broken, or larger than the ceiling
        """
        return self.archive.read(name, ceiling)

    def chunks(self, name: str, ceiling: int = MAX_PART_BYTES) -> Iterator[bytes]:
        """The part's bytes piece by piece; raises as `read` does."""
        return self.archive.chunks(name, ceiling)

    def tree(self, name: str) -> etree._Element:
        """A small XML part as a tree; raises as `read` and `safe_xml.parse_tree` do."""
        return safe_xml.parse_tree(self.read(name, safe_xml.MAX_TREE_BYTES), self.place(name))

    def stream(self, name: str, target: safe_xml.Target) -> None:
        """One pass over an XML part of any size; raises as `read` and `safe_xml.stream` do."""
        safe_xml.stream(self.chunks(name), target, self.place(name))

    def place(self, name: str) -> str:
        """The part as messages name it."""
        return f"{self.where} ({name})"

    def close(self) -> None:
        """Close the file, if it was opened here."""
        self.archive.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


@dataclass(slots=True)
class Archive:
    """A zip file within ceilings.

    Attributes:
        where: the file's name, for messages
        names: entry names as written, in order, folders left out
    """

    where: str
    _zip: zipfile.ZipFile
    _opened: BinaryIO | None
    names: tuple[str, ...] = ()
    _entries: dict[str, zipfile.ZipInfo] = field(default_factory=dict)
    _inflated: int = 0

    def find(self, name: str) -> str | None:
        """The entry that is this part, or None."""
        entry = self._entries.get(fold(name))
        return entry.filename if entry is not None else None

    def read(self, name: str, ceiling: int) -> bytes:
        """The part's bytes; raises DamagedWorkbook."""
        return b"".join(self.chunks(name, ceiling))

    def chunks(self, name: str, ceiling: int) -> Iterator[bytes]:
        """The part's bytes piece by piece; raises DamagedWorkbook or EncryptedWorkbook."""
        entry = self._entries.get(fold(name))
        if entry is None:
            raise _damaged(self.where, f"no part named {name}")
        self._check_entry(entry, ceiling)
        read = 0
        try:
            with self._zip.open(entry) as stream:
                while chunk := stream.read(_CHUNK):
                    read += len(chunk)
                    self._inflated += len(chunk)
                    self._check_sizes(name, read, ceiling)
                    yield chunk
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError) as error:
            raise _damaged(f"{self.where} ({name})", f"a part that cannot be unpacked ({error})") from error

    def _check_entry(self, entry: zipfile.ZipInfo, ceiling: int) -> None:
        if entry.flag_bits & _ENCRYPTED_FLAG:
            raise encrypted(self.where)
        if entry.compress_type not in _METHODS:
            raise _damaged(self.where, f"{entry.filename} packed in a way that no spreadsheet program uses")
        self._check_sizes(entry.filename, entry.file_size, ceiling)

    def _check_sizes(self, name: str, size: int, ceiling: int) -> None:
        if size > ceiling:
            raise _damaged(self.where, f"{name} unpacks to more than {ceiling:,} bytes")
        if self._inflated > MAX_TOTAL_BYTES:
            raise _damaged(self.where, f"parts that unpack to more than {MAX_TOTAL_BYTES:,} bytes in all")

    def index(self) -> None:
        """List the entries; raises DamagedWorkbook where there are too many or two that are the same part."""
        if len(self._zip.infolist()) > MAX_ENTRIES:
            raise _damaged(self.where, f"{len(self._zip.infolist()):,} parts where {MAX_ENTRIES:,} is the most")
        files = [entry for entry in self._zip.infolist() if not entry.filename.endswith(("/", "\\"))]
        for entry in files:
            if self._entries.setdefault(fold(entry.filename), entry) is not entry:
                raise _damaged(self.where, f"two parts named {entry.filename}")
        self.names = tuple(entry.filename for entry in files)

    def close(self) -> None:
        """Close the file, if it was opened here."""
        self._zip.close()
        if self._opened is not None:
            self._opened.close()


class _CeilingReader:
    """Lets zipfile read the directory, which it does in one piece, only up to a ceiling."""

    def __init__(self, file: BinaryIO, where: str) -> None:
        self._file, self._where = file, where
        self.seek, self.tell, self.seekable = file.seek, file.tell, file.seekable

    def read(self, size: int = -1) -> bytes:
        if size > MAX_DIRECTORY_BYTES:
            raise _damaged(self._where, f"a list of parts longer than {MAX_DIRECTORY_BYTES:,} bytes")
        return self._file.read(size)


def open_package(source: Path | BinaryIO, where: str | None = None) -> Package:
    """Open a workbook file safely and find out what it is, whatever its name says.

    Args:
        source: the file's path, or an open binary file that can seek; the latter is left open
        where: what messages call the file; by default its name

    Raises:
        FileProblem: the file is missing or cannot be read
        NotAWorkbook: it is something else
        EncryptedWorkbook: it is protected by a password
        DamagedWorkbook: it is broken, or built to exhaust the reader
    """
    from sheetkit.reading.identify import identify

    name = where or (source.name if isinstance(source, Path) else str(getattr(source, "name", "the file")))
    file = _open_file(source, name) if isinstance(source, Path) else source
    opened = file if isinstance(source, Path) else None
    try:
        archive = _open_archive(file, name, opened)
        found, main_part, signed = identify(archive)
    except BaseException:
        if opened is not None:
            opened.close()
        raise
    return Package(name, found, main_part, signed, archive)


def _open_file(path: Path, where: str) -> BinaryIO:
    fix = "check the name and the folder"
    try:
        if path.is_dir():
            raise NotAWorkbook(where, "a folder", _A_WORKBOOK, "name a file in it")
        if path.exists() and not path.is_file():
            raise NotAWorkbook(where, "a device or pipe", _A_WORKBOOK, "name an ordinary file")
        return path.open("rb")
    except FileNotFoundError:
        raise FileProblem(where, "no file of that name", _A_WORKBOOK, fix) from None
    except PermissionError:
        raise FileProblem(where, "a file you may not read", _A_WORKBOOK, "ask its owner, or copy it") from None
    except ValueError as error:
        raise FileProblem(where, f"a file that cannot be read ({error})", _A_WORKBOOK, fix) from error
    except OSError as error:
        found = f"a file that cannot be read ({error.strerror or error})"
        fix = "check the disk or the connection to it, then try again"
        raise FileProblem(where, found, _A_WORKBOOK, fix) from error


def _open_archive(file: BinaryIO, where: str, opened: BinaryIO | None) -> Archive:
    from sheetkit.reading.identify import refuse_other_kinds

    file.seek(0)
    refuse_other_kinds(file, where)
    try:
        guarded: IO[bytes] = _CeilingReader(file, where)  # type: ignore[assignment]
        archive = Archive(where, zipfile.ZipFile(guarded), opened)
    except (zipfile.BadZipFile, OSError, ValueError, OverflowError, NotImplementedError) as error:
        raise _damaged(where, "a file that is cut short or broken") from error
    archive.index()
    return archive


def encrypted(where: str) -> EncryptedWorkbook:
    """The refusal of a file protected by a password."""
    fix = "open it in the spreadsheet program and save it without a password"
    return EncryptedWorkbook(where, "a password", "a workbook that opens without one", fix)


def _damaged(where: str, found: str) -> DamagedWorkbook:
    return DamagedWorkbook(where, found, "a sound workbook", _SAVE_AGAIN)
