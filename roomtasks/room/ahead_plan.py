"""The values of the weeks ahead: each coming occurrence on a day, what it costs, what cannot fit.

Only values. The plan is advice: due dates and windows stay the truth, and what a
day's walk holds is worked out by `due` and `walk` as ever. Minutes are of the
keeper, set-up and way paid once a day; litres are prepared water out of a
reservoir. `plan_ahead` makes the plan.
"""

from dataclasses import dataclass
from datetime import date

from roomtasks.room.water_plan import Note

SHORTEST_SPAN_DAYS, LONGEST_SPAN_DAYS = 7, 56
KEEPER, STAND_IN = "keeper", "stand-in"


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfAhead:
    """What is asked besides the facts: minutes, litres, tanks more or less, a helper.

    `minutes` are added to every such weekday ("monday" ...), or to one day where
    an ISO date is given; `litres` to what a reservoir makes each day; tanks in
    `without` have no work. `more` are so many tanks like one there is, `second`
    reservoirs of which there is one more like it. `helper` are minutes of help on
    a weekday; they count as far as jobs a stand-in may do take them.
    """

    minutes: tuple[tuple[str, float], ...] = ()
    litres: tuple[tuple[str, float], ...] = ()
    without: tuple[str, ...] = ()
    more: tuple[tuple[str, float], ...] = ()
    second: tuple[str, ...] = ()
    helper: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedJob:
    """One occurrence on its planned day.

    `n` counts from 0, the occurrence open now. `opens`, `slot` and `closes` are
    its window and due day once those before it are done as planned; `usual` is
    its day without levelling and `may` the days of the span on which it could be
    done, its own later occurrences moving along and all else left where it is.
    `late_days` are days past `closes`. `minutes` are its own, without set-up and way.
    `waits` is what goes first and is planned only later: until then it will not be let done.
    """

    id: str  # job@target, as a due date names it
    n: int
    name: str
    kind: str
    job: str
    target: str
    tank: str
    rack: str
    day: date
    usual: date
    opens: date
    slot: date
    closes: date
    minutes: float
    litres: float = 0.0
    reservoir: str = ""
    by: str = KEEPER
    must: bool = False
    pinned: bool = False
    late_days: int = 0
    may: tuple[date, ...] = ()
    why: str = ""
    waits: str = ""

    @property
    def moved_days(self) -> int:
        """Days between its usual day and the planned one, later above 0."""
        return (self.day - self.usual).days


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterUse:
    """Litres one reservoir gives on a day, and the most it can make for a day."""

    reservoir: str
    litres: float
    most_litres: float | None  # None: not known

    @property
    def over_litres(self) -> float:
        return 0.0 if self.most_litres is None else max(0.0, self.litres - self.most_litres)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDay:
    """A day of the plan. Its `minutes` are own minutes, set-up and way of the keeper's jobs.

    On a day away they are 0 and `stand_in_minutes` is what the stand-in has.
    `overdue` are jobs on it that are past their window; `could` may be pulled
    forward onto it from later days, those that fit the time left first.
    """

    day: date
    jobs: tuple[PlannedJob, ...]
    minutes: float
    setup_minutes: float
    way_minutes: float
    minutes_there_are: float
    litres: tuple[WaterUse, ...] = ()
    overdue: tuple[PlannedJob, ...] = ()
    could: tuple[PlannedJob, ...] = ()
    away: bool = False
    stand_in: str = ""
    stand_in_minutes: float = 0.0

    @property
    def over_minutes(self) -> float:
        """Minutes over those there are."""
        return max(0.0, self.minutes - self.minutes_there_are)


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """One thing that would help, and what it saves.

    `sort`: minutes (`about` is a weekday or an ISO day, `amount` minutes there),
    litres (`about` a reservoir, `amount` litres a day) or tank (`about` its code).
    """

    sort: str
    about: str
    amount: float
    text: str
    saves_minutes: float = 0.0
    saves_litres: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """The plan of a span of days.

    `busiest_minutes` is the longest of the keeper's days and `bound_minutes` what
    no plan with so few over can be below; `proven` where they are the same.
    `over_minutes` is summed over the days and cannot be below
    `over_bound_minutes`, `worst_over_minutes` is that of the worst day and cannot
    be below its bound. In `cannot`, sort "refused" is proven impossible and
    "warned" is only that no place was found. `moved` counts occurrences off their
    usual day.
    """

    first: date
    last: date
    days: tuple[PlannedDay, ...]
    busiest_minutes: float
    bound_minutes: float
    proven: bool
    over_minutes: float = 0.0
    over_bound_minutes: float = 0.0
    worst_over_minutes: float = 0.0
    worst_over_bound_minutes: float = 0.0
    over_litres: float = 0.0
    over_bound_litres: float = 0.0
    litres: tuple[WaterUse, ...] = ()  # the heaviest day of each reservoir
    cannot: tuple[Note, ...] = ()
    notes: tuple[Note, ...] = ()
    helps: tuple[Help, ...] = ()
    moved: int = 0

    def day(self, day: date) -> PlannedDay | None:
        """The plan of one day, None outside the span."""
        at = (day - self.first).days
        return self.days[at] if 0 <= at < len(self.days) else None

    @property
    def jobs(self) -> tuple[PlannedJob, ...]:
        """Every occurrence, day by day."""
        return tuple(job for day in self.days for job in day.jobs)

    def where(self) -> dict[tuple[str, int], date]:
        """The planned day of each occurrence, by (job@target, n)."""
        return {(job.id, job.n): job.day for job in self.jobs}
