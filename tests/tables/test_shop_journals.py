"""What people who keep shop journals type into one cell, in American, British, German and French habits.

Every case is written to a real file in both formats and read back. The wanted values are worked out by hand from what
stands there; 1 in = 25.4 mm and 1 ft = 304.8 mm exactly (NIST SP 811), 1 week = 7 days.
"""

from datetime import UTC, datetime

import pytest

from sheetkit.errors import Harm

MM = 1 / 25.4
USED = {Harm.DOUBTFUL, Harm.GUESSED, Harm.NOTED}


def day(*numbers, **shown):
    return {"value": datetime(*numbers, tzinfo=UTC).replace(tzinfo=None), **shown}


@pytest.fixture
def one_cell(saved, at, entry):
    """The value of one cell under a heading of a sheet, and the findings about it."""
    tables = {
        "Measurements": (["Slice"], ["E1-1"]),
        "Stock": (["Board", "Species", "Thickness (in)"], ["E1", "wenge", 2]),
        "Board": (["Board", "Species"], ["E1", "wenge"]),
        "Targets": (["Species"], ["wenge"]),
        "Plies": (["Species", "Thickness (in)"], ["wenge", 0.05]),
        "Shop": ([], []),
        "Job": ([], []),
    }

    def read(table, heading, content):
        name = {"Board": "Stock", "Plies": "Targets"}.get(table, table)
        above, before = tables[table]
        rows = [[*above, heading], [*before, content]]
        if table in {"Shop", "Job"}:
            rows = [["Setting", "Value"], [heading, content]]
        address = f"{'ABCDEF'[len(rows[1]) - 1]}2"
        inputs = saved({name: rows})
        return entry(inputs, f"{name}!{address}").value, at(inputs, f"{name}!{address}")

    return read


def check_plain(one_cell, table, heading, content, value):
    read, problems = one_cell(table, heading, content)
    assert read == pytest.approx(value, rel=1e-9)
    assert problems == []


def check_said(one_cell, table, heading, content, value):
    read, problems = one_cell(table, heading, content)
    assert read == pytest.approx(value, rel=1e-9)
    assert {problem.harm for problem in problems} & USED
    assert all(problem.harm in USED for problem in problems)


def check_asked(one_cell, table, heading, content, *offers):
    read, problems = one_cell(table, heading, content)
    assert read is None
    assert [problem.harm for problem in problems] == [Harm.LEFT_OUT]
    assert all(offer in problems[0].fix for offer in offers), problems[0].fix


PLAIN_INCHES = [
    ('15/16"', 0.9375), ("1 3/8", 1.375), ("1-5/16 inch", 1.3125), ("5/64ths", 5 / 64), ("⅝", 0.625), ("3⁄4", 0.75),
    ("1 & 1/2", 1.5), ("1 and 1/2", 1.5), ('.5"', 0.5), ("0.5''", 0.5), ("0.5``", 0.5), ("1¼ in", 1.25), ('1-¼"', 1.25),
    ("1\u00a01/4", 1.25), ("1\u202f1/4", 1.25), ("¹⁄₁₆", 0.0625), ("3/32\u201d", 3 / 32), ("41 thous", 0.041),
    ("41 MILS", 0.041), ("1.27 MM.", 0.05), ("1.27 Millimeter", 0.05), ("3 sixteenths", 0.1875), ("3 64ths", 3 / 64),
    ("5 thirty-seconds", 5 / 32), ("1 eighth", 0.125), ("0.041.", 0.041), ("0·041", 0.041), ("４１ thou", 0.041),
    ("4.1E-2", 0.041), ("'.041", 0.041), (".041 (left edge)", 0.041), (".041 [after sanding]", 0.041),
]  # fmt: skip


@pytest.mark.parametrize(("text", "inches"), PLAIN_INCHES)
def test_a_thickness_that_reads_in_one_way_needs_no_word(one_cell, text, inches):
    check_plain(one_cell, "Measurements", "Thickness (in)", text, inches / MM)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("5' 2 1/2\"", 62.5), ("5ft 2in", 62), ("6'-3\"", 75), ("6 feet 3 inches", 75), ("6′3″", 75), ("6' 3", 75),
        ("0' 11\"", 11), ("1 1/2 ft", 18), ("1 m 27 cm", 50), ('36"L', None), ("36 in long", None),
    ],
)  # fmt: skip
def test_lengths_in_feet_and_inches_and_with_the_side_they_measure(one_cell, text, inches):
    if inches is None:
        check_said(one_cell, "Stock", "Length", text, 36 / MM)
    else:
        check_plain(one_cell, "Stock", "Length (in)", text, inches / MM)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("between .041 and .043", 0.042), ("from .041 to .043", 0.042), ("zwischen 0,041 und 0,043", 0.042),
         (".041~.043", 0.042), ("0.041…0.043", 0.042), (".041 à .043", 0.042),
        (".041,.043", 0.042), (".041/.043", 0.042), (".041; .043; .042", 0.042), ("0,041/0,043/0,042", 0.042),
        (".041 @ 3 places", 0.041), ("3@.041", 0.041), ("0.041 x3", 0.041), ("3 pcs @ .041", 0.041),
    ],
)  # fmt: skip
def test_ranges_and_repeats_are_used_and_said(one_cell, text, inches):
    check_said(one_cell, "Measurements", "Thickness (in)", text, inches / MM)


@pytest.mark.parametrize(
    "text",
    ["~.04", "ca. .04", "≈.04", "+/- .04", "± .04", ".04 or so", ".04?", "?.04", "rd. .04", "rund .04", "vers .04",
     ".04+", ".04 heavy", ".04*", "fat .04"],
)  # fmt: skip
def test_approximations_are_used_as_doubtful(one_cell, text):
    value, problems = one_cell("Measurements", "Thickness (in)", text)
    assert value == pytest.approx(0.04 / MM)
    assert [problem.harm for problem in problems] == [Harm.DOUBTFUL]


@pytest.mark.parametrize(
    "text",
    ["(left edge) .041", "left .041", "fuzzy .041", "L .041", "thk .041", "avg = .041", "1 turn = .041",
     '.041 "fuzzy"', ".041 #3", ".041 avg of 3", ".041 - snipe", "0. 041", "4,1E-2"],
)  # fmt: skip
def test_words_around_a_value_are_kept_and_said(one_cell, text):
    check_said(one_cell, "Measurements", "Thickness (in)", text, 0.041 / MM)


@pytest.mark.parametrize(
    "text",
    ["set .041", "no .041", "two .041", "half .041", "just under .041", ".041 was .043", ".041 or .042", ">.041",
     ".041 max", "0..041", "41 ten-thou", ".041 L", "tbd", "1.5 half", "3 quarter", "0", "-.041", "TRUE",
     ".041 → .038", ".041->.038", ".041 sanded to .038", ".041'", "27/25"],
)  # fmt: skip
def test_words_that_change_what_a_number_says_are_asked_about(one_cell, text):
    check_asked(one_cell, "Measurements", "Thickness (in)", text)


@pytest.mark.parametrize("text", ['1.27mm/0.05"', '1.27 mm = .05"', '0.05" (1.27 mm)', "0.05 in / 1.27 mm"])
def test_one_thickness_in_two_units(one_cell, text):
    assert one_cell("Measurements", "Thickness (in)", text)[0] == pytest.approx(1.27)


@pytest.mark.parametrize(
    ("table", "heading", "text"),
    [("Targets", "Thickness (in)", "3 x .041"), ("Board", "Thickness (in)", '2 x 1"'), ("Stock", "Length", "2 @ 36")],
)
def test_several_pieces_in_a_cell_for_one_measure_are_asked_about(one_cell, table, heading, text):
    check_asked(one_cell, table, heading, text, "in a column of its own")


def test_old_day_numbers_are_no_decimals(one_cell):
    check_asked(one_cell, "Board", "Thickness (mm)", 27000)


def test_a_label_before_the_value_never_swallows_its_point(one_cell):
    check_said(one_cell, "Measurements", "Thickness (in)", "t .5", 0.5 / MM)
    check_said(one_cell, "Stock", "Length (in)", "L. 36", 36 / MM)


@pytest.mark.parametrize(
    ("text", "offers"),
    [
        ("17/16", ("1.0625 in", "1.4375 in")), ("111/16", ("6.9375 in", "1.6875 in", "11.0625 in")),
        ("11/4", ("2.75 in", "1.25 in")),
        ("1.1/2", ("1 1/2",)), (".O41", (".041",)), ("0.04l", ("0.041",)), ("36 x 4 x 1", ()),
    ],
)  # fmt: skip
def test_fractions_and_digits_that_may_have_lost_something_are_asked_about(one_cell, text, offers):
    check_asked(one_cell, "Board", "Thickness (in)", text, *offers)


def test_two_leading_zeros_may_have_lost_their_point_in_two_places(one_cell):
    check_asked(one_cell, "Measurements", "Thickness (in)", "0041", "0.0041 in", "0.041 in")


@pytest.mark.parametrize(
    ("text", "inches"),
    [("5/4", 1.25), ("5/4 S2S", 1.25), ("4/4 RGH", 1), ("4/4 KD", 1), ("5 quarter", 1.25), ("eight quarter", 2),
     ("10/4", 2.5), ("1 nom.", 1)],
)  # fmt: skip
def test_quarters_and_the_yards_marks_give_a_nominal_thickness(one_cell, text, inches):
    value, problems = one_cell("Board", "Thickness (in)", text)
    assert value == pytest.approx(inches / MM)
    assert [problem.harm for problem in problems] == [Harm.DOUBTFUL]
    assert f"nominal thickness of {inches:g} in" in problems[0].found


def test_a_fraction_with_the_yards_marks_is_no_nominal_thickness(one_cell):
    check_said(one_cell, "Board", "Thickness (in)", "3/4 S4S", 0.75 / MM)


@pytest.mark.parametrize("text", [".041 +/- .001", ".041±.001", ".041 +.001/-.002", ".041 -.000/+.002", ".041 ± 2%"])
def test_a_target_with_its_tolerance_is_used_without_it_and_said(one_cell, text):
    check_said(one_cell, "Targets", "Thickness (in)", text, 0.041 / MM)


@pytest.mark.parametrize("text", ["± .002", "+/- .002", "+-.002", "2 thou", "± 2 thou"])
def test_a_tolerance_may_have_its_sign(one_cell, text):
    check_plain(one_cell, "Plies", "Tolerance (in)", text, 0.002 / MM)


# Dates that were numbers


@pytest.mark.parametrize(
    ("date", "mm"),
    [(day(2024, 5, 1, number_format="dd/mm/yyyy"), 1.5), (day(2024, 1, 5, number_format="d-mmm"), 5.1)],
)
def test_a_metric_decimal_that_became_a_date_is_recovered(one_cell, date, mm):
    check_said(one_cell, "Measurements", "Thickness (mm)", date, mm)


def test_a_date_in_a_metric_column_that_may_be_a_fraction_or_a_decimal_is_asked_about(one_cell):
    date = day(2024, 3, 4, number_format="d-mmm")
    check_asked(one_cell, "Measurements", "Thickness (mm)", date, "0.75 in", "4.3 mm")
    check_asked(one_cell, "Measurements", "Thickness (mm)", 45355, "0.75 in", "4.3 mm")  # the same day's number
    check_said(one_cell, "Measurements", "Thickness (in)", date, 0.75 / MM)


# Counts, money, per cent, words


@pytest.mark.parametrize(("text", "count"), [("4x", 4), ("x 6", 6), ("12 pcs", 12), ("4 ea.", 4)])
def test_counts_with_their_noun(one_cell, text, count):
    assert one_cell("Plies", "Plies", text) == (count, [])


@pytest.mark.parametrize("text", ["a dozen", 2.5, "2-3", "4+1", 0, True, "1,000", "none"])
def test_counts_that_are_none_are_asked_about(one_cell, text):
    check_asked(one_cell, "Plies", "Plies", text)


@pytest.mark.parametrize(
    ("text", "amount"), [("$12", 12), ("12 €", 12), ("£12.50", 12.5), ("EUR 12", 12), ("12.-", 12), ("12,–", 12)]
)
def test_money_with_its_sign(one_cell, text, amount):
    check_plain(one_cell, "Stock", "Price", text, amount)


@pytest.mark.parametrize(
    ("text", "amount"), [("12,50 €", 12.5), ("£12 each", 12), ("1.250,00 €", 1250), ("CHF 1'250.50", 1250.5)]
)
def test_money_written_in_other_ways_is_said(one_cell, text, amount):
    check_said(one_cell, "Stock", "Price", text, amount)


@pytest.mark.parametrize("text", ["$12/bf", "12 per bd ft", "12 €/m", "12-15 €", "free", "2x $12"])
def test_a_price_that_is_not_the_boards_is_asked_about(one_cell, text):
    check_asked(one_cell, "Stock", "Price", text)


@pytest.mark.parametrize(
    ("text", "percent", "said"),
    [("8%", 8, False), (".08", 8, True), (0.08, 8, True), ("7,5 %", 7.5, True), ("8 % MC", 8, True), ("~8%", 8, True)],
)
def test_moisture_in_every_way(one_cell, text, percent, said):
    (check_said if said else check_plain)(one_cell, "Stock", "Moisture", text, percent)


@pytest.mark.parametrize(
    ("text", "use"),
    [("✓", "yes"), ("ok", "yes"), ("Yes.", "yes"), (1, "yes"), (True, "yes"), ("wahr", "yes"), ("sí", "yes"),
     ("✗", "no"), (0, "no"), (False, "no"), ("faux", "no"), ("no - keep for later", "no"), ("1st", "first"),
     ("zuerst", "first")],
)  # fmt: skip
def test_yes_and_no_in_a_column_with_a_third_choice(one_cell, text, use):
    assert one_cell("Stock", "Use", text)[0] == use


def test_a_dash_where_an_empty_cell_means_something_is_said(one_cell):
    value, problems = one_cell("Stock", "Use", "n/a")
    assert value is None
    assert [problem.found for problem in problems] == ['"n/a", taken for an empty cell, which means yes']


@pytest.mark.parametrize(
    ("text", "grain"),
    [("QS", "quarter"), ("Q/S", "quarter"), ("1/4 sawn", "quarter"), ("Quartered", "quarter"), ("F", "flat"),
     ("Fladerschnitt", "flat"), ("sur dosse", None), ("dosse", "flat"), ("rift sawn", "rift")],
)  # fmt: skip
def test_grain_in_trade_words(one_cell, text, grain):
    assert one_cell("Stock", "Grain", text)[0] == grain


# Settings


@pytest.mark.parametrize(
    ("name", "text", "seconds"),
    [("Least rest", "1 week", 604_800), ("Least rest", "3 Tage", 259_200), ("Clamp time", "1h30", 5400),
     ("Clamp time", "1 Stunde", 3600), ("Closing time", "1 min 30 s", 90), ("Oldest surface", "24 hrs", 86_400)],
)  # fmt: skip
def test_durations_in_words(one_cell, name, text, seconds):
    check_plain(one_cell, "Shop", name, text, seconds)


@pytest.mark.parametrize(
    ("name", "text"),
    [("Least rest", "1 month"), ("Clamp time", "overnight"), ("Assembly time", "10-15 min"),
     ("Glue pressure", "150 pzi"), ("Force of a clamp", "100 clamps"), ("Shop temperature", "20"),
     ("Shop temperature", "20 °")],
)  # fmt: skip
def test_settings_in_a_unit_that_is_not_known_are_asked_about(one_cell, name, text):
    check_asked(one_cell, "Shop", name, text)


def test_a_bare_temperature_is_asked_about_where_only_the_other_scale_makes_sense(one_cell):
    check_asked(one_cell, "Shop", "Shop temperature", 20, "20 °F", "20 °C")
    check_plain(one_cell, "Shop", "Shop temperature", 68, 20)
    check_plain(one_cell, "Shop", "Shop temperature", "20C", 20)


def test_a_gauge_in_inches_of_mercury(one_cell):
    # 1 inHg (conventional) = 3.386389 kPa (NIST SP 811, appendix B.8).
    assert one_cell("Shop", "Vacuum", "25 inHg")[0] == pytest.approx(25 * 3.386389, rel=1e-6)


def test_glue_spread_on_a_single_glue_line(one_cell):
    # 1 lb/1000 ft2 = 453.59237 g / 92.90304 m2 (NIST SP 811, appendix B.8).
    assert one_cell("Shop", "Glue spread", "40 lb/MSGL")[0] == pytest.approx(40 * 453.59237 / 92.90304)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("inches", "in"), ("imperial", "in"), ("metric", "mm"), ("Zoll", "in"), ('"', "in"), ("MM", "mm")],
)
def test_the_jobs_unit_in_words(one_cell, text, unit):
    assert one_cell("Job", "Unit", text) == (unit, [])


def test_none_is_not_taken_for_a_default_in_silence(one_cell):
    check_asked(one_cell, "Shop", "Kerf allowance", "none", "type 0", "0.050 in")
    assert one_cell("Shop", "Sanding per face", "none")[1] == []
    value, problems = one_cell("Shop", "Truing pass", "-")
    assert value is None
    assert [problem.harm for problem in problems] == [Harm.NOTED]


@pytest.mark.parametrize("text", [".050 per turn", '.050"/turn', "50 thou/rev", "1 turn = 0.050", "one turn: .05"])
def test_travel_for_a_turn_of_the_dial(one_cell, text):
    check_said(one_cell, "Shop", "Dial turn", text, 0.05 / MM)
