"""What each command prints, from the first word to the last."""

import openpyxl
import pytest
from click.testing import CliRunner

from sheetkit.cli import main

STOCK = [["A1", "black cherry", 20, 3, 1.5, "flat"]]
TARGETS = [["P", "black cherry", 0.05, 0.002, 4]]


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def job(fill, tmp_path, suffix):
    return fill(tmp_path / f"job{suffix}", {"Stock": STOCK, "Targets": TARGETS})


def test_new_says_what_to_do_next(tmp_path, suffix):
    path = tmp_path / f"job{suffix}"
    made = run("new", path)
    assert (made.exit_code, made.output) == (
        0,
        f"{path}: made. Fill in Stock and Targets, then: sheetkit refresh {path}\n",
    )


def test_check_counts_rows_and_findings(job, fill, tmp_path, suffix):
    good = run("check", job)
    assert (good.exit_code, good.output) == (0, f"{job}: 2 rows read, 0 findings.\n")
    path = fill(tmp_path / f"bad{suffix}", {"Stock": [["A1", "black cherry", 20, 3, "thick"]], "Targets": TARGETS})
    bad = run("check", path)
    assert bad.exit_code == 1
    assert bad.output == (
        f"{path}: 1 row read, 3 findings.\n"
        "  Targets: 1 finding\n"
        "    stops the job: Targets!C3: found stock for 0 of the 5 black cherry layers of 0.0500 in still to be sawn "
        "for panel P, spares included, wanted stock for 5 more. To fix: Stock has no black cherry that may be used; "
        "put a board at least 0.800 in thick there, or thinner if each slice gives several layers.\n"
        "  Stock: 2 findings\n"
        "    stops the job: Stock: found no row that can be used, wanted at least one row (one row is a board). To "
        "fix: fill in the columns that are needed; the other cells may stay empty.\n"
        '    left out: Stock!E3: found "thick", wanted one length in inches. To fix: type the number alone, or the '
        "number with its unit; a remark goes in brackets.\n"
    )


def test_a_finding_about_no_sheet_is_counted_for_the_workbook(tmp_path):
    path, book = tmp_path / "job.xlsx", openpyxl.Workbook()
    book.active.title = "Stock"
    for row in (["Board", "Species", "Thickness (in)"], ["A1", "wenge", 1.5]):
        book.active.append(row)
    book.save(path)
    assert run("check", path).output == (
        f"{path}: 1 row read, 1 finding.\n  The workbook: 1 finding\n    stops the job: the workbook: found no sheet "
        "Targets, wanted a sheet Targets with the headings Species, Thickness. To fix: add it, or rename the sheet "
        "that holds it to Targets.\n"
    )


def test_refresh_says_whether_the_file_was_written(job):
    assert run("refresh", "--dry-run", job).output.splitlines()[0] == f"{job}: not written, as asked."
    assert run("refresh", job).output.splitlines()[0] == f"{job}: refreshed."
    assert run("refresh", job).output.splitlines()[0] == f"{job}: already up to date; nothing written."


def test_calls_that_ask_for_what_cannot_be_had(job):
    """What stands before "Error:" is the command line library's."""
    for other in ("--dry-run", "--json"):
        refused = run("refresh", "--open", other, job)
        assert (refused.exit_code, refused.stderr.partition("Error: ")[2]) == (
            2,
            "--open goes with neither --dry-run nor --json: there is nothing new to look at.\n",
        )
    refused = run("refresh", "--pdf", "page.pdf", job, job)
    assert (refused.exit_code, refused.stderr.partition("Error: ")[2]) == (
        2,
        "--pdf page.pdf is one file, but several workbooks are named. Name a folder instead.\n",
    )
