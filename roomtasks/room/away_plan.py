"""Days away: what to do before, what can wait, what the stand-in does, what has no place.

The weeks are planned with the keeper away (`plan_ahead`); here what falls on the
days away is sorted by where it went. What cannot be moved is named to be decided,
and what hatches, arrives or is released meanwhile is named two weeks ahead.
Periods are common practice, no published source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from roomtasks.room.ahead_plan import STAND_IN, Ahead, PlannedJob
from roomtasks.room.ahead_spared import big_filter_job, last_days_before
from roomtasks.room.naming import event_words
from roomtasks.room.occurrence import Due
from roomtasks.room.past import Pasts
from roomtasks.room.plan_ahead import plan_ahead
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.setup import Away
from roomtasks.room.water_plan import Note
from roomtasks.room.why import day_words

LONGEST_DAYS, MARGIN_DAYS, LEAST_SPAN, MOST_SPAN = 49, 7, 7, 56
NAMED_DAYS, NO_NEW_FISH_DAYS, CHANGE_DAYS = 14, 14, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An occurrence that falls on a day away, and where it goes instead."""

    job: PlannedJob
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayPlan:
    """What a span away does to the work. `ahead` is the plan with the keeper away.

    `no_place` are jobs that come late for it, `nobody` says which are not done at all.
    """

    first: date
    last: date
    stand_in: str
    before: tuple[Moved, ...]
    wait: tuple[Moved, ...]
    stand_in_jobs: tuple[PlannedJob, ...]
    no_place: tuple[Moved, ...]
    nobody: tuple[Note, ...]
    notes: tuple[Note, ...]
    ahead: Ahead

    def on(self, day: date) -> tuple[PlannedJob, ...]:
        """What the stand-in has on a day."""
        return tuple(job for job in self.stand_in_jobs if job.day == day)


def joined(spans: Sequence[Away], first: date, last: date) -> tuple[date, date, tuple[Away, ...]]:
    """The span with every stored one that overlaps it or meets it, and which those are."""
    met: list[Away] = []
    grew = True
    while grew:
        grew = False
        for span in spans:
            near = span.first <= last + timedelta(days=1) and first <= span.last + timedelta(days=1)
            if span not in met and near:
                met.append(span)
                first, last, grew = min(first, span.first), max(last, span.last), True
    return first, last, tuple(met)


def away_plan(
    room: Room, dues: Sequence[Due], pasts: Pasts, now: datetime, first: date, last: date,
    stand_in: str = "",
) -> AwayPlan | Problem:  # fmt: skip
    """What a span away, both days included, does to the work.

    Spans of the room that overlap it are joined with it. Refuses a span that
    ends before it begins, lies behind, or is longer than a plan can reach.
    """
    today = room.day_at(now)
    fault = _fault(today, first, last)
    if fault is not None:
        return fault
    asked = (first, last)
    first, last, met = joined(room.away, first, last)
    first = max(first, today)
    stand_in = stand_in or next((span.stand_in for span in met if span.stand_in), "")
    others = tuple(span for span in room.away if span not in met)
    gone = replace(room, away=(*others, Away(first=first, last=last, stand_in=stand_in)))
    days = max(LEAST_SPAN, min(MOST_SPAN, (last - today).days + 1 + MARGIN_DAYS))
    ahead = plan_ahead(gone, dues, pasts, now, days)
    if isinstance(ahead, Problem):
        return ahead
    at_home = plan_ahead(replace(room, away=others), dues, pasts, now, days)
    if isinstance(at_home, Problem):
        return at_home
    told = [span for span in met if (span.first, span.last) != asked]
    return _sorted(room, ahead, at_home, today, (first, last, stand_in), told)


def _fault(today: date, first: date, last: date) -> Problem | None:
    if last < first:
        return Problem("days away", f"{day_words(last)} is before {day_words(first)}",
                       "give the first day, then the last")  # fmt: skip
    if last < today:
        return Problem("days away", f"{day_words(last)} is past", "give days to come")
    if (last - today).days > LONGEST_DAYS:
        return Problem("days away", f"{day_words(last)} is {(last - today).days} days ahead",
                       f"a plan reaches {LONGEST_DAYS} days; ask again nearer to it")  # fmt: skip
    return None


def _sorted(
    room: Room, ahead: Ahead, at_home: Ahead, today: date, span: tuple[date, date, str],
    met: Sequence[Away],
) -> AwayPlan:  # fmt: skip
    """Each occurrence by where it would stand with the keeper at home, and where it stands."""
    first, last, stand_in = span
    home = at_home.where()
    before, wait, theirs, nowhere = [], [], [], []
    for job in ahead.jobs:
        inside = first <= job.day <= last
        if inside and job.by == STAND_IN:
            theirs.append(job)
        elif _too_near(room, job, first):
            nowhere.append(Moved(job=job, why=_near_words(job)))
        elif inside:
            nowhere.append(Moved(job=job, why="no stand-in may do it and no other day is open"))
        elif first <= home.get((job.id, job.n), job.usual) <= last:
            if job.late_days:
                nowhere.append(Moved(job=job, why=_late_words(job, last)))
            elif job.day < first:
                before.append(Moved(job=job, why=f"inside its window, on {day_words(job.day)}"))
            else:
                wait.append(Moved(job=job, why=f"it can wait until {day_words(job.day)}"))
    notes = [
        *(
            Note(about="days away", text=f"joined with the days away from {day_words(one.first)} "
                 f"to {day_words(one.last)}")
            for one in met
        ),
        *_dated(room, today, first, last), *_mind(room, ahead, today, first),
    ]  # fmt: skip
    return AwayPlan(
        first=first, last=last, stand_in=stand_in, before=tuple(before), wait=tuple(wait),
        stand_in_jobs=tuple(theirs), no_place=tuple(nowhere), nobody=_nobody(ahead),
        notes=tuple(notes), ahead=ahead,
    )  # fmt: skip


def _too_near(room: Room, job: PlannedJob, first: date) -> bool:
    """Whether it is a big filter job on one of the last days before the first day away."""
    return job.day in last_days_before(first) and big_filter_job(room.job[job.job])


def _late_words(job: PlannedJob, last: date) -> str:
    """How late it is on the first day after the days away that is open to it, and when planned."""
    soonest = min((day for day in job.may if last < day < job.day), default=job.day)
    days = (soonest - job.closes).days
    many = "1 day" if days == 1 else f"{days} days"
    tail = f"; planned for {day_words(job.day)}" if soonest < job.day else ""
    return f"at the soonest {many} late, on {day_words(soonest)}{tail}"


def _near_words(job: PlannedJob) -> str:
    day = day_words(job.day)
    why = f"you keep it on {day}" if job.pinned else f"it has no better day than {day}"
    return (f"{why}, in the last three days: do it and look that the water runs before you go, "
            "or do it when back")  # fmt: skip


def _nobody(ahead: Ahead) -> tuple[Note, ...]:
    """What is forbidden or has nobody to do it on all of its days, and so is in no list of jobs."""
    planned = {(job.id, job.late_days > 0) for job in ahead.jobs}
    return tuple(
        note for note in ahead.cannot
        if note.rule in ("away", "hold", "days-apart") and (note.about, True) not in planned
    )  # fmt: skip


def _dated(room: Room, today: date, first: date, last: date) -> Iterator[Note]:
    """What is dated inside the span: releases, arrivals, sales, hatches, courses that end."""
    if (first - today).days > NAMED_DAYS:
        yield Note(about="days away", text=f"what falls inside is named from "
                   f"{day_words(first - timedelta(days=NAMED_DAYS))} on")  # fmt: skip
        return
    for stay in room.stays:
        release = stay.since + timedelta(days=stay.days)
        if stay.ended is None and first <= release <= last:
            yield Note(about=stay.tank, sort="warned", rule="release-while-away",
                       text=f"{stay.tank}: the lot would be free on {day_words(release)}, while "
                       "nobody is there; release it after")  # fmt: skip
    for event in room.events:
        if first <= event.day <= last and event.day > today and event.event != "away":
            note = f" ({event.note})" if event.note else ""
            yield Note(about=event.target, sort="warned", rule="dated-while-away",
                       text=f"{event.target}: {event_words(event.event)} on "
                       f"{day_words(event.day)}{note}: decide now")  # fmt: skip
    for level in room.levels:
        if level.until is not None and first <= level.until <= last:
            yield Note(about=level.tank, sort="warned", rule="course-while-away",
                       text=f"{level.tank}: {level.product} ends on {day_words(level.until)}, "
                       "while nobody is there")  # fmt: skip


def _mind(room: Room, ahead: Ahead, today: date, first: date) -> Iterator[Note]:
    """What to mind in the days before."""
    for event in room.events:
        days = (first - event.day).days
        if event.event in ("arrival", "arrives") and 0 < days <= NO_NEW_FISH_DAYS:
            yield Note(about=event.target, sort="warned", rule="new-fish-before-away",
                       text=f"{event.target}: arrival on {day_words(event.day)}, {days} days "
                       "before the first day away; no new fish in those two weeks")  # fmt: skip
    near = [
        f"{job.target} {job.day:%a} {job.day.day}"
        for job in ahead.jobs
        if _too_near(room, job, first)
    ]
    if near:
        yield Note(about="days away", sort="warned", rule="filter-before-away",
                   text="no big filter job in the last three days; these have no better day: "
                   f"{', '.join(near)}")  # fmt: skip
    change, eve = first - timedelta(days=CHANGE_DAYS), first - timedelta(days=1)
    when = [f"on {day_words(change)}"] if change >= today else []
    when += [f"on the morning of {day_words(eve)}"] if eve >= today else []
    if when:
        yield Note(about="days away", text=f"the full change {' or '.join(when)}, not the last "
                   "evening: somebody must see the leak")  # fmt: skip
