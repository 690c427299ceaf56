"""The weeks ahead, from one look at the store, and the days the keeper pins."""

from datetime import date, datetime

from roomtasks.room.ahead_plan import Ahead, WhatIfAhead
from roomtasks.room.due import all_due
from roomtasks.room.pin import Pin
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.scope import pasts_wanted
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing

AS_IT_IS = WhatIfAhead()


def ahead_view(
    store: Store, now: datetime, days: int, what_if: WhatIfAhead = AS_IT_IS
) -> Ahead | Problem:
    """The plan of so many days from today, with the keeper's pins kept."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        pasts = read.pasts(store, pasts_wanted(room, now, None))
        dues = all_due(room, pasts, now)
        times = read.times(store, [(due.job.code, due.target) for due in dues])
    return plan_ahead(room, dues, pasts, now, days, what_if=what_if, times=times)


def pin(
    store: Store, now: datetime, who: str, name: str, day: date, anyway: bool = False
) -> Told | Problem:
    """Keep the open occurrence of a job on a day, inside its window unless `anyway`."""
    job, _, target = name.partition("@")

    def do(it: Doing) -> str | Problem:
        pasts = read.pasts(it.writer.store, pasts_wanted(it.room, it.now, None))
        due = next((due for due in all_due(it.room, pasts, it.now) if due.id == name), None)
        if due is None:
            return Problem(name, "no such job is open or to come there",
                           "'roomtasks ahead' lists the names")  # fmt: skip
        if day < it.today:
            return Problem(name, f"{day.isoformat()} is past", "give today or a later day")
        if not anyway and not due.opens <= day <= due.closes:
            return Problem(
                name, f"{day_words(day)} is outside its window, {day_words(due.opens)} to "
                f"{day_words(due.closes)}", "give a day inside it, or say --anyway", "window",
            )  # fmt: skip
        away = next((a for a in it.room.away if a.first <= day <= a.last), None)
        if away is not None and not anyway and not due.job.stand_in:
            return Problem(name, f"the keeper is away on {day_words(day)}",
                           "give another day, or say --anyway", "away")  # fmt: skip
        it.writer.put("pins", Pin(job=job, target=target, slot=due.slot.day, day=day))
        return f"{due.job.name} at {target} kept on {day_words(day)}"

    return doing(store, now, who, "pin", do)


def unpin(store: Store, now: datetime, who: str, name: str) -> Told | Problem:
    """Let the plan choose the day again."""
    job, _, target = name.partition("@")

    def do(it: Doing) -> str | Problem:
        if not any((p.job, p.target) == (job, target) for p in it.room.pins):
            return Problem(name, "no day is kept for it", "nothing was changed", "no-change")
        it.writer.remove("pins", [job, target])
        return f"{name}: the plan chooses its day again"

    return doing(store, now, who, "unpin", do)
