"""The weeks ahead, from one look at the store, and the days the keeper pins."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from roomtasks.room.ahead_nitrate import NitrateScene
from roomtasks.room.ahead_plan import Ahead, WhatIfAhead
from roomtasks.room.ahead_replay import Replay, replay
from roomtasks.room.due import all_due
from roomtasks.room.naming import id_said
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Pasts
from roomtasks.room.pin import Pin
from roomtasks.room.plan_ahead import NO_PINS, plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.scope import pasts_wanted
from roomtasks.room.walk import Times
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.fish import Doing, Told, doing
from roomtasks.work.water_marks import LOOK_BACK

AS_IT_IS = WhatIfAhead()


@dataclass(frozen=True, slots=True, kw_only=True)
class AheadScene:
    """All that a plan of the weeks is made from, read at one instant.

    `morning` is what the journal knew before the marks of today, where there are some.
    """

    room: Room
    now: datetime
    dues: Sequence[Due]
    pasts: Pasts
    times: Times
    morning: Pasts | None = None

    @property
    def today(self) -> date:
        return self.room.day_at(self.now)

    def same(self, other: "AheadScene") -> bool:
        """Whether plans made from the other are plans of this one too."""
        return (self.today, self.dues, self.pasts, self.times, self.room) == (
            other.today, other.dues, other.pasts, other.times, other.room
        )  # fmt: skip


def scene(store: Store, now: datetime) -> AheadScene | Problem:
    """What plans are made from; `planned` needs no store."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        pasts = read.pasts(store, pasts_wanted(room, now, None))
        dues = all_due(room, pasts, now)
        times = read.times(store, [(due.job.code, due.target) for due in dues])
        morning = _morning(store, pasts, room.day_at(now))
    return AheadScene(room=room, now=now, dues=dues, pasts=pasts, times=times, morning=morning)


def _morning(store: Store, pasts: Pasts, today: date) -> Pasts | None:
    """The pasts without the marks of today; None where there are none of today."""
    marked = [
        task for task, past in pasts.items()
        if any(mark is not None and mark.day >= today for mark in (past.closing, *past.since))
    ]  # fmt: skip
    if not marked:
        return None
    others = {task: past for task, past in pasts.items() if task not in set(marked)}
    return {**others, **read.pasts(store, marked, before=today)}


def planned(
    seen: AheadScene, days: int, what_if: WhatIfAhead = AS_IT_IS,
    pins: Mapping[str, date] = NO_PINS, last: Ahead | None = None,
) -> Ahead | Problem:  # fmt: skip
    """The plan of so many days from today, with the keeper's pins kept and `pins` besides.

    Days of `last` are kept where they still do; without it those the day began with, so
    that marking a job turns no weeks round.
    """
    known = last if last is not None else _began_with(seen, days, what_if)
    return plan_ahead(seen.room, seen.dues, seen.pasts, seen.now, days, pins, what_if,
                      seen.times, known)  # fmt: skip


def _began_with(seen: AheadScene, days: int, what_if: WhatIfAhead) -> Ahead | None:
    """The plan as it was before the first mark of today; None where nothing was marked."""
    if seen.morning is None:
        return None
    dues = all_due(seen.room, seen.morning, seen.now)
    found = plan_ahead(seen.room, dues, seen.morning, seen.now, days, what_if=what_if,
                       times=seen.times)  # fmt: skip
    return None if isinstance(found, Problem) else found


def replay_view(
    store: Store, now: datetime, days: int, what_if: WhatIfAhead
) -> Replay | Problem:  # fmt: skip
    """So many days as they are and as asked, with the nitrate both lead to."""
    with store.reading():
        seen = scene(store, now)
        if isinstance(seen, Problem):
            return seen
        readings = Readings.of(read.newest_readings(store, until=seen.today))
        marks = read.water_marks(store, seen.today - LOOK_BACK)
    changes = tuple(mark for mark in marks if mark.day <= seen.today)
    water = NitrateScene(room=seen.room, now=now, readings=readings, changes=changes)
    last = _began_with(seen, days, AS_IT_IS)
    return replay(water, seen.dues, seen.pasts, days, what_if, seen.times, last)


def ahead_view(
    store: Store, now: datetime, days: int, what_if: WhatIfAhead = AS_IT_IS
) -> Ahead | Problem:
    """The plan of so many days from today, with the keeper's pins kept."""
    seen = scene(store, now)
    return seen if isinstance(seen, Problem) else planned(seen, days, what_if)


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
                           "'roomtasks ahead' lists the names",
                           named=id_said(it.room.job, name))  # fmt: skip
        if day < it.today:
            return Problem(name, f"{day_words(day)} is past", "give today or a later day",
                           named=due.said)  # fmt: skip
        if not anyway and not due.opens <= day <= due.closes:
            return Problem(
                name, f"{day_words(day)} is outside its window, {day_words(due.opens)} to "
                f"{day_words(due.closes)}", "give a day inside it, or say --anyway", "window",
                due.said,
            )  # fmt: skip
        away = next((a for a in it.room.away if a.first <= day <= a.last), None)
        if away is not None and not anyway and not due.job.stand_in:
            return Problem(name, f"the keeper is away on {day_words(day)}",
                           "give another day, or say --anyway", "away", due.said)  # fmt: skip
        it.writer.put("pins", Pin(job=job, target=target, slot=due.slot.day, day=day))
        return f"{due.said} kept on {day_words(day)}"

    return doing(store, now, who, "pin", do)


def unpin(store: Store, now: datetime, who: str, name: str) -> Told | Problem:
    """Let the plan choose the day again."""
    job, _, target = name.partition("@")

    def do(it: Doing) -> str | Problem:
        if not any((p.job, p.target) == (job, target) for p in it.room.pins):
            return Problem(name, "no day is kept for it", "nothing was changed", "no-change",
                           id_said(it.room.job, name))  # fmt: skip
        it.writer.remove("pins", [job, target])
        return f"{id_said(it.room.job, name)}: the plan chooses its day again"

    return doing(store, now, who, "unpin", do)
