"""Targets and Panels become layers in order."""

import pytest

from sheetkit.job.layers import arranged


def test_repeats_lay_the_list_in_a_row():
    assert "".join(arranged("ABC", 2, mirror=False)) == "ABCABC"


def test_mirror_goes_back_about_the_last_layer_without_doubling_it():
    assert "".join(arranged("ABC", 1, mirror=True)) == "ABCBA"


def test_mirror_applies_to_the_whole_run_of_repeats():
    assert "".join(arranged("AB", 2, mirror=True)) == "ABABABA"


@pytest.mark.parametrize("repeats", [1, 2, 5])
def test_a_mirrored_run_reads_the_same_from_both_ends(repeats):
    layers = arranged("ABCD", repeats, mirror=True)
    assert layers == layers[::-1]
    assert len(layers) == 2 * 4 * repeats - 1
