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
from roomtasks.room.in_hand import Done, done_of
from roomtasks.room.problem import Problem
from roomtasks.room.ready_words import never_problem, step_words, too_soon
from roomtasks.room.setup import Hours
from roomtasks.room.warming import (
    FillNeed,
    Warming,
    as_set,
    fill_minutes,
    heating_after,
    need_fault,
    warm,
)
from roomtasks.room.water_plan import Clock, ClockStep, Contents, Note

STEPS = ("hose-out", "fill-start", "full", "treated", "rest", "heat-on", "mixed", "ready-check",
         "change")  # fmt: skip
HEAT_MARGIN, FILL_MARGIN = 1.5, 1.2  # advised over least; common practice, no published source
_MINUTE = timedelta(minutes=1)
_NONE = timedelta(0)
Times = dict[str, datetime]


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
    plan = _Plan(
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """All that goes into the sums of one fill; every instant in UTC."""

    need: FillNeed
    warming: Warming
    attended: Attended
    done: Done
    now: datetime
    free: datetime
    fill: Amount

    @property
    def fills(self) -> bool:
        return self.need.added_litres > 0

    @property
    def treats(self) -> bool:
        held = self.done.contents
        return self.need.dosed and (self.fills or (held is not None and held.raw_litres > 0))

    @property
    def rests(self) -> bool:
        known = self.done.full or self.done.treated
        return self.rest > _NONE and (self.fills or self.treats or known is not None)

    @property
    def rest(self) -> timedelta:
        return timedelta(hours=self.need.reservoir.rest_hours)

    @property
    def mix(self) -> timedelta:
        return _NONE if self._stands_ready else _minutes(self.need.reservoir.mix_minutes)

    @property
    def check(self) -> timedelta:
        return _minutes(self.need.reservoir.check_minutes)

    @property
    def hose(self) -> timedelta:
        return _minutes(self.need.reservoir.hose_minutes)

    @property
    def heat(self) -> timedelta:
        """Heating that begins at once."""
        return _minutes(self.warming.minutes.value) if self.warming.minutes else _NONE

    @property
    def _stands_ready(self) -> bool:
        return self.done.checked is not None or self.done.assumed_ready

    def heats(self) -> bool:
        return self.heat > _NONE or self.done.heat_on is not None

    # --- on from now --------------------------------------------------------------------

    def forward(self) -> Times | None:
        """The earliest instants, from now or from what was done; None where never."""
        at: Times = {}
        if not self._forward_fill(at):
            return None
        full = at.get("full", self._since(self.done.full))
        settled = at.get("treated", full)
        at["rest"] = settled
        at["heat-on"] = self._since(self.done.heat_on, max(full, self.now))
        warm_at = max(full, self.now) + self.heat
        mixing = self._since(self.done.mixed, max(settled, full, self.now) + self.mix)
        ready = max(settled + self.rest if self.rests else self.now, warm_at, mixing, self.now)
        at["mixed"] = self._since(self.done.mixed, ready - self.mix)
        at["ready"] = ready
        if self.done.checked is not None:
            at["ready-check"] = self._since(self.done.checked)
            at["change"] = ready
            return at
        check = self.attended.first_start(self.check, ready)
        if check is None:
            return None
        at["ready-check"], at["change"] = check, check + self.check
        return at

    def _forward_fill(self, at: Times) -> bool:
        """Hose, fill and treating into `at`; False where nobody is ever there for it."""
        length = _minutes(self.fill.value)
        if self.fills and self.done.fill_start is None:
            begin = self._fill_begin(length)
            if begin is None:
                return False
            at["hose-out"], at["fill-start"] = begin
            at["full"] = at["fill-start"] + length
        elif self.fills:
            at["hose-out"] = self._since(self.done.hose)
            at["fill-start"] = self._since(self.done.fill_start)
            left = self.done.to_run_in / self.need.added_litres
            at["full"] = self._since(self.done.full, self.now + left * length)
        if not self.treats:
            return True
        treated = self._forward_treated(at)
        if treated is None:
            return False
        at["treated"] = treated
        return True

    def _fill_begin(self, length: timedelta) -> tuple[datetime, datetime] | None:
        """When the hose is laid and the fill begun at the earliest."""
        watched = _NONE if self.need.reservoir.unattended else length
        if self.done.hose is not None:
            begin = self.attended.first_start(watched, max(self.now, self.free))
            return None if begin is None else (self._since(self.done.hose), begin)
        block = self.hose + watched
        laid = self.attended.first_start(block, max(self.now, self.free - self.hose))
        return None if laid is None else (laid, laid + self.hose)

    def _forward_treated(self, at: Times) -> datetime | None:
        if self.done.treated is not None:
            full = at.get("full")
            told = self._since(self.done.treated)
            return told if full is None else max(told, full)
        full = at.get("full", self.now)
        if self.fills and not self.need.reservoir.unattended and self.done.full is None:
            return full
        return self.attended.first_start(_NONE, max(full, self.now))

    def _since(self, told: datetime | None, else_: datetime | None = None) -> datetime:
        if told is not None:
            return told.astimezone(UTC)
        return self.now if else_ is None else else_

    # --- back from the change -----------------------------------------------------------

    def backward(
        self, wanted: datetime, heat_margin: float = 1.0, fill_margin: float = 1.0
    ) -> Times | None:
        """The last instants that make the hour wanted; None where nobody is ever there."""
        check = self.attended.last_start(self.check, wanted)
        if check is None:
            return None
        at: Times = {"change": wanted, "ready-check": check, "mixed": check - self.mix}
        at["ready"] = check
        settled = check - max(self.rest if self.rests else _NONE, self._heat_whole(), self.mix)
        if not self._backward_fill(at, settled, fill_margin):
            return None
        at["rest"] = at.get("treated", at.get("full", settled))
        full = at.get("full", settled)
        heat = self._heat_back(check, full)
        at["heat-on"] = max(check - heat_margin * heat, full)
        return at

    def _heat_whole(self) -> timedelta:
        """The heating from its beginning to its end, also where it is on already."""
        if self.done.heat_on is None:
            return self.heat
        return max(_NONE, self.now - self._since(self.done.heat_on)) + self.heat

    def _heat_back(self, check: datetime, full: datetime) -> timedelta:
        if self.done.heat_on is not None:
            return self._heat_whole()
        begun = self.now if self.done.full is not None or not self.fills else full
        hours = max(_NONE, check - begun) / timedelta(hours=1)
        return _minutes(heating_after(self.need, self.warming, max(hours, self._at_once_hours())))

    def _at_once_hours(self) -> float:
        return self.heat / timedelta(hours=1)

    def _backward_fill(self, at: Times, settled: datetime, margin: float) -> bool:
        """Hose, fill and treating into `at`; False where nobody is ever there for it."""
        alone = self.need.reservoir.unattended
        treated: datetime | None = settled
        if self.treats and (alone or not self.fills):
            treated = self.attended.last_start(_NONE, settled)
        if treated is None:
            return False
        if self.fills:
            length = _minutes(self.fill.value)
            watched = _NONE if alone else length
            over = treated - (margin - 1) * length - (length - watched)
            laid = self.attended.last_start(self.hose + watched, over)
            if laid is None:
                return False
            at["hose-out"], at["fill-start"] = laid, laid + self.hose
            at["full"] = laid + self.hose + length
            treated = treated if alone else at["full"]
        if self.treats:
            at["treated"] = treated
        return True


def _told(
    plan: _Plan, zone: ZoneInfo, wanted_at: datetime, earliest: Times, latest: Times
) -> Clock:
    """The steps with their words, and whether the hour can be kept."""
    wanted = wanted_at.astimezone(UTC)
    refused = None
    if earliest["change"] - wanted >= _MINUTE:
        advised = earliest
        shown = {step: _nearest(at, zone) for step, at in earliest.items()}
        refused = too_soon(plan.need, wanted_at, shown, plan.done)
    else:
        latest = {step: max(at, earliest.get(step, at)) for step, at in latest.items()}
        advised = _advised(plan, wanted, earliest, latest)
    near = _nearest if refused is not None else _floor
    steps = tuple(
        _step(plan, step, _floor(latest[step], zone), near(advised[step], zone))
        for step in _shown_steps(plan)
    )
    return Clock(
        steps=tuple(sorted(steps, key=lambda step: step.latest)), wanted_at=wanted_at,
        ready_at=_nearest(earliest["ready"], zone), refused=refused,
        notes=_notes(plan, zone, wanted, latest),
    )  # fmt: skip


def _shown_steps(plan: _Plan) -> list[str]:
    heats, mixes = plan.heats(), plan.mix > _NONE or plan.done.mixed is not None
    there = {
        "hose-out": plan.fills, "fill-start": plan.fills, "full": plan.fills,
        "treated": plan.treats, "rest": plan.rests, "heat-on": heats, "mixed": mixes,
        "ready-check": plan.check > _NONE or plan.done.checked is not None, "change": True,
    }  # fmt: skip
    return [step for step in STEPS if there[step]]


def _advised(plan: _Plan, wanted: datetime, earliest: Times, latest: Times) -> Times:
    """Instants with a margin, none before now, none after the latest."""
    eased = plan.backward(wanted, HEAT_MARGIN, FILL_MARGIN) or latest
    advised = {
        step: min(max(eased.get(step, at), earliest.get(step, at)), at)
        for step, at in latest.items()
    }
    heat = plan.attended.last_start(_NONE, advised["heat-on"])
    floor = max(advised.get("full", plan.now), earliest["heat-on"])
    advised["heat-on"] = min(latest["heat-on"], max(heat or advised["heat-on"], floor))
    return advised


def _step(plan: _Plan, step: str, latest: datetime, advised: datetime) -> ClockStep:
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
        "heat-on": plan.warming.minutes, "ready-check": as_set(facts.check_minutes, "min"),
    }.get(step)  # fmt: skip
    return ClockStep(
        step=step, latest=latest, advised=at or advised, done_at=at,
        minutes=minutes or Amount(0.0, "min", COMPUTED), why=step_words(plan.need, step),
    )  # fmt: skip


def _notes(plan: _Plan, zone: ZoneInfo, wanted: datetime, latest: Times) -> tuple[Note, ...]:
    about, found = plan.need.reservoir.code, []
    if wanted - latest["ready-check"] - plan.check >= _MINUTE and plan.done.checked is None:
        at = _floor(latest["ready-check"], zone)
        found.append(Note(about=about, text=f"nobody is there just before the change, so it is "
                          f"checked at {at:%a %H:%M}"))  # fmt: skip
    above = plan.warming.above_kelvin
    if above > 0:
        found.append(Note(about=about, text=f"it comes {above:.2g} K warmer than wanted, near "
                          "enough to be let be"))  # fmt: skip
    if plan.warming.minutes is not None and plan.warming.minutes.value > 0:
        found.append(Note(about=about, text="advised: the heater has half as long again, the "
                          "fill a fifth more than it takes"))  # fmt: skip
    return tuple(found)


def _minutes(value: float) -> timedelta:
    return timedelta(minutes=value)


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
    after = begun.astimezone(UTC) + _minutes(max(pumping, fill.job_minutes))
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
