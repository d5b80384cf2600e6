from math import sqrt

import pytest

from sheetkit.trade.glue_line import LearnedLine, glue_line_from_panel, pooled_glue_line

INCH = 25.4


def test_the_glue_line_is_learned_from_a_glued_panel():
    """Case A15 the other way round: 1.760 in of 41 layers of 0.040 gives back 0.003."""
    line = glue_line_from_panel(1.760 * INCH, [0.040 * INCH] * 41)
    assert line.thickness_mm == pytest.approx(0.003 * INCH, abs=1e-9)
    assert (line.lines, line.standard_mm) == (40, 0.0)


def test_errors_of_panel_and_slices_are_shared_among_the_lines():
    """By hand: sqrt(0.006^2 + 41 * 0.008^2) = 0.051575..., over 40 lines."""
    line = glue_line_from_panel(44.0, [1.0] * 41, 0.006, [0.008] * 41)
    assert line.standard_mm == pytest.approx(sqrt(0.006**2 + 41 * 0.008**2) / 40, rel=1e-12)
    assert line.thickness_mm == pytest.approx(3.0 / 40, abs=1e-12)


def test_a_panel_thinner_than_its_slices_gives_less_than_nothing():
    assert glue_line_from_panel(3.9, [1.0, 2.0, 1.0]).thickness_mm == pytest.approx(-0.05, abs=1e-12)


def test_a_caliper_that_reads_too_much_foretells_the_next_panel_all_the_same():
    """10 layers of 1.00 with lines of 0.10 are 10.90; read 0.02 too much each, the line seems 0.08, and the next panel,
    read the same way, comes to 10 * 1.02 + 9 * 0.08 = 10.92: what that caliper will show."""
    line = glue_line_from_panel(10.90 + 0.02, [1.02] * 10)
    assert line.thickness_mm == pytest.approx(0.08, abs=1e-12)
    assert 10 * 1.02 + 9 * line.thickness_mm == pytest.approx(10.92, abs=1e-9)


def test_several_panels_count_by_their_lines():
    """By hand: (0.10 * 30 + 0.20 * 10) / 40 = 0.125; sqrt((0.02 * 30)^2 + (0.08 * 10)^2) / 40 = 1 / 40."""
    together = pooled_glue_line([LearnedLine(0.10, 0.02, 30), LearnedLine(0.20, 0.08, 10)])
    assert together.thickness_mm == pytest.approx(0.125, abs=1e-12)
    assert together.standard_mm == pytest.approx(0.025, abs=1e-12)
    assert together.lines == 40


def test_one_layer_has_no_line_and_no_panel_teaches_nothing():
    with pytest.raises(ValueError, match=r"^1 layers were given; a glue line needs at least two$"):
        glue_line_from_panel(1.0, [1.0])
    with pytest.raises(ValueError, match=r"^no glued panel was given; wanted at least one$"):
        pooled_glue_line([])
