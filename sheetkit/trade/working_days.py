"""Working days: on which day a stage may begin, and on which it is done."""

from math import ceil, floor


def weekday_of(day: int, first: int) -> int:
    """Find how many days a day lies after the first working day of its week [days].

    Args:
        day: proleptic Gregorian ordinal of the day, 1 January of year 1 being 1 [day]
        first: first working day of the week, Monday being 0 [days]

    Source: definition of the ordinal in Python's datetime, by which day 1 was a Monday.

    >>> from datetime import date
    >>> weekday_of(date(2027, 1, 8).toordinal(), first=0)
    4
    """
    return (day - 1 - first) % 7


def first_working_day(day: int, first: int, in_a_row: int) -> int:
    """Find the first working day that is not before a day [day].

    Args:
        day: ordinal of the day [day]
        first: first working day of the week, Monday being 0 [days]
        in_a_row: working days of a week, one after the other from there, 1 to 7 [days]

    Source: own derivation: a day within the run of working days is one, any other waits for the next week's first.

    >>> from datetime import date
    >>> date.fromordinal(first_working_day(date(2027, 1, 9).toordinal(), first=0, in_a_row=5))
    datetime.date(2027, 1, 11)
    """
    past = weekday_of(day, first)
    return day if past < in_a_row else day + 7 - past


def last_working_day(begins: int, days: int, first: int, in_a_row: int) -> int:
    """Find the day on which so many working days are over [day].

    Args:
        begins: ordinal of the first of them, itself a working day [day]
        days: working days, >= 1 [days]
        first: first working day of the week, Monday being 0 [days]
        in_a_row: working days of a week, one after the other from there, 1 to 7 [days]

    Source: own derivation: every full run of working days adds the days of the week that are off.

    >>> from datetime import date
    >>> date.fromordinal(last_working_day(date(2027, 1, 8).toordinal(), days=2, first=0, in_a_row=5))
    datetime.date(2027, 1, 11)
    """
    further = days - 1
    return begins + further + (7 - in_a_row) * ((further + weekday_of(begins, first)) // in_a_row)


def days_of_work(work_s: float, day_s: float) -> int:
    """Count the days that some work takes, a part of a day as a whole one, and at least one [days].

    Args:
        work_s: the work, >= 0 [s]
        day_s: working time of a day, > 0 [s]

    Source: own derivation; to a millionth of a day, so that what fits exactly takes no day more.

    >>> days_of_work(work_s=5 * 3600.0, day_s=4 * 3600.0)
    2
    """
    return max(1, ceil(round(work_s / day_s, 6)))


def glue_ups_a_day(day_s: float, closed_s: float, clamped_s: float, between_s: float) -> int:
    """Count the glue-ups that can be begun and closed in a day, one after the other, at least one [count].

    Args:
        day_s: working time of a day, > 0 [s]
        closed_s: from the first spread to full pressure, > 0 [s]
        clamped_s: under pressure, >= 0 [s]
        between_s: from clamps off to the next spread, >= 0 [s]

    Source: own derivation: the last may stay in its clamps over night, so it need only be closed by the day's end.

    >>> glue_ups_a_day(day_s=8 * 3600.0, closed_s=600.0, clamped_s=3600.0, between_s=1800.0)
    5
    """
    return max(1, 1 + floor(round((day_s - closed_s) / (closed_s + clamped_s + between_s), 6)))
