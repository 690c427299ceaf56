"""One fill by the clock: back from the hour of the change, and on from what was done.

    ready = max(full and treated + rest, heater on + heating, full + mixing)

then the ready check, then the change. Sums of hours are real time, whatever the
clocks do at night; instants are shown in the zone of the hour wanted. Does not
live here: temperatures (`warming`), who is there (`attended`), doses (`dosing`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from roomtasks.room.amount import COMPUTED, Amount
from roomtasks.room.attended import Attended
from roomtasks.room.in_hand import done_of
from roomtasks.room.problem import Problem
from roomtasks.room.ready_plan import FillPlan, Times, minutes
from roomtasks.room.ready_words import NOT_WATCHED, never_problem, step_words, too_soon
from roomtasks.room.setup import Hours
from roomtasks.room.warming import (
    FillNeed,
    Warming,
    as_set,
    fill_minutes,
    need_fault,
    warm,
)
from roomtasks.room.water_plan import Clock, ClockStep, Contents, Note

STEPS = ("hose-out", "fill-start", "full", "treated", "rest", "heat-on", "mixed", "ready-check",
         "change")  # fmt: skip
HEAT_MARGIN, FILL_MARGIN = 1.5, 1.2  # advised over least; common practice, no published source
_MINUTE = timedelta(minutes=1)
_NONE = timedelta(0)


def clock(
    need: FillNeed,
    hours: Sequence[Hours],
    wanted_at: datetime,
    now: datetime,
    free_at: datetime | None = None,
    contents: Contents | None = None,
) -> Clock:
    """The plan of one fill for a change at `wanted_at`, an instant in the room's zone.

    `latest` are the last instants that still make it, `advised` leave a margin
    (1.2 of the fill, 1.5 of the heating) or are now. The fill waits for
    `free_at`; the hose may be laid before. With `contents` the plan goes on from
    what was done. Where the hour cannot be kept `refused` says why, `latest` is
    what it would have wanted and `advised` the earliest there is. Bad numbers and
    water that never gets ready leave only the change, and no `ready_at`.
    Raises ValueError for a wanted hour without a zone.
    """
    zone = wanted_at.tzinfo
    if not isinstance(zone, ZoneInfo):
        raise ValueError("the hour of the change needs the room's zone")
    wanted = wanted_at.astimezone(UTC)
    problem = need_fault(need)
    warming = problem if problem is not None else _warm(need, contents)
    if isinstance(warming, Problem):
        return _only_change(wanted_at, warming)
    plan = FillPlan(
        need=need, warming=warming, attended=Attended.of(hours, zone), done=done_of(need, contents),
        now=now.astimezone(UTC), free=(free_at or now).astimezone(UTC), fill=fill_minutes(need),
    )  # fmt: skip
    earliest, latest = plan.forward(), plan.backward(wanted)
    if earliest is None or latest is None:
        longest = plan.attended.longest(wanted)
        return _only_change(wanted_at, never_problem(need, plan.fill, longest))
    return _told(plan, zone, wanted_at, earliest, latest)


def _warm(need: FillNeed, contents: Contents | None) -> Warming | Problem:
    return warm(need, done_of(need, contents).contents)


def _only_change(wanted_at: datetime, problem: Problem) -> Clock:
    step = ClockStep(step="change", latest=wanted_at, advised=wanted_at, why="the hour wanted",
                     minutes=as_set(0, "min"))  # fmt: skip
    return Clock(steps=(step,), wanted_at=wanted_at, ready_at=None, refused=problem)


def _told(
    plan: FillPlan, zone: ZoneInfo, wanted_at: datetime, earliest: Times, latest: Times
) -> Clock:
    """The steps with their words, and whether the hour can be kept."""
    wanted = wanted_at.astimezone(UTC)
    refused = None
    if earliest["change"] - wanted >= _MINUTE:
        advised = earliest
        shown = {step: _nearest(at, zone) for step, at in earliest.items()}
        refused = too_soon(plan.need, wanted_at, shown, plan.done)
    else:
        latest = {step: _to_the_minute(at, earliest.get(step, at)) for step, at in latest.items()}
        advised = _advised(plan, wanted, earliest, latest)
    near = _nearest if refused is not None else _floor
    heating = _heating(plan, latest)
    steps = tuple(
        _step(plan, step, _floor(latest[step], zone), near(advised[step], zone), heating)
        for step in _shown_steps(plan)
    )
    in_order = sorted(steps, key=lambda step: step.latest.astimezone(UTC))
    return Clock(
        steps=tuple(in_order), wanted_at=wanted_at,
        ready_at=_nearest(earliest["ready"], zone), refused=refused,
        notes=_notes(plan, zone, wanted, earliest, latest),
    )  # fmt: skip


def _to_the_minute(latest: datetime, earliest: datetime) -> datetime:
    """An hour that is kept to the minute leaves no step late by seconds."""
    return earliest if latest < earliest < latest + _MINUTE else latest


def _shown_steps(plan: FillPlan) -> list[str]:
    heats, mixes = plan.heats, plan.mix > _NONE or plan.done.mixed is not None
    there = {
        "hose-out": plan.fills, "fill-start": plan.fills, "full": plan.fills,
        "treated": plan.treats, "rest": plan.rests, "heat-on": heats, "mixed": mixes,
        "ready-check": plan.check > _NONE or plan.done.checked is not None, "change": True,
    }  # fmt: skip
    return [step for step in STEPS if there[step]]


def _advised(plan: FillPlan, wanted: datetime, earliest: Times, latest: Times) -> Times:
    """Instants with a margin, none before now, none after the latest."""
    eased = plan.backward(wanted, HEAT_MARGIN, FILL_MARGIN) or latest
    advised = {
        step: min(max(eased.get(step, at), earliest.get(step, at)), at)
        for step, at in latest.items()
    }
    if plan.done.full is not None and not (plan.treats and plan.done.treated is None):
        advised["rest"] = earliest["rest"]
    heat = plan.attended.last_start(_NONE, advised["heat-on"])
    floor = max(advised.get("full", plan.now), earliest["heat-on"])
    advised["heat-on"] = min(latest["heat-on"], max(heat or advised["heat-on"], floor))
    return advised


def _heating(plan: FillPlan, latest: Times) -> Amount | None:
    """Minutes of the heating that ends at the check, with what it cools before it begins."""
    at_once = plan.warming.minutes
    if at_once is None or plan.done.heat_on is not None:
        return at_once
    late = (latest["ready-check"] - latest["heat-on"]) / _MINUTE
    if late <= at_once.value + 1:
        return at_once
    cooled = f"{at_once.formula}, and what it cools before the heater is on"
    return replace(at_once, value=late, formula=cooled)


def _step(
    plan: FillPlan, step: str, latest: datetime, advised: datetime, heating: Amount | None
) -> ClockStep:
    done = plan.done
    told = {
        "hose-out": done.hose, "fill-start": done.fill_start, "full": done.full,
        "treated": done.treated, "heat-on": done.heat_on, "mixed": done.mixed,
        "ready-check": done.checked,
    }.get(step)  # fmt: skip
    at = None if told is None else told.astimezone(latest.tzinfo)
    facts = plan.need.reservoir
    minutes = {
        "hose-out": as_set(facts.hose_minutes, "min"), "fill-start": plan.fill,
        "rest": as_set(60 * facts.rest_hours, "min"), "mixed": as_set(facts.mix_minutes, "min"),
        "heat-on": heating, "ready-check": as_set(facts.check_minutes, "min"),
    }.get(step)  # fmt: skip
    return ClockStep(
        step=step, latest=latest, advised=at or advised, done_at=at,
        minutes=minutes or Amount(0.0, "min", COMPUTED), why=step_words(plan.need, step),
    )  # fmt: skip


def _notes(
    plan: FillPlan, zone: ZoneInfo, wanted: datetime, earliest: Times, latest: Times
) -> tuple[Note, ...]:
    about, found = plan.need.reservoir.code, []
    if wanted - latest["ready-check"] - plan.check >= _MINUTE and plan.done.checked is None:
        at = _floor(latest["ready-check"], zone)
        found.append(Note(about=about, text=f"nobody is there just before the change, so it is "
                          f"checked at {at:%a %H:%M}"))  # fmt: skip
    above = plan.warming.above_kelvin
    if above > 0:
        found.append(Note(about=about, text=f"it comes {above:.2g} K warmer than wanted, near "
                          "enough to be let be"))  # fmt: skip
    full = earliest.get("full") if plan.done.filling else None
    if full is not None and not (plan.need.reservoir.unattended or plan.attended.at(full)):
        when = f"{_floor(full, zone):%a %H:%M}"
        text = f"nobody is there when it is full, at {when}: stop the hose before"
        found.append(Note(about=about, text=text, sort="warned", rule=NOT_WATCHED))
    return tuple(found)


def _floor(at: datetime, zone: ZoneInfo) -> datetime:
    """The whole minute an instant lies in, in the room's zone."""
    return at.replace(second=0, microsecond=0).astimezone(zone)


def _nearest(at: datetime, zone: ZoneInfo) -> datetime:
    return _floor(at + _MINUTE / 2, zone)


# --- several fills of one reservoir -------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainedFill:
    """A fill, when it is wanted, the litres used out of it and how long that takes.

    `free_at` is when the reservoir is empty for this fill, where that is known.
    """

    need: FillNeed
    wanted_at: datetime
    used_litres: float = 0.0
    job_minutes: float = 0.0
    free_at: datetime | None = None


def emptied_at(fill: ChainedFill, planned: Clock) -> datetime | None:
    """When the reservoir is free again: after the change's start, once its shares are pumped.

    The pumping at the pump's rate or the minutes of its jobs, whichever is
    longer. A refused change starts at its earliest hour; None where it never can.
    """
    begun = planned.steps[-1].advised if planned.refused is not None else planned.wanted_at
    if planned.ready_at is None:
        return None
    rate = fill.need.reservoir.pump_litres_per_min
    pumping = fill.used_litres / rate if rate else 0.0
    after = begun.astimezone(UTC) + minutes(max(pumping, fill.job_minutes))
    return after.astimezone(planned.wanted_at.tzinfo)


def chain(
    fills: Sequence[ChainedFill],
    hours: Sequence[Hours],
    now: datetime,
    contents: Contents | None = None,
) -> tuple[Clock, ...]:
    """Fills of one reservoir in order: each waits until the one before is emptied.

    `contents` is what the reservoir holds now, for the first of them. After a
    fill that never gets ready the next ones are refused with it.
    """
    found: list[Clock] = []
    free: datetime | None = None
    for fill in fills:
        blocked = found[-1].refused if found and found[-1].ready_at is None else None
        if blocked is not None:
            found.append(_only_change(fill.wanted_at, replace(
                blocked, what=f"the fill before it never gets ready: {blocked.what}")))  # fmt: skip
            continue
        planned = clock(fill.need, hours, fill.wanted_at, now, fill.free_at or free,
                        contents if not found else None)  # fmt: skip
        found.append(planned)
        free = emptied_at(fill, planned)
    return tuple(found)
