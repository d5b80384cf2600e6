"""What the shop's own record says."""

import pytest

from sheetkit.trade.record import next_slice_number, slice_names, thinnest_kept


def test_numbers_go_on_after_the_highest_and_a_rejected_slice_leaves_a_gap():
    """Case A11: MAP-03-1 to MAP-03-9, number 4 rejected: the next is MAP-03-10, eight are usable."""
    sawn = [f"MAP-03-{number}" for number in range(1, 10)]
    assert slice_names("MAP-03", sawn, 1) == ["MAP-03-10"]
    assert len([name for name in sawn if name != "MAP-03-4"]) == 8
    assert slice_names("MAP-03", [name for name in sawn if name != "MAP-03-9"], 2) == ["MAP-03-9", "MAP-03-10"]


@pytest.mark.parametrize("other", ["MAP-031-4", "MAP-03", "MAP-03-x", "XMAP-03-4", "MAP-03-4b", ""])
def test_names_of_other_boards_do_not_count(other):
    assert next_slice_number("MAP-03", [other]) == 1


def test_case_and_spaces_do_not_make_another_board():
    assert next_slice_number("Map-03 ", [" map-03 - 7 "]) == 8


def test_signs_in_a_boards_name_are_taken_as_they_stand():
    assert next_slice_number("A.(1)", ["A.(1)-2", "Ab(1)-9"]) == 3


def test_the_thinnest_kept_slice_is_the_evidence():
    """Case P10: the saw's own record; the torn one does not count."""
    assert thinnest_kept([0.5, 0.2, 0.3], [True, False, True]) == 0.3
    assert thinnest_kept([0.2], [False]) is None
    with pytest.raises(ValueError, match=r"^2 slices but 1 decisions were given; wanted one for each$"):
        thinnest_kept([0.2, 0.3], [True])
