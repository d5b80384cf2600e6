"""Running sheetkit for the button, and what it tells, without the office program."""

import json
import shutil
import sys
from pathlib import Path

import pytest

from sheetkit import refresh as refresh_here
from sheetkit.button.engine import Answer, Engine, baked_in, command, environment, missing, read_answer, refresh

HERE = Engine(sys.executable, "0.1.0")
DEMO = Path(__file__).parents[2] / "demo_workbooks" / "salad_servers_half_sawn.xlsx"
ANEW = (
    'To fix: install sheetkit, make the button anew with "sheetkit button sheetkit.oxt", and add that file under '
    "Tools > Extension Manager."
)


def test_where_sheetkit_is_comes_from_the_note_in_the_extension(tmp_path):
    (tmp_path / "where.json").write_text('{"python": "/shop/bin/python", "version": "1.2"}')
    assert baked_in(tmp_path) == Engine("/shop/bin/python", "1.2")


def test_a_python_that_is_gone_is_named_with_the_way_to_mend_it():
    assert missing(HERE) is None
    assert missing(Engine("/shop/gone/python", "1.2")) == (
        "The sheetkit that made this button is not there: LibreOffice sees no file /shop/gone/python. It was moved or "
        f"removed, or this LibreOffice may not look outside its own box (Flatpak, Snap). {ANEW}"
    )


def test_the_call_takes_nothing_from_the_folder_it_is_made_in():
    assert command(Engine("/p", "1"), "/w/j.ods") == ["/p", "-P", "-m", "sheetkit", "refresh", "--json", "/w/j.ods"]


def test_what_the_office_program_set_for_its_own_python_is_not_passed_on():
    around = {"PYTHONHOME": "/office", "PYTHONPATH": "/office/lib", "LD_LIBRARY_PATH": "/office", "HOME": "/home/m"}
    assert environment(around) == {"HOME": "/home/m", "PYTHONUTF8": "1"}


def test_a_workbook_is_refreshed_and_the_first_answers_are_repeated(tmp_path, monkeypatch):
    path = Path(shutil.copy(DEMO, tmp_path / "Kirsche für Jörg.xlsx"))
    refresh_here(path)
    (tmp_path / "sheetkit.py").write_text("raise SystemExit('the wrong sheetkit')")
    monkeypatch.chdir(tmp_path)
    answer = refresh(HERE, str(path))
    first, *lines = answer.text.split("\n\n")
    assert (answer.done, answer.summary, first) == (True, "Summary", f"{path.name}: was up to date already.")
    assert [line.split(maxsplit=2)[:2] for line in lines] == [["Can", "it"], ["Do", "next:"], ["What", "is"]]


def test_a_refusal_is_told_in_the_words_of_sheetkit(tmp_path):
    path = tmp_path / "job.ods"
    path.write_text("no workbook")
    answer = refresh(HERE, str(path))
    assert not answer.done
    first, complaint = answer.text.split("\n\n")
    assert first == "job.ods: not refreshed."
    assert complaint.startswith((f"{path}: found ", "job.ods: found "))
    assert ", wanted " in complaint
    assert ". To fix: " in complaint


def test_a_refresh_that_takes_too_long_is_stopped_and_the_file_kept(tmp_path):
    path = Path(shutil.copy(DEMO, tmp_path / "job.xlsx"))
    kept = path.read_bytes()
    assert refresh(HERE, str(path), limit_s=0.01) == Answer(
        False, "job.xlsx: not refreshed. It took longer than 0.01 s and was stopped; the file is as you saved it."
    )
    assert path.read_bytes() == kept


def test_a_python_that_does_not_start_is_told(tmp_path):
    broken = tmp_path / "python"
    broken.write_text("")
    answer = refresh(Engine(str(broken), "1"), str(tmp_path / "job.xlsx"))
    assert answer == Answer(False, f"job.xlsx: not refreshed. {broken} does not start (Permission denied). {ANEW}")


@pytest.mark.parametrize(
    ("complained", "reason", "fix"),
    [
        ("/usr/bin/python3: No module named sheetkit\n", "/usr/bin/python3: No module named sheetkit", ANEW),
        (
            "Traceback\nMemoryError\n",
            "MemoryError",
            'To fix: type "sheetkit refresh job.ods" in a terminal to see more.',
        ),
        ("", "it gave no reason", 'To fix: type "sheetkit refresh job.ods" in a terminal to see more.'),
    ],
)
def test_no_answer_at_all_is_told_with_the_last_complaint(complained, reason, fix):
    told = f"job.ods: not refreshed. sheetkit stopped without an answer ({reason}). The file is as you saved it. {fix}"
    assert read_answer("job.ods", "", complained) == Answer(False, told)


def test_an_answer_in_json_becomes_the_message():
    outcome = {
        "written": True,
        "headlines": ["Can it be made? No: short.", "Do next: Buy.", "What is wrong: 2 cells.", "Dial: steady."],
        "sheets": {"summary": "Summary 2"},
    }
    assert read_answer("job.ods", json.dumps([outcome]), "") == Answer(
        True,
        "job.ods: refreshed.\n\nCan it be made? No: short.\n\nDo next: Buy.\n\nWhat is wrong: 2 cells.",
        "Summary 2",
    )
