"""Back from days away: what was missed, what was ticked, and how to catch up.

What is overdue is laid over the coming days by the plan of the weeks, within the
minutes and litres there are, never on one morning; a missed change is made up
for in parts a day apart (`away_catch_up`). Fish are counted and nitrate is read
first. The plan is advice until it is kept.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from roomtasks.room import recurrence
from roomtasks.room.ahead_coming import every_day
from roomtasks.room.ahead_nitrate import NitrateScene
from roomtasks.room.ahead_plan import KEEPER, Ahead, PlannedJob
from roomtasks.room.away_catch_up import CaughtUp, caught_up, days_apart, first_parts, parts_of
from roomtasks.room.away_first import First, before_work, told_of
from roomtasks.room.due import all_due
from roomtasks.room.job import Job
from roomtasks.room.journal import Event, Mark
from roomtasks.room.kind import KINDS
from roomtasks.room.occurrence import Due, State
from roomtasks.room.past import Pasts
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.rebase import Interval, Keeps
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.slots import rule_of, trigger_of
from roomtasks.room.trigger import Calendar, Every, Once
from roomtasks.room.walk import Times
from roomtasks.room.water_plan import Note
from roomtasks.room.why import day_words

LONGEST_AFTER_DAYS, CATCH_UP_DAYS, MOST_OCCURRENCES = 28, 14, 60
AT_ONCE_WORTH, MOST_SPREAD = 8, 12
NOTED = ("died", "lost", "spawn", "sold", "given", "moved", "counted")
STILL_AWAY, NOT_AWAY = "still-away", "not-away"


@dataclass(frozen=True, slots=True, kw_only=True)
class BackScene:
    """What the return is looked at with: the water, what is due, and the marks of the days away."""

    water: NitrateScene
    dues: Sequence[Due]
    pasts: Pasts
    marks: Sequence[Mark] = ()
    times: Times = field(default_factory=dict)

    @property
    def room(self) -> Room:
        return self.water.room

    @property
    def today(self) -> date:
        return self.water.room.day_at(self.water.now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """An occurrence that fell due on the days away, or before, and was not done.

    `closes` is its last day in time and `days_late` the days since. `lapsed`: a
    later one of the same job serves for it, or its day is simply gone.
    """

    id: str
    name: str
    kind: str
    target: str
    tank: str
    fell_due: date
    closes: date
    days_late: int
    lapsed: bool
    stand_in: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Back:
    """The return: `plan` is laid with the first part of each missed change and `parts` beside it.

    `ticked` are the marks of the days away, `noted` what happened to fish then.
    """

    first: date
    last: date
    stand_in: str
    missed: tuple[Missed, ...]
    ticked: tuple[Mark, ...]
    noted: tuple[Event, ...]
    before: tuple[First, ...]
    changes: tuple[CaughtUp, ...]
    parts: tuple[Job, ...]
    plan: Ahead
    notes: tuple[Note, ...] = ()

    @property
    def late(self) -> tuple[PlannedJob, ...]:
        """What is overdue, by the day it is planned for: what first stands first on its day."""
        ids = {one.id for one in self.missed if not one.lapsed}
        jobs = [job for job in self.plan.jobs if job.n == 0 and job.id in ids]
        return tuple(sorted(jobs, key=lambda job: (job.day, -KINDS[job.kind].worth, job.id)))

    @property
    def later(self) -> tuple[Missed, ...]:
        """What is overdue and has no day in the plan: another goes first, days apart."""
        planned = {job.id for job in self.plan.jobs if job.n == 0}
        return tuple(one for one in self.missed if not one.lapsed and one.id not in planned)

    @property
    def of_parts(self) -> tuple[PlannedJob, ...]:
        """The further parts of changes on their days."""
        codes = {job.code for job in self.parts}
        return tuple(job for job in self.plan.jobs if job.job in codes)


def span_back(room: Room, today: date) -> Away | Problem:
    """The days away that are over, or end today. Refuses while away, and four weeks after."""
    begun = [span for span in room.away if span.first <= today]
    newest = max(begun, key=lambda span: span.first, default=None)
    if newest is None or (today - newest.last).days > LONGEST_AFTER_DAYS:
        when = f"the last ended on {day_words(newest.last)}" if newest else "none are entered"
        return Problem("days away", f"no days away are just over: {when}",
                       f"ask on the last day of some, or up to {LONGEST_AFTER_DAYS} days after",
                       NOT_AWAY)  # fmt: skip
    if today < newest.last:
        return Problem("days away", f"the keeper is away until {day_words(newest.last)}",
                       "ask on that day; back earlier, take them out with 'roomtasks home'",
                       STILL_AWAY)  # fmt: skip
    return newest


def back(scene: BackScene, days: int = CATCH_UP_DAYS) -> Back | Problem:
    """What to do on the return. Refuses as `span_back` and `plan_ahead` do."""
    span = span_back(scene.room, scene.today)
    if isinstance(span, Problem):
        return span
    missed = tuple(missed_in(scene, span))
    changes, faults = caught_up(
        scene.room, scene.dues, scene.water.now, scene.water.readings, span.last
    )
    laid = _laid(scene, changes, days)
    if isinstance(laid, Problem):
        return laid
    plan, parts = laid
    return Back(
        first=span.first, last=span.last, stand_in=span.stand_in, missed=missed,
        ticked=tuple(m for m in scene.marks if span.first <= m.day <= span.last),
        noted=tuple(e for e in scene.room.events
                    if span.first <= e.day <= span.last and e.event in NOTED),
        before=tuple(before_work(scene.water, span, changes)), changes=changes, parts=parts,
        plan=_truly_late(plan, scene.dues),
        notes=(*told_of(changes), *(Note(about=fault.where, text=fault.sentence(), sort="warned",
                                       rule="catch-up") for fault in faults)),
    )  # fmt: skip


# --- what was missed ------------------------------------------------------------------


def missed_in(scene: BackScene, span: Away) -> Iterator[Missed]:
    """Each occurrence that fell due up to the last day away and is not done, oldest job first."""
    today = scene.today
    for due in scene.dues:
        if every_day(due):
            yield from _days_without(scene, span, due)
            continue
        if not _open(due) or due.slot.first > span.last:
            continue
        fell = [day for day in _fell_due(due, today) if day <= span.last]
        for n, day in enumerate(fell):
            open_now = n == len(fell) - 1
            closes = due.closes if open_now else day + timedelta(days=due.window.late)
            yield _missed(due, day, closes, max(0, (today - closes).days), lapsed=not open_now)


def _open(due: Due) -> bool:
    """Whether it is to be done: due, late, or held only because another one goes first."""
    if due.state is State.HELD and due.blocked is not None:
        return due.blocked.reason.endswith("goes first")
    return due.state in (State.DUE, State.LATE)


def _missed(due: Due, day: date, closes: date, late: int, *, lapsed: bool) -> Missed:
    return Missed(
        id=due.id, name=due.job.name, kind=due.job.kind, target=due.target, tank=due.tank,
        fell_due=day, closes=closes, days_late=late, lapsed=lapsed, stand_in=due.job.stand_in,
    )  # fmt: skip


def _fell_due(due: Due, today: date) -> list[date]:
    """The days on which occurrences fell due that no mark serves, the open one last."""
    trigger, slot = due.trigger, due.slot
    days = [slot.day]
    if isinstance(trigger, Every):
        each = trigger.interval
        days = [slot.first] + [
            Interval(each.count * n, each.unit).after(slot.first)
            for n in range(1, min(slot.missed, MOST_OCCURRENCES) + 1)
        ]
    elif isinstance(trigger, Calendar) and slot.missed:
        rule = rule_of(trigger.rule, due.job.starts)
        if not isinstance(rule, Problem):
            begins = due.past.closing.slot + timedelta(days=1) if due.past.closing else slot.day
            begins = max(due.job.starts or begins, begins, today - timedelta(days=366))
            days = [*recurrence.between(rule, begins, slot.day - timedelta(days=1)), slot.day]
    return [day for day in days if day <= today][-MOST_OCCURRENCES:]


def _days_without(scene: BackScene, span: Away, due: Due) -> Iterator[Missed]:
    """The days away on which a job of every day was not done; nobody can make up for them."""
    done = {
        mark.day
        for mark in scene.marks
        if (mark.job, mark.target) == (due.job.code, due.target) and mark.outcome != "put-off"
    }
    day, last = span.first, min(span.last, scene.today - timedelta(days=1))
    while day <= last:
        if day not in done and not any(
            block.first <= day and (block.last is None or day <= block.last) for block in due.blocks
        ):
            yield _missed(due, day, day, (scene.today - day).days, lapsed=True)
        day += timedelta(days=1)


# --- the plan -------------------------------------------------------------------------


def _laid(
    scene: BackScene, changes: Sequence[CaughtUp], days: int
) -> tuple[Ahead, tuple[Job, ...]] | Problem:
    """The plan with the first part of each change, and with the further ones once its day is known.

    What is late may lie on more days than otherwise (`_spread`). The first parts
    keep the day they were first laid on.
    """
    room, now = scene.room, scene.water.now
    dues = [_spread(due, scene.today) for due in first_parts(scene.dues, changes)]
    kept_before = _put_off_before(scene, scene.today + timedelta(days=days - 1))
    plan = plan_ahead(
        room, dues, scene.pasts, now, days, pins=kept_before, times=scene.times
    )  # fmt: skip
    split = [one for one in changes if one.changes > 1]
    if isinstance(plan, Problem) or not split:
        return plan if isinstance(plan, Problem) else (plan, ())
    begins = {job.id: job.day for job in plan.jobs if job.n == 0}
    parts = {one.due.id: tuple(parts_of(one, begins[one.due.id])) for one in split
             if one.due.id in begins}  # fmt: skip
    jobs = tuple(job for found in parts.values() for job in found)
    codes = {job.code for job in jobs}
    with_parts = replace(
        room, jobs=(*(job for job in room.jobs if job.code not in codes), *jobs),
        between=(*room.between, *(pair for one in split if one.due.id in parts
                                  for pair in days_apart(one, parts[one.due.id]))),
    )  # fmt: skip
    anew = _part_dues(with_parts, scene.pasts, now, codes)
    kept = [due for due in dues if due.job.code not in codes]
    begun = {name: day for name, day in begins.items() if name in parts}
    pins = {**kept_before, **begun, **_parts_before(scene, anew)}
    found = plan_ahead(with_parts, [*kept, *anew], scene.pasts, now, days, pins=pins,
                       times=scene.times, last=plan)  # fmt: skip
    if isinstance(found, Problem):
        return found
    on = {job.job: job.day for job in found.jobs}
    return found, tuple(
        replace(job, rule=f"once {on[job.code].isoformat()}") for job in jobs if job.code in on
    )  # fmt: skip


def _spread(due: Due, today: date) -> Due:
    """A late job with more days to do it on: the more, the less a day of delay weighs.

    Two days for each point its kind is worth less than 8; what is never cut, and
    what is worth more, is for at once; so is what keeps its due days, for the next
    ones go by it. Common practice, no published source.
    """
    kind = KINDS[due.job.kind]
    more = 2 * (AT_ONCE_WORTH - kind.worth)
    if due.state is not State.LATE or kind.never_cut or more <= 0 or every_day(due):
        return due
    if isinstance(due.trigger, Every) and due.trigger.keeps is not Keeps.FLOATING:
        return due
    return replace(due, closes=max(due.closes, today + timedelta(days=min(more, MOST_SPREAD))))


def _truly_late(plan: Ahead, dues: Sequence[Due]) -> Ahead:
    """The plan with the true last day of what was spread, and the days it is late by then."""
    closes = {due.id: due.closes for due in dues}

    def told(job: PlannedJob) -> PlannedJob:
        if job.n or job.id not in closes:
            return job
        late = max(0, (job.day - closes[job.id]).days)
        return replace(job, closes=closes[job.id], late_days=late)

    days = []
    for planned in plan.days:
        jobs = tuple(told(job) for job in planned.jobs)
        late = tuple(job for job in jobs if job.late_days)
        days.append(replace(planned, jobs=jobs, overdue=late))
    return replace(plan, days=tuple(days))


def _put_off_before(scene: BackScene, last: date) -> dict[str, date]:
    """Overdue jobs that were put off to a day to come: a plan kept once stays as it is."""
    return {
        due.id: due.put_off_to
        for due in scene.dues
        if _open(due) and due.put_off_to is not None
        and scene.today < due.put_off_to <= last
    }  # fmt: skip


def _parts_before(scene: BackScene, parts: Sequence[Due]) -> dict[str, date]:
    """The days of further parts that were entered before and are still to come."""
    found: dict[str, date] = {}
    for due in parts:
        job = scene.room.job.get(due.job.code)
        trigger = trigger_of(job) if job is not None else None
        if isinstance(trigger, Once) and trigger.day >= scene.today:
            found[due.id] = trigger.day
    return found


def _part_dues(room: Room, pasts: Pasts, now: datetime, codes: set[str]) -> list[Due]:
    unmarked = {key: past for key, past in pasts.items() if key[0] not in codes}
    return [due for due in all_due(room, unmarked, now) if due.job.code in codes]


def kept_days(found: Back, today: date) -> dict[str, date]:
    """The day each overdue job is put off to where the plan is kept: those not for today.

    What has no day in the plan is put off to the day after it.
    """
    after = found.plan.last + timedelta(days=1)
    return {
        **{one.id: after for one in found.later},
        **{job.id: job.day for job in found.late if job.day > today and job.by == KEEPER},
    }
