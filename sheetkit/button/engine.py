"""Runs the sheetkit that made the button, and puts what it answered into words. Travels in the extension."""

from __future__ import annotations

import json
import os
import subprocess
import time
from pathlib import Path
from typing import Any, NamedTuple

WHERE = "where.json"
"""Lies beside this module in the extension: the Python that has sheetkit, and sheetkit's version."""

LIMIT_S = 600.0
"""A refresh that takes longer is stopped [s]."""

SHOWN = ("Can it be made?", "Do next:", "What is wrong:")
"""The headlines that the button repeats; the rest stands on Summary."""

_MADE_ANEW = (
    'install sheetkit, make the button anew with "sheetkit button sheetkit.oxt", and add that file under '
    "Tools > Extension Manager"
)


class Engine(NamedTuple):
    """Where sheetkit is.

    Attributes:
        python: path of the Python that has it
        version: its version when the button was made
    """

    python: str
    version: str


class Answer(NamedTuple):
    """What came of a refresh.

    Attributes:
        done: whether the workbook now says what sheetkit found
        text: what to tell the maker
        summary: tab of Summary, "" where unknown
    """

    done: bool
    text: str
    summary: str = ""


def baked_in(folder: Path | None = None) -> Engine:
    """Read where sheetkit is.

    Args:
        folder: where the note about it lies; None: beside this module

    Raises:
        OSError, ValueError, KeyError: the extension is damaged
    """
    note = json.loads(((folder or Path(__file__).parent) / WHERE).read_text("utf-8"))
    return Engine(str(note["python"]), str(note["version"]))


def missing(engine: Engine) -> str | None:
    """The message where sheetkit's Python is not to be seen; None where it is there."""
    if Path(engine.python).is_file():
        return None
    return (
        f"The sheetkit that made this button is not there: LibreOffice sees no file {engine.python}. It was moved or "
        f"removed, or this LibreOffice may not look outside its own box (Flatpak, Snap). To fix: {_MADE_ANEW}."
    )


def command(engine: Engine, workbook: str) -> list[str]:
    """The call that refreshes a workbook; -P keeps the folder it is called in out of the search for sheetkit."""
    return [engine.python, "-P", "-m", "sheetkit", "refresh", "--json", workbook]


def environment(around: dict[str, str]) -> dict[str, str]:
    """The environment without what the office program set for its own Python; texts are exchanged in UTF-8."""
    kept = {name: value for name, value in around.items() if not name.startswith(("PYTHON", "LD_LIBRARY_PATH"))}
    return {**kept, "PYTHONUTF8": "1"}


def refresh(engine: Engine, workbook: str, limit_s: float = LIMIT_S) -> Answer:
    """Refresh a workbook that nobody has open.

    Args:
        engine: where sheetkit is
        workbook: path of the file
        limit_s: longest time it may take, > 0 [s]

    Returns:
        The answer in words; whatever goes wrong is told in it, never raised.
    """
    name = Path(workbook).name
    _wait_for_closing(Path(workbook))
    try:
        run = subprocess.run(  # noqa: S603 - the program was named when the extension was made
            command(engine, workbook),
            env=environment(dict(os.environ)),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=limit_s,
            check=False,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except subprocess.TimeoutExpired:
        return Answer(
            False,
            f"{name}: not refreshed. It took longer than {limit_s:g} s and was stopped; the file is as you saved it.",
        )
    except OSError as refused:
        return Answer(
            False, f"{name}: not refreshed. {engine.python} does not start ({refused.strerror}). To fix: {_MADE_ANEW}."
        )
    return read_answer(name, run.stdout.decode("utf-8", "replace"), run.stderr.decode("utf-8", "replace"))


def read_answer(name: str, printed: str, complained: str) -> Answer:
    """Put what sheetkit printed into words.

    Args:
        name: the workbook's name
        printed: its output, JSON
        complained: what it wrote beside

    Returns:
        The answer; where there is no JSON, the last line of the complaint tells why.
    """
    try:
        (told,) = json.loads(printed)
    except ValueError:
        last = (complained.strip().splitlines() or ["it gave no reason"])[-1]
        fix = _MADE_ANEW if "No module named" in last else f'type "sheetkit refresh {name}" in a terminal to see more'
        return Answer(
            False,
            f"{name}: not refreshed. sheetkit stopped without an answer ({last}). The file is as you saved it. "
            f"To fix: {fix}.",
        )
    if "error" in told:
        return Answer(False, f"{name}: not refreshed.\n\n{_complaint(told['error'])}")
    lines = [line for line in told["headlines"] if line.startswith(SHOWN)]
    first = f"{name}: refreshed." if told["written"] else f"{name}: was up to date already."
    return Answer(True, "\n\n".join([first, *lines]), told["sheets"].get("summary", ""))


def _complaint(error: dict[str, Any]) -> str:
    return f"{error['where']}: found {error['found']}, wanted {error['wanted']}. To fix: {error['fix']}."


def _wait_for_closing(workbook: Path, longest_s: float = 5.0) -> None:
    """Wait until the office program has taken its lock file away; if it never does, sheetkit says so."""
    lock = workbook.with_name(f".~lock.{workbook.name}#")
    end = time.monotonic() + longest_s
    while lock.exists() and time.monotonic() < end:
        time.sleep(0.1)
