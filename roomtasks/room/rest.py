"""When a job sleeps because its tank is empty of fish."""

from datetime import datetime

from roomtasks.room.job import Job
from roomtasks.room.kind import KINDS
from roomtasks.room.room import Room


def rests_when_empty(room: Room, job: Job, target: str, at: datetime) -> bool:
    """Whether a job at this target rests while no fish is in the tank.

    A tank open to a system still holds the system's water, so its change goes
    on though it is empty.
    """
    kind, tank = KINDS[job.kind], room.tank_of(target)
    if not kind.rests_when_empty or not tank:
        return False
    return not (kind.code == "change" and room.valve.open_to(tank, at) is not None)


def resting(room: Room, job: Job, target: str, at: datetime) -> bool:
    """Whether the job sleeps at this instant."""
    tank = room.tank_of(target)
    return rests_when_empty(room, job, target, at) and not room.lived_in(tank)
