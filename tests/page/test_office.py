"""LibreOffice absent, failing, hanging: one clear line, and nothing left running."""

import os
import sys

import pytest

from sheetkit.errors import CannotSave
from sheetkit.page.make import put
from sheetkit.page.office import PROGRAM_NAMED, find_office, make_pdf

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the stand-ins are shell scripts")


@pytest.fixture
def small(tmp_path):
    folder = tmp_path / "folder"
    folder.mkdir()
    return folder / "page.xlsx"


def refusal(call):
    with pytest.raises(CannotSave) as refused:
        call()
    return str(refused.value)


def test_that_it_is_absent_is_said_with_what_to_do(tmp_path):
    said = refusal(lambda: find_office(tmp_path / "page.pdf", {"PATH": str(tmp_path)}))
    assert said == (
        "page.pdf: found no LibreOffice on this machine, wanted LibreOffice, which turns the page into a PDF. To fix: "
        "install LibreOffice, or name its program soffice in the variable SHEETKIT_SOFFICE; nothing was changed."
    )


def test_a_program_that_is_named_wrongly_is_said(tmp_path):
    said = refusal(lambda: find_office(tmp_path / "page.pdf", {PROGRAM_NAMED: "/nowhere/soffice"}))
    assert said.startswith("page.pdf: found no program /nowhere/soffice, which SHEETKIT_SOFFICE names, wanted")


def test_the_program_named_wins_over_the_path(tmp_path, stand_in):
    program = stand_in("exit 0")
    other = tmp_path / "other office"
    program.rename(other)
    stand_in("exit 0")
    found = find_office(tmp_path / "page.pdf", {"PATH": str(program.parent), PROGRAM_NAMED: str(other)})
    assert found == str(other)
    assert find_office(tmp_path / "page.pdf", {"PATH": str(program.parent)}) == str(program)


def test_a_failure_carries_what_the_program_said(tmp_path, small, stand_in):
    program = str(stand_in("echo 'no  display'; exit 77"))
    assert refusal(lambda: make_pdf(program, small, tmp_path / "page.pdf")) == (
        "page.pdf: found that LibreOffice made no PDF (it ended with code 77: no display), wanted one page as a PDF. "
        f"To fix: start LibreOffice by hand once to see that it runs ({program}); the workbook itself was refreshed."
    )


def test_a_file_that_is_no_pdf_is_not_taken_for_one(tmp_path, small, stand_in):
    program = str(stand_in(f"echo rubbish > '{small.with_suffix('.pdf')}'"))
    assert "made no PDF (it ended with code 0)" in refusal(lambda: make_pdf(program, small, tmp_path / "page.pdf"))


def test_a_program_that_hangs_is_ended_with_all_it_started(tmp_path, small, stand_in):
    """The stand-in's child holds the other end of a pipe; once the child is gone, the pipe ends."""
    fifo = tmp_path / "fifo"
    os.mkfifo(fifo)
    program = str(stand_in(f"sleep 600 > '{fifo}' &\nsleep 600"))
    reading = os.open(fifo, os.O_RDONLY | os.O_NONBLOCK)
    os.set_blocking(reading, True)
    said = refusal(lambda: make_pdf(program, small, tmp_path / "page.pdf", time_limit_s=1))
    assert "made no PDF (stopped after 1 s)" in said
    assert os.read(reading, 1) == b""
    os.close(reading)


def test_a_place_that_refuses_the_pdf_is_told_of(tmp_path):
    (tmp_path / "taken").write_text("a file")
    target = tmp_path / "taken" / "below" / "page.pdf"
    assert refusal(lambda: put(target, b"%PDF-1.7")) == (
        f"{target}: found a place that refused the PDF (Not a directory), wanted a place to write to. To fix: close "
        "the PDF if it is open, or name another place; the workbook itself was refreshed."
    )
