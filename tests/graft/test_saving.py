"""Saving: the old file or the new one, whole, whatever happens in between."""

import contextlib
import errno
import io
import os
import random
import re
import signal
import stat
import time
import zipfile
from dataclasses import replace

import pytest
import xlsxwriter
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table as OdsTable
from odf.table import TableCell as OdsCell
from odf.table import TableRow as OdsRow
from odf.text import P as OdsText

from sheetkit.errors import CannotSave, WorkbookInUse
from sheetkit.graft import graft_into, saving
from sheetkit.graft.locks import only_refresh
from sheetkit.graft.saving import save, stamp
from sheetkit.report.model import ReportCell

KILLS = int(os.environ.get("SHEETKIT_KILLS", "20"))
EVERY_WRITE = os.environ.get("SHEETKIT_EVERY_WRITE") == "1"


def package(marker):
    """A zip file of some 6 kB that deflating does not shorten much."""
    filler = random.Random(marker).randbytes(4000).hex()
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("kept.bin", bytes(range(256)) * 8)
        archive.writestr("part.xml", f"<part>{marker}{filler}</part>")
    return target.getvalue()


OLD, NEW = package("old"), package("new")


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "Schwarznuß & maple 3.xlsx"
    path.write_bytes(OLD)
    return path


def writer(data, piece=500):
    def write(out):
        for at in range(0, len(data), piece):
            out.write(data[at : at + piece])

    return write


def names_in(folder):
    return sorted(entry.name for entry in folder.iterdir())


def test_the_new_file_takes_the_place_of_the_old_one_and_nothing_else_is_left(book):
    assert save(book, writer(NEW)) is True
    assert book.read_bytes() == NEW
    assert names_in(book.parent) == [book.name]


def test_the_same_content_leaves_the_file_untouched(book):
    before = book.stat()
    assert save(book, writer(OLD)) is False
    after = book.stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert names_in(book.parent) == [book.name]


def test_permissions_owner_and_attributes_stay(book):
    book.chmod(0o640)
    with contextlib.suppress(OSError):
        os.setxattr(book, "user.origin", b"saw shed")
    attributes = {name: os.getxattr(book, name) for name in os.listxattr(book)}
    before = book.stat()
    save(book, writer(NEW))
    after = book.stat()
    assert stat.S_IMODE(after.st_mode) == 0o640
    assert (after.st_uid, after.st_gid) == (before.st_uid, before.st_gid)
    assert {name: os.getxattr(book, name) for name in os.listxattr(book)} == attributes


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only the superuser can give files away")
def test_somebody_elses_file_stays_theirs(book):
    os.chown(book, 4321, 4322)
    save(book, writer(NEW))
    assert (book.stat().st_uid, book.stat().st_gid) == (4321, 4322)


def test_a_link_stays_a_link_and_its_target_changes(book, tmp_path):
    folder = tmp_path / "links"
    folder.mkdir()
    link = folder / "job.xlsx"
    link.symlink_to(book)
    assert save(link, writer(NEW)) is True
    assert link.is_symlink()
    assert book.read_bytes() == NEW
    assert names_in(folder) == ["job.xlsx"]


def test_a_copy_is_kept_under_a_name_that_nothing_has(book):
    save(book, writer(NEW), keep_copy=True)
    save(book, writer(OLD), keep_copy=True)
    first = book.with_name(f"{book.stem} (before refresh).xlsx")
    second = book.with_name(f"{book.stem} (before refresh 2).xlsx")
    assert (first.read_bytes(), second.read_bytes(), book.read_bytes()) == (OLD, NEW, OLD)


def test_a_copy_is_kept_where_a_file_cannot_have_two_names(book, monkeypatch):
    def refuse(*_):
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    save(book, writer(NEW), keep_copy=True)
    assert book.with_name(f"{book.stem} (before refresh).xlsx").read_bytes() == OLD
    assert len(names_in(book.parent)) == 2


def test_no_copy_is_kept_of_a_file_that_does_not_change(book):
    save(book, writer(OLD), keep_copy=True)
    assert names_in(book.parent) == [book.name]


@pytest.mark.parametrize(
    "name", ["a" * 250 + ".xlsx", "é" * 120 + ".xlsx", "rack 2, left (újra).xlsx", "木" * 80 + ".ods"]
)
def test_long_and_accented_names_are_no_trouble(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(OLD)
    assert save(path, writer(NEW), keep_copy=True) is True
    assert path.read_bytes() == NEW
    assert len(names_in(tmp_path)) == 2


@pytest.mark.parametrize(
    ("lock", "content", "words"),
    [
        (".~lock.{}#", "Ada,ada,shed,25.11.2024 10:00,file:///x;", "open in a spreadsheet program by Ada"),
        (".~lock.{}#", ",ada,shed,,;", "open in a spreadsheet program by ada"),
        ("~${}", "\x03Ada" + " " * 51, "open in a spreadsheet program by Ada"),
        ("~${}", "", "open in a spreadsheet program"),
    ],
)
def test_a_workbook_that_is_open_in_a_program_is_left_alone(book, lock, content, words):
    file = book.with_name(lock.format(book.name))
    file.write_text(content, "utf-8")
    with pytest.raises(WorkbookInUse) as caught:
        save(book, writer(NEW))
    assert str(caught.value) == (
        f"{book.name}: found {words}, wanted a workbook that nobody has open. To fix: save and close it there; "
        f"if it is open nowhere, delete the file {file.name} beside it."
    )
    assert book.read_bytes() == OLD
    assert names_in(book.parent) == sorted([book.name, file.name])


def test_a_program_that_opens_the_workbook_meanwhile_wins(book):
    def write(out):
        out.write(NEW)
        book.with_name(f".~lock.{book.name}#").touch()

    with pytest.raises(WorkbookInUse) as caught:
        save(book, write)
    assert str(caught.value) == (
        f"{book.name}: found open in a spreadsheet program, wanted a workbook that nobody has open. To fix: save and "
        f"close it there; if it is open nowhere, delete the file .~lock.{book.name}# beside it."
    )
    assert book.read_bytes() == OLD


def test_a_workbook_that_was_changed_since_it_was_read_is_left_alone(book):
    read = stamp(book)
    book.write_bytes(package("somebody else's"))
    with pytest.raises(WorkbookInUse) as caught:
        save(book, writer(NEW), as_read=read)
    assert str(caught.value) == (
        f"{book.name}: found changed since it was read, wanted a workbook that nobody else is changing. "
        "To fix: save and close it everywhere, then refresh again."
    )
    assert book.read_bytes() == package("somebody else's")


def test_a_workbook_that_is_changed_while_it_is_saved_is_left_alone(book):
    def write(out):
        out.write(NEW)
        book.write_bytes(package("quick"))

    with pytest.raises(WorkbookInUse) as caught:
        save(book, write, verify=lambda _: None)
    assert str(caught.value) == (
        f"{book.name}: found changed since it was read, wanted a workbook that nobody else is changing. "
        "To fix: save and close it everywhere, then refresh again."
    )
    assert book.read_bytes() == package("quick")
    assert names_in(book.parent) == [book.name]


def test_two_refreshes_at_once_do_not_clash(book):
    with only_refresh(book), pytest.raises(WorkbookInUse) as caught:
        save(book, writer(NEW))
    assert str(caught.value) == (
        f"{book.name}: found another refresh at work on it, wanted a workbook that nobody has open. "
        "To fix: wait until it has finished, then refresh again."
    )
    assert book.read_bytes() == OLD
    assert save(book, writer(NEW)) is True


def test_a_read_only_file_is_left_alone(book):
    book.chmod(0o444)
    with pytest.raises(CannotSave) as caught:
        save(book, writer(NEW))
    assert str(caught.value) == (
        f"{book.name}: found a file that may only be read, wanted one that can be written to. "
        "To fix: allow writing to the file, or refresh a copy."
    )
    assert book.read_bytes() == OLD


def as_nobody(action):
    """Run in a child without the superuser's rights; 0 where the action returned true."""
    child = os.fork()
    if child == 0:
        code = 99
        try:
            os.setuid(65534)
            code = 0 if action() else 1
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="the superuser plays a user without rights")
def test_a_folder_that_may_not_be_written_to_gives_one_clear_line(book, tmp_path):
    folder = tmp_path / "locked"
    folder.mkdir()
    path = folder / "job.xlsx"
    path.write_bytes(OLD)
    path.chmod(0o666)
    for each in [*tmp_path.parents, tmp_path]:
        if each.name.startswith(("pytest-", "popen-", "test_")):
            each.chmod(0o755)

    def action():
        with pytest.raises(CannotSave) as caught:
            save(path, writer(NEW))
        assert str(caught.value) == (
            "job.xlsx: found a folder you may not write to, wanted a place that can be written to; the file was left "
            "as it is. To fix: copy the workbook to a folder of your own and refresh it there."
        )
        return path.read_bytes() == OLD

    assert as_nobody(action) == 0
    assert names_in(folder) == ["job.xlsx"]


@pytest.mark.parametrize(
    ("number", "found", "fix"),
    [
        (errno.ENOSPC, "a full disk", "free some space, then refresh again"),
        (errno.EDQUOT, "a used-up share of the disk", "free some space, then refresh again"),
        (errno.EFBIG, "a file larger than the disk allows", "free some space, or move the workbook to another disk"),
        (errno.EROFS, "a disk that can only be read", "copy the workbook to another disk and refresh it there"),
        (
            errno.EACCES,
            "a folder you may not write to",
            "copy the workbook to a folder of your own and refresh it there",
        ),
        (
            errno.EPERM,
            "a folder you may not write to",
            "copy the workbook to a folder of your own and refresh it there",
        ),
        (errno.ENAMETOOLONG, "a name that is too long", "give the workbook a shorter name"),
        (errno.EIO, f"a problem of the disk ({os.strerror(errno.EIO)})", "check the disk, then refresh again"),
    ],
)
def test_what_the_system_says_while_writing_is_put_in_the_makers_words(book, number, found, fix):
    def write(_):
        raise OSError(number, os.strerror(number))

    with pytest.raises(CannotSave) as caught:
        save(book, write)
    assert str(caught.value) == (
        f"{book.name}: found {found}, wanted a place that can be written to; the file was left as it is. To fix: {fix}."
    )
    assert (book.read_bytes(), names_in(book.parent)) == (OLD, [book.name])


def test_a_missing_file_gives_one_clear_line(tmp_path):
    with pytest.raises(CannotSave) as caught:
        save(tmp_path / "gone.xlsx", writer(NEW))
    assert str(caught.value) == (
        "gone.xlsx: found no file of that name, wanted a place that can be written to; the file was left as it is. "
        "To fix: check the name and the folder."
    )


def test_where_an_open_file_cannot_be_replaced_the_maker_is_told_to_close_it(book, monkeypatch):
    def refuse(*_):
        raise PermissionError(errno.EACCES, "Access is denied")

    monkeypatch.setattr(saving.sys, "platform", "win32")
    monkeypatch.setattr(type(book), "replace", refuse)
    with pytest.raises(WorkbookInUse) as caught:
        saving._put_in_place(book, book)
    assert str(caught.value) == (
        f"{book.name}: found open in another program, wanted a workbook that nobody has open. "
        "To fix: save and close it there, then refresh again."
    )


@pytest.mark.parametrize("failing", range(-(-len(NEW) // 500)))
def test_a_disk_that_fills_up_at_any_write_leaves_the_old_file(book, failing):
    class Full(io.RawIOBase):
        def __init__(self, out):
            self.out, self.calls = out, 0

        def write(self, data):
            if self.calls == failing:
                raise OSError(errno.ENOSPC, "No space left on device")
            self.calls += 1
            return self.out.write(data)

    assert len(NEW) > 4000
    with pytest.raises(CannotSave) as caught:
        save(book, lambda out: writer(NEW)(Full(out)))
    assert str(caught.value) == (
        f"{book.name}: found a full disk, wanted a place that can be written to; the file was left as it is. "
        "To fix: free some space, then refresh again."
    )
    assert book.read_bytes() == OLD
    assert names_in(book.parent) == [book.name]


@pytest.mark.parametrize("call", ["fsync", "chmod_part", "replace"])
def test_a_failure_of_each_later_step_leaves_the_old_file(book, monkeypatch, call):
    def fail(*_, **__):
        raise OSError(errno.EIO, "Input/output error")

    if call == "fsync":
        monkeypatch.setattr(os, "fsync", fail)
    else:
        monkeypatch.setattr(type(book), {"chmod_part": "chmod", "replace": "replace"}[call], fail)
    with pytest.raises(CannotSave) as caught:
        save(book, writer(NEW))
    assert str(caught.value) == (
        f"{book.name}: found a problem of the disk (Input/output error), wanted a place that can be written to; "
        "the file was left as it is. To fix: check the disk, then refresh again."
    )
    assert book.read_bytes() == OLD
    assert names_in(book.parent) == [book.name]


@pytest.mark.skipif(os.name == "nt", reason="needs a limit on the size of files")
@pytest.mark.parametrize("limit", [0, 1, 3000, len(NEW) - 1])
def test_a_real_limit_on_the_size_of_files_leaves_the_old_file(book, limit):
    import resource

    child = os.fork()
    if child == 0:
        code = 99
        try:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
            with pytest.raises(CannotSave) as caught:
                save(book, writer(NEW))
            assert str(caught.value) == (
                f"{book.name}: found a file larger than the disk allows, wanted a place that can be written to; the "
                "file was left as it is. To fix: free some space, or move the workbook to another disk."
            )
            code = 0
        finally:
            os._exit(code)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    assert book.read_bytes() == OLD
    assert names_in(book.parent) == [book.name]


@pytest.mark.parametrize(
    ("damaged", "reason"),
    [
        (NEW[:-30], "File is not a zip file"),
        (
            NEW.replace(b"part.xml", b"part.xmk", 1),
            r"File name in directory 'part\.xml' and header b'part\.xmk' differ\.",
        ),
        (NEW[:100] + bytes([NEW[100] ^ 255]) + NEW[101:], ".+"),
        (package("<"), r"not well-formed \(invalid token\): line 1, column \d+"),
    ],
    ids=["cut short", "other local name", "flipped bits", "XML not well-formed"],
)
def test_a_new_file_that_does_not_read_back_never_takes_the_place(book, damaged, reason):
    """The reason is the words of the library that reads it, for whoever looks into it."""
    with pytest.raises(CannotSave) as caught:
        save(book, writer(damaged))
    assert re.fullmatch(
        f"{re.escape(book.name)}: found a new file that does not read back as it was written \\({reason}\\), wanted a "
        r"sound workbook; the old one was left as it is\. To fix: try again; if it happens again, check the disk\.",
        str(caught.value),
    )
    assert book.read_bytes() == OLD
    assert names_in(book.parent) == [book.name]


def test_what_a_killed_run_left_is_cleared_and_other_files_are_not(book):
    stem = saving.own_stem(book)
    for name in (f"{stem}-77.part", f"{stem}.lock", f"{stem}-notes.txt", ".sheetkit-other.part"):
        (book.parent / name).write_bytes(b"half")
    save(book, writer(NEW))
    assert names_in(book.parent) == sorted([book.name, f"{stem}-notes.txt", ".sheetkit-other.part"])


@pytest.mark.skipif(os.name == "nt", reason="needs fork and kill")
def test_a_kill_at_any_moment_leaves_the_old_file_or_the_new_one(book):
    chance = random.Random(20241125)
    for _ in range(KILLS):
        child = os.fork()
        if child == 0:
            while True:
                save(book, writer(NEW, piece=50), keep_copy=False)
                save(book, writer(OLD, piece=50), keep_copy=False)
        time.sleep(chance.uniform(0.0, 0.03))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        assert book.read_bytes() in {OLD, NEW}
    book.write_bytes(OLD)
    assert save(book, writer(NEW)) is True
    assert names_in(book.parent) == [book.name]


# Whole refreshes


def filled(path):
    """A small workbook of the format that the path's ending asks for."""
    if path.suffix == ".ods":
        book = OpenDocumentSpreadsheet()
        sheet = OdsTable(name="Rack")
        row, cell = OdsRow(), OdsCell(valuetype="string")
        cell.addElement(OdsText(text="W1"))
        row.addElement(cell)
        sheet.addElement(row)
        book.spreadsheet.addElement(sheet)
        book.save(path)
    else:
        with xlsxwriter.Workbook(path) as book:
            book.add_worksheet("Rack").write(0, 0, "W1")
    return path


def refresh(path, sheets):
    return save(path, lambda out: graft_into(path, sheets, out))


@pytest.mark.parametrize("name", ["job.xlsx", "job.ods"])
def test_a_second_refresh_of_a_real_workbook_does_not_touch_it(tmp_path, rich_sheets, name):
    path = filled(tmp_path / name)
    assert refresh(path, rich_sheets) is True
    before = path.stat()
    assert refresh(path, rich_sheets) is False
    assert (path.stat().st_ino, path.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


@pytest.mark.skipif(os.name == "nt", reason="needs fork and kill")
@pytest.mark.parametrize("name", ["job.xlsx", "job.ods"])
def test_a_refresh_killed_at_any_moment_leaves_the_old_file_or_the_new_one(
    tmp_path, rich_sheets, name, record_property
):
    record_property("survived", KILLS)
    path = filled(tmp_path / name)
    once = rich_sheets
    twice = [replace(sheet, rows=[*sheet.rows, [ReportCell("more")]]) for sheet in once]
    for sheets in (once, twice, once):
        refresh(path, sheets)
    one = path.read_bytes()
    refresh(path, twice)
    other = path.read_bytes()
    assert one != other
    chance = random.Random(20241125)
    seen = set()
    for _ in range(KILLS):
        child = os.fork()
        if child == 0:
            while True:
                refresh(path, once)
                refresh(path, twice)
        time.sleep(chance.uniform(0.0, 0.25))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        assert path.read_bytes() in {one, other}
        seen.update(entry.name.rsplit(".", 1)[-1] for entry in tmp_path.iterdir())
    assert "part" in seen, "no kill fell into the writing: the test would prove nothing"
    refresh(path, once)
    refresh(path, twice)
    assert path.read_bytes() == other
    assert names_in(tmp_path) == [name]


@pytest.mark.parametrize("name", ["job.xlsx", "job.ods"])
def test_a_disk_that_fills_up_at_any_write_of_a_refresh_leaves_the_old_file(
    tmp_path, rich_sheets, name, record_property
):
    path = filled(tmp_path / name)
    before = path.read_bytes()

    class Counting:
        """Counts the writes and fails at one of them."""

        def __init__(self, out, failing=None):
            self.out, self.failing, self.calls = out, failing, 0

        def __getattr__(self, name):
            return getattr(self.out, name)

        def write(self, data):
            if self.calls == self.failing:
                raise OSError(errno.ENOSPC, "No space left on device")
            self.calls += 1
            return self.out.write(data)

    counted = Counting(io.BytesIO())
    graft_into(path, rich_sheets, counted)
    assert counted.calls > 20
    writes = range(0, counted.calls, 1 if EVERY_WRITE else counted.calls // 8)
    record_property("survived", len(writes))
    for failing in writes:
        with pytest.raises(CannotSave) as caught:
            save(path, lambda out, failing=failing: graft_into(path, rich_sheets, Counting(out, failing)))
        assert str(caught.value) == (
            f"{name}: found a full disk, wanted a place that can be written to; the file was left as it is. "
            "To fix: free some space, then refresh again."
        )
        assert path.read_bytes() == before
        assert names_in(tmp_path) == [name]
    assert refresh(path, rich_sheets) is True
