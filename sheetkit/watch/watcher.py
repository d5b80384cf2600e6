"""The watch: look at the files, wait until one is saved, closed and quiet, refresh it, say what changed.

Files are looked at once a second; the system is not asked for notices. Network folders give none, whatever the library;
that a lock file is gone and that a file stays as it is has to be found out by the clock in any case; and a look at a
dozen files is a dozen calls to the system.

That a change was our own is known from the file's content, not from its time: nothing that the maker saves meanwhile
can be mistaken for it.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from sheetkit.errors import SheetkitError, WorkbookInUse
from sheetkit.graft.locks import refuse_open_elsewhere
from sheetkit.graft.saving import Stamp, stamp
from sheetkit.pipeline import Outcome, refresh
from sheetkit.watch.change import change
from sheetkit.watch.places import is_job, workbooks_in

LOOK_EVERY_S: Final = 1.0
QUIET_S: Final = 2.0
"""So long a file must stay as it is. Times of files are kept to 2 s on some memory sticks."""
RETRY_S: Final = 30.0
"""So long after a refresh that failed it is tried again, although the file has not changed: the disk may have."""


@dataclass(slots=True)
class _Watched:
    """One workbook.

    Attributes:
        path: as the maker named it
        named: named itself, not found in a folder
        seen: how it was at the last look; None while it is not there
        since: from when on it has been so, or is to be counted so [s]
        settled: how it was when nothing was left to do
        content: SHA-256 of the file as our last refresh left it
        outcome: of that refresh
        told: what was said last about it and still holds
    """

    path: Path
    named: bool
    seen: Stamp | None = None
    since: float = 0.0
    settled: Stamp | None = None
    content: str = ""
    outcome: Outcome | None = None
    told: str = ""


@dataclass(slots=True)
class Watcher:
    """Keeps workbooks refreshed.

    Attributes:
        places: workbooks, and folders whose workbooks are taken up if they are jobs
        say: takes each line for the maker
        work: refreshes one workbook
    """

    places: Sequence[Path]
    say: Callable[[str], None]
    work: Callable[[Path], Outcome] = refresh
    _watched: dict[Path, _Watched] = field(default_factory=dict)
    _folders: set[Path] = field(default_factory=set)
    _lost_folders: set[Path] = field(default_factory=set)

    def __post_init__(self) -> None:
        """What is a folder now is taken for one, should it be gone later."""
        self._folders.update(place for place in self.places if place.is_dir())

    def run(self, clock: Callable[[], float], sleep: Callable[[float], None]) -> None:
        """Look again and again; only an interruption ends it."""
        while True:
            self.look(clock())
            sleep(LOOK_EVERY_S)

    def look(self, now: float) -> None:
        """Look once at every file, and refresh those that are ready.

        Args:
            now: seconds of a clock that never goes back [s]
        """
        for path, named in self._paths():
            key = path.resolve()
            self._watched.setdefault(key, _Watched(path, named, since=now)).named |= named
        for file in list(self._watched.values()):
            self._look_at(file, now)

    def _paths(self) -> Iterator[tuple[Path, bool]]:
        for place in self.places:
            if place in self._folders:
                yield from ((path, False) for path in self._found_in(place))
            else:
                yield place, True

    def _found_in(self, folder: Path) -> list[Path]:
        try:
            found = list(workbooks_in(folder))
        except OSError as error:
            if folder not in self._lost_folders:
                self.say(f"{folder}: the folder cannot be looked at ({error.strerror}); waits until it can.")
            self._lost_folders.add(folder)
            return []
        self._lost_folders.discard(folder)
        return found

    def _look_at(self, file: _Watched, now: float) -> None:
        found = _stamp_of(file.path)
        if found != file.seen:
            file.seen, file.since = found, now
            return
        if now - file.since < QUIET_S or (found is not None and found == file.settled):
            return
        if found is None:
            file.settled = None
            self._tell(file, "not there; waits until it is back.")
            return
        try:
            self._refresh(file, found)
        except WorkbookInUse as problem:
            file.since = now
            self._tell(file, f"waits: {problem.found}. To go on: {problem.fix}.")
        except (SheetkitError, OSError) as problem:
            file.since = now + RETRY_S - QUIET_S
            text = str(problem).removeprefix(f"{file.path.name}: ").removesuffix(".")
            self._tell(file, f"not refreshed: {text}. Waits until it is saved again.")

    def _refresh(self, file: _Watched, found: Stamp) -> None:
        refuse_open_elsewhere(file.path)
        if file.content and _content_of(file.path) == file.content:
            if file.told:
                self._tell(file, "as it was refreshed; nothing to do.")
            file.settled, file.told = found, ""
            return
        if not file.named and not is_job(file.path):
            self._tell(file, "left alone: it has neither result sheets of sheetkit nor rows on Stock and Targets.")
            file.settled = found
            return
        outcome = self.work(file.path)
        self.say(f"{file.path.name}: {change(file.outcome, outcome)}")
        file.outcome, file.content, file.told = outcome, outcome.content, ""

    def _tell(self, file: _Watched, text: str) -> None:
        """Say it once, not at every look."""
        if text != file.told:
            self.say(f"{file.path.name}: {text}")
        file.told = text


def _stamp_of(path: Path) -> Stamp | None:
    try:
        return stamp(path)
    except OSError:
        return None


def _content_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
