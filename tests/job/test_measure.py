"""Lengths as the maker reads them, by the four choices of Unit; all values by hand from 1 in = 25.4 mm."""

import pytest

from sheetkit.job.measure import Measure

IN, MM, THOU, PARTS = (Measure(choice) for choice in ("in", "mm", "thou", "64ths"))


@pytest.mark.parametrize(
    ("measure", "fine", "fine_text", "board", "board_text"),
    [
        (IN, 0.0315, "0.0315 in", 12.5, "12.500 in"),
        (MM, 0.8001, "0.800 mm", 317.5, "317.5 mm"),
        (THOU, 31.5, "31.5 thou", 12.5, "12.500 in"),
        (PARTS, 0.0315, "0.0315 in", 12.5, "12 1/2 in"),
    ],
)
def test_a_slice_of_0_0315_in_and_a_board_of_12_5_in(measure, fine, fine_text, board, board_text):
    assert (measure.of(0.8001), measure.text(0.8001)) == (fine, fine_text)
    assert (measure.of_board(317.5), measure.board_text(317.5)) == (board, board_text)
    assert (measure.unit, measure.board_unit) == (fine_text.split()[-1], board_text.split()[-1])


@pytest.mark.parametrize(
    ("length_mm", "text"),
    [
        (1.1, "3/64 in"),  # 2.77 of 1/64 in
        (0.1, "0 in"),  # 0.25 of them
        (-0.1, "0 in"),
        (25.4, "1 in"),
        (-6.35, "-1/4 in"),
        (25.4 * 1.0078125, "1 1/64 in"),  # half of a 64th goes up
        (25.4 * 2.999, "3 in"),
    ],
)
def test_the_nearest_64th(length_mm, text):
    assert PARTS.board_text(length_mm) == text


def test_what_is_needed_is_not_rounded_below_it_nor_what_is_allowed_above_it():
    """1.2 mm are 3.02 of 1/64 in."""
    assert (PARTS.least_text(1.2), PARTS.board_text(1.2), PARTS.most_text(1.2)) == ("1/16 in", "3/64 in", "3/64 in")
    assert PARTS.least_text(1.1) == "3/64 in"
    assert PARTS.most_text(1.1) == "1/32 in"
    assert PARTS.most_text(0.3) == "0.011 in"
    assert PARTS.least_text(317.5) == PARTS.most_text(317.5) == "12 1/2 in"
    # 1.2 mm are 0.04724 in; 22.01 mm are 0.86654 in.
    assert [measure.least_text(1.2) for measure in (IN, MM, THOU)] == ["0.048 in", "1.2 mm", "0.048 in"]
    assert [measure.most_text(1.2) for measure in (IN, MM, THOU)] == ["0.047 in", "1.2 mm", "0.047 in"]
    assert [measure.least_text(22.01) for measure in (IN, MM)] == ["0.867 in", "22.1 mm"]
    assert [measure.most_text(22.01) for measure in (IN, MM)] == ["0.866 in", "22.0 mm"]


def test_a_limit_is_a_fraction_only_where_it_is_one():
    """136.8 mm are 5 24.69/64 in; 5 25/64 in would not fit where they do."""
    assert PARTS.limit_text(136.8) == "5.386 in"
    assert PARTS.limit_text(152.4) == "6 in"
    assert PARTS.limit_text(25.4 * (4 + 1 / 64)) == "4 1/64 in"
    assert [measure.limit_text(136.8) for measure in (IN, MM, THOU)] == ["5.386 in", "136.8 mm", "5.386 in"]


def test_lengths_that_fractions_would_not_tell_apart_are_decimals():
    """24 and 23.9 mm are 60.5 and 60.2 of 1/64 in."""
    assert PARTS.board_texts(24.0, 23.9) == ("0.945 in", "0.941 in")
    assert PARTS.board_texts(24.0, 0.1) == ("0.945 in", "0.004 in")
    assert PARTS.board_texts(24.0, 22.0, 24.0) == ("15/16 in", "55/64 in", "15/16 in")
    assert THOU.board_texts(24.0, 23.9) == ("0.945 in", "0.941 in")
    assert MM.board_texts(24.0, 24.01) == ("24.00 mm", "24.01 mm")
    assert MM.board_texts(24.0, 24.0) == ("24.0 mm", "24.0 mm")
    assert PARTS.board_words([24.0, 23.9])(23.9) == "0.941 in"


def test_a_difference_of_panels_is_told_like_slices_and_a_panel_as_finely():
    assert [each.difference_text(0.1) for each in (IN, MM, THOU, PARTS)] == [
        "0.004 in",
        "0.1 mm",
        "3.9 thou",
        "0.004 in",
    ]
    texts = [each.panel_text(24.0) for each in (IN, MM, THOU, PARTS)]
    assert texts == ["0.9449 in", "24.000 mm", "0.9449 in", "0.9449 in"]


def test_number_formats():
    formats = [(each.fine, each.coarse, each.panel, each.wall, each.axis) for each in (IN, MM, THOU, PARTS)]
    assert formats == [
        ("0.0000", "0.000", "0.0000", "0.0000", "0.000"),
        ("0.000", "0.0", "0.000", "0.000", "0.0"),
        ("0.0", "0.000", "0.0000", "0.0000", "0"),
        ("0.0000", "# ??/64", "0.0000", "# ??/64", "0.000"),
    ]
    assert THOU.signed == "+0.0;-0.0;0.0"
    assert [(each.to_board, each.to_fine) for each in (IN, MM, PARTS)] == [("", "")] * 3
    assert (THOU.to_board, THOU.to_fine) == ("/1000", "*1000")
    assert [each.inch for each in (IN, MM, THOU, PARTS)] == [True, False, True, True]
