"""Writes the launcher that suits this system."""

import sys
from dataclasses import dataclass
from pathlib import Path

from sheetkit.errors import CannotSave
from sheetkit.launchers.texts import MADE_BY, shell_launcher, windows_launcher


@dataclass(frozen=True, slots=True)
class Launcher:
    """A launcher that was written.

    Attributes:
        path: where it is
        use: how it is used, a sentence
    """

    path: Path
    use: str


def write_launcher(folder: Path, python: str = sys.executable, system: str = sys.platform) -> Launcher:
    """Write the launcher, or replace an older one.

    Args:
        folder: where to; made if it is not there
        python: the Python that has sheetkit; the launcher works as long as it stays where it is
        system: as `sys.platform` names it

    Raises:
        CannotSave: another file has its name, or the folder cannot be written to
    """
    name, content, use = _for(system, python)
    path = (folder / name).absolute()
    try:
        _refuse_other(path)
        folder.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        path.chmod(0o755)
    except OSError as refused:
        raise CannotSave(
            str(path),
            f"a folder that refused the launcher ({refused.strerror or refused})",
            "a folder that can be written to",
            "choose another folder",
        ) from refused
    return Launcher(path, use)


def _for(system: str, python: str) -> tuple[str, bytes, str]:
    if system == "win32":
        use = "Drop workbooks on it, or put a shortcut to it where Windows + R opens shell:sendto, for the right click."
        return "sheetkit-refresh.cmd", windows_launcher(python), use
    if system == "darwin":
        use = "Double-click it and drag workbooks into its window; the README says how to put it into the right click."
        return "sheetkit-refresh.command", shell_launcher(python), use
    return "sheetkit-refresh.sh", shell_launcher(python), "Call it with the workbooks to refresh and open."


def _refuse_other(path: Path) -> None:
    if path.exists() and (not path.is_file() or MADE_BY.encode() not in path.read_bytes()):
        raise CannotSave(
            str(path), "another file of that name", "a new name, or an older launcher", "choose another folder"
        )
