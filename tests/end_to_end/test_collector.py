"""The commands do without the collector of unused objects; the library leaves it as it is, and both leave it on."""

import gc

import pytest
from click.testing import CliRunner

from sheetkit import pipeline, refresh
from sheetkit.cli import main


@pytest.fixture
def seen(monkeypatch):
    """Whether the collector was on while the job was worked out."""
    found, compute = [], pipeline.compute

    def noted(inputs):
        found.append(gc.isenabled())
        return compute(inputs)

    monkeypatch.setattr(pipeline, "compute", noted)
    return found


@pytest.fixture
def job(fill, tmp_path):
    rows = {"Stock": [["A1", "black cherry", 20, 3, 1.5]], "Targets": [["P", "black cherry", 0.05, 0.002, 4]]}
    return fill(tmp_path / "job.xlsx", rows)


def test_a_command_puts_it_off_and_on_again(job, seen):
    CliRunner().invoke(main, ["refresh", str(job)])
    CliRunner().invoke(main, ["check", str(job)])
    assert seen == [False, False]
    assert gc.isenabled()


def test_it_is_on_again_after_a_file_that_cannot_be_read(tmp_path):
    assert CliRunner().invoke(main, ["refresh", str(tmp_path / "none.xlsx")]).exit_code == 2
    assert gc.isenabled()


def test_the_library_leaves_it_on(job, seen):
    refresh(job)
    assert seen == [True]
