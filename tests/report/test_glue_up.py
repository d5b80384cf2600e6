"""The sheet Glue-up: what a maker reads first, the units of the job, and where each figure comes from."""

import dataclasses
from datetime import date
from pathlib import Path

import pytest

from sheetkit.job.measure import Measure
from sheetkit.job.results import compute
from sheetkit.reading.model import Format, Workbook
from sheetkit.report.glue_up import glue_up
from sheetkit.report.live import Live
from sheetkit.report.model import HEADINGS, Look
from sheetkit.report.sources import Sources
from sheetkit.report.summary import summary
from sheetkit.report.tabs import TITLES
from sheetkit.tables.columns import columns_of
from sheetkit.tables.inputs import Assumption, Inputs
from sheetkit.tables.rows import Board, Panel, Place, SpeciesValues, Target
from sheetkit.tables.settings import Job, Shop
from sheetkit.tables.value import default_value

INCH = 25.4


def live(given):
    """No workbook of the maker's behind it."""
    return Live(given, Measure(given.unit), Sources(Workbook(Path("job.xlsx"), Format.XLSX, [])), {})


def row(row_class, sheet, number, **values):
    blank = {field.name: None for field in dataclasses.fields(row_class)}
    return row_class(**(blank | {"place": Place(sheet, number)} | values))


def settings(settings_class, **values):
    return settings_class(**({c.field: default_value(c) for c in columns_of(settings_class)} | values))


def inputs(*layers, unit="in", moisture=8.0, glued=None, species=(), **shop):
    """Panels of 12 in x 3 in, untrimmed, from one board of each wood."""
    woods = dict.fromkeys(wood for wood, _, _ in layers)
    boards = [
        row(Board, "Stock", 3 + n, board=f"{wood[0].upper()}1", species=wood, thickness_mm=3000.0, use="yes",
            moisture_pct=moisture, grain="flat")
        for n, wood in enumerate(woods)
    ]  # fmt: skip
    targets = [
        row(Target, "Targets", 3 + n, species=wood, thickness_mm=thickness * INCH, plies=plies)
        for n, (wood, thickness, plies) in enumerate(layers)
    ]
    panel = row(Panel, "Panels", 3, panel="P", length_mm=12 * INCH, width_mm=3 * INCH, repeats=1, mirror=False,
                copies=1, glued=glued)  # fmt: skip
    return Inputs(
        job=settings(Job, end_trim_mm=0.0, edge_trim_mm=0.0, spares_pct=0.0), shop=settings(Shop, **shop), unit=unit,
        boards=boards, targets=targets, panels=[panel], species=list(species),
    )  # fmt: skip


def sheet_of(given):
    return glue_up(given, compute(given), Measure(given.unit), "Glue-up", live(given))


def texts(sheet, look=None):
    return [
        cell.value
        for cells in sheet.rows
        for cell in cells
        if cell is not None and isinstance(cell.value, str) and look in (None, cell.look)
    ]


def below(sheet, heading):
    """The cells below a heading, down to the first empty one."""
    for at, cells in enumerate(sheet.rows):
        for column, cell in enumerate(cells):
            if cell is not None and cell.value == heading:
                found = []
                for record in sheet.rows[at + 1 :]:
                    if len(record) <= column or record[column] is None or record[column].value is None:
                        return found
                    found.append(record[column])
    raise AssertionError(heading)


def shown(cells):
    """Values as a spreadsheet program shows them with these decimals."""
    return [f"{cell.value:.{len(cell.number_format.partition('.')[2])}f}" for cell in cells]


def test_the_first_sentence_tells_glue_ups_and_why_so_many():
    sheet = sheet_of(inputs(("black cherry", 0.05, 61), most_lines=14))
    assert texts(sheet, Look.STRONG)[0] == (
        "61 layers have 60 glue lines. At most 14 go into one glue-up, as you want no more than that at once (Most "
        "lines at once on Shop): so it takes 5 glue-ups, each laid onto the cured block of the one before."
    )
    assert [cell.value for cell in below(sheet, "Layers")] == [
        "1 to 13",
        "14 to 25",
        "26 to 37",
        "38 to 49",
        "50 to 61",
    ]


def test_force_and_clamps_of_the_worked_case_stand_at_the_top():
    # 12 in x 3 in at 150 psi is 5,400 lbf, 6 clamps of 1,000 lbf, not times 29 lines
    psi, lbf = 6.894757293168361, 4.4482216152605
    given = inputs(("black cherry", 0.05, 30), pressure_kpa=150 * psi, clamp_force_n=1000 * lbf)
    assert (
        "Press the face with 5,400 lbf (150 psi), however many layers lie in the press: 6 clamps of 1,000 lbf."
        in texts(sheet_of(given), Look.STRONG)
    )


def test_glue_of_the_worked_case_stands_in_the_units_of_the_job():
    # 45 lb/1000 ft2 on 29 lines of 12 in x 3 in is 148 g, 5.2 oz
    layers, glue = ("black cherry", 0.05, 30), {"spread_gsm": 219.7092438, "left_over_pct": 0.0}
    assert "Mix 5.2 oz of glue in all, about 4.5 fl oz." in texts(sheet_of(inputs(layers, **glue)))
    assert "Mix 148 g of glue in all, about 135 mL." in texts(sheet_of(inputs(layers, unit="mm", **glue)))


def test_the_rise_of_moisture_is_shown_to_the_digit_with_a_sentence():
    # 200 g/m2, half water, sugar maple of 630 kg/m3: 0.83, 10.0 and 125 points
    layers = [("sugar maple", thickness, 3) for thickness in (0.75, 0.0625, 0.005)]
    sheet = sheet_of(inputs(*layers, spread_gsm=200.0))
    assert shown(below(sheet, "Rise (points)")) == ["0.83", "10.0", "125"]
    sentence = texts(sheet, Look.WATCH)[0]
    assert sentence.startswith("The water in the glue raises layer 7 by 125 points of moisture, from 8 to 133 %")
    assert sentence.endswith("more than its cell walls can hold, so it swells as far as it can and curls.")


def test_a_glue_without_water_says_so_and_shows_no_table_of_swelling():
    sheet = sheet_of(inputs(("sugar maple", 0.05, 3), glue_water_pct=0.0))
    assert "This glue brings no water: the layers stay as dry as they are." in texts(sheet)
    assert "Rise (points)" not in texts(sheet)


def test_both_glues_stand_side_by_side():
    sheet = sheet_of(inputs(("sugar maple", 0.0625, 3), spread_gsm=200.0))
    assert [cell.value for cell in below(sheet, "Without water")][:2] == [0, 0]
    # 100 g/m2 of water; 10.0 points
    assert shown(below(sheet, "This glue")[:2]) == ["100", "10.0"]


def test_the_day_of_machining_is_told_where_the_day_of_gluing_is_given():
    # glued 2024-02-26, 7 days, a leap year
    given = inputs(("sugar maple", 0.75, 2), glued=date(2024, 2, 26), glue_water_pct=0.0)
    assert any(text.startswith("Let it rest about 7 days before you machine it: not before 2024-03-04.")
               for text in texts(sheet_of(given), Look.STRONG))  # fmt: skip


def test_a_wood_without_density_is_named_and_its_cells_stay_empty():
    sheet = sheet_of(inputs(("padauk", 0.05, 3)))
    assert any(text.startswith("No density is known for padauk") for text in texts(sheet, Look.WATCH))
    assert below(sheet, "Rise (points)") == []


def test_a_figure_of_the_makers_own_says_so():
    own = row(SpeciesValues, "Species", 3, species="padauk", specific_gravity=0.7)
    sheet = sheet_of(inputs(("padauk", 0.05, 3), species=[own]))
    assert "Your own value: the maker's Species sheet. For padauk gravity." in texts(sheet)


@pytest.mark.parametrize(("unit", "expected"), [("in", ["Pressure (psi)", "Force (lbf)", "Mix (oz)"]),
                                                ("mm", ["Pressure (kPa)", "Force (N)", "Mix (g)"])])  # fmt: skip
def test_units_stand_in_the_headings(unit, expected):
    headings = texts(sheet_of(inputs(("sugar maple", 0.05, 3), unit=unit)), Look.NUMBER_HEADING)
    assert set(expected) <= set(headings)


def test_every_heading_with_a_unit_says_how_its_figure_is_found():
    sheet = sheet_of(inputs(("sugar maple", 0.05, 3), ("black walnut", 0.05, 2)))
    bare = [
        cell.value
        for cells in sheet.rows
        for cell in cells
        if cell is not None and cell.look in HEADINGS and "(" in str(cell.value) and not cell.note
    ]
    assert bare == []


def test_cautions_name_the_woods_of_the_job_and_promise_nothing():
    given = inputs(("teak", 0.05, 3))
    told = texts(sheet_of(given), Look.CAUTION)
    assert any(text.startswith("teak: oil can keep glue from holding") for text in told)
    first = texts(summary(given, compute(given), Measure("in"), TITLES, [], live(given)), Look.CAUTION)
    assert any(text.startswith("teak: ") and "reported" in text for text in first)
    assert not any("is safe" in text or "are safe" in text for text in [*told, *first])


def test_defaults_are_listed_in_the_units_of_the_job():
    given = inputs(("sugar maple", 0.05, 3))
    given.assumptions.append(Assumption("Shop", "Glue pressure", "1034 kPa", "Pressure wanted on the face."))
    assert "150 psi" in texts(sheet_of(given))


def test_without_any_layer_the_sheet_says_so():
    assert "Nothing to glue yet: Targets names no layer that could be read." in texts(sheet_of(inputs()))


def test_a_glue_without_water_cures_and_does_not_dry():
    """Least rest on Shop, 3 days, and nothing else: no weighing, no glue without water to set it beside."""
    found = texts(sheet_of(inputs(("sugar maple", 0.0625, 9), glue_water_pct=0.0, rest_s=3 * 86_400.0)))
    assert (
        "Let it rest about 3 days before you machine it. This glue brings no water that must leave: it cures as its "
        "data sheet says."
    ) in found
    assert not [text for text in found if "stops losing" in text or "beside one without" in text]
    wet = texts(sheet_of(inputs(("sugar maple", 0.0625, 9), glue_water_pct=50.0)))
    assert [text for text in wet if "stops losing" in text]
    assert "This glue beside one without water, panel P" in wet
