"""A column full of numbers out of range in the same way is one finding, and nothing is read in another unit."""

import pytest

STOCK = [["Board", "Species", "Thickness (in)"], ["E1", "wenge", 1.5]]
METRIC = [["Board", "Species", "Thickness (mm)"], ["E1", "wenge", 38]]
SLICE = "wanted a thickness in inches, not below 0.002 in and not above 1.5 in."


def slices(*values, heading="Thickness (in)", stock=STOCK):
    return {"Stock": stock, "Measurements": [["Slice", heading], *([f"E1-{n}", v] for n, v in enumerate(values, 1))]}


WHOLE = [
    (
        slices(50, 28, 51),
        f"Measurements!B2: found 50 and 2 more values of the column, every one too large in inches, {SLICE} To fix: "
        "write (thou) as the unit in the heading B1 if that is meant; else type the right values.",
    ),
    (
        slices(0.04, 0.05, heading="Thickness (mm)", stock=METRIC),
        "Measurements!B2: found 0.04 and 1 more value of the column, every one too small in mm, wanted a thickness in "
        "mm, not below 0.0508 mm and not above 38.1 mm. To fix: write (in) as the unit in the heading B1 if that is "
        "meant; else type the right values.",
    ),
    (
        {"Stock": [["Board", "Species", "Thickness (in)"], ["E1", "wenge", 38], ["E2", "wenge", 40]]},
        "Stock!C2: found 38 and 1 more value of the column, every one too large in inches, wanted a measured thickness "
        "in inches, not below 0.02 in and not above 24 in. To fix: write (thou) or (mm) as the unit in the heading C1 "
        "if that is meant; else type the right values.",
    ),
    (
        slices(-0.05, -0.028),
        "Measurements!B2: found -0.05 and 1 more value of the column, every one less than nothing, wanted a thickness "
        "in inches. To fix: type them without the minus sign, if that is meant.",
    ),
    (
        slices(0, 0, 0),
        "Measurements!B2: found 0 and 2 more values of the column, every one 0, which is usually a slip here, wanted a "
        "thickness in inches. To fix: empty the cells if they were not measured; else type the values.",
    ),
    (
        {"Stock": STOCK, "Panels": [["Panel", "Surface age (min)"], ["P", 1_000_000], ["Q", 2_000_000]]},
        "Panels!B2: found 1000000 and 1 more value of the column, every one too large in minutes, wanted a duration in "
        "minutes, not below 0 min and not above 525600 min. To fix: write (s) as the unit in the heading B1 if that is "
        "meant; else type the right values.",
    ),
    (
        {"Stock": STOCK, "Targets": [["Species", "Thickness (in)", "Plies"], ["wenge", 0.04, 50_000],
                                     ["wenge", 0.05, 60_000]]},
        "Targets!C2: found 50000 and 1 more value of the column, every one too large, wanted a whole number, not below "
        "1 and not above 10000. To fix: type the right values.",
    ),
    (
        {"Stock": STOCK, "Measurements": [["Slice", "Pressed", "Thickness (in)"], ["E1-1", 10, 500], ["E1-2", 5, 250],
                                          ["E1-3", None, 50]]},
        f"Measurements!C2: found 500 and 2 more values of the column, every one too large in inches, {SLICE} To fix: "
        "write (thou) as the unit in the heading C1 if that is meant; else type the right values.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("sheets", "message"), WHOLE, ids=[message[:40] for _, message in WHOLE])
def test_a_whole_column_is_one_finding_with_the_unit_that_would_fit(read, sheets, message):
    inputs = read(**sheets)
    sheet = message.partition("!")[0]
    assert [str(each) for each in inputs.problems if each.place.startswith(f"{sheet}!")] == [message]


def test_nothing_is_read_in_the_unit_that_would_fit(read):
    assert [row.readings_mm for row in read(**slices(50, 28, 51)).measurements] == [(), (), ()]


def test_ten_thousand_rows_are_one_finding_too(read):
    inputs = read(**slices(*(number % 7 + 25 for number in range(10_000))))
    found = [each.found for each in inputs.problems if each.sheet == "Measurements"]
    assert found == ["25 and 9999 more values of the column, every one too large in inches"]


def test_what_names_its_unit_or_is_no_number_stands_apart(read, at):
    inputs = read(**slices(50, 28, "bad", 51, "52 thou"))
    assert [row.readings_mm for row in inputs.measurements] == [(), (), (), (), (pytest.approx(52 * 0.0254),)]
    assert [each.found for each in at(inputs, "Measurements!B2")] == [
        "50 and 2 more values of the column, every one too large in inches"
    ]
    assert [each.found for each in at(inputs, "Measurements!B4")] == ['"bad"']


def test_a_few_among_good_ones_are_told_one_by_one(read):
    found = [each.cell for each in read(**slices(50, 28, 0.04, 51)).problems if each.sheet == "Measurements"]
    assert found == ["B2", "B3", "B5"]


def test_many_among_good_ones_are_one_finding_and_the_heading_stays(read):
    inputs = read(**slices(50, 28, 0.04, 51, 52, 53, 54, 0.05))
    assert [row.readings_mm for row in inputs.measurements if row.readings_mm] == [
        (pytest.approx(1.016),), (pytest.approx(1.27),),
    ]  # fmt: skip
    assert [str(each) for each in inputs.problems if each.sheet == "Measurements"] == [
        "Measurements!B2: found 50 and 5 more values of the column (rows 3 and 5 to 8), each too large in inches, "
        f"{SLICE} To fix: type each with its unit, for example 50 thou, if that is meant; else type the right values."
    ]


def test_those_among_good_ones_that_no_one_unit_mends_are_told_one_by_one_each_with_its_own_mend(read):
    inputs = read(**slices(0.04, 40, 38, 1.9, 3.2, 2.6, 500, 1200))
    fixes = {each.cell: each.fix for each in inputs.problems if each.sheet == "Measurements"}
    assert list(fixes) == ["B3", "B4", "B5", "B6", "B7", "B8", "B9"]
    assert fixes["B6"] == "type the right value, for example 3.2 thou or 3.2 mm if that is meant"
    assert fixes["B8"] == "type the right value, for example 500 thou or 500 µm if that is meant"


def test_too_many_of_them_are_one_finding_that_says_between_which_rows(read):
    inputs = read(**slices(*([0.04, 40, 1.9] * 40)))
    (found,) = (each for each in inputs.problems if each.sheet == "Measurements")
    assert str(found) == (
        "Measurements!B3: found 40 and 79 more values of the column (between row 4 and row 121), each too large in "
        f"inches, {SLICE} To fix: type the right value, for example 40 thou if that is meant; look at the others one "
        "by one."
    )


def test_a_column_of_percents_without_a_sign_that_fits_keeps_the_hint_of_the_first(read):
    inputs = read(Stock=[["Board", "Species", "Thickness (in)", "Moisture (%)"], ["A", "wenge", 2, 800],
                         ["B", "wenge", 2, 900]])  # fmt: skip
    assert [str(each) for each in inputs.problems if each.cell == "D2"] == [
        "Stock!D2: found 800 and 1 more value of the column, every one too large in per cent, wanted a share in per "
        "cent, not below 2 % and not above 40 %. To fix: type the right value, for example 8 % if that is meant; look "
        "at the others one by one."
    ]
