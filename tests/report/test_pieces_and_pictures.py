"""The sheets Pieces and Pictures as plain values: what stands where, and that no picture lies on another."""

from itertools import pairwise

import pytest
from PIL import Image

from sheetkit.blank.write import write_blank
from sheetkit.job.measure import Measure
from sheetkit.job.results import compute
from sheetkit.reading import open_workbook
from sheetkit.report.drawings import colours_of, drawings
from sheetkit.report.picture_files import picture_files
from sheetkit.report.pictures_sheet import WIDTHS, pictures_sheet
from sheetkit.report.pieces import pieces_sheet
from sheetkit.report.tabs import TITLES
from sheetkit.tables.read import read_inputs

POINT_MM = 25.4 / 72
CHARACTER_MM = 2.0
"""Width of a digit at 11 points, about 7 pixels at 96 to the inch with its share of the margin; common practice."""

ROWS = {
    "Stock": [["A1", "hornbeam", 600, 80, 120], ["B1", "bubinga", 600, 80, 120]],
    "Panels": [["Block", 330, 20, 26]],
    "Targets": [["Block", "hornbeam", 1.6, 0.1], ["Block", "bubinga", 1.6, 0.1]],
    "Handles": [["Grip/one", None, 2, 100, 18, 12, 30], ["Grip one", None, 2, 90, 18, 12, 45]],
    "Bowls": [["Dish", None, 1, 220, 80, 6, None, 7.5, None, 3]],
    "Species": [["bubinga", None, None, None, "7A3B2E"]],
}


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    path = tmp_path_factory.mktemp("job") / "job.xlsx"
    write_blank(path, "mm", ROWS)
    inputs = read_inputs(open_workbook(path))
    return inputs, compute(inputs)


def test_every_picture_lies_within_rows_of_its_own_and_within_the_columns(job):
    sheet = pictures_sheet(job[1], Measure("mm"), "Pictures")
    below = 0
    for picture in sheet.pictures:
        assert picture.column == 1
        assert picture.row > below
        rows = [number for number in sheet.row_heights if number >= picture.row]
        below, room = picture.row, 0.0
        while room < picture.height_mm:
            assert below in rows
            assert all(cell is None for cell in sheet.rows[below - 1])
            assert sheet.row_heights[below] <= 409
            room += sheet.row_heights[below] * POINT_MM
            below += 1
        below -= 1
        assert picture.width_mm <= sum(WIDTHS) * CHARACTER_MM
        assert "layers" in picture.description
    # edge, two handles with four views and their blanks, four views of the bowl
    assert len(sheet.pictures) == 1 + 2 * 5 + 4


def test_no_page_ends_within_a_picture(job):
    """A page begins where the next picture would not fit on 237 mm, of Letter less margins, header and footer."""
    sheet = pictures_sheet(job[1], Measure("mm"), "Pictures")
    starts, pages = set(sheet.page_starts), [[]]
    assert starts <= {picture.row for picture in sheet.pictures}
    for picture in sheet.pictures:
        if picture.row in starts:
            pages.append([])
        pages[-1].append(picture.height_mm + 3.0)
    assert len(pages) > 4
    assert all(sum(page) <= 237.0 for page in pages)
    assert all(sum(page) + following[0] > 237.0 for page, following in pairwise(pages[1:]))


def test_each_group_of_pictures_has_a_link_to_its_first(job):
    sheet = pictures_sheet(job[1], Measure("mm"), "Drawn")
    links = {row[0].value: row[0].link for row in sheet.rows if row and row[0] and row[0].link}
    assert {link.sheet for link in links.values()} == {"Drawn"}
    assert links["Panel Block: edge"].cell == f"A{sheet.pictures[0].row}"
    dish = next(link for text, link in links.items() if text.startswith("Bowl Dish"))
    assert dish.cell == f"A{sheet.pictures[-4].row}"


def test_the_makers_own_colour_wins_and_is_what_the_pictures_show(job, tmp_path):
    assert colours_of(job[1])["bubinga"] == "7A3B2E"
    edge = drawings(job[1], Measure("mm"))[0].drawing
    path = tmp_path / "edge.png"
    path.write_bytes(edge.png)
    with Image.open(path) as picture:
        colours = {colour for _, colour in picture.convert("RGB").getcolors(1 << 20)}
    assert (0x7A, 0x3B, 0x2E) in colours


def test_files_have_plain_names_each_its_own_and_the_same_bytes_twice(job):
    files = picture_files(job[1], Measure("mm"))
    assert files == picture_files(job[1], Measure("mm"))
    assert len(files) == 15 + 1 + len([name for name in files if " sheet " in name])
    assert [name for name in files if "Grip" in name and "end" in name] == [
        "05 Handle Grip-one from the end.png",
        "10 Handle Grip one from the end.png",
    ]
    assert "Rings Dish board 1 full size.svg" in files
    assert not any(set(name) & set('/\\:*?"<>|') for name in files)


def test_the_sheet_pieces_explains_its_headings_and_prints_the_complement(job):
    inputs, results = job
    sheet = pieces_sheet(inputs, results, Measure("mm"), TITLES)
    headings = [cell for row in sheet.rows for cell in row if cell is not None and cell.look.value == "heading"]
    plain = {"Face", "Stripe of", "Joint", "Every second strip"}
    assert [cell.value for cell in headings if not cell.note and str(cell.value).strip() not in plain] == []
    texts = [str(cell.value) for row in sheet.rows for cell in row if cell is not None]
    assert any("long axis 30° to the layers (60° from square)" in text for text in texts)
    assert any(text.startswith("3 rings on a base, from one board 20.0 mm thick") for text in texts)
