"""What comes along with a job on the day it is done: what follows it, what its state asks.

A refill fifteen minutes after the change, the pump that a change turned off and
what is looked at after that: they have no days of their own, but minutes.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.room.day import day_start
from roomtasks.room.due import Waters, one_due
from roomtasks.room.job import Job, parse_effects
from roomtasks.room.journal import Mark
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Past, Pasts
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.slots import Scene, trigger_of
from roomtasks.room.system import PumpTurn
from roomtasks.room.targets import targets
from roomtasks.room.trigger import Follows, OnState

DEEPEST_TAIL = 4


class Tails:
    """The tails of a room's jobs at an instant, each worked out once."""

    def __init__(self, room: Room, now: datetime, waters: Waters) -> None:
        self._room, self._now, self._waters = room, now, waters
        self._known: dict[tuple[str, str], tuple[Due, ...]] = {}
        jobs = [(job, trigger_of(job)) for job in room.jobs if job.active]
        self._follows = [job for job, rule in jobs if isinstance(rule, Follows)]
        self._pumps = [
            job for job, rule in jobs
            if isinstance(rule, OnState) and rule.state == "pump-off" and 0 in rule.offsets
        ]  # fmt: skip
        self._leads = frozenset(
            rule.job for _, rule in jobs if isinstance(rule, Follows)
        )  # fmt: skip

    def of(self, due: Due, day: date) -> tuple[Due, ...]:
        """The occurrences that come with this one, worked out once for each job and target."""
        key = (due.job.code, due.target)
        if key not in self._known:
            self._known[key] = tuple(self._found(due, day, DEEPEST_TAIL))
        return self._known[key]

    def _found(self, due: Due, day: date, depth: int) -> Iterator[Due]:
        stops_pump = self._stops_pump(due)
        if depth == 0 or not (due.job.code in self._leads or stops_pump):
            return
        room = self._room
        at = self._at(day)
        mark = Mark(id=1, job=due.job.code, target=due.target, slot=day, outcome="done", day=day,
                    at=at)  # fmt: skip
        pasts = {(due.job.code, due.target): Past(mark, mark)}
        led = [job for job in self._follows if _leads(job, due)]
        yield from self._dues(room, led, pasts, day, at, depth)
        if stops_pump:
            off = PumpTurn(system=due.target, at=at, state="off")
            stopped = replace(room, pumps=(*room.pumps, off))
            yield from self._dues(stopped, self._pumps, pasts, day, at, depth, due.target)

    def _at(self, day: date) -> datetime:
        """When it is taken as done: today now, after all that was done today already."""
        room = self._room
        begins = day_start(day, room.zone, room.day_starts)
        return self._now if day == room.day_at(self._now) else begins

    def _stops_pump(self, due: Due) -> bool:
        effects = parse_effects(due.job.effects)
        return (
            due.target in self._room.system
            and not isinstance(effects, Problem)
            and effects.pump == "off"
        )

    def _dues(
        self, room: Room, jobs: Iterable[Job], pasts: Pasts, day: date, at: datetime, depth: int,
        only: str = "",
    ) -> Iterator[Due]:  # fmt: skip
        ends = day_start(day + timedelta(days=1), room.zone, room.day_starts)
        later = min(at + timedelta(hours=12), ends - timedelta(seconds=1))
        scene = Scene(room, day, later, pasts)
        for job in jobs:
            for target in targets(room, job, self._now):
                if only and target != only:
                    continue
                due = one_due(scene, job, target, self._waters)
                if due is not None and due.slot.day == day:
                    yield due
                    yield from self._found(due, day, depth - 1)


def _leads(job: Job, due: Due) -> bool:
    rule = trigger_of(job)
    return isinstance(rule, Follows) and rule.job == due.job.code
