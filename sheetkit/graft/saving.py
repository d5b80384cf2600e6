"""Saving so that there is always one whole file: the old one, or the new one.

The new file is written beside the old one, flushed to disk, read back, and put in its place in one step. Nothing else
changes: permissions, owner, extended attributes and links stay. Beside the workbook lie, while it is saved, a lock and
the new file, both with names that begin with a dot and "sheetkit"; what a killed run leaves is cleared by the next.
"""

import contextlib
import errno
import filecmp
import os
import shutil
import stat
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from sheetkit.errors import CannotSave, WorkbookInUse
from sheetkit.graft.checking import check_written
from sheetkit.graft.locks import only_refresh, own_stem, refuse_open_elsewhere

_ENDING: Final = ".part"
_LONGEST_NAME: Final = 255
_WANTED: Final = "a place that can be written to; the file was left as it is"
_REASONS: Final = {
    errno.ENOSPC: ("a full disk", "free some space, then refresh again"),
    errno.EDQUOT: ("a used-up share of the disk", "free some space, then refresh again"),
    errno.EFBIG: ("a file larger than the disk allows", "free some space, or move the workbook to another disk"),
    errno.EROFS: ("a disk that can only be read", "copy the workbook to another disk and refresh it there"),
    errno.EACCES: ("a folder you may not write to", "copy the workbook to a folder of your own and refresh it there"),
    errno.EPERM: ("a folder you may not write to", "copy the workbook to a folder of your own and refresh it there"),
    errno.ENAMETOOLONG: ("a name that is too long", "give the workbook a shorter name"),
}


@dataclass(frozen=True, slots=True)
class Stamp:
    """What shows that a file has been changed.

    Attributes:
        changed: time of the last change [ns]
        size: bytes
        identity: device and number of the file on it
    """

    changed: int
    size: int
    identity: tuple[int, int]


def stamp(path: Path) -> Stamp:
    """The file's present stamp; take it before reading, give it to `save`. Raises OSError."""
    found = path.stat()
    return Stamp(found.st_mtime_ns, found.st_size, (found.st_dev, found.st_ino))


def save(
    path: Path,
    write: Callable[[BinaryIO], None],
    *,
    keep_copy: bool = False,
    verify: Callable[[Path], None] | None = None,
    as_read: Stamp | None = None,
) -> bool:
    """Replace a workbook by what `write` writes, in one step.

    Args:
        path: the workbook, or a link to it
        write: writes the whole new file; it may read the old one
        keep_copy: leave the old file beside the new one, under a name of its own
        verify: looks at the new file and raises if it is not sound; by default `checking.check_written`
        as_read: the file's stamp when it was read

    Returns:
        False where the new file would be the same as the old one, which then is not touched.

    Raises:
        WorkbookInUse: open in a spreadsheet program, in another refresh, or changed since it was read
        CannotSave: folder, disk or permissions forbid it, or the new file does not read back
        FileProblem: whatever `write` raises
    """
    try:
        target = path.resolve(strict=True)
        refuse_open_elsewhere(path)
        _refuse_read_only(path, target)
        with only_refresh(target):
            _clear_litter(target)
            check = verify or (lambda written: check_written(target, written))
            return _replace(path, target, write, check, as_read or stamp(target), keep_copy=keep_copy)
    except OSError as error:
        raise _cannot_save(path, error) from error


def _replace(
    path: Path,
    target: Path,
    write: Callable[[BinaryIO], None],
    verify: Callable[[Path], None],
    as_read: Stamp,
    *,
    keep_copy: bool,
) -> bool:
    part = _part_of(target)
    try:
        _refuse_changed(path, target, as_read)
        _write_part(part, write)
        verify(part)
        filecmp.clear_cache()
        if filecmp.cmp(part, target, shallow=False):
            return False
        _take_over(target, part)
        refuse_open_elsewhere(path)
        _refuse_changed(path, target, as_read)
        if keep_copy:
            _keep_copy(target)
        _put_in_place(part, target)
        _flush_folder(target.parent)
        return True
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _write_part(part: Path, write: Callable[[BinaryIO], None]) -> None:
    handle = os.open(part, os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    file = os.fdopen(handle, "w+b")
    try:
        write(file)
        file.flush()
        os.fsync(file.fileno())
    except BaseException:
        with contextlib.suppress(OSError):
            file.close()
        raise
    file.close()


def _take_over(target: Path, part: Path) -> None:
    """Give the new file owner, permissions and attributes of the old one, as far as the system lets us."""
    old = target.stat()
    if hasattr(os, "chown"):
        with contextlib.suppress(PermissionError):
            os.chown(part, -1, old.st_gid)
        with contextlib.suppress(PermissionError):
            os.chown(part, old.st_uid, -1)
    part.chmod(stat.S_IMODE(old.st_mode))
    if hasattr(os, "listxattr"):
        for name in os.listxattr(target):
            with contextlib.suppress(OSError):
                os.setxattr(part, name, os.getxattr(target, name))


def _put_in_place(part: Path, target: Path) -> None:
    try:
        part.replace(target)
    except PermissionError:
        if sys.platform != "win32":
            raise
        # There a file that is open somewhere cannot be replaced.
        fix = "save and close it there, then refresh again"
        raise WorkbookInUse(target.name, "open in another program", "a workbook that nobody has open", fix) from None


def _keep_copy(target: Path) -> None:
    """Leave the old file under a name that nothing has yet."""
    number = 1
    while os.path.lexists(copy := _copy_name(target, number)):
        number += 1
    try:
        # The old file itself gets a second name; the first is about to be given to the new one.
        os.link(target, copy)
    except OSError:
        part = _part_of(target)
        try:
            shutil.copy2(target, part)
            part.rename(copy)
        finally:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)


def _copy_name(target: Path, number: int) -> Path:
    ending = f" (before refresh{f' {number}' if number > 1 else ''}){target.suffix}"
    stem = target.stem
    while len(os.fsencode(stem + ending)) > _LONGEST_NAME:
        stem = stem[:-1]
    return target.with_name(stem + ending)


def _part_of(target: Path) -> Path:
    number = os.getpid()
    while os.path.lexists(part := target.with_name(f"{own_stem(target)}-{number}{_ENDING}")):
        number += 1
    return part


def _clear_litter(target: Path) -> None:
    """Take away what a killed run left; the lock is ours, so nobody is at work on it."""
    start = f"{own_stem(target)}-"
    for entry in list(os.scandir(target.parent)):
        if entry.name.startswith(start) and entry.name.endswith(_ENDING):
            with contextlib.suppress(OSError):
                Path(entry.path).unlink()


def _refuse_read_only(path: Path, target: Path) -> None:
    if not stat.S_IMODE(target.stat().st_mode) & 0o222 or not os.access(target, os.W_OK):
        fix = "allow writing to the file, or refresh a copy"
        raise CannotSave(path.name, "a file that may only be read", "one that can be written to", fix)


def _refuse_changed(path: Path, target: Path, as_read: Stamp) -> None:
    try:
        changed = stamp(target) != as_read
    except FileNotFoundError:
        changed = True
    if changed:
        fix = "save and close it everywhere, then refresh again"
        raise WorkbookInUse(path.name, "changed since it was read", "a workbook that nobody else is changing", fix)


def _flush_folder(folder: Path) -> None:
    """Make the new name last; not every system can, and the file is whole either way."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _cannot_save(path: Path, error: OSError) -> CannotSave:
    general = (f"a problem of the disk ({error.strerror or error})", "check the disk, then refresh again")
    found, fix = _REASONS.get(error.errno or 0, general)
    if isinstance(error, FileNotFoundError):
        found, fix = "no file of that name", "check the name and the folder"
    return CannotSave(path.name, found, _WANTED, fix)
