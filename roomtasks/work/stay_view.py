"""Lots kept apart, courses and watches as they stand, from one look at the store."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.column import to_plain
from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.course_days import CourseDay, day_of_run, last_day, missed_doses, steps_of
from roomtasks.room.journal import MARKS, Mark, Reading
from roomtasks.room.problem import Problem
from roomtasks.room.release import Line, checklist
from roomtasks.room.room import Room
from roomtasks.room.stay_clock import StayNow
from roomtasks.room.stay_facts import Seen, running_stays, stays_now
from roomtasks.room.stock import Condition
from roomtasks.store import read
from roomtasks.store.base import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class RunNow:
    """A course that is running: its day, what is done today, and doses nobody noted."""

    run: Run
    course: Course
    steps: tuple[CourseStep, ...]
    number: int
    last: date
    today: CourseDay | Problem
    missed: tuple[date, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StayView:
    """A lot as it stands, its release lines, and what comes next in a keeper's words."""

    now: StayNow
    lines: tuple[Line, ...]
    heads: int
    groups: tuple[str, ...]
    next_act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FishView:
    """Every lot kept apart, every course running, every tank under watch or sick."""

    today: date
    stays: tuple[StayView, ...]
    runs: tuple[RunNow, ...]
    watches: tuple[Condition, ...]


def seen_of(store: Store, room: Room, today: date) -> Seen:
    """Days on which somebody looked, by tank, and the newest readings."""
    stays = running_stays(room, today)
    readings = tuple(read.newest_readings(store, until=today)) if stays else ()
    if not stays:
        return Seen(readings=readings)
    first = min(stay.first_day for stay in stays)
    jobs = sorted({job.code for job in room.jobs if job.kind == "look"})
    wanted = {tank for stay in stays for tank, _ in stay.places()}
    looked: dict[str, set[date]] = defaultdict(set)
    for job in jobs:
        marks: list[Mark] = read.rows(
            store, MARKS, 'WHERE "job" = ? AND "outcome" = \'done\' AND "day" >= ?',
            (job, str(to_plain(first))),
        )  # fmt: skip
        for mark in marks:
            for tank in wanted & set(_tanks(room, mark)):
                looked[tank].add(mark.day)
    return Seen(looked={tank: frozenset(days) for tank, days in looked.items()}, readings=readings)


def _tanks(room: Room, mark: Mark) -> Iterable[str]:
    """The tanks a look at a place took in."""
    if mark.target in room.tank:
        return (mark.target,)
    if mark.target in room.system:
        return room.valve.members(mark.target, mark.at)
    return (
        tank.code for tank in room.tanks if mark.target in ("room", tank.rack)
    )  # fmt: skip


def fish_view(store: Store, now: datetime, to: str = "") -> FishView | Problem:
    """All that is kept apart; `to` is a destination the release lines are looked at for."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        seen = seen_of(store, room, room.day_at(now))
    return view_of(room, seen, now, to)


def view_of(room: Room, seen: Seen, now: datetime, to: str = "") -> FishView:
    """The view from a room and what was seen."""
    today = room.day_at(now)
    runs = tuple(run_now(room, run, today) for run in room.runs if run.state == "running")
    stays = tuple(
        _stay(room, stay, today, seen.readings, runs, to) for stay in stays_now(room, seen, today)
    )  # fmt: skip
    watches = [room.condition_of(tank.code, today) for tank in room.tanks]
    return FishView(
        today=today, stays=stays, runs=runs,
        watches=tuple(row for row in watches if row is not None and row.state != "clean"),
    )  # fmt: skip


def run_now(room: Room, run: Run, today: date) -> RunNow:
    """A running course on a day. The room holds its course."""
    course = next(course for course in room.courses if course.code == run.course)
    steps = steps_of(room.course_steps, run.course)
    given = {
        event.day for event in room.events_at.get(run.tank, ()) if event.event in ("dose", "added")
    }  # fmt: skip
    return RunNow(
        run=run, course=course, steps=steps, number=(today - run.since).days,
        last=last_day(run, steps),
        today=day_of_run(run, course, steps, room.tank_litres(run.tank), today),
        missed=missed_doses(run, steps, given, today),
    )  # fmt: skip


def _stay(
    room: Room, now: StayNow, today: date, readings: tuple[Reading, ...],
    runs: tuple[RunNow, ...], to: str,
) -> StayView:  # fmt: skip
    tank = now.stay.tank
    lines = checklist(room, now, today, readings, to)
    ours = [run for run in runs if run.run.tank == tank]
    return StayView(
        now=now, lines=lines, heads=room.heads_in(tank),
        groups=tuple(group.code for group in room.groups_in(tank)),
        next_act=_next(now, lines, ours, today),
    )  # fmt: skip


def _next(now: StayNow, lines: tuple[Line, ...], runs: list[RunNow], today: date) -> str:
    """What is to be done next for a lot."""
    for run in runs:
        if run.missed:
            return f"course {run.course.name}: start it again, a dose was not noted"
        if today > run.last:
            return f"course {run.course.name}: note that it is over"
        if isinstance(run.today, CourseDay) and run.today.words:
            return f"course day {run.number}: {', then '.join(run.today.words)}"
    if not now.free(today):
        twice = now.look_twice_until is not None and today <= now.look_twice_until
        return f"look {'twice ' if twice else ''}daily until {now.release_on.isoformat()}"
    still = [line for line in lines if line.state == "open"]
    return f"release: {still[0].words}" if still else "release"
