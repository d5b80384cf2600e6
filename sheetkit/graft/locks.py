"""Who else has the workbook: spreadsheet programs, by the lock files they leave beside it, and other refreshes."""

import contextlib
import errno
import hashlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from sheetkit.errors import WorkbookInUse

OWN_PREFIX: Final = ".sheetkit-"
_CLOSED: Final = "a workbook that nobody has open"
_HELD: Final = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}


def refuse_open_elsewhere(path: Path) -> None:
    """Refuse a workbook that a spreadsheet program has open.

    Args:
        path: the workbook; where it is a link, the places of link and target are both searched

    Raises:
        WorkbookInUse: a lock file lies beside it
    """
    for place in dict.fromkeys((path.absolute(), path.resolve())):
        for lock, user in ((f".~lock.{place.name}#", _user_of_text_lock), (f"~${place.name}", _user_of_binary_lock)):
            file = place.with_name(lock)
            if os.path.lexists(file):
                name = user(file)
                found = f"open in a spreadsheet program{f' by {name}' if name else ''}"
                fix = f"save and close it there; if it is open nowhere, delete the file {lock} beside it"
                raise WorkbookInUse(path.name, found, _CLOSED, fix)


@contextlib.contextmanager
def only_refresh(path: Path) -> Iterator[None]:
    """Keep other refreshes of the same file out; a lock left by a killed one does not hold.

    Args:
        path: the file itself, no link

    Raises:
        WorkbookInUse: another refresh has it
        OSError: the lock cannot be made
    """
    lock = path.with_name(f"{own_stem(path)}.lock")
    handle = _locked(lock, path)
    try:
        yield
    finally:
        if sys.platform == "win32":
            os.close(handle)
        with contextlib.suppress(OSError):
            lock.unlink()
        if sys.platform != "win32":
            os.close(handle)


def own_stem(path: Path) -> str:
    """How our own files beside the workbook begin: short, whatever the length of its name."""
    return OWN_PREFIX + hashlib.sha256(os.fsencode(path.name)).hexdigest()[:16]


def _locked(lock: Path, path: Path) -> int:
    while True:
        handle = os.open(lock, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(handle)
            if _still_there(handle, lock):
                return handle
        except OSError as error:
            os.close(handle)
            if error.errno in _HELD:
                fix = "wait until it has finished, then refresh again"
                raise WorkbookInUse(path.name, "another refresh at work on it", _CLOSED, fix) from None
            raise
        os.close(handle)


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        return
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        # Some network folders know no locks; the check for a changed file still guards them.
        if error.errno not in {errno.ENOTSUP, errno.ENOLCK, errno.ENOSYS, errno.EINVAL}:
            raise


def _still_there(handle: int, lock: Path) -> bool:
    """Whether the file that was locked is still the one of that name: its last holder may have taken it away."""
    try:
        return os.path.samestat(os.fstat(handle), lock.stat())
    except FileNotFoundError:
        return False


def _user_of_text_lock(lock: Path) -> str:
    """The second field is the user's name on the machine, the first the one given in the program."""
    with contextlib.suppress(OSError):
        fields = lock.read_bytes()[:500].decode("utf-8", "replace").split(",")
        return _printable(next((each for each in fields[:2] if each.strip()), ""))
    return ""


def _user_of_binary_lock(lock: Path) -> str:
    """One byte for the length, then the user's name."""
    with contextlib.suppress(OSError):
        data = lock.read_bytes()[:60]
        return _printable(data[1 : 1 + data[0]].decode("latin-1")) if data else ""
    return ""


def _printable(name: str) -> str:
    return "".join(each for each in name if each.isprintable()).strip()
