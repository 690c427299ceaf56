"""What a placement makes, counted from the span alone, and the best of all placements."""

from collections.abc import Iterator, Mapping
from itertools import product

from roomtasks.room.level_task import Span

Measured = tuple[int, int, int, int, int]


def loads(span: Span, days: Mapping[str, int]) -> list[int]:
    """Size of each day with its set-ups; of those with the first free, all but one."""
    load = [0] * span.n_days
    shares: list[set[str]] = [set() for _ in load]
    for task in span.tasks:
        if task.id in days:
            load[days[task.id]] += task.size
            shares[days[task.id]].update(task.shares)
    for day, names in enumerate(shares):
        costs = [span.shared[name].cost for name in names]
        free = [span.shared[name].cost for name in names if span.shared[name].first_free]
        load[day] += sum(costs) - (free[0] if free else 0)
    return load


def measured(span: Span, days: Mapping[str, int]) -> Measured:
    """Clashes, above supplies, minutes over in all and of the worst day, the busiest day."""
    load = loads(span, days)
    used = {name: [0] * span.n_days for name in span.supplies}
    for task in span.tasks:
        for name, amount in task.uses:
            if task.id in days:
                used[name][days[task.id]] += amount
    counted = [day for day in range(span.n_days) if span.counted(day)]
    above = sum(
        max(0, used[name][day] - most[day]) for name, most in span.supplies.items()
        for day in counted
    )  # fmt: skip
    overs = [max(0, load[day] - span.limits[day]) for day in counted]
    return (
        clashes(span, days), above, sum(overs), max(overs, default=0),
        max((load[day] for day in counted), default=0),
    )  # fmt: skip


def clashes(span: Span, days: Mapping[str, int]) -> int:
    """Pairs that lie too near to one another, or in the wrong order."""
    found = 0
    for clash in span.clashes:
        if clash.first in days and clash.second in days:
            apart = days[clash.second] - days[clash.first]
            found += apart < clash.days if clash.in_order else abs(apart) < clash.days
    return found


def in_time(span: Span, days: Mapping[str, int]) -> bool:
    """Whether each task lies on a day of its own in time, at its gap from the one before."""
    for task in span.tasks:
        day = days[task.id]
        if day not in task.days or day > task.closes:
            return False
        if task.after and not task.min_gap <= day - days[task.after] <= task.max_gap:
            return False
    return True


def placements(span: Span) -> Iterator[dict[str, int]]:
    """Every placement with all tasks in time."""
    for choice in product(*(task.days for task in span.tasks)):
        days = {task.id: day for task, day in zip(span.tasks, choice, strict=True)}
        if in_time(span, days):
            yield days


def best_of_all(span: Span) -> Measured:
    """The least that any placement measures. Raises ValueError where there is none."""
    return min(measured(span, days) for days in placements(span))
