"""The README says what the program does: its tables, its commands, its walk-through."""

import json
import re
import runpy
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner
from python_calamine import CalamineWorkbook

from sheetkit.cli import main

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")


def block_after(marker: str) -> list[str]:
    """Lines of the fenced block that follows a marker comment."""
    return README.split(f"<!-- {marker} -->")[1].split("```")[1].splitlines()[1:]


def test_the_parts_that_the_program_decides_are_what_it_gives():
    parts = runpy.run_path(str(ROOT / "tests" / "readme_parts.py"))
    assert parts["with_parts"](README) == README, "run: python tests/readme_parts.py"


@pytest.mark.parametrize("marker", ["the main job on a new machine", "the tests on a new machine"])
def test_each_command_for_a_new_machine_is_one_line(marker):
    assert len([line for line in block_after(marker) if line.strip()]) == 1


def test_the_test_command_of_the_readme_is_the_one_that_ci_runs():
    ci = (ROOT / ".ci" / "run").read_text("utf-8")
    assert "<!-- the tests on a new machine -->" in ci


def test_every_command_is_documented_and_every_help_ends_with_an_example():
    for name in main.commands:
        assert f"sheetkit {name}" in README
        shown = CliRunner().invoke(main, [name, "--help"], terminal_width=100).output
        assert re.search(rf"Example: sheetkit {name} \S.*$", shown.strip()), shown


def test_files_named_in_the_readme_exist():
    for name in re.findall(r"(?:demo_workbooks|templates|tests|sheetkit)/[\w./]+\.\w+", README):
        assert (ROOT / name).exists(), name


def test_the_pictures_in_the_readme_are_those_of_the_demos_as_they_stand():
    made = runpy.run_path(str(ROOT / "demo_workbooks" / "make_pictures.py"))
    again = "run: python demo_workbooks/make_pictures.py"
    assert re.findall(r"!\[(.+?)\]\(demo_workbooks/pictures/(.+?)\)", README) == [
        (v.words, v.file) for v in made["VIEWS"]
    ]
    assert json.loads(made["MADE_FROM"].read_text("utf-8")) == {
        v.file: made["digest"](v.demo) for v in made["VIEWS"]
    }, again
    assert all((made["PICTURES"] / view.file).stat().st_size > 10_000 for view in made["VIEWS"])


def test_the_version_is_said_once():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    shown = CliRunner().invoke(main, ["--version"]).output
    assert project["version"] in shown


@pytest.mark.parametrize("number", [1, 2])
def test_the_examples_in_the_readme_run(number, tmp_path, monkeypatch):
    (tmp_path / "demo_workbooks").symlink_to(ROOT / "demo_workbooks")
    monkeypatch.chdir(tmp_path)
    code = README.split("<!-- example -->")[number].split("```python\n")[1].split("```")[0]
    exec(compile(code, "README.md", "exec"), {})
    if number == 2:
        sheets = CalamineWorkbook.from_path("with_my_sheet.ods").sheet_names
        assert sheets[-1] == "Slices a day"
