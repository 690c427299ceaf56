"""Two jobs that must be days apart: what the plan says must hold whichever of them goes first.

The plan lays them in the order in which they fall due, as the walk does: what is due
holds the other off. So a job that goes first although the other falls due before it
must be done while that is not due yet. Of few jobs every order is looked at; of many
the bounds count no pairs, and hold in any order.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta

from roomtasks.room.ahead_coming import Outlook
from roomtasks.room.ahead_tasks import Weeks
from roomtasks.room.level import level
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_exact import MOST_TASKS
from roomtasks.room.level_task import Bounds, Placement, Span


def in_either_order(
    outlook: Outlook, found: Weeks, placement: Placement, begin: Mapping[str, int]
) -> tuple[Weeks, Placement]:
    """The better plan of the two where the walk lets it be done, with bounds for any order."""
    span = _free(found.span)
    if span is None or _choices(span) > MOST_TASKS:
        return found, placement
    free = level(span, begin)
    better = _rank(free) <= _rank(placement) if begin else _rank(free) < _rank(placement)
    if better and _walked(outlook, found, free):
        return replace(found, span=span), free
    return found, replace(placement, bounds=_bounds(span, placement, free))


def _free(span: Span) -> Span | None:
    """The span with pairs apart in any order; None where there are none."""
    clashes = tuple(
        replace(clash, in_order=False) if clash.days else clash for clash in span.clashes
    )
    return replace(span, clashes=clashes) if clashes != span.clashes else None


def _choices(span: Span) -> int:
    return sum(len(one.days) > 1 for chain in chains_of(span).chains for one in chain)


def _rank(placement: Placement) -> tuple[int, ...]:
    """In the order of what is kept: jobs put late or left, litres, lateness, minutes."""
    left = sum(not one.proven for one in placement.left)
    return (
        len(placement.put_late) + left, sum(placement.supply_over.values()),
        sum(placement.late.values()), placement.over, placement.worst, placement.busiest,
    )  # fmt: skip


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


def _bounds(span: Span, placement: Placement, free: Placement) -> Bounds:
    """What no plan in any order can be below, for a plan with as few minutes over as this."""
    if placement.put_late or any(not left.proven for left in placement.left):
        return placement.bounds  # counted without those tasks, and without pairs
    floor = Floor(span, chains_of(span).chains)
    whole = not free.put_late and all(left.proven for left in free.left)
    least = free.bounds if whole else floor.bounds()
    if whole and (placement.over, placement.worst) == (free.over, free.worst):
        return least
    return floor.within(least, placement.over, placement.worst)
