"""The picture of the morning: the room, what is due, the walk, what was done today.

Both front ends show this and nothing they worked out themselves.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from roomtasks.room.day_minutes import minutes_there_are
from roomtasks.room.due import all_due
from roomtasks.room.health import Health
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import Due
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.scope import pasts_wanted, places_of
from roomtasks.room.targets import riskiest_at
from roomtasks.room.walk import Walk, walk
from roomtasks.store import read
from roomtasks.store.base import Store

HANDS = "hands-clean"


@dataclass(frozen=True)
class Picture:
    """Everything a screen needs at one instant."""

    room: Room
    now: datetime
    today: date
    dues: tuple[Due, ...]
    walk: Walk
    marks: tuple[Mark, ...]
    touched: Health | None

    @cached_property
    def due(self) -> dict[str, Due]:
        return {due.id: due for due in self.dues}

    @cached_property
    def at_tank(self) -> dict[str, tuple[Due, ...]]:
        found: dict[str, list[Due]] = {}
        for due in self.dues:
            found.setdefault(due.tank or due.target, []).append(due)
        return {place: tuple(dues) for place, dues in found.items()}


def picture(
    store: Store, now: datetime, minutes: float | None = None, near: Iterable[str] | None = None
) -> Picture | Problem:
    """The picture at an instant; `minutes` overrides those of the weekday.

    With `near`, what is due is worked out only at these targets and where a
    rule ties other jobs to them: enough to mark, not to walk.
    """
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        today = room.day_at(now)
        places = None if near is None else places_of(room, near)
        pasts = read.pasts(store, pasts_wanted(room, now, places))
        dues = all_due(room, pasts, now, places)
        on_walk = [(due.job.code, due.target) for due in dues if due.on_walk]
        there_are = minutes_there_are(room, today) if minutes is None else minutes
        planned = walk(room, dues, read.times(store, on_walk), there_are, pasts)
        marks = tuple(read.marks_on(store, today))
    return Picture(room, now, today, dues, planned, marks, touched_class(room, today, marks))


def touched_class(room: Room, today: date, marks: Iterable[Mark]) -> Health | None:
    """The riskiest class touched today since hands and gear were last said to be clean."""
    clean = max(
        (
            event.act or 0
            for event in room.events_at.get("room", ())
            if event.event == HANDS and event.day == today
        ),
        default=0,
    )
    classes = [
        health
        for mark in marks
        if mark.outcome in ("done", "partly")
        and (mark.act or 0) >= clean
        and (health := riskiest_at(room, mark.target, today)) is not None
    ]
    return max(classes, default=None)
