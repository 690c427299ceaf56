"""Acts on courses: typed in from a label, begun in a tank, dosed, broken off, ended.

A run writes what it rules out as holds and what it keeps dissolved as a level, so
that due dates and changes follow from the same rows. No veterinary advice.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from roomtasks.room.check_stays import course_faults
from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.course_days import (
    NO_ADVICE,
    CourseDay,
    day_of_run,
    dose_days,
    doses_noted,
    holds_of,
    last_day,
    level_of,
    meeting,
    rate_fault,
    steps_of,
)
from roomtasks.room.fault import Facts
from roomtasks.room.naming import many
from roomtasks.room.problem import Problem
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.work.course_jobs import day_done, dose_event, write_days
from roomtasks.work.course_over import over, running_in
from roomtasks.work.fish import Doing, Told, doing, note_event


def keep_course(
    store: Store, now: datetime, who: str, course: Course, steps: Sequence[CourseStep]
) -> Told | Problem:
    """Keep a course as typed from a label, with its days; in place of one of the same code."""

    def do(it: Doing) -> str | Problem:
        if any(run.course == course.code and run.state == "running" for run in it.room.runs):
            return Problem(course.code, "it is running", "end it first, or give another code",
                           "course-running")  # fmt: skip
        if not steps:
            return Problem(course.code, "it has no day", "give one at least, as dose on day 0")
        doses = any(step.action == "dose" for step in steps)
        fault = rate_fault(course) if doses or course.amount is not None else None
        if fault is not None:
            return fault
        sheets: dict[str, list[Any]] = {"courses": [course], "course_steps": list(steps)}
        wrong = next(course_faults(Facts(sheets)), None)
        if wrong is not None:
            return wrong.problem()
        for old in steps_of(it.room.course_steps, course.code):
            it.writer.remove("course_steps", [old.course, old.day, old.action])
        it.writer.put("courses", course)
        for step in steps:
            it.writer.put("course_steps", step)
        count = many(len(steps), "step")
        return f"course {course.code} ({course.name}) kept, {count}. {NO_ADVICE}"

    return doing(store, now, who, "course", do)


def start_course(
    store: Store, now: datetime, who: str, tank: str, code: str, *, also: bool = False,
    anyway: bool = False,
) -> Told | Problem:  # fmt: skip
    """Begin a course in a tank today, which is its day 0.

    `also`: yes, the label allows it together with the other medicine in the water.
    """

    def do(it: Doing) -> str | Problem:
        course = next((row for row in it.room.courses if row.code == code), None)
        if course is None:
            known = ", ".join(row.code for row in it.room.courses) or "none is kept yet"
            return Problem(code, "there is no such course", f"known are: {known}")
        steps = steps_of(it.room.course_steps, code)
        refused = _start_refusal(it, course, tank, also, anyway)
        if refused is not None:
            return refused
        run = Run(code=f"run-{it.writer.id}", course=code, tank=tank, since=it.today)
        first = day_of_run(run, course, steps, it.room.tank_litres(tank), it.today)
        if isinstance(first, Problem):
            return first
        for before in running_in(it.room, tank):
            if last_day(before, steps_of(it.room.course_steps, before.course)) < it.today:
                over(it.room, it.writer, before, it.today, "ended", "")
        it.writer.put("runs", run)
        level = level_of(run, course, steps)
        if level is not None:
            it.writer.put("levels", level)
        for hold in holds_of(run, course, steps):
            it.writer.put("holds", hold)
        write_days(it.room, it.writer, run, course, steps, it.now)
        if first.dose is not None:
            note_event(it, dose_event(course), tank, None, _dose_words(first))
        caution = f"{course.caution.rstrip('.')}. " if course.caution else ""
        again = any(row.course == code and row.tank == tank and row.state == "interrupted"
                    for row in it.room.runs)  # fmt: skip
        return (
            f"course {course.name} {'starts again at its first day' if again else 'begun'} in "
            f"{tank}, last day {day_words(last_day(run, steps))}; today: "
            f"{', then '.join(first.words) or 'nothing'}. {caution}{NO_ADVICE}"
        )

    return doing(store, now, who, "course", do)


def give_dose(
    store: Store, now: datetime, who: str, tank: str, code: str = ""
) -> Told | Problem:  # fmt: skip
    """Note that today's dose of a course in a tank was given.

    Of several courses the one named, else the first that still has a dose to give today.
    """

    def do(it: Doing) -> str | Problem:
        run = _dosed(it, tank) if not code else _running(it, tank, code)
        if isinstance(run, Problem):
            return run
        course = next(row for row in it.room.courses if row.code == run.course)
        steps = steps_of(it.room.course_steps, run.course)
        today = day_of_run(run, course, steps, it.room.tank_litres(tank), it.today)
        if isinstance(today, Problem):
            return today
        if today.dose is None:
            return Problem(tank, f"course day {today.number} has no dose", "nothing was changed",
                           "no-dose-today")  # fmt: skip
        named = dose_event(course)
        if it.today in doses_noted(it.room, run):
            return Problem(tank, "today's dose is noted", "nothing was changed", "no-change")
        note_event(it, named, tank, None, _dose_words(today))
        day_done(it.room, it.writer, run, it.today)
        return f"dose in {tank}, course day {today.number}: {_dose_words(today)}"

    return doing(store, now, who, "dose", do)


def interrupt_course(
    store: Store, now: datetime, who: str, tank: str, reason: str, code: str = ""
) -> Told | Problem:
    """A course was broken off: it would have to start again at its first day."""
    return doing(store, now, who, "course", lambda it: _over(it, tank, code, "interrupted", reason))


def end_course(
    store: Store, now: datetime, who: str, tank: str, note: str = "", code: str = ""
) -> Told | Problem:  # fmt: skip
    """A course is over: today was its last day."""
    return doing(store, now, who, "course", lambda it: _over(it, tank, code, "ended", note))


def _over(it: Doing, tank: str, code: str, state: str, note: str) -> str | Problem:
    run = _running(it, tank, code)
    if isinstance(run, Problem):
        return run
    if state == "interrupted" and not note.strip():
        return Problem("reason", "it is blank", "say why it was broken off")
    course = next(row for row in it.room.courses if row.code == run.course)
    steps = steps_of(it.room.course_steps, run.course)
    left = last_day(run, steps) > it.today
    if state == "ended" and left:
        return Problem(
            tank, f"its last day is {day_words(last_day(run, steps))}",
            "break it off with a reason, and it starts again at its first day", "course-not-over",
        )  # fmt: skip
    over(it.room, it.writer, run, it.today, state, note)
    if state == "interrupted":
        day = (it.today - run.since).days
        return (
            f"course {course.name} in {tank} broken off on its day {day}: {note}; "
            "it starts again at its first day"
        )
    return f"course {course.name} in {tank} is over"


def _start_refusal(
    it: Doing, course: Course, tank: str, also: bool, anyway: bool
) -> Problem | None:  # fmt: skip
    room = it.room
    if tank not in room.tank:
        return Problem(tank, "there is no such tank", "'roomtasks racks' shows them")
    if not room.heads_in(tank):
        return Problem(tank, "no fish live in it", "a course is for fish", "empty-tank")
    system = room.valve.open_to(tank, it.now)
    if system is not None and not anyway:
        return Problem(
            tank, f"its water is the {room.system_litres(system, it.now):.0f} L of {system}: all "
            "would be dosed, and its filter with it",
            "shut its valve and treat it alone, or say --anyway", "shared-water",
        )  # fmt: skip
    for run in running_in(room, tank):
        last = last_day(run, steps_of(room.course_steps, run.course))
        if run.course == course.code and last >= it.today:
            return Problem(
                tank, f"{course.name} runs there already, until {day_words(last)}",
                "break it off with a reason, and it starts again at its first day",
                "course-running",
            )  # fmt: skip
    there = [level for level in room.levels if level.tank == tank and level.on(it.today)]
    never = meeting(course.product, (level.product for level in there))
    if never is not None:
        return never
    others = [level for level in there if level.medicine]
    if course.medicine and others and not (also or course.with_others):
        return Problem(
            tank, f"{others[0].product} is in its water",
            "two medicines at once only where the label allows it: then say --also",
            "two-medicines",
        )  # fmt: skip
    return None if anyway else _rest_refusal(it, course, tank)


def _rest_refusal(it: Doing, course: Course, tank: str) -> Problem | None:
    """Between two courses a rest; one that was broken off may start again at once."""
    for run in it.room.runs:
        ended = last_day(run, steps_of(it.room.course_steps, run.course))
        if run.tank != tank or (run.state == "running" and ended >= it.today):
            continue
        other = next((row for row in it.room.courses if row.code == run.course), course)
        free = ended + timedelta(days=other.rest_days + 1)
        again = run.state == "interrupted" and run.course == course.code
        if not again and it.today < free:
            return Problem(
                tank, f"{other.name} ended on {day_words(ended)}, and {other.rest_days} days "
                "of rest follow", f"begin on {day_words(free)}, or say --anyway", "rest-between",
            )  # fmt: skip
    return None


def _running(it: Doing, tank: str, code: str = "") -> Run | Problem:
    """The course of this code that runs in a tank; without a code the only one."""
    runs = running_in(it.room, tank)
    if not runs:
        return Problem(tank, "no course is running in it", "'roomtasks fish' shows them")
    found = tuple(run for run in runs if run.course == code) if code else runs
    if len(found) == 1:
        return found[0]
    known = ", ".join(sorted(run.course for run in runs))
    if code:
        return Problem(code, f"no such course is running in {tank}", f"there runs: {known}")
    return Problem(tank, f"{len(runs)} courses are running in it", f"say which: {known}",
                   "which-course")  # fmt: skip


def _dosed(it: Doing, tank: str) -> Run | Problem:
    """Of the courses in a tank the first that still has a dose to give today."""
    for run in sorted(it.room.runs, key=lambda run: (run.since, run.code)):
        if run.tank != tank or run.state != "running":
            continue
        days = dose_days(run, steps_of(it.room.course_steps, run.course))
        if it.today in days and it.today not in doses_noted(it.room, run):
            return run
    found = _running(it, tank)
    if isinstance(found, Problem) and found.rule == "which-course":
        return Problem(tank, "none of its courses has a dose to give any more today",
                       "nothing was changed", "no-dose-today")  # fmt: skip
    return found


def _dose_words(today: CourseDay) -> str:
    dose = today.dose
    assert dose is not None
    return f"{dose.amount.value:.4g} {dose.amount.unit} of {dose.product}"
