"""What stands on the page, and what stays in the workbook."""

import re
from dataclasses import replace

import pytest

from sheetkit.page.compose import ON_PAPER, compose
from sheetkit.page.grid import common_grid
from sheetkit.page.paper import A4, LETTER, SMALLEST
from sheetkit.report.model import Look, ReportCell

SOURCE = "From job.xlsx."


def texts(page):
    return [str(cell.value) for row in page.rows for cell in row if cell is not None and cell.value is not None]


def passes_on(page):
    return sum(bool(re.fullmatch(r"A\d+-\d+", text)) for text in texts(page))


def test_a_short_cut_plan_stands_there_whole(sheets_of):
    """4 layers and a tenth more, rounded up, are 5 passes."""
    page = compose(*sheets_of(4), SOURCE, LETTER)
    assert passes_on(page) == 5
    assert not any("in the workbook" in text for text in texts(page))


@pytest.mark.parametrize(("layers", "passes"), [(60, 66), (150, 165)])
@pytest.mark.parametrize(("paper", "unit"), [(LETTER, "in"), (A4, "mm")])
def test_of_a_long_one_the_next_passes_stand_there_and_the_rest_is_counted(sheets_of, layers, passes, paper, unit):
    page = compose(*sheets_of(layers, unit), SOURCE, paper)
    shown = passes_on(page)
    assert 5 < shown < passes
    assert texts(page)[-1] == f"{passes - shown} more passes stand on Cut plan in the workbook."


@pytest.mark.parametrize("layers", [4, 60, 150])
@pytest.mark.parametrize("paper", [LETTER, A4])
def test_all_of_it_fits_at_a_legible_size(sheets_of, layers, paper):
    page = compose(*sheets_of(layers), SOURCE, paper)
    high_pt = sum(page.row_heights[row] for row in range(1, len(page.rows) + 1))
    assert high_pt * SMALLEST <= (paper.height_in - 2 * paper.end_in) * 72
    wide_pt = sum(round(width * 7 + 5) for width in page.column_widths) * 0.75
    assert wide_pt * SMALLEST <= (paper.width_in - 2 * paper.side_in) * 72


def test_answers_panels_and_every_caution_stand_there_and_the_other_sections_do_not(sheets_of):
    summary, cut_plan = sheets_of(60)
    page = compose(summary, cut_plan, SOURCE, LETTER)
    shown = texts(page)
    assert {"Can it be made?", "Do next", "What is wrong", *ON_PAPER} <= set(shown)
    cautions = [c.value for s in (summary, cut_plan) for row in s.rows for c in row if c and c.look is Look.CAUTION]
    assert len(cautions) > 3
    assert set(cautions) <= set(shown)
    assert "Where to look" not in shown
    assert not any(text.startswith(("Written by sheetkit", "These figures")) for text in shown)


def test_nothing_on_it_leads_to_another_sheet(sheets_of):
    page = compose(*sheets_of(60), SOURCE, LETTER)
    assert all(cell.formula is None and cell.link is None for row in page.rows for cell in row if cell is not None)


def test_sheets_with_different_columns_share_one_grid():
    """Columns of 10, 10 and 9, 10 characters are 75, 75 and 68, 75 pixels; stretched, the second edge lies at 71.3."""
    grid = common_grid([(10, 10), (9, 10)])
    assert list(grid.edges_px) == [0, 75, 150]
    wide = ReportCell("across", columns=2)
    assert grid.put([wide, None], (9, 10)) == [wide, None]


def test_an_edge_that_is_far_from_the_others_splits_a_column():
    """Two columns of 10 are 75 pixels each, one of 4 is 33, one of 16 is 117: the edge at 33 is a new one."""
    grid = common_grid([(10, 10), (4, 16)])
    assert list(grid.edges_px) == [0, 33, 75, 150]
    first, second = ReportCell("first"), ReportCell("second")
    assert grid.put([first, second], (10, 10)) == [ReportCell("first", columns=2), None, second]
    assert grid.put([first, second], (4, 16)) == [first, ReportCell("second", columns=2), None]


def test_the_panels_stand_there_whatever_their_title_has_in_brackets(sheets_of):
    """In 64ths it says that the tables do not reduce them."""
    summary, cut_plan = sheets_of(4)
    title = "Panels (tables count 64ths as they are: 32/64 is 1/2)"
    [row] = [row for row in summary.rows if row and row[0] and row[0].value == "Panels" and row[0].look is Look.SECTION]
    row[0] = replace(row[0], value=title)
    assert title in texts(compose(summary, cut_plan, SOURCE, LETTER))
