"""Which occurrences that take water fall on a day: today's walk, or a day ahead.

Ahead, each job is taken as done on the day it is placed, and its next day
worked out by the same rules as any other (`due`), so a weekly change stands on
each change day and a daily jug on every day. Pairs of jobs are kept only for
the occurrence that is open now; what lies beyond it is placed by its own rule.
Does not live here: how much water each takes (`demand`).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from roomtasks.room.day import day_start, resolve
from roomtasks.room.due import Waters, one_due
from roomtasks.room.job import Job
from roomtasks.room.journal import Mark
from roomtasks.room.kind import KINDS, Phase
from roomtasks.room.naming import day_words
from roomtasks.room.occurrence import Due, State
from roomtasks.room.past import Past
from roomtasks.room.rebase import Interval
from roomtasks.room.room import Room
from roomtasks.room.slots import Scene, trigger_of
from roomtasks.room.targets import class_at, targets
from roomtasks.room.trigger import Every, Follows
from roomtasks.room.water_plan import Note

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class OnDay:
    """The occurrences of a day, and what is told of those that a hold keeps off it."""

    dues: tuple[Due, ...]
    notes: tuple[Note, ...] = ()


def takes_water(job: Job) -> bool:
    """Whether a job takes prepared water: a share of its place's, or litres of its own.

    What fills, treats or heats a reservoir takes none out of it.
    """
    return KINDS[job.kind].phase is not Phase.START and bool(job.fraction or job.litres)


def on_day(room: Room, dues: Sequence[Due], day: date, now: datetime) -> OnDay:
    """The water-taking occurrences of a day that is today or ahead, with each held one told.

    Today: everything on the walk, late and part-done ones too, and what opens
    later in the day. A job that follows another comes on the day of that one.
    """
    today = room.day_at(now)
    followed = _followed(room)
    found: list[Due] = []
    leads: list[Due] = []
    notes: list[Note] = []
    for due in dues:
        watery = takes_water(due.job)
        if not watery and due.job.code not in followed:
            continue
        one = _today(due) if day == today else _ahead(room, due, day, now)
        if one is None:
            continue
        if _kept_off(one, day):
            notes += [_held_note(one, day)] if watery else []
            continue
        found += [one] if watery else []
        leads.append(one)
    found += _following(room, found, leads, day, now)
    return OnDay(tuple(found), tuple(notes))


def _kept_off(due: Due, day: date) -> bool:
    if due.blocked is None:
        return False
    return due.blocked.until is None or day <= due.blocked.until


def _held_note(due: Due, day: date) -> Note:
    blocked = due.blocked
    until = f" until {day_words(blocked.until)}" if blocked and blocked.until else ""
    why = f": {blocked.reason}" if blocked and blocked.reason else ""
    text = f"{due.job.name} is held{until}{why}; no water is counted for it on {day_words(day)}"
    return Note(about=due.id, text=text, rule=blocked.rule if blocked else "hold")


def _today(due: Due) -> Due | None:
    """The occurrence if today asks for it, held or not."""
    if due.put_off_to is not None and due.put_off_to > due.today:
        return None
    if due.state is State.HELD:
        return due if due.wanted <= due.today else None
    return due if due.placed <= due.today else None


def _ahead(room: Room, due: Due, day: date, now: datetime) -> Due | None:
    """The occurrence of this job at this target that falls on a day ahead."""
    waters = Waters(room, now)
    one: Due | None = due
    when = max(due.placed, due.today)
    while one is not None:
        if one.blocked is not None and one.blocked.until is None and one.wanted <= day:
            return one
        if when >= day:
            break
        when = day - ONE_DAY if _every_day(one) else when
        one = next_after(room, one, when, waters)
        if one is not None:
            when = max(one.placed, when + ONE_DAY)
    if one is None or (when > day and not (one.wanted == day and one.blocks)):
        return None
    health = class_at(room, one.target, day)
    return replace(
        one, today=day, health=one.health if health is None else health,
        slot=one.slot if one is due else replace(one.slot, missed=0),
    )  # fmt: skip


def _every_day(due: Due) -> bool:
    return isinstance(due.trigger, Every) and due.trigger.interval == Interval(1, "days")


def next_after(room: Room, due: Due, day: date, waters: Waters) -> Due | None:
    """The next occurrence once this one is done on a day, pairs of jobs apart."""
    at = day_start(day, room.zone, room.day_starts)
    slot = day if _every_day(due) else due.slot.day
    mark = _done(due, slot, day, at)
    scene = Scene(room, day, at, {(due.job.code, due.target): Past(mark, mark)})
    return one_due(scene, due.job, due.target, waters)


def _done(due: Due, slot: date, day: date, at: datetime) -> Mark:
    return Mark(
        id=1, job=due.job.code, target=due.target, slot=slot, outcome="done", day=day, at=at
    )


def _followed(room: Room) -> frozenset[str]:
    """Codes of jobs that some job which takes water follows."""
    return frozenset(rule.job for _, rule in _followers(room))


def _followers(room: Room) -> Iterator[tuple[Job, Follows]]:
    for job in room.jobs:
        rule = trigger_of(job)
        if job.active and takes_water(job) and isinstance(rule, Follows):
            yield job, rule


def _following(
    room: Room, found: Iterable[Due], leads: Iterable[Due], day: date, now: datetime
) -> list[Due]:
    """What follows a job of the day, on that day, and does not stand in the list yet."""
    at = resolve(datetime.combine(day, room.setup.change_hour), room.zone)
    pasts = {
        (lead.job.code, lead.target): Past(mark, mark)
        for lead in leads
        for mark in [_done(lead, day, day, at)]
    }
    known = {due.id for due in found}
    scene, waters = Scene(room, day, at, pasts), Waters(room, now)
    made = []
    for job, _ in _followers(room):
        for target in targets(room, job, now):
            due = one_due(scene, job, target, waters)
            if due is not None and due.id not in known and due.slot.day == day:
                made.append(due)
    return made
