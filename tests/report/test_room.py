"""Room for headings: widths of heavy type from its published metrics, and columns that keep neighbours apart."""

import os
import shutil
import subprocess
from itertools import pairwise

import pytest
from PIL import ImageFont

from sheetkit.report.builder import GAP, Heading, SheetBuilder
from sheetkit.report.model import Look, ReportCell
from sheetkit.report.room import CLEAR, broken, digits_wide, room_for


def test_a_heading_is_as_wide_as_the_metrics_of_its_type_say():
    """Adobe Font Metrics, Helvetica-Bold: B 722, o 611, w 778, space 278, ( 333, t 333, h 611, u 611, ) 333; digit 556.

    The widths are recalled, not looked up; the test below measures a font of the same metrics.
    """
    assert digits_wide("Bow (thou)") == pytest.approx((722 + 611 + 778 + 278 + 333 + 333 + 3 * 611 + 333) / 556)


@pytest.fixture
def heavy_type():
    """Liberation Sans Bold, whose metrics are those of Arial Bold and Helvetica Bold; skips where it is missing."""
    found = None
    if shutil.which("fc-match"):
        command = ["fc-match", "-f", "%{file}", "Liberation Sans:bold"]
        found = subprocess.run(command, capture_output=True, text=True, check=False).stdout
    if not found or "LiberationSans-Bold" not in found:
        reason = "Liberation Sans Bold is not installed"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return ImageFont.truetype(found, 2048)


@pytest.mark.office
@pytest.mark.parametrize("text", ["Allowed to (mm)", "Side taper (thou)", "Between, high (in)", "WXYZ kjqvz 01234"])
def test_widths_are_those_of_the_font_that_the_office_program_prints(heavy_type, text):
    assert digits_wide(text) * 556 == pytest.approx(heavy_type.getlength(text) / 2048 * 1000, rel=0.02)


def test_words_go_on_in_the_next_line_where_the_column_ends():
    assert broken("Within, high (in)", 11) == ["Within, high", "(in)"]
    assert broken("Verdict", 3) == ["Verdict"]


def test_a_column_has_room_for_its_heading_and_for_what_keeps_it_from_its_neighbour():
    """Off by (mm) is 10.1 digits wide: in 11 it would touch words beside it, in 14 it does not."""
    assert room_for("Off by (mm)", 11, behind=1.0) == pytest.approx(digits_wide("Off by (mm)") + 1.0 + CLEAR)
    assert room_for("Off by (mm)", 14, behind=1.0) == 14


def test_a_heading_that_every_type_breaks_keeps_its_lines():
    assert room_for("At the saw besides (min)", 14) == 14


def test_headings_of_a_table_do_not_touch():
    """Numbers beside words: the heading of the numbers has the spaces behind it on its only line."""
    sheet = SheetBuilder("one", "One", "One", (8, 8, 11, 30))
    headings = (
        Heading("Layer (mm)", "0.000", "a"),
        Heading("Wood", note="b"),
        Heading("Allowed to (mm)", "0.0000", "c"),
        Heading("Inside", note="d"),
    )
    sheet.table(headings, [[1.2, "limba", 1.25, "no"]])
    widths = sheet.sheet.column_widths
    [drawn] = [row for row in sheet.sheet.rows if row and row[0] and row[0].look is Look.NUMBER_HEADING]
    for (left, width), (right, _) in pairwise(zip(drawn, widths, strict=True)):
        assert isinstance(left, ReportCell)
        assert isinstance(right, ReportCell)
        if left.number_format.endswith(GAP):
            assert digits_wide(str(left.value)) + 1.0 < width
    assert widths[1] == 8
    assert widths[3] == 30


def test_a_column_widened_for_one_table_has_room_for_the_headings_of_all():
    """Share of a panel, 13.9 digits, is broken in 12; the second table widens the column to 13.8, just too little."""
    sheet = SheetBuilder("one", "One", "One", (12, 12))
    sheet.table((Heading("To start", "0", "a"), Heading("Share of a panel", "0%", "b")), [[1, 0.5]])
    assert sheet.sheet.column_widths == [12, 12]
    sheet.table((Heading("Wood", "0.00", "a"), Heading("At the saw beside", "0.00", "b")), [[1.0, 2.0]])
    sheet.table((Heading("Wood", "0.00", "a"), Heading("Per board foot", "0.00", "b")), [[1.0, 2.0]])
    assert sheet.sheet.column_widths[1] > digits_wide("Share of a panel") + CLEAR
