"""The reason of an occurrence in one sentence a keeper reads.

Rule, last done, window, what moved it, what blocks it. Words only: every date
and figure comes from the occurrence.
"""

from datetime import date

from roomtasks.room import recurrence
from roomtasks.room.naming import day_words, event_words, many, spaced, state_words
from roomtasks.room.occurrence import Due, State
from roomtasks.room.problem import Problem
from roomtasks.room.rebase import Keeps
from roomtasks.room.slots import rule_of
from roomtasks.room.trigger import (
    AfterEvent,
    Calendar,
    Counter,
    Every,
    Follows,
    Once,
    OnState,
    Trigger,
)  # fmt: skip
from roomtasks.room.water import catch_up_for_gap

__all__ = ["day_words", "rule_said", "rule_words", "why"]
SELDOM_DAYS = 5  # a change more often than that is a jug, not caught up


def why(due: Due) -> str:
    """One sentence: rule, last done, window, what moved it, what stands in the way."""
    parts = [rule_words(due), _last(due), _when(due), *_moves(due), *_stands(due)]
    return "; ".join(part for part in parts if part) + "."


def rule_words(due: Due) -> str:
    """The rule of an occurrence in words."""
    return rule_said(due.trigger, due.job.starts, due.follows_name)


def rule_said(trigger: Trigger, starts: date | None, follows: str = "") -> str:
    """A rule in words; `follows` is the name of the job it comes after."""
    match trigger:
        case Every(interval, keeps):
            tail = {
                Keeps.FLOATING: ", counted from the day done",
                Keeps.SLOT: ", keeping its slot while done inside the window",
            }.get(keeps, f", {keeps.value.replace('-', ' ')}")
            count = f"{interval.count} " if interval.count > 1 else ""
            unit = interval.unit if interval.count > 1 else interval.unit[:-1]
            return f"every {count}{unit}{tail if interval.days > 1 else ''}"
        case Calendar(text):
            rule = rule_of(text, starts)
            return text if isinstance(rule, Problem) else recurrence.describe(rule)
        case Once(day):
            return f"once, on {day_words(day)}"
        case AfterEvent(event, offsets):
            return f"{_offsets(offsets)} “{event_words(event)}”"
        case OnState(state, offsets, _):
            if offsets == (0,):
                return f"from the day {state_words(state)}"
            return f"{_offsets(offsets)} {state_words(state)}"
        case Counter(counter, each):
            return f"after each {each:g} by the counter of {spaced(counter)}"
        case Follows(job, minutes):
            lead = f"“{follows or spaced(job)}”"
            return f"{many(minutes, 'minute')} after {lead}" if minutes else f"after {lead}"


def _offsets(offsets: tuple[int, ...]) -> str:
    if offsets == (0,):
        return "on the day of"
    if len(offsets) > 3 and offsets[-1] - offsets[0] == len(offsets) - 1:
        return f"day {offsets[0]} to {offsets[-1]} after"
    if all(offset < 0 for offset in offsets):
        return "day " + ", ".join(str(-offset) for offset in reversed(offsets)) + " before"
    return "day " + ", ".join(str(offset) for offset in offsets) + " after"


def _last(due: Due) -> str:
    last = due.past.closing
    if last is None:
        return "never marked yet"
    word = "last done" if last.outcome == "done" else "left out"
    by = f" by {last.who}" if last.who else ""
    tail = f" ({last.reason})" if last.outcome == "left-out" and last.reason else ""
    return f"{word} {day_words(last.day)}{by}{tail}"


def _when(due: Due) -> str:
    first = due.slot.first
    if due.slot.forecast:
        return f"by the rate so far it falls due about {day_words(first)}"
    window = (
        f", may be done {day_words(due.opens)} to {day_words(due.closes)}"
        if due.window.early or due.window.late
        else ""
    )
    text = f"due {day_words(first)}{window}"
    if due.state is State.LATE:
        days = due.days_late
        text += f", {days} day{'s' if days > 1 else ''} late"
    if due.slot.missed:
        text += f", {due.slot.missed} missed before"
    return text


def _moves(due: Due) -> list[str]:
    said = []
    for moved in due.moved:
        said.append(f"{moved}, {day_words(due.wanted)}" if moved[:4] in ("onto", "with") else moved)
    if due.step_back is not None:
        back = f"one step back is {day_words(due.step_back.day)}"
        if due.step_back.fraction is not None:
            back += f" with {100 * due.step_back.fraction:.1f} %"
        said.append(back)
    if due.owed_fraction is not None and due.part_done:
        done = f"{100 * due.part_done:.4g} % is done"
        said.append(f"{done}, {100 * due.owed_fraction:.1f} % still owed")
    made_up = _made_up(due)
    return [*said, made_up] if made_up else said


def _made_up(due: Due) -> str:
    """What one change would have to be after missed ones, never their plain sum."""
    missed = due.slot.missed + due.past.left_out
    seldom = not isinstance(due.trigger, Every) or due.trigger.interval.days >= SELDOM_DAYS
    if not due.tank or due.fraction is None or due.part_done:
        return ""
    if missed < 1 or not seldom:
        return ""
    whole = catch_up_for_gap(missed + 1, due.fraction)
    text = f"{missed} missed: {100 * whole:.1f} % in one change would make up for it"
    if due.owed_fraction is None or due.owed_fraction >= whole - 1e-6:
        return text
    return f"{text}; {100 * due.owed_fraction:.1f} % now, the rest a day apart"


def _stands(due: Due) -> list[str]:
    said = []
    if due.blocked is not None and due.state in (State.HELD, State.NOT_YET_OPEN, State.OPEN):
        until = due.blocked.until
        tail = f", free from {day_words(due.placed)}" if until is not None else ", until lifted"
        said.append(f"held: {due.blocked.reason}{tail}")
    if due.put_off_to is not None and due.put_off_to > due.today:
        said.append(f"put off to {day_words(due.put_off_to)}")
    if due.waits_for:
        said.append(f"waits for “{due.waits_name or due.waits_for}”")
    if due.later_today is not None:
        said.append(f"opens at {due.later_today:%H:%M}")
    return said
