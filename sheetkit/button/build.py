"""Makes the extension: a zip of the files in `oxt/`, the modules that travel, the pictures, and where sheetkit is."""

import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from lxml import etree

from sheetkit import __version__
from sheetkit.button.engine import WHERE, Engine
from sheetkit.button.icons import SIZES, icon
from sheetkit.errors import CannotSave, UsageProblem

ENDING: Final = ".oxt"
IDENTIFIER: Final = "sheetkit.button"
TRAVELS_AS: Final = "sheetkit_button"
"""Under a name of its own, so that it never meets a sheetkit that the office program's own Python may have."""

_HERE: Final = Path(__file__).parent
_SAME_TIME: Final = (2020, 1, 1, 0, 0, 0)
"""Of every entry, so that the same sheetkit makes the same file."""


def make_button(path: Path, python: str = sys.executable) -> None:
    """Write the extension that puts the button into LibreOffice.

    Args:
        path: where to, ending in .oxt; an older button there is replaced
        python: the Python that has sheetkit; the button works as long as it stays where it is

    Raises:
        UsageProblem: another ending, or that Python does not run sheetkit by itself
        CannotSave: something else is there, or the file cannot be written
    """
    if path.suffix.lower() != ENDING:
        raise UsageProblem(str(path), f"the ending {path.suffix or '(none)'}", ENDING, f"call it {path.stem}{ENDING}")
    _refuse_other(path)
    _refuse_without_sheetkit(python)
    try:
        path.write_bytes(extension(Engine(python, __version__)))
    except OSError as refused:
        raise CannotSave(
            str(path),
            f"a folder that refused the button ({refused.strerror or refused})",
            "a folder that can be written to",
            "choose another folder",
        ) from refused


def extension(engine: Engine) -> bytes:
    """The extension's bytes, the same for the same engine."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in _entries(engine):
            entry = zipfile.ZipInfo(name, _SAME_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            package.writestr(entry, content)
    return out.getvalue()


def _entries(engine: Engine) -> Iterator[tuple[str, bytes]]:
    kept = _HERE / "oxt"
    for file in sorted(each for each in kept.rglob("*") if each.is_file()):
        name = file.relative_to(kept).as_posix()
        yield name, _described(file) if name == "description.xml" else file.read_bytes()
    yield "component.py", _travelling("component")
    for module in ("__init__", "document", "engine"):
        yield f"pythonpath/{TRAVELS_AS}/{module}.py", _travelling(module)
    yield f"pythonpath/{TRAVELS_AS}/{WHERE}", json.dumps(engine._asdict(), indent=1).encode()
    for size in SIZES:
        yield f"icons/{size}.png", icon(size)


def _travelling(module: str) -> bytes:
    text = (_HERE / f"{module}.py").read_text("utf-8")
    return text.replace("from sheetkit.button", f"from {TRAVELS_AS}").encode()


def _described(file: Path) -> bytes:
    tree = etree.parse(file)
    for version in tree.iter("{*}version"):
        version.set("value", __version__)
    return bytes(etree.tostring(tree, xml_declaration=True, encoding="UTF-8"))


def _refuse_other(path: Path) -> None:
    """A file that is not an older button is not written over."""
    if not path.exists():
        return
    try:
        with zipfile.ZipFile(path) as package:
            if f'"{IDENTIFIER}"'.encode() in package.read("description.xml"):
                return
    except (OSError, zipfile.BadZipFile, KeyError):
        pass
    raise CannotSave(
        str(path), "another file of that name", "a new name", "choose another name, or move that file away"
    )


def _refuse_without_sheetkit(python: str) -> None:
    try:
        asked = subprocess.run(  # noqa: S603 - the Python that runs this, or the one that the caller names
            [python, "-P", "-m", "sheetkit", "--version"], capture_output=True, timeout=60, check=False
        )
        runs = asked.returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        runs = False
    if not runs:
        raise UsageProblem(
            python,
            "a Python that does not run sheetkit by itself",
            "one in which sheetkit is installed",
            "install sheetkit with pip, and make the button with that",
        )
