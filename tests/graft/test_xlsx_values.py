"""Texts as cells of .xlsx hold them, and formulas whose sheets go by other names."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sheetkit.graft.formula_names import renamed
from sheetkit.graft.xlsx_values import MAX_TEXT, cell_text, plain_text
from sheetkit.reading.xlsx_text import unescape


@given(st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\r\ufffe\uffff")))
def test_every_text_comes_back_from_its_cell(text):
    stored = cell_text(text)
    element = etree.Element("t")
    element.text = stored
    assert unescape(etree.fromstring(etree.tostring(element)).text or "") == text


@pytest.mark.parametrize(
    ("text", "stored"),
    [
        # ECMA-376 Part 1, 22.9.2.19: control characters and the notation itself are escaped.
        ("\x00\x1f", "_x0000__x001F_"),
        ("_x000D_", "_x005F_x000D_"),
        ("line\r\nline\rline", "line\nline\nline"),
        ("tab\tstays", "tab\tstays"),
        ("half \ud83c of a pair", "half \ufffd of a pair"),
        ("no \ufffe character", "no \ufffd character"),
    ],
)
def test_what_no_part_can_hold_is_written_in_the_standards_notation(text, stored):
    assert cell_text(text) == stored


@pytest.mark.parametrize("letter", ["a", "🌲"])
def test_a_text_too_long_for_a_cell_ends_in_an_ellipsis(letter):
    stored = cell_text(letter * 40_000)
    assert len(stored.encode("utf-16-le")) // 2 <= MAX_TEXT
    assert stored.endswith(letter + "…")


def test_titles_know_no_notation():
    assert plain_text("bell\x07 \ud800\r\nnext") == "bell  \ufffd\nnext"


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("=SUM('Stock use'!F7:F9)", "=SUM('Wood''s use'!F7:F9)"),
        ("='stock USE'!$A$1+Plan!B2", "='Wood''s use'!$A$1+'P & L'!B2"),
        ('=IF(A1="Plan!B2","\'Stock use\'!A1",Plan!B2)', "=IF(A1=\"Plan!B2\",\"'Stock use'!A1\",'P & L'!B2)"),
        ("=Planer!A1+Plan_total", "=Planer!A1+Plan_total"),
        ("=SUM(passes[Got])/ROWS(Passes[#All])", "=SUM(passes_2[Got])/ROWS(passes_2[#All])"),
        ('=A1*-2%&" x"', '=A1*-2%&" x"'),
    ],
)
def test_formulas_follow_renamed_tabs_and_tables(formula, expected):
    tabs = {"Stock use": "Wood's use", "Plan": "P & L", "Cost": "Cost"}
    assert renamed(formula, tabs, {"passes": "passes_2"}) == expected


def test_formulas_without_renamed_tabs_are_left_as_they_are():
    assert renamed("= A1 +Plan!B2", {"Plan": "Plan"}, {}) == "= A1 +Plan!B2"
