"""A day with few minutes: what must be done all the same, and where the rest goes.

What is kept is chosen in `short_day_choice`. The rest is laid over the coming days
by the plan of the weeks, worked out as it will be tomorrow with today's work done:
within windows where that can be, and what is late all the same spread over its days
of catching up, not heaped on one morning. Nothing is stored here.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import count

from roomtasks.room.ahead_coming import every_day
from roomtasks.room.ahead_plan import Ahead, PlannedDay
from roomtasks.room.day import day_start, next_day
from roomtasks.room.due import all_due
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import Due, State
from roomtasks.room.past import NOTHING, Past, Pasts
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import within
from roomtasks.room.room import Room
from roomtasks.room.short_day_brings import Leaning
from roomtasks.room.short_day_choice import Chosen, choose, event_of, must_not_slip, never_put_off
from roomtasks.room.walk import Stop, Times, Walk, priced, walk
from roomtasks.room.why import day_words

PLAN_DAYS = 14
DAY_MINUTES = 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOff:
    """A job that is put off: to which day, and how many days late that makes it.

    A `daily` job is not made up for: on that day only its own turn is done.
    `must_not_slip`: it is late already, or today is the last day of its window.
    `brings` is what that means to what leans on it, in words.
    """

    due: Due
    minutes: float
    until: date
    late_days: int
    daily: bool = False
    must_not_slip: bool = False
    brings: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        return self.due.said

    @property
    def limit_words(self) -> str:
        """How near it is to its limit today."""
        late = self.due.days_late
        return f"{days_words(late)} late" if late else "today is its last day"

    @property
    def words(self) -> str:
        parts = [f"{self.name}: to {day_words(self.until)}"]
        if self.daily:
            parts.append("today's is not made up for")
        if self.late_days:
            parts.append(f"{days_words(self.late_days)} late then")
        return "; ".join((", ".join(parts), *self.brings))


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

    `must` are the ids that are never put off, with why where an event asks for it;
    `over_minutes` is what these alone take more than there are, `later_minutes` what of
    the walk only opens later today. `limit_minutes` would hold all that must not slip.
    """

    minutes: float
    kept: Walk
    later_minutes: float
    must: Mapping[str, str]
    must_minutes: float
    over_minutes: float
    limit_minutes: float
    put_off: tuple[PutOff, ...]
    days: tuple[LaterDay, ...]

    @property
    def fits(self) -> bool:
        """Whether nothing need be put off."""
        return not self.put_off

    @property
    def now_minutes(self) -> float:
        """What the kept walk takes now: the minutes of the walk once the rest is put off."""
        return self.kept.minutes - self.later_minutes

    @property
    def late(self) -> tuple[PutOff, ...]:
        """What will be late on its new day."""
        return tuple(each for each in self.put_off if each.late_days)

    @property
    def slipping(self) -> tuple[PutOff, ...]:
        """What must not slip and has no time all the same."""
        return tuple(each for each in self.put_off if each.must_not_slip)

    @property
    def kept_words(self) -> str:
        later = f", {minutes_words(self.later_minutes)} later today" if self.later_minutes else ""
        jobs, now = len(self.kept.stops), minutes_words(self.now_minutes)
        plural = "s" if jobs != 1 else ""
        return f"{jobs} job{plural} kept: {now} min now{later}, of {self.minutes:g}"

    @property
    def slipping_words(self) -> str:
        """What must not slip and has no time, by name; "" where there is none."""
        if not self.slipping:
            return ""
        names = "; ".join(f"{each.name}, {each.limit_words}" for each in self.slipping)
        return (f"no time for {len(self.slipping)} that must not slip: {names}. "
                f"{minutes_words(self.limit_minutes)} min would hold them")  # fmt: skip

    @property
    def words(self) -> str:
        """The whole in a sentence."""
        if self.fits:
            all_of = "nothing more can be put off" if self.over_minutes else (
                "all of today's work fits; nothing to put off")  # fmt: skip
            return f"{all_of}; {self.kept_words}"
        late = f"{len(self.late)} of them late then" if self.late else "none of them late"
        days = len({each.until for each in self.put_off})
        parts = [self.kept_words, f"{len(self.put_off)} put off over "
                 f"{days_words(days)}, {late}"]  # fmt: skip
        daily = sum(each.daily for each in self.put_off)
        if daily:
            parts.append(f"{daily} daily, not made up for")
        if self.slipping:
            parts.append(f"no time for {len(self.slipping)} that must not slip")
        return "; ".join(parts)


def days_words(days: int) -> str:
    """A number of days."""
    return f"{days} day{'s' if days > 1 else ''}"


def minutes_words(minutes: float) -> str:
    """Minutes to a tenth."""
    return f"{round(minutes, 1):g}"


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
    chosen = choose(room, whole, minutes)
    left = _all_left(room, pasts, now, chosen, times)
    ahead = _replanned(room, pasts, now, chosen.kept, times) if left else None
    if isinstance(ahead, Problem):
        return ahead
    put_off = () if ahead is None else _laid(room, dues, chosen, left, ahead)
    later = {due.id for due in dues if due.later_today is not None}
    at_once = [stop for stop in chosen.kept.stops if stop.due.id not in later]
    now_minutes = sum(stop.total_minutes for stop in priced(room, at_once, whole.paid))
    return ShortDay(
        minutes=minutes, kept=chosen.kept, later_minutes=chosen.kept.minutes - now_minutes,
        must={s.due.id: _why(room, s.due) for s in whole.stops if s.due.id in chosen.must},
        must_minutes=chosen.must_minutes, limit_minutes=chosen.limit_minutes,
        over_minutes=max(0.0, chosen.must_minutes - minutes), put_off=put_off,
        days=_days(put_off, ahead),
    )  # fmt: skip


def _why(room: Room, due: Due) -> str:
    """Why it is never put off, where its kind does not say so."""
    event = event_of(room, due)
    if never_put_off(due) or event is None:
        return ""
    return f"for the {event[0]} dated {day_words(event[1])}"


def _all_left(
    room: Room, pasts: Pasts, now: datetime, chosen: Chosen, times: Times
) -> list[Stop]:  # fmt: skip
    """What is left, and what would come onto today's walk once that is put off."""
    left = list(chosen.left)
    known = {stop.due.id for stop in (*chosen.kept.stops, *left)}
    while left:
        after = {**pasts, **_put_off_today([stop.due for stop in left], pasts, now)}
        fresh = [due for due in due_today(all_due(room, after, now)) if due.id not in known]
        if not fresh:
            break
        left += walk(room, fresh, times, 0.0).stops
        known |= {due.id for due in fresh}
    return left


def _put_off_today(
    dues: Sequence[Due], pasts: Pasts, now: datetime
) -> dict[tuple[str, str], Past]:  # fmt: skip
    found = {}
    ids = count(1_000_000_000)
    for due in dues:
        key = (due.job.code, due.target)
        past = pasts.get(key, NOTHING)
        mark = Mark(id=next(ids), job=due.job.code, target=due.target, slot=due.slot.day,
                    outcome="put-off", day=due.today, at=now,
                    until=due.today + timedelta(days=1))  # fmt: skip
        found[key] = replace(past, since=(*past.since, mark))
    return found


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


def _laid(
    room: Room, dues: Sequence[Due], chosen: Chosen, left: Sequence[Stop], ahead: Ahead
) -> tuple[PutOff, ...]:  # fmt: skip
    """What is left, each on its day, with what that brings; the days in order."""
    off = [_put_off(stop, ahead) for stop in left]
    leaning = Leaning(
        room, dues, {stop.due.id for stop in chosen.kept.stops}, {each.due.id for each in off},
        ahead,
    )  # fmt: skip
    told = [replace(each, brings=leaning.brings(each.due, each.until)) for each in off]
    return tuple(sorted(told, key=lambda each: (each.until, each.due.id)))


def _put_off(stop: Stop, ahead: Ahead) -> PutOff:
    """The job on the day the plan has for it; tomorrow where the plan has none."""
    due, tomorrow = stop.due, ahead.first
    days = [job.day for job in ahead.jobs if job.id == due.id and job.n == 0]
    daily = every_day(due)
    until = tomorrow if daily else max(min(days, default=tomorrow), tomorrow)
    late_days = 0 if daily else max(0, (until - due.closes).days)
    return PutOff(due=due, minutes=stop.minutes, until=until, late_days=late_days, daily=daily,
                  must_not_slip=must_not_slip(due))  # fmt: skip


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
