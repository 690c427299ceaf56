"""Lots kept apart, courses and watches as they stand, from one look at the store."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from roomtasks.room.column import to_plain
from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.course_days import (
    CourseDay,
    day_of_run,
    doses_noted,
    last_day,
    missed_doses,
    steps_of,
)
from roomtasks.room.journal import MARKS, Mark, Reading
from roomtasks.room.naming import day_words, lot_words
from roomtasks.room.problem import Problem
from roomtasks.room.release import WATCH_DAYS, Line, checklist
from roomtasks.room.room import Room
from roomtasks.room.stay_clock import Dated, StayNow, stay_now
from roomtasks.room.stay_facts import (
    Seen,
    died_out,
    facts_of,
    periods_of,
    running_stays,
    stays_now,
)
from roomtasks.room.stock import Stay
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
class WatchView:
    """A tank under watch or sick, or one that a lot was released to in the last days.

    `clear_on` is the day its clear days are over, if no sign comes; `why` what sets it.
    """

    tank: str
    state: str  # watch, sick or released
    since: date
    reason: str
    clear_on: date
    why: str
    unlooked: tuple[date, ...]
    next_act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FishView:
    """Every lot kept apart, every course running, every tank under watch or sick."""

    today: date
    stays: tuple[StayView, ...]
    runs: tuple[RunNow, ...]
    watches: tuple[WatchView, ...]


def seen_of(store: Store, room: Room, today: date) -> Seen:
    """Days on which somebody looked, by tank, and the newest readings."""
    running = running_stays(room, today)
    stays = (*running, *died_out(room, running, today), *_watched(room, today))
    if not stays:
        return Seen()
    readings = tuple(read.newest_readings(store, until=today))
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
    watches = [_watch(room, stay, seen, today) for stay in _watched(room, today)]
    return FishView(
        today=today, stays=stays, runs=runs, watches=(*watches, *_released(room, today))
    )  # fmt: skip


def _watched(room: Room, today: date) -> tuple[Stay, ...]:
    """Tanks under watch or sick, as stays of a day and a sign, so that one clock counts all."""
    found = []
    for tank in room.tanks:
        row = room.condition_of(tank.code, today)
        if row is not None and row.state != "clean":
            found.append(
                Stay(code=tank.code, tank=tank.code, since=row.since, days=1,
                     note=row.reason)
            )  # fmt: skip
    return tuple(found)


def _watch(room: Room, stay: Stay, seen: Seen, today: date) -> WatchView:
    row = room.condition_of(stay.tank, today)
    assert row is not None
    facts = facts_of(room, stay, seen, today)
    began = Dated(day=row.since, words="under watch" if row.state == "watch" else "sick")
    now = stay_now(stay, replace(facts, signs=(began, *facts.signs)), today, periods_of(room))
    over = f"'roomtasks class {stay.tank} clean', if the keeper finds it so"
    return WatchView(
        tank=stay.tank, state=row.state, since=row.since, reason=row.reason,
        clear_on=now.release_on, why=now.set_by.why, unlooked=now.unlooked,
        next_act=over if now.free(today) else f"look daily until {day_words(now.release_on)}",
    )  # fmt: skip


def _released(room: Room, today: date) -> Iterator[WatchView]:
    """Tanks that a lot was released to, until the last of its looks."""
    for stay in room.stays:
        if stay.ended is None or not stay.released_to or today < stay.ended:
            continue
        looks = [stay.ended + timedelta(days=number) for number in WATCH_DAYS]
        ahead = [day for day in looks if day >= today]
        if ahead:
            yield WatchView(
                tank=stay.released_to, state="released", since=stay.ended,
                reason=f"{lot_words(stay.code)} came out of quarantine", clear_on=looks[-1],
                why="looks on day 1, 2, 3 and 7 after release", unlooked=(),
                next_act=f"look on {day_words(ahead[0])}",
            )  # fmt: skip


def run_now(room: Room, run: Run, today: date) -> RunNow:
    """A running course on a day. The room holds its course."""
    course = next(course for course in room.courses if course.code == run.course)
    steps = steps_of(room.course_steps, run.course)
    return RunNow(
        run=run, course=course, steps=steps, number=(today - run.since).days,
        last=last_day(run, steps),
        today=day_of_run(run, course, steps, room.tank_litres(run.tank), today),
        missed=missed_doses(run, steps, doses_noted(room, run), today),
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
        return f"look {'twice ' if twice else ''}daily until {day_words(now.release_on)}"
    still = [line for line in lines if line.state == "open"]
    return f"release: {still[0].words}" if still else "release"
