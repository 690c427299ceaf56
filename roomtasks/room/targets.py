"""From a job's place in words to the targets it means at an instant."""

from collections.abc import Container, Iterator
from datetime import date, datetime
from functools import lru_cache

from roomtasks.room.health import Health
from roomtasks.room.job import Job
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.where import Where, parse_where

_read = lru_cache(maxsize=4096)(parse_where)


def tasks(room: Room, at: datetime) -> Iterator[tuple[Job, str]]:
    """Every active job at every target it means at this instant, in the room's order."""
    for job in room.jobs:
        if job.active:
            for target in targets(room, job, at):
                yield job, target


def targets(room: Room, job: Job, at: datetime) -> tuple[str, ...]:
    """The targets of one job at an instant, () where its place means none."""
    where = _read(job.where)
    return () if isinstance(where, Problem) else resolve(room, where, at)


def where_of(job: Job) -> Where | Problem:
    """The job's place as a value."""
    return _read(job.where)


def class_at(room: Room, target: str, day: date) -> Health | None:
    """The health class a target is walked in; None where hands touch no tank's water.

    A rack is of the class of its cleanest tank, though never of the fry. Whoever
    has worked there has touched its riskiest (`riskiest_at`).
    """
    classes = _classes(room, target, day)
    if room.tank_of(target):
        return classes[0]
    return max(Health.CLEAN, min(classes)) if classes else None


def riskiest_at(room: Room, target: str, day: date) -> Health | None:
    """The riskiest health class that hands have touched after work there; None for no tank's."""
    return max(_classes(room, target, day), default=None)


def _classes(room: Room, target: str, day: date) -> list[Health]:
    tank = room.tank_of(target)
    if tank:
        return [room.health_of(tank, day)]
    return [room.health_of(tank.code, day) for tank in room.tanks if tank.rack == target]


def resolve(room: Room, where: Where, at: datetime) -> tuple[str, ...]:
    """The codes a place means at an instant."""
    if where.thing == "room":
        return ("room",)
    if where.scope == "named":
        known: Container[str] = {
            "system": room.system.keys(),
            "reservoir": room.reservoir.keys(),
            "tank": room.tank.keys(),
            "filter": room.filter.keys(),
            "rack": {rack.code for rack in room.racks},
        }[where.thing]
        return tuple(name for name in where.names if name in known)
    chosen = _tanks(room, where, at)
    if where.thing == "tank":
        return tuple(tank.code for tank in room.tanks if tank.code in chosen)
    return tuple(item.code for item in room.filters if item.tank in chosen)


def _tanks(room: Room, where: Where, at: datetime) -> frozenset[str]:
    name = where.names[0] if where.names else ""
    match where.scope:
        case "rack":
            return frozenset(tank.code for tank in room.tanks if tank.rack == name)
        case "system":
            return room.valve.members(name, at)
        case "cut-off":
            return room.valve.cut_off(name, at)
        case "role":
            return frozenset(tank.code for tank in room.tanks if tank.role == name)
        case "alone":
            return frozenset(tank.code for tank in room.tanks if not room.valve.last(tank.code, at))
        case "tank":
            return frozenset((name,))
        case _:
            return frozenset(room.tank)
