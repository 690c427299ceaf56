"""The coming occurrences of every job over a span, each with its window and its usual day.

From what is open now each job is taken as done on the day it is placed, and what
comes next is worked out by the same rules as today's (`ahead.next_after`). Where
nobody is there, or something forbids it, that is the nearest day it can be done.
Does not live here: on which day to do them (`level`), what they weigh
(`ahead_tasks`).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import cached_property

from roomtasks.room.ahead import next_after
from roomtasks.room.ahead_late import LateOnes
from roomtasks.room.ahead_spared import last_days
from roomtasks.room.ahead_tails import Tails
from roomtasks.room.apart import past_blocks
from roomtasks.room.blocks import first_free, with_blocks
from roomtasks.room.day import day_start
from roomtasks.room.due import Waters, one_due
from roomtasks.room.job import Job
from roomtasks.room.journal import Mark
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import Block, Due
from roomtasks.room.past import NOTHING, Past, Pasts
from roomtasks.room.rebase import Interval, Keeps, month_day, next_due
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.slots import Scene
from roomtasks.room.trigger import Every

ONE_DAY = timedelta(days=1)
DAILY = Interval(1, "days")
LONGEST_CATCH_UP_DAYS = 7


@dataclass(frozen=True, slots=True)
class Window:
    """First day, due day and last day in time."""

    opens: date
    slot: date
    closes: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """One occurrence to come. `n` counts from 0, the one open now.

    `first` and `last` are the days on which it is in time while the ones before
    it are done on their usual days; an interval job's window goes by the day of
    the one before (`window_by`), which fell due on `due_before`. `served`, where it
    is given, are the days on which doing the job serves this due day and no other.
    `tail` comes with it on the same day.
    """

    due: Due
    n: int
    usual: date
    first: date
    last: date
    due_before: date | None = None
    served: frozenset[date] | None = None
    blocks: tuple[Block, ...] = ()
    tail: tuple[Due, ...] = ()

    @property
    def id(self) -> str:
        return f"{self.due.id}#{self.n}"

    @property
    def counts_on(self) -> bool:
        """Whether its window goes by the day the one before is done."""
        return self.due_before is not None and not self.keeps_slot

    @property
    def keeps_slot(self) -> bool:
        """Whether it keeps its due days while each is done in time.

        Such a chain is planned on those days; one that has no day in time is
        planned on one day only, for what comes after goes by it.
        """
        trigger = self.due.trigger
        return isinstance(trigger, Every) and trigger.keeps is not Keeps.FLOATING

    def window_by(self, day: date, due_before: date | None = None) -> Window:
        """Its window once the one before is done on a day; ValueError unless it counts on.

        `due_before` says when that fell due, where not when it usually does.
        """
        trigger, window, before = self.due.trigger, self.due.window, due_before or self.due_before
        if before is None or not isinstance(trigger, Every):
            raise ValueError(f"{self.id} does not count from the one before")
        slot = next_due(
            trigger.keeps, _served(self.due.job, trigger, before, day), day, trigger.interval,
            window.early, window.late, self.due.job.starts,
        )  # fmt: skip
        closes = slot + timedelta(days=window.late)
        return Window(
            max(day + ONE_DAY, slot - timedelta(days=window.early)), slot,
            first_free(self.blocks, closes).day or closes,
        )  # fmt: skip


def _served(job: Job, rule: Every, due: date, day: date) -> date:
    """The due day that is served on a day, when this one is the first not served: the newest."""
    wanted = month_day(rule.keeps, rule.interval, due, job.starts)
    while (following := rule.interval.after(due, wanted)) <= day:
        due = following
    return due


@dataclass(frozen=True)
class Outlook:
    """The room, the instant, and the span looked at."""

    room: Room
    pasts: Pasts
    now: datetime
    first: date
    last: date

    @cached_property
    def scene(self) -> Scene:
        return Scene(self.room, self.room.day_at(self.now), self.now, self.pasts)

    @cached_property
    def waters(self) -> Waters:
        return Waters(self.room, self.now)

    @cached_property
    def away(self) -> dict[date, Away]:
        """The days of the span on which the keeper is away."""
        found: dict[date, Away] = {}
        for row in self.room.away:
            day = max(row.first, self.first)
            while day <= min(row.last, self.last):
                found.setdefault(day, row)
                day += ONE_DAY
        return found

    @cached_property
    def before_away(self) -> frozenset[date]:
        """The last days before days away, which big filter jobs keep off."""
        return last_days(self.room.away)

    def nobody(self, job: Job) -> set[date]:
        """Days on which nobody may do a job: away, and no stand-in who may."""
        return {day for day, row in self.away.items() if not (job.stand_in and row.stand_in)}

    @cached_property
    def tails(self) -> Tails:
        return Tails(self.room, self.now, self.waters)

    def due_on(self, due: Due, past: Past, day: date) -> Due | None:
        """What is due of the same job at the same target on a day, pairs of jobs apart."""
        at = day_start(day, self.room.zone, self.room.day_starts)
        pasts = {(due.job.code, due.target): past}
        return one_due(Scene(self.room, day, at, pasts), due.job, due.target, self.waters)


def coming(outlook: Outlook, dues: Sequence[Due]) -> list[list[Coming]]:
    """The occurrences of each job at each target up to the end of the span, in chains."""
    found, late = [], LateOnes(outlook.room)
    for due in dues:
        chain = list(_daily(outlook, due) if every_day(due) else _chain(outlook, due, late))
        if chain:
            found.append(chain)
    return found


def every_day(due: Due) -> bool:
    """Whether it comes on each day, and what is missed is not made up for."""
    return isinstance(due.trigger, Every) and due.trigger.interval == DAILY


def _daily(outlook: Outlook, due: Due) -> Iterator[Coming]:
    day = max(due.slot.day, outlook.first)
    n = 0
    while day <= outlook.last:
        if first_free(due.blocks, day).day == day:
            one = due if n == 0 else replace(due, slot=replace(due.slot, day=day, first=day))
            yield Coming(due=one, n=n, usual=day, first=day, last=day)
            n += 1
        day += ONE_DAY


def _chain(outlook: Outlook, due: Due, late: LateOnes) -> Iterator[Coming]:
    """The open occurrence, then each next one counted from the usual day of the one before."""
    present = _apart_from_pairs(outlook, due)
    if present.blocked is not None and present.blocked.until is None:
        return
    past = outlook.pasts.get((due.job.code, due.target), NOTHING)
    one = _open_now(outlook, due, present, late)
    while one.usual <= outlook.last:
        laid = _on_free_day(outlook, one)
        if laid.usual > outlook.last:
            yield one  # nobody may do it in the span any more
            return
        one = _serving(outlook, laid, past)
        yield one
        following = next_after(outlook.room, one.due, one.usual, outlook.waters)
        if following is None or following.slot.day <= one.due.slot.day:
            return
        if following.blocked is not None and following.blocked.until is None:
            return
        past = _done(outlook, one)
        one = _after(outlook, one, following)


def _done(outlook: Outlook, one: Coming) -> Past:
    """The past once it is done on its usual day."""
    at = day_start(one.usual, outlook.room.zone, outlook.room.day_starts)
    mark = Mark(id=1, job=one.due.job.code, target=one.due.target, slot=one.due.slot.day,
                outcome="done", day=one.usual, at=at)  # fmt: skip
    return Past(mark, mark)


def _apart_from_pairs(outlook: Outlook, due: Due) -> Due:
    """The occurrence without what other open ones forbid: only holds, and what was done."""
    alone = one_due(outlook.scene, due.job, due.target, outlook.waters)
    return due if alone is None else with_blocks(alone, past_blocks(outlook.scene, alone))


def _open_now(outlook: Outlook, due: Due, present: Due, late: LateOnes) -> Coming:
    usual = max(due.placed, outlook.first)
    first, last = max(present.opens, outlook.first), max(present.closes, due.closes)
    if due.put_off_to is not None:
        first, last = max(first, due.put_off_to), max(last, due.put_off_to)
    behind = last < outlook.first
    if behind:
        last = outlook.first + timedelta(days=catch_up_days(due))
    one = Coming(
        due=due, n=0, usual=usual, first=first, last=last, blocks=present.blocks,
        tail=outlook.tails.of(due, usual),
    )  # fmt: skip
    if behind and one.keeps_slot:
        days = free_days(one, first, last, outlook.nobody(due.job))
        day = late.day(due, days) if days else usual
        return replace(one, usual=day, first=day, last=day)
    return one


def _on_free_day(outlook: Outlook, one: Coming) -> Coming:
    """On the day in its window nearest to the usual one on which it can be done, else the next."""
    nobody = outlook.nobody(one.due.job)
    if one.usual not in nobody and first_free(one.blocks, one.usual).day == one.usual:
        return one
    days = free_days(one, one.first, one.last, nobody)
    if days:
        near = min(days, key=lambda day: (abs((day - one.usual).days), day))
        return replace(one, usual=near)
    later = free_days(one, max(one.last, one.first) + ONE_DAY, outlook.last, nobody)
    return replace(one, usual=later[0] if later else outlook.last + ONE_DAY)


def _serving(outlook: Outlook, one: Coming, past: Past) -> Coming:
    """With the due day that is truly served on its usual day, and the days that serve it.

    A listed due day that could not be kept gives way to the next one as soon as
    that is nearer: missed ones never pile up.
    """
    there = outlook.due_on(one.due, past, one.usual)
    if there is None or there.slot.day == one.due.slot.day:
        there = one.due
    if isinstance(one.due.trigger, Every):
        return replace(one, due=there)
    if there is not one.due:
        one = replace(one, due=there, first=max(there.opens, outlook.first), last=there.closes)
    served = {one.usual}
    day = one.first
    while day <= outlook.last:
        found = outlook.due_on(one.due, past, day)
        if found is not None and found.slot.day == one.due.slot.day:
            served.add(day)
        elif day > one.last:
            break
        day += ONE_DAY
    return replace(one, served=frozenset(served))


def _after(outlook: Outlook, one: Coming, due: Due) -> Coming:
    usual = max(due.placed, one.usual + ONE_DAY)
    blocks = (*due.blocks, *(block for block in one.blocks if block not in due.blocks))
    return Coming(
        due=due, n=one.n + 1, usual=usual, first=due.opens, last=due.closes,
        due_before=one.due.slot.first if isinstance(due.trigger, Every) else None,
        blocks=blocks, tail=outlook.tails.of(due, usual),
    )  # fmt: skip


def catch_up_days(due: Due) -> int:
    """Days over which a late job may be made up for: a quarter of its interval, at most a week.

    Common practice, no published source. Doses, looks and checks: at once.
    """
    if KINDS[due.job.kind].never_cut:
        return 0
    if not isinstance(due.trigger, Every):
        return 1
    return min(LONGEST_CATCH_UP_DAYS, due.trigger.interval.days // 4)


def free_days(
    found: Coming, first: date, last: date, away: Iterable[date]
) -> tuple[date, ...]:  # fmt: skip
    """Days from one to another on which nothing forbids it and nobody is away."""
    gone = set(away)
    days = []
    day = first
    while day <= last:
        if day not in gone and first_free(found.blocks, day).day == day:
            days.append(day)
        day += ONE_DAY
    return tuple(days)
