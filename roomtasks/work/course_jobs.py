"""The days of a course as jobs, so that each stands in the walk of its day.

Where the keeper has a job of their own that doses the tank, its days are theirs.
Marked as done, a day with a dose notes the dose; what the fish are dosed with is
worked out at the tank (`room.course_days`).
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.course_days import step_words
from roomtasks.room.job import Job
from roomtasks.room.room import Room
from roomtasks.room.targets import tasks
from roomtasks.store.write import Writer

DOSE_MINUTES, OTHER_MINUTES = 4.0, 5.0


def dose_event(course: Course) -> str:
    """A dose of medicine stops clear days; salt and the like do not."""
    return "dose" if course.medicine else "added"


def write_days(
    room: Room, writer: Writer, run: Run, course: Course, steps: Iterable[CourseStep], now: datetime
) -> None:
    """Write a job for each day of a run after its first that asks for something."""
    of_runs = tuple(f"{other.code[:20]}-day" for other in room.runs)
    own = any(job.kind == "dose" and target == run.tank and not job.code.startswith(of_runs)
              for job, target in tasks(room, now))  # fmt: skip
    for job in _days(run, course, tuple(steps), own):
        writer.put("jobs", job)


def _days(run: Run, course: Course, steps: tuple[CourseStep, ...], own: bool) -> Iterator[Job]:
    for number in sorted({step.day for step in steps if step.day > 0}):
        not_here = ("fast", "dose") if own else ("fast",)
        today = [step for step in steps if step.day == number and step.action not in not_here]
        doses = any(step.action == "dose" for step in today)
        if not today:
            continue
        words = [step_words(step) for step in today if step.action != "dose"]
        if doses:
            words.append(f"dose of {course.product}")
        day = run.since + timedelta(days=number)
        yield Job(
            code=_code(run, day), name=f"{course.name[:40]}, day {number}: {', then '.join(words)}",
            kind="dose" if doses else "other", where=f"tank {run.tank}",
            rule=f"once {day.isoformat()}", window="-0/+1", fraction=_share_changed(today),
            minutes=DOSE_MINUTES if doses else OTHER_MINUTES, needs=course.caution,
            effects=f"event {dose_event(course)}" if doses else "",
        )  # fmt: skip


def _share_changed(today: Iterable[CourseStep]) -> float | None:
    """The share of the tank's water the day changes, so that its litres are planned for."""
    shares = [step.share for step in today if step.action == "change" and step.share]
    return min(1.0, max(shares)) if shares else None


def _code(run: Run, day: date) -> str:
    return f"{run.code[:20]}-day{(day - run.since).days}"


def day_done(room: Room, writer: Writer, run: Run, day: date) -> None:
    """Let the job of a day rest, since its dose was noted by another way."""
    for job in room.jobs:
        if job.code == _code(run, day) and job.active:
            writer.put("jobs", replace(job, active=False))


def rest_days(room: Room, writer: Writer, run: Run) -> None:
    """Let every job of a run rest that is over."""
    for job in room.jobs:
        if job.code.startswith(f"{run.code[:20]}-day") and job.active:
            writer.put("jobs", replace(job, active=False))
