"""The zip container of a workbook, written anew with every untouched entry's packed bytes as they are.

Entries keep their order, name bytes, dates, attributes, comments and extra fields. Sizes and checksums come from the
central directory, so a local header is always complete: data descriptors and ZIP64 fields go where they are not
needed. Source: APPNOTE.TXT, the .ZIP file format specification 6.3.x, sections 4.3 (records) and 4.5 (extra fields).
"""

import struct
import zipfile
import zlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from sheetkit.errors import DamagedWorkbook
from sheetkit.graft.packed import Packed, pack
from sheetkit.reading.archive import encrypted, fold

_LOCAL: Final = struct.Struct("<4s5H3I2H")
_CENTRAL: Final = struct.Struct("<4s6H3I5H2I")
_END: Final = struct.Struct("<4s4H2IH")
_END_64: Final = struct.Struct("<4sQ2H2I4Q")
_LOCATOR_64: Final = struct.Struct("<4sIQI")
_FIELD: Final = struct.Struct("<2H")

_ZIP64_FIELD: Final = 0x0001
_FULL_32: Final = 0xFFFFFFFF
_FULL_16: Final = 0xFFFF
_ENCRYPTED: Final = 0x0001
_DESCRIPTOR_FOLLOWS: Final = 0x0008
_UTF8_NAME: Final = 0x0800
_VERSION_DEFLATE: Final = 20
_VERSION_64: Final = 45
_FIRST_DATE: Final = (1980, 1, 1, 0, 0, 0)
_CHUNK: Final = 1024 * 1024


@dataclass(slots=True)
class _Entry:
    """What both headers of an entry say."""

    name: bytes
    version_made: int
    version_needed: int
    flags: int
    method: int
    date: tuple[int, int, int, int, int, int]
    crc: int
    packed: int
    size: int
    internal: int
    external: int
    local_extra: bytes
    central_extra: bytes
    comment: bytes
    offset: int = 0


def rewrite(
    source: BinaryIO,
    out: BinaryIO,
    *,
    replaced: Mapping[str, bytes | Packed],
    added: Sequence[tuple[str, bytes | Packed]] = (),
    removed: Collection[str] = (),
) -> None:
    """Write the package again with some entries changed.

    Args:
        source: the package as it is; it can seek, and stays open
        out: where the new package goes, from its present position 0
        replaced: new content by entry name; each keeps its place, date and attributes, and where the content is the
            same as before its packed bytes too
        added: name and content of entries to put last, in this order, with a fixed date; one that exists already is
            replaced in its place
        removed: entries to leave out; those not there are ignored

    Names are matched as `sheetkit.reading.archive.fold` does. Equal input gives equal output. Untouched entries are
    neither inflated nor held in memory.

    Raises:
        DamagedWorkbook: the package is broken, or its entries overlap
        EncryptedWorkbook: an entry is encrypted
        ValueError: `replaced` names an entry that is not there
    """
    changes = {fold(name): data for name, data in replaced.items()}
    additions = {fold(name): data for name, data in added}
    drops = {fold(name) for name in removed} - set(changes) - set(additions)
    with _open(source) as archive:
        infos = archive.infolist()
        _refuse_overlaps(source, infos)
        present = {fold(info.filename) for info in infos if not _is_folder(info)}
        if missing := sorted(set(changes) - present):
            raise ValueError(f"nothing to replace: {', '.join(missing)}")
        contents = additions | changes
        written = list(_old_entries(source, out, archive, contents, drops))
        written += [_write_new(out, name, data) for name, data in added if fold(name) not in present]
        _write_directory(out, written, archive.comment)


def _is_folder(info: zipfile.ZipInfo) -> bool:
    """Whether an entry is a folder; the library's own test stumbles over an entry without a name."""
    return info.filename.endswith("/")


def _open(source: BinaryIO) -> zipfile.ZipFile:
    source.seek(0)
    try:
        return zipfile.ZipFile(source)
    except (zipfile.BadZipFile, OSError, ValueError, OverflowError, NotImplementedError) as error:
        raise _damaged(source, "a file that is cut short or broken") from error


def _refuse_overlaps(source: BinaryIO, infos: Sequence[zipfile.ZipInfo]) -> None:
    """Entries that share bytes would make the copy far larger than the original."""
    end = 0
    for info in sorted(infos, key=lambda info: info.header_offset):
        if info.header_offset < end:
            raise _damaged(source, "parts that overlap in the file")
        end = info.header_offset + _LOCAL.size + info.compress_size
    if end > source.seek(0, 2):
        raise _damaged(source, "a part that goes on beyond the end of the file")


def _old_entries(
    source: BinaryIO,
    out: BinaryIO,
    archive: zipfile.ZipFile,
    contents: Mapping[str, bytes | Packed],
    drops: Collection[str],
) -> Iterator[_Entry]:
    for info in archive.infolist():
        key = fold(info.filename)
        if info.flag_bits & _ENCRYPTED:
            raise encrypted(_where(source))
        if key in drops:
            continue
        start, entry = _read_entry(source, info)
        data = None if _is_folder(info) else contents.get(key)
        if data is None or _same(archive, info, data):
            _write_local(out, entry)
            _copy(source, out, start, entry.packed)
        else:
            _write_content(out, entry, data)
        yield entry


def _same(archive: zipfile.ZipFile, info: zipfile.ZipInfo, data: bytes | Packed) -> bool:
    size, crc = (data.size, data.crc) if isinstance(data, Packed) else (len(data), zlib.crc32(data))
    if info.file_size != size or crc != info.CRC:
        return False
    pieces = data.chunks() if isinstance(data, Packed) else [data]
    try:
        with archive.open(info) as part:
            return all(part.read(len(piece)) == piece for piece in pieces)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError):
        return False


def _read_entry(source: BinaryIO, info: zipfile.ZipInfo) -> tuple[int, _Entry]:
    """Where the packed bytes start, and what the headers are to say."""
    source.seek(info.header_offset)
    head = source.read(_LOCAL.size)
    if len(head) < _LOCAL.size or head[:4] != b"PK\x03\x04":
        raise _damaged(source, f"no part at the place where {info.filename} should be")
    name_length, extra_length = struct.unpack_from("<2H", head, 26)
    source.seek(name_length, 1)
    local_extra = source.read(extra_length)
    entry = _Entry(
        name=info.orig_filename.encode("utf-8" if info.flag_bits & _UTF8_NAME else "cp437"),
        version_made=info.create_system << 8 | info.create_version,
        version_needed=info.extract_version,
        flags=info.flag_bits & ~_DESCRIPTOR_FOLLOWS,
        method=info.compress_type,
        date=info.date_time,
        crc=info.CRC,
        packed=info.compress_size,
        size=info.file_size,
        internal=info.internal_attr,
        external=info.external_attr,
        local_extra=_without_zip64(local_extra),
        central_extra=_without_zip64(info.extra),
        comment=info.comment,
    )
    return info.header_offset + _LOCAL.size + name_length + extra_length, entry


def _without_zip64(extra: bytes) -> bytes:
    kept, at = b"", 0
    while at + _FIELD.size <= len(extra):
        kind, length = _FIELD.unpack_from(extra, at)
        end = at + _FIELD.size + length
        if kind != _ZIP64_FIELD:
            kept += extra[at:end]
        at = end
    return kept + extra[at:]


def _copy(source: BinaryIO, out: BinaryIO, start: int, length: int) -> None:
    source.seek(start)
    while length:
        chunk = source.read(min(_CHUNK, length))
        if not chunk:
            raise _damaged(source, "a file that is cut short")
        out.write(chunk)
        length -= len(chunk)


def _write_new(out: BinaryIO, name: str, data: bytes | Packed) -> _Entry:
    encoded = name.encode("utf-8")
    flags = 0 if name.isascii() else _UTF8_NAME
    deflate = zipfile.ZIP_DEFLATED
    entry = _Entry(
        encoded, _VERSION_DEFLATE, _VERSION_DEFLATE, flags, deflate, _FIRST_DATE, 0, 0, 0, 0, 0, b"", b"", b""
    )
    _write_content(out, entry, data)
    return entry


def _write_content(out: BinaryIO, entry: _Entry, data: bytes | Packed) -> None:
    if entry.method != zipfile.ZIP_STORED:
        new = data if isinstance(data, Packed) else pack([data])
        entry.method = zipfile.ZIP_DEFLATED
    else:
        plain = b"".join(data.chunks()) if isinstance(data, Packed) else data
        new = Packed(plain, len(plain), zlib.crc32(plain))
    entry.flags &= _UTF8_NAME
    entry.crc, entry.size, entry.packed = new.crc, new.size, len(new.data)
    _write_local(out, entry)
    out.write(new.data)


def _write_local(out: BinaryIO, entry: _Entry) -> None:
    entry.offset = out.tell()
    large = max(entry.size, entry.packed) >= _FULL_32
    extra = entry.local_extra
    if large:
        extra = _FIELD.pack(_ZIP64_FIELD, 16) + struct.pack("<2Q", entry.size, entry.packed) + extra
        entry.version_needed = max(entry.version_needed, _VERSION_64)
    sizes = (_FULL_32, _FULL_32) if large else (entry.packed, entry.size)
    out.write(
        _LOCAL.pack(
            b"PK\x03\x04",
            entry.version_needed,
            entry.flags,
            entry.method,
            *_dos_date(entry.date),
            entry.crc,
            *sizes,
            len(entry.name),
            len(extra),
        )
    )
    out.write(entry.name + extra)


def _write_directory(out: BinaryIO, entries: Sequence[_Entry], comment: bytes) -> None:
    start = out.tell()
    for entry in entries:
        _write_central(out, entry)
    end = out.tell()
    if len(entries) >= _FULL_16 or end >= _FULL_32:
        versions = (_VERSION_64, _VERSION_64, 0, 0)
        out.write(_END_64.pack(b"PK\x06\x06", 44, *versions, len(entries), len(entries), end - start, start))
        out.write(_LOCATOR_64.pack(b"PK\x06\x07", 0, end, 1))
    count = min(len(entries), _FULL_16)
    size, start = min(end - start, _FULL_32), min(start, _FULL_32)
    out.write(_END.pack(b"PK\x05\x06", 0, 0, count, count, size, start, len(comment)) + comment)


def _write_central(out: BinaryIO, entry: _Entry) -> None:
    large = max(entry.size, entry.packed) >= _FULL_32
    far = entry.offset >= _FULL_32
    wide = ([entry.size, entry.packed] if large else []) + ([entry.offset] if far else [])
    extra = entry.central_extra
    if wide:
        extra = _FIELD.pack(_ZIP64_FIELD, 8 * len(wide)) + struct.pack(f"<{len(wide)}Q", *wide) + extra
    sizes = (_FULL_32, _FULL_32) if large else (entry.packed, entry.size)
    out.write(
        _CENTRAL.pack(
            b"PK\x01\x02",
            entry.version_made,
            max(entry.version_needed, _VERSION_64) if wide else entry.version_needed,
            entry.flags,
            entry.method,
            *_dos_date(entry.date),
            entry.crc,
            *sizes,
            len(entry.name),
            len(extra),
            len(entry.comment),
            0,
            entry.internal,
            entry.external,
            _FULL_32 if far else entry.offset,
        )
    )
    out.write(entry.name + extra + entry.comment)


def _dos_date(date: tuple[int, int, int, int, int, int]) -> tuple[int, int]:
    """Time and date words; a date that no calendar has is kept as it stands in the fields."""
    year, month, day, hour, minute, second = date
    return hour << 11 | minute << 5 | second // 2, (year - 1980) << 9 | month << 5 | day


def _damaged(source: BinaryIO, found: str) -> DamagedWorkbook:
    fix = "open it in the spreadsheet program and save it again"
    return DamagedWorkbook(_where(source), found, "a sound workbook", fix)


def _where(source: BinaryIO) -> str:
    return Path(getattr(source, "name", "the file")).name
