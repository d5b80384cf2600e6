"""Axes, room for charts, and turns of phrase."""

from itertools import combinations, pairwise

import pytest

from sheetkit.report.builder import SheetBuilder
from sheetkit.report.charts import LOWEST_ROW_MM, STACKED, axis_range, place_charts
from sheetkit.report.model import Area, Chart, ChartKind, Series
from sheetkit.report.words import in_a_row, legend, share_words


def chart(title, width, height=80.0):
    return Chart(ChartKind.LINE, title, "", "", [Series("s", Area(1, 1, 2, 1))], 1, 1, width, height)


@pytest.mark.parametrize("values", [[0.041, 0.0425], [1.2], [0.0], [-0.3, 12.0], [0.05, 0.05]])
def test_an_axis_holds_its_values_with_room(values):
    low, high = axis_range(values)
    assert low < min(values)
    assert high > max(values)
    assert high - low <= 2.5 * (max(values) - min(values) or 1.0)


def test_no_values_no_axis():
    assert axis_range([]) is None


def test_charts_stand_side_by_side_while_they_fit_and_nothing_lies_under_them():
    sheet = SheetBuilder("key", "Tab", "Title", (20,) * 8)
    place_charts(sheet, [chart("a", 140), chart("b", 140), chart("c", 140)])
    first, second, third = sheet.sheet.charts
    assert first.row == second.row == 4
    assert second.column > first.column
    assert third.column == 1
    assert third.row - first.row >= 80 / LOWEST_ROW_MM
    assert sheet.next_row - third.row >= 80 / LOWEST_ROW_MM


def test_shares_are_said_as_a_maker_would():
    assert [share_words(share) for share in (0.5, 0.0099, 0.009, 0.0004, 1.0)] == [
        "about 50 in 100", "about 1 in 100", "about 9 in 1000", "fewer than 1 in 1000", "nearly all",
    ]  # fmt: skip


def test_names_in_a_row_are_a_stretch():
    assert in_a_row(["A-1", "A-2", "A-3", "A-4"], [0, 1, 2]) == "A-1 to A-3"
    assert in_a_row(["A-1", "A-2", "A-3", "A-4"], [0, 1, 3]) == "A-1, A-2, A-4"


def test_a_legend_holds_no_comma():
    assert legend("oak, bog (blade B2)") == "oak bog (blade B2)"


def luminance(colour):
    """Relative luminance of an RRGGBB colour: W3C, Web Content Accessibility Guidelines 2.1, definition."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """Contrast ratio of the same guidelines."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_parts_of_a_bar_are_told_apart_in_grey():
    assert all(contrast(one, other) >= 2.0 for one, other in pairwise(STACKED))
    assert all(contrast(one, other) >= 1.3 for one, other in combinations(STACKED, 2))


def test_a_section_begins_a_new_page_with_its_heading():
    sheet = SheetBuilder("key", "Tab", "Title", (20, 20))
    sheet.section("First")
    sheet.new_page()
    sheet.section("Second")
    [row] = sheet.sheet.page_starts
    assert sheet.sheet.rows[row - 1][0].value == "Second"
