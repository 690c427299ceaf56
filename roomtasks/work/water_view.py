"""The plan of a change, from one look at the store.

Both front ends show this and nothing they worked out themselves. What a plan
is, and how it is made, is the room's business (`room.change`).
"""

from datetime import datetime

from roomtasks.room.change import WaterScene, plan_change
from roomtasks.room.due import all_due
from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.scope import pasts_wanted
from roomtasks.room.water_plan import ChangePlan, WhatIf
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.water_marks import LOOK_BACK, TOP_OFF, tops_unread

AS_PLANNED = WhatIf()


def water_view(
    store: Store, now: datetime, what_if: WhatIf = AS_PLANNED
) -> ChangePlan | Problem:  # fmt: skip
    """The plan of the change that is asked for, as the room stands at an instant.

    A Problem where there is no room, or what was asked cannot be.
    """
    scene = water_scene(store, now)
    return scene if isinstance(scene, Problem) else plan_change(scene, what_if)


def water_scene(store: Store, now: datetime) -> WaterScene | Problem:
    """All that a plan of water is made from, read at one instant."""
    with store.reading():
        room = read.room(store)
        if isinstance(room, Problem):
            return room
        today = room.day_at(now)
        pasts = read.pasts(store, pasts_wanted(room, now, None))
        dues = tuple(all_due(room, pasts, now, None))
        readings = Readings.of(read.newest_readings(store, until=today))
        marks = [mark for mark in read.water_marks(store, today - LOOK_BACK) if mark.day <= today]
    kinds = {job.code: job.kind for job in room.jobs}
    return WaterScene(
        room=room, dues=dues, now=now, readings=readings,
        changes=tuple(mark for mark in marks if kinds.get(mark.job) != TOP_OFF),
        tops=tops_unread(room, marks, readings),
    )  # fmt: skip


def cautions(plan: ChangePlan) -> tuple[str, ...]:
    """What to mind at this change: plugs, heaters, weights and chemicals, where they come in."""
    kinds = []
    if plan.bodies:
        kinds += ["change", "pump", "move"]
    if any(batch.added_litres for batch in plan.batches):
        kinds.append("fill")
    dosed = any(batch.doses for batch in plan.batches) or any(
        draw.doses for demand in plan.demands for draw in demand.draws
    )
    if dosed:
        kinds.append("treat")
    return tuple(KINDS[kind].caution for kind in kinds)
