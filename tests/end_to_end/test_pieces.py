"""Handles, bowls and boards through real workbooks of both formats: figures, pictures, files beside, second refresh."""

import hashlib
import zipfile
from math import radians, sin
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from PIL import Image

from sheetkit import refresh
from sheetkit.cli import main

ROWS = {
    "Stock": [["A1", "white ash", 20, 3, 12], ["B1", "purpleheart", 20, 3, 12]],
    "Panels": [["Block", 13, 0.75, 26, None, 3]],
    "Targets": [["Block", "white ash", 0.0625, 0.003], ["Block", "purpleheart", 0.0625, 0.003]],
    "Handles": [["Grip", None, 2, 4, 0.7, 0.5, 30]],
    "Bowls": [["Dish", None, 1, 9, 3, 0.3, None, 7.5, None, 3, None, None, 1, 0.4]],
    "Steps": [["Tray", None, 1, 1, 45, "over"], ["Tray", None, 2, 1.5, 90, "end for end"]],
}
SETTINGS = {"Shop": {"Glue line": 0.003, "Tilt step": 0}}


@pytest.fixture
def workbook(fill, tmp_path, suffix):
    return fill(tmp_path / f"pieces{suffix}", ROWS, SETTINGS)


def pictures_in(path):
    """The PNG files inside a workbook, sorted by their bytes."""
    with zipfile.ZipFile(path) as package:
        return sorted(package.read(name) for name in package.namelist() if name.lower().endswith(".png"))


def row_of(cells, first, after=0):
    return next(row for (row, column), value in sorted(cells.items()) if row > after and (column, value) == (1, first))


def test_the_sheet_pieces_says_stripes_rings_and_rounds(workbook, cells_of):
    refresh(workbook)
    cells = cells_of(workbook, "Pieces")
    side = row_of(cells, "side, length by width")
    assert cells[side, 2] == pytest.approx(30)
    assert cells[side, 3] == pytest.approx(60)
    ash = row_of(cells, "white ash")
    assert cells[ash, 3] == pytest.approx(0.0625)
    assert cells[ash, 4] == pytest.approx(0.0625 / sin(radians(30)))
    assert cells[row_of(cells, "glue line"), 4] == pytest.approx(0.006)
    # 3 rings and a base of 0.75 with lines of 0.003: 3.009 high, so 3 in a side: shift 0.75 * 3 / 3.009 = 0.7478
    ring = row_of(cells, "ring 3")
    assert (cells[ring, 5] - cells[ring, 6]) / 2 == pytest.approx(0.75 * 3 / 3.009, abs=1e-6)
    assert cells[ring, 12] == pytest.approx(22.5)
    over = row_of(cells, "over")
    # stack 52 * 0.0625 + 51 * 0.003 = 3.403; (13 - 3.403) * sin 45 = 6.786; n + (n - 1) * 0.035 fits for 6
    assert cells[over, 6] == 6
    assert cells[over, 12] == pytest.approx(0.131 * 2**0.5)


def test_both_formats_show_the_same_figures_and_hold_the_same_pictures(fill, tmp_path, cells_of):
    made = [fill(tmp_path / f"pieces{suffix}", ROWS, SETTINGS) for suffix in (".xlsx", ".ods")]
    for path in made:
        refresh(path)
    one, other = (cells_of(path, "Pieces") for path in made)
    assert one.keys() == other.keys()
    for place, value in one.items():
        assert other[place] == (pytest.approx(value) if isinstance(value, float | int) else value), place
    one, other = (pictures_in(path) for path in made)
    assert one == other
    # the panel's edge, four views and the blanks of the handle, the board, four views of the bowl
    assert len(one) == 11


def test_a_second_refresh_changes_not_one_byte(workbook):
    assert refresh(workbook).written
    before = hashlib.sha256(workbook.read_bytes()).hexdigest()
    assert not refresh(workbook).written
    assert hashlib.sha256(workbook.read_bytes()).hexdigest() == before


def test_pictures_and_templates_are_written_beside_on_request(workbook, tmp_path):
    folder = tmp_path / "beside" / "deeper"
    done = CliRunner().invoke(main, ["refresh", str(workbook), "--pictures", str(folder)])
    assert done.exit_code == 0, done.output
    pngs, svgs = sorted(folder.glob("*.png")), sorted(folder.glob("*.svg"))
    assert sorted(path.read_bytes() for path in pngs) == pictures_in(workbook)
    assert pngs[0].name == "pieces 01 Panel Block edge.png"
    assert f"{len(pngs) + len(svgs)} pictures and templates written to {folder}." in done.output
    with Image.open(pngs[0]) as picture:
        assert picture.format == "PNG"
    full = ElementTree.parse(folder / "pieces Rings Dish board 1 full size.svg").getroot()
    circles = [float(circle.get("r")) for circle in full.iter("{http://www.w3.org/2000/svg}circle")]
    assert max(circles) == pytest.approx(9 / 2 * 25.4, abs=0.3)


def test_a_dry_run_writes_no_picture(workbook, tmp_path):
    done = CliRunner().invoke(main, ["refresh", str(workbook), "--dry-run", "--pictures", str(tmp_path / "none")])
    assert done.exit_code == 0
    assert not (tmp_path / "none").exists()


def test_a_folder_that_cannot_be_is_refused_in_words(workbook, tmp_path):
    (tmp_path / "taken").write_text("a file", "utf-8")
    done = CliRunner().invoke(main, ["refresh", str(workbook), "--pictures", str(tmp_path / "taken" / "below")])
    assert done.exit_code == 2
    assert (
        f"{tmp_path / 'taken' / 'below'}: found a folder that refused a picture (Not a directory), wanted a folder to "
        "write into. To fix: name another folder, or free some space; the workbook itself was refreshed.\n"
    ) in done.output
    assert "Traceback" not in done.output


def test_a_piece_that_cannot_be_made_is_a_finding_and_the_rest_is_drawn(fill, tmp_path, suffix, cells_of):
    bowls = [*ROWS["Bowls"], ["Wall", None, 1, 9, 3, 0.9]]
    path = fill(tmp_path / f"pieces{suffix}", {**ROWS, "Bowls": bowls}, SETTINGS)
    outcome = refresh(path)
    stopped = [problem for problem in outcome.problems if problem.harm.words == "stops the job"]
    assert [problem.place for problem in stopped] == ["Bowls!F4"]
    assert len(pictures_in(path)) == 11
    shown = [value for value in cells_of(path, "Pieces").values() if isinstance(value, str)]
    assert any(value.startswith("Bowls!F4: No tilt leaves a wall of 0.900 in") for value in shown)


def test_a_job_without_pieces_shows_its_panels_and_says_where_to_ask_for_pieces(fill, tmp_path, suffix, cells_of):
    rows = {name: ROWS[name] for name in ("Stock", "Panels", "Targets")}
    path = fill(tmp_path / f"plain{suffix}", rows)
    refresh(path)
    assert len(pictures_in(path)) == 1
    assert any("No piece is asked for" in str(value) for value in cells_of(path, "Pieces").values())
