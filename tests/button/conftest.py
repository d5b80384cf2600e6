"""LibreOffice without a window, with the button installed in a profile of its own, and somebody to press it."""

import json
import os
import shutil
import signal
import subprocess
import tempfile
from pathlib import Path

import pytest

from sheetkit.button.build import make_button

DRIVER = Path(__file__).with_name("office_driver.py")
NOBODY = 65534


def lacking(reason):
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def bridge():
    """The Python that can talk to LibreOffice."""
    if shutil.which("soffice") is None or shutil.which("unopkg") is None:
        lacking("LibreOffice is not installed")
    beside = Path(shutil.which("soffice")).resolve().parent / "python"
    for python in ("/usr/bin/python3", str(beside)):
        if Path(python).exists():
            tried = subprocess.run([python, "-c", "import uno"], capture_output=True, check=False)
            if tried.returncode == 0:
                return python
    return lacking("no Python here can talk to LibreOffice (python3-uno)")


@pytest.fixture(scope="session")
def profile(bridge):
    """A profile with the button added as a maker adds it; root may not add extensions, so nobody does it there."""
    folder = Path(tempfile.mkdtemp(prefix="sheetkit-button-"))
    make_button(folder / "sheetkit.oxt")
    as_whom = {}
    if os.geteuid() == 0:
        folder.chmod(0o755)
        for path in (folder, folder / "sheetkit.oxt"):
            os.chown(path, NOBODY, NOBODY)
        as_whom = {"user": NOBODY, "group": NOBODY, "extra_groups": []}
    where = f"-env:UserInstallation=file://{folder}/profile"
    added = subprocess.run(
        ["unopkg", "add", where, str(folder / "sheetkit.oxt")],
        capture_output=True,
        check=False,
        text=True,
        timeout=180,
        cwd=folder,
        env={**os.environ, "HOME": str(folder)},
        **as_whom,
    )
    assert added.returncode == 0, added.stderr
    yield where
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="module")
def maker(bridge, profile):
    """Let the maker do something in LibreOffice and press the button; gives what is seen then."""
    pipe = f"sheetkit{os.getpid()}"
    command = [
        shutil.which("soffice"),
        profile,
        "--headless",
        "--norestore",
        "--nologo",
        f"--accept=pipe,name={pipe};urp",
    ]
    # LibreOffice's Python takes its library from beside the first python3 of the path, and starts with its own only.
    plain = {**os.environ, "PATH": os.defpath}
    silent = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    office = subprocess.Popen(command, **silent, start_new_session=True, env=plain)

    def does(wish):
        assert office.poll() is None or wish == "stop", f"LibreOffice has ended by itself ({office.returncode})"
        played = subprocess.run(
            [bridge, str(DRIVER), pipe],
            input=json.dumps(wish),
            capture_output=True,
            check=False,
            text=True,
            timeout=300,
        )
        assert played.stdout or wish == "stop", played.stderr
        return json.loads(played.stdout) if played.stdout else None

    yield does
    does("stop")
    try:
        office.wait(20)
    except subprocess.TimeoutExpired:
        os.killpg(office.pid, signal.SIGKILL)
        office.wait(20)
