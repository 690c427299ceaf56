"""Troubles as they stand, from one look at the store: what both front ends show.

Ready words, clocks and steps come from `room.trouble`; here is gathered what
they are made from.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime

from roomtasks.room.change import plan_change
from roomtasks.room.day import day_start
from roomtasks.room.met import Reached, reached_from
from roomtasks.room.pin import Trouble
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import within
from roomtasks.room.readings import Readings
from roomtasks.room.room import Room
from roomtasks.room.trouble import TroublePlan, matters, trouble_plan
from roomtasks.room.trouble_clock import WEAK_AFTER_HOURS, Told
from roomtasks.room.trouble_steps import Step
from roomtasks.room.water_plan import ChangePlan, WhatIf
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.brood_view import judging_of
from roomtasks.work.met import LOOK_BACK, history_of
from roomtasks.work.water_view import water_scene

READ_DAYS, READ_EACH = 60, 50  # every reading of a trouble, not only the newest few


@dataclass(frozen=True, kw_only=True)
class TroublesView:
    """The troubles that are open, and those lately over that still say something."""

    room: Room
    now: datetime
    today: date
    open: tuple[TroublePlan, ...]
    recent: tuple[TroublePlan, ...]

    @property
    def plans(self) -> tuple[TroublePlan, ...]:
        return (*self.open, *self.recent)

    @property
    def steps_now(self) -> tuple[tuple[TroublePlan, Step], ...]:
        """Every step that is to be done now, of every trouble."""
        return tuple((plan, step) for plan in self.plans for step in plan.today)


def troubles_view(
    store: Store, now: datetime, weak_after_hours: float = WEAK_AFTER_HOURS
) -> TroublesView | Problem:
    """The troubles at an instant; filters that stood longer than the hours count as weakened."""
    fault = within("idle hours", weak_after_hours, 0, 240, "h")
    if fault is not None:
        return fault
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        there = [trouble for trouble in room.troubles if matters(room, trouble, now)]
        plans = [
            trouble_plan(room, trouble, now, _told(store, room, trouble, now, weak_after_hours))
            for trouble in sorted(there, key=lambda t: (t.began, t.code))
        ]
    made = [plan for plan in plans if isinstance(plan, TroublePlan)]
    return TroublesView(
        room=room, now=now, today=room.day_at(now),
        open=tuple(plan for plan in made if plan.open),
        recent=tuple(plan for plan in made if not plan.open),
    )  # fmt: skip


def _told(store: Store, room: Room, trouble: Trouble, now: datetime, weak_after: float) -> Told:
    """What is known besides the room, as far as this sort of trouble asks for it."""
    judging = judging_of(store, room, now)
    return replace(
        told_of_steps(store, room, trouble, now),
        lengths=judging.lengths, celsius=judging.celsius, to_strip=judging.to_strip,
        water=_water(store, now) if trouble.sort == "reservoir" else None,
        weak_after_hours=weak_after,
    )  # fmt: skip


def told_of_steps(store: Store, room: Room, trouble: Trouble, now: datetime) -> Told:
    """What decides which steps there are, and which of them are done."""
    readings = read.newest_readings(
        store, days=READ_DAYS, each=READ_EACH, until=room.day_at(now)
    )  # fmt: skip
    outbreak = trouble.sort == "outbreak"
    return Told(
        readings=Readings.of(readings),
        reached=reached_by(store, room, trouble.target, trouble.began, now) if outbreak else None,
    )


def reached_by(store: Store, room: Room, tank: str, began: datetime, now: datetime) -> Reached:
    """Whom a tank could have reached, from 30 days before an outbreak began until now."""
    first = day_start(room.day_at(began) - LOOK_BACK, room.zone, room.day_starts)
    return reached_from(history_of(store, room), tank, first, max(now, began))


def _water(store: Store, now: datetime) -> ChangePlan | None:
    """The plan of the change of the day the trouble is on, else of the next one."""
    scene = water_scene(store, now)
    if isinstance(scene, Problem):
        return None
    found = plan_change(scene, WhatIf())
    return None if isinstance(found, Problem) else found
