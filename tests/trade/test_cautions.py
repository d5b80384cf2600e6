"""Cautions for this job's woods, thicknesses and glue; and no statement anywhere that something is safe."""

import ast
import re
from pathlib import Path

import pytest

import sheetkit.trade
from sheetkit.trade.cautions import Caution, cautions, reported_reactions
from sheetkit.trade.species import find_species
from sheetkit.trade.species_data import woods

PROMISES = re.compile(
    r"\b(safe|safely|safety|harmless|riskless|risk-free|no risk|no danger|cannot hurt|non-toxic)\b", re.I
)


def topics(found: tuple[Caution, ...]) -> list[str]:
    return [caution.topic for caution in found]


def texts(found: tuple[Caution, ...], topic: str) -> list[str]:
    return [caution.text for caution in found if caution.topic == topic]


REPORTED = [
    ("beech", "beech: allergy and a link with cancer of the nose reported (eyes, skin, breathing)."),
    ("yellow birch", "yellow birch: allergy reported (breathing), for birch."),
    ("cocobolo", "cocobolo: irritation and allergy reported (eyes, skin, breathing)."),
    ("gaboon ebony", "gaboon ebony: irritation and allergy reported (eyes, skin), for ebony."),
    ("goncalo alves", "goncalo alves: allergy reported (eyes, skin)."),
    ("greenheart", "greenheart: allergy reported (eyes, skin)."),
    ("iroko", "iroko: irritation, allergy and inflammation of the lungs reported (eyes, skin, breathing)."),
    ("mahogany", "mahogany: allergy and inflammation of the lungs reported (skin, breathing)."),
    ("mansonia", "mansonia: irritation, allergy and nausea reported (eyes, skin)."),
    ("spalted maple", "spalted maple: allergy and inflammation of the lungs reported (breathing)."),
    ("oak", "oak: allergy and a link with cancer of the nose reported (eyes, skin)."),
    ("obeche", "obeche: irritation and allergy reported (eyes, skin, breathing)."),
    ("padauk", "padauk: allergy reported (eyes, skin, breathing)."),
    ("purpleheart", "purpleheart: nausea reported."),
    ("rosewood", "rosewood: irritation and allergy reported (eyes, skin, breathing)."),
    ("satinwood", "satinwood: irritation reported (eyes, skin, breathing)."),
    ("sassafras", "sassafras: allergy and a link with cancer of the nose reported (breathing)."),
    ("teak", "teak: allergy and inflammation of the lungs reported (eyes, skin, breathing)."),
    ("black walnut", "black walnut: allergy reported (eyes, skin)."),
    ("wenge", "wenge: allergy reported (eyes, skin, breathing)."),
    ("western red cedar", "western red cedar: allergy reported (breathing)."),
    ("yew", "yew: irritation reported (eyes, skin)."),
    ("zebrawood", "zebrawood: allergy reported (eyes, skin)."),
    ("pau ferro", "pau ferro: allergy and irritation reported (eyes, skin, breathing), partly for rosewood."),
    (
        "spalted red maple",
        "spalted red maple: allergy and inflammation of the lungs reported (breathing), for spalted maple.",
    ),
]


@pytest.mark.parametrize(("wood", "line"), REPORTED)
def test_a_wood_with_a_reported_reaction_raises_a_caution(wood, line):
    """Chart of a woodturning journal (1990), compiled from the medical literature; read in reprints."""
    found = cautions([find_species(wood)], thinnest_mm=None, water_based=None)
    assert texts(found, "reaction")[0] == line


def test_a_wood_without_a_report_is_never_called_clear():
    """HSE Woodworking Information Sheet 30: that no effect is reported proves nothing."""
    found = cautions([find_species("american holly"), find_species("zircote")], thinnest_mm=None, water_based=None)
    (line,) = texts(found, "reaction")
    assert line.startswith("That no reaction is listed here for american holly and zircote proves nothing:")


def test_the_remark_on_missing_reports_stands_even_where_every_wood_has_one():
    found = cautions([find_species("yew")], thinnest_mm=None, water_based=None)
    assert texts(found, "reaction")[1].startswith("That a wood or reaction is not listed proves nothing:")


def test_one_wood_under_two_names_is_cautioned_once():
    found = cautions([find_species("padouk"), find_species("Padauk")], thinnest_mm=None, water_based=None)
    assert len([line for line in texts(found, "reaction") if line.startswith("padauk")]) == 1


def test_only_what_the_job_does_is_cautioned():
    assert cautions([], thinnest_mm=None, water_based=None) == ()
    sawn = cautions([find_species("pear")], thinnest_mm=1.0, water_based=None)
    assert topics(sawn) == ["blade", "dust", "reaction"]
    glued = cautions([find_species("pear")], thinnest_mm=1.0, water_based=True, force_n=24_000.0, turned=True)
    assert topics(glued) == ["blade", "turning", "press", "dust", "reaction", "glue"]


def test_thin_slices_are_told_apart_from_thick_ones():
    (thin,) = texts(cautions([], thinnest_mm=1.0, water_based=None), "blade")
    (thick,) = texts(cautions([], thinnest_mm=6.0, water_based=None), "blade")
    assert "blade's slot" in thin
    assert "blade's slot" not in thick
    assert "saw's manual" in thin
    assert "saw's manual" in thick


def test_the_press_line_gives_the_force_in_both_units():
    """5,400 lbf is 24.02 kN (exact factor 4.4482216152605)."""
    (line,) = texts(cautions([], thinnest_mm=None, water_based=True, force_n=24_020.4), "press")
    assert line.startswith("The press holds about 24 kN (5,400 lbf):")
    assert texts(cautions([], thinnest_mm=None, water_based=True, force_n=2_000.0), "press") == []


def test_the_dust_line_gives_the_published_limits_and_leaves_the_last_word_to_local_rules():
    """NIOSH, OSHA 29 CFR 1910.1000 Z-3, ACGIH, HSE EH40/2005 (2020), Directive (EU) 2017/2398."""
    found = cautions([find_species("pear")], thinnest_mm=None, water_based=None)
    (line,) = [caution for caution in found if caution.topic == "dust"]
    for limit in (
        "NIOSH, recommended 1 mg/m³",
        "OSHA, United States 15 mg/m³ total, 5 mg/m³ respirable",
        "ACGIH 1 mg/m³ inhalable, 0.5 mg/m³ for western red cedar",
        "Great Britain 3 mg/m³ hardwood and mixtures, 5 mg/m³ softwood",
        "European Union 2 mg/m³ hardwood",
    ):
        assert limit in line.text
    assert "Local rules set the limit" in line.text
    assert "29 CFR 1910.1000" in line.source


def test_both_kinds_of_adhesive_defer_to_the_data_sheet():
    for water_based in (True, False):
        (line,) = texts(cautions([], thinnest_mm=None, water_based=water_based), "glue")
        assert "follow the adhesive's data sheet" in line


def test_oily_woods_are_named_once_glue_is_used():
    found = [find_species("cocobolo"), find_species("teak"), find_species("hard maple")]
    lines = texts(cautions(found, thinnest_mm=None, water_based=True), "glue")
    assert lines[1].startswith("cocobolo and teak: oil can keep glue from holding")
    assert "glue" not in topics(cautions(found, thinnest_mm=1.0, water_based=None))


def test_a_blank_that_is_still_drying_says_so_at_the_lathe():
    young = texts(cautions([], thinnest_mm=None, water_based=None, turned=True, rest_days=12.0), "turning")
    old = texts(cautions([], thinnest_mm=None, water_based=None, turned=True), "turning")
    assert "still drying" in young[0]
    assert "still drying" not in old[0]
    assert "lathe's manual" in old[0]


def test_every_caution_has_a_source():
    found = [find_species(name) for name in woods()]
    for water_based in (True, False):
        for caution in cautions(
            found, thinnest_mm=0.5, water_based=water_based, force_n=5e4, turned=True, rest_days=9.0
        ):
            assert caution.source
            assert not PROMISES.search(caution.text)


def texts_of(path: Path) -> list[str]:
    """Every string of a module but its docstrings."""
    tree = ast.parse(path.read_text("utf-8"))
    notes = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in notes
    ]


def test_no_text_of_the_trade_layer_calls_anything_safe():
    folder = Path(next(iter(sheetkit.trade.__path__)))
    said = [text for path in sorted(folder.rglob("*.py")) for text in texts_of(path)]
    said += [line for path in sorted((folder / "data").glob("*.csv")) for line in path.read_text("utf-8").splitlines()]
    assert len(said) > 500
    assert [text for text in said if PROMISES.search(text)] == []


def test_reactions_of_a_bare_word_are_those_of_its_woods():
    assert {reaction.wood for reaction in reported_reactions(find_species("cedar"))} == {"western red cedar"}
