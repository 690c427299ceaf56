"""What is due, when, and what stands in the way: jobs + journal + an instant -> `Due`.

For every job at every target the open slot is found (`slots`), its window laid
round it, and its day placed: on the change day where the window holds it, off
days that a hold or a gap forbids, to the day it was put off to. What lies
between two jobs is applied in `apart`. Nothing here reads a clock or a store.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from functools import lru_cache
from typing import NamedTuple

from roomtasks.room.apart import place_between
from roomtasks.room.blocks import with_blocks
from roomtasks.room.day import resolve
from roomtasks.room.health import Health
from roomtasks.room.job import Job, Window, parse_window
from roomtasks.room.kind import KINDS
from roomtasks.room.missed import made_up
from roomtasks.room.naming import job_said
from roomtasks.room.occurrence import ONTO, Block, Due, State, StepBack
from roomtasks.room.past import NOTHING, Past, Pasts
from roomtasks.room.problem import Problem
from roomtasks.room.rest import resting
from roomtasks.room.room import Room
from roomtasks.room.scope import Places, tasks_near
from roomtasks.room.slots import Scene, slot_for, trigger_of, window_of
from roomtasks.room.tank import litres_of
from roomtasks.room.targets import class_at
from roomtasks.room.trigger import Every, Follows, Trigger
from roomtasks.room.trouble_holds import Place, blocks_of, opens_after, remarks_of
from roomtasks.room.water import catch_up_for_gap, owed_after_part

_window = lru_cache(maxsize=1024)(parse_window)


def all_due(room: Room, pasts: Pasts, now: datetime, near: Places | None = None) -> tuple[Due, ...]:
    """Every occurrence that has a slot, in the room's order of jobs and targets.

    With `near`, only those of these places and what is tied to them room-wide.
    """
    scene = Scene(room, room.day_at(now), now, pasts)
    waters = Waters(room, now)
    found = [
        due
        for job, target in tasks_near(room, now, near)
        if (due := one_due(scene, job, target, waters)) is not None
    ]
    return tuple(_stated(due) for due in place_between(scene, found))


def one_due(scene: Scene, job: Job, target: str, waters: "Waters") -> Due | None:
    """The occurrence of one job at one target, before pairs are looked at."""
    if resting(scene.room, job, target, scene.now):
        return None
    trigger = trigger_of(job)
    written = _window(job.window)
    if isinstance(trigger, Problem) or isinstance(written, Problem):
        return None
    window = window_of(job, trigger, written)
    past = scene.pasts.get((job.code, target), NOTHING)
    slot = slot_for(scene, job, target, trigger, window, past)
    if slot is None:
        return None
    tank = scene.room.tank_of(target)
    closes = slot.first + timedelta(days=window.late)
    health = class_at(scene.room, target, scene.today)
    amounts = _amounts(job, past, tank or target, waters)
    due = Due(
        job, target, tank, slot, window, opens=slot.first - timedelta(days=window.early),
        closes=closes, window_closes=closes, placed=slot.first, wanted=slot.first, past=past,
        trigger=trigger, today=scene.today, follows_name=_follows(scene, trigger),
        health=Health.CLEAN if health is None else health,
        fraction=amounts.fraction, owed_fraction=amounts.owed_fraction,
        part_done=amounts.part_done, litres=amounts.litres, litres_known=amounts.litres_known,
    )  # fmt: skip
    due = _on_change_day(scene, _caught_up(scene, due, waters))
    return _at_hour(scene, _held(scene, _put_off(due)))


def _follows(scene: Scene, trigger: Trigger) -> str:
    """The name of the job a rule follows, "" where it follows none."""
    return job_said(scene.room.job, trigger.job) if isinstance(trigger, Follows) else ""


def _on_change_day(scene: Scene, due: Due) -> Due:
    """Place an interval water job on the change day its window holds, else offer a step back."""
    weekday = scene.room.setup.change_weekday
    if (
        weekday is None
        or not isinstance(due.trigger, Every)
        or not KINDS[due.job.kind].water
        or due.window == Window(0, 0)
    ):
        return due
    days = [
        due.opens + timedelta(days=n)
        for n in range((due.closes - due.opens).days + 1)
        if (due.opens + timedelta(days=n)).weekday() == weekday
    ]
    if days:
        nearest = min(days, key=lambda day: (abs((day - due.slot.first).days), day))
        if nearest == due.slot.first:
            return due
        return replace(due, placed=nearest, wanted=nearest, moved=(ONTO,))
    back = due.slot.first - timedelta(days=(due.slot.first.weekday() - weekday) % 7)
    last = due.past.closing
    if last is None or back <= last.day or due.slot.missed:
        return due
    usual = (due.slot.first - last.day).days
    fraction = due.job.fraction
    return replace(
        due,
        moved=("off the change day",),
        step_back=StepBack(
            back,
            catch_up_for_gap((back - last.day).days / usual, fraction) if fraction else None,
        ),
    )


class _Amounts(NamedTuple):
    """The amounts of a `Due`, worked out before it is made."""

    fraction: float | None
    owed_fraction: float | None
    part_done: float
    litres: float | None
    litres_known: str


def _amounts(job: Job, past: Past, place: str, waters: "Waters") -> _Amounts:
    """Fraction and litres, less what was partly done (by the dilution sum, not subtraction)."""
    parts = [m.fraction for m in past.since if m.outcome == "partly" and m.fraction is not None]
    kept = 1.0
    for part in parts:
        kept *= 1.0 - part
    done, wanted = 1.0 - kept, job.fraction
    if wanted is not None:
        owed = owed_after_part(done, wanted) if parts else None
        body = waters.body(place)
        litres = (owed if owed is not None else wanted) * body[0] if body else None
        return _Amounts(wanted, owed, done, litres, body[1] if body else "")
    share = min(1.0, sum(parts))
    litres = job.litres * (1.0 - share) if job.litres is not None else None
    known = "as the job says" if litres else ""
    return _Amounts(None, 1.0 - share if parts else None, share, litres, known)


def _caught_up(scene: Scene, due: Due, waters: "Waters") -> Due:
    """After missed changes, what makes up for them, or the first part of it."""
    place, missed = due.tank or due.target, due.slot.missed + due.past.left_out
    plan = made_up(
        scene.room, due.job, due.trigger, place, missed, due.part_done, scene.now
    )  # fmt: skip
    body = waters.body(place)
    if plan is None or body is None or not plan.each_fraction:
        return due
    return replace(due, owed_fraction=plan.each_fraction, litres=plan.each_fraction * body[0])


def _held(scene: Scene, due: Due) -> Due:
    """Keep it off the days on which a hold, or a trouble, stands at its place."""
    room = scene.room
    if not (room.holds or room.troubles):
        return due
    places = {due.target, due.tank, "room"} - {""}
    holds = [
        Block(hold.since, hold.until, hold.reason or hold.cause, "hold")
        for place in sorted(places)
        for hold in room.holds_at.get(place, ())
        if hold.covers(due.job)
    ]
    if not room.troubles:
        return with_blocks(due, holds)
    place_of = Place(due.target, due.tank)
    said = tuple(remarks_of(room, due.job, place_of, scene.now))
    due = replace(due, moved=(*due.moved, *said)) if said else due
    return with_blocks(due, (*holds, *blocks_of(room, due.job, place_of, scene.now)))


def _put_off(due: Due) -> Due:
    """A put-off moves the placed day; the window stays the truth."""
    last = next((m for m in reversed(due.past.since) if m.outcome == "put-off"), None)
    if last is None or last.until is None or last.until <= due.today:
        return due
    return replace(due, put_off_to=last.until, placed=max(due.placed, last.until))


def _at_hour(scene: Scene, due: Due) -> Due:
    """Not before its time of day, or the minutes after the job it follows."""
    opens = due.slot.not_before
    if opens is None and due.job.from_time is not None:
        day = max(due.placed, due.today)
        opens = resolve(datetime.combine(day, due.job.from_time), scene.room.zone)
        if due.job.from_time < scene.room.day_starts:
            following = datetime.combine(day + timedelta(days=1), due.job.from_time)
            opens = resolve(following, scene.room.zone)
    if scene.room.troubles:
        fed = opens_after(scene.room, due.job, Place(due.target, due.tank), scene.now)
        opens = fed if opens is None or (fed is not None and fed > opens) else opens
    return replace(due, later_today=opens) if opens is not None and opens > scene.now else due


def _stated(due: Due) -> Due:
    state = _state(due)
    return due if state is due.state else replace(due, state=state)


def _state(due: Due) -> State:
    """The state of a placed occurrence on its `today`."""
    today = due.today
    if (
        due.blocked is not None
        and today >= due.opens
        and (due.blocked.until is None or today <= due.blocked.until)
    ):
        return State.HELD
    if today > due.closes:
        return State.LATE
    if today >= due.placed:
        return State.DUE
    return State.OPEN if today >= due.opens else State.NOT_YET_OPEN


class Waters:
    """Litres a change works on, looked up once a body."""

    def __init__(self, room: Room, now: datetime) -> None:
        self._room, self._now = room, now
        self._found: dict[str, tuple[float, str] | None] = {}

    def body(self, place: str) -> tuple[float, str] | None:
        """Litres a fraction is taken of at a tank or system, and how they are known."""
        if place not in self._found:
            self._found[place] = self._look_up(place)
        return self._found[place]

    def _look_up(self, key: str) -> tuple[float, str] | None:
        if key in self._room.tank:
            litres = litres_of(self._room.tank[key])
            return None if isinstance(litres, Problem) else (litres.litres, litres.known)
        if key in self._room.system:
            return self._room.open_litres(key, self._now), "computed"
        return None
