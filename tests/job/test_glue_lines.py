"""What panels already glued teach about the glue line, from a job's rows; sums by hand, in inches."""

import pytest

from sheetkit.job.results import compute

INCH = 25.4


def three_layers(job, glued, **more):
    """Slices of 0.041, 0.040 and 0.042, each with two readings, for three layers of 0.041."""
    job.board("A", "cherry", 3.0).layer("cherry", 0.041, plies=3)
    job.panel("P", glued_mm=glued * INCH, **more)
    for number, thickness in enumerate((0.041, 0.040, 0.042), start=1):
        job.slice(f"A-{number}", 0.041, thickness, thickness)
    return compute(job.inputs()).glue_lines


def test_a_glued_panel_teaches_its_line(job):
    """(0.131 - 0.123) / 2 = 0.004; u = 0.0005 / sqrt(12) for the panel and over sqrt(2) for each slice, two lines."""
    found = three_layers(job, 0.131)
    (panel,) = found.panels
    assert panel.slices_mm / INCH == pytest.approx(0.123, abs=1e-12)
    assert found.together.thickness_mm / INCH == pytest.approx(0.004, abs=1e-12)
    one = 0.0005 / 12**0.5
    assert found.together.standard_mm / INCH == pytest.approx((one**2 + 3 * one**2 / 2) ** 0.5 / 2, rel=1e-9)


def test_slices_sanded_before_gluing_count_as_sanded(job):
    """0.001 off each face: slices of 0.123 in all give 0.117 of wood; (0.131 - 0.117) / 2 = 0.007."""
    job.shop["sanding_mm"] = 0.001 * INCH
    job.board("A", "cherry", 3.0).layer("cherry", 0.039, plies=3).panel("P", glued_mm=0.131 * INCH)
    for number, thickness in enumerate((0.041, 0.040, 0.042), start=1):
        job.slice(f"A-{number}", 0.041, thickness, thickness)
    assert compute(job.inputs()).glue_lines.together.thickness_mm / INCH == pytest.approx(0.007, abs=1e-12)


def test_copies_are_taken_together(job):
    """Six slices of 0.246 in all are two copies of 0.123 on average; their mean glued thickness is 0.131."""
    for number, thickness in enumerate((0.041, 0.040, 0.042), start=4):
        job.slice(f"A-{number}", 0.041, thickness, thickness)
    found = three_layers(job, 0.131, copies=2)
    assert found.panels[0].slices_mm / INCH == pytest.approx(0.123, abs=1e-9)
    assert found.together.thickness_mm / INCH == pytest.approx(0.004, abs=1e-9)
    one = 0.0005 / 12**0.5
    assert found.together.standard_mm / INCH == pytest.approx((one**2 / 2 + 3 * one**2 / 4) ** 0.5 / 2, rel=1e-9)


def test_while_a_slice_is_missing_nothing_is_learned(job):
    job.board("A", "cherry", 3.0).layer("cherry", 0.041, plies=3).panel("P", glued_mm=0.131 * INCH)
    job.slice("A-1", 0.041, 0.041, 0.041)
    found = compute(job.inputs()).glue_lines
    assert [(each.glued_mm / INCH, each.line) for each in found.panels] == [(pytest.approx(0.131), None)]
    assert found.together is None


def test_panels_not_glued_and_single_layers_are_left_out(job):
    job.board("A", "cherry", 3.0).layer("cherry", 0.041, panel="P").layer("cherry", 0.041, plies=3, panel="Q")
    job.panel("P", glued_mm=0.041 * INCH).panel("Q")
    assert compute(job.inputs()).glue_lines.panels == []
