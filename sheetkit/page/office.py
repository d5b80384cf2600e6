"""LibreOffice, run out of sight to make a PDF of a workbook of ours."""

import contextlib
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from sheetkit.errors import CannotSave

PROGRAM_NAMED: Final = "SHEETKIT_SOFFICE"
"""Environment variable that names the program where it is not found by itself."""
TIME_LIMIT_S: Final = 120.0
_USUAL_PLACES: Final = (
    "/Applications/LibreOffice.app/Contents/MacOS/soffice",
    "C:/Program Files/LibreOffice/program/soffice.com",
    "C:/Program Files (x86)/LibreOffice/program/soffice.com",
)


def find_office(target: Path, environment: Mapping[str, str] = os.environ) -> str:
    """Where LibreOffice is.

    Args:
        target: the PDF that is wanted, for the message
        environment: variables of the environment

    Raises:
        CannotSave: it is not on this machine
    """
    named = environment.get(PROGRAM_NAMED)
    search = environment.get("PATH")
    candidates = (named,) if named else ("soffice", "libreoffice", *_USUAL_PLACES)
    for candidate in candidates:
        found = shutil.which(candidate, path=search)
        if found:
            return found
    raise CannotSave(
        target.name,
        f"no program {named}, which {PROGRAM_NAMED} names" if named else "no LibreOffice on this machine",
        "LibreOffice, which turns the page into a PDF",
        f"install LibreOffice, or name its program soffice in the variable {PROGRAM_NAMED}; nothing was changed",
    )


def make_pdf(program: str, workbook: Path, target: Path, *, time_limit_s: float = TIME_LIMIT_S) -> bytes:
    """Turn a workbook into a PDF.

    Args:
        program: LibreOffice, from `find_office`
        workbook: alone in a folder that may be written into; the program's own settings go there, too, so that it
            neither meets nor changes those of the maker
        target: the PDF that is wanted, for the message
        time_limit_s: after so long it is stopped [s]

    Raises:
        CannotSave: it failed, or took too long

    Returns:
        The PDF.
    """
    folder = workbook.parent
    command = [program, f"-env:UserInstallation={(folder / 'settings').absolute().as_uri()}", "--headless"]
    command += ["--norestore", "--convert-to", "pdf:calc_pdf_Export", "--outdir", str(folder), str(workbook)]
    trouble = _run(command, time_limit_s)
    with contextlib.suppress(OSError):
        made = workbook.with_suffix(".pdf").read_bytes()
        if made.startswith(b"%PDF-"):
            return made
    fix = f"start LibreOffice by hand once to see that it runs ({program}); the workbook itself was refreshed"
    raise CannotSave(target.name, f"that LibreOffice made no PDF ({trouble})", "one page as a PDF", fix)


def _run(command: list[str], time_limit_s: float) -> str:
    """Run it to its end, or end it with all that it started; gives what it last said."""
    try:
        process = subprocess.Popen(  # noqa: S603 - the program found above, and paths of our own
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=sys.platform != "win32",
        )
    except OSError as error:
        return error.strerror or str(error)
    try:
        said, _ = process.communicate(timeout=time_limit_s)
    except subprocess.TimeoutExpired:
        _end(process)
        return f"stopped after {time_limit_s:g} s"
    except BaseException:
        _end(process)
        raise
    words = said.decode(errors="replace").split()
    return f"it ended with code {process.returncode}{': ' if words else ''}{' '.join(words)[-200:]}"


def _end(process: subprocess.Popen[bytes]) -> None:
    if sys.platform == "win32":
        subprocess.run(["taskkill", "/F", "/T", "/PID", str(process.pid)], capture_output=True, check=False)  # noqa: S603, S607
    else:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
    process.communicate()
