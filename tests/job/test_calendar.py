"""The earliest day of each stage, counted by hand."""

from datetime import date

import pytest

from sheetkit.job.results import compute

SHOP = {"day_s": 4 * 3600.0, "between_s": 12 * 3600.0, "days_worked": "every day"}


@pytest.fixture
def small(job):
    """Two panels of three layers, a slice each from one board; a piece cut from the first."""
    job.board("A", "cherry", 1.5, length=18, width=3)
    job.panel("P", length=18, width=3).layer("cherry", 0.040, plies=3, panel="P")
    job.panel("Q", length=18, width=3, copies=2).layer("cherry", 0.040, plies=3, panel="Q")
    job.handle("Peg", 4, 0.5, 0.1, panel="P", quantity=3)
    job.shop |= SHOP
    return job


def stages(job):
    return compute(job.inputs()).costing.calendar


def told(job):
    calendar = stages(job)
    return [
        (
            stage.kind.value,
            stage.panel,
            calendar.day(stage.begins),
            calendar.day(stage.until),
            calendar.day(stage.ready),
        )
        for stage in calendar.stages
    ]


def test_without_a_start_date_days_are_counted_from_one(small):
    """A day to saw and measure; one glue-up a day, so a day for P and two for Q; each rests while the next is glued."""
    rest = [item.water.rest_days for item in compute(small.inputs()).gluing.panels]
    waits = [int(-(-days // 1)) for days in rest]
    assert told(small) == [
        ("saw the slices", "", 1, 1, 1),
        ("measure them", "", 1, 1, 1),
        ("glue up", "P", 2, 2, 2 + waits[0]),
        ("glue up", "Q", 3, 4, 4 + waits[1]),
        ("saw out and finish pieces", "P", max(5, 2 + waits[0]), max(5, 2 + waits[0]), max(5, 2 + waits[0])),
    ]


def test_days_off_are_skipped(small):
    """From Saturday 9 January 2027 on weekdays: Monday, Tuesday, then Wednesday and Thursday."""
    small.job["start"] = date(2027, 1, 9)
    small.shop["days_worked"] = "weekdays"
    begins = [line[2] for line in told(small)][:4]
    assert begins == [date(2027, 1, 11), date(2027, 1, 11), date(2027, 1, 12), date(2027, 1, 13)]


def test_work_that_fills_more_than_a_day_takes_more(small):
    """10 passes, the truing pass counted, at 50 min and half an hour of set-up: 530 min of 240 a day are 3 days."""
    small.shop |= {"pass_s": 50 * 60.0, "setup_s": 1800.0}
    saw = stages(small).stages[0]
    assert saw.work_s == pytest.approx(530 * 60)
    assert (saw.days, saw.until) == (3, 3)


def test_short_rests_allow_several_glue_ups_a_day(small):
    small.shop["between_s"] = 0.0
    glued = [stage for stage in stages(small).stages if stage.kind.value == "glue up"]
    assert [(stage.begins, stage.until) for stage in glued] == [(2, 2), (3, 3)]


def test_a_panel_glued_already_rests_from_its_day(small):
    small.job["start"] = date(2027, 1, 9)
    row = small.panels[0]
    small.panels[0] = type(row)(
        **{name: getattr(row, name) for name in type(row).__dataclass_fields__} | {"glued": date(2027, 1, 2)}
    )
    calendar = stages(small)
    resting = next(stage for stage in calendar.stages if stage.panel == "P")
    assert resting.kind.value == "rest, glued already"
    assert calendar.day(resting.ready) == compute(small.inputs()).gluing.panels[0].machine_from


def test_nothing_to_do_has_no_calendar(job):
    assert stages(job.board("A", "cherry", 1.0)).done is None


def test_work_that_outlasts_the_calendar_is_counted_in_days(small):
    """Work of 3.6 million days is more than eight thousand years."""
    small.job["start"] = date(2027, 1, 8)
    small.shop |= {"day_s": 1.0, "measure_s": 4e5}
    calendar = stages(small)
    slices = 3 + 2 * 3
    assert (calendar.dated, calendar.week, calendar.stages[1].days) == (False, (0, 7), slices * 400_000)
