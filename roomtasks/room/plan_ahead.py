"""The weeks ahead laid over days: from what is due now to a plan with its bound.

`ahead_coming` says what comes, `ahead_tasks` what it weighs and where it may lie,
`level` lays it, `ahead_days` turns that back into days. The plan is advice: due
dates and windows stay the truth, and nothing of it is kept anywhere.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from roomtasks.room.ahead_coming import Outlook, coming
from roomtasks.room.ahead_days import Laid, heaviest, planned_days
from roomtasks.room.ahead_ends import served_to_the_end
from roomtasks.room.ahead_hands import help_fault, with_help
from roomtasks.room.ahead_helps import helps_of
from roomtasks.room.ahead_order import in_any_way
from roomtasks.room.ahead_plan import (
    LONGEST_SPAN_DAYS,
    SHORTEST_SPAN_DAYS,
    Ahead,
    PlannedJob,
    WhatIfAhead,
)
from roomtasks.room.ahead_stands import to_be_filled
from roomtasks.room.ahead_tasks import TENTHS, Asked, Weeks, weeks
from roomtasks.room.ahead_words import idle_weekdays, told
from roomtasks.room.column import shown
from roomtasks.room.day import parse_day
from roomtasks.room.due import all_due
from roomtasks.room.level import level
from roomtasks.room.level_bound import Floor
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_task import Placement, Task
from roomtasks.room.naming import day_words
from roomtasks.room.near import near, or_words
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Pasts
from roomtasks.room.problem import Problem
from roomtasks.room.quantity import within
from roomtasks.room.room import Room
from roomtasks.room.setup import WEEKDAYS
from roomtasks.room.walk import Times
from roomtasks.room.water_plan import Note
from roomtasks.room.what_if_room import (
    WhatIfRoom,
    asks_another_room,
    what_if_room,
    what_if_room_fault,
)

AS_IT_IS = WhatIfAhead()
NO_PINS: Mapping[str, date] = {}
NO_TIMES: Times = {}
DAY_MINUTES, LARGEST_LITRES = 1440, 100_000
WORTH_IT = 6 * TENTHS  # minutes over that must be saved to leave the change day
MUCH = 10 * WORTH_IT  # to leave it when an earlier plan kept to it
SOME_OFF = 10  # an earlier plan with more than one in so many off the change day left it


def plan_ahead(
    room: Room,
    dues: Sequence[Due],
    pasts: Pasts,
    now: datetime,
    days: int,
    pins: Mapping[str, date] = NO_PINS,
    what_if: WhatIfAhead = AS_IT_IS,
    times: Times = NO_TIMES,
    last: Ahead | None = None,
) -> Ahead | Problem:
    """A plan from today on over so many days, 7 to 56.

    `pins` keep the open occurrence of a job@target on a day, or with job@target#2
    the second after it; pins of the room count too. `times` are recorded minutes,
    newest first. With `last`, an earlier plan, its days are kept where they still do. Tanks
    and reservoirs more are laid into the room first, and what was told of them
    comes first among the notes. The same arguments give the same plan. Refuses
    other spans, pins of what is not due or of days gone by, and what-ifs of
    things that are not there.
    """
    fault = _fault_of(room, dues, now, days, pins, what_if)
    if fault is not None:
        return fault
    notes: tuple[Note, ...] = ()
    if asks_another_room(what_if):
        other = what_if_room(room, pasts, times, what_if)
        if isinstance(other, Problem):
            return other
        dues = _dues_there(other, dues, now)
        room, pasts, times, notes = other.room, other.pasts, other.times, other.notes
        what_if = replace(what_if, litres=(*what_if.litres, *other.litres))
    first = room.day_at(now)
    outlook = Outlook(room, pasts, now, first, first + timedelta(days=days - 1))
    present = [due for due in dues if due.tank not in what_if.without or not due.tank]
    chains = coming(outlook, present)
    helped = with_help(outlook, chains, times, what_if)
    asked = Asked(outlook, chains, times, {**_kept(room, dues), **pins}, helped.what_if)
    laid = _levelled(asked, last)
    laid = in_any_way(*laid, _begin(asked, laid[0], last))
    made = _ahead(asked, *served_to_the_end(*laid), present)
    return replace(made, notes=(*notes, *helped.notes, *made.notes))


def _dues_there(other: WhatIfRoom, dues: Sequence[Due], now: datetime) -> list[Due]:
    """What is due in the changed room: of the dues given, and of what is new there."""
    given = {due.id for due in dues}
    return [
        due
        for due in all_due(other.room, other.pasts, now)
        if due.id in given or due.target in other.like or due.tank in other.like
    ]


def _kept(room: Room, dues: Sequence[Due]) -> dict[str, date]:
    """The room's own pins that are for the occurrence open now."""
    slots = {due.id: due.slot.day for due in dues}
    return {
        f"{pin.job}@{pin.target}": pin.day
        for pin in room.pins
        if slots.get(f"{pin.job}@{pin.target}") == pin.slot
    }


def _levelled(asked: Asked, last: Ahead | None) -> tuple[Weeks, Placement]:
    """Levelled with changes kept to the change day; let off it only where that is needed.

    What an earlier plan did is done again, unless much is to be had by the other.
    """
    found = weeks(asked)
    begin = _begin(asked, found, last)
    if last is not None and len(begin) < len(found.coming):
        loose = weeks(replace(asked, pulled=False))
        known = _begin(asked, loose, last)
        if SOME_OFF * (len(known) - len(begin)) > _pulled(found, loose):
            return loose, level(loose.span, known)
    worth = WORTH_IT if last is None else MUCH
    placement = level(found.span, begin)
    if not any(_rank(placement, worth)):
        return found, placement
    loose = weeks(replace(asked, pulled=False))
    if _floor(loose, worth) >= _floor(found, worth):
        return found, placement
    other = level(loose.span, _begin(asked, loose, last))
    better = _rank(other, worth) < _rank(placement, worth)
    return (loose, other) if better else (found, placement)


def _pulled(found: Weeks, loose: Weeks) -> int:
    """How many occurrences have fewer days for the sake of the change day."""
    days = {task.id: task.days for task in loose.span.tasks}
    return sum(task.days != days.get(task.id) for task in found.span.tasks)


def _floor(found: Weeks, worth: int) -> tuple[int, int]:
    """What no plan can be below: litres over, and minutes over in steps that are worth it."""
    bounds = Floor(found.span, chains_of(found.span).chains).bounds()
    return sum(bounds.supplies.values()), bounds.over // worth


def _unplaced(placement: Placement) -> int:
    """Tasks that were put late, or left, for the sake of another."""
    return len(placement.put_late) + sum(not left.proven for left in placement.left)


def _rank(placement: Placement, worth: int) -> tuple[int, int, int, int]:
    return (
        _unplaced(placement), sum(placement.supply_over.values()), sum(placement.late.values()),
        placement.over // worth,
    )  # fmt: skip


def _begin(asked: Asked, found: Weeks, last: Ahead | None) -> dict[str, int]:
    """The days of an earlier plan: of each job at each target in turn, less those done since."""
    if last is None:
        return {}
    known: dict[str, list[PlannedJob]] = {}
    for job in last.jobs:
        known.setdefault(job.id, []).append(job)
    here: dict[str, list[Task]] = {}
    for task in found.span.tasks:
        here.setdefault(found.coming[task.id].due.id, []).append(task)
    first, begin = asked.outlook.first, {}
    for name, tasks in here.items():
        jobs = known.get(name, [])
        ways = [list(zip(tasks, jobs[gone:], strict=False)) for gone in range(len(jobs))]
        pairs = min(ways, key=lambda pairs: _apart(pairs, first) / len(pairs), default=[])
        days = {task.id: (task, (job.day - first).days) for task, job in pairs}
        begin.update({name: day for name, (task, day) in days.items() if day in task.days})
    return begin


def _apart(pairs: Sequence[tuple[Task, PlannedJob]], first: date) -> int:
    """Days between their usual days and those of the earlier plan."""
    return sum(abs(task.usual - (job.usual - first).days) for task, job in pairs)


def _ahead(
    asked: Asked, found: Weeks, placement: Placement, dues: Sequence[Due]
) -> Ahead:  # fmt: skip
    outlook = asked.outlook
    laid = Laid(outlook, found, placement, asked.what_if)
    days = planned_days(laid)
    bounds, (busiest, over, worst) = placement.bounds, _measured(laid)
    return Ahead(
        first=outlook.first, last=outlook.last, days=days,
        busiest_minutes=busiest / TENTHS, bound_minutes=min(bounds.busiest, busiest) / TENTHS,
        proven=placement.proven,
        over_minutes=over / TENTHS, over_bound_minutes=min(bounds.over, over) / TENTHS,
        worst_over_minutes=worst / TENTHS,
        worst_over_bound_minutes=min(bounds.worst, worst) / TENTHS,
        over_litres=sum(placement.supply_over.values()) / TENTHS,
        over_bound_litres=sum(bounds.supplies.values()) / TENTHS,
        litres=heaviest(days), cannot=told(outlook, found, placement, days),
        notes=(*idle_weekdays(days), *to_be_filled(outlook.room, days), *_until_lifted(dues)),
        helps=helps_of(laid, days),
        moved=sum(laid.date(day) != found.coming[name].usual
                  for name, day in placement.days.items()),
    )  # fmt: skip


def _measured(laid: Laid) -> tuple[int, int, int]:
    """The busiest day, minutes over in all and on the worst day, in tenths.

    What the first day has paid already is told as spared; the search does not know of it.
    """
    placement, span, loads = laid.placement, laid.weeks.span, laid.loads
    if loads == placement.loads:
        return placement.busiest, placement.over, placement.worst
    counted = [day for day in range(span.n_days) if span.counted(day)]
    overs = [max(0, loads[day] - span.limits[day]) for day in counted]
    return (
        max((loads[day] for day in counted), default=0), sum(overs), max(overs, default=0),
    )  # fmt: skip


def _until_lifted(dues: Sequence[Due]) -> tuple[Note, ...]:
    """Jobs that are held with no end to it, and so have no day in the plan."""
    return tuple(
        Note(about=due.id, text=f"{due.job.name} is held until that is lifted: {why.reason}",
             rule=why.rule)
        for due in dues
        if (why := due.blocked) is not None and why.until is None
    )  # fmt: skip


# --- what is refused -------------------------------------------------------------------


def _fault_of(
    room: Room, dues: Sequence[Due], now: datetime, days: int, pins: Mapping[str, date],
    what_if: WhatIfAhead,
) -> Problem | None:  # fmt: skip
    if not SHORTEST_SPAN_DAYS <= days <= LONGEST_SPAN_DAYS:
        return Problem(
            "days", f"a span of {days} days cannot be planned",
            f"give {SHORTEST_SPAN_DAYS} to {LONGEST_SPAN_DAYS} days",
        )  # fmt: skip
    today = room.day_at(now)
    known = {due.id for due in dues}
    for name, day in pins.items():
        if name.split("#")[0] not in known:
            return _unknown("pins", f"nothing is due as “{shown(name)}”", name, known)
        if day < today:
            return Problem(
                "pins", f"{name} cannot be kept on {day_words(day)}, which is past",
                "give today or a later day",
            )  # fmt: skip
    return _what_if_fault(room, what_if)


def _what_if_fault(room: Room, what_if: WhatIfAhead) -> Problem | None:
    for name, minutes in what_if.minutes:
        if name not in WEEKDAYS and isinstance(parse_day(name), Problem):
            return _unknown("minutes", f"“{shown(name)}” is no weekday", name, WEEKDAYS)
        fault = within(f"minutes on {name}", minutes, -DAY_MINUTES, DAY_MINUTES, "min")
        if fault is not None:
            return fault
    for name, litres in what_if.litres:
        if name not in room.reservoir:
            what = f"there is no reservoir “{shown(name)}”"
            return _unknown("litres", what, name, room.reservoir)
        fault = within(f"litres of {name}", litres, -LARGEST_LITRES, LARGEST_LITRES, "L")
        if fault is not None:
            return fault
    for name in what_if.without:
        if name not in room.tank:
            return _unknown("without", f"there is no tank “{shown(name)}”", name, room.tank)
    return help_fault(what_if) or what_if_room_fault(room, what_if)


def _unknown(where: str, what: str, name: str, known: Iterable[str]) -> Problem:
    found = near(name, known)
    return Problem(where, what, or_words(found) if found else "look at what the room has")
