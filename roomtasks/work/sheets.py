"""Sheets to print, from one look at the store, and what was ticked on one, marked."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime

from roomtasks.room.paper import Paper, away_paper, walk_paper
from roomtasks.room.problem import Problem
from roomtasks.room.readings import Readings
from roomtasks.room.why import day_words
from roomtasks.store import read
from roomtasks.store.base import Store
from roomtasks.work.away_view import away_view
from roomtasks.work.marking import How, mark
from roomtasks.work.picture import picture


def walk_sheet(store: Store, now: datetime) -> Paper | Problem:
    """Today's walk as a sheet."""
    seen = picture(store, now)
    if isinstance(seen, Problem):
        return seen
    title = f"{seen.room.setup.name}: {day_words(seen.today)} {seen.today.year}"
    return walk_paper(seen.room, seen.walk, seen.dues, title)


def away_sheet(store: Store, now: datetime, first: date, last: date) -> Paper | Problem:
    """The stand-in's sheet for days away."""
    found = away_view(store, now, first, last)
    if isinstance(found, Problem):
        return found
    room, plan = found
    seen = picture(store, now)
    if isinstance(seen, Problem):
        return seen
    with store.reading():
        readings = Readings.of(read.newest_readings(store, until=seen.today))
    title = f"{room.setup.name}: {day_words(plan.first)} to {day_words(plan.last)} {plan.last.year}"
    return away_paper(room, plan, seen.dues, readings, title)


def mark_ticked(
    store: Store, now: datetime, times: Mapping[str, datetime | None], how: How
) -> tuple[str, ...] | Problem:
    """Mark what was ticked in one act, each at the time written behind it; all or none.

    A time that would lie ahead, or in another room day, is refused.
    """
    with store.reading():
        room = read.room(store)
    if isinstance(room, Problem):
        return room
    told = {name: when for name, when in times.items() if when is not None}
    for name, when in told.items():
        if when > now or room.day_at(when) != room.day_at(now):
            return Problem(name, f"{when:%H:%M} lies ahead or in another day",
                           "write the time of today at which it was done",
                           "not-in-the-future")  # fmt: skip
    marked = mark(store, now, list(times), "done", replace(how, times=told))
    if isinstance(marked, Problem):
        return marked
    return tuple(f"{each.job}@{each.target}" for each in marked.marks)
