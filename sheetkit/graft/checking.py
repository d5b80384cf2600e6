"""A written workbook read again before it takes the place of the old one."""

import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, Final
from xml.parsers import expat

from sheetkit.errors import CannotSave
from sheetkit.reading.archive import fold

_CHUNK: Final = 1024 * 1024
_LOCAL_HEADER: Final = 30
_XML_ENDINGS: Final = (".xml", ".rels")


def check_written(original: Path, written: Path) -> None:
    """Check that a grafted workbook reads back: what was copied is the same, what is new is whole.

    Args:
        original: the maker's file
        written: the new file

    Entries with the same name and checksum must have the same packed bytes. All others must unpack with the right
    checksum, and be well-formed where they are XML.

    Raises:
        CannotSave: they are not
    """
    try:
        with (
            original.open("rb") as old,
            written.open("rb") as new,
            zipfile.ZipFile(old) as before,
            zipfile.ZipFile(new) as after,
        ):
            _compare(old, before, new, after)
    except (zipfile.BadZipFile, zlib.error, EOFError, expat.ExpatError, _NotTheSame) as error:
        fix = "try again; if it happens again, check the disk"
        found = f"a new file that does not read back as it was written ({error})"
        raise CannotSave(original.name, found, "a sound workbook; the old one was left as it is", fix) from error


class _NotTheSame(Exception):
    """A copied entry differs."""


def _compare(old: BinaryIO, before: zipfile.ZipFile, new: BinaryIO, after: zipfile.ZipFile) -> None:
    known = {fold(info.filename): info for info in before.infolist()}
    for info in after.infolist():
        former = known.get(fold(info.filename))
        if former is not None and _key(former) == _key(info):
            if any(one != other for one, other in zip(_packed(old, former), _packed(new, info), strict=True)):
                raise _NotTheSame(info.filename)
        else:
            _read_whole(after, info)


def _key(info: zipfile.ZipInfo) -> tuple[int, int, int]:
    return info.CRC, info.file_size, info.compress_size


def _packed(file: BinaryIO, info: zipfile.ZipInfo) -> Iterator[bytes]:
    file.seek(info.header_offset)
    head = file.read(_LOCAL_HEADER)
    file.seek(int.from_bytes(head[26:28], "little") + int.from_bytes(head[28:30], "little"), 1)
    at, left = file.tell(), info.compress_size
    while left:
        file.seek(at)
        chunk = file.read(min(_CHUNK, left))
        if not chunk:
            raise EOFError("cut short")
        at, left = at + len(chunk), left - len(chunk)
        yield chunk


def _read_whole(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> None:
    parser = expat.ParserCreate() if info.filename.lower().endswith(_XML_ENDINGS) else None
    with archive.open(info) as part:
        while chunk := part.read(_CHUNK):
            if parser is not None:
                parser.Parse(chunk, False)
    if parser is not None:
        parser.Parse(b"", True)
