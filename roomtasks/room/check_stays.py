"""Rules between rows for lots kept apart: stays, ticks of a release, courses and their runs."""

from collections.abc import Iterator

from roomtasks.room.column import shown
from roomtasks.room.course import Course
from roomtasks.room.fault import Facts, Fault, unknown
from roomtasks.room.recipe import RATE_UNITS


def stay_faults(facts: Facts) -> Iterator[Fault]:
    """A lot came before others were added to it; ticks belong to a stay."""
    codes = {stay.code for _, stay in facts.rows("stays")}
    for row, stay in facts.rows("stays"):
        if stay.came is not None and stay.came > stay.since:
            yield Fault(
                "stays", row, "came", f"it came on {stay.came}, after the last arrival on "
                f"{stay.since}", "correct one of the two days",
            )  # fmt: skip
    for row, tick in facts.rows("ticks"):
        if tick.stay not in codes:
            yield _missing("ticks", row, "stay", tick.stay, "stays")


def course_faults(facts: Facts) -> Iterator[Fault]:
    """Doses with a unit, a first dose on day 0, and runs of known courses in known tanks."""
    first: dict[str, int] = {}
    courses = {course.code for _, course in facts.rows("courses")}
    for _, step in facts.rows("course_steps"):
        if step.action == "dose":
            first[step.course] = min(step.day, first.get(step.course, step.day))
    for row, course in facts.rows("courses"):
        yield from _dose_faults(row, course)
        if first.get(course.code, 0) > 0:
            yield Fault(
                "courses", row, "code", f"its first dose is on day {first[course.code]}",
                "day 0 of a course is its first dose", ("course_steps",),
            )  # fmt: skip
    for row, step in facts.rows("course_steps"):
        if step.course not in courses:
            yield _missing("course_steps", row, "course", step.course, "courses")
    for row, run in facts.rows("runs"):
        if run.course not in courses:
            yield _missing("runs", row, "course", run.course, "courses")
        if run.tank not in facts.codes("tanks"):
            yield unknown(facts, "runs", row, "tank", run.tank, "tanks")
        if run.ended is not None and run.ended < run.since:
            yield Fault("runs", row, "ended", f"it ended on {run.ended}, before it began on "
                        f"{run.since}", "correct one of the two days")  # fmt: skip


def _dose_faults(row: int, course: Course) -> Iterator[Fault]:
    if course.unit and course.unit not in RATE_UNITS:
        yield Fault("courses", row, "unit", f"“{shown(course.unit)}” is no unit of a dose",
                    "use " + ", ".join(RATE_UNITS))  # fmt: skip
    elif course.amount is not None and not course.unit:
        yield Fault("courses", row, "unit", "the dose has no unit", "give ml, g or drops")
    elif course.amount is not None and not course.product.strip():
        yield Fault("courses", row, "product", "a dose of nothing", "name the product")


def _missing(sheet: str, row: int, column: str, name: str, among: str) -> Fault:
    return Fault(sheet, row, column, f"there is no {column} “{shown(name)}”",
                 f"add it to {among}, or correct it", (among,))  # fmt: skip
