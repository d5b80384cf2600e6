"""What is looked at before gluing and after."""

from datetime import date

import pytest

from sheetkit.trade.readiness import (
    Lot,
    bleeding_lines,
    earliest_machining,
    moisture_findings,
)


def test_lots_within_the_limits_raise_nothing():
    lots = [Lot("A", "sugar maple", 7.0), Lot("B", "padauk", 8.9)]
    assert moisture_findings(lots, 11.0, 6.0, 2.0) == ()


def test_a_limit_is_not_passed_by_reaching_it():
    lots = [Lot("A", "sugar maple", 9.0), Lot("B", "padauk", 11.0)]
    assert moisture_findings(lots, 11.0, 9.0, 2.0) == ()


def test_dry_and_unread_lots_are_named():
    lots = [Lot("A", "sugar maple", 4.5), Lot("B", "padauk", None)]
    unread, dry = moisture_findings(lots, 11.0, 6.0, 2.0)
    assert (unread.kind, unread.text) == ("not read", "B (padauk) has no moisture reading")
    assert (dry.kind, dry.text) == ("too dry", "A (sugar maple) reads 4.5 %, below the limit of 6 %")


def test_dust_stains_a_pale_neighbour_on_either_side_and_no_other():
    dark = [True, False, False, True, True]
    pale = [False, True, True, False, False]
    assert bleeding_lines(dark, pale) == ((1, 2), (3, 4))
    assert bleeding_lines([True], [False]) == ()
    with pytest.raises(ValueError, match="shorter"):
        bleeding_lines([True, False], [True])


@pytest.mark.parametrize(("rest", "day"), [(0.0, date(2023, 12, 30)), (2.0, date(2024, 1, 1)), (2.1, date(2024, 1, 2))])
def test_part_of_a_day_counts_as_a_whole_one(rest, day):
    assert earliest_machining(date(2023, 12, 30), rest) == day
