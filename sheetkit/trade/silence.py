"""Keeps what libraries print or remark past us out of the program's own output."""

import ctypes
import os
import sys
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from typing import Any, Final, cast

_STREAMS: Final = ("stdout", "__stdoutp")
"""Names under which C libraries hold the stream that printf writes to: that of Linux, that of macOS."""


class _Diversion:
    """Leads a stream away while at least one thread is inside."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._inside = 0
        self._kept: int | None = None

    def enter(self, stream: ctypes.c_void_p) -> None:
        """The first thread inside leads it away."""
        with self._guard:
            if self._inside == 0 and (nowhere := _nowhere()) is not None:
                self._kept, stream.value = stream.value, nowhere
            self._inside += 1

    def leave(self, stream: ctypes.c_void_p) -> None:
        """The last thread inside puts it back."""
        with self._guard:
            self._inside -= 1
            if self._inside == 0 and self._kept is not None:
                stream.value, self._kept = self._kept, None


_DIVERSION: Final = _Diversion()


@contextmanager
def c_output_dropped() -> Iterator[None]:
    """While any thread is in here, what C code prints leads nowhere.

    Only the C library's own stream is led away, never the file descriptor below it, so that whatever Python prints
    meanwhile, in this thread or in another, comes out. Where that stream cannot be set (Windows, other C libraries),
    the descriptor is led away, and only while no other thread might be writing to it.

    Source: GNU C Library manual, Standard Streams: these are variables that a program may set (from memory).
    """
    stream = _c_stream()
    if stream is None:
        with _descriptor_led_away():
            yield
        return
    _DIVERSION.enter(stream)
    try:
        yield
    finally:
        _DIVERSION.leave(stream)


@cache
def _c_stream() -> ctypes.c_void_p | None:
    """The C library's variable for its standard output, where there is one that may be set: GNU's and macOS's."""
    if sys.platform == "win32":
        return None
    library = ctypes.CDLL(None)
    if sys.platform != "darwin" and not hasattr(library, "gnu_get_libc_version"):
        return None
    for name in _STREAMS:
        with suppress(ValueError):
            return ctypes.c_void_p.in_dll(library, name)
    return None


@cache
def _nowhere() -> int | None:
    """A stream of the C library that leads nowhere; never closed, since another thread may be writing to it."""
    opened = ctypes.CDLL(None).fopen
    opened.restype = ctypes.c_void_p
    stream: int | None = opened(os.fsencode(os.devnull), b"w")
    return stream


@contextmanager
def _descriptor_led_away() -> Iterator[None]:
    try:
        sys.stdout.flush()
        kept = os.dup(1) if threading.active_count() == 1 else None
    except (AttributeError, OSError, ValueError):
        kept = None
    if kept is None:
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        with suppress(OSError, AttributeError):
            ctypes.CDLL("ucrtbase" if sys.platform == "win32" else None).fflush(None)
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


class _InHere(threading.local):
    """Matches every warning of a thread that is in here; stands where a filter has a pattern."""

    depth = 0

    def match(self, _text: str) -> bool:
        """Whether the filter holds, as a pattern says it."""
        return self.depth > 0


_IN_HERE: Final = _InHere()
_DROP: Final[Any] = ("ignore", _IN_HERE, Warning, None, 0)


@contextmanager
def warnings_dropped() -> Iterator[None]:
    """While a thread is in here, the warnings of that thread lead nowhere, whatever is to become of warnings elsewhere.

    `warnings.catch_warnings` would drop those of all threads, and two threads would put back each other's filters. One
    filter that holds for the threads that are in here, and stays when they leave, does neither. A thread that puts back
    a list of filters from before it was first there takes it out until the next time.

    Source: Python's library reference, The Warnings Filter; that a filter's pattern is asked by its method match:
    CPython's own source, from 3.11 to 3.13 (from memory).
    """
    filters = cast("list[Any]", warnings.filters)
    if not filters or filters[0] is not _DROP:
        filters[:] = [_DROP, *(each for each in filters if each is not _DROP)]
    _IN_HERE.depth += 1
    try:
        yield
    finally:
        _IN_HERE.depth -= 1
