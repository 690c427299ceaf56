"""Today by the plan of the weeks, as a page."""

import textwrap
from collections.abc import Iterable

from roomtasks.room.ahead_plan import PlannedJob
from roomtasks.room.plan_today import PlanToday
from roomtasks.room.why import day_words
from roomtasks.tui.signs import Signs, clean
from roomtasks.tui.widgets.lines_view import Row


def plan_rows(plan: PlanToday, signs: Signs, width: int) -> list[Row]:
    """What is planned for today, overdue, may wait, could come forward."""
    day = plan.day
    rows = _wrapped(f"Planned for today: {day.minutes:.0f} of {day.minutes_there_are:.0f} min",
                    width, "head")  # fmt: skip
    late = {job.id for job in day.overdue}
    rows += _jobs((job for job in day.jobs if job.id in late), signs.late, "overdue", width, "late")
    rows += _jobs((job for job in day.jobs if job.id not in late), signs.open, "", width)
    if plan.later:
        rows += _wrapped("Due, and planned for a later day: may wait", width, "head")
        for job in plan.later:
            text = f"{signs.off} {_place(job)} {job.name}: {day_words(job.day)}"
            rows += _wrapped(text, width, "quiet")
    rows += _wrapped(f"Could come forward into the {plan.free_minutes:.0f} min left", width, "head")
    for job in plan.forward:
        text = f"{signs.open} {_place(job)} {job.name}: {job.minutes:.0f} min, planned for "
        rows += _wrapped(text + day_words(job.day), width)
    return rows if plan.forward else [*rows, Row("Nothing.", "quiet")]


def _jobs(
    jobs: Iterable[PlannedJob], sign: str, word: str, width: int, weight: str = ""
) -> list[Row]:
    rows: list[Row] = []
    for job in jobs:
        tail = f", {word}" if word else ""
        litres = f", {job.litres:.0f} L" if job.litres else ""
        text = f"{sign} {_place(job)} {job.name}: {job.minutes:.0f} min{litres}{tail}"
        rows += _wrapped(text, width, weight)
    return rows


def _place(job: PlannedJob) -> str:
    return job.tank or job.target


def _wrapped(text: str, width: int, weight: str = "") -> list[Row]:
    lines = textwrap.wrap(clean(text), max(10, width - 2), subsequent_indent="    ")
    return [Row(line, weight) for line in lines]
