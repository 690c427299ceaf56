"""What holds between two jobs over the weeks: days apart, order on one day, visits joined.

The pairs of the room (`between`) on coming occurrences. What was done already
forbids days by itself (`apart.past_blocks`).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime

from roomtasks.room.ahead_coming import Coming, every_day
from roomtasks.room.job import Between, Job, Party, parse_effects, parse_party
from roomtasks.room.level_task import Clash, Task
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room

TOGETHER_POINTS, OLD_WATER_POINTS = 3, 2
Parties = tuple[Party, Party]


def clashes_of(
    room: Room, tasks: Sequence[Task], coming: Mapping[str, Coming]
) -> tuple[Clash, ...]:
    """Every two tasks of a pair that could come too near to one another, or in wrong order."""
    found: dict[tuple[str, str], Clash] = {}
    for rule, (first, second) in _rules(room, ("apart", "not-same-day", "before")):
        days = rule.days if rule.relation == "apart" else 1
        for group in _groups(rule, first, second, tasks, coming):
            for one in group:
                if not _is(first, coming[one.id].due.job):
                    continue
                for other in group:
                    if not _is(second, coming[other.id].due.job):
                        continue
                    clash = _clash(rule, days, one, other, coming)
                    if clash is not None:
                        found.setdefault((clash.first, clash.second), clash)
    return tuple(found.values())


def _clash(
    rule: Between, days: int, one: Task, other: Task, coming: Mapping[str, Coming]
) -> Clash | None:
    """What the pair says of two tasks; None where they cannot meet or are of one chain.

    A second waits for the first that is open on its day, and is laid behind it.
    """
    if one.id == other.id or coming[one.id].due.id == coming[other.id].due.id:
        return None
    if len(one.days) == 1 and len(other.days) == 1:
        return None
    if rule.relation == "before":
        if not _leads(coming[one.id], coming[other.id], coming):
            return None
        return Clash(first=one.id, second=other.id, days=0, in_order=True)
    if days < 1 or one.days[0] - other.days[-1] >= days or other.days[0] - one.days[-1] >= days:
        return None
    first, second = sorted((one, other), key=lambda task: _goes_first(task, coming))
    return Clash(first=first.id, second=second.id, days=days, in_order=True)


def _leads(one: Coming, other: Coming, coming: Mapping[str, Coming]) -> bool:
    """Whether one is the first that the other finds open: the newest due by its day.

    What comes every day waits on its day only for what is open now.
    """
    if one.usual > other.usual:
        return False
    if one.n == 0 and other.n == 0:
        return True
    following = coming.get(f"{one.due.id}#{one.n + 1}")
    newest = following is None or following.usual > other.usual
    return newest and not every_day(other.due)


def _goes_first(task: Task, coming: Mapping[str, Coming]) -> tuple[date, str]:
    """As due dates have it: the one that is usually earlier goes first, then by name."""
    one = coming[task.id]
    return one.usual, one.due.id


def visits_of(
    room: Room, coming: Sequence[Coming], now: datetime
) -> dict[str, dict[str, int]]:  # fmt: skip
    """For each task the visits it had better be part of, with their points."""
    found: dict[str, dict[str, int]] = defaultdict(dict)
    for rule, (first, second) in _rules(room, ("together",)):
        for one in coming:
            if _is(first, one.due.job) or _is(second, one.due.job):
                where = "room" if rule.scope == "room" else one.due.tank or one.due.target
                found[one.id][f"visit {rule.code} {where}"] = TOGETHER_POINTS
    for one in coming:
        for tank in _old_water(room, one, now):
            found[one.id][f"water {tank}"] = OLD_WATER_POINTS
    return dict(found)


def _old_water(room: Room, one: Coming, now: datetime) -> tuple[str, ...]:
    """Tanks whose old water it leaves in the bucket, or needs there."""
    job, due = one.due.job, one.due
    if job.kind not in ("change", "filter") or every_day(due):
        return ()
    if due.tank:
        return (due.tank,)
    if job.kind == "change" and due.target in room.system:
        return tuple(sorted(room.valve.members(due.target, now)))
    return ()


def _rules(
    room: Room, relations: Iterable[str]
) -> Iterable[tuple[Between, Parties]]:  # fmt: skip
    for relation in relations:
        for rule in room.pairs:
            if rule.relation != relation:
                continue
            first, second = parse_party(rule.first), parse_party(rule.second)
            if not isinstance(first, Problem) and not isinstance(second, Problem):
                yield rule, (first, second)


def _is(party: Party, job: Job) -> bool:
    """Whether a job is of this party, or does what the party's event is."""
    if party.sort != "event":
        return party.is_job(job)
    effects = parse_effects(job.effects)
    return not isinstance(effects, Problem) and party.name in effects.events


def _groups(
    rule: Between, first: Party, second: Party, tasks: Sequence[Task],
    coming: Mapping[str, Coming],
) -> list[list[Task]]:  # fmt: skip
    """Tasks the rule ties together: those of one tank, or all of the room."""
    found: dict[str, list[Task]] = defaultdict(list)
    for task in tasks:
        due = coming[task.id].due
        if _is(first, due.job) or _is(second, due.job):
            found["room" if rule.scope == "room" else due.tank or due.target].append(task)
    return list(found.values())
