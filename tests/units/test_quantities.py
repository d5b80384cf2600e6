"""Every way a length is written, each with the one reading it has, or the reason why it has none."""

import pytest

from sheetkit.errors import UnreadableValue
from sheetkit.units import Comma, Dimension, read_quantity


def only_length(text, unit="in", **how):
    """The one length that a text can mean."""
    readings = read_quantity(text, Dimension.LENGTH, unit, **how)
    assert len({round(reading.value, 9) for reading in readings}) == 1
    return readings[0]


PLAIN = [
    # text, inches
    ('1-1/2"', 1.5),
    ("1 1/2", 1.5),
    ("1½", 1.5),
    ("1½″", 1.5),
    ("1-½", 1.5),
    ("1 1⁄2 in", 1.5),
    ("1+1/2", 1.5),
    ("1 & 1/2", 1.5),
    ("1 and 1/2 inches", 1.5),
    (".0625", 0.0625),
    ('1/16"', 0.0625),
    ("1/16”", 0.0625),
    ("1/16''", 0.0625),
    ("1/16′′", 0.0625),
    ("¹⁄₁₆", 0.0625),
    ("⅛", 0.125),
    ("7⅛", 7.125),
    ("⅟8", 0.125),
    ("1.5 in", 1.5),
    ("1.5in.", 1.5),
    ("1.5 IN", 1.5),
    ("1.5 inches", 1.5),
    ("1.5″", 1.5),
    ("１.５", 1.5),
    ("３／６４", 0.046875),
    ("3/64", 0.046875),
    ("3/64ths", 0.046875),
    ("5/64 of an inch", 0.078125),
    ("3 64ths", 0.046875),
    ("9 32nds", 0.28125),
    ("0.041 ", 0.041),
    ("0.041\u00a0", 0.041),
    ("\u20090.041\u202f", 0.041),
    ("'0.041", 0.041),
    ("\u200b0.041", 0.041),
    ("+0.041", 0.041),
    ("13 thou", 0.013),
    ("13 mil", 0.013),
    ("13 mils", 0.013),
    ("41 thousandths of an inch", 0.041),
    ("2' 6-1/2\"", 30.5),
    ("2'6", 30),
    ("2’ 6½”", 30.5),
    ("2 ft 6 in", 30),
    ("2ft. 6in.", 30),
    ("2 feet", 24),
    ("6'", 72),
    ("1 yd", 36),
    ("2'-6\"", 30),
    ("1'-0 3/8\"", 12.375),
    ("5/4", 1.25),
    ("12 mm", 12 / 25.4),
    ("12mm", 12 / 25.4),
    ("1.6 (mm)", 1.6 / 25.4),
    ("1.6 [mm]", 1.6 / 25.4),
    ("4 cm", 4 / 2.54),
    ("0.4 m", 40 / 2.54),
    ("1 m 20 cm", 120 / 2.54),
    ("50 µm", 0.05 / 25.4),
    ("50 um", 0.05 / 25.4),
    ("1.2 dm", 12 / 2.54),
    ("1,250.5 mm", 1250.5 / 25.4),
    ("4.1e-2", 0.041),
    ("٠.٥", 0.5),
]


@pytest.mark.parametrize(("text", "inches"), PLAIN)
def test_a_length_is_read_as_written(text, inches):
    reading = only_length(text)
    assert reading.value == pytest.approx(inches * 25.4, rel=1e-14)
    assert not reading.doubtful


@pytest.mark.parametrize("text", [text for text, _ in PLAIN if text not in {"1,250.5 mm"}])
def test_what_is_plainly_written_needs_no_explanation(text):
    assert only_length(text).because == ""


@pytest.mark.parametrize(
    ("text", "inches", "because"),
    [
        ("0,041", 0.041, "its comma is taken as a decimal comma"),
        (",041", 0.041, "its comma is taken as a decimal comma"),
        ("1.250,5 mm", 1250.5 / 25.4, "its point is taken as a thousands separator, its comma as a decimal comma"),
        ("1 250 mm", 1250 / 25.4, "the space between its digits is taken as a thousands separator"),
        ("1'250 mm", 1250 / 25.4, "the apostrophe between its digits is taken as a thousands separator"),
        ("=1/16", 0.0625, "it is typed as text with an equals sign before it"),
        ("0 .041", 0.041, "the space beside the point is dropped"),
        ("0. 041", 0.041, "the space beside the point is dropped"),
        ('1"1/2', 1.5, "the inch mark stands between the whole inches and the fraction"),
        ("(0.041)", 0.041, "the brackets around it are dropped"),
        ("T = 0.041", 0.041, "the words before it name the value"),
        ("0.042 fuzzy edge", 0.042, "the words behind it are no unit and are kept as a remark"),
        ("1 (1/2)", 1.5, "the bracket holds the fraction that belongs to it"),
    ],
)
def test_what_had_to_be_guessed_says_why(text, inches, because):
    reading = only_length(text)
    assert reading.value == pytest.approx(inches * 25.4, rel=1e-12)
    assert reading.because == because


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        (".041-.043", 0.041, 0.043),
        ("0.041 – 0.043", 0.041, 0.043),
        ("0.041 to 0.043 in", 0.041, 0.043),
        ("41-43 thou", 0.041, 0.043),
        ("0.043-0.041", 0.041, 0.043),
        ("0.041..0.043", 0.041, 0.043),
        ("1-1/2 - 1-3/4", 1.5, 1.75),
        ("1/2-3/4", 0.5, 0.75),
        ("10-12 mm", 10 / 25.4, 12 / 25.4),
        ("0.041 ± 0.001", 0.040, 0.042),
        ("0.041 +/- .001", 0.040, 0.042),
        ("0.042 ± 1 thou", 0.041, 0.043),
    ],
)
def test_a_range_keeps_both_ends_and_gives_its_middle_with_a_reason(text, low, high):
    reading = only_length(text)
    assert reading.low == pytest.approx(low * 25.4, rel=1e-9)
    assert reading.high == pytest.approx(high * 25.4, rel=1e-9)
    assert reading.value == pytest.approx((low + high) / 2 * 25.4, rel=1e-9)
    assert reading.because


@pytest.mark.parametrize(
    ("text", "several"),
    [
        ("3 @ 0.041", (0.041, 0.041, 0.041)),
        ("3 x 0.041", (0.041, 0.041, 0.041)),
        ("2 × .041", (0.041, 0.041)),
        ("0.041 x 2", (0.041, 0.041)),
        ("3 at 41 thou", (0.041, 0.041, 0.041)),
        ("0.041; 0.043", (0.041, 0.043)),
        ("0.041, 0.043", (0.041, 0.043)),
        ("0.041 0.043", (0.041, 0.043)),
        ("0.041/0.043", (0.041, 0.043)),
        ("0,041; 0,043", (0.041, 0.043)),
    ],
)
def test_several_readings_in_one_cell_are_kept_apart(text, several):
    reading = only_length(text)
    assert reading.several == pytest.approx([each * 25.4 for each in several])
    assert reading.because


@pytest.mark.parametrize(
    ("text", "remark"),
    [
        ("~.04", ""),
        ("about 0.04", ""),
        ("ca. 0.04", ""),
        ("approx. 0.04", ""),
        ("≈0.04", ""),
        ("0.04?", ""),
        ("0.04 (?)", ""),
        ("0.04 ?", ""),
        ("?0.04", ""),
        ("0.04 approx", "approx"),
        ("0.04 or so", "or so"),
        ("0.04+", "+"),
        ("0.04-", "-"),
        ("0.04 strong", "strong"),
        ("0.04 scant", "scant"),
        ("0.04*", "*"),
        ("0.04 (fuzzy?)", "fuzzy?"),
        ("etwa 0,04", ""),
    ],
)
def test_a_mark_of_doubt_is_kept_beside_the_value(text, remark):
    reading = only_length(text)
    assert reading.value == pytest.approx(1.016)
    assert reading.doubtful
    assert reading.remark == remark


@pytest.mark.parametrize(
    ("text", "remark"),
    [
        ("0.042 (fuzzy edge)", "fuzzy edge"),
        ("0.042 [knot at 3 in]", "knot at 3 in"),
        ("0.042 - knot", "- knot"),
        ("0.042 in, burnt", "burnt"),
        ("0.042 pass 3", "pass 3"),
        ("1.0668 mm (thin)", "thin"),
        ("0.042 (re-measured 14 March)", "re-measured 14 March"),
    ],
)
def test_a_remark_is_kept(text, remark):
    reading = only_length(text)
    assert reading.value == pytest.approx(1.0668)
    assert reading.remark == remark
    assert not reading.doubtful


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        '"',
        "-",
        "?",
        "abc",
        "four",
        "NaN",
        "inf",
        "#N/A",
        "1/0",
        "3/0",
        "0..041",
        "0.0.41",
        "1/8/24",
        "1.1/2",
        "24 or 26",
        "0.042 then 0.044",
        "0.041 kg",
        "0.041 sec",
        "16 ga",
        "4 tenths",
        "2 hundredths",
        "<0.05",
        "> 0.04",
        "max 0.05",
        "under 1/16",
        "0.05 max",
        "2 x 4",
        "1x6",
        "0.04x",
        "0.04_",
        "1 5/4",
        "1 1/2 1/4",
        "2' 14\"",
        "1.6 mn",
        "1.6 m m",
        "1.6 milimetrs",
        "0.O42",
        "l/16",
        "O.041",
        "0.041 0.4",
        "1-2-3",
        "five eighths",
        "$0.04",
        "0.04 %",
        "12:30",
        "1,2,3",
        "0.1.2024",
        "3 pcs",
        "A1",
        "x",
        "1//2",
        "1/2/",
        "0.041 0",
        "0.04 x 0.05",
    ],
)
def test_what_has_no_single_reading_is_refused_with_all_three_answers(text):
    with pytest.raises(UnreadableValue) as caught:
        read_quantity(text, Dimension.LENGTH, "in")
    assert caught.value.found
    assert "inches" in caught.value.wanted
    assert caught.value.fix


def test_the_refusal_says_what_was_probably_meant():
    with pytest.raises(UnreadableValue) as caught:
        read_quantity("0.O42", Dimension.LENGTH, "in")
    assert caught.value.fix == "type 0.042 if that is meant; letters stand among the digits"


@pytest.mark.parametrize(
    ("comma", "values"), [(None, [1.25, 1250]), (Comma.DECIMAL, [1.25]), (Comma.THOUSANDS, [1250])]
)
def test_a_lone_comma_before_three_digits_follows_what_the_column_proves(comma, values):
    readings = read_quantity("1,250", Dimension.LENGTH, "mm", comma=comma)
    assert [reading.value for reading in readings] == values


def test_a_point_is_in_doubt_where_the_column_has_decimal_commas():
    readings = read_quantity("1.250", Dimension.LENGTH, "mm", comma=Comma.DECIMAL)
    assert [reading.value for reading in readings] == [1.25, 1250]


def test_a_leading_zero_without_a_point_offers_the_thousandths():
    readings = read_quantity("041", Dimension.LENGTH, "in")
    assert [round(reading.amount, 6) for reading in readings] == [41, 0.041]


def test_a_fraction_in_a_metric_column_may_be_inches():
    readings = read_quantity("1/8", Dimension.LENGTH, "mm")
    assert [(reading.amount, reading.unit) for reading in readings] == [(0.125, "in"), (0.125, "mm")]


@pytest.mark.parametrize(
    ("text", "nominal"), [("5/4", True), ("8/4", True), ("4/4", True), ("3/4", False), ("1-1/4", False)]
)
def test_whole_quarters_name_a_nominal_thickness(text, nominal):
    assert only_length(text, quarters=True).nominal is nominal


def test_quarters_are_inches_in_a_metric_column_too():
    [reading] = read_quantity("5/4", Dimension.LENGTH, "mm", quarters=True)
    assert (reading.value, reading.unit, reading.nominal) == (31.75, "in", True)


def test_a_nominal_thickness_beside_another_number_is_refused():
    with pytest.raises(UnreadableValue):
        read_quantity("5/4 (1.06)", Dimension.LENGTH, "in", quarters=True)


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "value"),
    [
        ("15%", Dimension.PERCENT, "%", 15),
        ("15 pct", Dimension.PERCENT, "%", 15),
        ("45", Dimension.DURATION, "min", 2700),
        ("1 h 30 min", Dimension.DURATION, "min", 5400),
        ("45°", Dimension.ANGLE, "deg", 45),
        ("22.5 deg", Dimension.ANGLE, "deg", 22.5),
        ("70 °F", Dimension.TEMPERATURE, "°C", 21.111111),
        ("20 C", Dimension.TEMPERATURE, "°F", 20),
        ("100 psi", Dimension.PRESSURE, "kPa", 689.4757),
        ("1 MPa", Dimension.PRESSURE, "psi", 1000),
        ("1200 lbf", Dimension.FORCE, "N", 1200 * 4.4482216),
        ("150 g/m2", Dimension.SPREAD, "lb/1000 ft2", 150),
        ("40 lb/1000 ft2", Dimension.SPREAD, "g/m2", 195.2971),
        ("3000 fpm", Dimension.SPEED, "m/min", 15240),
        ("12", Dimension.NUMBER, "", 12),
        ("3 pcs", Dimension.NUMBER, "", 3),
    ],
)
def test_other_quantities_are_read_in_their_units(text, dimension, unit, value):
    """Sizes of the units: NIST SP 811 (2008), appendix B.8."""
    readings = read_quantity(text, dimension, unit)
    assert readings[0].value == pytest.approx(value, rel=1e-6)
