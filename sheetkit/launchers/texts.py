"""What stands in a launcher. It only finds Python; everything else is done by `sheetkit.launchers.started`."""

import shlex
from typing import Final

MADE_BY: Final = "made by: sheetkit launcher"
"""Stands in every launcher, so that a newer one may replace it."""
CALL: Final = "SHEETKIT_CALL"
"""Environment variable: the whole call by which Windows started the launcher, exactly as it was written."""
LAUNCHER: Final = "SHEETKIT_LAUNCHER"
"""Environment variable: the launcher's own file name."""
BY_DROPPING: Final = 10
"""Added to the exit code where the Windows launcher was started by dropping a file on it.

Its window must then be left with "exit": a name with "&" in it is not quoted there, and what follows would be run.
"""

_WINDOWS: Final = r"""@echo off
rem Refreshes the workbooks that are dropped on this file. {made_by}
setlocal DisableDelayedExpansion
chcp 65001 >nul
set "{launcher}=%~nx0"
set "SHEETKIT_PYTHON={python}"
if not exist "%SHEETKIT_PYTHON%" (
  echo Python is no longer where it was. Make this file anew: sheetkit launcher FOLDER
  pause
  exit /b 2
)
setlocal EnableDelayedExpansion
set "{call}=!cmdcmdline!"
setlocal DisableDelayedExpansion
"%SHEETKIT_PYTHON%" -P -X utf8 -m sheetkit.launchers.started %*
set "SHEETKIT_CODE=%errorlevel%"
if %SHEETKIT_CODE% geq {by_dropping} exit
exit /b %SHEETKIT_CODE%
"""

_SHELL: Final = r"""#!/bin/sh
# Refreshes the workbooks that are named or dropped. {made_by}
SHEETKIT_PYTHON={python}
if [ ! -x "$SHEETKIT_PYTHON" ]; then
  echo "Python is no longer where it was. Make this file anew: sheetkit launcher FOLDER"
  if [ -t 0 ]; then read -r _; fi
  exit 2
fi
exec "$SHEETKIT_PYTHON" -P -m sheetkit.launchers.started "$@"
"""


def windows_launcher(python: str) -> bytes:
    """The .cmd file.

    Args:
        python: absolute path of the Python that has sheetkit; any name that Windows allows

    The name of a dropped file may hold spaces, "&", "%", "^", "!" and any letter. So it is not taken from the
    launcher's arguments, in which Windows has already read "&" and "^" as signs of its own, but from the call as it was
    written.
    """
    text = _WINDOWS.format(
        made_by=MADE_BY, python=python.replace("%", "%%"), launcher=LAUNCHER, call=CALL, by_dropping=BY_DROPPING
    )
    return text.replace("\n", "\r\n").encode()


def shell_launcher(python: str) -> bytes:
    """The file for macOS and other Unix systems, read by any POSIX shell.

    Args:
        python: absolute path of the Python that has sheetkit
    """
    return _SHELL.format(made_by=MADE_BY, python=shlex.quote(python)).encode()
