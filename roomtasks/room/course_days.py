"""What a course does on each day: doses for the litres, holds, and the level it keeps up.

Rates are the label's, typed by the keeper; no dose is made up here, and none of
this is veterinary advice. Pure: the facts are in `course`, the acts in `work`.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from roomtasks.room.course import Course, CourseStep, Run
from roomtasks.room.dosing import straight_from_tap
from roomtasks.room.job import Hold
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.recipe import RATE_UNITS, Rate
from roomtasks.room.room import Room
from roomtasks.room.treatment import Level
from roomtasks.room.water_plan import Dose

DOSE_EVENTS = ("dose", "added")  # of medicine, and of salt and the like
FILTER_REST_DAYS = 7  # after the last dose; common practice, no published source
NO_ADVICE = "This program counts days and litres; it is no veterinary advice."
NEVER_TOGETHER = (("permanganat", "formal", "an explosive mix"),)  # safety data, 7722-64-7
_VERBS = {
    "carbon-out": "carbon out", "carbon-in": "carbon back in", "fast": "no food",
    "light-off": "light off", "air": "extra air",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseDay:
    """One day of a run: its number, what is done in words, and the dose with its sum."""

    number: int
    day: date
    words: tuple[str, ...]
    dose: Dose | None = None


def steps_of(steps: Iterable[CourseStep], course: str) -> tuple[CourseStep, ...]:
    """The steps of a course by day, in the order they are done on a day."""
    ours = [step for step in steps if step.course == course]
    order = {"change": -1}
    return tuple(
        sorted(ours, key=lambda step: (step.day, order.get(step.action, 0), step.action))
    )  # fmt: skip


def last_day(run: Run, steps: Sequence[CourseStep]) -> date:
    """The last day of a run: when it ended, else as its course has it."""
    if run.ended is not None:
        return run.ended
    return run.since + timedelta(days=max((step.day for step in steps), default=0))


def dose_days(run: Run, steps: Sequence[CourseStep]) -> tuple[date, ...]:
    """Days on which the run doses, none after the day it ended."""
    days = (run.since + timedelta(days=step.day) for step in steps if step.action == "dose")
    return tuple(day for day in days if run.ended is None or day <= run.ended)


def doses_counted(
    run: Run, steps: Sequence[CourseStep], noted: Iterable[date], today: date
) -> tuple[date, ...]:
    """Dose days of a run that were given or are still to come: a missed one is no dose.

    Where none of a run is noted at all, the book was begun after it: then all count.
    """
    days, known = dose_days(run, steps), set(noted)
    if not known.intersection(days):
        return days
    return tuple(day for day in days if day in known or (day >= today and run.state == "running"))


def missed_doses(
    run: Run, steps: Sequence[CourseStep], given: Iterable[date], today: date
) -> tuple[date, ...]:
    """Dose days gone by on which no dose was noted: the course counts as broken off."""
    noted = set(given)
    return tuple(day for day in dose_days(run, steps) if day < today and day not in noted)


def doses_noted(room: Room, run: Run) -> frozenset[date]:
    """Days on which a dose of a run is noted in its tank.

    Where other courses run there too, a dose that names the product of one of
    them is not this one's.
    """
    product = {course.code: course.product for course in room.courses}
    mine = product.get(run.course, "")
    others = {
        product.get(other.course, "") for other in room.runs
        if other.tank == run.tank and other.course != run.course
    } - {mine, ""}  # fmt: skip
    return frozenset(
        event.day
        for event in room.events_at.get(run.tank, ())
        if event.event in DOSE_EVENTS
        and not any(event.note.endswith(f" of {name}") for name in others)
    )


def day_of_run(
    run: Run, course: Course, steps: Sequence[CourseStep], litres: float, day: date
) -> CourseDay | Problem:
    """What a run does on one day, doses worked out for the litres of the tank."""
    number = (day - run.since).days
    words, dose = [], None
    for step in steps:
        if step.day != number:
            continue
        if step.action == "dose":
            found = dose_of(course, step, litres, run.tank)
            if isinstance(found, Problem):
                return found
            dose = found
            words.append(f"{found.amount.value:.4g} {found.amount.unit} of {course.product}")
        else:
            words.append(step_words(step))
    if dose is not None and any(step.day == number and step.action == "change" for step in steps):
        dose = replace(dose, why="after the change, and no part dose besides")
    return CourseDay(number=number, day=day, words=tuple(words), dose=dose)


def doses_today(room: Room, tank: str, day: date) -> tuple[str, ...]:
    """What courses running in a tank dose on a day and is not noted yet, with their cautions."""
    found = []
    for run in room.runs:
        if run.tank != tank or run.state != "running" or day in doses_noted(room, run):
            continue
        course = next(row for row in room.courses if row.code == run.course)
        steps = steps_of(room.course_steps, run.course)
        today = day_of_run(run, course, steps, room.tank_litres(tank), day)
        if isinstance(today, CourseDay) and today.dose is not None:
            words = f"{today.dose.amount.value:.4g} {today.dose.amount.unit} of {course.product}"
            found.append(f"{words} ({course.caution})" if course.caution else words)
    return tuple(found)


def doses_of(room: Room, due: Due, day: date) -> tuple[str, ...]:
    """The doses of the day that a due job stands for; none where it is no dose at a tank."""
    return doses_today(room, due.tank, day) if due.job.kind == "dose" and due.tank else ()


def dose_of(course: Course, step: CourseStep, litres: float, tank: str = "") -> Dose | Problem:
    """The label's rate times the step's share for the litres of a tank.

    Refuses a course without an amount or unit, and litres that are none.
    """
    fault = rate_fault(course)
    if fault is not None:
        return fault
    share = 1.0 if step.share is None else step.share
    rate = Rate(
        recipe=course.code, product=course.product, amount=share * (course.amount or 0.0),
        unit=course.unit, per_litres=course.per_litres, when="fill", caution=course.caution,
    )  # fmt: skip
    found = straight_from_tap([rate], litres, tank)
    if isinstance(found, Problem):
        return found
    part = "the label's dose" if share == 1 else f"{100 * share:g} % of the label's dose"
    return replace(found[0], why=f"{part} for the whole tank")


def rate_fault(course: Course) -> Problem | None:
    """Why no dose follows from a course, None where one does."""
    if not course.product.strip() or course.amount is None:
        return Problem(course.code, "its product or amount is not typed", "read the label")
    if course.unit not in RATE_UNITS:
        what = f"“{course.unit[:20]}” is no unit" if course.unit else "the dose has no unit"
        return Problem(f"{course.code} unit", what, "give " + ", ".join(RATE_UNITS))
    return None


def dose_due(
    runs: Iterable[Run], courses: Iterable[Course], steps: Sequence[CourseStep], level: Level,
    litres: float, day: date,
) -> Dose | Problem | None:  # fmt: skip
    """The course's own dose of a level's product on a day, None where none is due.

    Given after a change of that day, in place of what the change took out.
    """
    known = {course.code: course for course in courses}
    for run in runs:
        course = known.get(run.course)
        if run.tank != level.tank or course is None or course.product != level.product:
            continue
        if day not in dose_days(run, steps_of(steps, run.course)):
            continue
        number = (day - run.since).days
        step = next(
            step for step in steps_of(steps, run.course)
            if step.day == number and step.action == "dose"
        )  # fmt: skip
        found = dose_of(course, step, litres, run.tank)
        if isinstance(found, Problem):
            return found
        return replace(found, why="the course's dose of the day, after the change, and no part "
                       "dose besides")  # fmt: skip
    return None


def level_of(run: Run, course: Course, steps: Sequence[CourseStep]) -> Level | None:
    """What the run keeps dissolved, so that a change is dosed again for the part replaced."""
    shares = [step.share or 1.0 for step in steps if step.action == "dose"]
    if not shares or course.amount is None:
        return None
    return Level(
        tank=run.tank, product=course.product, since=run.since,
        per_litre=max(shares) * course.amount / course.per_litres, unit=course.unit,
        until=last_day(run, steps), medicine=course.medicine, note=f"course {run.code}",
    )  # fmt: skip


def holds_of(run: Run, course: Course, steps: Sequence[CourseStep]) -> tuple[Hold, ...]:
    """Jobs a run rules out: the filter until 7 days after its last dose, food on fast days."""
    found = []
    doses = dose_days(run, steps)
    if doses and course.medicine:
        found.append(
            Hold(
                code=f"{run.code}-filter", target=run.tank, kinds="filter media",
                cause="medicine", since=run.since,
                reason=f"{course.name}: the filter rests until {FILTER_REST_DAYS} days after the "
                "last dose", until=max(doses) + timedelta(days=FILTER_REST_DAYS - 1),
            )
        )  # fmt: skip
    fasts = sorted(step.day for step in steps if step.action == "fast")
    for number, (first, last) in enumerate(_spans(fasts), start=1):
        found.append(
            Hold(
                code=f"{run.code}-fast{number}", target=run.tank, kinds="feed feed-fry",
                reason=f"{course.name}: no food", since=run.since + timedelta(days=first),
                until=run.since + timedelta(days=last),
            )
        )  # fmt: skip
    return tuple(found)


def _spans(days: Iterable[int]) -> Iterator[tuple[int, int]]:
    first = last = None
    for day in days:
        if first is None or last is None or day > last + 1:
            if first is not None and last is not None:
                yield first, last
            first = day
        last = day
    if first is not None and last is not None:
        yield first, last


def meeting(product: str, others: Iterable[str]) -> Problem | None:
    """Two things that must never meet, by name."""
    for other in others:
        for one, two, why in NEVER_TOGETHER:
            pair = product.casefold(), other.casefold()
            if (one in pair[0] and two in pair[1]) or (two in pair[0] and one in pair[1]):
                return Problem(
                    product, f"never with {other}: {why}",
                    "end the other, change the water whole", "never-together",
                )  # fmt: skip
    return None


def step_words(step: CourseStep) -> str:
    """What a step that is no dose asks for."""
    if step.action == "change":
        return f"change {100 * (step.share or 0.0):g} %" if step.share else "change a part"
    if step.action == "heat":
        return f"heat to {step.celsius:g} C" if step.celsius is not None else "heat"
    return _VERBS[step.action]
