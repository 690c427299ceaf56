"""Which occurrence of a job is open: the slot to serve, and how many were missed.

Two families. Done-based rules (every so many days, counters) have one next
slot, counted from the newest mark. Listed rules (calendar, once, event, state,
follows) have dated slots; the one to serve is the nearest whose window is
open, else the newest that was missed, else the next. Missed slots never pile
up: they are one job with a number. Windows around a slot are in `due`.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property, lru_cache

from roomtasks.room import recurrence
from roomtasks.room.job import Job, Window
from roomtasks.room.past import NOTHING, Past, Pasts
from roomtasks.room.problem import Problem
from roomtasks.room.rebase import Interval, default_window, month_day, next_due
from roomtasks.room.rest import rests_when_empty
from roomtasks.room.room import Room
from roomtasks.room.trigger import (
    AfterEvent,
    Calendar,
    Counter,
    Every,
    Follows,
    Once,
    OnState,
    Trigger,
    parse_trigger,
)  # fmt: skip

EVENT_MEMORY_DAYS = 120
CALENDAR_EPOCH = date(2001, 1, 1)
ONE_DAY = timedelta(days=1)

_trigger = lru_cache(maxsize=8192)(parse_trigger)


@dataclass(frozen=True, slots=True)
class Slot:
    """The slot to serve. `first` is the oldest unserved one, whose window counts.

    `day` is what a mark stores. `not_before` is an instant before which the
    job is not open on its day. `forecast` marks a day worked out from a rate.
    """

    day: date
    first: date
    missed: int = 0
    not_before: datetime | None = None
    forecast: bool = False


def trigger_of(job: Job) -> Trigger | Problem:
    """The job's rule as a value."""
    return _trigger(job.rule)


@lru_cache(maxsize=8192)
def rule_of(text: str, starts: date | None) -> recurrence.Rule | Problem:
    """A calendar job's recurrence rule, anchored at its first due day."""
    return recurrence.parse_rule(text, starts or CALENDAR_EPOCH)


def window_of(job: Job, trigger: Trigger, window: Window | None) -> Window:
    """The window as written, or the default of the rule."""
    if window is not None:
        return window
    if isinstance(trigger, Every):
        return Window(*default_window(trigger.interval))
    return Window(0, 0)


@dataclass(frozen=True)
class Scene:
    """What a slot is worked out from: the room, the day and instant, all pasts."""

    room: Room
    today: date
    now: datetime
    pasts: Pasts

    @cached_property
    def _at(self) -> dict[str, list[tuple[tuple[str, str], Past]]]:
        found: dict[str, list[tuple[tuple[str, str], Past]]] = {}
        for key, past in self.pasts.items():
            found.setdefault(self.room.tank_of(key[1]) or key[1], []).append((key, past))
        return found

    def pasts_at(self, place: str) -> Iterable[tuple[tuple[str, str], Past]]:
        """Pasts at one tank, or all of them where the place is ""."""
        return self._at.get(place, ()) if place else self.pasts.items()


def slot_for(
    scene: Scene, job: Job, target: str, trigger: Trigger, window: Window, past: Past
) -> Slot | None:
    """The slot of a job at a target; None where there is nothing to do."""
    match trigger:
        case Every(interval, _) if interval == Interval(1, "days"):
            return _daily(scene, job, target, past)
        case Every():
            return _every(scene, job, target, trigger, window, past)
        case Calendar(text):
            return _calendar(scene, job, text, window, past)
        case Once(day):
            return _listed([day], scene.today, window, past)
        case AfterEvent(event, offsets):
            days = _event_days(scene, target, event, offsets, past)
            return _listed(days, scene.today, window, NOTHING)
        case OnState():
            entered = _entered(scene, target, trigger)
            if entered is None:
                return None
            days = [entered + timedelta(days=offset) for offset in trigger.offsets]
            served = _within(scene, target, trigger, past)
            return _listed(days, scene.today, window, served)
        case Counter():
            return _counter(scene, trigger, past, job)
        case Follows():
            return _follows(scene, target, trigger, past)


def anew_since(scene: Scene, job: Job, target: str, rests: bool) -> date | None:
    """The day from which a job's period starts anew at a target, if something reset it.

    Restocking resets what rested while the tank stood empty, and so do the first fish
    of a tank that had none when the job began; a turned valve resets jobs whose place
    is "on system" or "cut off from".
    """
    days: list[date] = []
    tank = scene.room.tank_of(target)
    if rests and tank:
        restocked = scene.room.restocked(tank)
        if restocked is not None:
            days.append(restocked[0])
        first = scene.room.first_fish(tank)
        if first is not None and job.starts is not None and first > job.starts:
            days.append(first)
    if tank and (" cut off from " in job.where or " on system " in job.where):
        since = scene.room.valve.since(tank, scene.now)
        if since is not None:
            days.append(scene.room.day_at(since))
    return max(days, default=None)


def _every(
    scene: Scene, job: Job, target: str, rule: Every, window: Window, past: Past
) -> Slot:  # fmt: skip
    first = _first_due(scene, job, rule, window, past)
    anew = anew_since(scene, job, target, rests_when_empty(scene.room, job, target, scene.now))
    if anew is not None and (past.closing is None or past.closing.day < anew):
        first = _from_anew(scene, job, rule, past, anew)
    day, missed = first, 0
    if rule.interval.unit != "months":
        step = rule.interval.count * (7 if rule.interval.unit == "weeks" else 1)
        missed = max(0, (scene.today - first).days // step)
        return Slot(first + timedelta(days=step * missed), first, missed)
    wanted = month_day(rule.keeps, rule.interval, first, job.starts)
    while (
        following := Interval(rule.interval.count * (missed + 1), "months").after(first, wanted)
    ) <= scene.today:
        day, missed = following, missed + 1
    return Slot(day, first, missed)


def _from_anew(scene: Scene, job: Job, rule: Every, past: Past, anew: date) -> date:
    first = rule.interval.after(anew)
    if past.closing is not None:
        return first
    if job.starts is not None:
        return max(first, job.starts)
    return first if (scene.today - anew).days <= EVENT_MEMORY_DAYS else scene.today


def _first_due(scene: Scene, job: Job, rule: Every, window: Window, past: Past) -> date:
    last = past.closing
    if last is None:
        return job.starts or scene.today
    if last.outcome == "left-out":
        wanted = month_day(rule.keeps, rule.interval, last.slot, job.starts)
        return rule.interval.after(last.slot, wanted)
    return next_due(
        rule.keeps, last.slot, last.day, rule.interval, window.early, window.late, job.starts
    )  # fmt: skip


def _daily(scene: Scene, job: Job, target: str, past: Past) -> Slot:
    """Every day: yesterday's cannot be done today, so it is today's with some missed."""
    served = past.closing.slot if past.closing else None
    anew = anew_since(scene, job, target, rests_when_empty(scene.room, job, target, scene.now))
    starts = max((day for day in (job.starts, anew) if day is not None), default=None)
    if served is not None and served >= scene.today:
        day = served + ONE_DAY
        return Slot(day, day)
    if served is None and starts is not None and starts > scene.today:
        return Slot(starts, starts)
    first = max(
        (day for day in (served + ONE_DAY if served else None, starts) if day is not None),
        default=scene.today,
    )
    return Slot(scene.today, scene.today, (scene.today - first).days)


def _calendar(scene: Scene, job: Job, text: str, window: Window, past: Past) -> Slot | None:
    rule = rule_of(text, job.starts)
    if isinstance(rule, Problem):
        return None
    served = past.closing.slot if past.closing else None
    before = recurrence.last_on_or_before(rule, scene.today)
    if before is not None and served is not None and before <= served:
        before = None
    nobody_asked = served is None and job.starts is None
    if before is not None and nobody_asked and (scene.today - before).days > window.late:
        before = None
    after_day = max(scene.today, served) if served is not None else scene.today
    following = recurrence.first_after(rule, after_day)
    chosen = _choose(before, following, scene.today, window)
    if chosen is None:
        return None
    missed = 0
    oldest = served + ONE_DAY if served is not None else job.starts
    if oldest is not None and oldest < chosen:
        horizon = max(oldest, chosen - timedelta(days=3660))
        missed = len(recurrence.between(rule, horizon, chosen - ONE_DAY))
    return Slot(chosen, chosen, missed)


def _listed(days: Sequence[date], today: date, window: Window, past: Past) -> Slot | None:
    if past.closing is not None:
        days = [day for day in days if day > past.closing.slot]
    at = bisect_right(days, today)
    before = days[at - 1] if at else None
    following = days[at] if at < len(days) else None
    chosen = _choose(before, following, today, window)
    if chosen is None:
        return None
    return Slot(chosen, chosen, bisect_left(days, chosen))


def _choose(
    before: date | None, following: date | None, today: date, window: Window
) -> date | None:
    """The nearest slot whose window is open; else the one gone by; else the next."""
    if before is None or following is None:
        return before or following
    opened = (following - today).days <= window.early
    if not opened:
        return before
    still_open = (today - before).days <= window.late
    if still_open and (today - before) <= (following - today):
        return before
    return following


def _event_days(
    scene: Scene, target: str, event: str, offsets: tuple[int, ...], past: Past
) -> list[date]:  # fmt: skip
    """Days asked for by events; none the newest mark served, unless it was made before them.

    What was to be done before an event lapses with it.
    """
    oldest = scene.today - timedelta(days=EVENT_MEMORY_DAYS)
    tank = scene.room.tank_of(target) or target
    last = past.closing
    found = {
        happened.day + timedelta(days=offset)
        for place in {target, tank}
        for happened in scene.room.events_at.get(place, ())
        if happened.event == event and happened.day >= oldest
        for offset in offsets
        if offset >= 0 or happened.day >= scene.today
        if last is None
        or happened.day + timedelta(days=offset) > last.slot
        or (happened.at is not None and happened.at > last.at)
    }
    return sorted(found)


def _entered(scene: Scene, target: str, rule: OnState) -> date | None:
    """The day the state that holds now was entered; None where it does not hold."""
    room, tank = scene.room, scene.room.tank_of(target)
    if rule.state == "empty":
        return room.empty_since(tank) if tank else None
    if rule.state == "restocked":
        restocked = room.restocked(tank) if tank else None
        if restocked is None or restocked[1] <= rule.after_days or not room.heads_in(tank):
            return None
        return restocked[0]
    if rule.state == "pump-off":
        off = _pump_off_since(scene, target)
        return room.day_at(off) if off is not None else None
    turn_now = room.valve.last(tank, scene.now) if tank else None
    if turn_now is None or f"valve-{turn_now.state}" != rule.state:
        return None
    if rule.state == "valve-open" and len(room.valve.turns[tank]) < 2:
        return None
    since = room.valve.since(tank, scene.now)
    return room.day_at(since) if since is not None else None


def _pump_off_since(scene: Scene, system: str) -> datetime | None:
    """When the pump that is off now was stopped, however often that was said since."""
    since: datetime | None = None
    turns = [t for t in scene.room.pumps if t.system == system and t.at <= scene.now]
    for turn in sorted(turns, key=lambda turn: turn.at, reverse=True):
        if turn.state != "off":
            break
        since = turn.at
    return since


def _within(scene: Scene, target: str, rule: OnState, past: Past) -> Past:
    """The past without a mark from an earlier time in the same state, where that is known."""
    entered: datetime | None = None
    if rule.state == "pump-off":
        entered = _pump_off_since(scene, target)
    elif rule.state.startswith("valve-"):
        entered = scene.room.valve.since(scene.room.tank_of(target), scene.now)
    if entered is None or past.closing is None or past.closing.at >= entered:
        return past
    return NOTHING


def _counter(scene: Scene, rule: Counter, past: Past, job: Job) -> Slot | None:
    rows = sorted(
        (row for row in scene.room.counters if row.counter == rule.counter),
        key=lambda row: row.day,
    )
    if not rows:
        return None
    start_day = past.closing.day if past.closing else (job.starts or rows[0].day)
    before = [row for row in rows if row.day <= start_day]
    goal = (before[-1] if before else rows[0]).value + rule.each
    for row in rows:
        if row.day > start_day and row.value >= goal:
            return Slot(row.day, row.day)
    if len(rows) < 2 or rows[-1].value <= rows[0].value:
        return None
    run = (rows[-1].value - rows[0].value) / max(1, (rows[-1].day - rows[0].day).days)
    left = goal - rows[-1].value
    days = int(left / run) + (1 if left % run else 0)
    if days > 36600:
        return None
    day = max(rows[-1].day + timedelta(days=days), scene.today + ONE_DAY)
    return Slot(day, day, forecast=True)


def _follows(scene: Scene, target: str, rule: Follows, past: Past) -> Slot | None:
    newest: datetime | None = None
    for place in touching(scene, target):
        found = scene.pasts.get((rule.job, place))
        if (
            found is not None
            and found.done is not None
            and (newest is None or found.done.at > newest)
        ):
            newest = found.done.at
    if newest is None:
        return None
    opens = (newest.astimezone(UTC) + timedelta(minutes=rule.minutes)).astimezone(scene.room.zone)
    if past.closing is not None and past.closing.at >= newest:
        return None
    day = scene.room.day_at(opens)
    return Slot(day, day, not_before=opens)


def touching(scene: Scene, target: str) -> tuple[str, ...]:
    """Targets whose jobs can lead on to this one: itself, its tank, its system, the room."""
    room, tank = scene.room, scene.room.tank_of(target)
    places = [target, "room"]
    if tank:
        places += [tank, *(f.code for f in room.filters if f.tank == tank)]
        system = room.valve.open_to(tank, scene.now)
        places += [system] if system else []
    elif target in room.system:
        members = room.valve.members(target, scene.now)
        places += [*members, *room.reservoir]
    elif target == "room":
        places += [*room.tank, *room.system, *room.reservoir]
    return tuple(dict.fromkeys(places))
