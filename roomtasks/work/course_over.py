"""How a course in a tank comes to its end, with what it kept dissolved and what it held.

Used by the acts on courses and by those on fish: a course does not go on in a tank
whose last fish left.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from roomtasks.room.course import CourseStep, Run
from roomtasks.room.course_days import (
    FILTER_REST_DAYS,
    doses_counted,
    doses_noted,
    last_day,
    steps_of,
)
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.store.write import Writer
from roomtasks.work.course_jobs import rest_days


def running_in(room: Room, tank: str) -> tuple[Run, ...]:
    """The courses that run in a tank."""
    return tuple(run for run in room.runs if run.tank == tank and run.state == "running")


def all_leave(room: Room, tank: str, today: date) -> Problem | None:
    """Why the last fish may not leave a tank: a course that runs there would go on without them."""
    for run in running_in(room, tank):
        last = last_day(run, steps_of(room.course_steps, run.course))
        if last < today:
            continue
        return Problem(
            tank, f"course {run.course} runs there until {day_words(last)}, and no fish would be "
            "left in it", f"'roomtasks course break {tank} {run.course} --reason ...' first: it "
            "starts again at its first day", "course-running",
        )  # fmt: skip
    return None


def over(room: Room, writer: Writer, run: Run, today: date, state: str, note: str) -> None:
    """Write that a run is over today, or was over on its last day."""
    steps = steps_of(room.course_steps, run.course)
    ended = max(run.since, min(today, last_day(run, steps)))
    done = replace(run, state=state, ended=ended, note=note)
    writer.put("runs", done)
    for level in room.levels:
        if level.note == f"course {run.code}":
            writer.put("levels", replace(level, until=max(level.since, ended)))
    _holds_over(room, writer, done, steps, today)
    rest_days(room, writer, run)


def emptied(room: Room, writer: Writer, tank: str, today: date) -> Iterator[str]:
    """End or break off what runs in a tank whose last fish leave in this act; says so."""
    for run in running_in(room, tank):
        if last_day(run, steps_of(room.course_steps, run.course)) < today:
            over(room, writer, run, today, "ended", "")
            yield f"course {run.course} in {tank} is over"
            continue
        over(room, writer, run, today, "interrupted", "no fish are left in it")
        yield f"course {run.course} in {tank} broken off, since no fish are left in it"


def _holds_over(
    room: Room, writer: Writer, run: Run, steps: Sequence[CourseStep], today: date
) -> None:
    """Let the holds of a run end: the filter's 7 days after its last dose, the others today."""
    doses = doses_counted(run, steps, doses_noted(room, run), today)
    for hold in room.holds_at.get(run.tank, ()):
        if not hold.code.startswith(f"{run.code}-"):
            continue
        until = today
        if hold.code == f"{run.code}-filter" and doses:
            until = max(doses) + timedelta(days=FILTER_REST_DAYS - 1)
        if until < hold.since:
            writer.remove("holds", [hold.code])
        elif hold.until is None or until < hold.until:
            writer.put("holds", replace(hold, until=until))
