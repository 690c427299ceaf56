"""Jobs of the plan that the walk will not let be done on their day: which other one they wait for.

The plan lays a job behind what goes first wherever days and minutes allow. Where it
could not, the job is told as waiting, so that nobody finds it refused at the tank.
Today that is read off the walk itself; on later days off the pairs of the room.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from roomtasks.room.ahead_coming import Coming
from roomtasks.room.ahead_plan import PlannedDay, PlannedJob
from roomtasks.room.apart import Pair, pairs_of
from roomtasks.room.naming import day_words
from roomtasks.room.occurrence import Due
from roomtasks.room.room import Room

GOES_FIRST = " goes first"


@dataclass(frozen=True, slots=True)
class Pending:
    """One occurrence with its usual day, and the day it is planned for."""

    due: Due
    n: int
    usual: date
    day: date


def with_waits(
    room: Room, days: Sequence[PlannedDay], coming: Mapping[str, Coming]
) -> tuple[PlannedDay, ...]:
    """The days with every job named that must wait for another on its day."""
    planned = {f"{job.id}#{job.n}": job.day for day in days for job in day.jobs}
    all_of = [
        Pending(one.due, one.n, one.usual, planned[name])
        for name, one in coming.items() if name in planned
    ]  # fmt: skip
    ties = _ties(room, all_of)
    found: dict[str, str] = {}
    for one in all_of:
        today = one.n == 0 and one.day == days[0].day
        words = _held_off(one, planned) if today else _waits(one, ties)
        if words:
            found[f"{one.due.id}#{one.n}"] = words
    return tuple(_told(day, found) for day in days) if found else tuple(days)


def _held_off(job: Pending, planned: Mapping[str, date]) -> str:
    """What holds it off today's walk, in words, unless that is planned for today too."""
    due = job.due
    if due.waits_for:
        lead = planned.get(f"{due.waits_for}#0")
        when = f", planned for {day_words(lead)}" if lead is not None else ""
        return "" if lead == job.day else f"{due.waits_name or due.waits_for}{when}"
    for block in due.blocks:
        here = block.first <= job.day and (block.last is None or job.day <= block.last)
        if here and block.reason.endswith(GOES_FIRST):
            return block.reason.rpartition(": ")[2].removesuffix(GOES_FIRST)
    return ""


Ties = Mapping[str, Sequence[tuple[Pair, Sequence[Pending]]]]


def _ties(room: Room, all_of: Iterable[Pending]) -> Ties:
    """For each job at its place the pairs it is in, each with the occurrences it ties there."""
    known = list(all_of)
    found: dict[str, list[tuple[Pair, Sequence[Pending]]]] = defaultdict(list)
    for pair in pairs_of(room, "before", "not-same-day", "apart"):
        here: dict[str, list[Pending]] = defaultdict(list)
        for one in known:
            if pair.ties(one.due):
                here[pair.place(one.due)].append(one)
        for ones in here.values():
            for name in {one.due.id for one in ones}:
                found[name].append((pair, ones))
    return found


def _waits(job: Pending, ties: Ties) -> str:
    """What it waits for on its planned day, in words; "" where nothing."""
    for pair, ones in ties.get(job.due.id, ()):
        for other in ones:
            if other.due.id != job.due.id and _goes_first(pair, other, job):
                return f"{other.due.said}, planned for {day_words(other.day)}"
    return ""


def _goes_first(pair: Pair, other: Pending, job: Pending) -> bool:
    """Whether the other is due by the job's day, is planned only after it, and goes first."""
    if not other.usual <= job.day < other.day:
        return False
    if pair.rule.relation == "before":
        return pair.first.is_job(other.due.job) and pair.second.is_job(job.due.job)
    related = (pair.first.is_job(other.due.job) and pair.second.is_job(job.due.job)) or (
        pair.second.is_job(other.due.job) and pair.first.is_job(job.due.job)
    )
    return related and (other.usual, other.due.id) < (job.usual, job.due.id)


def _told(day: PlannedDay, found: Mapping[str, str]) -> PlannedDay:
    return replace(
        day, jobs=tuple(_job(job, found) for job in day.jobs),
        overdue=tuple(_job(job, found) for job in day.overdue),
    )  # fmt: skip


def _job(job: PlannedJob, found: Mapping[str, str]) -> PlannedJob:
    words = found.get(f"{job.id}#{job.n}", "")
    if not words:
        return job
    return replace(job, waits=words, why=f"{job.why.rstrip('.')}; waits for {words}.")
