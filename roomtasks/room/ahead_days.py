"""A placement back into days of the room: jobs with their windows, minutes and litres of each day.

Windows are laid anew from the planned days, as due dates will be once the work is
done as planned. Does not live here: sentences (`ahead_words`), the search.
"""

from collections import defaultdict
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from roomtasks.room.ahead_coming import Outlook, Window
from roomtasks.room.ahead_plan import (
    KEEPER,
    STAND_IN,
    PlannedDay,
    PlannedJob,
    WaterUse,
    WhatIfAhead,
)
from roomtasks.room.ahead_tasks import CLASS, KIND, TENTHS, Weeks, minutes_on
from roomtasks.room.ahead_waits import with_waits
from roomtasks.room.ahead_words import why_planned
from roomtasks.room.apart import followers, leads_of
from roomtasks.room.kind import KINDS
from roomtasks.room.level_task import Placement, Span
from roomtasks.room.setup import Away
from roomtasks.room.walk import order_key, paid_on


@dataclass(frozen=True)
class Laid:
    """What days are made from."""

    outlook: Outlook
    weeks: Weeks
    placement: Placement
    what_if: WhatIfAhead

    def date(self, day: int) -> date:
        return self.outlook.first + timedelta(days=day)

    @cached_property
    def paid(self) -> frozenset[str]:
        """Shared minutes that the first day has paid already, by what was done on it."""
        first = self.outlook.first
        found = paid_on(self.outlook.room, self.outlook.pasts, first)
        return frozenset(f"{sort} {what}" for sort, what in found)

    def shares(self, day: int) -> frozenset[str]:
        """The set-ups, washes and climbs that the jobs of a day ask for."""
        return frozenset(
            share
            for name, on in self.placement.days.items() if on == day
            for share in self.weeks.shares(name)
        )  # fmt: skip

    @property
    def loads(self) -> tuple[int, ...]:
        """Tenths of minutes of each day; the first is less by what it has paid already."""
        span, names = self.weeks.span, self.shares(0)
        spared = _cost(span, names) - _cost(span, names, self.paid)
        first, *rest = self.placement.loads
        return (first - spared, *rest)


def _cost(span: Span, names: Set[str], paid: Set[str] = frozenset()) -> int:
    """What these still cost on a day, in tenths; the first class of a day costs nothing."""
    known = [span.shared[name] for name in names - paid]
    free = [shared.cost for shared in known if shared.first_free]
    washed = any(name.startswith(CLASS) for name in paid)
    return sum(shared.cost for shared in known) - (min(free) if free and not washed else 0)


def planned_days(laid: Laid) -> tuple[PlannedDay, ...]:
    """Every day of the span with its jobs in walking order."""
    outlook = laid.outlook
    away = outlook.away
    windows = _windows(laid)
    on: dict[int, list[str]] = defaultdict(list)
    for name, number in laid.placement.days.items():
        on[number].append(name)
    behind = followers(outlook.room)
    made: list[tuple[int, list[PlannedJob]]] = []
    for number in range(laid.weeks.span.n_days):
        row = away.get(laid.date(number))
        jobs = [
            job
            for name in _in_order(laid, on[number], behind)
            for job in _jobs(laid, name, number, windows[name], row)
        ]
        made.append((number, jobs))
    forward = _forward(laid, [job for _, jobs in made for job in jobs])
    days = [
        _day(laid, number, jobs, away.get(laid.date(number)), forward.get(laid.date(number), []))
        for number, jobs in made
    ]
    return with_waits(outlook.room, days, laid.weeks.coming)


def _in_order(laid: Laid, names: Sequence[str], behind: frozenset[str]) -> list[str]:
    """As they are walked; what must come after something of that day comes after it."""
    walked = sorted(names, key=lambda name: _walked(laid, name))
    dues = {name: laid.weeks.coming[name].due for name in walked}
    present = list(dues.values())
    leads = {
        name: leads_of(laid.outlook.room, dues[name], present)
        for name in walked if dues[name].job.code in behind
    }  # fmt: skip
    found: list[str] = [name for name in walked if not leads.get(name)]
    waiting = [name for name in walked if leads.get(name)]
    while waiting:
        open_ids = {dues[name].id for name in waiting}
        name = next((one for one in waiting if not leads[one] & open_ids), waiting[0])
        after = max((n for n, one in enumerate(found) if dues[one].id in leads[name]), default=-1)
        found.insert(after + 1, name)
        waiting.remove(name)
    return found


def _walked(laid: Laid, name: str) -> tuple[object, ...]:
    return order_key(laid.outlook.room, laid.weeks.coming[name].due)


def _windows(laid: Laid) -> dict[str, Window]:
    """The window of each task from the planned day of the one before it."""
    before = {task.id: task.after for task in laid.weeks.span.tasks}
    found: dict[str, Window] = {}
    for name in laid.placement.days:
        one = laid.weeks.coming[name]
        if one.due_before is not None and (last := before[name]) in found:
            day = laid.date(laid.placement.days[last])
            found[name] = one.window_by(day, found[last].slot)
        elif one.n == 0:
            found[name] = Window(one.due.opens, one.due.slot.first, one.due.closes)
        else:
            found[name] = Window(one.first, one.due.slot.first, one.last)
    return found


def _jobs(
    laid: Laid, name: str, number: int, window: Window, away: Away | None
) -> list[PlannedJob]:
    """The occurrence, and what comes along with it."""
    one, weight = laid.weeks.coming[name], laid.weeks.weight[name]
    room, due = laid.outlook.room, laid.weeks.coming[name].due
    day = laid.date(number)
    first = PlannedJob(
        id=due.id, n=one.n, name=due.job.name, kind=due.job.kind, job=due.job.code,
        target=due.target, tank=due.tank, rack=room.tank[due.tank].rack if due.tank else "",
        day=day, usual=one.usual, opens=window.opens, slot=window.slot, closes=window.closes,
        minutes=weight[0].minutes / TENTHS, litres=weight[0].litres / TENTHS,
        reservoir=weight[0].reservoir, by=KEEPER if away is None else STAND_IN,
        must=KINDS[due.job.kind].never_cut or window.closes <= day,
        pinned=name in laid.weeks.pinned,
        late_days=max(0, (day - window.closes).days),
        may=tuple(laid.date(n) for n in laid.placement.may[name]),
    )  # fmt: skip
    first = replace(first, why=why_planned(one, first))
    tail = [
        replace(
            first, id=other.id, name=other.job.name, kind=other.job.kind, job=other.job.code,
            target=other.target, tank=other.tank, minutes=its.minutes / TENTHS,
            rack=room.tank[other.tank].rack if other.tank else "", litres=its.litres / TENTHS,
            reservoir=its.reservoir, opens=day, slot=day, closes=day, may=(day,), pinned=False,
            late_days=0, must=True, why=f"comes with “{due.said}”.",
        )
        for other, its in zip(one.tail, weight[1:], strict=True)
    ]  # fmt: skip
    return [first, *tail]


def _forward(laid: Laid, jobs: Sequence[PlannedJob]) -> dict[date, list[PlannedJob]]:
    """For each day, the jobs of later days that may be done on it."""
    found: dict[date, list[PlannedJob]] = defaultdict(list)
    for job in jobs:
        if job.by == KEEPER and not job.pinned:
            for day in job.may:
                if day < job.day:
                    found[day].append(job)
    return found


def _day(
    laid: Laid, number: int, jobs: Sequence[PlannedJob], away: Away | None,
    forward: Sequence[PlannedJob],
) -> PlannedDay:  # fmt: skip
    day, span = laid.date(number), laid.weeks.span
    own = sum(job.minutes for job in jobs)
    names, paid = laid.shares(number), laid.paid if number == 0 else frozenset()
    kinds = frozenset(name for name in names if name.startswith(KIND))
    setup, way = (_cost(span, each, paid) / TENTHS for each in (kinds, names - kinds))
    total = own + setup + way
    there_are = minutes_on(laid.outlook.room, laid.what_if, day)
    free = there_are - total
    could = sorted(forward, key=lambda job: (job.minutes > free, job.day, job.id))
    return PlannedDay(
        day=day, jobs=tuple(jobs), minutes=0.0 if away else round(total, 1),
        setup_minutes=0.0 if away else setup, way_minutes=0.0 if away else way,
        minutes_there_are=there_are, litres=_litres(laid, number, jobs),
        overdue=tuple(job for job in jobs if job.late_days), could=() if away else tuple(could),
        away=away is not None, stand_in=away.stand_in if away else "",
        stand_in_minutes=round(total, 1) if away else 0.0,
    )  # fmt: skip


def _litres(laid: Laid, number: int, jobs: Sequence[PlannedJob]) -> tuple[WaterUse, ...]:
    taken: dict[str, float] = defaultdict(float)
    for job in jobs:
        if job.reservoir and job.litres:
            taken[job.reservoir] += job.litres
    return tuple(
        WaterUse(reservoir=code, litres=round(litres, 1),
                 most_litres=laid.weeks.span.supplies[code][number] / TENTHS)
        for code, litres in sorted(taken.items())
    )  # fmt: skip


def heaviest(days: Sequence[PlannedDay]) -> tuple[WaterUse, ...]:
    """The heaviest day of each reservoir."""
    found: dict[str, WaterUse] = {}
    for use in (use for day in days for use in day.litres):
        if use.reservoir not in found or use.litres > found[use.reservoir].litres:
            found[use.reservoir] = use
    return tuple(found[code] for code in sorted(found))
