"""From coming occurrences to tasks that can be levelled: days, minutes, litres, set-ups, visits.

Minutes and litres are counted in tenths. Shared minutes are those of the walk:
a kind's set-up, the steps of a rack, hands between classes. Visits are joined by
points only: a rack at a time, jobs that go together, filters squeezed while old
water is at hand. Does not live here: what two jobs forbid each other
(`ahead_pairs`), the levelling (`level`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from roomtasks.room.ahead_coming import Coming, Outlook, catch_up_days, every_day, free_days
from roomtasks.room.ahead_pairs import clashes_of, visits_of
from roomtasks.room.ahead_plan import WhatIfAhead
from roomtasks.room.ahead_spared import big_filter_job
from roomtasks.room.ahead_water import Pools, litres_out, most_litres_a_day
from roomtasks.room.day_minutes import minutes_there_are
from roomtasks.room.kind import KINDS
from roomtasks.room.level_chain import chains_of
from roomtasks.room.level_task import NEVER, Shared, Span, Task
from roomtasks.room.occurrence import Due
from roomtasks.room.reservoir import Reservoir
from roomtasks.room.room import Room
from roomtasks.room.setup import WEEKDAYS
from roomtasks.room.trigger import Every
from roomtasks.room.walk import Times, shared_minutes, stop_of

TENTHS = 10
RACK_POINTS = 1
KIND, CLASS, STEPS = "kind", "class", "steps"


@dataclass(frozen=True, slots=True)
class Weight:
    """What one occurrence asks for: tenths of minutes and litres, a reservoir, shared minutes."""

    minutes: int
    litres: int
    reservoir: str
    shares: tuple[str, ...]


@dataclass(frozen=True)
class Asked:
    """All that the tasks are made from.

    `pulled`: water jobs keep to the change day. `spared`: big filter jobs keep off
    the last days before days away. `windows` are those worked out already, by task.
    """

    outlook: Outlook
    chains: Sequence[Sequence[Coming]]
    times: Times
    pins: Mapping[str, date]
    what_if: WhatIfAhead
    pulled: bool = True
    spared: bool = True
    windows: dict[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)


@dataclass
class Weeks:
    """The span to be levelled, as it was asked, and whose occurrence each task is."""

    asked: Asked
    span: Span
    coming: dict[str, Coming] = field(default_factory=dict)
    weight: dict[str, tuple[Weight, ...]] = field(default_factory=dict)
    nobody: list[Coming] = field(default_factory=list)
    pinned: set[str] = field(default_factory=set)
    off_pins: list[Coming] = field(default_factory=list)

    def shares(self, name: str) -> tuple[str, ...]:
        """The shared minutes that a task and what comes with it need."""
        return tuple(dict.fromkeys(s for weight in self.weight[name] for s in weight.shares))


class Weighing:
    """Minutes, litres and shares of occurrences, each worked out once."""

    def __init__(self, outlook: Outlook, times: Times) -> None:
        self._room = outlook.room
        self._times = times
        self._pools = Pools(outlook.scene)
        self.shared: dict[str, Shared] = {}

    def of(self, due: Due) -> Weight:
        """What one occurrence asks for."""
        litres = round(litres_out(self._room, due) * TENTHS)
        return Weight(
            round(stop_of(due, self._times).minutes * TENTHS), litres,
            self._pools.of(due) if litres else "", self._shares(due),
        )  # fmt: skip

    def _shares(self, due: Due) -> tuple[str, ...]:
        names = []
        for (sort, what), minutes in shared_minutes(self._room, due):
            name = f"{sort} {what}"
            self.shared[name] = Shared(cost=round(minutes * TENTHS), first_free=sort == CLASS)
            names.append(name)
        return tuple(names)

    def points(self, name: str, points: int) -> str:
        """A visit that is preferred joined, at so many points for each day it takes."""
        self.shared[name] = Shared(points=points)
        return name


def minutes_on(room: Room, what_if: WhatIfAhead, day: date) -> float:
    """Minutes there are on a day, with what is asked on top."""
    names = (WEEKDAYS[day.weekday()], day.isoformat())
    more = sum(minutes for name, minutes in what_if.minutes if name in names)
    return max(0.0, minutes_there_are(room, day) + more)


def litres_on(room: Room, what_if: WhatIfAhead, facts: Reservoir) -> float:
    """Litres a reservoir makes for a day, with what is asked on top."""
    more = sum(litres for code, litres in what_if.litres if code == facts.code)
    return max(0.0, most_litres_a_day(room, facts) + more)


def weeks(asked: Asked) -> Weeks:
    """Every task of the span with its days, and everything that holds between tasks."""
    outlook, room = asked.outlook, asked.outlook.room
    n_days = (outlook.last - outlook.first).days + 1
    days = [outlook.first + timedelta(days=n) for n in range(n_days)]
    away = outlook.away
    weighing = Weighing(outlook, asked.times)
    found = Weeks(asked, Span(tasks=(), limits=()))
    tasks: list[Task] = []
    for chain in asked.chains:
        tasks += _tasks(_unless_late(asked, weighing, chain), found, weighing, chain)
    visits = visits_of(room, [found.coming[task.id] for task in tasks], outlook.now)
    tasks = [_visiting(task, visits.get(task.id, {}), weighing) for task in tasks]
    found.span = Span(
        tasks=tuple(tasks),
        limits=tuple(round(minutes_on(room, asked.what_if, day) * TENTHS) for day in days),
        counts=tuple(day not in away for day in days),
        shared=weighing.shared,
        supplies={
            facts.code: (round(litres_on(room, asked.what_if, facts) * TENTHS),) * n_days
            for facts in room.reservoirs
        },
        clashes=clashes_of(room, tasks, found.coming),
    )  # fmt: skip
    return found


def _unless_late(asked: Asked, weighing: Weighing, chain: Sequence[Coming]) -> Asked:
    """As asked, but let off what would make this chain late: the change day, the last days."""
    ways = [asked]
    if asked.pulled and any(_pulled(asked.outlook.room, one) for one in chain):
        ways.append(replace(asked, pulled=False))
    if asked.spared and asked.outlook.before_away and big_filter_job(chain[0].due.job):
        ways.append(replace(asked, spared=False))
    return asked if len(ways) == 1 else min(ways, key=lambda way: _late(way, weighing, chain))


def _late(asked: Asked, weighing: Weighing, chain: Sequence[Coming]) -> int:
    """Days late of a chain laid by itself."""
    n_days = (asked.outlook.last - asked.outlook.first).days + 1
    tasks = _tasks(asked, Weeks(asked, Span(tasks=(), limits=())), weighing, chain)
    laid = chains_of(Span(tasks=tuple(tasks), limits=(0,) * n_days))
    return sum(ranged.late for one in laid.chains for ranged in one)


def _tasks(asked: Asked, found: Weeks, weighing: Weighing, chain: Sequence[Coming]) -> list[Task]:
    """The tasks of one job at one target. What counts on from one nobody may do is not there."""
    made: list[Task] = []
    for one in chain:
        before = made[-1] if made and not every_day(one.due) else None
        days = _days(asked, one, before)
        if not days:
            found.nobody.append(one)
            if one.due_before is not None or (one.n == 0 and not every_day(one.due)):
                break
            continue
        task = _pinned(asked, found, one, _task(asked, weighing, found, one, days, before))
        found.coming[task.id] = one
        made.append(task)
    return made


def _pinned(asked: Asked, found: Weeks, one: Coming, task: Task) -> Task:
    """The task kept on the day the keeper chose, unless that day is forbidden to it."""
    name = one.due.id if one.n == 0 else one.id
    day = asked.pins.get(name)
    if day is None or not asked.outlook.first <= day <= asked.outlook.last:
        return task
    if not free_days(one, day, day, asked.outlook.nobody(one.due.job)):
        found.off_pins.append(one)
        return task
    found.pinned.add(task.id)
    number = (day - asked.outlook.first).days
    return replace(task, days=(number,), closes=max(task.closes, number), pinned=number)


def _task(
    asked: Asked, weighing: Weighing, found: Weeks, one: Coming, days: Sequence[date],
    before: Task | None,
) -> Task:  # fmt: skip
    """One occurrence as a task on some days."""
    first_day = asked.outlook.first
    weights = tuple(weighing.of(due) for due in (one.due, *one.tail))
    found.weight[one.id] = weights
    numbers = tuple((day - first_day).days for day in days)
    room = asked.outlook.room
    rack = room.tank[one.due.tank].rack if one.due.tank else ""
    shares = list(found.shares(one.id))
    if rack and not every_day(one.due):
        shares.append(weighing.points(f"rack {one.due.job.code} {rack}", RACK_POINTS))
    usual = (one.usual - first_day).days
    counts_on = before is not None and one.counts_on
    return Task(
        id=one.id, size=sum(weight.minutes for weight in weights), days=numbers,
        usual=usual if usual in numbers else min(numbers, key=lambda n: (abs(n - usual), n)),
        closes=NEVER if counts_on else (one.last - first_day).days,
        uses=tuple((weight.reservoir, weight.litres) for weight in weights if weight.litres
                   and weight.reservoir),
        shares=tuple(shares), after="" if before is None else before.id,
        windows=_windows(asked, one) if counts_on else (),
        worth=KINDS[one.due.job.kind].worth, catch_up=catch_up_days(one.due),
        place=one.due.tank or one.due.target, goes_on=counts_on,
    )  # fmt: skip


def _windows(asked: Asked, one: Coming) -> tuple[tuple[int, int], ...]:
    """First and last day in time, for each day of the span on which the one before is done."""
    if one.id in asked.windows:
        return asked.windows[one.id]
    outlook, found = asked.outlook, []
    for number in range((outlook.last - outlook.first).days + 1):
        window = one.window_by(outlook.first + timedelta(days=number))
        found.append(
            ((window.opens - outlook.first).days, (window.closes - outlook.first).days)
        )  # fmt: skip
    return asked.windows.setdefault(one.id, tuple(found))


def _days(asked: Asked, one: Coming, before: Task | None) -> tuple[date, ...]:
    """Days it may be done on, late ones too; on days away only what has no other in time."""
    first, last = asked.outlook.first, asked.outlook.last
    covered = asked.outlook.nobody(one.due.job)
    if every_day(one.due):
        return free_days(one, one.usual, one.usual, covered)
    counts_on = before is not None and one.counts_on
    opens = first if counts_on else max(first, one.first)
    days = free_days(one, opens, last, asked.outlook.away)
    if not any(one.first <= day <= one.last for day in days):
        days = free_days(one, opens, last, covered)
    if one.keeps_slot:
        in_time = tuple(day for day in days if one.first <= day <= one.last)
        days = in_time or tuple(day for day in days if day == one.usual)
    if one.served is not None:
        served = one.served
        days = tuple(day for day in days if day in served)
    if asked.spared and big_filter_job(one.due.job):
        days = _spared(asked.outlook, one, days, counts_on)
    if asked.pulled and _pulled(asked.outlook.room, one):
        weekday = asked.outlook.room.setup.change_weekday
        on_change_day = tuple(
            day for day in days if day.weekday() == weekday and (counts_on or day <= one.last)
        )
        return on_change_day or days
    return days


def _spared(
    outlook: Outlook, one: Coming, days: tuple[date, ...], counts_on: bool
) -> tuple[date, ...]:
    """The days without the last ones before days away, while as good a one is left."""
    kept = tuple(day for day in days if day not in outlook.before_away)
    was, still = (any(one.first <= day <= one.last for day in some) for some in (days, kept))
    return kept if kept and (counts_on or still or not was) else days


def _pulled(room: Room, one: Coming) -> bool:
    """Whether it is a water job that the rules place on the change day."""
    return (
        isinstance(one.due.trigger, Every)
        and KINDS[one.due.job.kind].water
        and room.setup.change_weekday == one.usual.weekday()
        and one.first <= one.usual <= one.last
    )


def _visiting(task: Task, visits: Mapping[str, int], weighing: Weighing) -> Task:
    names = tuple(weighing.points(name, points) for name, points in sorted(visits.items()))
    return replace(task, shares=(*task.shares, *names)) if names else task
