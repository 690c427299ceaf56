"""Courses of medicine, heat or fasting as the keeper typed them, and where they were given.

Day 0 of a course is its first dose. Rates are the label's; no dose is made up
here, and none of this is veterinary advice. A run is a course in a tank from a
day on; one that was broken off starts again at its first day. What a run does on
a day is in `course_days`.
"""

from dataclasses import dataclass
from datetime import date

from roomtasks.room.column import Sheet, column

ACTIONS = (
    "dose", "change", "carbon-out", "carbon-in", "fast", "heat", "light-off", "air",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What a label or a vet orders, in the keeper's own figures."""

    code: str = column("code", "the course's code")
    name: str = column("text", "what the keeper calls it")
    product: str = column("text", "what is dosed; blank: nothing is", default="")
    amount: float | None = column(
        "number", "so much of it, from the label", low=0.000001, high=100000, default=None
    )
    unit: str = column("text", "of what: ml, g or drops", default="")
    per_litres: float = column(
        "number", "for so many litres", unit="L", low=0.001, high=1000000, default=1.0
    )
    medicine: bool = column("yesno", "no where it hides no signs", default=True)
    with_others: bool = column("yesno", "the label allows another medicine with it", default=False)
    rest_days: int = column(
        "int", "days of rest after a course before the next", low=0, high=400, default=7
    )
    caution: str = column("text", "the label's caution", default="")
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseStep:
    """One action on one day of a course. A change comes before the dose of its day."""

    course: str = column("code", "the course")
    day: int = column("int", "day of the course, its first dose is day 0", low=0, high=400)
    action: str = column("word", "what is done", words=ACTIONS)
    share: float | None = column(
        "number", "share of the water changed, or of the label's dose", low=0.01, high=5,
        default=None,
    )  # fmt: skip
    celsius: float | None = column(
        "number", "temperature to heat to", unit="C", low=5, high=45, default=None
    )
    note: str = column("text", "a note", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A course in a tank from a day on. `ended` is its last day, once it is over."""

    code: str = column("code", "the run's code")
    course: str = column("code", "the course")
    tank: str = column("code", "the tank")
    since: date = column("day", "its day 0")
    state: str = column(
        "word", "how it stands", words=("running", "ended", "interrupted"), default="running"
    )
    ended: date | None = column("day", "its last day, once over", default=None)
    note: str = column("text", "why it was broken off, or a note", default="")


COURSES = Sheet("courses", Course, ("code",), "Courses as the keeper typed them from a label.")
COURSE_STEPS = Sheet("course_steps", CourseStep, ("course", "day", "action"),
                     "What is done on each day of a course.")  # fmt: skip
RUNS = Sheet("runs", Run, ("code",), "Courses given in tanks.", history=True)
