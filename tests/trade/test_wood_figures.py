"""Figures of a wood: the maker's own, published, derived, or asked for; never assumed."""

import pytest

from sheetkit.trade.species import find_species
from sheetkit.trade.species_data import NameKind, Standing, woods
from sheetkit.trade.wood_figures import OwnFigures, wood_figures


def test_a_published_wood_brings_its_figures_with_their_source():
    found = wood_figures(find_species("hard maple"))
    assert (found.radial.value, found.tangential.value, found.gravity.value) == (0.00165, 0.00353, 0.63)
    assert {figure.standing for figure in (found.radial, found.tangential, found.gravity)} == {Standing.PUBLISHED}
    assert "Table 13-5" in found.tangential.source
    assert found.asks == found.flagged == ()


def test_the_makers_own_figures_win_one_by_one():
    found = wood_figures(find_species("hard maple"), OwnFigures(movement_flat=0.0030, colour="ABCDEF"))
    assert (found.tangential.value, found.tangential.standing) == (0.0030, Standing.OWN)
    assert (found.radial.value, found.radial.standing) == (0.00165, Standing.PUBLISHED)
    assert found.colour == "ABCDEF"


def test_an_own_figure_of_zero_is_a_figure():
    found = wood_figures(find_species("padauk"), OwnFigures(movement_quarter=0.0))
    assert found.radial.value == 0.0
    assert "movement quarter" not in found.asks[0]


def test_purpleheart_is_derived_and_flagged():
    """Shrinkage 3.2 and 6.1 %, basic specific gravity 0.67 (Wood Handbook): 1/(3000/6.1 - 20) = 0.00212."""
    found = wood_figures(find_species("purpleheart"))
    assert found.tangential.value == pytest.approx(0.00212, abs=0.000005)
    assert found.radial.value == pytest.approx(0.00109, abs=0.000005)
    assert found.gravity.value == pytest.approx(0.67 / (1 - 0.265 * 0.67 * 0.6))
    assert {figure.standing for figure in (found.radial, found.tangential, found.gravity)} == {Standing.DERIVED}
    assert len(found.flagged) == 3
    assert found.flagged[1].startswith("purpleheart, movement flat 0.00212: derived; derived from a shrinkage of 6.1 %")


def test_what_rests_on_a_recalled_figure_says_so():
    found = wood_figures(find_species("bubinga"))
    assert {figure.standing for figure in (found.radial, found.tangential, found.gravity)} == {Standing.MEMORY}
    assert all("from memory" in line for line in found.flagged)


@pytest.mark.parametrize("wood", ["padauk", "wenge", "zebrawood", "pear", "hornbeam", "boxwood", "macassar ebony"])
def test_a_wood_without_published_figures_asks_for_the_makers_own(wood):
    found = wood_figures(find_species(wood))
    assert (found.radial, found.tangential, found.gravity) == (None, None, None)
    assert found.asks[0].startswith(
        f"{wood}: no figure for movement flat, movement quarter and specific gravity; "
        "give your own on the Species sheet"
    )
    assert found.colour is not None


def test_a_figure_of_a_trade_chart_is_told_but_not_used():
    assert "a flooring-trade chart prints 0.00180" in wood_figures(find_species("padauk")).asks[0]


def test_a_bare_word_asks_which_wood_it_is():
    found = wood_figures(find_species("soft maple"))
    assert (found.radial, found.tangential, found.gravity) == (None, None, None)
    assert found.asks == (
        "soft maple: no figure for movement flat, movement quarter and specific gravity, since soft maple may be "
        "red maple, silver maple or bigleaf maple; write which one, or give your own on the Species sheet",
    )


def test_an_unlisted_wood_has_nothing_but_its_label():
    found = wood_figures(find_species("Zircote"))
    assert (found.label, found.radial, found.tangential, found.gravity, found.colour) == ("Zircote", *[None] * 4)
    assert len(found.asks) == 1


def test_a_treated_wood_does_not_take_the_figures_of_the_untreated_one():
    found = wood_figures(find_species("torrefied hard maple"))
    assert (found.radial, found.gravity, found.colour) == (None, None, None)
    assert found.asks[0].startswith("torrefied hard maple: no figure for")


def test_every_wood_either_has_a_figure_with_a_source_or_asks():
    for wood in woods().values():
        if wood.kind is NameKind.USUAL:
            continue
        found = wood_figures(find_species(wood.name))
        figures = (found.radial, found.tangential, found.gravity)
        assert (None in figures) == bool(found.asks), wood.name
        assert all(figure.source for figure in figures if figure is not None)
        flagged = [figure for figure in figures if figure and figure.standing in (Standing.DERIVED, Standing.MEMORY)]
        assert len(found.flagged) == len(flagged)
