"""The coming occurrences of every job over a span, each with its window and its usual day.

From what is open now each job is taken as done on the day it is placed, and what
comes next is worked out by the same rules as today's (`ahead.next_after`). A job
that follows another, or the state another leaves (a pump off), comes with it.
Does not live here: on which day to do them (`level`), what they weigh
(`ahead_tasks`).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import cached_property

from roomtasks.room.ahead import next_after
from roomtasks.room.apart import past_blocks
from roomtasks.room.blocks import first_free, with_blocks
from roomtasks.room.day import day_start
from roomtasks.room.due import Waters, one_due
from roomtasks.room.job import Job, parse_effects
from roomtasks.room.journal import Mark
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import Block, Due
from roomtasks.room.past import Past, Pasts
from roomtasks.room.problem import Problem
from roomtasks.room.rebase import Interval, Keeps
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.slots import Scene, trigger_of
from roomtasks.room.system import PumpTurn
from roomtasks.room.targets import targets
from roomtasks.room.trigger import Every, Follows, OnState

ONE_DAY = timedelta(days=1)
DAILY = Interval(1, "days")
LONGEST_CATCH_UP_DAYS = 7
DEEPEST_TAIL = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """One occurrence to come. `n` counts from 0, the one open now.

    `first` and `last` are the days on which it is in time, as far as that is
    known before the ones before it are planned; where it `floats` on the one
    before, between `min_gap` and `max_gap` days after that instead. `tail` comes
    with it on the same day.
    """

    due: Due
    n: int
    usual: date
    first: date
    last: date
    floats: bool = False
    min_gap: int = 1
    max_gap: int = 0
    blocks: tuple[Block, ...] = ()
    tail: tuple[Due, ...] = ()

    @property
    def id(self) -> str:
        return f"{self.due.id}#{self.n}"

    @property
    def late(self) -> bool:
        """Whether it is past its window as the span begins."""
        return self.n == 0 and self.due.closes < self.due.today


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

    def nobody(self, job: Job) -> set[date]:
        """Days on which nobody may do a job: away, and no stand-in who may."""
        return {day for day, row in self.away.items() if not (job.stand_in and row.stand_in)}

    @cached_property
    def tails(self) -> "Tails":
        return Tails(self)


def coming(outlook: Outlook, dues: Sequence[Due]) -> list[list[Coming]]:
    """The occurrences of each job at each target up to the end of the span, in chains."""
    found = []
    for due in dues:
        chain = list(_daily(outlook, due) if every_day(due) else _chain(outlook, due))
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
        if not any(_covers(block, day) for block in due.blocks):
            yield Coming(due=replace(due, slot=replace(due.slot, day=day, first=day)) if n else due,
                         n=n, usual=day, first=day, last=day)  # fmt: skip
            n += 1
        day += ONE_DAY


def _covers(block: Block, day: date) -> bool:
    return block.first <= day and (block.last is None or day <= block.last)


def _chain(outlook: Outlook, due: Due) -> Iterator[Coming]:
    """The open occurrence, then each next one counted from the usual day of the one before."""
    present = _apart_from_pairs(outlook, due)
    if present.blocked is not None and present.blocked.until is None:
        return
    usual = max(due.placed, outlook.first)
    one = _open_now(outlook, due, present, usual)
    if one.first > outlook.last and usual > outlook.last:
        return
    while one.usual <= outlook.last:
        laid = _on_free_day(outlook, one)
        if laid.usual > outlook.last:
            yield one  # nobody may do it in the span any more
            return
        one = laid
        yield one
        following = next_after(outlook.room, one.due, one.usual, outlook.waters)
        if following is None or following.slot.day <= one.due.slot.day:
            return
        if following.blocked is not None and following.blocked.until is None:
            return
        one = _after(outlook, one, following)


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


def _apart_from_pairs(outlook: Outlook, due: Due) -> Due:
    """The occurrence without what other open ones forbid: only holds, and what was done."""
    alone = one_due(outlook.scene, due.job, due.target, outlook.waters)
    return due if alone is None else with_blocks(alone, past_blocks(outlook.scene, alone))


def _open_now(outlook: Outlook, due: Due, present: Due, usual: date) -> Coming:
    first, last = max(present.opens, outlook.first), present.closes
    if due.put_off_to is not None:
        first = max(first, due.put_off_to)
        last = max(last, due.put_off_to)
    if last < outlook.first:
        last = outlook.first + timedelta(days=catch_up_days(due))
    return Coming(
        due=due, n=0, usual=usual, first=first, last=last, blocks=present.blocks,
        tail=outlook.tails.of(due, usual),
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


def _after(outlook: Outlook, one: Coming, due: Due) -> Coming:
    usual = max(due.placed, one.usual + ONE_DAY)
    blocks = due.blocks
    if one.blocks:
        blocks = (*blocks, *(block for block in one.blocks if block not in blocks))
    floats = isinstance(due.trigger, Every) and due.trigger.keeps is Keeps.FLOATING
    least, most = _gaps(one, due) if floats else (1, 0)
    return Coming(
        due=due, n=one.n + 1, usual=usual, first=due.opens, last=due.closes, floats=floats,
        min_gap=least, max_gap=most, blocks=blocks, tail=outlook.tails.of(due, usual),
    )  # fmt: skip


def _gaps(one: Coming, due: Due) -> tuple[int, int]:
    """Days from the one before, whichever day of its window that is done on.

    Months are of several lengths, so the gaps are those that are right for each
    of those days; forbidden days lengthen the window as ever.
    """
    trigger = due.trigger
    if not isinstance(trigger, Every):
        return 1, 0
    span = range(max(1, (one.last - one.first).days + 1))
    days = [one.first + timedelta(days=n) for n in span] if not one.floats else [one.usual]
    steps = [(trigger.interval.after(day) - day).days for day in days]
    least = max(1, max(steps) - due.window.early)
    most = max(least, min(steps) + due.window.late)
    return least, max(most, (due.closes - one.usual).days)


class Tails:
    """What comes along with a job on the day it is done: what follows it, what its state asks."""

    def __init__(self, outlook: Outlook) -> None:
        self._outlook = outlook
        self._known: dict[tuple[str, str], tuple[Due, ...]] = {}
        jobs = [(job, trigger_of(job)) for job in outlook.room.jobs if job.active]
        self._follows = [job for job, rule in jobs if isinstance(rule, Follows)]
        self._pumps = [
            job for job, rule in jobs
            if isinstance(rule, OnState) and rule.state == "pump-off" and 0 in rule.offsets
        ]  # fmt: skip
        self._leads = frozenset(
            rule.job for _, rule in jobs if isinstance(rule, Follows)
        )  # fmt: skip

    def of(self, due: Due, day: date) -> tuple[Due, ...]:
        """The occurrences that come with this one, worked out once for each job and target."""
        key = (due.job.code, due.target)
        if key not in self._known:
            self._known[key] = tuple(self._found(due, day, DEEPEST_TAIL))
        return self._known[key]

    def _found(self, due: Due, day: date, depth: int) -> Iterator[Due]:
        stops_pump = self._stops_pump(due)
        if depth == 0 or not (due.job.code in self._leads or stops_pump):
            return
        room = self._outlook.room
        at = day_start(day, room.zone, room.day_starts)
        mark = Mark(id=1, job=due.job.code, target=due.target, slot=day, outcome="done", day=day,
                    at=at)  # fmt: skip
        pasts = {(due.job.code, due.target): Past(mark, mark)}
        led = [job for job in self._follows if _leads(job, due)]
        yield from self._dues(room, led, pasts, day, at, depth)
        if stops_pump:
            off = PumpTurn(system=due.target, at=at, state="off")
            stopped = replace(room, pumps=(*room.pumps, off))
            yield from self._dues(stopped, self._pumps, pasts, day, at, depth, due.target)

    def _stops_pump(self, due: Due) -> bool:
        effects = parse_effects(due.job.effects)
        return (
            due.target in self._outlook.room.system
            and not isinstance(effects, Problem)
            and effects.pump == "off"
        )

    def _dues(
        self, room: Room, jobs: Iterable[Job], pasts: Pasts, day: date, at: datetime, depth: int,
        only: str = "",
    ) -> Iterator[Due]:  # fmt: skip
        later = at + timedelta(hours=12)
        scene = Scene(room, day, later, pasts)
        for job in jobs:
            for target in targets(room, job, self._outlook.now):
                if only and target != only:
                    continue
                due = one_due(scene, job, target, self._outlook.waters)
                if due is not None and due.slot.day == day:
                    yield due
                    yield from self._found(due, day, depth - 1)


def _leads(job: Job, due: Due) -> bool:
    rule = trigger_of(job)
    return isinstance(rule, Follows) and rule.job == due.job.code


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
