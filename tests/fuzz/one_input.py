"""A worker: takes paths from its standard input, checks and refreshes each, and says on one line how that went.

Every promise about hostile input is held here: only errors of ours, one readable line each; the file untouched unless
it was refreshed; what was written opens again, keeps the maker's parts, and a second refresh changes nothing.
"""

import contextlib
import faulthandler
import io
import json
import re
import resource
import signal
import sys
import time
import traceback
import unicodedata
import warnings
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

MEMORY: Final = 1 << 30
"""Bytes that one input may take."""
SECONDS: Final = 10.0
"""Processor time that one call may take."""
MAY_CHANGE: Final = re.compile(
    r"content\.xml|META-INF/manifest\.xml|\[Content_Types\]\.xml|_rels/\.rels|.*\.rels|.*workbook.*\.xml|.*styles.*\.xml"
    r"|.*calcChain.*|docProps/app\.xml|.*sheetkit.*",
    re.IGNORECASE,
)
_MARKED: Final = re.compile(r"workbook.*\.xml$|^content\.xml$", re.IGNORECASE)
_OURS: Final = re.compile(r"sheetkit|Pictures/|/(sheet|chart|drawing|image|table|comments|vmlDrawing)")
"""Parts of result sheets, which are replaced in a workbook that was refreshed before."""


class Broken(Exception):
    """A promise was broken."""


def judged(path: Path) -> dict[str, Any]:
    """What became of one input."""
    before = path.read_bytes()
    said: dict[str, Any] = {"outcome": "", "finding": None, "seconds": 0.0, "peak": 0}
    _forget_peak()
    try:
        said["outcome"] = _try(path, before, said)
    except Broken as broken:
        said["finding"] = str(broken)
    except MemoryError:
        said["finding"] = f"memory beyond {MEMORY >> 20} MB\n{traceback.format_exc()}"
    except BaseException:
        said["finding"] = traceback.format_exc()
    said["peak"] = _peak()
    if said["finding"] is None and said["peak"] > MEMORY:
        said["finding"] = f"memory: {said['peak'] >> 20} MB"
    if said["finding"] is None and said["seconds"] > SECONDS:
        said["finding"] = f"slow: {said['seconds']:.1f} s of processor time"
    return said


def _try(path: Path, before: bytes, said: dict[str, Any]) -> str:
    from sheetkit import check, refresh

    checked = _timed(lambda: check(path), said)
    _hold(path.read_bytes() == before, "check changed the file")
    written = _timed(lambda: refresh(path), said)
    _hold([entry.name for entry in path.parent.iterdir()] == [path.name], "litter beside the file")
    if written is None:
        _hold(path.read_bytes() == before, "refused, yet the file has changed")
        return "refused" if checked is None else "read, not written"
    _hold(checked is not None, f"refresh worked although check refused: {said.get('message')}")
    after = path.read_bytes()
    _hold((after != before) == written.written, "what was said of writing is not so")
    _whole(before, after)
    again = _timed(lambda: refresh(path), said)
    _hold(again is not None, f"the refreshed file is refused: {said.get('message')}")
    _hold(again.written is False and path.read_bytes() == after, "a second refresh changed the file")
    lines = [str(problem) for problem in checked.problems], [str(problem) for problem in written.problems]
    _hold(lines[0] == lines[1], "check and refresh find different things")
    later = [str(problem) for problem in again.problems]
    _hold(lines[1] == later, f"the second refresh finds different things: {set(lines[1]) ^ set(later)}")
    return "read"


def _timed(call: Callable[[], Any], said: dict[str, Any]) -> Any:
    """What the call gives, or None where it refuses in its own words."""
    from sheetkit.errors import SheetkitError

    start = time.process_time()
    printed = io.StringIO()
    try:
        with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(printed):
            outcome = call()
    except SheetkitError as refusal:
        _readable(str(refusal))
        said["message"] = str(refusal)
        return None
    finally:
        said["seconds"] = max(said["seconds"], time.process_time() - start)
    _hold(not printed.getvalue(), f"printed: {printed.getvalue()[:500]}")
    for line in [*map(str, outcome.problems), *outcome.headlines]:
        _readable(line)
    json.dumps(outcome.as_dict(), allow_nan=False, default=str).encode()
    return outcome


def _readable(line: str) -> None:
    """One line of sane length that any terminal can print."""
    bad = {character for character in line if unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"}}
    _hold(not bad, f"control characters {bad!r} in a message: {line[:300]!r}")
    _hold(len(line) < 3000, f"a message of {len(line)} characters: {line[:300]!r}")
    line.encode()


def _whole(before: bytes, after: bytes) -> None:
    """The new file reads back, and the maker's parts are as they were."""
    with zipfile.ZipFile(io.BytesIO(before)) as old, zipfile.ZipFile(io.BytesIO(after)) as new:
        kept = {info.filename: info for info in new.infolist()}
        refreshed = any(
            "sheetkit" in str(_bytes(old, info)) for info in old.infolist() if _MARKED.search(info.filename)
        )
        for info in old.infolist():
            if MAY_CHANGE.fullmatch(info.filename):
                continue
            ours = refreshed and _OURS.search(info.filename) is not None
            _hold(info.filename in kept or ours, f"the part {info.filename!r} is gone")
            if info.filename in kept and info.file_size < 5_000_000 and not info.filename.endswith("/"):
                content = _bytes(old, info)
                same = isinstance(content, str) or content == _bytes(new, kept[info.filename])
                _hold(same or ours, f"the part {info.filename!r} was changed")


def _bytes(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes | str:
    try:
        return archive.read(info)
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError, ValueError) as error:
        return type(error).__name__


def _hold(so: bool, otherwise: str) -> None:
    if not so:
        raise Broken(otherwise)


def _forget_peak() -> None:
    Path("/proc/self/clear_refs").write_text("5")


def _peak() -> int:
    return int(re.search(r"VmHWM:\s*(\d+) kB", Path("/proc/self/status").read_text())[1]) << 10


def _limit_memory() -> None:
    """The address space may grow by the limit, whatever the libraries have reserved."""
    size = int(re.search(r"VmSize:\s*(\d+) kB", Path("/proc/self/status").read_text())[1]) << 10
    resource.setrlimit(resource.RLIMIT_AS, (size + MEMORY, resource.RLIM_INFINITY))


def main() -> None:
    """Serve until the end of the input."""
    warnings.simplefilter("error")
    import sheetkit.graft.ods
    import sheetkit.graft.xlsx
    import sheetkit.pipeline  # noqa: F401 - the limit counts from here

    answers = sys.stdout
    _limit_memory()
    # The stack is printed by the thread itself: a watching thread reads frames while they change, and may crash.
    faulthandler.register(signal.SIGALRM, all_threads=False)
    for line in sys.stdin:
        signal.alarm(30)
        said = judged(Path(line.rstrip("\n")))
        signal.alarm(0)
        answers.write(json.dumps(said) + "\n")
        answers.flush()


if __name__ == "__main__":
    main()
