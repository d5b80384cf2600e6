"""A panel measured after gluing, typed into real workbooks: Lay-up says what to type into Glue line."""

import pytest

from sheetkit import refresh

STOCK = [["A", "white ash", 10, 3, 2.0]]
TARGETS = [["P", "white ash", 0.041, 0.002, 3]]
SLICES = [[f"A-{number}", "A", 0.041, *[reading] * 5] for number, reading in enumerate((0.041, 0.040, 0.042), start=1)]


@pytest.fixture
def lay_up(fill, suffix, cells_of, tmp_path):
    """Lay-up of a panel that was measured after gluing, and Glue line on Shop."""

    def made(glued, glue_line, slices=SLICES):
        panel = ["P", 9, 2.5, None, None, None, None, None, None, None, None, glued]
        rows = {"Stock": STOCK, "Targets": TARGETS, "Panels": [panel], "Measurements": slices}
        settings = {"Caliper division": 0.0001, "Glue line": glue_line}
        path = fill(tmp_path / f"job{suffix}", rows, {"Shop": settings})
        refresh(path)
        return cells_of(path, "Lay-up")

    return made


def below(cells, heading):
    """The cell below a heading."""
    row, column = next(place for place, value in cells.items() if value == heading)
    return cells[row + 1, column]


def test_the_line_that_the_panel_shows_is_to_be_typed(lay_up):
    """By hand: (0.131 - 0.123) / 2 = 0.004 in; 1.96 * 0.0001 / sqrt(12) * sqrt(1 + 3 / 5) / 2 = 0.0000358 in."""
    cells = lay_up(0.131, 0.003)
    assert (
        "Type 0.0040 in into Glue line on Shop, in place of 0.0030 in: the glued panels come to 0.0040 in, "
        "give or take 0.00004 in." in cells.values()
    )
    assert below(cells, "Its slices (in)") == pytest.approx(0.123, abs=1e-9)
    assert below(cells, "As glued (in)") == pytest.approx(0.131, abs=1e-9)
    assert below(cells, "Glue line (in)") == pytest.approx(0.004, abs=1e-9)


def test_a_line_that_agrees_stays(lay_up):
    cells = lay_up(0.131, 0.004)
    assert (
        "Leave Glue line on Shop at 0.0040 in: the glued panels come to 0.0040 in, give or take 0.00004 in."
        in cells.values()
    )


def test_a_panel_thinner_than_its_slices_is_said_and_teaches_nothing(lay_up):
    """(0.119 - 0.123) / 2 = -0.002."""
    words = " ".join(str(value) for value in lay_up(0.119, 0.003).values())
    assert "Leave Glue line on Shop at 0.0030 in: the glued panels are thinner" in words
    assert "than their slices were, by 0.0020 in a line." in words


def test_without_every_slice_it_is_said_why_nothing_is_learned(lay_up):
    assert (
        "Panel P: nothing can be learned from its 0.1310 in while not every layer of it has a measured slice."
        in lay_up(0.131, 0.003, SLICES[:2]).values()
    )
