"""Calendar: the earliest day for each stage of what is still to do, from the start date that the maker gives.

Stages follow one another, except that slices are measured as they are sawn, and that one panel rests while the next is
glued up. Without a start date days are counted from 1. The day of the refresh plays no part.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import ceil

from sheetkit.job.gluing import Gluing, PanelGluing
from sheetkit.job.piece_costs import PieceCost, known_sum
from sheetkit.tables.inputs import Inputs
from sheetkit.tables.settings import Shop
from sheetkit.tables.settings_costs import WEEKS
from sheetkit.trade.cost import cutting_time
from sheetkit.trade.working_days import days_of_work, first_working_day, glue_ups_a_day, last_working_day

EVERY_DAY = (0, 7)
"""The week where days are only counted."""


class StageKind(StrEnum):
    """What is done."""

    SAW = "saw the slices"
    MEASURE = "measure them"
    GLUE = "glue up"
    REST = "rest, glued already"
    CUT = "saw out and finish pieces"


@dataclass(frozen=True, slots=True)
class Sawing:
    """What is still to be done at the saw.

    Attributes:
        passes: passes to come, truing passes included
        length_mm: length that they saw; None where that of a board is not known
        slices: slices still to be measured
    """

    passes: int
    length_mm: float | None
    slices: int


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage; days are ordinals of the calendar, or counted from 1 where there is no start date.

    Attributes:
        kind: what is done
        panel: for which panel, "" for all
        work_s: working time as far as it is known, None where it is not
        days: working days that it takes
        begins: first day
        until: last day
        waits_days: days of rest after that
        ready: day from which the next may be done with it
    """

    kind: StageKind
    panel: str
    work_s: float | None
    days: int
    begins: int
    until: int
    waits_days: int
    ready: int


@dataclass(frozen=True, slots=True)
class Calendar:
    """The stages still to come.

    Attributes:
        dated: days are ordinals of the calendar
        week: first working day of the week, Monday being 0, and working days in a row
        stages: in the order to do them
    """

    dated: bool
    week: tuple[int, int]
    stages: tuple[Stage, ...]

    @property
    def done(self) -> int | None:
        """The day on which everything is ready; None where nothing is to do."""
        return max((max(stage.ready, stage.until) for stage in self.stages), default=None)

    def day(self, ordinal: int) -> date | int:
        """A day as it is shown."""
        return date.fromordinal(ordinal) if self.dated else ordinal


def calendar_of(
    sawing: Sawing,
    gluing: Gluing,
    panel_work: Mapping[str, float | None],
    pieces: Sequence[PieceCost],
    inputs: Inputs,
) -> Calendar:
    """Lay out what is still to do; work that would reach beyond the year 9999 is counted in days, without dates.

    Args:
        sawing: what is still to be sawn and measured
        gluing: how the panels are glued up
        panel_work: gluing and all other work on each panel, all copies, by name [s]
        pieces: the pieces
        inputs: the maker's rows and settings
    """
    start = inputs.job.start
    if start is not None:
        week = WEEKS[inputs.shop.days_worked]
        planner = _Planner(inputs.shop, start.toordinal(), week, dated=True)
        dated = Calendar(True, week, tuple(planner.stages(sawing, gluing, panel_work, pieces)))
        if (dated.done or 0) <= date.max.toordinal():
            return dated
    planner = _Planner(inputs.shop, 1, EVERY_DAY, dated=False)
    return Calendar(False, EVERY_DAY, tuple(planner.stages(sawing, gluing, panel_work, pieces)))


@dataclass(slots=True)
class _Planner:
    """Puts one stage after the other; `free` is the first day on which nothing is planned yet."""

    shop: Shop
    free: int
    week: tuple[int, int]
    dated: bool

    def stages(
        self,
        sawing: Sawing,
        gluing: Gluing,
        panel_work: Mapping[str, float | None],
        pieces: Sequence[PieceCost],
    ) -> Iterator[Stage]:
        """The stages in their order."""
        yield from self._at_the_saw(sawing)
        ready: dict[str, int] = {}
        for item in gluing.panels:
            if not item.panel.copies or (item.lines and not item.stages.times):
                continue
            if item.lines:
                stage = self._rest(item) if item.row and item.row.glued else self._glue(item, panel_work)
                ready[item.panel.name] = stage.ready
                yield stage
            else:
                ready[item.panel.name] = self.free
        for panel in sorted(dict.fromkeys(piece.panel for piece in pieces), key=lambda name: ready.get(name, 0)):
            if panel in ready:
                yield self._cut(panel, ready[panel], [piece for piece in pieces if piece.panel == panel])

    def _at_the_saw(self, sawing: Sawing) -> Iterator[Stage]:
        shop = self.shop
        measuring = None if shop.measure_s is None else sawing.slices * shop.measure_s
        if sawing.passes:
            fed = sawing.length_mm is not None and shop.feed_mm_s is not None
            cut = cutting_time(sawing.length_mm or 0.0, shop.feed_mm_s or 1.0) if fed else None
            handled = None if shop.pass_s is None else sawing.passes * shop.pass_s
            saw = self._stage(StageKind.SAW, "", known_sum((shop.setup_s, handled, cut)), self.free)
            yield saw
            if sawing.slices:
                yield self._stage(StageKind.MEASURE, "", measuring, saw.until)
        elif sawing.slices:
            yield self._stage(StageKind.MEASURE, "", measuring, self.free)

    def _glue(self, item: PanelGluing, panel_work: Mapping[str, float | None]) -> Stage:
        shop, ups = self.shop, item.stages.times
        closed = max(up.closed_s for up in ups)
        a_day = glue_ups_a_day(shop.day_s, closed, shop.clamp_time_s, shop.between_s)
        days = ceil(len(ups) * item.panel.copies / a_day)
        rest = ceil(item.water.rest_days - 1e-9)
        return self._stage(StageKind.GLUE, item.panel.name, panel_work.get(item.panel.name), self.free, days, rest)

    def _rest(self, item: PanelGluing) -> Stage:
        """A panel that is glued already: it rests from that day, or from now where days are only counted."""
        rest = ceil(item.water.rest_days - 1e-9)
        glued = item.row.glued if item.row is not None else None
        day = glued.toordinal() if self.dated and glued is not None else self.free
        return Stage(StageKind.REST, item.panel.name, None, 0, day, day, rest, day + rest)

    def _cut(self, panel: str, ready: int, pieces: Sequence[PieceCost]) -> Stage:
        work = None
        if self.shop.piece_work_s is not None:
            work = sum(piece.to_start for piece in pieces) * self.shop.piece_work_s
        return self._stage(StageKind.CUT, panel, work, max(ready, self.free))

    def _stage(
        self, kind: StageKind, panel: str, work_s: float | None, earliest: int, least_days: int = 1, waits: int = 0
    ) -> Stage:
        begins = first_working_day(earliest, *self.week)
        days = max(least_days, 1 if work_s is None else days_of_work(work_s, self.shop.day_s))
        until = last_working_day(begins, days, *self.week)
        self.free = until + 1
        return Stage(kind, panel, work_s, days, begins, until, waits, until + waits if waits else until)
