"""The walk seen by the plan of the weeks, or by the short walk: what each line says besides."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from roomtasks.room.fit import Fitted
from roomtasks.room.occurrence import State
from roomtasks.room.walk import Stop
from roomtasks.room.why import day_words
from roomtasks.work.picture import Picture

if TYPE_CHECKING:
    from roomtasks.room.ahead_plan import PlannedJob
    from roomtasks.room.plan_today import PlanToday


@dataclass(frozen=True, slots=True)
class Aside:
    """What is said of a line as it waits: at the line, and in hand. `leaves`: it may be left."""

    short: str
    whole: str
    leaves: bool = True


def left_out(fitted: Fitted) -> dict[str, Aside]:
    """What the short walk leaves, with what that costs."""
    costs = {out.stop.due.id: out.cost for out in fitted.left}
    return {
        name: Aside(cost.partition(",")[0], f"Left out of the short walk: {cost}.")
        for name, cost in costs.items()
    }


def plan_asides(plan: "PlanToday", seen: Picture) -> dict[str, Aside]:
    """What may wait, and what could come forward."""
    found = {}
    for job in plan.later:
        day = day_words(job.day)
        found[job.id] = Aside(f"may wait to {day}", f"By the plan this may wait to {day}.")
    for job in _ahead(plan.day.jobs, seen):
        due = day_words(job.slot)
        found[job.id] = Aside(f"due {due}", f"The plan has it today; it is due {due}.", False)
    for job in _ahead(plan.forward, seen):
        day = day_words(job.day)
        found[job.id] = Aside(
            f"from {day}", f"It could come forward into the minutes left; planned for {day}.", False
        )
    return found


def stops_ahead(plan: "PlanToday", seen: Picture) -> tuple[Stop, ...]:
    """Jobs of the plan that are not due yet and may be done today; they follow the walk."""
    jobs = (*_ahead(plan.day.jobs, seen), *_ahead(plan.forward, seen))
    return tuple(Stop(seen.due[job.id], job.minutes) for job in jobs)


def plan_words(plan: "PlanToday", seen: Picture) -> str:
    """What the plan comes to, in a sentence."""
    ahead = len(stops_ahead(plan, seen))
    said = [f"{len(plan.later)} may wait, in grey"] if plan.later else ["nothing due may wait"]
    said += [f"{ahead} not due yet could be done, at the end"] if ahead else []
    return f"By the plan: {'; '.join(said)}. + shows all."


def _ahead(jobs: Iterable["PlannedJob"], seen: Picture) -> Iterator["PlannedJob"]:
    """Those open for today, not due, and not marked since."""
    from roomtasks.room.ahead_plan import KEEPER

    marked = {f"{mark.job}@{mark.target}" for mark in seen.marks}
    for job in jobs:
        due = seen.due.get(job.id) if job.id not in marked else None
        if due is not None and due.state is State.OPEN and job.n == 0 and job.by == KEEPER:
            yield job
