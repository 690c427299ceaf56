"""A change that was missed: how much the next one is, within the largest of a day.

Never the plain sum of what was missed, but what brings the water to where it
would be (`forecast.catch_up_plan`); above the largest change of a day in equal
parts a day apart, of which the open occurrence is the first. Changes that come
more often than every five days go on as usual: the next ones make up for it.
Does not live here: the days after time away (`away_catch_up`).
"""

from datetime import datetime

from roomtasks.room.body import Body, body_of
from roomtasks.room.forecast import CatchUpPlan, catch_up_plan
from roomtasks.room.job import Job
from roomtasks.room.kind import KINDS
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.trigger import Every, Trigger

SELDOM_DAYS = 5


def made_up(
    room: Room, job: Job, trigger: Trigger, place: str, missed: int, done: float, at: datetime
) -> CatchUpPlan | None:
    """What makes up for missed changes at a tank or system; None where nothing is to be.

    `done` is what was changed of each tank's own water since, in parts.
    """
    often = isinstance(trigger, Every) and trigger.interval.days < SELDOM_DAYS
    if missed < 1 or often or job.fraction is None or not KINDS[job.kind].water:
        return None
    body = body_at(room, place, at)
    if body is None:
        return None
    plan = catch_up_plan(room, body, job.fraction, ratio=missed + 1.0, done=done)
    return None if isinstance(plan, Problem) else plan


def body_at(room: Room, place: str, at: datetime) -> Body | None:
    """The water a tank is part of, or of a system's open tanks; None of any other place."""
    tank = place
    if place in room.system:
        tank = min(room.valve.members(place, at), default="")
    return body_of(room, tank, at) if tank in room.tank else None
