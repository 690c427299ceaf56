"""What falls due once more before the end of the span, where a job is planned early.

How often a job comes is counted on its usual days. Planned some days before, it may
come round once more and be late within the span: then it is laid there, too. What no
plan can be below is left as it was: another plan may do without.
"""

from dataclasses import replace
from datetime import date, timedelta

from roomtasks.room.ahead import next_after
from roomtasks.room.ahead_coming import ONE_DAY, Coming, Outlook, every_day, free_days
from roomtasks.room.ahead_order import in_any_order
from roomtasks.room.ahead_tasks import Weeks, weeks
from roomtasks.room.level import level
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_task import Placement


def served_to_the_end(found: Weeks, placement: Placement) -> tuple[Weeks, Placement]:
    """The plan with what would else be late at its end."""
    asked, more = found.asked, _more(found, placement)
    if not more:
        return found, placement
    chains = [[*chain, *more.get(chain[0].due.id, [])] for chain in asked.chains]
    longer = weeks(replace(asked, chains=chains))
    usual = {one.id: (one.usual - asked.outlook.first).days for each in more.values()
             for one in each}  # fmt: skip
    if found.span == in_any_order(found.span):
        longer = replace(longer, span=in_any_order(longer.span))
    again = level(longer.span, {**usual, **placement.days})
    if _worse(again) > _worse(placement):
        return found, placement
    floor = Floor(found.span, chains_of(found.span).chains)
    bounds = floor.within(placement.bounds, again.over, again.worst)
    return longer, replace(again, bounds=bounds)


def _worse(placement: Placement) -> tuple[int, int, int]:
    left = len(placement.put_late) + len(placement.left)
    return left, sum(placement.supply_over.values()), sum(placement.late.values())


def _more(found: Weeks, placement: Placement) -> dict[str, list[Coming]]:
    """By job at its place, the occurrence behind its last that would be late in the span."""
    outlook, more = found.asked.outlook, {}
    for chain in found.asked.chains:
        one = chain[-1]
        if one.id in placement.days and not every_day(one.due) and one.due.id not in found.pinned:
            day = outlook.first + timedelta(days=placement.days[one.id])
            behind = _behind(outlook, one, day)
            if behind is not None and behind.last < outlook.last:
                more[one.due.id] = [behind]
    return more


def _behind(outlook: Outlook, one: Coming, day: date) -> Coming | None:
    """The next occurrence of a job that counts from the day it is done."""
    due = next_after(outlook.room, one.due, day, outlook.waters)
    if due is None or (due.blocked is not None and due.blocked.until is None):
        return None
    found = Coming(
        due=due, n=one.n + 1, usual=max(due.placed, day + ONE_DAY), first=due.opens,
        last=due.closes, due_before=one.due.slot.first,
        blocks=(*due.blocks, *(block for block in one.blocks if block not in due.blocks)),
    )  # fmt: skip
    days = free_days(found, max(found.first, day + ONE_DAY), found.last,
                     outlook.nobody(found.due.job))  # fmt: skip
    if not found.counts_on or not days:
        return None
    usual = min(days, key=lambda free: (abs((free - found.usual).days), free))
    return replace(found, usual=usual, tail=outlook.tails.of(due, usual))
