"""Which tasks must be looked at together when only some places are asked about.

Marking one job in a room of two thousand tanks need not work out the other
tanks: only tasks of the same place, and those a room-wide pair or a "follows"
ties to it.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime

from roomtasks.room.job import Job, parse_party
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.slots import trigger_of
from roomtasks.room.targets import tasks
from roomtasks.room.trigger import Follows

Places = frozenset[str]


def places_of(room: Room, targets: Iterable[str]) -> Places:
    """The tanks, or other places, that these targets stand for."""
    return frozenset(room.tank_of(target) or target for target in targets)


def tasks_near(room: Room, at: datetime, near: Places | None) -> Iterator[tuple[Job, str]]:
    """The tasks of these places and those tied to them room-wide; all where `near` is None."""
    if near is None:
        yield from tasks(room, at)
        return
    wide = wide_jobs(room)
    for job, target in tasks(room, at):
        if job.code in wide or (room.tank_of(target) or target) in near:
            yield job, target


def pasts_wanted(room: Room, at: datetime, near: Places | None) -> Iterator[tuple[str, str]]:
    """Job and target of every past that is needed for those tasks, each once."""
    chosen = {(job.code, target) for job, target in tasks_near(room, at, near)}
    yield from sorted(chosen)
    if near is None:
        return
    leads = {
        rule.job
        for job in room.jobs
        if isinstance(rule := trigger_of(job), Follows) and any(j == job.code for j, _ in chosen)
    }
    for job, target in tasks(room, at):
        if job.code in leads and (job.code, target) not in chosen:
            yield job.code, target


def wide_jobs(room: Room) -> frozenset[str]:
    """Codes of jobs that a pair rule ties together across the whole room."""
    parties = [
        party
        for rule in room.pairs
        if rule.scope == "room"
        for party in (parse_party(rule.first), parse_party(rule.second))
        if not isinstance(party, Problem)
    ]
    return frozenset(job.code for job in room.jobs if any(p.is_job(job) for p in parties))
