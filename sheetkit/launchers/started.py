"""What a launcher starts: refreshes and opens the workbooks it was given, and stays while there is something to read.

Run as ``python -m sheetkit.launchers.started WORKBOOKS``; on Windows the workbooks are taken from the call itself.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence

from sheetkit.launchers.texts import BY_DROPPING, CALL, LAUNCHER

_QUOTED_OR_NOT = re.compile(r'"([^"]*)"|(\S+)')
_ASK = "Drag the workbooks into this window, then press Enter: "
_STAY = "Press Enter to close this window. "
_DIALOG = (
    "on run argv",
    'display dialog (item 1 of argv) with title "sheetkit" buttons {"Close"} default button 1',
    "end run",
)
_MOST_IN_DIALOG = 1500


def dropped(call: str, launcher: str) -> list[str] | None:
    r"""The files that Windows gave to a launcher.

    Args:
        call: the whole call, such as ``cmd.exe /c ""C:\shop\sheetkit-refresh.cmd" "C:\my jobs\a.xlsx" C:\B&C.ods"``
        launcher: file name of the launcher

    Returns:
        The paths; None where the launcher stands nowhere in the call, since it was typed into a window that was open.
    """
    found = re.search(re.escape(launcher), call, re.IGNORECASE) if launcher else None
    if found is None:
        return None
    rest = call[found.end() :].removeprefix('"').rstrip()
    if rest.count('"') % 2:
        rest = rest.removesuffix('"')
    return [quoted or bare for quoted, bare in _QUOTED_OR_NOT.findall(rest)]


def typed(line: str, *, windows: bool) -> list[str]:
    """The paths in a line typed, or made by dragging files into the window; a shell's quoting is undone."""
    if windows:
        return [quoted or bare for quoted, bare in _QUOTED_OR_NOT.findall(line)]
    try:
        return shlex.split(line)
    except ValueError:
        return [line.strip()]


def start(arguments: Sequence[str], environment: Mapping[str, str] = os.environ) -> int:
    """Refresh and open the workbooks.

    Args:
        arguments: their paths; of no account where Windows says which files were dropped
        environment: variables of the environment

    Returns:
        Exit code of `sheetkit refresh`, with `BY_DROPPING` added where Windows started the launcher by itself.
    """
    given = dropped(environment.get(CALL, ""), environment.get(LAUNCHER, ""))
    own_window = given is not None
    workbooks = list(arguments) if given is None else given
    interactive = sys.stdin is not None and sys.stdin.isatty()
    if not workbooks and interactive:
        workbooks = typed(_answer(_ASK), windows=sys.platform == "win32")
        own_window = True
    code = _refresh(workbooks, interactive=interactive) if workbooks else 0
    if code and interactive and (own_window or sys.platform == "darwin"):
        _answer(_STAY)
    return code + (BY_DROPPING if given is not None else 0)


def _refresh(workbooks: Sequence[str], *, interactive: bool) -> int:
    command = [sys.executable, "-P", "-m", "sheetkit", "refresh", "--open", "--", *workbooks]
    dialog = None if interactive else shutil.which("osascript")
    if dialog is None:
        return subprocess.run(command, check=False).returncode  # noqa: S603 - this very Python, no shell between
    told = subprocess.run(command, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)  # noqa: S603
    if told.returncode:
        text = told.stdout.decode(errors="replace")[:_MOST_IN_DIALOG]
        lines = [part for line in _DIALOG for part in ("-e", line)]
        subprocess.run([dialog, *lines, text], check=False)  # noqa: S603
    return told.returncode


def _answer(question: str) -> str:
    try:
        return input(question)
    except (EOFError, KeyboardInterrupt):
        return ""


if __name__ == "__main__":
    sys.exit(start(sys.argv[1:]))
