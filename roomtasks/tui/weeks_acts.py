"""What can be done to a line of the weeks, and the day a job in hand goes to next.

Pure: acts are what to run on the store, days are picked from a plan.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roomtasks.room.ahead_plan import Ahead, PlannedDay, PlannedJob
from roomtasks.room.day import parse_day
from roomtasks.room.naming import job_there
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.why import day_words
from roomtasks.store.base import Store
from roomtasks.tui.side_acts import Act, Ask, Do, HasWords
from roomtasks.tui.weeks_seen import Trial, comes_with, key_of
from roomtasks.tui.weeks_words import person, short_day
from roomtasks.work.ahead_view import pin, unpin
from roomtasks.work.away_view import keep_away, stay_home

AWAY, PULL = "away from here", "pull one here"
NEXT_DAY = timedelta(days=1)


# ---- acts ----------------------------------------------------------------------------------------


def job_acts(job: PlannedJob) -> tuple[Act, ...]:
    """Keep the day it is planned for, or let the plan choose again.

    Nothing is offered where the walk would refuse it that day, for another goes first.
    """
    if job.n or comes_with(job) or (job.waits and not job.pinned):
        return ()
    if job.pinned:
        sure = f"{job_there(job.name, job.target)}: let the plan choose its day again"
        return (Act(label="let the plan choose", make=_always(_unpin(job.id)), sure=sure),)
    label = f"keep on {short_day(job.day)}"
    return (Act(label=label, make=lambda _, anyway: _pin(job.id, job.day, anyway)),)


def keep(trial: Trial) -> Act:
    """Keep a job on the day that was tried."""
    return Act(
        label="keep it", make=lambda _, anyway: _pin(trial.id, trial.day, anyway or trial.anyway)
    )


def day_acts(day: PlannedDay, room: Room) -> tuple[Act, ...]:
    """Days away from here on, or not away after all."""
    if day.away:
        span = next((a for a in room.away if a.first <= day.day <= a.last), None)
        if span is None:
            return ()
        words = f"Not away {day_words(span.first)} to {day_words(span.last)} after all"
        return (Act(label="not away after all", make=_always(_home(day.day)), sure=words),)
    return (Act(label=AWAY, asks=tuple(_away_asks(day.day, room)),
                make=lambda answers, _: _away(day.day, answers)),)  # fmt: skip


def _away_asks(first: date, room: Room) -> list[Ask]:
    asks = [Ask(text=f"Away from {day_words(first)}, last day as 21 or 21.3, then Enter:")]
    stand_ins = [p.code for p in room.people if p.part == "stand-in"]
    if len(stand_ins) > 1:
        names = tuple(person(room, code) for code in stand_ins)
        asks.append(Ask(text="Who stands in:", choices=names, values=tuple(stand_ins)))
    return asks


def stand_in_of(answers: tuple[str, ...], room: Room) -> str:
    """Who stands in after the questions; the only one there is without any."""
    if len(answers) > 1:
        return answers[1]
    stand_ins = [p.code for p in room.people if p.part == "stand-in"]
    return stand_ins[0] if len(stand_ins) == 1 else ""


def pull_act(day: PlannedDay) -> tuple[Act, ...]:
    """Pull a job of a later day forward; which one is asked."""
    jobs = day.could
    if not jobs:
        return ()
    choices = tuple(
        f"{job_there(job.name, job.target)}, {job.minutes:.0f} min, from {short_day(job.day)}"
        for job in jobs
    )
    values = tuple(key_of(job) for job in jobs)
    ask = Ask(text=f"To {day_words(day.day)}", choices=choices, values=values, page=True)
    return (Act(label=PULL, asks=(ask,), make=_always(Problem("", "nothing is kept", ""))),)


def _always(do: Do | Problem) -> Callable[[tuple[str, ...], bool], Do | Problem]:
    return lambda _, __: do


def _pin(name: str, day: date, anyway: bool) -> Do:
    def do(store: Store, now: datetime, who: str) -> HasWords | Problem:
        return pin(store, now, who, name, day, anyway)

    return do


def _unpin(name: str) -> Do:
    return lambda store, now, who: unpin(store, now, who, name)


def _home(day: date) -> Do:
    return lambda store, now, who: stay_home(store, now, who, day)


def _away(first: date, answers: tuple[str, ...]) -> Do | Problem:
    last = last_day(answers[0], first)
    if isinstance(last, Problem):
        return last
    stand_in = answers[1] if len(answers) > 1 else ""
    return lambda store, now, who: keep_away(store, now, who, first, last, stand_in)


def last_day(text: str, first: date) -> date | Problem:
    """A last day, typed as 21, 21.3 or whole; the next such day from the first on."""
    whole = parse_day(text)
    if not isinstance(whole, Problem):
        return whole
    parts = text.replace("/", ".").replace(",", ".").strip(". ").split(".")
    if len(parts) <= 2 and all(part.isascii() and part.isdigit() for part in parts):
        for ahead in range(366):
            day = first + timedelta(days=ahead)
            if [day.day, day.month][: len(parts)] == [int(part) for part in parts]:
                return day
    return Problem("days away", f"“{text[:20]}” is no day", "type the last day as 21 or 21.3")


# ---- where a job may go --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Step:
    """The next day for a job in hand. `why` it is not offered plainly, "" where it is."""

    day: date
    why: str = ""


def stepped(
    job: PlannedJob, at: date, step: int, ahead: Ahead, room: Room
) -> Step | Problem:  # fmt: skip
    """From a day to the next one it may be done on, later (1) or earlier (-1).

    Where there is none, the next day of the calendar with why it is not one.
    """
    if comes_with(job):
        what = f"it has no day of its own: it {job.why.rstrip('.')}"
        return Problem(job.id, what, "move that", "no-change", job_there(job.name, job.target))
    may = set(job.may)
    if job.pinned:
        may |= {d.day for d in ahead.days if job.opens <= d.day <= job.closes and not d.away}
    onward = [day for day in may if (day > at if step > 0 else day < at)]
    if onward:
        return Step(min(onward) if step > 0 else max(onward))
    day = at + step * NEXT_DAY
    if day < ahead.first:
        return Problem(job.id, f"{day_words(day)} has gone by", "nothing was moved", "no-change",
                       job_there(job.name, job.target))  # fmt: skip
    if day > ahead.last:
        return Problem(job.id, f"{day_words(day)} is beyond the days shown",
                       "/ shows more of them", "no-change",
                       job_there(job.name, job.target))  # fmt: skip
    return Step(day, _why_not(job, day, room))


def _why_not(job: PlannedJob, day: date, room: Room) -> str:
    if not job.opens <= day <= job.closes:
        return (
            f"{day_words(day)} is outside its window, {day_words(job.opens)} to "
            f"{day_words(job.closes)}"
        )
    if any(span.first <= day <= span.last for span in room.away):
        return f"you are away on {day_words(day)}"
    return (
        f"the plan leaves {day_words(day)} out for it, by the change day or by a job it must be "
        "apart from"
    )
