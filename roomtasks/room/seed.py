"""A ripe filter out of one tank to start another: which would do, and what stands against it.

A sponge carries all that its tank had, and what was dosed there. One that has not
run its weeks starts nothing. The weeks and days are those of arrivals and doses
(`arrival`, `stay_clock`); common practice, no published source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from roomtasks.room.arrival import RIPE_DAYS
from roomtasks.room.course_days import last_day, steps_of
from roomtasks.room.destination import FILTERED
from roomtasks.room.naming import day_words
from roomtasks.room.problem import Problem
from roomtasks.room.room import Room
from roomtasks.room.tank import Filter


@dataclass(frozen=True, slots=True, kw_only=True)
class Seed:
    """A filter that could start another tank; `refused` is the first rule that says no."""

    item: Filter
    refused: Problem | None


def is_ripe(item: Filter, today: date) -> bool:
    """Whether it has run its weeks and holds what breaks ammonia down."""
    ran = item.since is not None and (today - item.since).days >= RIPE_DAYS
    return ran and item.kind in FILTERED


def seed_refusals(room: Room, item: Filter, today: date) -> Iterator[Problem]:
    """What stands against a filter as a seed, whatever tank it is meant for."""
    if item.kind not in FILTERED:
        yield Problem(item.code, f"a {item.kind} filter is no seed", f"one that is a {_kinds()}",
                      "seed-not-ripe")  # fmt: skip
    elif item.since is None:
        yield Problem(item.code, "nobody noted since when it runs, so it may not be ripe",
                      "enter its day among the filters, or take another",
                      "seed-not-ripe")  # fmt: skip
    elif not is_ripe(item, today):
        ripe_on = item.since + timedelta(days=RIPE_DAYS)
        yield Problem(item.code, f"it runs only since {day_words(item.since)}; it is ripe after "
                      f"{RIPE_DAYS} days", f"wait until {day_words(ripe_on)}, or take another",
                      "seed-not-ripe")  # fmt: skip
    dosed = dosed_in(room, item.tank, today)
    if dosed:
        yield Problem(item.code, f"{item.tank} {dosed}: the sponge carries it, and is weakened",
                      "take one from a tank nothing was dosed in",
                      "seed-under-treatment")  # fmt: skip


def _kinds() -> str:
    return ", ".join(FILTERED[:-1]) + f" or {FILTERED[-1]}"


def dosed_in(room: Room, tank: str, today: date) -> str:
    """What was dosed in a tank so lately that a filter there has it, in words; else blank."""
    names = {course.code: course for course in room.courses}
    for run in room.runs:
        course = names.get(run.course)
        if run.tank != tank or course is None or not course.product or run.since > today:
            continue
        if run.state == "running":
            return f"is under treatment, {course.name}"
        ended = run.ended or last_day(run, steps_of(room.course_steps, run.course))
        if (today - ended).days < room.setup.after_dose_days:
            return f"was under treatment until {day_words(ended)}, {course.name}"
    for level in room.levels:
        if level.tank == tank and level.medicine and level.on(today):
            return f"has {level.product} in its water"
    return ""


def left_words(room: Room, tank: str, but: str, today: date) -> str:
    """What a tank keeps once a filter is gone from it."""
    left = [item for item in room.filters if item.tank == tank and item.code != but]
    if not left:
        return f"{tank} keeps no filter of its own"
    ripe = [item.code for item in left if is_ripe(item, today)]
    if ripe:
        return f"{tank} keeps {' '.join(ripe)}, ripe"
    return f"{tank} keeps {' '.join(item.code for item in left)}, not ripe yet"


def keeps_ripe(room: Room, item: Filter, today: date) -> bool:
    """Whether a tank keeps a ripe filter once this one is gone from it."""
    others = (each for each in room.filters if each.tank == item.tank and each != item)
    return any(is_ripe(each, today) for each in others)


def needs_seed(room: Room, tank: str, today: date) -> bool:
    """Whether a tank has no ripe filter of its own."""
    return not any(item.tank == tank and is_ripe(item, today) for item in room.filters)
