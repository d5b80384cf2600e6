"""Working days against a calendar walked day by day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetkit.trade.working_days import days_of_work, first_working_day, glue_ups_a_day, last_working_day

WEEKS = {(0, 7): set(range(7)), (0, 5): {0, 1, 2, 3, 4}, (0, 6): {0, 1, 2, 3, 4, 5}, (5, 2): {5, 6}}
days = st.dates(date(2000, 1, 1), date(2100, 1, 1))


@given(day=days, week=st.sampled_from(list(WEEKS)))
def test_the_first_working_day_is_the_first_of_its_weekdays(day, week):
    expected = day
    while expected.weekday() not in WEEKS[week]:
        expected += timedelta(days=1)
    assert date.fromordinal(first_working_day(day.toordinal(), *week)) == expected


@given(day=days, week=st.sampled_from(list(WEEKS)), count=st.integers(1, 40))
def test_so_many_working_days_are_counted_off(day, week, count):
    begins = date.fromordinal(first_working_day(day.toordinal(), *week))
    expected, left = begins, count - 1
    while left:
        expected += timedelta(days=1)
        left -= expected.weekday() in WEEKS[week]
    assert date.fromordinal(last_working_day(begins.toordinal(), count, *week)) == expected


@pytest.mark.parametrize(("hours", "taken"), [(0.0, 1), (3.9, 1), (4.0, 1), (4.1, 2), (8.0, 2), (8.01, 3)])
def test_a_part_of_a_day_is_a_day(hours, taken):
    assert days_of_work(hours * 3600, 4 * 3600) == taken


@pytest.mark.parametrize(("day_h", "between_h", "fitting"), [(4, 12, 1), (8, 0, 7), (8, 1, 4), (0.25, 0, 1)])
def test_glue_ups_of_a_day(day_h, between_h, fitting):
    """12 min to close, 1 h in clamps: with nothing between, one begins every 72 min, and 8 h less 12 min hold 6 more
    of them; with an hour between, every 132 min, 3 more."""
    assert glue_ups_a_day(day_h * 3600, 720.0, 3600.0, between_h * 3600) == fitting
