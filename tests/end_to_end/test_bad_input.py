"""Each kind of bad input: a clear line with how to mend it, the rest still computed, the input never changed."""

import io
import json
import zipfile

import pytest
from click.testing import CliRunner

from sheetkit import check, refresh
from sheetkit.cli import main

STOCK = [["A1", "black cherry", 20, 3, 1.5], ["B1", "wenge", 20, 3, 1.2]]
TARGETS = [["P", "black cherry", 0.05, 0.002, 8], ["P", "wenge", 0.02, 0.002, 7]]
PANELS = [["P", 9, 2.5]]


def lines(path):
    """What stops the job, was left out, or deserves a look; what is only noted is left aside."""
    return [str(problem) for problem in check(path).problems if problem.harm.words != "for information"]


@pytest.fixture
def found(fill, tmp_path, suffix):
    def findings(**sheets):
        rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS} | {k.capitalize(): v for k, v in sheets.items()}
        return lines(fill(tmp_path / f"job{suffix}", rows))

    return findings


def test_a_board_without_thickness(found):
    assert found(stock=[["A1", "black cherry", 20, 3, None], STOCK[1]])[1:] == [
        "Stock!E3: found nothing for Thickness in row 3, wanted Thickness for each row of Stock. "
        "To fix: type the thickness of this board, or empty the whole row."
    ]


def test_a_negative_thickness(found):
    assert found(stock=[["A1", "black cherry", 20, 3, -1.5], STOCK[1]])[1:] == [
        "Stock!E3: found -1.5, less than nothing, wanted a measured thickness in inches. "
        "To fix: type 1.5 in, without the minus sign, if that is meant."
    ]


def test_an_absurd_thickness(found):
    assert found(stock=[["A1", "black cherry", 20, 3, 1500], STOCK[1]])[1:] == [
        "Stock!E3: found 1500, not sensible here, wanted a measured thickness in inches, not below 0.02 in and not "
        "above 24 in. To fix: type the right value, for example 1500 thou or 1500 µm if that is meant."
    ]


def test_an_unknown_species_is_planned_under_its_name_and_said(found):
    told = found(stock=[["A1", "snakebark", 20, 3, 1.5]], targets=[["P", "snakebark", 0.05, 0.002, 8]])
    assert told[0] == (
        'Stock!B3: found "snakebark", a wood that is not in the list; it is planned under this name, without figures, '
        "wanted a wood that is known, for Species. "
        "To fix: check the spelling, or give the wood's own values on the sheet Species."
    )


def test_a_target_thinner_than_the_thinnest_slice_worth_keeping(found):
    assert found(targets=[["P", "wenge", 0.006, 0.002, 3]]) == [
        "Targets!C3: found a slice of 0.0060 in, wanted at least 0.0080 in, the thinnest slice worth keeping. "
        "To fix: ask for a thicker layer, or change Thinnest slice on Shop if your saw has shown that it can."
    ]


def test_stock_too_short(found):
    """44 layers, two a slice, of 0.150 advance: 0.9 usable gives 6 slices, 16 are missing: 2.400 + 0.300."""
    assert found(targets=[["P", "wenge", 0.1, 0.002, 40]]) == [
        "Targets!C3: found stock for 12 of the 44 wenge layers of 0.1000 in still to be sawn for panel P, spares "
        "included, wanted stock for 32 more. "
        "To fix: buy one more wenge board at least 2.700 in thick, long and wide enough that each slice gives "
        "2 layers, or 3 more boards like B1."
    ]


def test_a_slice_of_an_unknown_board(found):
    assert found(measurements=[["Z9-1", "Z9", 0.05, 0.053]]) == [
        'Measurements!B3: found "Z9", which is no board of Stock; the row is not used, wanted a board that Stock has. '
        "To fix: add it to Stock."
    ]


def test_the_same_slice_twice(found):
    assert found(measurements=[["A1-1", "A1", 0.05, 0.053], ["A1-1", "A1", 0.05, 0.053]]) == [
        'Measurements!A4: found "A1-1" a second time; A3 has it already, and this row is not used, '
        "wanted each slice once. To fix: give this row another name if it is another slice; "
        "else delete the row that does not count."
    ]


def test_a_needed_sheet_with_nothing_in_it(found):
    assert found(stock=[], targets=[]) == [
        "Stock: found no row that can be used, wanted at least one row (one row is a board). "
        "To fix: fill in the columns that are needed; the other cells may stay empty.",
        "Targets: found no row that can be used, wanted at least one row (one row is a layer, or a run of equal "
        "layers, of a panel, in order). To fix: fill in the columns that are needed; the other cells may stay empty.",
    ]


def test_one_bad_row_does_not_stop_the_rest(fill, tmp_path, suffix, cells_of):
    rows = {"Stock": [["A1", "black cherry", 20, 3, None], STOCK[1]], "Targets": TARGETS, "Panels": PANELS}
    path = fill(tmp_path / f"job{suffix}", rows)
    outcome = refresh(path)
    assert outcome.written
    plan = cells_of(path, "Cut plan")
    assert "B1-1" in plan.values()
    problems = cells_of(path, "Problems")
    assert "Stock!E3" in problems.values()


def test_problems_in_the_workbook_end_the_command_with_1_and_are_written(fill, tmp_path, suffix):
    rows = {"Stock": STOCK, "Targets": [["P", "wenge", 0.1, 0.002, 40]], "Panels": PANELS}
    path = fill(tmp_path / f"job{suffix}", rows)
    result = CliRunner().invoke(main, ["refresh", str(path)])
    assert result.exit_code == 1
    assert "stops the job: Targets!C3: found stock for 12 of the 44 wenge layers" in result.output


def test_a_workbook_without_stock_or_targets(tmp_path):
    from openpyxl import Workbook

    path = tmp_path / "diary.xlsx"
    book = Workbook()
    book.active.title = "Diary"
    book.active["A1"] = "bought two boards"
    book.save(path)
    told = lines(path)
    assert len(told) == 2
    assert "Stock" in told[0]
    assert "Targets" in told[1]
    result = CliRunner().invoke(main, ["check", str(path)])
    assert result.exit_code == 1


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("notes.xlsx", b"bought two boards", "not"),
        ("empty.ods", b"", "empty"),
        ("cut.xlsx", b"PK\x03\x04 and nothing more", ""),
    ],
)
def test_a_file_that_is_no_workbook_ends_with_2_and_stays_as_it_was(name, content, words, tmp_path):
    path = tmp_path / name
    path.write_bytes(content)
    result = CliRunner().invoke(main, ["refresh", str(path)])
    assert result.exit_code == 2
    assert len(result.output.strip().splitlines()) == 1
    assert name in result.output
    assert words in result.output
    assert "To fix:" in result.output
    assert path.read_bytes() == content


def test_a_file_that_is_not_there(tmp_path):
    result = CliRunner().invoke(main, ["refresh", str(tmp_path / "nowhere.xlsx")])
    assert result.exit_code == 2
    assert len(result.output.strip().splitlines()) == 1


def test_an_encrypted_workbook_is_named_as_such(tmp_path):
    path = tmp_path / "locked.ods"
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as package:
        package.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        package.writestr("content.xml", b"\x00\x01\x02")
        package.writestr(
            "META-INF/manifest.xml",
            '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml">'
            "<manifest:encryption-data/></manifest:file-entry></manifest:manifest>",
        )
    path.write_bytes(made.getvalue())
    result = CliRunner().invoke(main, ["refresh", str(path)])
    assert result.exit_code == 2
    assert "password" in result.output
    assert path.read_bytes() == made.getvalue()


def test_several_workbooks_in_one_call_go_on_after_a_bad_one(fill, tmp_path):
    rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS}
    good = fill(tmp_path / "good.xlsx", rows)
    bad = tmp_path / "bad.xlsx"
    bad.write_bytes(b"no workbook")
    result = CliRunner().invoke(main, ["refresh", "--json", str(bad), str(good)])
    assert result.exit_code == 2
    told = json.loads(result.stdout)
    assert "error" in told[0]
    assert told[1]["written"] is True


def test_a_sheet_of_the_makers_with_one_of_our_names_is_left_alone(fill, tmp_path, cells_of):
    from openpyxl import load_workbook

    path = fill(tmp_path / "job.xlsx", {"Stock": STOCK, "Targets": TARGETS, "Panels": PANELS})
    book = load_workbook(path)
    book.create_sheet("Summary")["A1"] = "my own summary"
    book.save(path)
    refresh(path)
    assert cells_of(path, "Summary") == {(1, 1): "my own summary"}
    assert (
        "Your own sheet Summary was left alone; sheetkit's is called Summary (results)."
        in cells_of(path, "Summary (results)").values()
    )
    first = path.read_bytes()
    assert refresh(path).written is False
    assert path.read_bytes() == first
