"""What no plan can be below, also by going against what is only preferred.

Two jobs that must be days apart are laid in the order in which they fall due, as the
walk does: what is due holds the other off. Big filter jobs keep off the last days
before days away. A bound must hold for plans that do otherwise, too. A job that goes
first although the other falls due before it is taken where it is done while that is
not due yet. Of few jobs every order is looked at; of many the bounds count no pairs.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta

from roomtasks.room.ahead_coming import Outlook
from roomtasks.room.ahead_spared import big_filter_job
from roomtasks.room.ahead_tasks import Weeks, weeks
from roomtasks.room.level import level
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_exact import MOST_TASKS
from roomtasks.room.level_task import Bounds, Placement, Span, Task


def in_any_way(
    found: Weeks, placement: Placement, begin: Mapping[str, int]
) -> tuple[Weeks, Placement]:
    """The better plan of the two where the walk lets it be done, with bounds for any way."""
    ordered, wide = in_any_order(found.span), in_any_order(_unspared(found).span)
    if _choices(wide) > MOST_TASKS:
        if wide == ordered:
            return found, placement
        return found, replace(placement, bounds=_bounds(wide, placement, None))
    if ordered != found.span:
        free = level(ordered, begin)
        better = _rank(free) <= _rank(placement) if begin else _rank(free) < _rank(placement)
        if better and _walked(found.asked.outlook, found, free):
            found, placement = replace(found, span=ordered), free
    if wide == found.span:
        return found, placement
    return found, replace(placement, bounds=_bounds(wide, placement, level(wide, begin)))


def _unspared(found: Weeks) -> Weeks:
    """The weeks with big filter jobs on the last days before days away as on any other."""
    if not found.asked.outlook.before_away or not any(
        big_filter_job(one.due.job) for one in found.coming.values()
    ):
        return found
    return weeks(replace(found.asked, spared=False))


def in_any_order(span: Span) -> Span:
    """The span with pairs apart in any order."""
    clashes = tuple(
        replace(clash, in_order=False) if clash.days else clash for clash in span.clashes
    )
    return replace(span, clashes=clashes)


def _choices(span: Span) -> int:
    return sum(len(one.days) > 1 for chain in chains_of(span).chains for one in chain)


def _rank(placement: Placement) -> tuple[int, ...]:
    """In the order of what is kept: jobs put late or left, litres, lateness, minutes."""
    return (
        len(_gone(placement)), sum(placement.supply_over.values()),
        sum(placement.late.values()), placement.over, placement.worst, placement.busiest,
    )  # fmt: skip


def _gone(placement: Placement) -> set[str]:
    """Tasks that were put late, or left, for the sake of another."""
    return {*placement.put_late, *(left.id for left in placement.left if not left.proven)}


def _walked(outlook: Outlook, found: Weeks, placement: Placement) -> bool:
    """Whether whatever goes first against the order is done before the other is due."""
    days = placement.days
    for clash in found.span.clashes:
        if clash.days and clash.first in days and clash.second in days:
            day = days[clash.second]
            if day < days[clash.first] and day >= _due(outlook, found, days, clash.first):
                return False
    return True


def _due(outlook: Outlook, found: Weeks, days: Mapping[str, int], name: str) -> int:
    """The first day on which a task may be due, once the one before it is done as planned."""
    one = found.coming[name]
    before = next(task.after for task in found.span.tasks if task.id == name)
    if one.counts_on and before in days:
        day = one.window_by(outlook.first + timedelta(days=days[before])).opens
    else:
        day = min(one.due.placed, one.usual)
    return (day - outlook.first).days


def _bounds(span: Span, placement: Placement, free: Placement | None) -> Bounds:
    """What no plan can be below in any way, for a plan with as few minutes over as this."""
    gone = _gone(placement)
    tasks = tuple(_without(task) if task.id in gone else task for task in span.tasks)
    there = replace(span, tasks=tasks)
    floor = Floor(there, chains_of(there).chains)
    if gone or free is None or _gone(free):
        return floor.within(floor.bounds(), placement.over, placement.worst)
    if (placement.over, placement.worst) == (free.over, free.worst):
        return free.bounds
    return floor.within(free.bounds, placement.over, placement.worst)


def _without(task: Task) -> Task:
    """The task without a day: of what was put late or left the bounds say nothing."""
    return replace(task, days=(), pinned=None)
