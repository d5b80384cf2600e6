"""The launchers: what Windows hands over is read rightly, the shell one runs, the .cmd holds what it must."""

import json
import os
import subprocess
import sys

import pytest

from sheetkit.errors import CannotSave
from sheetkit.launchers import started
from sheetkit.launchers.texts import BY_DROPPING, CALL, LAUNCHER, shell_launcher, windows_launcher
from sheetkit.launchers.write import write_launcher

CMD = r'C:\WINDOWS\system32\cmd.exe /c ""C:\my shop\sheetkit-refresh.cmd" '


@pytest.mark.parametrize(("rest", "files"), [
    (r'"C:\my jobs\a b.xlsx""', [r"C:\my jobs\a b.xlsx"]),
    (r'C:\jobs\a.xlsx"', [r"C:\jobs\a.xlsx"]),
    (r'C:\jobs\A&B.xlsx"', [r"C:\jobs\A&B.xlsx"]),
    (r'C:\jobs\a^b.xlsx "C:\x y\50% & more!.ods" C:\größe\ümlaut.xlsx"',
     [r"C:\jobs\a^b.xlsx", r"C:\x y\50% & more!.ods", r"C:\größe\ümlaut.xlsx"]),
    (r'\\server\share\a(1).xlsx"', [r"\\server\share\a(1).xlsx"]),
    ('"', []),
])  # fmt: skip
def test_files_dropped_on_windows_are_read_from_the_call_as_it_was_written(rest, files):
    """How Explorer writes the call, from memory: quotes around names with spaces only, and a pair around the whole."""
    assert started.dropped(CMD + rest, "sheetkit-refresh.cmd") == files


def test_a_launcher_that_was_typed_takes_its_arguments_instead():
    assert started.dropped(r'"C:\WINDOWS\system32\cmd.exe" ', "sheetkit-refresh.cmd") is None
    assert started.dropped("", "") is None


@pytest.mark.parametrize(("line", "windows", "files"), [
    (r"/Users/ann/my\ jobs/a\&b.xlsx /Users/ann/c.ods ", False, ["/Users/ann/my jobs/a&b.xlsx", "/Users/ann/c.ods"]),
    ("'/home/ann/my jobs/a.xlsx'", False, ["/home/ann/my jobs/a.xlsx"]),
    ("/home/ann/it's.xlsx", False, ["/home/ann/it's.xlsx"]),
    (r'"C:\my jobs\a.xlsx"', True, [r"C:\my jobs\a.xlsx"]),
    ("", False, []),
])  # fmt: skip
def test_files_dragged_into_the_window_are_read(line, windows, files):
    assert started.typed(line, windows=windows) == files


@pytest.fixture
def python_stand_in(tmp_path):
    """A Python that notes how it was called, under a name that a careless launcher would break."""
    folder = tmp_path / "it's a 50% $HOME & more"
    folder.mkdir()
    program = folder / "python 'ö'"
    program.write_text(
        f"#!{sys.executable}\nimport json, pathlib, sys\n"
        f"pathlib.Path({str(tmp_path / 'called.json')!r}).write_text(json.dumps(sys.argv[1:]))\nsys.exit(1)\n",
        "utf-8",
    )
    program.chmod(0o755)
    return program


NAMES = ["plain.xlsx", "a b.ods", "A&B;c.xlsx", "50% $HOME `x` 'q'.xlsx", "größe ¼.xlsx", "-dash.xlsx"]


@pytest.mark.skipif(sys.platform == "win32", reason="a shell script")
@pytest.mark.parametrize("shell", ["sh", "bash"])
def test_the_shell_launcher_hands_every_name_on_as_it_is(tmp_path, python_stand_in, shell):
    script = tmp_path / "sheetkit-refresh.sh"
    script.write_bytes(shell_launcher(str(python_stand_in)))
    done = subprocess.run([shell, script, *NAMES], check=False, stdin=subprocess.DEVNULL)
    assert done.returncode == 1
    called = json.loads((tmp_path / "called.json").read_text("utf-8"))
    assert called == ["-P", "-m", "sheetkit.launchers.started", *NAMES]


@pytest.mark.skipif(sys.platform == "win32", reason="a shell script")
def test_a_python_that_has_gone_is_said(tmp_path):
    script = tmp_path / "sheetkit-refresh.sh"
    script.write_bytes(shell_launcher("/nowhere/python"))
    done = subprocess.run(["sh", script], check=False, stdin=subprocess.DEVNULL, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (
        2, "Python is no longer where it was. Make this file anew: sheetkit launcher FOLDER\n",
    )  # fmt: skip


def test_the_windows_launcher_holds_what_it_must():
    lines = windows_launcher(r"C:\Users\Jörg & Co\100%\python.exe").decode("utf-8").split("\r\n")
    assert r'set "SHEETKIT_PYTHON=C:\Users\Jörg & Co\100%%\python.exe"' in lines
    assert lines.index("chcp 65001 >nul") < lines.index(r'set "SHEETKIT_PYTHON=C:\Users\Jörg & Co\100%%\python.exe"')
    assert lines[-3:] == [f"if %SHEETKIT_CODE% geq {BY_DROPPING} exit", "exit /b %SHEETKIT_CODE%", ""]
    assert f'set "{CALL}=!cmdcmdline!"' in lines
    assert f'set "{LAUNCHER}=%~nx0"' in lines
    assert not any("\n" in line for line in lines)


class TestStarted:
    """What a launcher starts, with the refresh itself noted instead of run."""

    @pytest.fixture
    def calls(self, monkeypatch):
        calls = []

        def run(command, **_):
            calls.append(command[1:])
            return subprocess.CompletedProcess(command, 1, b"Stock!D7: found x")

        monkeypatch.setattr(started.subprocess, "run", run)
        monkeypatch.setattr(started.shutil, "which", lambda name: None)
        return calls

    def window(self, monkeypatch, answers):
        monkeypatch.setattr(started.sys, "stdin", type("Window", (), {"isatty": lambda self: True})())
        monkeypatch.setattr("builtins.input", lambda question: answers.append(question) or "'/a b.xlsx'")

    def test_the_workbooks_are_refreshed_and_opened(self, calls):
        assert started.start(["-dash.xlsx", "a b.ods"], {}) == 1
        assert calls == [["-P", "-m", "sheetkit", "refresh", "--open", "--", "-dash.xlsx", "a b.ods"]]

    def test_dropped_files_win_and_their_window_is_to_be_closed(self, calls, monkeypatch):
        questions = []
        self.window(monkeypatch, questions)
        environment = {CALL: CMD + r'C:\jobs\A&B.xlsx"', LAUNCHER: "sheetkit-refresh.cmd"}
        assert started.start([r"C:\jobs\A"], environment) == BY_DROPPING + 1
        assert calls[0][-1] == r"C:\jobs\A&B.xlsx"
        assert questions == ["Press Enter to close this window. "]

    def test_without_a_workbook_it_asks_for_one_and_stays_with_what_there_is_to_read(self, calls, monkeypatch):
        questions = []
        self.window(monkeypatch, questions)
        monkeypatch.setattr(started.sys, "platform", "linux")
        assert started.start([], {}) == 1
        assert calls[0][-1] == "/a b.xlsx"
        assert questions == [
            "Drag the workbooks into this window, then press Enter: ", "Press Enter to close this window. ",
        ]  # fmt: skip

    def test_without_a_window_a_dialog_says_what_there_is_to_read(self, calls, monkeypatch):
        monkeypatch.setattr(started.shutil, "which", lambda name: "/usr/bin/osascript")
        monkeypatch.setattr(started.sys, "stdin", None)
        assert started.start(["a.xlsx"], {}) == 1
        assert calls[1][-1] == "Stock!D7: found x"
        assert 'display dialog (item 1 of argv) with title "sheetkit"' in calls[1][3]


@pytest.mark.parametrize(("system", "name", "use"), [
    (
        "win32", "sheetkit-refresh.cmd",
        "Drop workbooks on it, or put a shortcut to it where Windows + R opens shell:sendto, for the right click.",
    ),
    (
        "darwin", "sheetkit-refresh.command",
        "Double-click it and drag workbooks into its window; the README says how to put it into the right click.",
    ),
    ("linux", "sheetkit-refresh.sh", "Call it with the workbooks to refresh and open."),
])  # fmt: skip
def test_each_system_gets_its_own_and_a_newer_one_replaces_it(tmp_path, system, name, use):
    folder = tmp_path / "new folder"
    made = write_launcher(folder, "/old/python", system)
    assert (made.path.name, os.access(made.path, os.X_OK), made.use) == (name, True, use)
    write_launcher(folder, "/new/python", system)
    assert b"/new/python" in made.path.read_bytes()


def test_a_folder_that_refuses_the_launcher_is_told_of(tmp_path):
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(CannotSave) as refused:
        write_launcher(tmp_path / "taken" / "below", "/python", "linux")
    assert str(refused.value) == (
        f"{tmp_path / 'taken' / 'below' / 'sheetkit-refresh.sh'}: found a folder that refused the launcher (Not a "
        "directory), wanted a folder that can be written to. To fix: choose another folder."
    )


def test_a_file_of_the_makers_is_not_written_over(tmp_path):
    own = tmp_path / "sheetkit-refresh.sh"
    own.write_text("mine")
    with pytest.raises(CannotSave) as refused:
        write_launcher(tmp_path, "/python", "linux")
    assert str(refused.value) == (
        f"{own}: found another file of that name, wanted a new name, or an older launcher. "
        "To fix: choose another folder."
    )
    assert own.read_text() == "mine"
