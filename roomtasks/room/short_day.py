"""A day with few minutes: what must be done all the same, and where the rest goes.

Looks, room checks, pumps, doses and fry are never put off. What else fits is
chosen as in any short walk (`fit`). The rest is laid over the coming days by the
plan of the weeks, worked out as it will be tomorrow with today's work done: within
windows where that can be, and what is late all the same spread over its days of
catching up, not heaped on one morning. Nothing is stored here.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import count

from roomtasks.room.ahead_coming import every_day
from roomtasks.room.ahead_plan import Ahead, PlannedDay
from roomtasks.room.day import day_start, next_day
from roomtasks.room.due import all_due
from roomtasks.room.fit import fit
from roomtasks.room.journal import Mark
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import Due, State
from roomtasks.room.past import NOTHING, Past, Pasts
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import within
from roomtasks.room.room import Room
from roomtasks.room.walk import Stop, Times, Walk, walk
from roomtasks.room.why import day_words

PLAN_DAYS = 14
DAY_MINUTES = 1440
FRY = "feed-fry"


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOff:
    """A job that is put off: to which day, and how many days late that makes it.

    A daily job is not made up for: today's is given up, `daily`.
    """

    due: Due
    minutes: float
    until: date
    late_days: int
    daily: bool = False

    @property
    def words(self) -> str:
        name = f"{self.due.job.name} at {self.due.target}"
        if self.daily:
            return f"{name}: none today"
        late = ""
        if self.late_days:
            late = f", {self.late_days} day{'s' if self.late_days > 1 else ''} late then"
        return f"{name}: to {day_words(self.until)}{late}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LaterDay:
    """A coming day with what is put off to it: its planned minutes and those there are."""

    day: date
    put_off: int
    minutes: float
    minutes_there_are: float

    @property
    def words(self) -> str:
        over = self.minutes - self.minutes_there_are
        tail = f", {over:.0f} over" if over > 0 else ""
        return (f"{day_words(self.day)}: {self.put_off} more, {self.minutes:.0f} of "
                f"{self.minutes_there_are:.0f} min{tail}")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortDay:
    """Today in so many minutes: the walk that is kept, and what is put off, each to its day.

    `must` are the ids that are never put off; `over_minutes` is what these alone
    take more than there are.
    """

    minutes: float
    kept: Walk
    must: frozenset[str]
    must_minutes: float
    over_minutes: float
    put_off: tuple[PutOff, ...]
    days: tuple[LaterDay, ...]

    @property
    def fits(self) -> bool:
        """Whether nothing need be put off."""
        return not self.put_off

    @property
    def late(self) -> tuple[PutOff, ...]:
        """What will be late on its new day."""
        return tuple(each for each in self.put_off if each.late_days)

    @property
    def words(self) -> str:
        """The whole in a sentence."""
        kept = f"{len(self.kept.stops)} jobs kept, {self.kept.minutes:.0f} of {self.minutes:g} min"
        if self.fits:
            return f"all of today's work fits: {kept}; nothing to put off"
        late = f", {len(self.late)} of them late then" if self.late else ", none of them late"
        daily = sum(each.daily for each in self.put_off)
        parts = [kept]
        if daily:
            parts.append(f"{daily} daily jobs given up for today")
        if len(self.put_off) > daily:
            days = f"{len(self.days)} day{'s' if len(self.days) > 1 else ''}"
            parts.append(f"{len(self.put_off) - daily} put off over {days}{late}")
        return "; ".join(parts)


def never_put_off(due: Due) -> bool:
    """Whether a short day keeps a job: looks, checks, pumps, doses, and fry."""
    return KINDS[due.job.kind].never_cut or due.job.kind == FRY


def due_today(dues: Sequence[Due]) -> list[Due]:
    """All that is to be done today, also what only opens later in the day."""
    return [
        replace(due, later_today=None)
        for due in dues
        if due.state in (State.DUE, State.LATE)
        and (due.put_off_to is None or due.put_off_to <= due.today)
    ]


def short_day(
    room: Room, dues: Sequence[Due], pasts: Pasts, now: datetime, minutes: float, times: Times
) -> ShortDay | Problem:
    """Today fitted to so many minutes, 1 to 1440, the rest laid over the coming days."""
    fault = within("minutes", minutes, 1, DAY_MINUTES, "min")
    if fault is not None:
        return fault
    whole = walk(room, due_today(dues), times, minutes, pasts)
    fitted = fit(room, whole, minutes, never_put_off)
    left = [each.stop for each in fitted.left]
    ahead = _replanned(room, pasts, now, fitted.walk, times) if left else None
    if isinstance(ahead, Problem):
        return ahead
    tomorrow = next_day(room.day_at(now), room.zone, room.day_starts)
    put_off = tuple(_put_off(stop, ahead, tomorrow) for stop in left)
    return ShortDay(
        minutes=minutes, kept=fitted.walk,
        must=frozenset(s.due.id for s in whole.stops if never_put_off(s.due)),
        must_minutes=fitted.must_minutes, over_minutes=max(0.0, fitted.must_minutes - minutes),
        put_off=tuple(sorted(put_off, key=lambda each: (each.until, each.due.id))),
        days=_days(put_off, ahead),
    )  # fmt: skip


def _replanned(
    room: Room, pasts: Pasts, now: datetime, kept: Walk, times: Times
) -> Ahead | Problem:  # fmt: skip
    """The plan of the weeks as it will be tomorrow, once what is kept today is done."""
    tomorrow = next_day(room.day_at(now), room.zone, room.day_starts)
    then = day_start(tomorrow, room.zone, room.day_starts)
    after = {**pasts, **_done_today(kept, pasts, now)}
    return plan_ahead(room, all_due(room, after, then), after, then, PLAN_DAYS, times=times)


def _done_today(kept: Walk, pasts: Pasts, now: datetime) -> Mapping[tuple[str, str], Past]:
    found = {}
    ids = count(1_000_000_000)
    for stop in kept.stops:
        due = stop.due
        key = (due.job.code, due.target)
        mark = Mark(id=next(ids), job=due.job.code, target=due.target, slot=due.slot.day,
                    outcome="done", day=due.today, at=now)  # fmt: skip
        found[key] = replace(pasts.get(key, NOTHING), closing=mark, done=mark, since=(), left_out=0)
    return found


def _put_off(stop: Stop, ahead: Ahead | None, tomorrow: date) -> PutOff:
    """The job on the day the plan has for it; tomorrow where the plan has none."""
    due = stop.due
    days = [] if ahead is None else [
        job.day for job in ahead.jobs if job.id == due.id and job.n == 0
    ]  # fmt: skip
    daily = every_day(due)
    until = tomorrow if daily else max(min(days, default=tomorrow), tomorrow)
    late_days = 0 if daily else max(0, (until - due.closes).days)
    return PutOff(due=due, minutes=stop.minutes, until=until, late_days=late_days, daily=daily)


def _days(put_off: Sequence[PutOff], ahead: Ahead | None) -> tuple[LaterDay, ...]:
    planned: dict[date, PlannedDay] = (
        {} if ahead is None else {each.day: each for each in ahead.days}
    )
    found = []
    for day in sorted({each.until for each in put_off if not each.daily}):
        there = planned.get(day)
        found.append(
            LaterDay(
                day=day, put_off=sum(each.until == day and not each.daily for each in put_off),
                minutes=0.0 if there is None else there.minutes,
                minutes_there_are=0.0 if there is None else there.minutes_there_are,
            )
        )  # fmt: skip
    return tuple(found)
