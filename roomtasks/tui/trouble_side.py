"""Acts on bad days, as a list beside the walk offers them."""

from collections.abc import Callable
from datetime import datetime

from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.trouble import TroublePlan
from roomtasks.room.trouble_holds import WORDS
from roomtasks.room.trouble_steps import Step
from roomtasks.store.base import Store
from roomtasks.tui.keeper import time_gone_by
from roomtasks.tui.short_words import short_lines
from roomtasks.tui.side_acts import Act, Ask, Do, First, HasWords
from roomtasks.tui.water_asking import number
from roomtasks.work.short_day import short_day_view, take_short_day
from roomtasks.work.trouble_acts import places_of, tick_step, trouble_begin, trouble_over

Timed = Callable[[Store, datetime, str, datetime | None], HasWords | Problem]
NOW = "now"
MOST_MINUTES = 1440
WHEN = "at what time, as 0210 (Enter: now)"


def begin_acts(room: Room, sort: str) -> tuple[Act, ...]:
    """Begin a trouble of a sort: where, and since when."""
    places = places_of(room, sort)
    if not places:
        return ()
    asks = [] if len(places) == 1 else [Ask(text=f"{WORDS[sort].capitalize()}, where:",
                                            choices=places)]  # fmt: skip
    only = places[0] if len(places) == 1 else ""

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        place, when = only or answers[0], answers[-1]
        return _timed(
            when, lambda store, now, who, at: trouble_begin(store, now, who, sort, place, at)
        )

    return (Act(label="begin", make=make,
                asks=(*asks, Ask(text=f"It began {WHEN}:", blank=NOW))),)  # fmt: skip


def over_act(plan: TroublePlan) -> Act:
    """The trouble is over."""
    code = plan.trouble.code

    def make(answers: tuple[str, ...], _: bool) -> Do | Problem:
        return _timed(
            answers[0], lambda store, now, who, at: trouble_over(store, now, who, code, at)
        )

    return Act(label="it is over", make=make, asks=(Ask(text=f"It was over {WHEN}:", blank=NOW),))


def tick_act(plan: TroublePlan, step: Step) -> Act:
    """A step was done."""
    code = plan.trouble.code
    return Act(
        label="step done",
        make=lambda _, __: lambda store, now, who: tick_step(store, now, who, code, step.code),
    )


def short_acts() -> tuple[Act, ...]:
    """The day is short: what is not a must-do is put off in one act, once it was shown."""
    ask = Ask(text="Minutes there are today, then Enter:")
    return (Act(label="short day", asks=(ask,), first=_short_first, make=_short, sure="Do so"),)


def _short_first(answers: tuple[str, ...]) -> First:
    def look(store: Store, now: datetime) -> tuple[str, ...] | Problem:
        minutes = number(answers[0], 1, MOST_MINUTES)
        found = minutes if isinstance(minutes, Problem) else short_day_view(store, now, minutes)
        if isinstance(found, Problem):
            return found
        if found.fits:
            return Problem("short day", found.words, "nothing is to be put off")
        return short_lines(found)

    return look


def _short(answers: tuple[str, ...], _: bool) -> Do | Problem:
    minutes = number(answers[0], 1, MOST_MINUTES)
    if isinstance(minutes, Problem):
        return minutes
    return lambda store, now, who: take_short_day(store, now, who, minutes)


def _timed(text: str, act: Timed) -> Do:
    """An act at a time that was typed, or now."""

    def do(store: Store, now: datetime, who: str) -> HasWords | Problem:
        if text == NOW:
            return act(store, now, who, None)
        at = time_gone_by(text, now)
        return at if isinstance(at, Problem) else act(store, now, who, at)

    return do
